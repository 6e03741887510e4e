//! What the pictures in space and the flights say.

use sim_core::analysis::Channel;
use sim_core::flight::debrief::{StickAxis, StickUse, Verdict};
use sim_core::flight::{Crash, FlightError};

use crate::flight::{Function, Mode, Throws, View};
use crate::scene::stage::Sight;

/// Heading of the panel with the model in space.
pub const SPATIAL: &str = "In space";
/// What the picture shows, for those who cannot see it.
pub const SPATIAL_DESCRIPTION: &str =
    "The aeroplane in space. Arrow keys turn it, plus and minus draw nearer and farther.";
/// Legend over what can be played.
pub const PLAYS: &str = "Show";
/// The aeroplane at rest.
pub const PLAY_REST: &str = "At rest";
/// The spread of the stall.
pub const PLAY_STALL: &str = "Stall";
/// Starts.
pub const PLAY: &str = "Play";
/// Stops.
pub const PAUSE: &str = "Pause";
/// The slider through time.
pub const PLACE_IN_TIME: &str = "Place in time";
/// How to turn the picture.
pub fn turn_it() -> String {
    format!(
        "Drag to turn, pinch or press + and \u{2212} for nearer and farther. One band marks the left tip, two the right. A square of the plan is {}, or a whole multiple of it for a large aeroplane.",
        super::millimetres(0.1)
    )
}

/// A step of a control.
pub fn play_step(channel: Channel) -> &'static str {
    match channel {
        Channel::Elevator => "Elevator",
        Channel::Aileron => "Aileron",
        Channel::Rudder => "Rudder",
        Channel::Flap => "Flap",
        Channel::Throttle => "Throttle",
    }
}

fn signed_degrees(angle_rad: f64) -> String {
    let degrees = angle_rad.to_degrees().round();
    if degrees == 0.0 {
        "0°".to_owned()
    } else {
        format!("{degrees:+}°").replace('-', "\u{2212}")
    }
}

/// Where a response stands.
pub fn response_at(time_s: f64, bank_rad: f64, pitch_rad: f64, heading_rad: f64) -> String {
    format!(
        "{time_s:.1} s after the stick moved by the low rate, at half speed: bank {}, nose {}, heading {}.",
        signed_degrees(bank_rad),
        signed_degrees(pitch_rad),
        signed_degrees(heading_rad),
    )
}

/// Where the flow has gone.
pub fn stall_at(alpha_rad: f64, gone: Option<(f64, f64)>) -> String {
    let alpha = signed_degrees(alpha_rad);
    match gone {
        None => format!("Nose {alpha} to the flow: the flow stays on the whole wing."),
        Some((from, to)) => format!(
            "Nose {alpha} to the flow: hatched strips have stalled, between {:.0} and {:.0} % of each half of the wing (0 is the middle, 100 the tip).",
            from * 100.0,
            to * 100.0
        ),
    }
}

/// Why there is no picture.
pub fn sight(sight: &Sight) -> &'static str {
    match sight {
        Sight::Fine => "",
        Sight::Lost => {
            "The browser has taken the graphics card away for a moment. The picture comes back by itself; all numbers stay as they are."
        }
        Sight::None => {
            "This browser draws no pictures in space (it offers no WebGL2). Everything else on the page works; to fly, use a browser with WebGL2 switched on."
        }
    }
}

