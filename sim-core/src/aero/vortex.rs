//! Velocity that a straight vortex filament brings about (Biot-Savart).
//!
//! Both forms are for unit circulation and are right-handed about the stated
//! direction. A [`Core`] keeps the velocity finite near the filament: it falls to
//! nothing on the axis.
//!
//! Reference: Katz and Plotkin, Low-Speed Aerodynamics, 2nd ed. 2001,
//! section 2.12, eq. 2.72 (from memory).

use std::f64::consts::PI;

use nalgebra::Vector3;

/// Keeps a point exactly on a filament from dividing by nothing, m2. Far below
/// any distance in an aeroplane.
const DISTANCE_SQUARED_MIN: f64 = 1e-18;

/// How a filament's strength is spread around it, by a radius in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Core {
    /// Not at all.
    Line,
    /// As in one vortex with the smooth profile of Scully (1975), h^2 / (h^2 +
    /// c^2) of the line's velocity at the distance h.
    Vortex(f64),
    /// As in one of many lines side by side that stand for a sheet, h^2 (h^2 + 3
    /// c^2) / (h^2 + c^2)^2 of the line's velocity.
    ///
    /// Scully's profile, added up over the lines, loses what the part of the
    /// sheet within the core does: of strength that grows by g per length, pi c g
    /// / 2 pi, an error of first order in the spacing. With the 3 the loss near
    /// the line and the gain around it are equal, since the integral of 1 - h^2
    /// (h^2 + b c^2) / (h^2 + c^2)^2 over all h is pi c (3 - b) / 2. Cores of this
    /// kind, for other moments: J. T. Beale and A. Majda, J. Comput. Phys. 58,
    /// 1985 (from memory).
    Sheet(f64),
}

impl Core {
    /// Square of the distance at which the line would have the velocity that it
    /// has, so spread, at a distance of the square `squared`, m2.
    fn soften(self, squared: f64) -> f64 {
        match self {
            Self::Line => squared,
            Self::Vortex(radius_m) => squared + radius_m * radius_m,
            Self::Sheet(radius_m) => {
                let core = radius_m * radius_m;
                let sum = squared + core;
                if core > 0.0 { sum * sum / (squared + 3.0 * core) } else { squared }
            }
        }
    }
}

/// Velocity at `point` of a filament from `start` to `end`, per unit
/// circulation, 1/m.
pub fn segment(
    point: Vector3<f64>,
    start: Vector3<f64>,
    end: Vector3<f64>,
    core: Core,
) -> Vector3<f64> {
    let along = end - start;
    let from_start = point - start;
    let from_end = point - end;
    let cross = along.cross(&from_start);
    let (start_m, end_m) = (from_start.norm(), from_end.norm());
    let length_squared = along.norm_squared();
    if length_squared == 0.0 || start_m * end_m < DISTANCE_SQUARED_MIN {
        return Vector3::zeros();
    }
    let softened = core.soften(cross.norm_squared() / length_squared);
    if softened < DISTANCE_SQUARED_MIN {
        return Vector3::zeros();
    }
    let angles = along.dot(&from_start) / start_m - along.dot(&from_end) / end_m;
    cross * (angles / (4.0 * PI * softened * length_squared))
}

/// Velocity at `point` of a filament from `start` to infinity along the unit
/// vector `direction`, per unit circulation, 1/m.
pub fn half_line(
    point: Vector3<f64>,
    start: Vector3<f64>,
    direction: Vector3<f64>,
    core: Core,
) -> Vector3<f64> {
    let from_start = point - start;
    let cross = direction.cross(&from_start);
    let distance = from_start.norm();
    let softened = core.soften(cross.norm_squared());
    if softened < DISTANCE_SQUARED_MIN || distance * distance < DISTANCE_SQUARED_MIN {
        return Vector3::zeros();
    }
    let cosine = direction.dot(&from_start) / distance;
    cross * ((1.0 + cosine) / (4.0 * PI * softened))
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
            Core::Line,
        );
        // Gamma / (2 pi h), turning right-handed about +x: at +y it goes to +z.
        assert!((v.z - 1.0 / (2.0 * PI * 0.5)).abs() < 1e-9);
    }

    #[test]
    fn a_half_line_is_half_of_it_abreast_of_its_end() {
        let v = half_line(Vector3::new(0.0, 0.5, 0.0), Vector3::zeros(), Vector3::x(), Core::Line);
        assert!((v.z - 0.5 / (2.0 * PI * 0.5)).abs() < 1e-12);
    }

    #[test]
    fn on_the_axis_the_velocity_is_nothing() {
        let v = half_line(Vector3::new(3.0, 0.0, 0.0), Vector3::zeros(), Vector3::x(), Core::Line);
        assert_eq!(v, Vector3::zeros());
        let v = segment(Vector3::zeros(), Vector3::zeros(), Vector3::x(), Core::Line);
        assert_eq!(v, Vector3::zeros());
    }

    /// Lines side by side whose strength grows steadily from -1 to 1, as they
    /// stand for a sheet, at a point on it that lies anywhere between two of them.
    /// The continuous sheet gives -2 / 2 pi. A vortex core loses the share pi c / 2
    /// of it; what comes and goes with the place is below pi c (k c) exp(-k c), by
    /// Poisson's sum, with k c = 2 pi c / spacing = pi, 0.14 pi c, and a tenth of
    /// that for the next term.
    #[test]
    fn spread_lines_side_by_side_are_a_sheet() {
        let (spacing, far) = (0.02, 1e5);
        let core_m = 0.5 * spacing;
        let off = |core: Core, place: f64| -> f64 {
            let sum: f64 = (-50..50)
                .map(|i| {
                    let y = (f64::from(i) + 0.5 - place) * spacing;
                    let (from, to) = (Vector3::new(-far, y, 0.0), Vector3::new(far, y, 0.0));
                    segment(Vector3::zeros(), from, to, core).z * y * spacing
                })
                .sum();
            sum * -PI - 1.0
        };
        for place in [0.0, 0.1, 0.2, 0.3, 0.4, 0.49] {
            let (vortex, sheet) =
                (off(Core::Vortex(core_m), place), off(Core::Sheet(core_m), place));
            assert!((vortex + 0.5 * PI * core_m).abs() < 0.15 * PI * core_m, "{place}: {vortex}");
            assert!(sheet.abs() < 0.16 * PI * core_m, "{place}: {sheet}");
        }
    }
}
