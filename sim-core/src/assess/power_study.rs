//! What the motor gives at every speed and throttle: thrust and current, one
//! size larger beside the present propeller, elevator and throttle of steady
//! flight, and the power of the controls in and out of the propwash.
//!
//! A few dozen trims and load evaluations; like [`super::performance`] a
//! function of its own, since it takes longer than a frame of the page.

use serde::{Deserialize, Serialize};

use super::conditions::trim_series;
use super::performance::{ControlPower, control_power_at};
use super::walk::Walk;
use super::{AssessError, Question};
use crate::aero::grid::GridOptions;
use crate::aircraft::SoundAircraft;
use crate::analysis::Trim;
use crate::power::OperatingPoint;
use crate::power::outputs::Margin;

/// Speeds of a curve.
const SPEED_COUNT: usize = 12;
/// Throttles of the curves over speed.
const THROTTLES: [f64; 2] = [1.0, 0.5];

/// Thrust and current at one speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ThrustPoint {
    /// Airspeed along the shaft, m/s.
    pub airspeed_m_s: f64,
    /// Thrust of one propeller, N; negative where the wind turns it.
    pub thrust_n: f64,
    /// Current through its motor, A; zero where only the thrust is known.
    pub motor_current_a: f64,
}

/// Thrust and current over speed at one throttle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ThrustCurve {
    /// Throttle, 0 to 1.
    pub throttle: f64,
    /// From standstill to twice ordinary flight.
    pub points: Vec<ThrustPoint>,
}

/// A propeller at full throttle standing still.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct StaticRun {
    /// Thrust of one propeller, N.
    pub thrust_n: f64,
    /// Current through its motor, A.
    pub motor_current_a: f64,
    /// Power out of the pack, W, for all motors on it.
    pub electrical_power_w: f64,
}

impl StaticRun {
    #[inline]
    fn new(point: OperatingPoint, propellers: u8) -> Self {
        Self {
            thrust_n: point.thrust_n,
            motor_current_a: point.motor_current_a,
            electrical_power_w: f64::from(propellers) * point.electrical_power_w,
        }
    }
}

/// The present propeller and one an inch larger.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct NextPropeller {
    /// Diameter of the larger one, m; its pitch is the present one's.
    pub diameter_m: f64,
    /// The present one.
    pub present: StaticRun,
    /// The larger one.
    pub larger: StaticRun,
    /// Its current against the controller, where there is one.
    pub controller_margin: Option<Margin>,
}

/// One unit, a mirrored pair counted once.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct UnitStudy {
    /// Place in the aircraft's list.
    pub unit: usize,
    /// Full and half throttle.
    pub curves: Vec<ThrustCurve>,
    /// One size larger.
    pub next: Option<NextPropeller>,
}

/// What holds the aircraft in steady flight at one speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TrimPoint {
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Elevator, rad, trailing edge down positive.
    pub elevator_rad: f64,
    /// Throttle, 0 to 1.
    pub throttle: f64,
    /// Whether a control or the power runs out.
    pub short: bool,
}

impl From<&Trim> for TrimPoint {
    #[inline]
    fn from(trim: &Trim) -> Self {
        Self {
            airspeed_m_s: trim.airspeed_m_s,
            elevator_rad: trim.controls.elevator_rad,
            throttle: trim.controls.throttle,
            short: !trim.shortfalls.is_empty(),
        }
    }
}

/// Everything over speed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PowerStudy {
    /// Each unit; empty for a glider.
    pub units: Vec<UnitStudy>,
    /// Level flight; empty for a glider.
    pub level: Vec<TrimPoint>,
    /// Glides with the motor off.
    pub glide: Vec<TrimPoint>,
    /// Full power; empty for a glider.
    pub full_power: Vec<TrimPoint>,
    /// Power of the controls at each glide's speed, motor off.
    pub control_idle: Vec<ControlPower>,
    /// The same with full throttle; empty for a glider.
    pub control_full: Vec<ControlPower>,
}

/// Works it out.
///
/// # Errors
/// As for [`super::assess`].
#[inline]
pub fn power_study(
    aircraft: &SoundAircraft,
    question: &Question,
) -> Result<PowerStudy, AssessError> {
    let walk = Walk::new(aircraft, question, GridOptions::default())?;
    let cruise = &walk.conditions.cruise_trim;
    let series = trim_series(aircraft, &walk.aeroplane, &walk.stall, cruise, SPEED_COUNT);
    let controls = |throttle: f64| -> Vec<ControlPower> {
        series.glide.iter().map(|trim| control_power_at(&walk, trim, throttle)).collect()
    };
    let points = |trims: &[Trim]| trims.iter().map(TrimPoint::from).collect();
    Ok(PowerStudy {
        units: units(&walk),
        level: points(&series.level),
        glide: points(&series.glide),
        full_power: points(&series.full_power),
        control_idle: controls(0.0),
        control_full: if walk.conditions.powered { controls(1.0) } else { Vec::new() },
    })
}

