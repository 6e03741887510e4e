//! Motor and controller: torque and current at a rotation speed.
//!
//! A direct-current motor of three constants: back voltage w / Kv, resistance
//! R, no-load current I0. I = (V - w / Kv) / R, Q = Kt (I - I0), with
//! Kt = 60 / (2 pi Kv) where Kv is in rpm/V. The controller is a lossless
//! chopper behind a resistance: throttle d gives the motor d times the pack's
//! voltage, and the pack d times the motor's current, so that power is kept.
//! With the pack's sag this stays linear:
//! I = (d V0 - w / Kv) / (R + Rc + d2 n Rp), where n motors alike share the pack.
//! The controller lets no current flow back: a propeller that the wind turns
//! faster freewheels against the no-load torque, unbraked.

use std::f64::consts::PI;

use super::PowerError;
use super::pack::PackModel;
use crate::aircraft::{Controller, Motor, Pack};

/// Least resistance of motor, leads and controller together, ohm; keeps an
/// ideal motor (0 ohm) finite.
const RESISTANCE_MIN_OHM: f64 = 1e-3;
/// Rotation speed around which the no-load torque is reached, rad/s (estimate,
/// 50-200). It is mostly iron loss, which fades towards standstill; a stopped
/// propeller is one that creeps.
const FRICTION_FULL_RAD_S: f64 = 100.0;
/// The bar on backward current is rounded over this share of the no-load
/// current, so that torque has a derivative.
const BLOCKING_ROUNDING: f64 = 0.1;

/// Motor, controller and pack as one source of torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ElectricDrive {
    /// Torque constant, N m/A, which is also the back voltage in V s/rad.
    pub torque_constant_n_m_a: f64,
    /// Resistance of motor and controller, ohm.
    pub resistance_ohm: f64,
    /// Current without load, A.
    pub no_load_current_a: f64,
    /// The pack.
    pub pack: PackModel,
    /// How many motors alike hang on that pack, this one among them.
    pub motors: f64,
}

/// Currents and voltage of the drive at one moment.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ElectricState {
    /// Current through the motor, A.
    pub motor_current_a: f64,
    /// Current out of the pack for this motor, A.
    pub pack_current_a: f64,
    /// Voltage at the pack's terminals, V.
    pub pack_voltage_v: f64,
}

impl ElectricDrive {
    /// Joins a motor, its controller and a pack of its own.
    ///
    /// # Errors
    /// [`PowerError`] where a value that must be positive is not.
    pub fn new(motor: &Motor, controller: &Controller, pack: &Pack) -> Result<Self, PowerError> {
        let kv_rpm_per_v = PowerError::positive("motor speed constant", motor.kv_rpm_per_v)?;
        let winding = PowerError::not_negative("motor resistance", motor.resistance_ohm)?;
        let leads = PowerError::not_negative("controller resistance", controller.resistance_ohm)?;
        let idle = PowerError::not_negative("no-load current", motor.no_load_current_a)?;
        Ok(Self {
            torque_constant_n_m_a: 60.0 / (2.0 * PI * kv_rpm_per_v),
            resistance_ohm: (winding + leads).max(RESISTANCE_MIN_OHM),
            no_load_current_a: idle,
            pack: PackModel::new(pack)?,
            motors: 1.0,
        })
    }

    /// Torque at the shaft, N m, at a throttle (0..1) and a rotation speed
    /// (rad/s, not negative); negative where friction alone acts.
    pub fn torque_n_m(&self, throttle: f64, rotation_rad_s: f64) -> f64 {
        let slow = FRICTION_FULL_RAD_S;
        let friction = rotation_rad_s / (rotation_rad_s * rotation_rad_s + slow * slow).sqrt();
        let current = self.motor_current_a(throttle, rotation_rad_s);
        self.torque_constant_n_m_a * (current - self.no_load_current_a * friction)
    }

    /// Currents and voltage at a throttle and a rotation speed.
    pub fn state(&self, throttle: f64, rotation_rad_s: f64) -> ElectricState {
        let motor_current_a = self.motor_current_a(throttle, rotation_rad_s);
        let pack_current_a = throttle * motor_current_a;
        let pack_voltage_v = self.pack.voltage_v(self.motors * pack_current_a);
        ElectricState { motor_current_a, pack_current_a, pack_voltage_v }
    }

    /// Rotation speed without load and friction, rad/s.
    pub fn idle_rotation_rad_s(&self, throttle: f64) -> f64 {
        throttle * self.pack.resting_voltage_v / self.torque_constant_n_m_a
    }

    fn motor_current_a(&self, throttle: f64, rotation_rad_s: f64) -> f64 {
        let voltage =
            throttle * self.pack.resting_voltage_v - self.torque_constant_n_m_a * rotation_rad_s;
        let shared = self.motors * self.pack.resistance_ohm;
        let resistance = self.resistance_ohm + throttle * throttle * shared;
        let current = voltage / resistance;
        let rounding = BLOCKING_ROUNDING * throttle * self.no_load_current_a;
        0.5 * (current + (current * current + rounding * rounding).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use crate::power::samples;

    /// Resistances in series; a motor at the speed that its voltage gives has no
    /// current but what the rounded bar lets through, half of a tenth of the
    /// no-load current; without throttle the friction alone is left, which at
    /// 100 rad/s is 1 / sqrt 2 of all of it.
    #[test]
    fn idle_speed_and_friction_follow_from_the_constants() {
        let model = samples::electric();
        let drive = model.electric().unwrap();
        assert!((drive.resistance_ohm - (0.07 + 0.008)).abs() < 1e-15);
        for throttle in [0.4, 1.0] {
            let idle = drive.idle_rotation_rad_s(throttle);
            // Back voltage is what the speed constant says, 1100 rpm per volt.
            let rpm = 60.0 * idle / std::f64::consts::TAU;
            assert!((rpm / (1100.0 * throttle * 12.0) - 1.0).abs() < 1e-12, "{rpm}");
            let current = drive.state(throttle, idle).motor_current_a;
            assert!((current - 0.05 * throttle * 0.9).abs() < 1e-9, "{current}");
        }
        let friction = drive.torque_constant_n_m_a * 0.9;
        let at = |rotation: f64| drive.torque_n_m(0.0, rotation) / friction;
        assert!((at(100.0) + 0.5f64.sqrt()).abs() < 1e-12, "{}", at(100.0));
        assert!((at(1e5) + 1.0).abs() < 1e-6 && at(0.0) == 0.0);
    }
}
