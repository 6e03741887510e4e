//! The pinned baseline, sweeps and the map of motions, in sentences.

use sim_core::analysis::{Channel, Mode};
use sim_core::assess::Assessment;

use super::{answer, degrees, grams, millimetres, percent, throws, word};
use crate::state::sweep::Measurement;

/// Question of the panel.
pub const QUESTION: &str = "What if …?";
/// What the panel is for.
pub const LEDE: &str = "Pin the design as it stands, then change anything: on the bench, with a slider, with a weight. Every answer then stands beside the pinned one.";
/// Pins the present design.
pub const PIN: &str = "Pin this design";
/// As above, where one is pinned already.
pub const PIN_AGAIN: &str = "Pin this one instead";
/// Brings the pinned design back.
pub const RETURN: &str = "Go back to the pinned one";
/// Takes the pin out.
pub const UNPIN: &str = "Take the pin out";
/// The pinned design, in legends and heads of tables.
pub const PINNED: &str = "pinned";
/// The present design, in heads of tables.
pub const NOW: &str = "now";
/// Head of the first column.
pub const ANSWER: &str = "Answer";
/// Where nothing differs.
pub const NO_CHANGE: &str = "Nothing differs from the pinned design yet.";
/// Where a number is missing.
pub const NONE: &str = "–";
/// Legend of the curves.
pub const GREY_IS_PINNED: &str = "Grey: the pinned design.";
/// Heading of the sweep.
pub const SWEEP: &str = "Along one measurement";
/// Chooses what is swept.
pub const SWEEP_WHAT: &str = "Move";
/// First value.
pub const SWEEP_FROM: &str = "from";
/// Last value.
pub const SWEEP_TO: &str = "to";
/// Begins.
pub const SWEEP_GO: &str = "Show what comes of it";
/// Ends before its time.
pub const SWEEP_STOP: &str = "Stop";
/// Progress, for those who cannot see it.
pub const SWEEP_PROGRESS: &str = "Values computed";
/// Where the design has changed since.
pub const SWEEP_OLD: &str = "Computed for the design as it was before your last change.";
/// Where nothing came of it.
pub const SWEEP_NOTHING: &str = "None of these values gives a steady flight.";
/// Where the range cannot be read.
pub const SWEEP_RANGE: &str = "Give two different numbers.";
/// A curve.
pub const HIGH: &str = "high";
/// A curve.
pub const LOW: &str = "low";
/// A table that says the same as the pictures.
pub const AS_TABLE: &str = "The same as a table";
/// Question of the map.
pub const MODE_MAP: &str = "The motions on a map: left is soon gone, up swings fast";
/// What the map shows.
pub const MODE_MAP_DESCRIPTION: &str =
    "Map of the natural motions. Each mark can be reached with the Tab key and says its course.";
/// Beside the map.
pub const GROWS: &str = "grows";
/// Below the map.
pub const HALF_GONE: &str = "half gone in";
/// Along the side of the map.
pub const ONE_SWING: &str = "a swing in";
/// Head of a column.
pub const STEADINESS_COLUMN: &str = "Steadiness";
/// Head of a column.
pub const STALL_COLUMN: &str = "Slowest";
/// Head of a column.
pub const BANK_COLUMN: &str = "Bank by 10° rudder";
/// Head of a column.
pub const MOTIONS_COLUMN: &str = "Motions";
/// Title of a plot.
pub const BANK_PLOT: &str = "Bank after 1 s by 10° of rudder, °";
/// Title of a plot.
pub const STEADINESS_PLOT: &str = "Steadiness, % of chord";
/// Curve of a plot.
pub const BANK_CURVE: &str = "bank";
/// Curve of a plot.
pub const STEADINESS_CURVE: &str = "margin";
/// Moves the dihedral to see the bank by rudder.
pub const BANK_BY_DIHEDRAL: &str = "See the bank along the dihedral";

