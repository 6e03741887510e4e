//! Reference frames and the rotations between them.
//!
//! # Conventions
//! All frames are right-handed, all rotations take components of the second
//! frame in their name to the first: `ned_from_body * velocity_body` is
//! north, east, down.
//! - **ned**: north, east, down; flat ground that does not rotate.
//! - **body**: x forward along the datum line, y right, z down, origin at the
//!   centre of gravity.
//! - **stability**: body turned about y until x lies under the flight path
//!   (angle of attack taken out).
//! - **wind**: stability turned about z until x is the flight path (sideslip
//!   taken out); drag along -x, lift along -z.
//!
//! Angle of attack is positive where the air comes from below, sideslip where
//! it comes from the right. Heading, pitch and bank are turned in this order
//! about z, y, x (Etkin and Reid, Dynamics of Flight, 3rd ed. 1996, chapter 4;
//! from memory).

use nalgebra::{Rotation3, UnitQuaternion, Vector3};
use serde::Serialize;

/// Below this airspeed, m/s, flow angles have no meaning and are called zero.
const AIRSPEED_MIN_M_S: f64 = 1e-9;

/// Attitude as three angles.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Euler {
    /// Bank angle, right wing down positive, rad, -pi to pi.
    pub bank_rad: f64,
    /// Pitch attitude, nose up positive, rad, -pi/2 to pi/2.
    pub pitch_rad: f64,
    /// Heading, clockwise from north, rad, -pi to pi.
    pub heading_rad: f64,
}

impl Euler {
    /// The rotation that takes body components to north, east, down.
    pub fn ned_from_body(&self) -> UnitQuaternion<f64> {
        UnitQuaternion::from_euler_angles(self.bank_rad, self.pitch_rad, self.heading_rad)
    }

    /// The three angles of an attitude.
    ///
    /// # Limits
    /// At 90 deg of pitch bank and heading are not told apart: the sum of them
    /// is given as heading, and the bank as zero.
    pub fn of_attitude(ned_from_body: &UnitQuaternion<f64>) -> Self {
        let rotation = ned_from_body.to_rotation_matrix();
        let m = rotation.matrix();
        let level = m[(0, 0)].hypot(m[(1, 0)]);
        let pitch_rad = (-m[(2, 0)]).atan2(level);
        // Where the nose points straight up both of the other pairs vanish.
        if level < 1e-12 {
            let heading_rad = (-m[(0, 1)]).atan2(m[(1, 1)]);
            return Self { bank_rad: 0.0, pitch_rad, heading_rad };
        }
        Self {
            bank_rad: m[(2, 1)].atan2(m[(2, 2)]),
            pitch_rad,
            heading_rad: m[(1, 0)].atan2(m[(0, 0)]),
        }
    }

    /// Rates of change of bank, pitch and heading, rad/s, from body rates.
    ///
    /// # Limits
    /// Grows without bound towards 90 deg of pitch.
    pub fn rates(&self, rates_body: &Vector3<f64>) -> Vector3<f64> {
        let (sin_phi, cos_phi) = self.bank_rad.sin_cos();
        let turning = rates_body.y * sin_phi + rates_body.z * cos_phi;
        Vector3::new(
            rates_body.x + turning * self.pitch_rad.tan(),
            rates_body.y * cos_phi - rates_body.z * sin_phi,
            turning / self.pitch_rad.cos(),
        )
    }

    /// Body rates of a steady turn about the vertical.
    pub fn turning(&self, turn_rate_rad_s: f64) -> Vector3<f64> {
        self.down_body() * turn_rate_rad_s
    }

    /// The unit vector down, in body axes.
    pub fn down_body(&self) -> Vector3<f64> {
        let (sin_phi, cos_phi) = self.bank_rad.sin_cos();
        let (sin_theta, cos_theta) = self.pitch_rad.sin_cos();
        Vector3::new(-sin_theta, sin_phi * cos_theta, cos_phi * cos_theta)
    }
}

/// Motion through the air as speed and two angles.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct AirAngles {
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Angle of attack, rad, -pi to pi.
    pub alpha_rad: f64,
    /// Sideslip, air from the right positive, rad, -pi/2 to pi/2.
    pub beta_rad: f64,
}

