//! Marks on the wing where the flow has left it: hatching, as a draughtsman
//! marks what is cut away, and the same in words elsewhere.

use nalgebra::Vector3;
use sim_core::assess::{StallSpread, StripPlace};

use super::mesh::{Mesh, Paint, Point, paint};

/// Below this the flow of a strip counts as gone.
pub const GONE_BELOW: f64 = 0.5;
const INK: Paint = paint(0xa63a1e);
/// Hatching lines over one chord.
const LINES: usize = 11;
/// Height of the hatching over the mean surface, of the chord: clear of the
/// thickest skin.
const LIFT: f32 = 0.085;

/// Hatching over one strip.
pub fn hatching(strip: &StripPlace) -> Mesh {
    let corners: [Point; 4] = strip.corners.map(|corner: Vector3<f64>| corner.cast::<f32>());
    let [inner_front, outer_front, outer_rear, inner_rear] = corners;
    let chord = (inner_front - inner_rear).norm();
    let normal = strip.normal.cast::<f32>() * (LIFT * chord);
    let mut mesh = Mesh::default();
    let inner = |at: f32| inner_front.lerp(&inner_rear, at) + normal;
    let outer = |at: f32| outer_front.lerp(&outer_rear, at) + normal;
    // Slanting lines whose slope does not depend on the strip's width.
    let width = (outer_front - inner_front).norm();
    let slant = (width / chord.max(1e-6)).min(1.0);
    for i in 0..LINES {
        let from = i as f32 / LINES as f32;
        let to = from + slant;
        if to <= 1.0 {
            mesh.line(inner(from), outer(to), INK);
        } else {
            let cut = (1.0 - from) / slant;
            mesh.line(inner(from), inner(1.0).lerp(&outer(1.0), cut), INK);
        }
    }
    mesh
}

/// The stretch of the wing whose flow is gone at a step, as shares of the half
/// span; `None` where all is attached.
pub fn gone_over_span(spread: &StallSpread, step: usize, wing: usize) -> Option<(f64, f64)> {
    let step = spread.steps.get(step)?;
    let of_wing = |strip: &&StripPlace| strip.surface == wing;
    let reach = |strip: &StripPlace| {
        let ends = strip.corners.map(|corner| corner.y.abs());
        (
            ends.iter().copied().fold(f64::INFINITY, f64::min),
            ends.iter().copied().fold(0.0, f64::max),
        )
    };
    let half = spread.strips.iter().filter(of_wing).map(|s| reach(s).1).fold(0.0, f64::max);
    let gone = spread
        .strips
        .iter()
        .zip(&step.attached)
        .filter(|(strip, attached)| strip.surface == wing && **attached < GONE_BELOW)
        .map(|(strip, _)| reach(strip));
    let (from, to) =
        gone.fold((f64::INFINITY, 0.0_f64), |(a, b), (from, to)| (a.min(from), b.max(to)));
    (half > 0.0 && from < to).then(|| (from / half, to / half))
}

#[cfg(test)]
mod tests {
    use sim_core::assess::SpreadStep;
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    fn strip(from: f64, to: f64) -> StripPlace {
        StripPlace {
            surface: 0,
            corners: [(0.0, from), (0.0, to), (-0.2, to), (-0.2, from)]
                .map(|(x, y)| Vector3::new(x, y, 0.0)),
            normal: Vector3::new(0.0, 0.0, -1.0),
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn hatching_lies_within_its_strip() {
        for width in [0.02, 0.1, 0.5] {
            let mesh = hatching(&strip(0.3, 0.3 + width));
            assert!(!mesh.lines.is_empty());
            for corner in mesh.lines.chunks_exact(super::super::mesh::FLOATS_PER_CORNER) {
                assert!(corner[0] <= 1e-6 && corner[0] >= -0.2 - 1e-6, "{}", corner[0]);
                assert!(f64::from(corner[1]) <= 0.3 + width + 1e-6 && corner[1] >= 0.3 - 1e-6);
            }
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn the_stretch_is_told_as_a_share_of_the_half_span() {
        let spread = StallSpread {
            strips: vec![strip(0.0, 0.25), strip(0.25, 0.5), strip(0.5, 1.0)],
            steps: vec![
                SpreadStep { alpha_rad: 0.1, attached: vec![1.0; 3] },
                SpreadStep { alpha_rad: 0.2, attached: vec![0.2, 0.4, 0.9] },
            ],
        };
        assert_eq!(gone_over_span(&spread, 0, 0), None);
        assert_eq!(gone_over_span(&spread, 1, 0), Some((0.0, 0.5)));
        assert_eq!(gone_over_span(&spread, 9, 0), None);
    }
}