/// What can be swept, in words.
pub fn measurement(what: Measurement) -> &'static str {
    match what {
        Measurement::Dihedral => "dihedral of the outer panel, each side",
        Measurement::BalancePoint => "balance point, behind the leading edge",
        Measurement::Weight => "weight, all in proportion",
        Measurement::Rudder => "rudder, share of the fin’s chord",
        Measurement::Elevator => "elevator, share of the tail’s chord",
        Measurement::Aileron => "aileron, share of the wing’s chord",
        Measurement::Fin => "fin area, of the present",
        Measurement::Tailplane => "tailplane area, of the present",
        Measurement::Diameter => "propeller diameter",
        Measurement::Pitch => "propeller pitch",
        Measurement::Airspeed => "airspeed of ordinary flight",
    }
}

/// Title of a surface's plot.
pub fn throw_plot(surface: &str) -> String {
    format!("{surface}, ° each way")
}

/// What a sweep's plot shows, for those who cannot see it.
pub fn sweep_description(title: &str, what: Measurement) -> String {
    format!("{title}, along the {}.", measurement(what))
}

/// How many answers did not change.
pub fn same(count: usize) -> String {
    match count {
        0 => String::new(),
        1 => "One other answer is the same.".to_owned(),
        _ => format!("{count} other answers are the same."),
    }
}

/// Where a sweep stands now.
pub fn present(value: &str) -> String {
    format!("The thin line stands at the present {value}.")
}

/// The answers that are compared, each with its name; `behind_m` is the leading
/// edge of the wing's root behind the datum.
pub fn numbers(assessment: &Assessment, behind_m: f64) -> Vec<(String, String)> {
    let a = assessment;
    let mut list = vec![
        (word::FLYING_WEIGHT.to_owned(), grams(a.mass.mass_kg)),
        (word::BALANCE_POINT.to_owned(), millimetres(a.balance.balance_point_aft_m - behind_m)),
        (
            word::WINDOW.to_owned(),
            super::from_to_millimetres(
                a.balance.window_front_aft_m - behind_m,
                a.balance.window_rear_aft_m - behind_m,
            ),
        ),
        (word::STATIC_MARGIN.to_owned(), answer::static_margin(a.balance.static_margin)),
        (word::STALL_SPEED.to_owned(), answer::speed(a.stall.airspeed_m_s)),
        (ORDINARY_SPEED.to_owned(), answer::speed(a.trim.airspeed_m_s)),
        (word::THROTTLE.to_owned(), percent(a.trim.controls.throttle)),
        (word::ELEVATOR.to_owned(), answer::elevator(a)),
    ];
    for advice in &a.throws {
        let surface = throws::surface(advice.duty);
        let rates =
            format!("{} / {}", degrees(advice.high_rate_rad, 0), degrees(advice.low_rate_rad, 0));
        list.push((format!("{surface}, high / low"), rates));
        list.push((format!("{surface}, {}", EXPO_WORD), percent(advice.expo)));
    }
    for measured in &a.responses {
        let metrics = &measured.metrics;
        let rate = |rate: f64| format!("{}/s", degrees(rate.abs(), 0));
        let (what, value) = match measured.response.channel {
            Channel::Aileron => ("Aileron on low: rolls", rate(metrics.peak_roll_rate_rad_s)),
            Channel::Rudder => (
                "Rudder on low: bank after 1 s",
                degrees(metrics.bank_at_one_second_rad.unwrap_or(0.0), 0),
            ),
            _ => ("Elevator on low: nose turns", rate(metrics.peak_pitch_rate_rad_s)),
        };
        list.push((what.to_owned(), value));
    }
    for mode in a.modes.longitudinal.iter().chain(&a.modes.lateral) {
        list.push((answer::mode_name(mode.kind).0.to_owned(), answer::mode_course(mode)));
    }
    list
}

const ORDINARY_SPEED: &str = "Ordinary flight";
const EXPO_WORD: &str = "expo";

/// A mark of the map, in words.
pub fn mode_mark(mode: &Mode, pinned: bool) -> String {
    let whose = if pinned { ", pinned" } else { "" };
    format!("{}{whose}: {}", answer::mode_name(mode.kind).0, answer::mode_course(mode))
}

/// Times that the map's axis names, s.
pub const MAP_TIMES_S: [f64; 5] = [0.03, 0.1, 0.3, 1.0, 5.0];
/// Swings that the map's other axis names, s.
pub const MAP_SWINGS_S: [f64; 4] = [0.5, 1.0, 3.0, 10.0];

/// A time on an axis of the map.
pub fn map_time(time_s: f64) -> String {
    format!("{time_s} s")
}