#[inline]
fn units(walk: &Walk) -> Vec<UnitStudy> {
    let cruise = &walk.conditions.cruise_trim;
    let density = cruise.air.density_kg_m3;
    let fastest = 2.0 * cruise.airspeed_m_s;
    let speeds: Vec<f64> =
        (0..SPEED_COUNT).map(|i| fastest * i as f64 / (SPEED_COUNT - 1) as f64).collect();
    let mut list: Vec<UnitStudy> = Vec::new();
    for engine in walk.aeroplane.engines() {
        if list.iter().any(|seen| seen.unit == engine.unit) {
            continue;
        }
        let curve = |&throttle: &f64| ThrustCurve {
            throttle,
            points: engine
                .power
                .sweep_airspeed(throttle, &speeds, density)
                .into_iter()
                .map(|point| ThrustPoint {
                    airspeed_m_s: point.axial_airspeed_m_s,
                    thrust_n: point.thrust_n,
                    motor_current_a: point.motor_current_a,
                })
                .collect(),
        };
        let propulsion = &walk.aircraft.propulsion[engine.unit];
        // A diameter beyond what a propeller may have leaves it out.
        let next = engine.power.larger_propeller(propulsion, density).ok();
        let run = |point| StaticRun::new(point, propulsion.propellers());
        list.push(UnitStudy {
            unit: engine.unit,
            curves: THROTTLES.iter().map(curve).collect(),
            next: next.map(|both| NextPropeller {
                diameter_m: both.diameter_m,
                present: run(both.present),
                larger: run(both.larger),
                controller_margin: both.controller_margin,
            }),
        });
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::{EXAMPLES, read_aircraft};
    use crate::assess::performance;

    /// What momentum theory and common sense say of every example: thrust falls
    /// with speed, half throttle pulls less, a larger propeller pulls and draws
    /// more, a flap's moment grows with the square of the speed, and the curves
    /// agree with the single numbers.
    #[test]
    fn curves_run_as_theory_says_on_every_example() {
        for example in EXAMPLES {
            let aircraft = read_aircraft(example.text).unwrap().check().unwrap();
            let question = Question::default();
            let study = power_study(&aircraft, &question).unwrap();
            let single = performance(&aircraft, &question).unwrap();
            assert_eq!(study.units.len(), single.units.len(), "{}", example.key);
            assert!(!study.glide.is_empty());
            for (unit, own) in study.units.iter().zip(&single.units) {
                let [full, half] = &unit.curves[..] else { panic!("two throttles") };
                // Blades of coarse pitch are stalled at rest, so only the
                // faster half must fall.
                for pair in full.points[SPEED_COUNT / 2..].windows(2) {
                    assert!(pair[1].thrust_n < pair[0].thrust_n, "{}", example.key);
                }
                for (more, less) in full.points.iter().zip(&half.points) {
                    assert!(more.thrust_n > less.thrust_n, "{}", example.key);
                }
                assert_eq!(full.points[0].thrust_n, own.static_thrust_n);
                let next = unit.next.unwrap();
                assert_eq!(next.present.thrust_n, own.static_thrust_n);
                assert!(next.larger.thrust_n > next.present.thrust_n);
                if own.static_current_a > 0.0 {
                    assert!(next.larger.motor_current_a > next.present.motor_current_a);
                }
            }
            // Other angles of attack and the wing's wake bend the square law:
            // a tenth from each to be expected, a gross slip is far beyond.
            let (slow, fast) =
                (study.control_idle[0], study.control_idle[study.control_idle.len() - 1]);
            if slow.elevator_n_m_per_rad > 0.0 {
                let square = (fast.airspeed_m_s / slow.airspeed_m_s).powi(2);
                let ratio = fast.elevator_n_m_per_rad / slow.elevator_n_m_per_rad;
                assert!((ratio / square - 1.0).abs() < 0.4, "{} {ratio} {square}", example.key);
            }
        }
    }

    /// What is sent from a worker to the page arrives as it was.
    #[test]
    fn results_survive_the_way_as_text() {
        let aircraft = read_aircraft(EXAMPLES[0].text).unwrap().check().unwrap();
        let question = Question::default();
        let study = power_study(&aircraft, &question).unwrap();
        let text = serde_json::to_string(&study).unwrap();
        assert_eq!(serde_json::from_str::<PowerStudy>(&text).unwrap(), study);
        let single = performance(&aircraft, &question).unwrap();
        let text = serde_json::to_string(&single).unwrap();
        assert_eq!(serde_json::from_str::<crate::assess::Performance>(&text).unwrap(), single);
    }
}
