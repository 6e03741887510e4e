//! From the stick to the surface: rates and expo, then the servo and the motor
//! that take their time.
//!
//! # Method
//! Expo is the blend of line and cube `y = (1 - k) x + k x^3`: full stick still
//! gives the full throw, the slope at the centre is `1 - k` (common practice).
//! A servo follows its command with a first-order lag at limited speed; the
//! motor follows the throttle with a first-order lag. Both are advanced by
//! their exact solution for a command that holds over the step.
//!
//! # Limits
//! The load on the surface does not slow the servo here.

use serde::Serialize;

use crate::airframe::Controls;

/// Range of expo within which more stick always gives more throw.
pub const EXPO_RANGE: (f64, f64) = (-0.5, 1.0);

/// How one stick moves its surface.
///
/// # Conventions
/// The stick is positive where it asks for a positive moment (nose up, right
/// wing down, nose right), so a positive stick gives a negative deflection.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StickCurve {
    /// Deflection at full stick and full rate, rad, positive.
    pub throw_rad: f64,
    /// Dual rate, 0 to 1: share of the throw that full stick gives.
    pub rate: f64,
    /// Expo, -0.5 to 1; positive softens the centre.
    pub expo: f64,
}

impl StickCurve {
    /// Deflection for a stick from -1 to 1, rad. Values beyond are taken as
    /// full stick, expo beyond its range as the end of the range.
    pub fn deflection_rad(&self, stick: f64) -> f64 {
        let x = stick.clamp(-1.0, 1.0);
        let k = self.expo.clamp(EXPO_RANGE.0, EXPO_RANGE.1);
        -self.throw_rad * self.rate * ((1.0 - k) * x + k * x * x * x)
    }

    /// Slope of the deflection at the centre, rad per full stick, positive.
    pub fn slope_at_centre_rad(&self) -> f64 {
        self.throw_rad * self.rate * (1.0 - self.expo.clamp(EXPO_RANGE.0, EXPO_RANGE.1))
    }
}

/// A servo with its linkage, as the surface sees it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Servo {
    /// Time constant of the approach to the command, s; zero is none.
    pub time_constant_s: f64,
    /// Greatest speed of the surface, rad/s; infinite is no limit.
    pub speed_max_rad_s: f64,
}

impl Servo {
    /// A surface that is where it is told at once.
    pub const IDEAL: Self = Self { time_constant_s: 0.0, speed_max_rad_s: f64::INFINITY };

    /// A 9 g servo that drives a surface one to one: 60 deg in 0.11 s, first-
    /// order lag of 30 1/s (common practice, spread 30 %).
    pub const NINE_GRAM: Self = Self { time_constant_s: 1.0 / 30.0, speed_max_rad_s: 9.5 };

    /// Deflection after `step_s` towards a held command, rad.
    pub fn advance(&self, deflection_rad: f64, command_rad: f64, step_s: f64) -> f64 {
        let error = command_rad - deflection_rad;
        let knee = self.speed_max_rad_s * self.time_constant_s;
        // At full speed until the lag alone asks for less.
        let excess = error.abs() - knee;
        if self.speed_max_rad_s.is_finite() && excess > 0.0 {
            let slewing_s = excess / self.speed_max_rad_s;
            if step_s <= slewing_s {
                return deflection_rad + (self.speed_max_rad_s * step_s).copysign(error);
            }
            return command_rad - self.decayed(knee.copysign(error), step_s - slewing_s);
        }
        command_rad - self.decayed(error, step_s)
    }

    fn decayed(&self, error: f64, step_s: f64) -> f64 {
        if self.time_constant_s > 0.0 {
            error * (-step_s / self.time_constant_s).exp()
        } else {
            0.0
        }
    }
}

/// All servos and the motor.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Actuators {
    /// Elevator servo.
    pub elevator: Servo,
    /// Aileron servos.
    pub aileron: Servo,
    /// Rudder servo.
    pub rudder: Servo,
    /// Flap servo.
    pub flap: Servo,
    /// Motor: the lag of thrust behind the throttle, without a speed limit.
    pub motor: Servo,
}

impl Actuators {
    /// Everything is where it is told at once.
    pub const IDEAL: Self = Self {
        elevator: Servo::IDEAL,
        aileron: Servo::IDEAL,
        rudder: Servo::IDEAL,
        flap: Servo::IDEAL,
        motor: Servo::IDEAL,
    };

