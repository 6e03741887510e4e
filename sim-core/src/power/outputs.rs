//! What a builder asks of a power train.
//!
//! Thrust and current against speed, the throttle for a thrust, margins of
//! current against controller and pack, sag, one size larger beside the
//! present propeller. Numbers and kinds only; the words are the page's.
//! Operating points are those of one motor; what is said of the pack counts all
//! motors on it.

use super::bracket::find_root;
use super::{OperatingPoint, PackLoad, PowerError, PowerModel};
use crate::aircraft::{Drive, Propulsion};

/// Throttle is found to this.
const THROTTLE_TOLERANCE: f64 = 1e-9;
/// Up to this share of a limit there is ample reserve (common practice).
const AMPLE_SHARE: f64 = 0.8;
/// Up to this share a static full-throttle run is borne for seconds, as the
/// current falls with airspeed (common practice).
const BRIEF_SHARE: f64 = 1.2;
/// A loaded cell below this is strained, V (common practice).
const LOADED_CELL_MIN_V: f64 = 3.3;
/// Next size of propeller: one inch more, m.
const NEXT_SIZE_M: f64 = 0.0254;

/// How near a current comes to its limit.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum Margin {
    /// Up to 80 % of the limit.
    Ample,
    /// Up to the limit.
    Enough,
    /// Up to 120 %: for seconds, not standing still at full throttle.
    Brief,
    /// More than 120 %.
    Exceeded,
}

impl Margin {
    #[inline]
    fn of(value: f64, limit: f64) -> Self {
        if value <= AMPLE_SHARE * limit {
            Self::Ample
        } else if value <= limit {
            Self::Enough
        } else if value <= BRIEF_SHARE * limit {
            Self::Brief
        } else {
            Self::Exceeded
        }
    }
}

/// What stands out in a power train at full throttle, standing still.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PowerFinding {
    /// Current against the controller's rating.
    ControllerCurrent {
        /// Motor current, A.
        current_a: f64,
        /// Rating, A.
        limit_a: f64,
        /// The verdict.
        margin: Margin,
    },
    /// Current against the pack's rating, where it is known.
    PackCurrent {
        /// Current of all motors on the pack, A.
        current_a: f64,
        /// Rating, A.
        limit_a: f64,
        /// The verdict.
        margin: Margin,
    },
    /// A cell's voltage under load is low.
    CellSag {
        /// Voltage of one cell under load, V.
        cell_voltage_v: f64,
        /// Least voltage that is well borne, V.
        limit_v: f64,
    },
}

/// The present propeller and the next size, at full throttle standing still.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LargerPropeller {
    /// Diameter of the next size, m; its pitch is the present one's.
    pub diameter_m: f64,
    /// The present propeller.
    pub present: OperatingPoint,
    /// The next size.
    pub larger: OperatingPoint,
    /// The next size's current against the controller, where the drive is
    /// electric.
    pub controller_margin: Option<Margin>,
}

impl PowerModel {
    /// Thrust at full throttle standing still, N.
    #[inline]
    pub fn static_thrust_n(&self, density_kg_m3: f64) -> f64 {
        self.operate(1.0, 0.0, density_kg_m3).thrust_n
    }

    /// Operating points at one throttle over several airspeeds, m/s.
    #[inline]
    pub fn sweep_airspeed(
        &self,
        throttle: f64,
        airspeeds_m_s: &[f64],
        density_kg_m3: f64,
    ) -> Vec<OperatingPoint> {
        airspeeds_m_s.iter().map(|v| self.operate(throttle, *v, density_kg_m3)).collect()
    }

    /// Operating points at one airspeed, m/s, over several throttles.
    #[inline]
    pub fn sweep_throttle(
        &self,
        throttles: &[f64],
        airspeed_m_s: f64,
        density_kg_m3: f64,
    ) -> Vec<OperatingPoint> {
        throttles.iter().map(|d| self.operate(*d, airspeed_m_s, density_kg_m3)).collect()
    }

    /// The operating point that gives a thrust, N, at an airspeed, m/s.
    ///
    /// # Errors
    /// [`PowerError::ThrustBeyondReach`] and [`PowerError::ThrustBelowReach`]
    /// where no throttle gives it.
    #[inline]
    pub fn point_for_thrust(
        &self,
        thrust_n: f64,
        airspeed_m_s: f64,
        density_kg_m3: f64,
    ) -> Result<OperatingPoint, PowerError> {
        let lacking = |d: f64| self.operate(d, airspeed_m_s, density_kg_m3).thrust_n - thrust_n;
        let (none, full) = (lacking(0.0), lacking(1.0));
        if full < 0.0 {
            let most_n = full + thrust_n;
            return Err(PowerError::ThrustBeyondReach { wanted_n: thrust_n, most_n });
        }
        if none > 0.0 {
            let least_n = none + thrust_n;
            return Err(PowerError::ThrustBelowReach { wanted_n: thrust_n, least_n });
        }
        let throttle = find_root(lacking, (0.0, none), (1.0, full), THROTTLE_TOLERANCE);
        Ok(self.operate(throttle, airspeed_m_s, density_kg_m3))
    }