/// Heading of the panel that leads to the field.
pub const FLY_QUESTION: &str = "How does it fly?";
/// Under it.
pub const FLY_LEDE: &str = "Your aeroplane on a field, by the same numbers that gave the throws. Keys, a transmitter on USB, a game pad or two thumbs.";
/// Starts a free flight.
pub const FLY_IT: &str = "Fly it";
/// The list of lessons.
pub const LESSONS: &str = "Lessons";
/// Beside it.
pub const LESSONS_HINT: &str = "nine, each a minute or so";
/// The program flies a lesson.
pub const SHOW_ME: &str = "Show me";
/// The pilot flies a lesson.
pub const TRY_IT: &str = "Try it";
/// What a flight on the screen is not.
pub const NO_CLEARANCE: &str = "A flight on this screen clears nothing: the model is an estimate, the real one has been measured, glued and balanced by hand. What you learn here is which way to move the stick.";
/// Heading over the cautions.
pub const BEFORE_THE_REAL_ONE: &str = "Before the real one flies";
/// The usual cautions.
pub const REAL_CAUTIONS: [&str; 6] = [
    "Check the balance point, each throw and each direction on the bench, transmitter on first, propeller off.",
    "Walk away with the transmitter at low power: every surface must still answer without a twitch.",
    "Choose a calm day and a field with the owner's leave, away from people, roads, wires and animals; know the rules of your country and be insured.",
    "Keep hands and faces out of the propeller's plane; cut the throttle before anyone goes near.",
    "For a first flight have someone beside you who flies models already, and fly three mistakes high.",
    "A damaged or swollen pack does not fly, and is not charged either.",
];
/// The flight's page.
pub const FLIGHT: &str = "Flight";
/// What the picture is, for those who cannot see it.
pub const FLIGHT_DESCRIPTION: &str = "The flight as a picture; the numbers above it say the same.";
/// Closes the page.
pub const LEAVE: &str = "Leave";
/// Time goes on.
pub const GO_ON: &str = "Go on";
/// Begins anew.
pub const AGAIN: &str = "Again";
/// Opens the choices.
pub const SETTINGS: &str = "Set up";
/// Closes the choices.
pub const CLOSE: &str = "Close";
/// Names of the readings.
pub const SPEED: &str = "Airspeed";
/// Height over the strip.
pub const HEIGHT: &str = "Height";
/// Climb rate.
pub const CLIMB: &str = "Climb";
/// Throttle stick.
pub const THROTTLE: &str = "Throttle";
/// Charge left.
pub const BATTERY: &str = "Pack";
/// Load factor.
pub const PULL: &str = "Pull";

/// A speed.
pub fn metres_a_second(speed_m_s: f64) -> String {
    format!("{speed_m_s:.1} m/s")
}

/// A climb, with its sign.
pub fn climb(speed_m_s: f64) -> String {
    let speed = if speed_m_s.abs() < 0.05 { 0.0 } else { speed_m_s };
    format!("{speed:+.1} m/s").replace('-', "\u{2212}")
}

/// A length on the field.
pub fn metres(length_m: f64) -> String {
    let decimals = if length_m.abs() < 10.0 { 1 } else { 0 };
    format!("{length_m:.decimals$} m").replace('-', "\u{2212}")
}

/// A load factor.
pub fn times_weight(load_factor: f64) -> String {
    format!("{load_factor:.1} g").replace('-', "\u{2212}")
}

/// Prompt before a start by hand.
pub fn throw_prompt(by_thumbs: bool) -> &'static str {
    if by_thumbs {
        "In your hand. Slide the throttle up by half or more, then throw."
    } else {
        "In your hand. Set half to full throttle (W), then throw."
    }
}

/// Throws it.
pub const THROW: &str = "Throw it (space bar)";
/// Prompt before a start from the strip.
pub fn take_off_prompt(by_thumbs: bool) -> &'static str {
    if by_thumbs {
        "On the strip. Slide the throttle up, steer by rudder, pull gently once it is quick."
    } else {
        "On the strip. Full throttle (W), steer by rudder, pull gently (\u{2193}) once it is quick."
    }
}

/// A model that is nearly out of sight.
pub const FAR_PROMPT: &str = "Far off: turn back while you can see which way it flies.";
/// A pack that is nearly empty.
pub const PACK_PROMPT: &str = "The pack is nearly empty: come in to land.";

/// What is left of a lesson, in whole seconds.
pub fn time_left(left_s: f64) -> String {
    format!("{left_s:.0} s left.")
}

