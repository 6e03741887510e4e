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
use sim_core::aircraft::{Place, Surface, SurfaceRole};

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

/// Source: tests/references/lattice.py, a plain horseshoe lattice in NumPy of
/// strips so fine that a tenth of its answer is not in question.
/// Compared: side force in sideslip of a fin with a tailplane below, at, through
/// and above it, and lift of a tailplane with fins inboard of its tips, at them
/// and beyond.
/// Tolerance: 2 %, which the default grid is claimed to be within, and 1 % that
/// the reference's way to strips of no width may be off. A joint is worth 55 % of
/// the side force and 20 % of the lift.
#[test]
fn crossing_surfaces_agree_with_a_plain_lattice() {
    let text = include_str!("../references/references.json");
    let joints = serde_json::from_str::<serde_json::Value>(text).unwrap()["joints"].clone();
    let numbers = |key: &str| -> Vec<f64> {
        joints[key].as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect()
    };
    for (tail_up_m, theirs) in numbers("tail_up_m").into_iter().zip(numbers("side_force_m2")) {
        let surfaces = plates(&joints["plates"], tail_up_m, None);
        let ours = -slope(surfaces, |angle| (0.0, angle), |force| force.y);
        check_relative(&format!("side force, tailplane {tail_up_m} m up"), ours, theirs, 0.03);
    }
    for (fin_right_m, theirs) in numbers("fin_right_m").into_iter().zip(numbers("lift_m2")) {
        let surfaces = plates(&joints["plates"], 0.0, Some(fin_right_m));
        let ours = slope(surfaces, |angle| (angle, 0.0), |force| -force.z);
        check_relative(&format!("lift, fins at {fin_right_m} m"), ours, theirs, 0.03);
    }
}

fn plates(sizes: &serde_json::Value, tail_up_m: f64, fin_right_m: Option<f64>) -> Vec<Surface> {
    let plate = |name: &str| {
        let mut surface = TestWing::default().surface();
        let size = |key: &str| sizes[name][key].as_f64().unwrap();
        surface.name = name.into();
        surface.panels[0].root_chord_m = size("chord_m");
        surface.panels[0].tip_chord_m = size("chord_m");
        surface.panels[0].span_m = size("span_m");
        surface
    };
    let (mut tail, mut fin) = (plate("tailplane"), plate("fin"));
    tail.root.up_m = tail_up_m;
    fin.role = SurfaceRole::Fin;
    fin.panels[0].dihedral_deg = 90.0;
    fin.mirrored = fin_right_m.is_some();
    fin.root.right_m = fin_right_m.unwrap_or(0.0);
    vec![tail, fin]
}

/// Change of a force over dynamic pressure with an angle, m2 per rad.
fn slope(
    surfaces: Vec<Surface>,
    wind: impl Fn(f64) -> (f64, f64),
    part: impl Fn(Vector3<f64>) -> f64,
) -> f64 {
    let options = AeroOptions {
        grid: GridOptions::default(),
        airspeed_m_s: 10.0,
        kinematic_viscosity_m2_s: 1.46e-5,
        wake_alpha_rad: 0.0,
    };
    let aircraft = bare(surfaces).check().unwrap();
    let model = AeroModel::new(&aircraft, Place::default(), options).unwrap();
    let at = |angle: f64| {
        let (alpha, beta) = wind(angle);
        let air = air(alpha, beta, Vector3::zeros());
        part(model.loads(&air, &DeviceDeflections::default(), &[]).force_body)
    };
    let step = 1e-3;
    (at(step) - at(-step)) / (2.0 * step) / (0.5 * 1.225 * 100.0)
}
