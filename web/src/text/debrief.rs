//! What is said after a flight.

use sim_core::flight::debrief::{StickAxis, StickUse, Verdict};
use sim_core::flight::{Crash, TrimCorrection};

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

/// Heading of what the trim levers say.
pub const TRIMS_SAY: &str = "What the trim says about the aeroplane";
/// Under it.
pub const TRIMS_NOTE: &str = "Count only clicks that it needed hands off, in ordinary flight at ordinary throttle. After the change put the lever back to its middle.";

/// What a trim lever out of its middle asks for at the bench.
pub fn trim_correction(correction: &TrimCorrection) -> String {
    let clicks = super::flight::trim_clicks(correction.axis, correction.clicks);
    let surface = match correction.axis {
        StickAxis::Elevator => "elevator",
        StickAxis::Aileron => "right aileron",
        StickAxis::Rudder => "rudder",
    };
    let edge_to = super::answer::edge(correction.edge);
    let balance = correction.balance_shift_m.map_or_else(String::new, |shift_m| {
        let way = if shift_m > 0.0 { "aft" } else { "forward" };
        format!(", or move the balance point {} {way}", super::millimetres(shift_m.abs()))
    });
    let edge = crate::state::measure::LENGTH.in_words(correction.travel_m, 1, 3);
    format!(
        "You flew with {clicks}, {} of {surface}: set its neutral at the linkage {edge} further {edge_to} at the trailing edge{balance}.",
        super::degrees(correction.deflection_rad.abs(), 1),
    )
}
