//! What a wing leaves of a slipstream's swirl for the fin behind it.
//!
//! A wing in a turning stream takes load from it, up on one side and down on the
//! other, and the wake of that load turns the other way: it recovers a part of
//! the swirl. What is left for the tail is not put in by hand; the lattice brings
//! it about.
//! Held only to its direction and order: some is recovered and some is left
//! (a share of 0.3 to 0.7 is left behind tractor propellers of full-size
//! aeroplanes; common practice, wide limits for a wing above the shaft).
#![allow(clippy::unwrap_used)]

use nalgebra::Vector3;
use sim_core::aero::{AeroModel, AeroOptions, DeviceDeflections, strip_mean};
use sim_core::aircraft::{EXAMPLES, Place, Rotation, SurfaceRole, read_aircraft};
use sim_core::assess::{Question, aeroplane, assess, flight_point};
use sim_core::dynamics::{AirState, Airframe};
use sim_core::power::PowerModel;

/// Radius of the turning stream about the nose's height, m: the trainer's
/// propeller.
const RADIUS_M: f64 = 0.114;

/// Sum of the fin's section lift coefficients in a stream that turns by one
/// radian a second, with the wing raised by `up_m`.
fn fin_load(up_m: f64) -> f64 {
    let example = EXAMPLES.iter().find(|example| example.key == "trainer").unwrap();
    let mut aircraft = read_aircraft(example.text).unwrap();
    for surface in aircraft.surfaces.iter_mut().filter(|one| one.role == SurfaceRole::Wing) {
        surface.root.up_m += up_m;
    }
    aircraft.bodies.clear();
    let options = AeroOptions {
        grid: Default::default(),
        airspeed_m_s: 12.0,
        kinematic_viscosity_m2_s: 1.46e-5,
        wake_alpha_rad: 0.0,
    };
    let model = AeroModel::new(&aircraft.check().unwrap(), Place::default(), options).unwrap();
    let air = AirState {
        velocity_body: Vector3::new(12.0, 0.0, 0.0),
        rates_body: Vector3::zeros(),
        density_kg_m3: 1.225,
        kinematic_viscosity_m2_s: 1.46e-5,
        height_m: None,
    };
    let turning = |point: Vector3<f64>| {
        let across = Vector3::new(0.0, point.y, point.z);
        let inside = (1.5 - across.norm() / RADIUS_M).clamp(0.0, 0.5) * 2.0;
        Vector3::x().cross(&across) * inside
    };
    let added: Vec<Vector3<f64>> =
        model.strip_points().map(|points| strip_mean(points.map(turning))).collect();
    model.loads(&air, &DeviceDeflections::default(), &added);
    let strips = model.strip_loads();
    strips.iter().filter(|one| one.quarter_chord.y == 0.0).map(|one| one.section_cl).sum()
}

#[test]
fn the_wing_takes_a_part_of_the_swirl() {
    // Two metres up, the wing stands clear of the stream.
    let left = fin_load(0.0) / fin_load(2.0);
    assert!(left > 0.2 && left < 0.95, "{left} of the swirl is left");
}

/// A propeller's torque turns the aeroplane against its own turning, and what the
/// surfaces take out of the swirl makes up for a part of that: for all of it only
/// where vanes behind the propeller are made to (common practice: models with a
/// clockwise propeller roll and swing left with power).
#[test]
fn surfaces_give_back_a_part_of_the_torque() {
    for key in ["trainer", "sport"] {
        let example = EXAMPLES.iter().find(|example| example.key == key).unwrap();
        let aircraft = read_aircraft(example.text).unwrap();
        let roll = |rotation: Rotation| {
            let mut aircraft = aircraft.clone();
            aircraft.propulsion[0].propeller.rotation = rotation;
            let aircraft = aircraft.check().unwrap();
            let question = Question::default();
            let aeroplane = aeroplane(&aircraft, &question, Default::default()).unwrap();
            let trim = assess(&aircraft, &question).unwrap().trim;
            let mut point = flight_point(&trim);
            (point.controls, point.beta_rad) = (Default::default(), 0.0);
            point.controls.throttle = trim.controls.throttle;
            let roll = aeroplane.loads(&point.air(), &point.controls).moment_body.x;
            let engine = &aeroplane.engines()[0];
            let axial = PowerModel::axial_airspeed(&engine.mount, &point.air().velocity_body);
            let torque = engine.power.operate(point.controls.throttle, axial, 1.225).torque_n_m;
            (roll, torque)
        };
        let (clockwise, torque) = roll(Rotation::Clockwise);
        let (counter_clockwise, _) = roll(Rotation::Counterclockwise);
        let left_over = 0.5 * (counter_clockwise - clockwise) / torque;
        assert!((0.1..0.8).contains(&left_over), "{key}: {left_over} of the torque is left");
    }
}
