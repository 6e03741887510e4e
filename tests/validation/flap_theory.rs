//! Plain flap of thin-aerofoil theory (H. Glauert, ARC R&M 1095, 1927).
//!
//! Compared: zero-lift shift, lift, quarter-chord moment and hinge-moment
//! derivatives with the closed forms and quadratures worked out independently
//! of this code (numbers below), and the corrected two-dimensional lattice with
//! the same theory. Tolerance: half of the last digit given, since both sides
//! are the same theory; the lattice within 1e-9, since its rotations are solved
//! for. Model differences: none.

use std::f64::consts::PI;

use fledge_tests::{check_absolute, check_relative};
use nalgebra::{DMatrix, DVector};
use sim_core::aero::hinge::{
    EFFECTIVENESS_SEALED, HINGE_MOMENT_FACTOR, HINGE_MOMENT_FACTOR_RANGE, box_rotations,
    effective_deflection_rad, flap_effectiveness, hinge_moment_coefficient,
    ideal_hinge_moment_derivatives, lift_per_deflection, moment_per_deflection,
    zero_lift_shift_per_deflection,
};

/// E, tau, dcl/ddelta, dcm/ddelta, b1, b2.
const TABLE: [[f64; 6]; 5] = [
    [0.10, 0.3958, 2.487, -0.5400, -0.3449, -0.8842],
    [0.20, 0.5498, 3.455, -0.6400, -0.4994, -0.9229],
    [0.25, 0.6090, 3.826, -0.6495, -0.5653, -0.9436],
    [0.30, 0.6607, 4.152, -0.6416, -0.6274, -0.9654],
    [0.40, 0.7478, 4.699, -0.5879, -0.7448, -1.0127],
];

#[test]
fn derivatives_match_the_table() {
    for [ratio, tau, lift, moment, b1, b2] in TABLE {
        let what = |name: &str| format!("{name} at E {ratio}");
        check_absolute(&what("tau"), zero_lift_shift_per_deflection(ratio), tau, 6e-5);
        check_absolute(&what("lift"), lift_per_deflection(ratio), lift, 6e-4);
        check_absolute(&what("moment"), moment_per_deflection(ratio), moment, 6e-5);
        let ours = ideal_hinge_moment_derivatives(ratio);
        check_absolute(&what("b1"), ours.0, b1, 6e-5);
        check_absolute(&what("b2"), ours.1, b2, 6e-5);
    }
}

/// A flap as long as the chord is the plate itself: lift 2 pi, no moment about
/// the quarter chord, and -pi/2 about the nose from either angle.
#[test]
fn whole_chord_is_a_plate() {
    check_relative("lift", lift_per_deflection(1.0), 2.0 * PI, 1e-12);
    check_absolute("moment", moment_per_deflection(1.0), 0.0, 1e-12);
    let (b1, b2) = ideal_hinge_moment_derivatives(1.0);
    check_relative("b1", b1, -PI / 2.0, 1e-12);
    check_relative("b2", b2, -PI / 2.0, 1e-12);
    // An all-moving surface turns about its quarter chord instead.
    assert_eq!(hinge_moment_coefficient(1.0, 0.1, 0.1), 0.0);
}

/// The plainest lattice of all, written out afresh: lift and moment of boxes
/// turned by the given angles.
fn lattice(rotations: &[f64]) -> (f64, f64) {
    let boxes = rotations.len();
    let place = |index: usize, share: f64| (index as f64 + share) / boxes as f64;
    let influence = DMatrix::from_fn(boxes, boxes, |row, column| {
        1.0 / (2.0 * PI * (place(row, 0.75) - place(column, 0.25)))
    });
    let circulation =
        influence.lu().solve(&DVector::from_column_slice(rotations)).expect("regular lattice");
    circulation.iter().enumerate().fold((0.0, 0.0), |(lift, moment), (index, gamma)| {
        (lift + 2.0 * gamma, moment - 2.0 * gamma * (place(index, 0.25) - 0.25))
    })
}

#[test]
fn coarse_lattice_carries_the_theory() {
    for [ratio, ..] in TABLE {
        for boxes in 2..=8 {
            let (lift, moment) = lattice(&box_rotations(boxes, ratio));
            check_absolute("lattice lift", lift, lift_per_deflection(ratio), 1e-9);
            check_absolute("lattice moment", moment, moment_per_deflection(ratio), 1e-9);
        }
        let (lift, _) = lattice(&box_rotations(1, ratio));
        check_absolute("one box, lift", lift, lift_per_deflection(ratio), 1e-9);
    }
}

/// Rotations must follow the hinge without leaps, up to the all-moving surface.
/// One box spans 1/6 chord, so 0.001 chord moves a box by at most 0.006 plus
/// the change of the correction; 0.05 leaves room for its square-root start.
#[test]
fn rotations_follow_the_hinge_smoothly() {
    let mut before = box_rotations(6, 0.05);
    for step in 1..=950 {
        let now = box_rotations(6, 0.05 + f64::from(step) * 1e-3);
        for (a, b) in before.iter().zip(&now) {
            check_absolute("rotation", *b, *a, 0.05);
        }
        before = now;
    }
}

/// DATCOM 6.1.1.1, plain flap of 25 to 30 % chord, from memory: full effect to
/// 12 deg, then falling to about 0.7 at 30 deg and 0.43 at 60 deg. The chart's
/// own scatter is 10 %.
#[test]
fn effect_fades_at_large_deflection() {
    let factor =
        |degrees: f64| flap_effectiveness(degrees.to_radians(), true) / EFFECTIVENESS_SEALED;
    check_absolute("K' at 10 deg", factor(10.0), 1.0, 0.03);
    check_absolute("K' at 30 deg", factor(30.0), 0.70, 0.07);
    check_absolute("K' at 60 deg", factor(60.0), 0.43, 0.05);
}

#[test]
fn effect_is_odd_and_rises_throughout() {
    let mut before = 0.0;
    for tenth_degrees in 1..=600 {
        let deflection = f64::from(tenth_degrees).to_radians() / 10.0;
        let now = effective_deflection_rad(deflection, true);
        assert!(now > before, "falls at {deflection} rad");
        assert_eq!(now, -effective_deflection_rad(-deflection, true));
        assert!(effective_deflection_rad(deflection, false) < now);
        before = now;
    }
    check_relative("at rest", flap_effectiveness(0.0, true), EFFECTIVENESS_SEALED, 1e-6);
}

/// Real hinge moments are 20 to 50 % smaller than theory.
#[test]
fn hinge_moment_is_reduced_theory() {
    let (b1, b2) = ideal_hinge_moment_derivatives(0.25);
    let ours = hinge_moment_coefficient(0.25, 1e-4, 2e-4);
    check_relative("small angles", ours, HINGE_MOMENT_FACTOR * (b1 + 2.0 * b2) * 1e-4, 1e-6);
    let (least, greatest) = HINGE_MOMENT_FACTOR_RANGE;
    assert!(least < HINGE_MOMENT_FACTOR && HINGE_MOMENT_FACTOR < greatest);
}
