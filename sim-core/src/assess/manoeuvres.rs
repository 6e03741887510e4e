//! Flights that are steady but not straight, or not straight ahead: what a turn
//! and a sideslip ask of the controls, and whether a control or power runs out.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::conditions::Setup;
use super::walk::Walk;
use crate::analysis::{Lateral, Path, Shortfall, Trim, TrimTask, solve_trim};

/// Bank of the turn, rad: what a circuit is flown with.
const TURN_BANK_RAD: f64 = 30.0 * PI / 180.0;
/// The sideslip, rad: a crosswind of a sixth of the approach speed.
const SIDESLIP_RAD: f64 = 10.0 * PI / 180.0;

/// Which flight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ManoeuvreKind {
    /// A turn to the right with 30 deg of bank at ordinary speed, level where
    /// there is power.
    Turn,
    /// A straight approach with the air from 10 deg to the right, motor off.
    Sideslip,
}

/// A steady turn or sideslip.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Manoeuvre {
    /// Which flight.
    pub kind: ManoeuvreKind,
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Bank, right positive, rad.
    pub bank_rad: f64,
    /// Sideslip, air from the right positive, rad.
    pub sideslip_rad: f64,
    /// Rate of turn, right positive, rad/s.
    pub turn_rate_rad_s: f64,
    /// Load factor.
    pub load_factor: f64,
    /// Climb angle, rad.
    pub climb_rad: f64,
    /// Elevator, rad.
    pub elevator_rad: f64,
    /// Aileron, rad.
    pub aileron_rad: f64,
    /// Rudder, rad.
    pub rudder_rad: f64,
    /// Throttle.
    pub throttle: f64,
    /// What runs out, and by how much.
    pub shortfalls: Vec<Shortfall>,
}

impl Manoeuvre {
    fn new(kind: ManoeuvreKind, trim: Trim) -> Self {
        Self {
            kind,
            airspeed_m_s: trim.airspeed_m_s,
            bank_rad: trim.bank_rad,
            sideslip_rad: trim.beta_rad,
            turn_rate_rad_s: trim.turn_rate_rad_s,
            load_factor: trim.load_factor,
            climb_rad: trim.climb_rad,
            elevator_rad: trim.controls.elevator_rad,
            aileron_rad: trim.controls.aileron_rad,
            rudder_rad: trim.controls.rudder_rad,
            throttle: trim.controls.throttle,
            shortfalls: trim.shortfalls,
        }
    }
}

/// The flights that the aircraft has the controls for and that have a balance.
pub(super) fn manoeuvres(walk: &Walk, setup: &Setup) -> Vec<Manoeuvre> {
    let cruise = &walk.conditions.cruise_trim;
    let lateral = setup.lateral();
    let mut list = Vec::new();
    if lateral != Lateral::Symmetric {
        let task = TrimTask {
            lateral,
            turn_bank_rad: Some(TURN_BANK_RAD),
            ..setup.task(cruise.airspeed_m_s, setup.usual_path())
        };
        let turn = solve_trim(&walk.aeroplane, &task, Some(cruise));
        list.extend(turn.ok().map(|trim| Manoeuvre::new(ManoeuvreKind::Turn, trim)));
    }
    if lateral == Lateral::NoSideslip {
        let near = walk.conditions.slow(false).unwrap_or(cruise);
        let task = TrimTask {
            lateral,
            sideslip_rad: SIDESLIP_RAD,
            ..setup.task(near.airspeed_m_s, Path::GLIDE)
        };
        let slip = solve_trim(&walk.aeroplane, &task, Some(near));
        list.extend(slip.ok().map(|trim| Manoeuvre::new(ManoeuvreKind::Sideslip, trim)));
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::{EXAMPLES, read_aircraft};
    use crate::assess::{Question, performance};
    use crate::atmosphere::GRAVITY_M_S2;

    fn of(key: &str) -> Vec<Manoeuvre> {
        let example = EXAMPLES.iter().find(|example| example.key == key).unwrap();
        let aircraft = read_aircraft(example.text).unwrap().check().unwrap();
        performance(&aircraft, &Question::default()).unwrap().manoeuvres
    }

    /// A level turn without sideslip: load factor 1 / cos(bank) and turn rate
    /// g tan(bank) / V of a point without side force. The attitude makes 2 %, and
    /// the fin, which the turn drives sideways, up to 5 % of the rate.
    #[test]
    fn a_turn_is_that_of_the_textbook() {
        let list = of("sport");
        let turn = list.iter().find(|one| one.kind == ManoeuvreKind::Turn).unwrap();
        let (sin, cos) = TURN_BANK_RAD.sin_cos();
        assert!((turn.load_factor * cos - 1.0).abs() < 0.02, "{turn:?}");
        let rate = GRAVITY_M_S2 * sin / cos / turn.airspeed_m_s;
        assert!((turn.turn_rate_rad_s / rate - 1.0).abs() < 0.05, "{turn:?}");
        assert!(turn.shortfalls.is_empty());
    }

    /// Air from the right: the right wing goes down into it, and left rudder
    /// (trailing edge left, positive) keeps the nose out of it.
    #[test]
    fn a_sideslip_is_flown_wing_down_with_opposite_rudder() {
        let list = of("sport");
        let slip = list.iter().find(|one| one.kind == ManoeuvreKind::Sideslip).unwrap();
        assert!((slip.sideslip_rad - SIDESLIP_RAD).abs() < 1e-12);
        assert!(slip.bank_rad > 0.0 && slip.rudder_rad > 0.0, "{slip:?}");
    }

    /// Without ailerons it turns by rudder with some sideslip, and no sideslip
    /// is held on purpose.
    #[test]
    fn a_rudder_model_turns_but_is_not_slipped() {
        let list = of("trainer");
        assert_eq!(list.len(), 1);
        assert!(list[0].kind == ManoeuvreKind::Turn && list[0].aileron_rad == 0.0);
    }
}
