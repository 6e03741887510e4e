//! The whole model against a plain lattice of both halves and forces by hand.

mod added_mass;
mod by_hand;
mod plain;
mod sections;

use super::*;
use crate::aero::grid::GridOptions;
use crate::aircraft::{
    Aircraft, ControlRole, ControlSurface, EXAMPLES, SurfaceRole, read_aircraft,
};
use by_hand::{POINT, WAKE_ALPHA_RAD, by_hand};

/// The trainer with a swept and twisted wing that has ailerons over a part of
/// its span, and with a tailplane that moves as a whole.
fn aircraft() -> Aircraft {
    let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
    let wing = &mut aircraft.surfaces[0];
    let panel = &mut wing.panels[0];
    (panel.sweep_deg, panel.twist_deg, panel.tip_chord_m) = (12.0, -2.0, 0.14);
    wing.controls.push(ControlSurface {
        name: "aileron".into(),
        role: ControlRole::Aileron,
        from_span: 0.42,
        to_span: 0.9,
        inner_chord: 0.2,
        outer_chord: 0.3,
        throw_max_deg: 30.0,
        gap_sealed: false,
        setting: None,
        linkage: None,
    });
    let tail = aircraft.surfaces.iter_mut().find(|s| s.role == SurfaceRole::Tailplane).unwrap();
    (tail.controls[0].inner_chord, tail.controls[0].outer_chord) = (1.0, 1.0);
    (tail.panels[0].dihedral_deg, tail.panels[0].incidence_deg) = (8.0, -3.0);
    aircraft
}

fn model(aircraft: &Aircraft) -> AeroModel {
    let options = AeroOptions {
        grid: GridOptions { strips: 4, strips_min: 3, boxes: 3 },
        airspeed_m_s: 12.0,
        kinematic_viscosity_m2_s: 1.5e-5,
        wake_alpha_rad: WAKE_ALPHA_RAD,
    };
    AeroModel::new(&aircraft.clone().check().unwrap(), POINT, options).unwrap()
}

fn air(velocity_body: Vector3<f64>, rates_body: Vector3<f64>) -> AirState {
    AirState {
        velocity_body,
        rates_body,
        density_kg_m3: 1.2,
        kinematic_viscosity_m2_s: 1.5e-5,
        height_m: None,
    }
}

fn assert_alike(found: &[f64], wanted: &[f64], what: &str) {
    let size = wanted.iter().fold(0.0f64, |most, part| most.max(part.abs()));
    for (k, (found, wanted)) in found.iter().zip(wanted).enumerate() {
        assert!((found - wanted).abs() < 1e-9 * size, "{what} {k}: {found}, not {wanted}");
    }
}

/// Compares what the model tells of a state with the same by hand.
fn compare(
    aircraft: &Aircraft,
    model: &AeroModel,
    state: &AirState,
    turned_rad: f64,
    added: &[Vector3<f64>],
) {
    let deflections = DeviceDeflections {
        right_rad: vec![turned_rad, 0.5 * turned_rad, -turned_rad],
        left_rad: vec![-0.8 * turned_rad, 0.3 * turned_rad, 0.0],
    };
    let found = model.loads(state, &deflections, added);
    let wanted = by_hand(model, aircraft, state, &deflections, added);
    let flow = model.scratch.borrow().flow.clone();
    let circulation: Vec<f64> = flow.iter().map(|flow| flow.circulation).collect();
    assert_alike(&circulation, &wanted.circulation, "circulation");
    let moment: Vec<f64> = flow.iter().map(|flow| flow.moment).collect();
    assert_alike(&moment, &wanted.moment, "moment of circulation");
    let wanted = wanted.wrench;
    assert_alike(found.force_body.as_slice(), wanted.force_body.as_slice(), "force");
    assert_alike(found.moment_body.as_slice(), wanted.moment_body.as_slice(), "moment");
    sections::check(model, &deflections);
}

/// Straight, yawing, turning, behind propellers, with flaps turned, stalled, near
/// the ground, and backwards.
#[test]
fn loads_are_those_of_a_plain_lattice() {
    let aircraft = aircraft();
    let model = model(&aircraft);
    let strips = model.strips.len();
    // Blown at from behind, the inner strips meet the stream from ahead.
    let stream =
        |k: usize, speed: f64| Vector3::new(-speed - 0.1 * k as f64, 0.3, 0.02 * k as f64 - 0.2);
    let turning = Vector3::new(0.5, -0.4, 0.6);
    for (velocity, rates, turned_rad, behind, height_m) in [
        (Vector3::new(12.0, 0.0, 0.2), Vector3::zeros(), 0.0, 0, None),
        (Vector3::new(12.0, 1.3, 0.5), Vector3::zeros(), 0.0, 0, None),
        (Vector3::new(12.0, -0.9, 0.1), turning, 0.2, strips, None),
        (Vector3::new(12.0, 0.8, 0.4), turning, 0.0, 4, Some(0.3)),
        (Vector3::new(11.0, 0.7, 2.9), 2.0 * turning, 0.1, 0, None),
        (Vector3::new(-9.0, 0.7, 1.0), turning, 0.1, 0, Some(0.3)),
        (Vector3::new(-4.0, 0.7, 1.0), turning, 0.1, 2, None),
    ] {
        let state = AirState { height_m, ..air(velocity, rates) };
        let added: Vec<_> =
            (0..behind).map(|k| stream(k, if velocity.x < 0.0 { 11.0 } else { 1.0 })).collect();
        compare(&aircraft, &model, &state, turned_rad, &added);
    }
}