/// While the wing has stalled.
pub const STALL_PROMPT: &str = "Stalled: push, let it pick up speed.";
/// While time stands.
pub const PAUSED: &str = "Paused";
/// While a record runs.
pub const REPLAYING: &str = "Replay";
/// Names of the gates.
pub const LEFT_STICK: &str = "Left stick";
/// Right one.
pub const RIGHT_STICK: &str = "Right stick";

/// Legend of the views.
pub const VIEW: &str = "Seen from";

/// Name of a view.
pub fn view(view: View) -> &'static str {
    match view {
        View::Ground => "the field (1)",
        View::Chase => "behind (2)",
        View::OnBoard => "its nose (3)",
    }
}

/// Name of a view on its button.
pub fn view_in_short(view: View) -> &'static str {
    match view {
        View::Ground => "From field",
        View::Chase => "Behind",
        View::OnBoard => "Nose",
    }
}

/// What the button of the views does.
pub fn switch_view(view: View) -> String {
    format!("{}: look from elsewhere", view_in_short(view))
}

/// Name of a set of throws on its button.
pub fn throws_in_short(throws: Throws) -> &'static str {
    match throws {
        Throws::Low => "Low rate",
        Throws::High => "High rate",
        Throws::Present => "As set",
        Throws::All => "All throw",
    }
}

/// What the button of the throws does.
pub fn switch_throws(throws: Throws) -> String {
    format!("{}: switch the throws", throws_in_short(throws))
}

/// Head of the choices.
pub const TIME_STANDS: &str = "Time stands while this sheet is open.";

/// Camera's tilt.
pub const TILT: &str = "Camera looks up";
/// Camera's pan.
pub const PAN: &str = "Camera looks right";
/// The link's delay.
pub const DELAY: &str = "Picture comes late by";

/// Whole degrees.
pub fn whole_degrees(angle_deg: f64) -> String {
    format!("{angle_deg:.0}°").replace('-', "\u{2212}")
}

/// Milliseconds.
pub fn milliseconds(time_ms: f64) -> String {
    format!("{time_ms:.0} ms")
}

/// Legend of the throws.
pub const THROWS: &str = "Throws (T)";
/// What they are.
pub fn throws_note(is_set: bool) -> String {
    let present =
        if is_set { " “as set now” is what your radio has by the sheet;" } else { "" };
    format!(
        "Low and high are the rates and expo advised for your pilot;{present} “all” is everything the hinges give, without expo. Switch in flight and feel the difference."
    )
}

/// Name of a set of throws.
pub fn throws(throws: Throws) -> &'static str {
    match throws {
        Throws::Low => "low rate",
        Throws::High => "high rate",
        Throws::Present => "as set now",
        Throws::All => "all",
    }
}

/// Legend of the start.
pub const START: &str = "Starts";
/// From the strip.
pub const FROM_STRIP: &str = "on the strip";
/// By hand.
pub const BY_HAND: &str = "by hand";
/// Wind.
pub const WIND: &str = "Wind";
/// Its direction.
pub const WIND_FROM: &str = "Wind comes";
/// Legend of the gusts.
pub const GUSTS: &str = "The wind is";
/// No gusts.
pub const STEADY: &str = "steady";
/// Gusts.
pub const GUSTY: &str = "gusty";

/// Where the wind comes from, seen along the strip.
pub fn wind_from(from_deg: f64) -> String {
    match from_deg.round() {
        0.0 => "from ahead".to_owned(),
        d if d.abs() >= 180.0 => "from behind".to_owned(),
        d if d > 0.0 => format!("{d:.0}° from the right"),
        d => format!("{:.0}° from the left", -d),
    }
}

/// Legend of the stick mode.
pub const MODE: &str = "Stick mode";

