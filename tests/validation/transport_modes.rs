//! Modes of a large jet transport at 40 000 ft and Mach 0.8.
//!
//! Source: B. Etkin and L. D. Reid, Dynamics of Flight, 3rd ed. 1996, chapter
//! 6: longitudinal matrix as printed in two exercise texts, lateral from
//! memory (ft, s, rad).
//! Compared: eigenvalues, names, frequencies and damping ratios.
//! Tolerance: 0.1 %, the digits of the printed matrices; the spiral root, a
//! small difference of large numbers, 1 %.

use fledge_tests::{check_absolute, check_relative};
use nalgebra::Matrix4;
use sim_core::analysis::{Mode, ModeKind, MotionVariable, lateral_modes, longitudinal_modes};

const AIRSPEED_FT_S: f64 = 774.0;

fn pick(modes: &[Mode], kind: ModeKind) -> Mode {
    *modes.iter().find(|mode| mode.kind == kind).unwrap()
}

fn check_root(mode: &Mode, real: f64, imaginary: f64, tolerance: f64) {
    let size = real.hypot(imaginary);
    check_absolute("real part", mode.real_1_s, real, tolerance * size);
    check_absolute("imaginary part", mode.imaginary_rad_s, imaginary, tolerance * size);
}

#[test]
fn longitudinal() {
    let a = Matrix4::new(
        -0.006868, 0.01395, 0.0, -32.2, //
        -0.09055, -0.3151, 773.98, 0.0, //
        0.0001187, -0.001026, -0.4285, 0.0, //
        0.0, 0.0, 1.0, 0.0,
    );
    let modes = longitudinal_modes(&a, AIRSPEED_FT_S).unwrap();
    let short = pick(&modes, ModeKind::ShortPeriod);
    check_root(&short, -0.3719, 0.8875, 1e-3);
    check_relative("short period frequency", short.natural_frequency_rad_s, 0.9623, 1e-3);
    check_relative("short period damping", short.damping_ratio, 0.3865, 1e-3);
    check_relative("short period", short.period_s.unwrap(), 7.08, 1e-3);
    let phugoid = pick(&modes, ModeKind::Phugoid);
    check_root(&phugoid, -0.00329, 0.06723, 1e-3);
    check_relative("phugoid", phugoid.period_s.unwrap(), 93.5, 1e-3);
    // The book: the phugoid hardly changes the angle of attack, the short
    // period hardly the speed.
    assert!(phugoid.part(MotionVariable::AngleOfAttack).unwrap().magnitude < 0.1);
    assert!(short.part(MotionVariable::Speed).unwrap().magnitude < 0.1);
}

#[test]
#[allow(clippy::approx_constant, reason = "a roll damping of 0.4342 is no logarithm")]
fn lateral() {
    let a = Matrix4::new(
        -0.0558, 0.0, -774.0, 32.2, //
        -0.003865, -0.4342, 0.4136, 0.0, //
        0.001086, -0.006112, -0.1458, 0.0, //
        0.0, 1.0, 0.0, 0.0,
    );
    let modes = lateral_modes(&a, AIRSPEED_FT_S).unwrap();
    check_root(&pick(&modes, ModeKind::DutchRoll), -0.0330, 0.9465, 1e-3);
    check_root(&pick(&modes, ModeKind::Roll), -0.5625, 0.0, 1e-3);
    let spiral = pick(&modes, ModeKind::Spiral);
    check_root(&spiral, -0.00730, 0.0, 1e-2);
    check_relative("time to half", spiral.time_to_half_or_double_s.unwrap(), 95.0, 1e-2);
}
