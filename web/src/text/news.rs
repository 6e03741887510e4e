//! What is said to those who hear the page rather than see it.

use sim_core::assess::Assessment;

use super::answer;

/// The answers after a change, in one breath.
pub fn answers(assessment: &Assessment) -> String {
    let verdict = answer::verdict_in_words(answer::verdict(&assessment.balance));
    format!(
        "New answers. {verdict} {} {}, {} {}.",
        super::word::STATIC_MARGIN,
        answer::static_margin(assessment.balance.static_margin),
        super::word::STALL_SPEED,
        answer::speed(assessment.stall.airspeed_m_s),
    )
}

/// Where there are none to the present measurements.
pub const NO_NEW_ANSWERS: &str = "The answers are those of before: a measurement needs a look.";

/// Head of a table's first column: the unit across, or time where it has none.
pub fn across(unit: &str) -> String {
    let unit = if unit.is_empty() { "s" } else { unit };
    format!("At, {unit}")
}

/// A number in a table.
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let nothing = text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.'));
    text.replace('-', if nothing { "" } else { "\u{2212}" })
}