/// Number of a mode.
pub fn mode(mode: Mode) -> &'static str {
    match mode {
        Mode::One => "1",
        Mode::Two => "2",
        Mode::Three => "3",
        Mode::Four => "4",
    }
}

/// What a mode puts where.
pub fn mode_meaning(mode: Mode) -> &'static str {
    match mode {
        Mode::One => "Left: elevator and rudder. Right: throttle and aileron.",
        Mode::Two => "Left: throttle and rudder. Right: elevator and aileron.",
        Mode::Three => "Left: elevator and aileron. Right: throttle and rudder.",
        Mode::Four => "Left: throttle and aileron. Right: elevator and rudder.",
    }
}

/// Where the rudder of a model without ailerons is.
pub const RUDDER_APART: &str = "Leave the rudder on its own stick where there are no ailerons";
/// The sound.
pub const SOUND: &str = "Sound of the propeller (M)";
/// Heading of the keys.
pub const KEYS: &str = "Keys";
/// What each key does.
pub const KEY_LIST: [(&str, &str); 11] = [
    ("\u{2190} \u{2192}", "bank or turn"),
    ("\u{2193} \u{2191}", "pull (nose up), push (nose down)"),
    ("W S", "more, less throttle"),
    ("X", "throttle off"),
    ("A D", "rudder left, right"),
    ("Space", "throw it"),
    ("1 2 3", "seen from the field, behind, its nose"),
    ("T", "low rate, high rate, all"),
    ("P", "pause"),
    ("R", "again from the start"),
    ("Esc", "leave"),
];
/// Heading of the transmitter.
pub const TRANSMITTER: &str = "Transmitter or game pad";
/// Where none is seen.
pub const NO_TRANSMITTER: &str =
    "None is seen. Connect it and move a stick or press a button: browsers show it only then.";
/// How a game pad's throttle works.
pub const THROTTLE_SPRINGS: &str =
    "Its throttle springs back to the middle: push for more, pull for less, let go to keep it.";
/// Starts the calibration.
pub const CALIBRATE: &str = "Calibrate";
/// Ends it.
pub const CALIBRATED: &str = "Done";
/// While it runs.
pub const CALIBRATING: &str = "Move every stick to all its ends, throttle too, then let all of them rest in the middle and press Done.";
/// The axis that has moved most.
pub fn most_moved(index: usize) -> String {
    format!("Most moved so far: {}.", axis(index))
}

/// The other way round.
pub const REVERSED: &str = "reversed";

/// Name of what an axis moves.
pub fn function(function: Function) -> &'static str {
    match function {
        Function::Elevator => "Elevator",
        Function::Aileron => "Aileron",
        Function::Rudder => "Rudder",
        Function::Throttle => "Throttle",
    }
}

/// Name of an axis.
pub fn axis(index: usize) -> String {
    format!("axis {}", index + 1)
}

/// Why there is no flight.
pub fn refused(error: &FlightError) -> String {
    format!("This aeroplane cannot be flown as it stands. {}", super::finding(&error.to_string()))
}

/// Heading of the debrief.
pub const DEBRIEF: &str = "Debrief";
/// After a demonstration.
pub const SHOWN_OVER: &str = "That is how the program flies it. Now you.";
/// After a free flight.
pub const FLIGHT_OVER: &str =
    "The flight is over. Below is what the sticks did and what came of it.";
/// Runs the record again.
pub const REPLAY: &str = "Replay";
/// Gives the record as a file.
pub const CSV: &str = "Save as CSV";
/// Its name.
pub const CSV_NAME: &str = "flight.csv";
/// Columns of the goals.
pub const GOAL: &str = "Goal";
/// What was flown.
pub const FLOWN: &str = "flown";
/// What was aimed at.
pub const AIMED_AT: &str = "aim";
/// How it went.
pub const RESULT: &str = "result";
/// A goal that was met.
pub const REACHED: &str = "\u{2713} reached";
/// A goal that was nearly met.
pub const NEARLY: &str = "\u{25d1} nearly";
/// A goal that was missed.
pub const MISSED: &str = "\u{25b2} not yet";
/// A goal of which there is no value.
pub const NOT_FLOWN: &str = "not flown";
/// Numbers of a flight.
pub const IN_THE_AIR: &str = "In the air";
/// Least and greatest speed.
pub const SPEEDS: &str = "Airspeed";
/// Greatest height.
pub const HIGHEST: &str = "Highest";
/// Greatest bank.
pub const STEEPEST: &str = "Steepest bank";
/// Greatest load factor.
pub const HARDEST_PULL: &str = "Hardest pull";