    /// Time in seconds for which an operating point of each motor is held until a cell's
    /// resting voltage has fallen to `cell_voltage_end_v`, with the share
    /// `reserve` (0..1) of that charge kept back. At part throttle the pilot
    /// keeps the power as the voltage falls; at full throttle the current is
    /// kept. `None` for a drive of which only the thrust is known, and where
    /// nothing is drawn or more than the pack can give.
    #[inline]
    pub fn flight_time_s(
        &self,
        point: &OperatingPoint,
        cell_voltage_end_v: f64,
        reserve: f64,
    ) -> Option<f64> {
        let drive = self.electric()?;
        let load = if point.throttle < 1.0 {
            PackLoad::Power(drive.motors * point.electrical_power_w)
        } else {
            PackLoad::Current(drive.motors * point.pack_current_a)
        };
        drive.pack.time_to(load, cell_voltage_end_v, reserve)
    }

    /// Margins of current and the sag, at full throttle standing still. Empty
    /// for a drive of which only the thrust is known.
    #[inline]
    pub fn findings(&self, propulsion: &Propulsion, density_kg_m3: f64) -> Vec<PowerFinding> {
        let Drive::Electric { controller, pack, .. } = &propulsion.drive else {
            return Vec::new();
        };
        let point = self.operate(1.0, 0.0, density_kg_m3);
        let mut findings = vec![PowerFinding::ControllerCurrent {
            current_a: point.motor_current_a,
            limit_a: controller.current_max_a,
            margin: Margin::of(point.motor_current_a, controller.current_max_a),
        }];
        if let Some(limit_a) = pack.current_max_a {
            let current_a = f64::from(propulsion.propellers()) * point.pack_current_a;
            let margin = Margin::of(current_a, limit_a);
            findings.push(PowerFinding::PackCurrent { current_a, limit_a, margin });
        }
        let cell_voltage_v = point.pack_voltage_v / f64::from(pack.cells);
        if cell_voltage_v < LOADED_CELL_MIN_V {
            findings.push(PowerFinding::CellSag { cell_voltage_v, limit_v: LOADED_CELL_MIN_V });
        }
        findings
    }

