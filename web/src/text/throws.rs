//! Throws, and why they are what they are, in sentences.

use sim_core::throws::advice::{Binding, Conflict, ConflictKind, GeometryChange, Remedy};
use sim_core::throws::authority::Need;
use sim_core::throws::sensitivity::{Duty, Phase, SensitivityCriterion};

use super::{degrees, millimetres};
use crate::state::measure::plain;

/// The control surface of a channel.
pub fn surface(duty: Duty) -> &'static str {
    match duty {
        Duty::Pitch => "Elevator",
        Duty::Roll => "Aileron",
        Duty::Yaw | Duty::BankByRudder => "Rudder",
    }
}

/// Expo on low rate, where there is any.
pub fn low_expo(expo: f64) -> String {
    format!("{} % on low", plain(expo * 100.0, 0))
}

/// What decides a rate.
pub fn binding(binding: &Binding, high: bool) -> String {
    match binding {
        Binding::Need(demand) => {
            let margin = if high { ", and a quarter in reserve" } else { "" };
            format!("what it takes to {}{margin}", need(demand.need))
        }
        Binding::Bearable(bearable) => {
            format!(
                "as much {} as you bear {}",
                criterion(bearable.criterion),
                phase(bearable.condition.phase)
            )
        }
        Binding::Hinge { limit_rad } => {
            format!("the hinge goes no further than {}", degrees(*limit_rad, 0))
        }
        Binding::Section { limit_rad } => {
            format!(
                "beyond {} the flow leaves the surface and nothing more comes",
                degrees(*limit_rad, 0)
            )
        }
        Binding::ShareOfHigh { share } => {
            format!("a sensible step down, {} % of the high rate", plain(share * 100.0, 0))
        }
    }
}

/// A need as something to be able to do.
pub fn need(need: Need) -> &'static str {
    match need {
        Need::StallTrim => "slow down to the stall with the weight at the front of the window",
        Need::Flare => "flare for the landing with the weight at the front of the window",
        Need::SteepTurn => "hold a turn with 60° of bank",
        Need::GoAround => "hold the nose when full power comes",
        Need::BankRecovery => "bring the wings level from a steep bank",
        Need::Crosswind => "hold it straight in a crosswind",
        Need::PropellerTorque => "hold it against the propeller’s torque at full power",
    }
}

/// What a criterion limits.
pub fn criterion(criterion: SensitivityCriterion) -> &'static str {
    match criterion {
        SensitivityCriterion::PitchRate => "pitching",
        SensitivityCriterion::LoadFactor => "pull",
        SensitivityCriterion::RollRate => "rolling",
        SensitivityCriterion::BankByRudder => "bank in a second",
        SensitivityCriterion::Sideslip => "skidding",
        SensitivityCriterion::PilotLoop => "quickness around neutral",
    }
}

/// When in the flight.
pub fn phase(phase: Phase) -> &'static str {
    match phase {
        Phase::Slow => "in slow flight",
        Phase::Cruise => "in ordinary flight",
        Phase::Fast => "in fast flight",
    }
}

/// A contradiction between what is needed and what is there or borne.
pub fn conflict(conflict: &Conflict) -> String {
    let there = degrees(conflict.sensitivity_rad, 0);
    let Some(needed) = conflict.authority_rad.map(|needed_rad| degrees(needed_rad, 0)) else {
        return format!("No deflection is enough, and only {there} can be had.");
    };
    match conflict.kind {
        ConflictKind::RateTooFine => {
            "You bear less than linkage and servo can hold: it is too lively to fly.".to_owned()
        }
        ConflictKind::HighRateStrong => {
            format!(
                "It takes {needed}, and you bear {there} at full stick: use it only when needed."
            )
        }
        ConflictKind::AuthorityShort => {
            format!("It would take {needed}, and only {there} can be had.")
        }
        ConflictKind::LowRateTouchy => {
            format!(
                "Everyday flight needs {needed}, and you bear {there}: expect it to feel quick."
            )
        }
        ConflictKind::HighRateTouchy => format!(
            "Around neutral the high rate moves like {needed}, and you bear {there}: use it only when needed."
        ),
    }
}

/// A change of the aeroplane that would help.
pub fn remedy(remedy: &Remedy) -> String {
    let amount = remedy.amount;
    let way = |more: &'static str, less: &'static str| if amount > 0.0 { more } else { less };
    let share = format!("{} %", plain(amount.abs() * 100.0, 0));
    let change = match remedy.change {
        GeometryChange::BalancePoint => {
            format!(
                "balance point {} {}",
                millimetres(amount.abs()),
                way("further back", "further forward")
            )
        }
        GeometryChange::Dihedral => {
            format!("{} {} dihedral each side", degrees(amount.abs(), 1), way("more", "less"))
        }
        GeometryChange::FinArea => format!("a fin {share} {}", way("larger", "smaller")),
        GeometryChange::TailArea => format!("a tailplane {share} {}", way("larger", "smaller")),
        GeometryChange::ControlChord => {
            format!("a control surface {share} {}", way("wider", "narrower"))
        }
        GeometryChange::HingeLimit => {
            format!("a hinge that allows {} {}", degrees(amount.abs(), 0), way("more", "less"))
        }
    };
    let end = if remedy.resolves { "would settle it" } else { "would help, but not settle it" };
    format!("A remedy: {change} {end}.")
}
