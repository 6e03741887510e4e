//! Balance, steady flight and answers to the sticks, in sentences.

use sim_core::aero::device::EdgeMotion;
use sim_core::analysis::{Channel, Mode, ModeKind, Shortfall, Surface, Trim};
use sim_core::assess::{Assessment, Balance, Stall};
use sim_core::handling::criteria::{Criterion, Level};
use sim_core::handling::rudder_bank::HeldRudder;

use super::{degrees, millimetres, seconds};
use crate::state::measure::plain;

/// Where the balance point lies against its window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Inside.
    Inside,
    /// Ahead of the window.
    NoseHeavy,
    /// Behind the window, still ahead of the neutral point.
    TailHeavy,
    /// At or behind the neutral point.
    Unstable,
}

/// Compares the balance point with its window.
pub fn verdict(balance: &Balance) -> Verdict {
    let at = balance.balance_point_aft_m;
    if balance.static_margin.min(balance.static_margin_power_off) <= 0.0 {
        Verdict::Unstable
    } else if at > balance.window_rear_aft_m {
        Verdict::TailHeavy
    } else if at < balance.window_front_aft_m {
        Verdict::NoseHeavy
    } else {
        Verdict::Inside
    }
}

/// The verdict in a few words.
pub fn verdict_in_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Inside => "Inside the window",
        Verdict::NoseHeavy => "Nose-heavy",
        Verdict::TailHeavy => "Tail-heavy",
        Verdict::Unstable => "Do not fly: unstable",
    }
}

/// What the verdict means and what to do; the part that may be slid, by name.
pub fn balance_advice(balance: &Balance, part: Option<&str>) -> String {
    let meaning = match verdict(balance) {
        Verdict::Inside => {
            return "It returns to its speed after a disturbance, and the elevator has enough in reserve to flare.".to_owned();
        }
        Verdict::NoseHeavy => "Safe, but heavy to hold and short of elevator for the landing.",
        Verdict::TailHeavy => "Too little comes back by itself: touchy in pitch and easy to stall.",
        Verdict::Unstable => {
            "The balance point lies at or behind the neutral point: no pilot holds that for long."
        }
    };
    let remedy = match (part, balance.pack_shift_m) {
        (Some(part), Some(shift)) => {
            let way = if shift < 0.0 { "forward" } else { "back" };
            format!(
                "Moving “{part}” {} {way} brings it to the middle of the window.",
                millimetres(shift.abs())
            )
        }
        _ if balance.balance_point_aft_m > balance.window_rear_aft_m => {
            "Move weight forward.".to_owned()
        }
        _ => "Move weight back.".to_owned(),
    };
    format!("{meaning} {remedy}")
}

/// A static margin, as a share of the mean chord.
pub fn static_margin(share: f64) -> String {
    format!("{} %", signed(share * 100.0, 0))
}

/// What that is, and how much is left with the motor off.
pub fn static_margin_meaning(power_off: f64) -> String {
    format!("of the mean chord ahead of the neutral point; motor off {}", static_margin(power_off))
}

/// A force in weights of the aeroplane.
pub fn times_weight(weights: f64) -> String {
    format!("{weights:.1} ×").replace('-', "\u{2212}")
}

fn signed(value: f64, decimals: usize) -> String {
    plain(value, decimals).replace('-', "\u{2212}")
}

/// The slowest flight, and what ends it where that is not the wing.
pub fn slowest(stall: &Stall) -> String {
    let speed = speed(stall.airspeed_m_s);
    if stall.elevator_ends_it { format!("{speed}, where the elevator runs out") } else { speed }
}

/// An airspeed.
pub fn speed(airspeed_m_s: f64) -> String {
    format!("{} m/s", plain(airspeed_m_s, 1))
}

/// The elevator in ordinary flight.
pub fn elevator(assessment: &Assessment) -> String {
    let angle_deg = assessment.trim.controls.elevator_rad.to_degrees();
    trim(angle_deg, assessment.edges.elevator)
}

/// A deflection to half a degree, with the way of its trailing edge, which at
/// positive angles is `positive`.
pub fn trim(angle_deg: f64, positive: EdgeMotion) -> String {
    let rounded = (angle_deg * 2.0).round() / 2.0;
    if rounded == 0.0 {
        return "neutral".to_owned();
    }
    format!("{}° {}", plain(rounded.abs(), 1), edge(positive.at(rounded)))
}

