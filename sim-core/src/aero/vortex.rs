//! Velocity that a straight vortex filament brings about (Biot-Savart).
//!
//! Both forms are for unit circulation and are right-handed about the stated
//! direction. A core of radius `core_m` keeps the velocity finite near the
//! filament: it falls to nothing on the axis, as in a Rankine-like vortex with
//! the smooth profile of Scully (1975) `h^2 / (h^2 + core^2)`.
//!
//! Reference: Katz and Plotkin, Low-Speed Aerodynamics, 2nd ed. 2001,
//! section 2.12, eq. 2.72 (from memory).

use std::f64::consts::PI;

use nalgebra::Vector3;

/// Keeps a point exactly on a filament from dividing by nothing, m2. Far below
/// any distance in an aeroplane.
const DISTANCE_SQUARED_MIN: f64 = 1e-18;

/// Velocity at `point` of a filament from `start` to `end`, per unit
/// circulation, 1/m.
pub fn segment(
    point: Vector3<f64>,
    start: Vector3<f64>,
    end: Vector3<f64>,
    core_m: f64,
) -> Vector3<f64> {
    let along = end - start;
    let from_start = point - start;
    let from_end = point - end;
    let cross = along.cross(&from_start);
    let norms = from_start.norm() * from_end.norm();
    let spread = cross.norm_squared() + along.norm_squared() * core_m * core_m;
    if spread < DISTANCE_SQUARED_MIN * along.norm_squared() || norms < DISTANCE_SQUARED_MIN {
        return Vector3::zeros();
    }
    let angles = along.dot(&(from_start / from_start.norm() - from_end / from_end.norm()));
    cross * (angles / (4.0 * PI * spread))
}

/// Velocity at `point` of a filament from `start` to infinity along the unit
/// vector `direction`, per unit circulation, 1/m.
pub fn half_line(
    point: Vector3<f64>,
    start: Vector3<f64>,
    direction: Vector3<f64>,
    core_m: f64,
) -> Vector3<f64> {
    let from_start = point - start;
    let cross = direction.cross(&from_start);
    let distance = from_start.norm();
    let spread = cross.norm_squared() + core_m * core_m;
    if spread < DISTANCE_SQUARED_MIN || distance * distance < DISTANCE_SQUARED_MIN {
        return Vector3::zeros();
    }
    let cosine = direction.dot(&from_start) / distance;
    cross * ((1.0 + cosine) / (4.0 * PI * spread))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_segment_is_a_line_vortex() {
        let far = 1e6;
        let v = segment(
            Vector3::new(0.0, 0.5, 0.0),
            Vector3::new(-far, 0.0, 0.0),
            Vector3::new(far, 0.0, 0.0),
            0.0,
        );
        // Gamma / (2 pi h), turning right-handed about +x: at +y it goes to +z.
        assert!((v.z - 1.0 / (2.0 * PI * 0.5)).abs() < 1e-9);
    }

    #[test]
    fn a_half_line_is_half_of_it_abreast_of_its_end() {
        let v = half_line(Vector3::new(0.0, 0.5, 0.0), Vector3::zeros(), Vector3::x(), 0.0);
        assert!((v.z - 0.5 / (2.0 * PI * 0.5)).abs() < 1e-12);
    }

    #[test]
    fn on_the_axis_the_velocity_is_nothing() {
        let v = half_line(Vector3::new(3.0, 0.0, 0.0), Vector3::zeros(), Vector3::x(), 0.0);
        assert_eq!(v, Vector3::zeros());
        let v = segment(Vector3::zeros(), Vector3::zeros(), Vector3::x(), 0.0);
        assert_eq!(v, Vector3::zeros());
    }
}
