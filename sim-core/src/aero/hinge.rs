//! What a hinged flap does to its section, and what it costs the servo.
//!
//! Question: by how much do lift, pitching moment and hinge moment change when
//! the rear part of a thin section turns by `delta`? Method: thin-aerofoil
//! theory (H. Glauert, ARC R&M 1095, 1927), then factors for viscosity, for
//! large deflections and for an open gap. [`box_rotations`] carries the theory
//! into a coarse lattice without loss: a few chordwise boxes alone understate a
//! flap by 3 to 6 %.
//! Valid: flap chord ratio E = c_f / c in (0, 1], any deflection; values outside
//! are limited, never refused. Signs: positive deflection is trailing edge down
//! and gives lift, a nose-down pitching moment, and a hinge moment that wants
//! to bring the flap back. All-moving surfaces (E = 1) turn about their quarter
//! chord, where the ideal hinge moment is nil.

use std::f64::consts::PI;

use nalgebra::{DMatrix, DVector, Matrix2, Vector2};

/// Least flap chord ratio; smaller ones are taken as this.
const FLAP_CHORD_RATIO_MIN: f64 = 0.01;

/// Deflection at which a real flap's effect saturates, rad (26 deg).
///
/// With [`SATURATION_POWER`] it reproduces the deflection factor K' of DATCOM
/// 6.1.1.1 for plain flaps of 25 to 30 % chord (1.0 up to 12 deg, 0.73 at
/// 30 deg, 0.42 at 60 deg; chart from memory, spread 10 %).
const SATURATION_RAD: f64 = 0.454;
/// Sharpness of the saturation; an odd smooth curve for any value above 1.
const SATURATION_POWER: i32 = 3;

/// Small-deflection effectiveness of a flap without gap, over thin-aerofoil
/// theory. Estimate, spread 0.05; DATCOM 6.1.1.1 (from memory) gives 0.9 to 1.
pub const EFFECTIVENESS_SEALED: f64 = 0.95;
/// The same with an open gap. Estimate, spread 0.08; the rule is 0.75 to 0.9
/// (DATCOM 6.1.1.1, from memory).
pub const EFFECTIVENESS_OPEN: f64 = 0.80;

/// Real hinge moments over thin-aerofoil ones: they are 20 to 50 % smaller
/// (DATCOM 6.1.6, from memory), since the boundary layer is thickest there.
pub const HINGE_MOMENT_FACTOR: f64 = 0.65;
/// Range of [`HINGE_MOMENT_FACTOR`].
pub const HINGE_MOMENT_FACTOR_RANGE: (f64, f64) = (0.5, 0.8);

/// The angle theta_h of the hinge in x/c = (1 - cos theta) / 2, rad.
fn hinge_angle(flap_chord_ratio: f64) -> f64 {
    (2.0 * limited_ratio(flap_chord_ratio) - 1.0).acos()
}

/// What is no number counts as the least ratio.
fn limited_ratio(flap_chord_ratio: f64) -> f64 {
    if flap_chord_ratio.is_nan() {
        FLAP_CHORD_RATIO_MIN
    } else {
        flap_chord_ratio.clamp(FLAP_CHORD_RATIO_MIN, 1.0)
    }
}

/// Change of the zero-lift angle per flap deflection, 0 to 1: tau =
/// 1 - (theta_h - sin theta_h) / pi. Glauert (1927).
pub fn zero_lift_shift_per_deflection(flap_chord_ratio: f64) -> f64 {
    let theta = hinge_angle(flap_chord_ratio);
    1.0 - (theta - theta.sin()) / PI
}

/// Ideal d cl / d delta at constant angle of attack, per rad: 2 pi tau.
pub fn lift_per_deflection(flap_chord_ratio: f64) -> f64 {
    2.0 * PI * zero_lift_shift_per_deflection(flap_chord_ratio)
}

/// Ideal d cm / d delta about the quarter chord, per rad, never positive:
/// -1/2 sin theta_h (1 - cos theta_h). Glauert (1927).
pub fn moment_per_deflection(flap_chord_ratio: f64) -> f64 {
    let (sine, cosine) = hinge_angle(flap_chord_ratio).sin_cos();
    -0.5 * sine * (1.0 - cosine)
}

