//! What the card warns of.

use serde::Serialize;

use crate::analysis::{Derivatives, ModeKind, Shortfall};
use crate::assess::{Assessment, LoadCase, Performance};
use crate::power::outputs::{Margin, PowerFinding};
use crate::throws::advice::ConflictKind;
use crate::throws::sensitivity::Duty;

/// Thrust over weight below which a hand launch is doubtful (common practice).
const THRUST_FOR_LAUNCH: f64 = 0.4;
/// Fastest growth of a spiral that nobody notices, 1/s: twice in 6 s. Estimate.
const SPIRAL_UNNOTICED: f64 = 0.115;
/// Servo torque over stall torque that is kept for the unforeseen (common
/// practice).
const TORQUE_SHARE_MAX: f64 = 0.5;
/// Pushrod compression over Euler's load that is kept (common practice).
const EULER_SHARE_MAX: f64 = 0.5;
/// Least radius of gyration in roll over the span: a rod of a hundredth of the mass
/// along the whole span. Foam models have 0.08 to 0.16 (estimate).
const ROLL_RADIUS_MIN: f64 = 0.03;
/// Trim change with power that calls for a tilt of the thrust line, rad: 3
/// deg of elevator. Estimate.
const POWER_TRIM_MAX_RAD: f64 = 0.052;
/// Aspect ratio below which vortices over the edges make much of the greatest
/// lift (`aero::vortex_lift`).
const SHORT_ASPECT_RATIO: f64 = 3.0;

/// Something to look out for.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Caution {
    /// Balances behind the window: do not fly.
    TailHeavy {
        /// By how much, m.
        behind_m: f64,
    },
    /// The weights lie so near the plane of symmetry that nothing resists rolling:
    /// the wing's own was left out.
    WeightsInLine,
    /// A wing so short that its greatest lift, and with it the slowest flight, is
    /// known poorly.
    ShortWing,
    /// Balances ahead of the window.
    NoseHeavy {
        /// By how much, m.
        ahead_m: f64,
    },
    /// The nose does not turn into the wind by itself: its derivative of yaw by
    /// sideslip is not positive.
    NoWeathercock {
        /// Whether only the motor's stream brings it back.
        motor_off_only: bool,
    },
    /// Need and tolerance contradict each other on a channel.
    Throws {
        /// The channel.
        duty: Duty,
        /// The contradiction.
        kind: ConflictKind,
    },
    /// A control or the power runs out in ordinary flight.
    RunsOut(Shortfall),
    /// Static thrust over weight is low for a hand launch.
    WeakThrust {
        /// Thrust over weight.
        thrust_over_weight: f64,
    },
    /// Current or sag.
    Power(PowerFinding),
    /// A motion that grows.
    Grows {
        /// Which.
        mode: ModeKind,
        /// Time until it has doubled, s.
        doubles_s: Option<f64>,
    },
    /// Full power asks for much elevator.
    TrimWithPower {
        /// Change of the elevator, rad.
        elevator_rad: f64,
    },
    /// A servo near its stall torque.
    ServoTorque {
        /// The channel.
        duty: Duty,
        /// Torque over stall torque.
        share: f64,
        /// Where.
        case: LoadCase,
    },
    /// A pushrod near buckling.
    Pushrod {
        /// The channel.
        duty: Duty,
        /// Compression over Euler's load.
        share: f64,
    },
    /// Play that may start flutter.
    Flutter {
        /// The channel.
        duty: Duty,
        /// Play, rad.
        play_rad: f64,
    },
}

#[inline]
pub(super) fn cautions(a: &Assessment, performance: Option<&Performance>) -> Vec<Caution> {
    let mut list = Vec::new();
    let own = &a.balance;
    let (behind_m, ahead_m) = (
        own.balance_point_aft_m - own.window_rear_aft_m,
        own.window_front_aft_m - own.balance_point_aft_m,
    );
    if behind_m > 0.0 {
        list.push(Caution::TailHeavy { behind_m });
    } else if ahead_m > 0.0 {
        list.push(Caution::NoseHeavy { ahead_m });
    }
    let roll_radius_m = (a.mass.inertia_body[(0, 0)] / a.mass.mass_kg).sqrt();
    if roll_radius_m < ROLL_RADIUS_MIN * a.geometry.wing.span_m {
        list.push(Caution::WeightsInLine);
    }
    let wing = &a.geometry.wing;
    if wing.span_m * wing.span_m < SHORT_ASPECT_RATIO * wing.area_m2 {
        list.push(Caution::ShortWing);
    }
    let lacks = |derivatives: &Derivatives| derivatives.by_beta.yawing_moment <= 0.0;
    let lacks_with_power = lacks(&a.derivatives);
    if lacks_with_power || lacks(&a.derivatives_power_off) {
        list.push(Caution::NoWeathercock { motor_off_only: !lacks_with_power });
    }
    list.extend(a.trim.shortfalls.iter().copied().map(Caution::RunsOut));
    for mode in a.modes.longitudinal.iter().chain(&a.modes.lateral) {
        let unnoticed = mode.kind == ModeKind::Spiral && mode.real_1_s < SPIRAL_UNNOTICED;
        if mode.is_growing() && !unnoticed {
            let doubles_s = mode.time_to_half_or_double_s;
            list.push(Caution::Grows { mode: mode.kind, doubles_s });
        }
    }
    list.extend(a.throws.iter().filter_map(|advice| {
        let kind = advice.conflict.as_ref()?.kind;
        Some(Caution::Throws { duty: advice.duty, kind })
    }));
    if let Some(performance) = performance {
        list.extend(power_cautions(performance));
    }
    list.extend(a.linkages.iter().flat_map(linkage_cautions));
    list
}

#[inline]
fn power_cautions(performance: &Performance) -> Vec<Caution> {
    let mut list: Vec<Caution> = performance
        .units
        .iter()
        .flat_map(|unit| &unit.findings)
        .filter(|finding| match finding {
            PowerFinding::ControllerCurrent { margin, .. }
            | PowerFinding::PackCurrent { margin, .. } => *margin >= Margin::Brief,
            PowerFinding::CellSag { .. } => true,
        })
        .map(|finding| Caution::Power(*finding))
        .collect();
    let thrust_over_weight = performance.thrust_over_weight;
    if !performance.units.is_empty() && thrust_over_weight < THRUST_FOR_LAUNCH {
        list.push(Caution::WeakThrust { thrust_over_weight });
    }
    if let Some(elevator_rad) = performance.elevator_with_power_rad
        && elevator_rad.abs() > POWER_TRIM_MAX_RAD
    {
        list.push(Caution::TrimWithPower { elevator_rad });
    }
    list
}

#[inline]
fn linkage_cautions(report: &crate::assess::LinkageReport) -> Vec<Caution> {
    let duty = report.duty;
    let mut list = Vec::new();
    for load in &report.loads {
        let Some(loaded) = &load.loaded else { continue };
        if loaded.torque_share > TORQUE_SHARE_MAX {
            let (share, case) = (loaded.torque_share, load.case);
            list.push(Caution::ServoTorque { duty, share, case });
        }
        if loaded.euler_share > EULER_SHARE_MAX {
            list.push(Caution::Pushrod { duty, share: loaded.euler_share });
        }
    }
    if let Some(flutter) = report.flutter.filter(|flutter| flutter.exceeded) {
        list.push(Caution::Flutter { duty, play_rad: flutter.play_rad });
    }
    list
}
