//! What a computer cannot check, and the builder must.

/// Each caution: its head and what to do.
pub const ALL: [(&str, &str); 8] = [
    (
        "The propeller bites.",
        "Take it off while you set anything. Once it is on, stand behind it, and tie the model down for every run on the ground.",
    ),
    (
        "Lithium packs burn.",
        "Charge them watched, in a fireproof place, never when puffed or after a crash. The pack goes in last and comes out first.",
    ),
    (
        "Check each direction.",
        "Stick back raises an elevator behind the wing and lowers one ahead of it, stick right turns the rudder's trailing edge right. Stand behind the model and look, before every flying day.",
    ),
    (
        "Try failsafe and range.",
        "Switch the transmitter off: the motor must stop. Walk the distance that your radio's manual asks for, with the motor running and with it stopped.",
    ),
    (
        "People first.",
        "A calm day, the field’s owner asked, nobody in front, nobody under the flight path, wind in your face, room to land straight ahead. Land for any manned aircraft.",
    ),
    (
        "Keep it in sight.",
        "Your own eyes on the model all the time; with a camera in its nose only with a spotter beside you.",
    ),
    ("Local rules hold.", "Field, height, registration, insurance: know them before you go."),
    (
        "A prediction is not a clearance.",
        "These numbers come from measurements and models with errors. Have an experienced pilot look the model over, and make the first flight theirs.",
    ),
];
