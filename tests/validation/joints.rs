//! Surfaces that stand on each other.
//!
//! Theory: a fin on a large plate is half of a wing, its other half being the
//! image (method of images), so its slope on its own area is that of a wing of
//! twice its aspect ratio: 2.474 and 3.612 for twice 1 and twice 2
//! (independent lifting surface, as for the plane wings).
//! Tolerance: the plate ends 1.5 fin chords ahead and behind and its boxes are a
//! quarter of the fin's chord, each worth some 2 to 3 %: 6 % together. Without
//! a tight joint the fin falls back towards its own aspect ratio (1.46 for 1,
//! 40 % less), and a slot of half a strip costs 10 % and more.

use fledge_tests::check_relative;
use sim_core::aero::grid::GridOptions;
use sim_core::aero::{AeroModel, AeroOptions, DeviceDeflections};
use sim_core::aircraft::{Place, SurfaceRole};

use crate::wings::{TestWing, air, bare};
use nalgebra::Vector3;

const PLATE_CHORD_M: f64 = 4.0;

fn fin_slope(aspect_ratio: f64, gap_m: f64) -> f64 {
    let mut plate = TestWing { aspect_ratio: 1.6 * aspect_ratio, ..TestWing::default() }.surface();
    plate.panels[0].root_chord_m = PLATE_CHORD_M;
    plate.panels[0].tip_chord_m = PLATE_CHORD_M;
    plate.panels[0].span_m = 8.0 * aspect_ratio;
    let mut fin = TestWing { aspect_ratio: 2.0 * aspect_ratio, ..TestWing::default() }.surface();
    fin.name = "fin".into();
    fin.role = SurfaceRole::Fin;
    fin.mirrored = false;
    fin.root = Place::new(1.5, 0.0, gap_m);
    fin.panels[0].dihedral_deg = 90.0;
    fin.panels[0].span_m = aspect_ratio;
    let aircraft = bare(vec![plate, fin]).check().unwrap();
    let mut options = AeroOptions {
        grid: TestWing::default().grid,
        airspeed_m_s: 10.0,
        kinematic_viscosity_m2_s: 1.46e-5,
        wake_alpha_rad: 0.0,
    };
    options.grid = GridOptions { strips: 30, strips_min: 10, boxes: 16 };
    let model = AeroModel::new(&aircraft, Place::default(), options).unwrap();
    let force = |beta: f64| {
        let air = air(0.0, beta, Vector3::zeros());
        model.loads(&air, &DeviceDeflections::default(), &[]).force_body.y
    };
    let step = 1e-3;
    (force(-step) - force(step)) / (2.0 * step) / (0.5 * 1.225 * 100.0 * aspect_ratio)
}

#[test]
fn a_fin_on_a_plate_is_half_a_wing() {
    for (aspect_ratio, theirs) in [(1.0, 2.474), (2.0, 3.612)] {
        // A gap that glue closes must not matter.
        for gap_m in [0.0, 0.02] {
            let what = format!("slope of a fin of aspect ratio {aspect_ratio}, gap {gap_m}");
            check_relative(&what, fin_slope(aspect_ratio, gap_m), theirs, 0.06);
        }
    }
}