/// The way of a trailing edge.
pub fn edge(way: EdgeMotion) -> &'static str {
    match way {
        EdgeMotion::Up => "up",
        EdgeMotion::Down => "down",
        EdgeMotion::Right => "right",
        EdgeMotion::Left => "left",
    }
}

/// What runs out in ordinary flight.
pub fn shortfall(shortfall: &Shortfall) -> String {
    match shortfall {
        Shortfall::Deflection { surface, needed_rad, limit_rad } => {
            let surface = match surface {
                Surface::Elevator => "elevator",
                Surface::Aileron => "aileron",
                Surface::Rudder => "rudder",
            };
            format!(
                "The {surface} would need {} to hold this, but its hinge ends at {}.",
                degrees(needed_rad.abs(), 0),
                degrees(limit_rad.abs(), 0)
            )
        }
        Shortfall::Power { climb_rad, .. } => format!(
            "Full throttle does not hold it level: it sinks at {}.",
            degrees(climb_rad.abs(), 1)
        ),
        Shortfall::Unheld { .. } => {
            "Nothing holds it in balance at this speed; only its lift carries the weight."
                .to_owned()
        }
        Shortfall::Drag { climb_rad, .. } => format!(
            "Even with the motor off it does not stay at this speed: it climbs at {}.",
            degrees(climb_rad.abs(), 1)
        ),
    }
}

/// Whether the flight that is shown is level or a glide.
pub fn flight(trim: &Trim, powered: bool) -> String {
    if powered {
        format!("Level flight at {}", speed(trim.airspeed_m_s))
    } else {
        let glide = if trim.climb_rad < 0.0 { -1.0 / trim.climb_rad.tan() } else { f64::INFINITY };
        format!(
            "Glide at {}, {} m far for each metre down",
            speed(trim.airspeed_m_s),
            plain(glide, 0)
        )
    }
}

/// A mode's name for a builder and for an engineer.
pub fn mode_name(kind: ModeKind) -> (&'static str, &'static str) {
    match kind {
        ModeKind::ShortPeriod => ("Nose bob", "short period"),
        ModeKind::ShortPeriodRoot => ("Nose settling", "short period, one of two real roots"),
        ModeKind::Phugoid => ("Slow climb and dive", "phugoid"),
        ModeKind::PhugoidRoot => ("Speed settling", "phugoid, one of two real roots"),
        ModeKind::PitchPhugoidOscillation => ("Slow pitching", "short period and phugoid joined"),
        ModeKind::Roll => ("Roll dying down", "roll mode"),
        ModeKind::Spiral => ("Bank left alone", "spiral mode"),
        ModeKind::DutchRoll => ("Tail wag", "Dutch roll"),
        ModeKind::DutchRollRoot => ("Tail settling", "Dutch roll, one of two real roots"),
        ModeKind::RollSpiralOscillation => ("Slow rolling", "roll and spiral joined"),
    }
}

/// A mode's course: how long it swings, and how soon it is gone or grown.
pub fn mode_course(mode: &Mode) -> String {
    let swing = mode.period_s.map(|period| format!("one swing in {}, ", seconds(period)));
    let end = match mode.time_to_half_or_double_s {
        None => "stays as it is".to_owned(),
        Some(time) if mode.is_growing() && time > LONG_S => "grows hardly at all".to_owned(),
        Some(time) if mode.is_growing() => format!("doubles in {}", seconds(time)),
        Some(time) if time > LONG_S => "fades hardly at all".to_owned(),
        Some(time) => format!("half gone in {}", seconds(time)),
    };
    format!("{}{end}", swing.unwrap_or_default())
}

/// Longer than a flight's leg: nobody notices, s.
const LONG_S: f64 = 60.0;