/// Ideal derivatives of the hinge-moment coefficient on flap chord squared,
/// per rad: b1 with angle of attack, b2 with deflection.
///
/// Glauert (1927). The integral for b2 is closed by parts: with G(t) =
/// (cos theta_h - cos t)^2 / 2 the logarithm's derivative cancels one factor.
pub fn ideal_hinge_moment_derivatives(flap_chord_ratio: f64) -> (f64, f64) {
    let ratio = limited_ratio(flap_chord_ratio);
    let theta = hinge_angle(ratio);
    let (sine, cosine) = theta.sin_cos();
    let flat = (PI - theta) * (cosine - 0.5) + sine * (1.0 - 0.5 * cosine);
    let nose = sine * ((PI - theta) * cosine + sine) / (2.0 * PI);
    let area = ratio * ratio;
    (-flat / area, -((1.0 - theta / PI) * flat + nose) / area)
}

/// Hinge-moment coefficient (on flap chord squared, span and dynamic pressure)
/// to be expected; positive turns the trailing edge down.
///
/// Ideal derivatives times [`HINGE_MOMENT_FACTOR`]; sines for the angles keep
/// it bounded and right in sign at any angle. An all-moving surface (ratio 1)
/// is hinged at its quarter chord and gives nil.
pub fn hinge_moment_coefficient(flap_chord_ratio: f64, alpha_rad: f64, deflection_rad: f64) -> f64 {
    if flap_chord_ratio >= 1.0 {
        return 0.0;
    }
    let (b1, b2) = ideal_hinge_moment_derivatives(flap_chord_ratio);
    HINGE_MOMENT_FACTOR * (b1 * finite_sine(alpha_rad) + b2 * finite_sine(deflection_rad))
}

fn finite_sine(angle_rad: f64) -> f64 {
    if angle_rad.is_finite() { angle_rad.sin() } else { 0.0 }
}

/// The deflection that thin-aerofoil theory would need for the effect that a
/// real flap has at `deflection_rad`. Odd, smooth, rising throughout.
pub fn effective_deflection_rad(deflection_rad: f64, gap_sealed: bool) -> f64 {
    if !deflection_rad.is_finite() {
        return 0.0;
    }
    let small = if gap_sealed { EFFECTIVENESS_SEALED } else { EFFECTIVENESS_OPEN };
    let over = (deflection_rad / SATURATION_RAD).abs().powi(SATURATION_POWER);
    small * deflection_rad / (1.0 + over).cbrt()
}

/// [`effective_deflection_rad`] over the deflection itself: what is left of the
/// ideal effect, 0 to 1.
pub fn flap_effectiveness(deflection_rad: f64, gap_sealed: bool) -> f64 {
    // Near zero the ratio is the small-deflection value; a tiny angle gives it.
    let deflection = if deflection_rad.abs() > 1e-9 { deflection_rad } else { 1e-9 };
    effective_deflection_rad(deflection, gap_sealed) / deflection
}

/// How much of a flap's rotation the normal of each chordwise box gets, front
/// to rear, so that a uniform two-dimensional lattice (vortex at a quarter,
/// control point at three quarters of each box) yields exactly thin-aerofoil
/// lift and quarter-chord moment for that flap.
///
/// Each box first gets the share of its length that lies on the flap. That
/// alone converges only at first order, so the least correction (in the sense
/// of squares, [`least_correction`]) that restores lift and moment is added.
/// With one box only the lift can be met. A ratio of 1 gives all ones, for
/// which the lattice is exact by itself (R. M. James, 1972, from memory).
pub fn box_rotations(boxes: usize, flap_chord_ratio: f64) -> Vec<f64> {
    let ratio = limited_ratio(flap_chord_ratio);
    if ratio >= 1.0 || boxes == 0 {
        return vec![1.0; boxes];
    }
    if boxes == 1 {
        return vec![zero_lift_shift_per_deflection(ratio)];
    }
    let overlap = DVector::from_fn(boxes, |row, _| {
        let flap_begins = (1.0 - ratio) * boxes as f64;
        ((row + 1) as f64 - flap_begins).clamp(0.0, 1.0)
    });
    let wanted = Vector2::new(lift_per_deflection(ratio), moment_per_deflection(ratio));
    let corrected = least_correction(&overlap, wanted).unwrap_or(overlap);
    corrected.iter().copied().collect()
}

