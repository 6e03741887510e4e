//! What the throws that are set now will do, in words.

use sim_core::math::ordered_by;
use sim_core::throws::advice::{Predicted, PresentAssessment, PresentThrow};
use sim_core::throws::authority::Demand;
use sim_core::throws::sensitivity::{Bearable, Condition, Duty, SensitivityCriterion};

use super::answer::speed;
use super::throws::{criterion, need, phase, surface};
use super::{degrees, percent};
use crate::state::measure::plain;

/// Names a rate as it is set.
pub fn head(duty: Duty, present: &PresentThrow, high: bool) -> String {
    let rate = if high { "high rate" } else { "low rate" };
    format!(
        "{}, {rate} now: {}, expo {}",
        surface(duty),
        degrees(present.throw_rad, 1),
        percent(present.expo)
    )
}

/// How far a rate is from its advice before it is worth a change.
const NEAR: f64 = 0.1;

/// What to do about it.
pub fn advice(assessed: &PresentAssessment, high: bool) -> String {
    let share = if high { assessed.high_over_present } else { assessed.low_over_present };
    let change = if (share - 1.0).abs() < NEAR {
        "Leave it: the advice is within a tenth of it.".to_owned()
    } else if share < 1.0 {
        format!("Cut it to {} of what is set now.", percent(share))
    } else {
        format!("Raise it by {}.", percent(share - 1.0))
    };
    // With one rate alone, the low one as a dual rate of it.
    let low = if high && assessed.low_over_present < 1.0 {
        format!(
            " With the linkage as it is, dual rates of {} and {} give the advice.",
            percent(assessed.high_over_present.min(1.0)),
            percent(assessed.low_over_present)
        )
    } else {
        String::new()
    };
    format!("{change}{low}")
}

/// Heads of the table.
pub fn heads(duty: Duty) -> Vec<&'static str> {
    let mut heads = vec!["Full stick"];
    heads.extend(match duty {
        Duty::Pitch => ["nose turns", "wing carries more by"],
        Duty::Roll => ["rolls", "bank in a second"],
        Duty::Yaw => ["nose turns", "skids"],
        Duty::BankByRudder => ["bank in a second", "skids"],
    });
    heads.push("around neutral");
    heads
}

/// A condition's row.
pub fn row(duty: Duty, predicted: &Predicted) -> Vec<String> {
    let rate = format!("{}/s", degrees(predicted.peak_rate_rad_s.abs(), 0));
    let bank = degrees(predicted.bank_at_1_s_rad.abs(), 0);
    let skid = degrees(predicted.sideslip_rad.abs(), 0);
    let mut cells = vec![place(&predicted.condition)];
    cells.extend(match duty {
        Duty::Pitch => [rate, format!("{} weights", plain(predicted.load_factor.abs(), 1))],
        Duty::Roll => [rate, bank],
        Duty::Yaw => [rate, skid],
        Duty::BankByRudder => [bank, skid],
    });
    cells.push(match predicted.share_of_limit {
        None => "–".to_owned(),
        Some(share) if share > 1.0 => {
            format!("too quick, {} times what you can hold", plain(share, 1))
        }
        Some(share) if share > 0.7 => "quick".to_owned(),
        Some(_) => "calm".to_owned(),
    });
    cells
}

/// Where, in short.
fn place(condition: &Condition) -> String {
    let power = match condition.throttle {
        t if t < 0.05 => "motor off",
        t if t > 0.95 => "full power",
        _ => "some power",
    };
    format!("{}, {power}", speed(condition.airspeed_m_s))
}

/// Of what is more than the pilot bears the strictest of each kind: the others
/// follow from it.
pub fn strictest(exceeded: &[Bearable]) -> Vec<&Bearable> {
    let list: Vec<&Bearable> = exceeded.iter().collect();
    let mut kept: Vec<&Bearable> = Vec::new();
    for bearable in ordered_by(&list, |bearable| bearable.throw_rad) {
        if kept.iter().all(|other| other.criterion != bearable.criterion) {
            kept.push(bearable);
        }
    }
    kept
}

/// More than the pilot bears.
pub fn exceeded(bearable: &Bearable) -> String {
    let softened = match bearable.criterion {
        SensitivityCriterion::PilotLoop => ", more with expo",
        _ => "",
    };
    format!(
        "More {} than you bear, most of all {}: at most {}{softened}.",
        criterion(bearable.criterion),
        phase(bearable.condition.phase),
        degrees(bearable.throw_rad, 1)
    )
}

/// Less than is needed.
pub fn unmet(demand: &Demand) -> String {
    let deflection_rad = demand.deflection_rad.abs();
    let takes = if deflection_rad < std::f64::consts::FRAC_PI_2 {
        format!("that takes {}", degrees(deflection_rad, 1))
    } else {
        "no deflection is".to_owned()
    };
    format!("Not enough to {}: {takes}.", need(demand.need))
}