/// What a mode means for the pilot.
pub fn mode_meaning(mode: &Mode) -> &'static str {
    let growing = mode.is_growing();
    match mode.kind {
        ModeKind::ShortPeriod | ModeKind::ShortPeriodRoot if growing => {
            "The nose runs away from you. Move weight forward."
        }
        ModeKind::ShortPeriod | ModeKind::ShortPeriodRoot => {
            "After a gust or a tug at the stick the nose comes to rest."
        }
        ModeKind::PitchPhugoidOscillation | ModeKind::Phugoid | ModeKind::PhugoidRoot
            if growing =>
        {
            "Hands off, climbs and dives grow. Slow enough to hold."
        }
        ModeKind::PitchPhugoidOscillation | ModeKind::Phugoid | ModeKind::PhugoidRoot => {
            "Hands off, it trades height for speed and back."
        }
        ModeKind::Roll => "How soon a roll stops once the stick is back.",
        ModeKind::Spiral if growing => "A bank left alone steepens. Keep an eye on it.",
        ModeKind::Spiral => "A bank left alone levels out.",
        ModeKind::DutchRoll | ModeKind::DutchRollRoot if growing => {
            "The tail swings wider by itself. It needs more fin or less dihedral."
        }
        ModeKind::DutchRoll | ModeKind::DutchRollRoot => {
            "The tail wags after a gust from the side."
        }
        ModeKind::RollSpiralOscillation => "It rocks slowly from wing to wing.",
    }
}

/// A level of flying qualities in one word.
pub fn level(level: Level) -> &'static str {
    match level {
        Level::One => "good",
        Level::Two => "fair",
        Level::Three => "poor",
        Level::Worse => "unfit",
    }
}

/// Whether a criterion speaks about a mode.
pub fn concerns(criterion: Criterion, kind: ModeKind) -> bool {
    match criterion {
        Criterion::ShortPeriodDamping
        | Criterion::ShortPeriodFrequency
        | Criterion::ControlAnticipation => {
            matches!(kind, ModeKind::ShortPeriod | ModeKind::ShortPeriodRoot)
        }
        Criterion::PitchDivergence => {
            matches!(kind, ModeKind::ShortPeriodRoot | ModeKind::PhugoidRoot)
        }
        Criterion::PhugoidDamping => matches!(
            kind,
            ModeKind::Phugoid | ModeKind::PhugoidRoot | ModeKind::PitchPhugoidOscillation
        ),
        Criterion::DutchRollDamping | Criterion::DutchRollDecay | Criterion::DutchRollFrequency => {
            matches!(kind, ModeKind::DutchRoll | ModeKind::DutchRollRoot)
        }
        Criterion::RollTimeConstant => kind == ModeKind::Roll,
        Criterion::SpiralGrowth => {
            matches!(kind, ModeKind::Spiral | ModeKind::RollSpiralOscillation)
        }
        Criterion::TimeToBank { .. } | Criterion::ResponseDelay => false,
    }
}

/// Where a held rudder leads.
pub fn held_rudder(held: &HeldRudder) -> String {
    match held {
        HeldRudder::Settles { .. } => "Held, it settles into a steady turn.".to_owned(),
        HeldRudder::Tightens => {
            "Held, the bank keeps growing: ease the rudder off to stop it.".to_owned()
        }
        HeldRudder::Reverses => {
            "Held, it ends up banked against the rudder: it needs dihedral.".to_owned()
        }
    }
}

/// The step that the curves show.
pub fn step(channel: Channel, size_rad: f64) -> String {
    let stick = match channel {
        Channel::Elevator => "Stick pulled",
        Channel::Aileron | Channel::Rudder => "Stick pushed right",
        Channel::Flap => "Flaps moved",
        Channel::Throttle => "Throttle opened",
    };
    format!("{stick} at once to the low rate, {}, and held.", degrees(size_rad.abs(), 0))
}

/// What curves that are not over time come to, for those who cannot see them.
pub fn plot_description(title: &str, last: &[(String, f64)]) -> String {
    let values: Vec<String> =
        last.iter().map(|(name, value)| format!("{name} {}", plain(*value, 0))).collect();
    format!("{title}; at the right end {}.", values.join(", "))
}

/// What an answer comes to, for those who cannot see the curves.
pub fn curve_description(title: &str, last: &[(String, f64)], end_s: f64) -> String {
    let values: Vec<String> =
        last.iter().map(|(name, value)| format!("{name} {}", plain(*value, 0))).collect();
    format!("{title} over {}; at the end {}.", seconds(end_s), values.join(", "))
}