/// Adds to `rotations` the smallest change that gives the `wanted` lift and
/// quarter-chord moment; `None` if the lattice is singular, which it is not
/// for two boxes or more.
fn least_correction(rotations: &DVector<f64>, wanted: Vector2<f64>) -> Option<DVector<f64>> {
    let (lift, moment) = lattice_responses(rotations.len())?;
    let missing = wanted - Vector2::new(lift.dot(rotations), moment.dot(rotations));
    let cross = lift.dot(&moment);
    let normal = Matrix2::new(lift.norm_squared(), cross, cross, moment.norm_squared());
    let multipliers = normal.lu().solve(&missing)?;
    Some(rotations + lift * multipliers.x + moment * multipliers.y)
}

/// Lift and quarter-chord moment coefficient of the two-dimensional lattice
/// per unit rotation of each box.
fn lattice_responses(boxes: usize) -> Option<(DVector<f64>, DVector<f64>)> {
    let count = boxes as f64;
    let vortex = |index: usize| (index as f64 + 0.25) / count;
    let control = |index: usize| (index as f64 + 0.75) / count;
    // Transposed influence: one solve gives the response to every rotation.
    let influence_transposed = DMatrix::from_fn(boxes, boxes, |column, row| {
        1.0 / (2.0 * PI * (control(row) - vortex(column)))
    });
    let factors = influence_transposed.lu();
    let lift = factors.solve(&DVector::from_element(boxes, 2.0))?;
    let moment = factors.solve(&DVector::from_fn(boxes, |row, _| -2.0 * (vortex(row) - 0.25)))?;
    Some((lift, moment))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_chord_turns_every_box_fully() {
        for boxes in 1..9 {
            assert_eq!(box_rotations(boxes, 1.0), vec![1.0; boxes]);
        }
        assert!(box_rotations(0, 0.3).is_empty());
    }

    #[test]
    fn lattice_yields_the_theory_for_every_flap() {
        for boxes in 2..13 {
            let (lift, moment) = lattice_responses(boxes).unwrap();
            for percent in 5..100 {
                let ratio = f64::from(percent) / 100.0;
                let rotations = DVector::from_vec(box_rotations(boxes, ratio));
                let cl = lift.dot(&rotations);
                let cm = moment.dot(&rotations);
                assert!((cl - lift_per_deflection(ratio)).abs() < 1e-9, "{boxes} {ratio}");
                assert!((cm - moment_per_deflection(ratio)).abs() < 1e-9, "{boxes} {ratio}");
            }
        }
    }

    #[test]
    fn rotations_stay_near_the_geometry() {
        for boxes in [2, 3, 4, 5, 6, 8, 12] {
            for ratio in [0.1, 0.2, 0.25, 0.3, 0.4, 0.5, 0.7, 0.95] {
                let rotations = box_rotations(boxes, ratio);
                assert!(rotations.iter().all(|f| f.is_finite() && f.abs() < 1.6));
            }
        }
    }

    #[test]
    fn wild_input_stays_finite() {
        for wild in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -3.0, 0.0, 1e300] {
            assert!(hinge_moment_coefficient(wild, wild, wild).is_finite());
            assert!(hinge_moment_coefficient(0.3, wild, wild).is_finite());
            assert!(effective_deflection_rad(wild, true).is_finite());
            assert!(flap_effectiveness(wild, false).is_finite());
            assert!(box_rotations(4, wild).iter().all(|f| f.is_finite()));
        }
    }

    /// What is changed of the shares of the boxes that lie on the flap is the least
    /// that brings lift and moment: nothing in a direction that brings neither.
    #[test]
    fn rotations_are_the_geometry_and_the_least_correction() {
        for boxes in [3, 4, 7] {
            let (lift, moment) = lattice_responses(boxes).unwrap();
            for ratio in [0.15, 0.3, 0.5, 0.8] {
                let overlap = DVector::from_fn(boxes, |i, _| {
                    let [front, rear] = [i, i + 1].map(|edge| edge as f64 / boxes as f64);
                    (rear - f64::max(front, 1.0 - ratio)).max(0.0) * boxes as f64
                });
                let change = DVector::from_vec(box_rotations(boxes, ratio)) - overlap;
                // Without its parts along both responses nothing is left of it.
                let across = &moment - &lift * (moment.dot(&lift) / lift.norm_squared());
                let rest = &change
                    - &lift * (change.dot(&lift) / lift.norm_squared())
                    - &across * (change.dot(&across) / across.norm_squared());
                assert!(rest.norm() < 1e-12, "{boxes} {ratio}: {rest}");
            }
        }
    }
}
