//! What the lessons say: names, goals, what was measured, and one sentence of
//! advice for each thing that can go better.

use sim_core::flight::debrief::Debrief;
use sim_core::flight::lessons::comparison::{ComparisonKey, ComparisonNumbers};
use sim_core::flight::lessons::{LessonKey, Measure};

/// Name of a lesson.
pub fn name(key: LessonKey) -> &'static str {
    match key {
        LessonKey::HoldLevel => "Straight and level",
        LessonKey::GentleTurn => "A gentle turn",
        LessonKey::TowardsYou => "Coming towards you",
        LessonKey::ClimbAndGlide => "Climb and glide",
        LessonKey::PowerChange => "More power, less power",
        LessonKey::Circuit => "Once round",
        LessonKey::StallAndRecovery => "Stall and recovery",
        LessonKey::Crosswind => "Wind from the side",
        LessonKey::Landing => "Landing",
    }
}

/// Goal of a lesson, with the one thing to remember.
pub fn goal(key: LessonKey) -> &'static str {
    match key {
        LessonKey::HoldLevel => {
            "Twenty seconds along the strip: same height, wings level. Small taps; wait for each to show."
        }
        LessonKey::GentleTurn => {
            "One full circle. Give rudder until it banks, centre the stick and let the dihedral hold the bank; a little pull keeps the height."
        }
        LessonKey::TowardsYou => {
            "It flies at you, so left and right look exchanged: move the stick towards the wing that is low."
        }
        LessonKey::ClimbAndGlide => {
            "Ten seconds of climb at full throttle, then throttle off and glide back to the height you began at. The nose sets the speed."
        }
        LessonKey::PowerChange => {
            "The program moves the throttle; you keep speed and wings. Feel which way the nose goes and hold against it."
        }
        LessonKey::Circuit => "Take off, fly once round the field and land on the strip.",
        LessonKey::StallAndRecovery => {
            "Throttle off, pull slowly until it lets go; then push, let it gather speed, add power and level out."
        }
        LessonKey::Crosswind => {
            "Along the strip with the wind across it: let the nose point into the wind and keep the wings level."
        }
        LessonKey::Landing => {
            "From the last leg to a stop in the middle of the strip: throttle sets the sink, a gentle pull at knee height ends it."
        }
    }
}

/// What to watch while the program flies.
pub fn watch(key: LessonKey) -> &'static str {
    match key {
        LessonKey::HoldLevel => "Watch how small the sticks stay.",
        LessonKey::GentleTurn => {
            "Watch the turning stick go back to the middle once the bank is there."
        }
        LessonKey::TowardsYou => "Watch the stick go towards the low wing.",
        LessonKey::ClimbAndGlide => "Watch the nose, not the throttle, set the speed.",
        LessonKey::PowerChange => "Watch the elevator answer the throttle.",
        LessonKey::Circuit => "Watch where the turns begin, and how early the throttle comes back.",
        LessonKey::StallAndRecovery => "Watch the push come at once, the power after it.",
        LessonKey::Crosswind => "Watch the nose point into the wind while the path stays straight.",
        LessonKey::Landing => "Watch the wings stay level and the pull come late.",
    }
}

/// Name of the button that shows a lesson.
pub fn show_name(key: LessonKey) -> String {
    format!("Show me: {}", name(key))
}

/// Name of the button that starts a lesson.
pub fn try_name(key: LessonKey) -> String {
    format!("Try it: {}", name(key))
}

/// Leads on to a lesson.
pub fn next(key: LessonKey) -> String {
    format!("Next: {}", name(key))
}

/// After a lesson that went well enough.
pub fn passed(total: f64) -> String {
    if total > 0.85 {
        "Well flown: every goal is reached or close.".to_owned()
    } else {
        "Good enough to go on to the next lesson. Flown again it gets steadier.".to_owned()
    }
}

/// After a lesson that was ended before its time.
pub fn cut_short(duration_s: f64) -> String {
    format!("Ended early: this lesson takes {duration_s:.0} s. Below is what was flown of it.")
}

