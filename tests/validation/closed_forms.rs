//! Motions with a closed form.
//!
//! Sources: vertical fall with quadratic drag and vacuum ballistics, any
//! textbook of mechanics; phugoid of F. W. Lanchester, Aerodonetics, 1908;
//! level turn, R. von Mises, Theory of Flight, 1945 (from memory).
//! Tolerances: 1e-4 with drag, 1e-6 in vacuum, the turn 0.1 %: printed digits.
//! The phugoid formula leaves pitch damping and speed damping out: its own
//! error on a real model is taken as 20 %.

use fledge_tests::airframes::{Ball, Brick, small_uav};
use fledge_tests::{check_absolute, check_relative};
use nalgebra::{UnitQuaternion, Vector3};
use sim_core::analysis::{
    Lateral, LinearOptions, ModeKind, TrimTask, find_modes, linearise, solve_trim,
};
use sim_core::atmosphere::{Atmosphere, GRAVITY_M_S2};
use sim_core::dynamics::{
    Air, Airframe, Controls, FlightState, IntegrateOptions, Motion, Trajectory, Wrench, integrate,
};

const DEG: f64 = std::f64::consts::PI / 180.0;

fn fly(body: &impl Airframe, velocity: Vector3<f64>, duration_s: f64, sample_s: f64) -> Trajectory {
    let air = Air::still(&Atmosphere::sea_level());
    let motion = Motion::new(body, air.density_kg_m3).unwrap();
    let start = FlightState {
        position_ned: Vector3::zeros(),
        velocity_body: velocity,
        attitude: UnitQuaternion::identity(),
        rates_body: Vector3::zeros(),
    };
    let rate =
        |_, state: &_| motion.state_rate(state, &Controls::default(), &air, &Wrench::default());
    integrate(rate, &start, &IntegrateOptions::precise(duration_s, sample_s)).unwrap()
}

#[test]
fn ball_falls_towards_its_terminal_speed() {
    let frontal_m2 = std::f64::consts::FRAC_PI_4 * 0.067 * 0.067;
    let ball = Ball { mass_kg: 0.0577, drag_area_m2: 0.5 * frontal_m2 };
    let run = fly(&ball, Vector3::zeros(), 3.0, 1.0);
    for (second, speed, depth) in
        [(1, 9.2478, 4.7603), (2, 15.9007, 17.5988), (3, 19.6382, 35.5758)]
    {
        check_relative("speed", run.states[second].velocity_ned().z, speed, 1e-4);
        check_relative("depth", run.states[second].position_ned.z, depth, 1e-4);
    }
}

#[test]
fn throw_in_a_vacuum() {
    let brick = Brick { mass_kg: 1.0, inertia_kg_m2: Vector3::new(0.1, 0.1, 0.1) };
    let side = 10.0 * (45.0 * DEG).cos();
    let flight_s = 2.0 * side / GRAVITY_M_S2;
    let run = fly(&brick, Vector3::new(side, 0.0, -side), flight_s, flight_s);
    // V^2 sin(2 gamma) / g = 10.197 m.
    check_relative("range", run.states[1].position_ned.x, 100.0 / GRAVITY_M_S2, 1e-6);
    check_absolute("height", run.states[1].height_m(), 0.0, 1e-6);
}

#[test]
fn level_turn() {
    for (bank_deg, airspeed, turn_deg_s, load_factor, radius_m) in [
        (30.0, 12.0, 27.03, 1.1547, 25.43),
        (30.0, 15.0, 21.63, 1.1547, 39.74),
        (60.0, 12.0, 81.10, 2.0, 8.478),
    ] {
        let task = TrimTask {
            lateral: Lateral::NoSideslip,
            turn_bank_rad: Some(bank_deg * DEG),
            ..TrimTask::level(airspeed, Air::still(&Atmosphere::sea_level()))
        };
        // The closed form banks about the flight path, so the body axis is laid
        // along it, and has no side force, so the rudder makes none here.
        let mut aircraft = small_uav();
        aircraft.mass_kg = 4.0;
        aircraft.side_rudder = 0.0;
        let mut trim = solve_trim(&aircraft, &task, None).unwrap();
        for _ in 0..3 {
            aircraft.alpha_of_axis += trim.alpha_rad;
            trim = solve_trim(&aircraft, &task, Some(&trim)).unwrap();
        }
        check_absolute("angle of attack", trim.alpha_rad, 0.0, 1e-4);
        check_relative("turn rate", trim.turn_rate_rad_s, turn_deg_s * DEG, 1e-3);
        check_relative("load factor", trim.load_factor, load_factor, 1e-3);
        check_relative("radius", airspeed / trim.turn_rate_rad_s, radius_m, 1e-3);
    }
}

#[test]
fn phugoid_of_lanchester() {
    let aircraft = small_uav();
    let air = Air::still(&Atmosphere::sea_level());
    for airspeed in [20.0, 25.0, 30.0] {
        let trim = solve_trim(&aircraft, &TrimTask::level(airspeed, air), None).unwrap();
        let model = linearise(&aircraft, &trim, &LinearOptions::default()).unwrap();
        let modes = find_modes(&model).unwrap();
        let phugoid = modes.find(ModeKind::Phugoid).unwrap();
        let period = std::f64::consts::PI * 2f64.sqrt() * airspeed / GRAVITY_M_S2;
        check_relative("period", phugoid.period_s.unwrap(), period, 0.2);
    }
}
