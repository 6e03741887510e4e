//! Integrators: the order of each method, agreement between them, and refusal
//! of spans that make no sense.

use fledge_tests::airframes::{Brick, small_uav};
use nalgebra::{SVector, UnitQuaternion, Vector3};
use sim_core::atmosphere::Atmosphere;
use sim_core::dynamics::{
    Air, Controls, FlightState, IntegrateError, IntegrateOptions, Method, Motion, StateVector,
    Wrench, integrate, step_runge_kutta,
};

fn start() -> FlightState {
    FlightState {
        position_ned: Vector3::zeros(),
        velocity_body: Vector3::new(25.0, 1.0, 2.0),
        attitude: UnitQuaternion::from_euler_angles(0.3, 0.1, 0.0),
        rates_body: Vector3::new(0.5, 0.2, -0.1),
    }
}

const CONTROLS: Controls = Controls {
    elevator_rad: -0.12,
    aileron_rad: 0.01,
    rudder_rad: 0.0,
    flap_rad: 0.0,
    throttle: 0.2,
};

fn end_of(options: &IntegrateOptions) -> StateVector {
    let aircraft = small_uav();
    let air = Air::still(&Atmosphere::sea_level());
    let motion = Motion::new(&aircraft, air.density_kg_m3).unwrap();
    let rate = |_, state: &_| motion.state_rate(state, &CONTROLS, &air, &Wrench::default());
    integrate(rate, &start(), options).unwrap().states.last().unwrap().to_vector()
}

fn fixed(step_s: f64) -> IntegrateOptions {
    let method = Method::RungeKutta { step_s };
    IntegrateOptions { method, ..IntegrateOptions::precise(1.0, 0.5) }
}

/// The order that errors at one step and at half of it show.
fn order(coarse: f64, fine: f64) -> f64 {
    (coarse / fine).log2()
}

#[test]
fn runge_kutta_is_of_fourth_order_on_a_manoeuvre() {
    let exact = end_of(&fixed(0.001));
    let error = |step_s| (end_of(&fixed(step_s)) - exact).norm();
    let found = order(error(0.04), error(0.02));
    assert!((found - 4.0).abs() < 0.4, "{found}");
}

#[test]
fn both_methods_agree_and_the_last_sample_counts() {
    let adaptive = end_of(&IntegrateOptions::precise(1.0, 0.5));
    assert!((adaptive - end_of(&fixed(0.001))).norm() < 1e-6);
    // Coarse and fine sampling end alike: no sample is extrapolated.
    let fine = end_of(&IntegrateOptions::precise(1.0, 0.01));
    assert!((adaptive - fine).norm() < 1e-6);
}

#[test]
fn adaptive_error_follows_the_tolerance() {
    let exact = end_of(&fixed(0.0005));
    let error = |tolerance| {
        let method = Method::DormandPrince {
            relative_tolerance: tolerance,
            absolute_tolerance: tolerance,
            steps_max: 10_000,
        };
        (end_of(&IntegrateOptions { method, ..IntegrateOptions::precise(1.0, 1.0) }) - exact).norm()
    };
    assert!(error(1e-5) < 1e-3);
    assert!(error(1e-8) < 1e-6);
    assert!(error(1e-8) < 0.1 * error(1e-5));
}

#[test]
fn samples_come_at_their_times() {
    let aircraft = small_uav();
    let air = Air::still(&Atmosphere::sea_level());
    let motion = Motion::new(&aircraft, air.density_kg_m3).unwrap();
    let rate = |_, state: &_| motion.state_rate(state, &CONTROLS, &air, &Wrench::default());
    for options in [
        IntegrateOptions::precise(0.7, 0.1),
        IntegrateOptions {
            method: Method::RungeKutta { step_s: 0.03 },
            ..IntegrateOptions::precise(0.7, 0.1)
        },
    ] {
        let run = integrate(rate, &start(), &options).unwrap();
        assert_eq!((run.time_s.len(), run.states.len()), (8, 8));
        for (index, time_s) in run.time_s.iter().enumerate() {
            assert!((time_s - 0.1 * index as f64).abs() < 1e-12);
        }
    }
}

#[test]
fn spans_without_sense_are_refused() {
    let brick = Brick { mass_kg: 1.0, inertia_kg_m2: Vector3::new(1.0, 1.0, 1.0) };
    let air = Air::still(&Atmosphere::sea_level());
    let motion = Motion::new(&brick, 1.225).unwrap();
    let rate = |_, state: &_| motion.state_rate(state, &CONTROLS, &air, &Wrench::default());
    let good = IntegrateOptions::precise(1.0, 0.1);
    for (duration_s, sample_s) in
        [(0.0, 0.1), (-1.0, 0.1), (1.0, 0.0), (f64::NAN, 0.1), (1.0, f64::INFINITY), (1e9, 1e-3)]
    {
        for method in [good.method, Method::RungeKutta { step_s: 0.1 }] {
            let options = IntegrateOptions { duration_s, sample_s, method };
            let refused = integrate(rate, &start(), &options);
            assert!(matches!(refused, Err(IntegrateError::Options { .. })), "{options:?}");
        }
    }
}

#[test]
fn the_clock_runs_in_both_methods() {
    let rate = |time_s: f64, _: &StateVector| {
        let mut rate = StateVector::zeros();
        rate[0] = 2.0 * time_s;
        Ok(rate)
    };
    let fixed = Method::RungeKutta { step_s: 0.03 };
    for options in [
        IntegrateOptions::precise(2.0, 0.4),
        IntegrateOptions { method: fixed, ..IntegrateOptions::precise(2.0, 0.4) },
    ] {
        let run = integrate(rate, &start(), &options).unwrap();
        for (time_s, state) in run.time_s.iter().zip(&run.states) {
            assert!((state.position_ned.x - time_s * time_s).abs() < 1e-9, "{time_s}");
        }
    }
}

#[test]
fn runge_kutta_is_exact_on_a_cubic_in_time() {
    let rate = |time_s: f64, _: &SVector<f64, 1>| -> Result<_, ()> {
        Ok(SVector::<f64, 1>::new(4.0 * time_s.powi(3)))
    };
    let end = step_runge_kutta(rate, 1.0, &SVector::<f64, 1>::new(1.0), 1.0).unwrap();
    assert!((end[0] - 16.0).abs() < 1e-12);
}

#[test]
fn the_semi_implicit_step_is_of_first_order() {
    let aircraft = small_uav();
    let air = Air::still(&Atmosphere::sea_level());
    let motion = Motion::new(&aircraft, air.density_kg_m3).unwrap();
    let exact = end_of(&fixed(0.001));
    let error = |steps: u32| {
        let step_s = 1.0 / f64::from(steps);
        let mut state = start();
        for _ in 0..steps {
            let loads = motion.loads(&state, &CONTROLS, &air).unwrap();
            state = motion.step_semi_implicit(&state, &loads, &air, step_s).unwrap();
        }
        (state.to_vector() - exact).norm()
    };
    let found = order(error(500), error(1000));
    assert!((found - 1.0).abs() < 0.15, "{found}");
    // And the step of the real-time loop is the method tested above.
    let mut state = start();
    for _ in 0..50 {
        state = motion.step(&state, &CONTROLS, &air, &Wrench::default(), 0.02).unwrap();
    }
    assert!((state.to_vector() - end_of(&fixed(0.02))).norm() < 1e-9);
}
