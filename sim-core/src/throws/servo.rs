//! Is the servo strong and quick enough, and how much does the surface give?
//!
//! Virtual work gives servo torque and pushrod force from the hinge moment
//! (friction left out: common practice adds a fifth). A loaded servo slows
//! down on the straight line between no-load speed and stall torque of its
//! motor. Play in holes and gear, and the shortening of the pushrod, come out
//! at the surface through the lever of the horn.

use serde::Serialize;

use super::linkage::{FourBar, LinkageError, in_range};
use super::pushrod::Pushrod;
pub use crate::aircraft::Servo;
use crate::aircraft::limits::{
    GEAR_PLAY, HOLE_PLAY, Limits, SERVO_SPEED, SERVO_TRAVEL, STALL_TORQUE,
};

impl Servo {
    /// Checks the data.
    ///
    /// # Errors
    /// The first number outside its range.
    #[inline]
    pub fn check(&self) -> Result<(), LinkageError> {
        in_range("speed_s_per_60deg", self.speed_s_per_60deg, SERVO_SPEED)?;
        in_range("stall_torque_n_m", self.stall_torque_n_m, STALL_TORQUE)?;
        in_range("travel_deg", self.travel_deg, SERVO_TRAVEL)?;
        in_range("gear_play_deg", self.gear_play_deg, GEAR_PLAY)
    }

    /// Speed without load, rad/s.
    #[inline]
    pub fn speed_rad_s(&self) -> f64 {
        60.0_f64.to_radians() / self.speed_s_per_60deg
    }

    /// Speed under a torque (N m), rad/s; 0 at stall and beyond.
    #[inline]
    pub fn loaded_speed_rad_s(&self, torque_n_m: f64) -> f64 {
        self.speed_rad_s() * (1.0 - torque_n_m.abs() / self.stall_torque_n_m).max(0.0)
    }
}

/// A linkage under load at one deflection.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LoadedLinkage {
    /// Servo angle, rad.
    pub servo_angle_rad: f64,
    /// Torque that the servo must hold, N m, without friction.
    pub servo_torque_n_m: f64,
    /// That torque over the stall torque; common practice keeps below 0.5.
    pub torque_share: f64,
    /// Time from neutral to here against a load that grows evenly to the
    /// torque above, s; `None` where the servo stalls on the way.
    pub travel_time_s: Option<f64>,
    /// Force in the pushrod, N, positive in compression.
    pub rod_force_n: f64,
    /// Compression over Euler's load; 0 when pulled.
    pub euler_share: f64,
    /// Deflection lost by the pushrod's shortening, rad; `None` near buckling.
    pub lost_rad: Option<f64>,
}

/// Loads the linkage by a hinge moment at a surface angle.
///
/// # Conventions
/// `hinge_moment_n_m` is positive where the air pushes the surface towards
/// positive angles of [`FourBar`], so against a deflection it has the opposite
/// sign of `surface_angle_rad`.
///
/// # Errors
/// [`LinkageError`] for data out of range or an angle out of reach.
#[inline]
pub fn load_linkage(
    bar: &FourBar,
    servo: &Servo,
    rod: &Pushrod,
    surface_angle_rad: f64,
    hinge_moment_n_m: f64,
) -> Result<LoadedLinkage, LinkageError> {
    servo.check()?;
    rod.check()?;
    in_range("hinge_moment_n_m", hinge_moment_n_m, Limits::new(-1e4, 1e4, "N m"))?;
    let servo_angle_rad = bar.servo_angle(surface_angle_rad)?;
    let ratio = bar.ratio(servo_angle_rad)?;
    let lever = bar.horn_lever_m(servo_angle_rad)?;
    let servo_torque_n_m = (hinge_moment_n_m * ratio).abs();
    // A rearward push turns the surface by the sign of the ratio; air that
    // pushes back against it compresses the rod.
    let rod_force_n = -hinge_moment_n_m * ratio.signum() / lever;
    Ok(LoadedLinkage {
        servo_angle_rad,
        servo_torque_n_m,
        torque_share: servo_torque_n_m / servo.stall_torque_n_m,
        travel_time_s: travel_time_s(servo, servo_angle_rad, servo_torque_n_m),
        rod_force_n,
        euler_share: rod_force_n.max(0.0) / rod.euler_load_n(),
        lost_rad: rod.shortening_m(rod_force_n).map(|short| short.abs() / lever),
    })
}

/// Time for an angle against a torque that grows evenly from nothing:
/// the integral of d angle/(w0 (1 - s x)), x from 0 to 1, s the final share.
#[inline]
fn travel_time_s(servo: &Servo, angle_rad: f64, torque_n_m: f64) -> Option<f64> {
    let share = torque_n_m / servo.stall_torque_n_m;
    if share >= 0.999 {
        return None;
    }
    // -ln(1 - s)/s, whose limit for no load is 1.
    let slowing = if share < 1e-9 { 1.0 } else { -(-share).ln_1p() / share };
    Some(angle_rad.abs() / servo.speed_rad_s() * slowing)
}