/// A range of speeds.
pub fn speeds((least, most): (f64, f64)) -> String {
    format!("{least:.0} to {most:.0} m/s")
}

/// Names of curves and plots.
pub const ELEVATOR: &str = "elevator";
/// Rudder's curve.
pub const RUDDER: &str = "rudder";
/// Aileron's curve.
pub const AILERON: &str = "aileron";
/// Bank's curve.
pub const BANK: &str = "bank";
/// The aim.
pub const AIM: &str = "aim";
/// Plot of the sticks.
pub const STICKS_PLOT: &str = "Sticks, % of full (pull and right up)";
/// Plot of the bank.
pub const BANK_PLOT: &str = "Bank, degrees, right up";
/// Plot of the height.
pub const HEIGHT_PLOT: &str = "Height, m";

/// What a trace is, for those who cannot see it.
pub fn trace_description(title: &str, end_s: f64) -> String {
    format!(
        "{title}, over {end_s:.0} s of flight. The numbers stand below; the file holds every value."
    )
}

/// Heading of the stick use.
pub const STICK_USE: &str = "What the sticks say about the throws";
/// Under it.
pub const STICK_USE_NOTE: &str = "Used means the size that the stick stayed within for 95 % of the flight. An over-control is three quick reversals in a row.";
/// Leads to the throws.
pub const TO_THROWS: &str = "Look at the throws";

/// Name of a stick.
pub fn stick(axis: StickAxis) -> &'static str {
    match axis {
        StickAxis::Elevator => "Elevator",
        StickAxis::Aileron => "Aileron",
        StickAxis::Rudder => "Rudder",
    }
}

/// How a stick was used, and what that says.
pub fn stick_use(stick: &StickUse) -> String {
    let verdict = match stick.verdict {
        Verdict::NothingToSay => "too little to judge its throw by".to_owned(),
        Verdict::Suits => "its throw suits this hand".to_owned(),
        Verdict::TooSharp { throw_factor } => {
            format!("too sharp: try {:.0} % of this throw, or more expo", 100.0 * throw_factor)
        }
        Verdict::TooWeak { throw_factor } => {
            format!("often at its stop: try {:.0} % of this throw", 100.0 * throw_factor)
        }
        Verdict::HandRunsAway => {
            "to and fro from stop to stop: smaller, slower movements first, then look at the balance point"
                .to_owned()
        }
    };
    let over = match stick.over_controls {
        0 => "no over-control".to_owned(),
        1 => "one over-control".to_owned(),
        n => format!("{n} over-controls"),
    };
    format!("{:.0} % of its way used, {over}; {verdict}.", 100.0 * stick.used)
}

/// How a flight ended badly.
pub fn crashed(how: Crash, impact_m_s: f64) -> String {
    let way = match how {
        Crash::HardLanding => "It came down too hard",
        Crash::WingTip => "A wing tip struck the ground",
        Crash::Nose => "It struck nose first",
        Crash::Tail => "It struck tail first",
        Crash::Inverted => "It ended upside down",
        Crash::Lost => {
            return "The motion could no longer be computed; the flight ends here.".to_owned();
        }
    };
    format!(
        "{way}, at {impact_m_s:.1} m/s. Paper and glue are cheap here: look at the last seconds of the traces, then fly again."
    )
}