/// A short wing, with vortices over its edges.
#[test]
fn loads_of_a_short_wing_are_those_of_a_plain_lattice() {
    let mut aircraft = aircraft();
    aircraft.surfaces[0].panels[0].span_m = 0.15;
    let model = model(&aircraft);
    for velocity in [Vector3::new(12.0, 0.8, 0.9), Vector3::new(11.0, 0.7, 4.0)] {
        compare(&aircraft, &model, &air(velocity, Vector3::zeros()), 0.0, &[]);
    }
}

/// Halves that stand apart stall each by itself; beside a fin that a gap parts from
/// the tailplane, but not wholly, the wake goes half the way with the air.
#[test]
fn loads_of_a_parted_wing_are_those_of_a_plain_lattice() {
    let mut aircraft = aircraft();
    aircraft.surfaces[0].root.right_m = 0.1;
    aircraft.bodies.clear();
    let fin = aircraft.surfaces.iter_mut().find(|s| s.role == SurfaceRole::Fin).unwrap();
    fin.root.up_m += 0.0105;
    let model = model(&aircraft);
    let closure = model.grid().closure(1, 2);
    assert!(closure > 0.1 && closure < 0.9, "{closure}");
    let state = air(Vector3::new(11.0, 0.7, 2.6), Vector3::new(0.9, 0.0, 0.2));
    compare(&aircraft, &model, &state, 0.1, &[]);
}

/// From far above to far below the stall, and turned over, slipping and rolling.
#[test]
fn every_strip_is_where_its_section_says_it_is() {
    let aircraft = aircraft();
    let model = model(&aircraft);
    assert_eq!(model.box_count(), 3 * model.strips.len());
    let grid = model.grid();
    for (k, points) in model.strip_points().enumerate() {
        let source = &grid.strips[if k < grid.strips.len() { k } else { k - grid.strips.len() }];
        let place =
            if k < grid.strips.len() { source.quarter_chord } else { mirror(source.quarter_chord) };
        assert!((points[2] - place + Vector3::new(0.0, POINT.right_m, 0.0)).norm() < 1e-12);
        // The section at the Reynolds number of its own chord.
        let section = SectionModel::new(&source.section, 12.0 * source.chord_m / 1.5e-5);
        let role = aircraft.surfaces[source.surface].role;
        let wanted = vortex_lift::on_wing(section, grid, source, role);
        assert_eq!(model.strips[k].section, wanted);
    }
    let none = DeviceDeflections { right_rad: vec![0.0; 3], left_rad: vec![0.0; 3] };
    let mut unfinished = 0;
    for degrees in (-40..=40).step_by(2).chain((60..=300).step_by(20)) {
        let (sin, cos) = f64::from(degrees).to_radians().sin_cos();
        let velocity = Vector3::new(12.0 * cos, 0.6, 12.0 * sin);
        for roll_rad_s in [0.0, 2.0] {
            model.loads(&air(velocity, Vector3::new(roll_rad_s, 0.0, 0.0)), &none, &[]);
            // In the fall of a steep section the search may end before it is done.
            let mut scratch = model.scratch.borrow().clone();
            if model.limiter.adjust(0, &model.strips, &mut scratch) {
                sections::check(&model, &none);
            } else {
                unfinished += 1;
            }
        }
    }
    assert!(unfinished < 6, "{unfinished}");
}

#[test]
fn a_grid_that_is_too_fine_is_refused_with_its_size() {
    let aircraft = aircraft();
    let options = AeroOptions {
        grid: GridOptions { strips: 400, strips_min: 1, boxes: 3 },
        airspeed_m_s: 12.0,
        kinematic_viscosity_m2_s: 1.5e-5,
        wake_alpha_rad: WAKE_ALPHA_RAD,
    };
    let boxes = 3 * Grid::new(&aircraft, Vector3::zeros(), options.grid).strips.len();
    let Err(error) = AeroModel::new(&aircraft.check().unwrap(), POINT, options) else {
        panic!("{boxes} boxes were not refused")
    };
    assert_eq!(error, AeroError::TooFine { boxes, limit: 1500 });
}
