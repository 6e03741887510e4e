//! Trim and modes of a small unmanned aircraft from its derivatives.
//!
//! Source: derivatives of R. W. Beard and T. W. McLain, Small Unmanned
//! Aircraft, 2012, appendix E, from memory; the book prints no trim or modes,
//! they were worked out independently: level flight at 25 m/s, density 1.2682
//! kg/m3, constant thrust through the centre of gravity, stability axes taken
//! at the trim with the inertias left as they are.
//! Compared: trim, and modes with two choices of axes.
//! Tolerance: 1 % where our body axes are laid along the flight path, as the
//! worked values have it; 10 % where they lie as drawn, since turning the
//! inertias by 4.8 deg and the thrust line with them changes the model.

use fledge_tests::airframes::{Derivatives, small_uav};
use fledge_tests::{check_absolute, check_relative};
use sim_core::analysis::{
    LinearOptions, ModeKind, Modes, Trim, TrimTask, find_modes, linearise, solve_trim,
};
use sim_core::atmosphere::Atmosphere;
use sim_core::dynamics::Air;

const DEG: f64 = std::f64::consts::PI / 180.0;

fn fly(aircraft: &Derivatives) -> (Trim, Modes) {
    let air = Air { density_kg_m3: 1.2682, ..Air::still(&Atmosphere::sea_level()) };
    let trim = solve_trim(aircraft, &TrimTask::level(25.0, air), None).unwrap();
    let model = linearise(aircraft, &trim, &LinearOptions::default()).unwrap();
    (trim, find_modes(&model).unwrap())
}

fn check_modes(modes: &Modes, tolerance: f64) {
    for (kind, real, imaginary) in [
        (ModeKind::ShortPeriod, -1.4026, 3.6221),
        (ModeKind::Phugoid, -0.0115, 0.5318),
        (ModeKind::DutchRoll, -3.630, 8.830),
        (ModeKind::Roll, -11.826, 0.0),
    ] {
        let mode = modes.find(kind).unwrap_or_else(|| panic!("no {kind:?}"));
        let size = f64::hypot(real, imaginary);
        check_absolute(&format!("{kind:?}, real"), mode.real_1_s, real, tolerance * size);
        let what = format!("{kind:?}, imaginary");
        check_absolute(&what, mode.imaginary_rad_s, imaginary, tolerance * size);
    }
}

#[test]
fn trim_of_the_aircraft_as_drawn() {
    let aircraft = small_uav();
    let (trim, modes) = fly(&aircraft);
    // The worked trim leaves the lift of the thrust out: 0.8 % of the weight.
    check_relative("angle of attack", trim.alpha_rad, 4.781 * DEG, 0.02);
    check_relative("elevator", trim.controls.elevator_rad, -6.313 * DEG, 0.02);
    let lift = aircraft.lift_coefficient(trim.alpha_rad, trim.controls.elevator_rad);
    check_relative("lift coefficient", lift, 0.6076, 0.01);
    assert!(trim.shortfalls.is_empty());
    check_modes(&modes, 0.1);
}

#[test]
fn modes_in_the_axes_of_the_worked_values() {
    let aircraft = Derivatives { alpha_of_axis: 4.781 * DEG, ..small_uav() };
    let (trim, modes) = fly(&aircraft);
    check_absolute("angle of attack from the axis", trim.alpha_rad, 0.0, 2e-4);
    check_modes(&modes, 0.01);
    let spiral = modes.find(ModeKind::Spiral).unwrap().real_1_s;
    check_absolute("spiral", spiral, -0.0410, 0.002);
}