/// Name of a measure.
pub fn measure(measure: Measure) -> &'static str {
    match measure {
        Measure::HeightError => "Off the height, on average",
        Measure::BankSize => "Bank, on average",
        Measure::BankGreatest => "Steepest bank",
        Measure::HeadingDrift => "Off the heading, at most",
        Measure::TurnedThrough => "Turned through",
        Measure::HandsOffShare => "Turning with the stick centred",
        Measure::LineError => "Off the line, on average",
        Measure::WrongWayShare => "Stick held the wrong way",
        Measure::HeightGained => "Height gained",
        Measure::HeightAtEnd => "Height at the end",
        Measure::SpeedLeast => "Slowest",
        Measure::SpeedError => "Off the speed, on average",
        Measure::StalledGreatest => "Wing stalled, at most",
        Measure::StalledAtEnd => "Wing stalled at the end",
        Measure::HeightLostInStall => "Height lost in the stall",
        Measure::SinkOnLanding => "Sink on touching down",
        Measure::BankOnLanding => "Bank on touching down",
        Measure::StoppedOffLine => "Stopped beside the line",
        Measure::StoppedOffOrigin => "Stopped from the middle",
    }
}

/// A value with its unit.
pub fn value(measure: Measure, value: f64) -> String {
    match measure {
        Measure::BankSize
        | Measure::BankGreatest
        | Measure::HeadingDrift
        | Measure::TurnedThrough
        | Measure::BankOnLanding => super::degrees(value, 0),
        Measure::HandsOffShare
        | Measure::WrongWayShare
        | Measure::StalledGreatest
        | Measure::StalledAtEnd => super::percent(value),
        Measure::SpeedLeast | Measure::SpeedError | Measure::SinkOnLanding => {
            super::flight::metres_a_second(value)
        }
        Measure::HeightError
        | Measure::LineError
        | Measure::HeightGained
        | Measure::HeightAtEnd
        | Measure::HeightLostInStall
        | Measure::StoppedOffLine
        | Measure::StoppedOffOrigin => super::flight::metres(value),
    }
}

/// What was aimed at.
pub fn limit(measure: Measure, full: f64, none: f64) -> String {
    let limit = value(measure, full);
    if full < none { format!("at most {limit}") } else { format!("at least {limit}") }
}

/// The one thing to do better.
pub fn advice(measure: Measure) -> &'static str {
    match measure {
        Measure::HeightError => {
            "Look at the nose against the horizon and correct early and small; chasing the height with the elevator makes it swing."
        }
        Measure::BankSize => {
            "Bring the wings level with taps and wait a second between them: it answers later than you think."
        }
        Measure::BankGreatest => {
            "The bank grew too steep: centre the stick as soon as the wing is down as far as you want it."
        }
        Measure::HeadingDrift => "Every bank is a turn: level the wings and the heading stays.",
        Measure::TurnedThrough => {
            "The turn was not finished: hold the bank and keep a little pull until the field comes round again."
        }
        Measure::HandsOffShare => {
            "Let go in the turn: once it is banked, the dihedral and a little pull do the rest."
        }
        Measure::LineError => {
            "Aim at a tree beyond the strip and point the nose a little into the wind, wings level."
        }
        Measure::WrongWayShare => {
            "Coming towards you, prop up the low wing: move the stick to the side that hangs."
        }
        Measure::HeightGained => {
            "Climb longer at full throttle; a gentle pull is enough, the motor does the climbing."
        }
        Measure::HeightAtEnd => "Glide down further before you level out; throttle stays closed.",
        Measure::SpeedLeast => {
            "It grew too slow: push the nose down before you touch the throttle."
        }
        Measure::SpeedError => {
            "Hold the nose still when the throttle changes: push as power comes, ease as it goes."
        }
        Measure::StalledGreatest => {
            "It never quite let go: throttle off, and pull slowly all the way."
        }
        Measure::StalledAtEnd => {
            "It was still stalled: keep pushing until it flies, then pull gently."
        }
        Measure::HeightLostInStall => {
            "Push at once when it lets go, then add power; waiting costs height."
        }
        Measure::SinkOnLanding => {
            "It sank too fast: carry a little throttle and start the pull at knee height."
        }
        Measure::BankOnLanding => "Level the wings before the pull; a low tip catches the grass.",
        Measure::StoppedOffLine => {
            "Line up early: turn in so far out that only small corrections are left."
        }
        Measure::StoppedOffOrigin => {
            "Close the throttle earlier or later by one fence post, and keep the same speed."
        }
    }
}

