//! Lift slope and roll damping of plane wings against an independent lifting
//! surface.
//!
//! Source: table of lifting-surface results (12 chordwise by 32 spanwise boxes
//! a half, tip inset), computed independently of this code; the method gives
//! Tuck's 1.4602 for aspect ratio 1 (E. O. Tuck 1993, from memory) to 0.1 %.
//! Weissinger (NACA TM 1120, 1947) and the lifting line differ by method and
//! are not compared. Tolerance: the table is good to 0.2 %, and our default
//! grid is claimed to be within 1 % of the converged lift and 2 % of the
//! converged roll damping, so 1 % and 2 %.

use fledge_tests::{check_absolute, check_relative};

use crate::wings::{TestWing, lift_and_roll};

#[test]
fn lift_slopes_of_plane_wings() {
    // Aspect ratio, taper, quarter-chord sweep in degrees, lift slope per rad.
    let table = [
        (2.0, 1.0, 0.0, 2.474),
        (3.0, 1.0, 0.0, 3.145),
        (4.0, 1.0, 0.0, 3.612),
        (6.0, 1.0, 0.0, 4.214),
        (8.0, 1.0, 0.0, 4.585),
        (6.0, 0.5, 0.0, 4.342),
        (6.0, 0.5, 30.0, 4.036),
        (4.0, 0.5, 45.0, 3.177),
        (3.0, 1.0, 45.0, 2.717),
    ];
    for (aspect_ratio, taper, sweep_deg, theirs) in table {
        let wing = TestWing { aspect_ratio, taper, sweep_deg, ..TestWing::default() };
        let step = 2e-3;
        let ours =
            (lift_and_roll(&wing, step, 0.0).0 - lift_and_roll(&wing, -step, 0.0).0) / (2.0 * step);
        check_relative(
            &format!("CLa of AR {aspect_ratio} {taper} {sweep_deg}"),
            ours,
            theirs,
            0.01,
        );
    }
}

#[test]
fn roll_damping_of_rectangular_wings() {
    let table = [(2.0, -0.190), (3.0, -0.269), (4.0, -0.336), (6.0, -0.440), (8.0, -0.517)];
    for (aspect_ratio, theirs) in table {
        let wing = TestWing { aspect_ratio, ..TestWing::default() };
        let rate = 0.01;
        let ours =
            (lift_and_roll(&wing, 0.0, rate).1 - lift_and_roll(&wing, 0.0, -rate).1) / (2.0 * rate);
        // The table is printed to three digits: half of the last one is 0.3 %
        // of the least value.
        check_relative(&format!("Clp of AR {aspect_ratio}"), ours, theirs, 0.02);
    }
}

#[test]
fn dihedral_effect_of_rectangular_wings() {
    // Cl_beta per degree of sideslip and degree of dihedral, without the part
    // that grows with lift: -0.000172, -0.000223, -0.000259 for AR 4, 6, 8
    // (lifting surface, antisymmetric step of incidence beta times dihedral).
    for (aspect_ratio, theirs) in [(4.0, -0.000_172), (6.0, -0.000_223), (8.0, -0.000_259)] {
        let dihedral_deg = 4.0;
        let wing = TestWing { aspect_ratio, dihedral_deg, ..TestWing::default() };
        let beta_deg: f64 = 1.0;
        let beta = beta_deg.to_radians();
        let plus = crate::wings::roll_in_sideslip(&wing, 0.0, beta);
        let minus = crate::wings::roll_in_sideslip(&wing, 0.0, -beta);
        let ours = (plus - minus) / (2.0 * beta_deg * dihedral_deg);
        check_relative(&format!("Clb of AR {aspect_ratio}"), ours, theirs, 0.03);
        check_absolute("roll is odd in sideslip", plus + minus, 0.0, 1e-12);
    }
}