    /// 9 g servos, and a motor that spins up with a time constant of 0.15 s
    /// (estimate for an 8-inch propeller on a 28 mm motor, spread 50 %).
    pub const SMALL: Self = Self {
        elevator: Servo::NINE_GRAM,
        aileron: Servo::NINE_GRAM,
        rudder: Servo::NINE_GRAM,
        flap: Servo::NINE_GRAM,
        motor: Servo { time_constant_s: 0.15, speed_max_rad_s: f64::INFINITY },
    };

    /// Controls after `step_s` towards held commands.
    pub fn advance(&self, now: &Controls, command: &Controls, step_s: f64) -> Controls {
        let servos = [self.elevator, self.aileron, self.rudder, self.flap, self.motor];
        let (now, command) = (now.to_array(), command.to_array());
        Controls::from_array(std::array::from_fn(|index| {
            servos[index].advance(now[index], command[index], step_s)
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn expo_keeps_the_ends_and_softens_the_centre() {
        let curve = StickCurve { throw_rad: 0.5, rate: 0.8, expo: 0.4 };
        assert!((curve.deflection_rad(1.0) + 0.4).abs() < 1e-15);
        assert!((curve.deflection_rad(-7.0) - 0.4).abs() < 1e-15);
        assert_eq!(curve.deflection_rad(0.0), 0.0);
        let h = 1e-6;
        assert!((curve.deflection_rad(-h) / h - curve.slope_at_centre_rad()).abs() < 1e-9);
        // By hand: 0.4 (0.6 * 0.5 + 0.4 * 0.125) = 0.14.
        assert!((curve.deflection_rad(0.5) + 0.14).abs() < 1e-15);
    }

    #[test]
    fn more_stick_gives_more_throw_at_any_allowed_expo() {
        for expo in [EXPO_RANGE.0, 0.0, 0.7, EXPO_RANGE.1, 9.0] {
            let curve = StickCurve { throw_rad: 1.0, rate: 1.0, expo };
            let mut last = f64::INFINITY;
            for step in -50..=50 {
                let now = curve.deflection_rad(f64::from(step) / 50.0);
                assert!(now <= last);
                last = now;
            }
        }
    }

    #[test]
    fn servo_follows_its_differential_equation() {
        let servo = Servo { time_constant_s: 0.05, speed_max_rad_s: 4.0 };
        let (mut fine, h) = (0.0, 1e-5);
        for _ in 0..20_000 {
            let wish: f64 = (0.6 - fine) / servo.time_constant_s;
            fine += h * wish.clamp(-4.0, 4.0);
        }
        let coarse = servo.advance(servo.advance(0.0, 0.6, 0.08), 0.6, 0.12);
        assert!((coarse - fine).abs() < 1e-4, "{coarse} {fine}");
        assert!((coarse - servo.advance(0.0, 0.6, 0.2)).abs() < 1e-14);
    }

    #[test]
    fn ideal_and_purely_slewing_servos() {
        assert_eq!(Servo::IDEAL.advance(0.1, -0.4, 1e-3), -0.4);
        let slew = Servo { time_constant_s: 0.0, speed_max_rad_s: 2.0 };
        assert!((slew.advance(0.0, -1.0, 0.1) + 0.2).abs() < 1e-15);
        assert_eq!(slew.advance(0.0, -1.0, 5.0), -1.0);
    }

    /// From where it stands, not from the middle: first at full speed, then lagging.
    #[test]
    fn a_servo_starts_where_it_stands() {
        let slew = Servo { time_constant_s: 0.0, speed_max_rad_s: 2.0 };
        assert!((slew.advance(0.3, -1.0, 0.1) - 0.1).abs() < 1e-15);
        let servo = Servo { time_constant_s: 0.05, speed_max_rad_s: 4.0 };
        let (from_rest, shifted) = (servo.advance(0.0, 0.6, 0.11), servo.advance(0.3, 0.9, 0.11));
        assert!((shifted - from_rest - 0.3).abs() < 1e-15);
        let lag = Servo { time_constant_s: 0.05, speed_max_rad_s: f64::INFINITY };
        let wanted = 0.6 - 0.9 * (-2f64).exp();
        assert!((lag.advance(-0.3, 0.6, 0.1) - wanted).abs() < 1e-15);
    }
}
