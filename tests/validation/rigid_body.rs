//! Rotation of a rigid body without torque.
//!
//! Source: tumbling brick, E. B. Jackson, R. Shelton et al., NASA/TM-2015-
//! 218675, 2015, atmospheric case 2 (mass and rates from memory); its body
//! rates worked out from Euler's equations with an independent solver at 1e-12
//! and agreeing with the period of the Jacobi functions. Symmetric top: closed
//! form.
//! Compared: body rates over 30 s with both of our integrators, conservation
//! of energy and angular momentum, length of the quaternion.
//! Tolerance: 0.01 deg/s at steps of 10 ms, as the source asks between codes;
//! 1e-6 for what is conserved.

use fledge_tests::airframes::Brick;
use fledge_tests::{check_absolute, check_relative};
use nalgebra::{UnitQuaternion, Vector3};
use sim_core::atmosphere::Atmosphere;
use sim_core::dynamics::{
    Air, Airframe, Controls, FlightState, IntegrateOptions, Method, Motion, Trajectory, Wrench,
    integrate,
};

const DEG: f64 = std::f64::consts::PI / 180.0;

/// Homogeneous box of 8 x 4 x 2.25 in.
fn brick() -> Brick {
    Brick { mass_kg: 2.26796, inertia_kg_m2: Vector3::new(0.002_568_24, 0.008_421_0, 0.009_754_6) }
}

fn tumble(body: &Brick, rates_body: Vector3<f64>, options: &IntegrateOptions) -> Trajectory {
    let air = Air::still(&Atmosphere::sea_level());
    let motion = Motion::new(body, air.density_kg_m3).unwrap();
    let start = FlightState {
        position_ned: Vector3::zeros(),
        velocity_body: Vector3::new(3.0, -1.0, 2.0),
        attitude: UnitQuaternion::from_euler_angles(0.3, -0.2, 1.0),
        rates_body,
    };
    let rate =
        |_, state: &_| motion.state_rate(state, &Controls::default(), &air, &Wrench::default());
    integrate(rate, &start, options).unwrap()
}

fn methods() -> [IntegrateOptions; 2] {
    let fixed = Method::RungeKutta { step_s: 0.01 };
    [
        IntegrateOptions::precise(30.0, 1.0),
        IntegrateOptions { duration_s: 30.0, sample_s: 1.0, method: fixed },
    ]
}

#[test]
fn tumbling_brick() {
    for options in methods() {
        let run = tumble(&brick(), DEG * Vector3::new(10.0, 20.0, 30.0), &options);
        assert_eq!(run.states.len(), 31);
        assert!(run.time_s.windows(2).all(|pair| pair[1] > pair[0]));
        for (second, p, q, r) in [
            (0, 10.0, 20.0, 30.0),
            (1, 4.25885, 23.11994, 28.37982),
            (2, -1.75081, 23.64956, 28.07132),
            (5, -16.93948, 9.63196, 33.40662),
            (10, -2.41893, -23.55257, 28.12859),
            (20, -5.42269, 22.71595, 28.60827),
            (30, 12.61833, -17.39755, 31.11956),
        ] {
            let rates = run.states[second].rates_body / DEG;
            check_absolute("roll rate, deg/s", rates.x, p, 0.01);
            check_absolute("pitch rate, deg/s", rates.y, q, 0.01);
            check_absolute("yaw rate, deg/s", rates.z, r, 0.01);
        }
    }
}

#[test]
fn energy_and_momentum_stay() {
    let body = brick();
    let inertia = body.inertia_body();
    for options in methods() {
        let run = tumble(&body, DEG * Vector3::new(10.0, 20.0, 30.0), &options);
        let spin = |state: &FlightState| inertia * state.rates_body;
        let energy = |state: &FlightState| 0.5 * state.rates_body.dot(&spin(state));
        let momentum_ned = |state: &FlightState| state.attitude * spin(state);
        let first = run.states[0];
        for state in &run.states {
            check_relative("rotational energy", energy(state), energy(&first), 1e-6);
            // In space, not only by size: this checks the attitude as well.
            let drift = (momentum_ned(state) - momentum_ned(&first)).norm();
            check_absolute("momentum", drift / spin(&first).norm(), 0.0, 1e-6);
            check_absolute("quaternion", state.attitude.norm(), 1.0, 1e-12);
        }
    }
}

#[test]
fn symmetric_top() {
    let top = Brick { mass_kg: 1.0, inertia_kg_m2: Vector3::new(0.01, 0.02, 0.02) };
    let options = IntegrateOptions::precise(1.0, 0.5);
    let run = tumble(&top, Vector3::new(4.0, 1.0, 0.0), &options);
    // Transverse rates turn at (Iy - Ix) / Iy * p = 2 rad/s.
    let last = run.states[2].rates_body;
    check_absolute("p", last.x, 4.0, 1e-7);
    check_absolute("q", last.y, 2f64.cos(), 1e-5);
    check_absolute("r", last.z, -2f64.sin(), 1e-5);
}