    /// The present propeller beside one an inch larger of the same pitch.
    ///
    /// # Errors
    /// As [`PowerModel::new`].
    #[inline]
    pub fn larger_propeller(
        &self,
        propulsion: &Propulsion,
        density_kg_m3: f64,
    ) -> Result<LargerPropeller, PowerError> {
        let mut next = propulsion.clone();
        next.propeller.diameter_m += NEXT_SIZE_M;
        let larger = Self::new(&next)?.operate(1.0, 0.0, density_kg_m3);
        let controller_margin = match &propulsion.drive {
            Drive::Electric { controller, .. } => {
                Some(Margin::of(larger.motor_current_a, controller.current_max_a))
            }
            Drive::KnownThrust { .. } => None,
        };
        Ok(LargerPropeller {
            diameter_m: next.propeller.diameter_m,
            present: self.operate(1.0, 0.0, density_kg_m3),
            larger,
            controller_margin,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::power::samples;

    #[test]
    fn throttle_for_a_thrust_gives_that_thrust() {
        let model = samples::electric();
        for thrust in [0.5, 1.5, 3.0] {
            let point = model.point_for_thrust(thrust, 12.0, 1.225).unwrap();
            assert!((point.thrust_n - thrust).abs() < 1e-6);
            assert!(point.throttle > 0.0 && point.throttle < 1.0);
        }
    }

    #[test]
    fn impossible_thrusts_are_told_apart() {
        let model = samples::electric();
        let beyond = model.point_for_thrust(500.0, 12.0, 1.225);
        assert!(matches!(beyond, Err(PowerError::ThrustBeyondReach { .. })));
        let below = model.point_for_thrust(-500.0, 12.0, 1.225);
        assert!(matches!(below, Err(PowerError::ThrustBelowReach { .. })));
        let nothing = model.point_for_thrust(f64::NAN, 12.0, 1.225);
        assert!(nothing.is_err() || nothing.unwrap().thrust_n.is_finite());
    }

    #[test]
    fn margins_are_graded() {
        assert_eq!(Margin::of(20.0, 30.0), Margin::Ample);
        assert_eq!(Margin::of(28.0, 30.0), Margin::Enough);
        assert_eq!(Margin::of(33.0, 30.0), Margin::Brief);
        assert_eq!(Margin::of(40.0, 30.0), Margin::Exceeded);
    }

    #[test]
    fn a_weak_pack_is_found_out() {
        let mut unit = samples::propulsion();
        let Drive::Electric { pack, .. } = &mut unit.drive else { return };
        pack.cell_resistance_ohm = 0.05;
        pack.cell_voltage_v = 3.7;
        pack.current_max_a = Some(5.0);
        let findings = PowerModel::new(&unit).unwrap().findings(&unit, 1.225);
        assert!(findings.iter().any(|f| matches!(f, PowerFinding::CellSag { .. })));
        let over = |f: &PowerFinding| {
            matches!(f, PowerFinding::PackCurrent { margin: Margin::Exceeded, .. })
        };
        assert!(findings.iter().any(over));
    }

    /// A drive of which the thrust is known gives T0 (1 - V / V0) at full
    /// throttle and nothing without: both stand in the error.
    #[test]
    fn the_error_tells_what_is_within_reach() {
        let model = samples::known_thrust();
        let most = 6.0 * (1.0 - 12.0 / 30.0);
        match model.point_for_thrust(5.0, 12.0, 1.225) {
            Err(PowerError::ThrustBeyondReach { wanted_n, most_n }) => {
                assert_eq!(wanted_n, 5.0);
                assert!((most_n - most).abs() < 1e-12, "{most_n}");
            }
            other => panic!("{other:?}"),
        }
        match model.point_for_thrust(-1.5, 12.0, 1.225) {
            Err(PowerError::ThrustBelowReach { wanted_n, least_n }) => {
                assert_eq!(wanted_n, -1.5);
                assert!(least_n.abs() < 1e-12, "{least_n}");
            }
            other => panic!("{other:?}"),
        }
        // At the very end of the reach it is still given.
        let full = model.point_for_thrust(most * (1.0 - 1e-9), 12.0, 1.225).unwrap();
        assert!((full.throttle - 1.0).abs() < 1e-6);
    }

    /// One unit of each quantity by hand: a cell's share of the pack's voltage,
    /// the motor's current against the controller, an inch more of diameter.
    #[test]
    fn findings_and_the_next_size_hold_what_the_models_give() {
        let mut unit = samples::propulsion();
        let Drive::Electric { pack, .. } = &mut unit.drive else { return };
        pack.cell_resistance_ohm = 0.05;
        pack.cell_voltage_v = 3.7;
        pack.current_max_a = Some(20.0);
        let model = PowerModel::new(&unit).unwrap();
        let point = model.operate(1.0, 0.0, 1.225);
        for finding in model.findings(&unit, 1.225) {
            match finding {
                PowerFinding::ControllerCurrent { current_a, limit_a, margin } => {
                    assert_eq!((current_a, limit_a), (point.motor_current_a, 30.0));
                    assert_eq!(margin, Margin::of(current_a, 30.0));
                }
                PowerFinding::PackCurrent { current_a, limit_a, margin } => {
                    assert_eq!((current_a, limit_a), (point.pack_current_a, 20.0));
                    assert_eq!(margin, Margin::of(current_a, 20.0));
                }
                PowerFinding::CellSag { cell_voltage_v, .. } => {
                    assert!((3.0 * cell_voltage_v - point.pack_voltage_v).abs() < 1e-12);
                    let sag = 3.7 - 0.05 * point.pack_current_a;
                    assert!((cell_voltage_v - sag).abs() < 1e-12, "{cell_voltage_v} {sag}");
                }
            }
        }
        let sizes = model.larger_propeller(&unit, 1.225).unwrap();
        assert!((sizes.diameter_m - 9.0 * 0.0254).abs() < 1e-12);
        assert_eq!(sizes.present, point);
        // A greater disc on the same voltage gives more thrust for more current.
        assert!(sizes.larger.thrust_n > point.thrust_n);
        assert!(sizes.larger.motor_current_a > point.motor_current_a);
        let margin = Margin::of(sizes.larger.motor_current_a, 30.0);
        assert_eq!(sizes.controller_margin, Some(margin));
    }

    /// Two motors alike empty the pack with twice the power of one, at full throttle
    /// with twice its current.
    #[test]
    fn a_pair_of_motors_shares_the_flight_time() {
        let mut unit = samples::propulsion();
        unit.mirrored = true;
        let model = PowerModel::new(&unit).unwrap();
        let pack = model.electric().unwrap().pack;
        let part = model.operate(0.6, 10.0, 1.225);
        let full = model.operate(1.0, 10.0, 1.225);
        for (point, load) in [
            (part, PackLoad::Power(2.0 * part.electrical_power_w)),
            (full, PackLoad::Current(2.0 * full.pack_current_a)),
        ] {
            let time = model.flight_time_s(&point, 3.6, 0.2).unwrap();
            assert!(time > 0.0);
            assert_eq!(Some(time), pack.time_to(load, 3.6, 0.2));
        }
        // Of a known thrust nothing is known that would empty a pack.
        assert!(samples::known_thrust().flight_time_s(&part, 3.6, 0.2).is_none());
    }
}
