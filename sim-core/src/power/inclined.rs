//! What a propeller does to the airframe, inclined and turning included.
//!
//! Thrust along the shaft; reaction to the torque; from air that meets the
//! disc at an angle, a side force like a fin's (against the hub's sideways
//! motion) and, since the blade going into the wind pulls harder, a moment
//! about the direction of that motion (P-factor); the gyroscopic moment of the
//! spinning mass. The derivatives of the inclined propeller are blade-element
//! sums with the sidewash of their own side force, the ingredients of Ribner
//! (NACA Rep. 819, 1945, summary); his fin of the projected side area is the
//! check in the tests. Linear in the sideways speed: side force good to 25 %
//! and P-factor to 40 % up to 15 degrees of inclination (estimate: induction
//! is held fixed around the disc), beyond that an order of magnitude.

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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::power::samples;

    fn mount() -> Mount {
        Mount { hub_body: Vector3::new(0.3, 0.0, 0.0), axis_body: Vector3::x(), rotation_sign: 1.0 }
    }

    fn loads(velocity: Vector3<f64>, rates: Vector3<f64>, mount: &Mount) -> PropulsionLoads {
        let model = samples::electric();
        let point = model.operate(0.7, PowerModel::axial_airspeed(mount, &velocity), 1.225);
        model.loads(&point, mount, &velocity, &rates)
    }

    /// Term by term, by hand: about the hub the nose-up propeller turns by its
    /// torque and its P-factor per sideways speed, and a pitching one by its
    /// angular momentum times the rate, about z.
    #[test]
    fn each_moment_has_its_size() {
        let (velocity, rates) = (Vector3::new(12.0, 0.0, 2.0), Vector3::new(0.0, 3.0, 0.0));
        let hub = Mount { hub_body: Vector3::zeros(), ..mount() };
        for rotation_sign in [1.0, -1.0] {
            let mount = Mount { rotation_sign, ..hub };
            let model = samples::electric();
            let point = model.operate(0.7, 12.0, 1.225);
            let found = model.loads(&point, &mount, &velocity, &rates);
            let spin = model.propeller.inertia_kg_m2() * point.rotation_rad_s;
            let close = |ours: f64, theirs: f64| {
                assert!((ours - theirs).abs() < 1e-12 * (1.0 + theirs.abs()), "{ours} {theirs}");
            };
            close(found.moment_body.x, -rotation_sign * point.torque_n_m);
            close(found.moment_body.y, 0.0);
            let yaw = -2.0 * point.yaw_moment_n_s + spin * 3.0;
            close(found.moment_body.z, rotation_sign * yaw);
            close(found.force_body.x, point.thrust_n);
            close(found.force_body.z, -2.0 * point.side_force_n_s_per_m);
        }
    }

    #[test]
    fn clockwise_propeller_rolls_and_yaws_to_the_left() {
        // Stengel, Flight Dynamics, and every pilot's handbook: seen from
        // behind a clockwise propeller rolls the aeroplane left by its torque
        // and, at positive angle of attack, yaws it left.
        let level = loads(Vector3::new(12.0, 0.0, 0.0), Vector3::zeros(), &mount());
        assert!(level.moment_body.x < 0.0);
        assert!(level.moment_body.y.abs() < 1e-12 && level.moment_body.z.abs() < 1e-12);
        let nose_up = loads(Vector3::new(12.0, 0.0, 2.0), Vector3::zeros(), &mount());
        assert!(nose_up.moment_body.z < 0.0);
        // The side force lifts the nose, as a fin ahead would.
        assert!(nose_up.force_body.z < 0.0);
        assert!(nose_up.moment_body.y > 0.0);
    }

    #[test]
    fn gyroscopic_moment_yaws_right_when_the_nose_rises() {
        let steady = loads(Vector3::new(12.0, 0.0, 0.0), Vector3::zeros(), &mount());
        let rising = loads(Vector3::new(12.0, 0.0, 0.0), Vector3::new(0.0, 2.0, 0.0), &mount());
        let moment = rising.moment_body - steady.moment_body;
        assert!(moment.z > 0.0 && moment.x.abs() < 1e-12 && moment.y.abs() < 1e-12);
        let model = samples::electric();
        let point = model.operate(0.7, 12.0, 1.225);
        let expected = model.propeller().inertia_kg_m2() * point.rotation_rad_s * 2.0;
        assert!((moment.z - expected).abs() < 1e-12);
    }

    #[test]
    fn mirror_image_has_mirrored_loads() {
        let velocity = Vector3::new(11.0, 1.5, 0.8);
        let rates = Vector3::new(0.4, -0.3, 0.7);
        let drawn = Mount {
            hub_body: Vector3::new(0.2, 0.25, -0.03),
            axis_body: Vector3::new(0.99, 0.1, 0.05).normalize(),
            rotation_sign: 1.0,
        };
        let mut image = drawn;
        image.hub_body.y *= -1.0;
        image.axis_body.y *= -1.0;
        image.rotation_sign = -1.0;
        let flip = |v: Vector3<f64>| Vector3::new(v.x, -v.y, v.z);
        let one = loads(velocity, rates, &drawn);
        let other = loads(flip(velocity), -flip(rates), &image);
        assert!((flip(one.force_body) - other.force_body).norm() < 1e-12);
        assert!((-flip(one.moment_body) - other.moment_body).norm() < 1e-12);
    }

    /// The hub is an arm: away from the reference the force turns the aircraft by
    /// r x F, written out.
    #[test]
    fn the_hub_is_an_arm() {
        let (velocity, rates) = (Vector3::new(12.0, 1.0, 2.0), Vector3::new(0.3, -0.2, 0.5));
        let at = |hub_body: Vector3<f64>| loads(velocity, rates, &Mount { hub_body, ..mount() });
        let (arm, here) = (Vector3::new(0.2, 0.25, -0.03), at(Vector3::zeros()));
        let there = at(arm);
        assert_eq!(there.force_body, here.force_body);
        let force = here.force_body;
        assert!(force.iter().all(|part| part.abs() > 1e-3), "{force}");
        let turned = Vector3::new(
            0.25 * force.z + 0.03 * force.y,
            -0.03 * force.x - 0.2 * force.z,
            0.2 * force.y - 0.25 * force.x,
        );
        assert!((there.moment_body - here.moment_body - turned).norm() < 1e-12);
    }
}