/// Play at the control surface (rad, from stop to stop) from play of the
/// holes (m, both ends together) and of the servo's gear, at neutral.
///
/// # Errors
/// [`LinkageError`] for data out of range.
#[inline]
pub fn surface_play_rad(
    bar: &FourBar,
    servo: &Servo,
    hole_play_m: f64,
) -> Result<f64, LinkageError> {
    servo.check()?;
    in_range("hole_play_m", hole_play_m, HOLE_PLAY)?;
    let from_gear = servo.gear_play_deg.to_radians() * bar.ratio(0.0)?.abs();
    Ok(hole_play_m / bar.horn_lever_m(0.0)? + from_gear)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::throws::linkage::Linkage;
    use crate::throws::pushrod::{RodMaterial, Supports};

    /// Arm 10 mm, horn 20 mm, pushrod level: everything follows by hand.
    fn bar() -> FourBar {
        Linkage {
            servo_arm_m: 0.010,
            horn_height_m: 0.020,
            horn_offset_m: 0.0,
            pushrod_m: 0.3,
            shaft_height_m: 0.010,
            arm_neutral_deg: 0.0,
        }
        .four_bar()
        .unwrap()
    }

    fn rod() -> Pushrod {
        Pushrod {
            material: RodMaterial::Carbon,
            diameter_m: 0.002,
            inner_diameter_m: 0.0,
            length_m: 0.3,
            free_length_m: 0.1,
            supports: Supports::PinnedPinned,
            bow_m: 0.0,
        }
    }

    /// 0.04 N m at neutral: lever 20 mm gives 2 N, arm 10 mm gives 0.02 N m.
    #[test]
    fn loads_at_neutral_by_hand() {
        let servo = Servo::default();
        let pushed = load_linkage(&bar(), &servo, &rod(), 0.0, -0.04).unwrap();
        assert!((pushed.rod_force_n - 2.0).abs() < 1e-9);
        assert!((pushed.servo_torque_n_m - 0.02).abs() < 1e-9);
        assert!((pushed.torque_share - 0.125).abs() < 1e-9);
        let pulled = load_linkage(&bar(), &servo, &rod(), 0.0, 0.04).unwrap();
        assert!((pulled.rod_force_n + 2.0).abs() < 1e-9);
        assert_eq!(pulled.euler_share, 0.0);
        // 2 N on a 2 mm carbon rod of 0.3 m: E A/L = 110e9 x 3.1416e-6/0.3,
        // 1.736 um, over 20 mm 8.68e-5 rad.
        assert!((pushed.lost_rad.unwrap() - 8.68e-5).abs() < 1e-7);
    }

    /// Play by hand: 0.2 mm over 20 mm and 1 deg through a ratio of a half.
    #[test]
    fn play_by_hand() {
        let play = surface_play_rad(&bar(), &Servo::default(), 0.0002).unwrap();
        assert!((play.to_degrees() - (0.01_f64.to_degrees() + 0.5)).abs() < 1e-9);
    }

    #[test]
    fn load_slows_and_stalls() {
        let servo = Servo::default();
        // Half the stall torque at the end: -ln(0.5)/0.5 = 1.386 times longer.
        let time = |torque| travel_time_s(&servo, 0.5, torque);
        let free = time(0.0).unwrap();
        assert!((free - 0.5 / 9.5200).abs() < 1e-5);
        assert!((time(0.08).unwrap() / free - 1.386_294).abs() < 1e-5);
        assert_eq!(time(0.2), None);
        assert!((servo.loaded_speed_rad_s(0.04) / servo.speed_rad_s() - 0.75).abs() < 1e-12);
        assert_eq!(servo.loaded_speed_rad_s(1.0), 0.0);
    }

    #[test]
    fn a_thin_long_rod_is_reported_near_buckling() {
        let thin = Pushrod { diameter_m: 0.001, free_length_m: 0.3, ..rod() };
        let load = load_linkage(&bar(), &Servo::default(), &thin, 0.2, -0.04).unwrap();
        assert!(load.euler_share > 1.0);
        assert_eq!(load.lost_rad, None);
    }

    /// pi2 E I / L2 of a 2 mm carbon rod over 0.1 m, of which 2 N are a share; the
    /// moment is held to its range both ways.
    #[test]
    fn compression_is_told_as_a_share_of_eulers_load() {
        use std::f64::consts::PI;
        let euler = PI.powi(2) * 110e9 * (PI / 64.0 * 0.002f64.powi(4)) / 0.1f64.powi(2);
        let servo = Servo::default();
        let pushed = load_linkage(&bar(), &servo, &rod(), 0.0, -0.04).unwrap();
        assert!((pushed.euler_share * euler / 2.0 - 1.0).abs() < 1e-9, "{pushed:?}");
        for moment in [-1.5e4, 1.5e4] {
            assert!(load_linkage(&bar(), &servo, &rod(), 0.0, moment).is_err());
        }
    }
}
