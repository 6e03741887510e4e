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
    /// As in one of many lines side by side that stand for a sheet, and as felt
    /// on strips side by side: with c nine tenths of their width, q = h^2 + c^2
    /// and p = c^2 / q, it is h^2 / q (1 + p + (4 - 24 b) p^2 + 48 b p^3) of the
    /// line's velocity. A wave of the wave number k across the lines keeps the
    /// share exp(-k c) (1 + k c + k^2 c^2 / 2 + b k^3 c^3) of its velocity.
    ///
    /// So long waves keep all, to third order: Scully's profile, whose share is
    /// exp(-k c), loses what the part of the sheet within the core does, an error
    /// of first order in the spacing. And b is such that a wave as long as the
    /// spacing keeps nothing: else the sum over lines or strips would come and go
    /// with the place of one among the others. Cores of this kind, for other
    /// moments: J. T. Beale and A. Majda, J. Comput. Phys. 58, 1985 (from memory).
    Sheet(f64),
}

/// Core of lines or strips side by side over their width, see [`Core::Sheet`].
pub const SHEET_SHARE: f64 = 0.9;

/// The b of [`Core::Sheet`], for which its wave as long as the spacing vanishes.
const SHEET: f64 = {
    let phase = 2.0 * PI * SHEET_SHARE;
    -(1.0 + phase + 0.5 * phase * phase) / (phase * phase * phase)
};

impl Core {
    /// One over the square of the distance at which the line would have the
    /// velocity that it has, so spread, at a distance of the square `squared`,
    /// 1/m2; nothing on a line without a core.
    fn nearness(self, squared: f64) -> f64 {
        let core = match self {
            Self::Line => 0.0,
            Self::Vortex(radius_m) | Self::Sheet(radius_m) => radius_m * radius_m,
        };
        let spread = squared + core;
        if spread < DISTANCE_SQUARED_MIN {
            return 0.0;
        }
        let inverse = 1.0 / spread;
        if let Self::Sheet(_) = self {
            let part = core * inverse;
            let more = part * (1.0 + part * (4.0 - 24.0 * SHEET + 48.0 * SHEET * part));
            inverse * (1.0 + more)
        } else {
            inverse
        }
    }
}

/// One over 4 pi, of the law of Biot and Savart.
const BIOT_SAVART: f64 = 0.25 / PI;

/// Velocity at `point` of a filament from `start` to `end`, per unit
/// circulation, 1/m.
#[inline]
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
    let ends = start_m * end_m;
    if length_squared == 0.0 || ends < DISTANCE_SQUARED_MIN {
        return Vector3::zeros();
    }
    // Divisions are what this costs: as few as can be.
    let inverse = 1.0 / length_squared;
    let nearness = core.nearness(cross.norm_squared() * inverse);
    let angles = (along.dot(&from_start) * end_m - along.dot(&from_end) * start_m) / ends;
    cross * (BIOT_SAVART * nearness * inverse * angles)
}

/// Velocity at `point` of a filament from `start` to infinity along the unit
/// vector `direction`, per unit circulation, 1/m.
#[inline]
pub fn half_line(
    point: Vector3<f64>,
    start: Vector3<f64>,
    direction: Vector3<f64>,
    core: Core,
) -> Vector3<f64> {
    let from_start = point - start;
    let cross = direction.cross(&from_start);
    let distance = from_start.norm();
    if distance * distance < DISTANCE_SQUARED_MIN {
        return Vector3::zeros();
    }
    let cosine = direction.dot(&from_start) / distance;
    cross * (BIOT_SAVART * core.nearness(cross.norm_squared()) * (1.0 + cosine))
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

    /// What lines side by side along x, of strength that grows steadily from -1
    /// to 1, do at a point on their sheet, `place` spacings from half-way between
    /// two of them. The continuous sheet gives -1.
    fn sheet_velocity(core: Core, spacing: f64, place: f64) -> f64 {
        let far = 1e5;
        let of_line = |i: i32| {
            let y = (f64::from(i) + 0.5 - place) * spacing;
            let (from, to) = (Vector3::new(-far, y, 0.0), Vector3::new(far, y, 0.0));
            segment(Vector3::zeros(), from, to, core).z * y * spacing
        };
        (-50..50).map(of_line).sum::<f64>() * PI
    }

    /// A vortex core loses the share pi c / 2. Of the sheet's core what is left is
    /// the wave of half the spacing's length: by Poisson's sum of the order of 2 pi c
    /// times the share 0.0013 of it that is kept, and the ends of the sheet, of the
    /// order of c^2.
    #[test]
    fn spread_lines_side_by_side_are_a_sheet() {
        let spacing = 0.02;
        let core_m = SHEET_SHARE * spacing;
        for place in [0.0, 0.1, 0.2, 0.3, 0.4, 0.49] {
            let off = |core| sheet_velocity(core, spacing, place) + 1.0;
            let (vortex, sheet) = (off(Core::Vortex(core_m)), off(Core::Sheet(core_m)));
            assert!((vortex - 0.5 * PI * core_m).abs() < 0.05 * PI * core_m, "{place}: {vortex}");
            assert!(sheet.abs() < 0.08 * core_m, "{place}: {sheet}");
        }
    }

    /// One line over strips side by side: the sum of what they meet is that of
    /// the line's velocity over the whole width, wherever between two strips the
    /// line lies. Without a core it would be anything, and with the smooth one of
    /// half a strip 2 pi exp(-pi) = 0.27 would come and go; here it is 2 pi times the
    /// share 0.0013 that a wave of half a strip's length keeps.
    #[test]
    fn a_line_over_strips_does_not_come_and_go() {
        let (far, width) = (1e5, 0.02);
        for place in [0.0, 0.05, 0.15, 0.25, 0.35, 0.45] {
            let y = place * width;
            let of_strip = |i: i32| {
                let point = Vector3::new(0.0, f64::from(i) * width, 0.0);
                let (from, to) = (Vector3::new(-far, y, 0.0), Vector3::new(far, y, 0.0));
                segment(point, from, to, Core::Sheet(SHEET_SHARE * width)).z * width
            };
            let sum: f64 = (-200..=500).map(of_strip).sum::<f64>() * 2.0 * PI;
            let whole = ((500.5 - place) / (200.5 + place)).ln();
            assert!((sum - whole).abs() < 0.01, "{place}: {sum}, not {whole}");
        }
    }

    /// A half line is a segment that ends far away, as seen from ahead and behind.
    #[test]
    fn a_half_line_is_a_long_segment() {
        let (start, along) = (Vector3::new(0.1, -0.2, 0.3), Vector3::new(-0.8, 0.36, 0.48));
        for point in [Vector3::zeros(), Vector3::new(-3.0, 1.0, 1.0), Vector3::new(2.0, 0.5, -1.0)]
        {
            for core in [Core::Line, Core::Vortex(0.3), Core::Sheet(0.2)] {
                let found = half_line(point, start, along, core);
                let wanted = segment(point, start, start + along * 1e5, core);
                assert!((found - wanted).norm() < 1e-8, "{found} {wanted}");
            }
        }
    }
}
