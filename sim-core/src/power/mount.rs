//! Where a propeller sits, where it points and which way it turns.

use nalgebra::Vector3;

use crate::aircraft::{Propulsion, Rotation};

/// A propeller's place and direction in body axes (x forward, y right, z
/// down).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mount {
    /// Middle of the disc from the moment reference, m.
    pub hub_body: Vector3<f64>,
    /// Unit vector along the shaft in the direction of thrust.
    pub axis_body: Vector3<f64>,
    /// +1 where the propeller turns clockwise seen from behind (right-handed
    /// about `axis_body`), -1 the other way.
    pub rotation_sign: f64,
}

impl Mount {
    /// The unit as drawn, with moments about `reference_body`, the position of
    /// the moment reference (as a rule the balance point) from the datum in
    /// body axes, m.
    ///
    /// Down-thrust tilts the thrust towards +z, right thrust towards +y,
    /// whether the propeller pulls or pushes.
    pub fn new(propulsion: &Propulsion, reference_body: Vector3<f64>) -> Self {
        let (down_sine, down_cosine) = propulsion.down_thrust_deg.to_radians().sin_cos();
        let (right_sine, right_cosine) = propulsion.right_thrust_deg.to_radians().sin_cos();
        Self {
            hub_body: propulsion.hub.to_body_axes() - reference_body,
            axis_body: Vector3::new(
                right_cosine * down_cosine,
                right_sine * down_cosine,
                down_sine,
            ),
            rotation_sign: match propulsion.propeller.rotation {
                Rotation::Clockwise => 1.0,
                Rotation::Counterclockwise => -1.0,
            },
        }
    }

    /// All mounts of a unit: one, or two where it is mirrored.
    pub fn all(
        propulsion: &Propulsion,
        reference_body: Vector3<f64>,
    ) -> impl Iterator<Item = Self> {
        let drawn = Self::new(propulsion, reference_body);
        let across = drawn.mirrored(reference_body.y);
        std::iter::once(drawn).chain(propulsion.mirrored.then_some(across))
    }

    /// The mirror image in the plane of symmetry, turning the other way.
    /// `reference_right_m` is how far the moment reference lies right of that
    /// plane.
    fn mirrored(self, reference_right_m: f64) -> Self {
        let mut image = self;
        image.hub_body.y = -self.hub_body.y - 2.0 * reference_right_m;
        image.axis_body.y = -self.axis_body.y;
        image.rotation_sign = -self.rotation_sign;
        image
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::power::samples;

    #[test]
    fn tilt_turns_the_thrust_down_and_right() {
        let mut unit = samples::propulsion();
        unit.down_thrust_deg = 3.0;
        unit.right_thrust_deg = 2.0;
        let mount = Mount::new(&unit, Vector3::new(-0.25, 0.0, 0.0));
        assert!((mount.axis_body.norm() - 1.0).abs() < 1e-12);
        assert!((mount.axis_body.z - 3.0_f64.to_radians().sin()).abs() < 1e-12);
        assert!(mount.axis_body.y > 0.0 && mount.axis_body.x > 0.99);
        // The hub lies 0.05 m behind the datum, the reference 0.25 m.
        assert!((mount.hub_body - Vector3::new(0.20, 0.0, 0.0)).norm() < 1e-12);
    }

    #[test]
    fn the_mirror_image_turns_the_other_way() {
        let mut unit = samples::propulsion();
        unit.mirrored = true;
        unit.hub.right_m = 0.2;
        unit.right_thrust_deg = 2.0;
        let reference = Vector3::new(-0.25, 0.01, 0.0);
        let mounts: Vec<_> = Mount::all(&unit, reference).collect();
        assert_eq!(mounts.len(), 2);
        let [drawn, image] = [mounts[0], mounts[1]];
        assert!((drawn.hub_body.y + reference.y - 0.2).abs() < 1e-12);
        assert!((image.hub_body.y + reference.y + 0.2).abs() < 1e-12);
        assert_eq!(image.axis_body.y, -drawn.axis_body.y);
        assert_eq!(image.rotation_sign, -drawn.rotation_sign);
        assert_eq!(drawn.rotation_sign, 1.0);
        unit.propeller.rotation = Rotation::Counterclockwise;
        let signs: Vec<f64> = Mount::all(&unit, reference).map(|one| one.rotation_sign).collect();
        assert_eq!(signs, [-1.0, 1.0]);
    }
}