impl AirAngles {
    /// Speed and angles of a velocity relative to the air, body axes, m/s.
    pub fn of_velocity(velocity_body: &Vector3<f64>) -> Self {
        let airspeed_m_s = velocity_body.norm();
        if airspeed_m_s < AIRSPEED_MIN_M_S {
            return Self { airspeed_m_s, alpha_rad: 0.0, beta_rad: 0.0 };
        }
        let in_symmetry_plane = velocity_body.x.hypot(velocity_body.z);
        Self {
            airspeed_m_s,
            alpha_rad: velocity_body.z.atan2(velocity_body.x),
            beta_rad: velocity_body.y.atan2(in_symmetry_plane),
        }
    }

    /// The velocity relative to the air, body axes, m/s.
    pub fn velocity_body(&self) -> Vector3<f64> {
        let (sin_alpha, cos_alpha) = self.alpha_rad.sin_cos();
        let (sin_beta, cos_beta) = self.beta_rad.sin_cos();
        self.airspeed_m_s * Vector3::new(cos_alpha * cos_beta, sin_beta, sin_alpha * cos_beta)
    }
}

/// Rotation from stability to body axes.
pub fn body_from_stability(alpha_rad: f64) -> Rotation3<f64> {
    Rotation3::from_axis_angle(&Vector3::y_axis(), -alpha_rad)
}

/// Rotation from wind to body axes.
pub fn body_from_wind(alpha_rad: f64, beta_rad: f64) -> Rotation3<f64> {
    body_from_stability(alpha_rad) * Rotation3::from_axis_angle(&Vector3::z_axis(), beta_rad)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    #[test]
    fn signs_are_as_promised() {
        let up = Euler { pitch_rad: 0.3, ..Euler::default() }.ned_from_body();
        assert!((up * Vector3::x()).z < 0.0, "nose up points the nose above the horizon");
        let right = Euler { bank_rad: 0.3, ..Euler::default() }.ned_from_body();
        assert!((right * Vector3::y()).z > 0.0, "right bank lowers the right wing");
        let east = Euler { heading_rad: FRAC_PI_2, ..Euler::default() }.ned_from_body();
        assert!((east * Vector3::x() - Vector3::y()).norm() < 1e-15);
        let angles = AirAngles::of_velocity(&Vector3::new(10.0, 1.0, 2.0));
        assert!(angles.alpha_rad > 0.0 && angles.beta_rad > 0.0);
        // Lift on the wind axis -z with angle of attack pulls the body forward.
        assert!((body_from_stability(0.1) * -Vector3::z()).x > 0.0);
    }

    #[test]
    fn air_angles_turn_the_wind_axis_onto_the_velocity() {
        for (alpha_rad, beta_rad) in [(0.1, 0.2), (-3.0, 1.5), (PI, 0.0), (1.6, -0.7)] {
            let angles = AirAngles { airspeed_m_s: 12.0, alpha_rad, beta_rad };
            let along = body_from_wind(alpha_rad, beta_rad) * Vector3::x() * 12.0;
            assert!((along - angles.velocity_body()).norm() < 1e-12);
            let back = AirAngles::of_velocity(&along);
            assert!((back.velocity_body() - along).norm() < 1e-12);
        }
    }

    #[test]
    fn no_airspeed_has_no_angles() {
        assert_eq!(AirAngles::of_velocity(&Vector3::zeros()), AirAngles::default());
    }

    #[test]
    fn straight_up_still_gives_an_attitude() {
        for pitch_rad in [FRAC_PI_2, -FRAC_PI_2] {
            let attitude = Euler { bank_rad: 0.4, pitch_rad, heading_rad: 0.7 }.ned_from_body();
            let back = Euler::of_attitude(&attitude);
            assert!(back.ned_from_body().angle_to(&attitude) < 1e-7);
        }
    }

    #[test]
    fn a_steady_turn_changes_heading_only() {
        let euler = Euler { bank_rad: 0.8, pitch_rad: 0.2, heading_rad: 1.0 };
        let rates = euler.rates(&euler.turning(0.5));
        assert!((rates - Vector3::new(0.0, 0.0, 0.5)).norm() < 1e-15);
    }

    #[test]
    fn an_attitude_gives_its_angles_back() {
        for (bank_rad, pitch_rad, heading_rad) in [(0.3, -0.4, 1.2), (-2.8, 1.3, -3.0)] {
            let euler = Euler { bank_rad, pitch_rad, heading_rad };
            let back = Euler::of_attitude(&euler.ned_from_body());
            assert!((back.bank_rad - bank_rad).abs() < 1e-12);
            assert!((back.pitch_rad - pitch_rad).abs() < 1e-12);
            assert!((back.heading_rad - heading_rad).abs() < 1e-12);
        }
    }
}
