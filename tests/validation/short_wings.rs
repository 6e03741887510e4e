//! Wings that are hardly wider than long, up to their greatest lift.
//!
//! Source: a thin flat plate of aspect ratio 1, greatest lift 1.1 to 1.3 at 35 to
//! 40 degrees (G. E. Torres and T. J. Mueller, AIAA J. 42(5), 2004, from memory);
//! vortex lift, E. C. Polhamus, NASA TN D-3767, 1966 (from memory).
//! Tolerances: 0.2 about the middle of the measured range, which is its own
//! spread; 10 degrees, since the top is flat.

use fledge_tests::check_absolute;
use nalgebra::Vector3;
use sim_core::aero::grid::GridOptions;
use sim_core::aero::section::SectionModel;
use sim_core::aero::{AeroModel, AeroOptions, DeviceDeflections};
use sim_core::aircraft::{KnownSection, Place, Section, SectionKind};

use crate::wings::{TestWing, air, bare, ideal_section};

/// Lift coefficients of a sharp flat plate from 0 to 45 degrees.
fn lifts(aspect_ratio: f64) -> Vec<f64> {
    let section = Section { kind: SectionKind::FlatSheet, thickness: 0.02, ..ideal_section() };
    let section = Section { known: KnownSection::default(), ..section };
    let mut wing = TestWing { aspect_ratio, ..TestWing::default() }.surface();
    wing.panels[0].section = section;
    let options = AeroOptions {
        grid: GridOptions::default(),
        airspeed_m_s: 10.0,
        kinematic_viscosity_m2_s: 1e-4,
        wake_alpha_rad: 0.0,
    };
    let aircraft = bare(vec![wing]).check().unwrap();
    let model = AeroModel::new(&aircraft, Place::default(), options).unwrap();
    let lift = |degrees: i32| {
        let alpha = f64::from(degrees).to_radians();
        let wrench =
            model.loads(&air(alpha, 0.0, Vector3::zeros()), &DeviceDeflections::default(), &[]);
        let (sin, cos) = alpha.sin_cos();
        let force = wrench.force_body;
        (force.x * sin - force.z * cos) / (0.5 * 1.225 * 100.0 * aspect_ratio)
    };
    (0..=45).map(lift).collect()
}

/// Greatest lift before the first fall by 3 %, and its angle, degrees.
fn greatest(lifts: &[f64]) -> (f64, f64) {
    let mut best = 0;
    for (degrees, lift) in lifts.iter().enumerate() {
        if *lift > lifts[best] {
            best = degrees;
        } else if *lift < 0.97 * lifts[best] {
            break;
        }
    }
    (lifts[best], best as f64)
}

#[test]
fn a_square_plate_lifts_to_a_high_angle() {
    let (lift, degrees) = greatest(&lifts(1.0));
    check_absolute("greatest lift of a plate of AR 1", lift, 1.2, 0.2);
    check_absolute("its angle, degrees", degrees, 37.5, 10.0);
}

/// Greatest lift goes over into that of the section without a leap.
#[test]
fn greatest_lift_changes_smoothly_with_aspect_ratio() {
    let mut before = greatest(&lifts(1.0)).0;
    for tenths in 11..=36 {
        let lift = greatest(&lifts(f64::from(tenths) / 10.0)).0;
        assert!((lift - before).abs() < 0.1, "at {tenths} tenths: {before}, then {lift}");
        before = lift;
    }
}

/// Vortex lift grows with the square of the angle: small angles are the lattice's.
#[test]
fn long_wings_and_small_angles_are_left_alone() {
    let section = Section { kind: SectionKind::FlatSheet, thickness: 0.02, ..ideal_section() };
    let model = SectionModel::new(&Section { known: KnownSection::default(), ..section }, 1e5);
    for aspect_ratio in [3.5, 6.0, 20.0] {
        let on_wing = model.with_edge_vortices(aspect_ratio, 1.0, 1.0);
        assert_eq!(on_wing.vortex_share(), 0.0);
        assert_eq!(on_wing.lift_coefficient_limits(), model.lift_coefficient_limits());
    }
    let square = lifts(1.0);
    let bend = square[2] / square[1] - 2.0;
    assert!((0.0..0.06).contains(&bend), "{bend}");
}
