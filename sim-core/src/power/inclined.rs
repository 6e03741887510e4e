//! What a propeller does to the airframe, inclined and turning included.
//!
//! Thrust along the shaft; reaction to the torque; from air that meets the
//! disc at an angle, a side force like a fin's (against the hub's sideways
//! motion) and, since the blade going into the wind pulls harder, a moment
//! about the direction of that motion (P-factor); the gyroscopic moment of the
//! spinning mass. The derivatives of the inclined propeller are blade-element
//! sums with the sidewash of their own side force, the ingredients of Ribner
//! (NACA Rep. 819 and 820, 1945); his fin of the projected side area is the
//! check in the tests. Linear in the sideways speed: good to 20 % up to 15
//! degrees of inclination, beyond that an estimate.

use nalgebra::Vector3;

use super::{Mount, OperatingPoint, PowerModel};

/// Force and moment of one unit on the airframe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PropulsionLoads {
    /// Force in body axes, N.
    pub force_body: Vector3<f64>,
    /// Moment in body axes about the mount's reference, N m.
    pub moment_body: Vector3<f64>,
}

impl PowerModel {
    /// Airspeed along the shaft, m/s, from the hub's velocity relative to the
    /// air in body axes: what [`PowerModel::operate`] takes.
    pub fn axial_airspeed(mount: &Mount, velocity_hub_body: &Vector3<f64>) -> f64 {
        mount.axis_body.dot(velocity_hub_body)
    }

    /// Force and moment on the airframe at an operating point.
    ///
    /// `velocity_hub_body` is the velocity of the hub relative to the air
    /// (rates and wind included), m/s; `rates_body` the airframe's rates
    /// (p, q, r), rad/s.
    pub fn loads(
        &self,
        point: &OperatingPoint,
        mount: &Mount,
        velocity_hub_body: &Vector3<f64>,
        rates_body: &Vector3<f64>,
    ) -> PropulsionLoads {
        let axis = mount.axis_body;
        let sign = mount.rotation_sign;
        let sideways = velocity_hub_body - axis * axis.dot(velocity_hub_body);
        let force_body = axis * point.thrust_n - sideways * point.side_force_n_s_per_m;
        let torque_reaction = axis * (-sign * point.torque_n_m);
        let p_factor = sideways * (-sign * point.yaw_moment_n_s);
        let spin = axis * (sign * self.propeller.inertia_kg_m2() * point.rotation_rad_s);
        let gyroscopic = spin.cross(rates_body);
        PropulsionLoads {
            force_body,
            moment_body: mount.hub_body.cross(&force_body)
                + torque_reaction
                + p_factor
                + gyroscopic,
        }
    }
}
