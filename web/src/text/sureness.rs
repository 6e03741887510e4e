//! How sure it is, and what to measure again, in sentences.

use sim_core::aircraft::{Aircraft, MassStatement};
use sim_core::analysis::ModeKind;
use sim_core::assess::uncertainty::{ErrorSource, Quantity, Repeat};
use sim_core::handling::rudder_bank::DihedralChange;
use sim_core::throws::sampling::Interval;

use super::answer::mode_name;
use super::throws::surface;
use super::{degrees, from_to_millimetres, millimetres, percent};
use crate::state::measure::plain;

/// What the intervals are.
pub const LEDE: &str = "No ruler and no method is exact. The aeroplane was computed some hundred times, each time with every measurement and method a little off, as they may well be. In nine cases of ten the truth should lie between the two numbers.";
/// What is not in them.
pub const LIMITS: &str = "A slip of the pen, a twisted wing or a part left out of the list is not in these numbers. They are no clearance to fly.";
/// Leads to the page of published cases.
pub const TRUST: &str =
    "How far can I trust the method? Every published value that it was held against";
/// While it is computed.
pub const PROGRESS: &str = "Samples computed";
/// Ends it.
pub const STOP: &str = "Stop";
/// Begins anew.
pub const GO_ON: &str = "Work it out";
/// Before it begins.
pub const WAITING: &str = "Begins when you have stopped changing things.";
/// After a stop.
pub const STOPPED: &str = "Stopped. It begins again with your next change.";
/// Workers failed.
pub const SHORT_HANDED: &str = "Your browser stopped the work in the background, so the page does it when idle. It takes longer; nothing is lost.";
/// Results of an earlier state.
pub const OLDER: &str = "From before your last change";
/// Heading of the list of measurements.
pub const MEASURE_AGAIN: &str = "Measure this again first";
/// Where none stands out.
pub const NOTHING_TO_REPEAT: &str = "No single measurement stands out: what is left is the uncertainty of the methods. Better measuring would change little.";
/// Heading of the list of intervals.
pub const INTERVALS: &str = "Between these, nine times of ten";
/// For those who cannot see the table.
pub const QUANTITY: &str = "What";
/// As above.
pub const BETWEEN: &str = "Between";

/// How many of the samples are done.
pub fn progress(done: usize, of: usize) -> String {
    format!("{done} of {of}")
}

/// Of how many samples the result is.
pub fn samples(count: usize) -> String {
    format!("From {count} computed variants of your aeroplane.")
}

/// Name of a quantity.
pub fn quantity(quantity: Quantity) -> String {
    match quantity {
        Quantity::BalancePoint => "balance point".to_owned(),
        Quantity::WindowFront => "front of the window".to_owned(),
        Quantity::WindowRear => "rear of the window".to_owned(),
        Quantity::StaticMargin => "steadiness".to_owned(),
        Quantity::StallSpeed => "slowest flight".to_owned(),
        Quantity::Frequency(kind) => format!("{UNDAMPED} of the {}", mode(kind)),
        Quantity::Damping(kind) => format!("damping of the {}", mode(kind)),
        Quantity::Root(ModeKind::Spiral) => "course of a bank left alone".to_owned(),
        Quantity::Root(ModeKind::Roll) => "dying down of a roll".to_owned(),
        Quantity::Root(kind) => format!("course of the {}", mode(kind)),
        Quantity::HighRate(duty) => format!("{}, high rate", surface(duty).to_ascii_lowercase()),
        Quantity::LowRate(duty) => format!("{}, low rate", surface(duty).to_ascii_lowercase()),
    }
}

fn mode(kind: ModeKind) -> String {
    mode_name(kind).0.to_ascii_lowercase()
}