/// Heading of the comparisons.
pub const COMPARE: &str = "Feel the difference";
/// Beside it.
pub const COMPARE_HINT: &str = "one movement, two settings";
/// Under it.
pub const COMPARE_NOTE: &str = "The program flies the same movement of the stick twice and lays both flights over each other. Then see both in the air, and fly each.";
/// While it does.
pub const COMPARING: &str = "Both are flying\u{2026}";
/// When it has.
pub const COMPARED: &str = "Both have flown; what came of it stands below.";
/// Where a change has no sound aircraft.
pub const NOT_COMPARED: &str =
    "With this change the aeroplane is outside what can be computed; nothing is compared.";

/// Name of a comparison.
pub fn comparison(key: ComparisonKey) -> &'static str {
    match key {
        ComparisonKey::Dihedral => "The dihedral",
        ComparisonKey::Throw => "The throw",
        ComparisonKey::Propwash => "The propwash",
    }
}

/// The two settings.
pub fn compared(key: ComparisonKey) -> [&'static str; 2] {
    match key {
        ComparisonKey::Dihedral => ["3° more", "3° less"],
        ComparisonKey::Throw => ["advised", "doubled"],
        ComparisonKey::Propwash => ["full power", "no power"],
    }
}

/// Opens the flight of both settings.
pub const SEE_BOTH: &str = "See both fly";

/// Opens the flight of one setting by hand.
pub fn fly_setting(key: ComparisonKey, which: usize) -> String {
    format!("Fly it: {}", compared(key)[which])
}

/// What is seen of both.
pub fn flown_side_by_side(key: ComparisonKey) -> String {
    let [one, other] = compared(key);
    format!("The same stick for both: {one}, and seen through {other}.")
}

/// What is flown by hand.
pub fn flown_setting(key: ComparisonKey, which: usize) -> String {
    let names = compared(key);
    format!(
        "You fly: {}. Try the same movements with the other, {} (C).",
        names[which],
        names[1 - which]
    )
}

/// After a flight by hand of one setting, the other being still to fly.
pub const ONE_SETTING_FLOWN: &str = "That was one of the two. Fly the other with the same movements, and both stand here side by side.";
/// What was flown by hand, row by row.
pub const BY_HAND_ROWS: [&str; 5] =
    ["Quickest roll", "Quickest pitch", "Steepest bank", "Hardest pull", "Over-controls"];

/// The values of a row of [`BY_HAND_ROWS`].
pub fn by_hand_values(flown: &Debrief) -> [String; 5] {
    let rate = |rate_rad_s: f64| format!("{}/s", super::degrees(rate_rad_s, 0));
    let over: usize = flown.sticks.iter().map(|stick| stick.over_controls).sum();
    [
        rate(flown.roll_rate_max_rad_s),
        rate(flown.pitch_rate_max_rad_s),
        super::degrees(flown.bank_max_rad, 0),
        super::flight::times_weight(flown.load_factor_max),
        over.to_string(),
    ]
}

/// What is plotted.
pub fn compared_plot(key: ComparisonKey) -> &'static str {
    match key {
        ComparisonKey::Dihedral | ComparisonKey::Propwash => {
            "Bank, degrees, after a second of rudder"
        }
        ComparisonKey::Throw => "Pull, g, after a second of elevator",
    }
}

/// What a flight came to.
pub fn compared_numbers(key: ComparisonKey, numbers: &ComparisonNumbers) -> String {
    let rate = |rate_rad_s: f64| format!("{}/s", super::degrees(rate_rad_s, 0));
    match key {
        ComparisonKey::Dihedral | ComparisonKey::Propwash => format!(
            "{} of bank after one second, the nose swings at up to {}.",
            super::degrees(numbers.bank_at_1_s_rad.abs(), 0),
            rate(numbers.yaw_rate_rad_s)
        ),
        ComparisonKey::Throw => format!(
            "{:.1} g more than in level flight, the nose rises at up to {}.",
            numbers.load_factor_change,
            rate(numbers.pitch_rate_rad_s)
        ),
    }
}

/// What to learn from it.
pub fn compared_meaning(key: ComparisonKey) -> &'static str {
    match key {
        ComparisonKey::Dihedral => {
            "Rudder makes the aeroplane slip, and dihedral turns the slip into bank: without it the nose swings and the wings stay behind."
        }
        ComparisonKey::Throw => {
            "The same movement of your hand moves the surface twice as far: the pull grows with it until the wing lets go."
        }
        ComparisonKey::Propwash => {
            "Surfaces in the stream of the propeller grip with the throttle; without power only the airspeed is left to them."
        }
    }
}
