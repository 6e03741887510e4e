//! Air that varies along a strip's chord.
//!
//! A lattice feels the air at its control points only. Its lift is exact where
//! the air grows in a straight line, but not the moment, and of anything that
//! bends three boxes lose a hundredth of the lift. What a swinging wake brings
//! bends most, since it grows towards the trailing edge, where lift is made.
//! Thin-aerofoil theory gives lift and moment of any velocity w(x) through the
//! chord, with x = (1 - cos theta) / 2, as
//!
//! L = integral of w (1 - cos theta) d theta / pi
//! M = integral of w (1 - cos theta) (1 + 2 cos theta) d theta / pi
//!
//! (H. Glauert, Elements of Aerofoil and Airscrew Theory, 1926, ch. VII, scaled
//! so that w = 1 has L = 1 and M = 0). Both hold the same weight, so Gauss's
//! three places for it give L of polynomials up to the fifth and M up to the
//! fourth degree exactly. The lattice is then told the straight line that has
//! this L and this M, which it takes exactly.

use std::f64::consts::PI;

/// Number of places along the chord.
pub const PLACES: usize = 3;

/// Twice the place along the chord, less one: the zeros of the Chebyshev
/// polynomial of the third kind, from the trailing edge forward.
fn node(index: usize) -> f64 {
    ((2 * index + 1) as f64 * PI / (2 * PLACES + 1) as f64).cos()
}

/// The places where the air has to be known, as shares of the chord.
pub fn places() -> [f64; PLACES] {
    std::array::from_fn(|index| 0.5 * (1.0 + node(index)))
}

/// The velocity that the box `index` of `boxes` is told where the air grows along
/// the chord as x does: by more than x, as the lattice finds only 1 - 1/n^2 of the
/// moment of a straight line.
pub fn growing(index: usize, boxes: usize) -> f64 {
    let boxes = boxes as f64;
    let off_the_mean = (index as f64 + 0.75) / boxes - 0.75;
    // A single box stands at the mean.
    0.75 + off_the_mean / (1.0 - 1.0 / (boxes * boxes).max(2.0))
}

/// What each place's velocity counts in the velocity that the box `index` of
/// `boxes` is told.
pub fn shares(index: usize, boxes: usize) -> [f64; PLACES] {
    let growing = growing(index, boxes);
    std::array::from_fn(|place| {
        let lift = (1.0 + node(place)) * 2.0 / (2 * PLACES + 1) as f64;
        let moment = lift * (1.0 - 2.0 * node(place));
        // x has L = 3/4 and M = -1/4.
        lift + moment * (3.0 - 4.0 * growing)
    })
}

#[cfg(test)]
mod tests {
    use nalgebra::{DMatrix, DVector};

    use super::*;

    /// Circulation of a section of chord 1 and its moment about the quarter chord,
    /// from a lattice of one strip of endless span (James 1972).
    fn lattice(velocities: &DVector<f64>) -> [f64; 2] {
        let boxes = velocities.len();
        let at = |index: usize, share: f64| (index as f64 + share) / boxes as f64;
        let influence =
            DMatrix::from_fn(boxes, boxes, |i, j| 1.0 / (2.0 * PI * (at(i, 0.75) - at(j, 0.25))));
        let circulation = influence.lu().solve(velocities).unwrap();
        let moment = |(j, part): (usize, &f64)| part * (at(j, 0.25) - 0.25);
        [circulation.sum(), circulation.iter().enumerate().map(moment).sum()]
    }

    /// The same in closed form for w = x^degree, from Glauert's coefficients of a
    /// cosine series: pi (A0 + A1 / 2), pi (A1 + A2) / 8 with this sense.
    fn theory(degree: i32) -> [f64; 2] {
        const STEPS: usize = 400;
        let mean = |weight: fn(f64) -> f64| {
            let term = |i: usize| {
                let theta = (i as f64 + 0.5) * PI / STEPS as f64;
                (0.5 * (1.0 - theta.cos())).powi(degree) * weight(theta)
            };
            (0..STEPS).map(term).sum::<f64>() / STEPS as f64
        };
        let lift = mean(|theta| 1.0 - theta.cos());
        let moment = mean(|theta| (2.0 * theta).cos() - theta.cos());
        [PI * lift, 0.25 * PI * moment]
    }

    #[test]
    fn a_lattice_told_the_straight_line_has_thin_aerofoil_lift_and_moment() {
        for boxes in [1, 2, 3, 6] {
            for degree in 0..=4 {
                let air = places().map(|place| place.powi(degree));
                let told = DVector::from_fn(boxes, |i, _| {
                    shares(i, boxes).iter().zip(air).map(|(share, air)| share * air).sum()
                });
                let (ours, theirs) = (lattice(&told), theory(degree));
                assert!(
                    (ours[0] - theirs[0]).abs() < 1e-12,
                    "{boxes} {degree} {ours:?} {theirs:?}"
                );
                if boxes > 1 {
                    assert!((ours[1] - theirs[1]).abs() < 1e-12, "{boxes} {degree} moment");
                }
            }
        }
    }

    #[test]
    fn by_itself_a_coarse_lattice_would_lose_a_hundredth_of_what_bends() {
        let at_control_points = DVector::from_fn(3, |i, _| ((i as f64 + 0.75) / 3.0).powi(2));
        let lost = 1.0 - lattice(&at_control_points)[0] / theory(2)[0];
        assert!((0.005..0.02).contains(&lost), "{lost}");
    }
}