/// An interval in the unit of its quantity; places are shown from `origin_m`.
pub fn interval(quantity: Quantity, interval: &Interval, origin_m: f64) -> String {
    let (low, high) = (interval.low, interval.high);
    match quantity {
        Quantity::BalancePoint | Quantity::WindowFront | Quantity::WindowRear => {
            from_to_millimetres(low - origin_m, high - origin_m)
        }
        Quantity::StaticMargin => range(low * 100.0, high * 100.0, 0, "\u{a0}%"),
        Quantity::StallSpeed => range(low, high, 1, "\u{a0}m/s"),
        // The quicker of two swings is the shorter one.
        Quantity::Frequency(_) => times(TURN / high, TURN / low),
        Quantity::Damping(_) => range(low, high, 2, ""),
        Quantity::Root(_) => roots(low, high),
        Quantity::HighRate(_) | Quantity::LowRate(_) => {
            range(low.to_degrees(), high.to_degrees(), 1, "°")
        }
    }
}

/// Radians of a whole turn.
const TURN: f64 = std::f64::consts::TAU;

/// Times to half or to double of a real root, quickest first.
fn roots(low: f64, high: f64) -> String {
    let time = |root: f64| std::f64::consts::LN_2 / root.abs();
    match (low < 0.0, high < 0.0) {
        (true, true) => format!("half gone in {}", times(time(low), time(high))),
        (false, false) => format!("doubles in {}", times(time(high), time(low))),
        (_, _) => format!(
            "half gone in {} s at best, doubled in {} s at worst",
            plain(time(low), 1),
            plain(time(high), 1)
        ),
    }
}

fn times(from_s: f64, to_s: f64) -> String {
    range(from_s, to_s, if to_s < 1.0 { 2 } else { 1 }, "\u{a0}s")
}

fn range(low: f64, high: f64, decimals: usize, unit: &str) -> String {
    let (low, high) = (plain(low, decimals), plain(high, decimals));
    // A dash between numbers below zero could be taken for a minus.
    let between = if low.starts_with('-') || high.starts_with('-') { " to " } else { "–" };
    format!("{low}{between}{high}{unit}").replace('-', "\u{2212}")
}

/// Bounds of a deflection, to stand behind its value.
pub fn bracket(interval: &Interval) -> String {
    format!("({})", range(interval.low.to_degrees(), interval.high.to_degrees(), 1, "°"))
}

/// A measurement to repeat: what it is, how good it is taken to be, and what
/// it decides.
pub fn repeat(repeat: &Repeat, aircraft: &Aircraft) -> (String, String) {
    let (name, error) = source(repeat, aircraft);
    let words = format!(
        "taken as good to ±{error}; it makes up {} of the spread of the {}.",
        percent(repeat.share),
        quantity(repeat.quantity)
    );
    (name, words)
}

/// Name of an input, and twice its standard deviation: the error that is just
/// plausible.
fn source(repeat: &Repeat, aircraft: &Aircraft) -> (String, String) {
    let plausible = 2.0 * repeat.deviation;
    let share = || format!("{} %", plain(plausible * 100.0, 1));
    let length = || millimetres(plausible);
    let angle = || format!("{}°", plain(plausible, 1));
    let of_surface = |words: &str, i: usize| {
        let name = aircraft.surfaces.get(i).map_or("", |surface| surface.name.as_str());
        format!("{words} of “{name}”")
    };
    let of_part = |words: &str, i: usize| {
        let name = match &aircraft.mass {
            MassStatement::Parts(parts) => parts.get(i).map_or("", |part| part.name.as_str()),
            MassStatement::Known(_) => "",
        };
        format!("{words} of “{name}”")
    };
    let of_unit = |words: &str, i: usize| {
        let name = aircraft.propulsion.get(i).map_or("", |unit| unit.name.as_str());
        format!("{words} of “{name}”")
    };
    match repeat.source {
        ErrorSource::SurfacePlace(i) => (of_surface("Place along the body", i), length()),
        ErrorSource::Span(i) => (of_surface("Span", i), share()),
        ErrorSource::Chord(i) => (of_surface("Chords", i), share()),
        ErrorSource::Dihedral(i) => (of_surface("Dihedral", i), angle()),
        ErrorSource::Incidence(i) => (of_surface("Incidence", i), angle()),
        ErrorSource::Camber(i) => {
            (of_surface("Camber", i), format!("{} % of the chord", plain(plausible * 100.0, 1)))
        }
        ErrorSource::ControlChord(i) => (of_surface("Chord of the moving part", i), share()),
        ErrorSource::PartMass(i) => (of_part("Weight", i), share()),
        ErrorSource::PartPlace(i) => (of_part("Place along the body", i), length()),
        ErrorSource::WholeMass => ("Flying weight".to_owned(), share()),
        ErrorSource::MeasuredBalance => ("Balance point".to_owned(), length()),
        ErrorSource::MotorKv(i) => (of_unit("Turns per volt", i), share()),
        ErrorSource::MotorResistance(i) => (of_unit("Motor resistance", i), share()),
        ErrorSource::CellResistance(i) => (of_unit("Cell resistance", i), share()),
        ErrorSource::Pitch(i) => (of_unit("Propeller pitch", i), share()),
        ErrorSource::Method(_) => ("A method".to_owned(), share()),
    }
}

