//! The flying field, built in code: a mown strip, meadow and parcels, trees, a
//! fence, hills, clouds.
//!
//! Everything is there for the eye to judge distance and height by: mown bands
//! and tufts near the pilot, posts at even spacing, trees of known size,
//! parcels to the horizon, haze. World axes are north, east, down from the
//! middle of the strip, which runs north; the ground is level.

mod growth;
mod land;

use super::mesh::{Paint, Point, paint};

pub use growth::{MAST_M, clouds, growth, wind_sock};
pub use land::{land, sky};

/// Haze at the horizon.
pub const HAZE: Paint = paint(0xe6edee);
/// Share lost to the haze for each metre.
pub const HAZE_PER_M: f32 = 0.0011;
/// Shadow on the grass.
pub const SHADOW: Paint = paint(0x22331f);
/// Towards the sun: south-west, high.
pub const SUN: [f32; 3] = [-0.42, -0.40, -0.81];

/// The strip: half its length and half its width, m.
pub const STRIP_M: (f32, f32) = (75.0, 7.0);
/// Where the pilot stands: beside the strip, clear of it; north and east, m.
pub const PILOT_M: (f32, f32) = (-6.0, -14.0);
/// Height of the pilot's eyes, m.
pub const EYES_M: f32 = 1.65;

/// Even, repeatable scatter: the same field on each visit. A hash of integers
/// with well-mixed bits (multiply and xor-shift, common practice).
fn scatter(seed: u32) -> f32 {
    let mut x = seed.wrapping_mul(0x9e37_79b9) ^ 0x85eb_ca6b;
    x ^= x >> 16;
    x = x.wrapping_mul(0x7feb_352d);
    x ^= x >> 15;
    x = x.wrapping_mul(0x846c_a68b);
    x ^= x >> 16;
    (x >> 8) as f32 / 16_777_216.0
}

/// Scatter of a place on a grid.
fn scatter_at(i: i32, k: i32, seed: u32) -> f32 {
    scatter((i as u32).wrapping_mul(73_856_093) ^ (k as u32).wrapping_mul(19_349_663) ^ seed)
}

/// Whether a place must stay clear: the strip, the pilot, the ways in and out.
fn is_clear(at: Point) -> bool {
    let off_strip = at.y.abs() > STRIP_M.1 + 1.5 || at.x.abs() > STRIP_M.0 + 3.0;
    let off_pilot = (at.x - PILOT_M.0).hypot(at.y - PILOT_M.1) > 2.5;
    off_strip && off_pilot
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::super::mesh::FLOATS_PER_CORNER;
    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn the_field_is_light_finite_and_leaves_the_strip_free() {
        let meshes = [land(), growth(), clouds(), sky()];
        let floats: usize = meshes.iter().map(|mesh| mesh.facets.len()).sum();
        let facets = floats / (3 * FLOATS_PER_CORNER);
        // 108 bytes each: below 3 MB on the card.
        assert!(facets < 28_000, "{facets}");
        for mesh in &meshes {
            assert!(mesh.facets.iter().all(|x| x.is_finite()));
        }
        // Nothing that stands up is on the strip.
        let (length, width) = STRIP_M;
        for corner in meshes[1].facets.chunks_exact(FLOATS_PER_CORNER) {
            let over_strip = corner[0].abs() < length && corner[1].abs() < width;
            assert!(!over_strip || corner[2] > -0.05, "{:?}", &corner[..3]);
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn scatter_is_even() {
        let mean = (0..4000).map(scatter).sum::<f32>() / 4000.0;
        // Standard deviation of the mean is 0.29 / sqrt(4000) = 0.005.
        assert!((mean - 0.5).abs() < 0.025, "{mean}");
    }
}
