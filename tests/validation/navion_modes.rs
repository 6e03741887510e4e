//! Modes of a four-seat light aeroplane at sea level and 176 ft/s.
//!
//! Source: R. C. Nelson, Flight Stability and Automatic Control, 2nd ed. 1998,
//! appendix B and worked examples of chapters 4 and 5, from memory; the roots
//! of the book's matrices and those rebuilt from its derivatives worked out
//! with an independent solver.
//! Compared: the matrices' roots, and the whole way from derivatives through
//! trim and linearisation to the modes.
//! Tolerance: 0.1 % from the matrices (spiral 1 %); 1 % from derivatives, 0.002
//! 1/s on the spiral root. The rebuilt model puts the lift coefficient at 0.41,
//! our trim at the weight's 0.406, which moves the phugoid by under 1 %; its
//! damping, a small difference, gets 0.002 1/s like the spiral.

use fledge_tests::airframes::Derivatives;
use fledge_tests::{check_absolute, check_relative};
use nalgebra::Matrix4;
use sim_core::analysis::{
    LinearOptions, ModeKind, TrimTask, find_modes, lateral_modes, linearise, longitudinal_modes,
    solve_trim,
};
use sim_core::atmosphere::Atmosphere;
use sim_core::dynamics::Air;

const FOOT_M: f64 = 0.3048;
const SLUG_KG: f64 = 14.593_903;
const AIRSPEED_M_S: f64 = 176.0 * FOOT_M;

/// The book's coefficients, the body x axis laid along the flight path.
fn aircraft() -> Derivatives {
    let slug_ft2 = SLUG_KG * FOOT_M * FOOT_M;
    Derivatives {
        mass_kg: 2750.0 * 0.453_592_37,
        inertia_kg_m2: [1048.0 * slug_ft2, 3000.0 * slug_ft2, 3530.0 * slug_ft2, 0.0],
        area_m2: 184.0 * FOOT_M * FOOT_M,
        span_m: 33.4 * FOOT_M,
        chord_m: 5.7 * FOOT_M,
        thrust_max_n: 10_000.0,
        lift: 0.41,
        lift_alpha: 4.44,
        drag: 0.05,
        drag_alpha: 0.33,
        pitch_alpha: -0.683,
        pitch_alpha_rate: -4.36,
        pitch_q: -9.96,
        // Only to trim with; it takes part in no root.
        pitch_elevator: -0.923,
        side_beta: -0.564,
        roll_beta: -0.074,
        roll_p: -0.41,
        roll_r: 0.107,
        yaw_beta: 0.071,
        yaw_p: -0.0575,
        yaw_r: -0.125,
        ..Derivatives::default()
    }
}

#[test]
fn roots_of_the_matrices() {
    let longitudinal = Matrix4::new(
        -0.045, 0.036, 0.0, -32.2, //
        -0.369, -2.02, 176.0, 0.0, //
        0.0019, -0.0396, -2.948, 0.0, //
        0.0, 0.0, 1.0, 0.0,
    );
    let modes = longitudinal_modes(&longitudinal, 176.0).unwrap();
    let find = |kind| *modes.iter().find(|mode| mode.kind == kind).unwrap();
    let short = find(ModeKind::ShortPeriod);
    check_relative("short period, real", short.real_1_s, -2.4895, 1e-3);
    check_relative("short period, imaginary", short.imaginary_rad_s, 2.5978, 1e-3);
    let phugoid = find(ModeKind::Phugoid);
    check_relative("phugoid, real", phugoid.real_1_s, -0.01705, 1e-3);
    check_relative("phugoid, imaginary", phugoid.imaginary_rad_s, 0.21354, 1e-3);

    // The book's lateral states are sideslip, p, r, phi; ours have v = V beta.
    let of_sideslip = Matrix4::new(
        -0.254, 0.0, -1.0, 0.182, //
        -16.02, -8.40, 2.19, 0.0, //
        4.488, -0.350, -0.760, 0.0, //
        0.0, 1.0, 0.0, 0.0,
    );
    let scale = Matrix4::from_diagonal(&nalgebra::Vector4::new(176.0, 1.0, 1.0, 1.0));
    let lateral = scale * of_sideslip * scale.try_inverse().unwrap();
    let modes = lateral_modes(&lateral, 176.0).unwrap();
    let find = |kind| *modes.iter().find(|mode| mode.kind == kind).unwrap();
    check_relative("roll", find(ModeKind::Roll).real_1_s, -8.4328, 1e-3);
    let dutch_roll = find(ModeKind::DutchRoll);
    check_relative("Dutch roll, real", dutch_roll.real_1_s, -0.4862, 1e-3);
    check_relative("Dutch roll, imaginary", dutch_roll.imaginary_rad_s, 2.3336, 1e-3);
    check_relative("spiral", find(ModeKind::Spiral).real_1_s, -0.00891, 1e-2);
}

#[test]
fn from_derivatives_to_modes() {
    let aircraft = aircraft();
    let density_kg_m3 = 0.002378 * SLUG_KG / FOOT_M.powi(3);
    let air = Air { density_kg_m3, ..Air::still(&Atmosphere::sea_level()) };
    let trim = solve_trim(&aircraft, &TrimTask::level(AIRSPEED_M_S, air), None).unwrap();
    let model = linearise(&aircraft, &trim, &LinearOptions::default()).unwrap();
    let modes = find_modes(&model).unwrap();
    let short = modes.find(ModeKind::ShortPeriod).unwrap();
    check_relative("short period frequency", short.natural_frequency_rad_s, 3.608, 0.01);
    check_relative("short period damping", short.damping_ratio, 0.696, 0.01);
    let phugoid = modes.find(ModeKind::Phugoid).unwrap();
    check_relative("phugoid frequency", phugoid.natural_frequency_rad_s, 0.2136, 0.01);
    check_absolute("phugoid, real", phugoid.real_1_s, -0.01711, 0.002);
    let dutch_roll = modes.find(ModeKind::DutchRoll).unwrap();
    check_relative("Dutch roll frequency", dutch_roll.natural_frequency_rad_s, 2.397, 0.01);
    check_relative("Dutch roll damping", dutch_roll.damping_ratio, 0.203, 0.01);
    check_relative("roll", modes.find(ModeKind::Roll).unwrap().real_1_s, -8.4348, 0.01);
    let spiral = modes.find(ModeKind::Spiral).unwrap().real_1_s;
    check_absolute("spiral", spiral, -0.00819, 0.002);
}