/// Quantities that stand in the panel's list; the throws and the balance have
/// theirs beside the values as well.
pub fn is_listed(quantity: Quantity) -> bool {
    !matches!(quantity, Quantity::Damping(ModeKind::Phugoid))
}

/// The quantity whose interval stands beside a mode.
pub fn of_mode(kind: ModeKind) -> Option<Quantity> {
    match kind {
        ModeKind::ShortPeriod | ModeKind::Phugoid | ModeKind::DutchRoll => {
            Some(Quantity::Frequency(kind))
        }
        ModeKind::Roll | ModeKind::Spiral => Some(Quantity::Root(kind)),
        _ => None,
    }
}

/// An interval beside a mode's course.
pub fn beside_mode(quantity: Quantity, interval: &Interval) -> String {
    let between = self::interval(quantity, interval, 0.0);
    match quantity {
        Quantity::Frequency(_) => format!("Nine times of ten: {UNDAMPED} {between}"),
        _ => format!("Nine times of ten: {between}"),
    }
}

/// Time of a swing without its damping.
const UNDAMPED: &str = "undamped swing";

/// Bank by rudder with other dihedral, against that of now; all in rad of bank
/// after one second for each rad of rudder.
pub fn bank_against_dihedral(now: f64, changes: &[DihedralChange]) -> String {
    let per_degree = |bank: f64| format!("{}°", plain(bank, 1));
    let changes: Vec<String> = changes
        .iter()
        .map(|change| {
            let way = if change.change_rad > 0.0 { "more" } else { "less" };
            format!(
                "{} with {} {way} dihedral each side",
                per_degree(change.bank_at_1_s_per_rad),
                degrees(change.change_rad.abs(), 0)
            )
        })
        .collect();
    format!(
        "Bank after one second for each degree of rudder: {} now, {}.",
        per_degree(now),
        changes.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use sim_core::throws::sensitivity::Duty;
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    fn between(low: f64, high: f64) -> Interval {
        Interval { low, median: 0.5 * (low + high), high, counted: 256, failed: 0 }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn intervals_are_put_in_the_units_of_the_bench() {
        let says = |quantity, low, high, origin| interval(quantity, &between(low, high), origin);
        assert_eq!(says(Quantity::BalancePoint, 0.352, 0.356, 0.3), "52 to 56\u{a0}mm");
        assert_eq!(says(Quantity::StaticMargin, -0.02, 0.06, 0.0), "\u{2212}2 to 6\u{a0}%");
        assert_eq!(says(Quantity::HighRate(Duty::Pitch), 0.2077, 0.2635, 0.0), "11.9–15.1°");
        assert_eq!(bracket(&between(0.2077, 0.2635)), "(11.9–15.1°)");
        // One turn in a second, and two.
        assert_eq!(
            says(Quantity::Frequency(ModeKind::DutchRoll), TURN, 2.0 * TURN, 0.0),
            "0.5–1\u{a0}s"
        );
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_spiral_may_go_either_way() {
        let ln_2 = std::f64::consts::LN_2;
        let says = |low, high| interval(Quantity::Root(ModeKind::Spiral), &between(low, high), 0.0);
        assert_eq!(says(-ln_2, -ln_2 / 4.0), "half gone in 1–4\u{a0}s");
        assert_eq!(says(ln_2 / 4.0, ln_2), "doubles in 1–4\u{a0}s");
        assert!(says(-ln_2, ln_2 / 4.0).contains("doubled in 4 s at worst"));
    }
}
