//! What motion must keep: energy and momentum without air, the same flight in
//! any steady wind and on any heading, mirrored flight for mirrored inputs.

use fledge_tests::airframes::{Brick, Derivatives, small_uav};
use nalgebra::{Matrix3, Matrix6, UnitQuaternion, Vector3};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sim_core::atmosphere::{Atmosphere, GRAVITY_M_S2};
use sim_core::dynamics::{
    Air, AirState, Airframe, Controls, FlightState, IntegrateOptions, Motion, MotionError, Part,
    Wrench, integrate,
};

/// An aircraft that carries air along: a full apparent mass matrix.
struct Heavy(Derivatives);

impl Airframe for Heavy {
    fn mass_kg(&self) -> f64 {
        self.0.mass_kg
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        self.0.inertia_body()
    }

    fn added_mass(&self, density_kg_m3: f64) -> Matrix6<f64> {
        // Symmetric and positive definite with coupling between all axes that
        // an aircraft couples; of the order of a foam model's.
        let mut matrix =
            Matrix6::from_diagonal(&nalgebra::Vector6::new(0.2, 0.8, 6.0, 0.5, 0.3, 0.2));
        (matrix[(1, 5)], matrix[(5, 1)]) = (0.1, 0.1);
        (matrix[(2, 4)], matrix[(4, 2)]) = (-0.4, -0.4);
        density_kg_m3 / 1.225 * matrix
    }

    fn loads(&self, air: &AirState, controls: &Controls) -> Wrench {
        self.0.loads(air, controls)
    }
}

fn start() -> FlightState {
    FlightState {
        position_ned: Vector3::new(0.0, 0.0, -50.0),
        velocity_body: Vector3::new(24.0, 1.0, 2.0),
        attitude: UnitQuaternion::from_euler_angles(0.2, 0.1, 0.5),
        rates_body: Vector3::new(0.3, 0.1, -0.1),
    }
}

fn fly(airframe: &impl Airframe, start: &FlightState, air: &Air, duration_s: f64) -> FlightState {
    let motion = Motion::new(airframe, air.density_kg_m3).unwrap();
    let controls =
        Controls { elevator_rad: -0.1, rudder_rad: 0.02, throttle: 0.2, ..Controls::default() };
    let rate = |_, state: &_| motion.state_rate(state, &controls, air, &Wrench::default());
    let run = integrate(rate, start, &IntegrateOptions::precise(duration_s, duration_s)).unwrap();
    run.states[1]
}

fn still() -> Air {
    Air::still(&Atmosphere::sea_level())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 24,
        rng_seed: RngSeed::Fixed(2511),
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_steady_wind_only_carries_the_flight_along(
        north in -12.0..12.0f64,
        east in -12.0..12.0f64,
        down in -3.0..3.0f64,
    ) {
        let wind = Vector3::new(north, east, down);
        let airframe = Heavy(small_uav());
        let calm = fly(&airframe, &start(), &still(), 2.0);
        let mut carried = start();
        carried.velocity_body += carried.attitude.inverse_transform_vector(&wind);
        let windy = fly(&airframe, &carried, &still().with_wind(wind), 2.0);
        prop_assert!((windy.position_ned - calm.position_ned - 2.0 * wind).norm() < 1e-6);
        prop_assert!((windy.velocity_ned() - calm.velocity_ned() - wind).norm() < 1e-6);
        prop_assert!(windy.attitude.angle_to(&calm.attitude) < 1e-6);
        prop_assert!((windy.rates_body - calm.rates_body).norm() < 1e-6);
    }

    #[test]
    fn every_heading_flies_alike(turn in -3.0..3.0f64) {
        let about = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), turn);
        let airframe = Heavy(small_uav());
        let one = fly(&airframe, &start(), &still(), 2.0);
        let mut turned = start();
        turned.attitude = about * turned.attitude;
        let other = fly(&airframe, &turned, &still(), 2.0);
        prop_assert!((other.velocity_body - one.velocity_body).norm() < 1e-7);
        prop_assert!((other.attitude.angle_to(&(about * one.attitude))) < 1e-7);
    }

    #[test]
    fn without_air_energy_and_momentum_stay(
        rates in prop::array::uniform3(-6.0..6.0f64),
        velocity in prop::array::uniform3(-20.0..20.0f64),
    ) {
        let body =
            Brick { mass_kg: 1.3, inertia_kg_m2: Vector3::new(0.02, 0.05, 0.06) };
        let begin = FlightState {
            velocity_body: velocity.into(),
            rates_body: rates.into(),
            ..start()
        };
        let end = fly(&body, &begin, &still(), 2.0);
        let spin = |state: &FlightState| state.attitude * (body.inertia_body() * state.rates_body);
        let energy = |state: &FlightState| {
            0.5 * body.mass_kg * state.velocity_body.norm_squared()
                + body.mass_kg * GRAVITY_M_S2 * state.height_m()
                + 0.5 * state.rates_body.dot(&(body.inertia_body() * state.rates_body))
        };
        prop_assert!((energy(&end) / energy(&begin) - 1.0).abs() < 1e-6);
        prop_assert!((spin(&end) - spin(&begin)).norm() < 1e-6 * (1e-3 + spin(&begin).norm()));
        let fallen = begin.velocity_ned() + 2.0 * GRAVITY_M_S2 * Vector3::z();
        prop_assert!((end.velocity_ned() - fallen).norm() < 1e-6);
    }

    #[test]
    fn the_quaternion_keeps_its_length_at_any_rate(
        rates in prop::array::uniform3(-30.0..30.0f64),
    ) {
        let body = Brick { mass_kg: 1.0, inertia_kg_m2: Vector3::new(0.02, 0.03, 0.04) };
        let motion = Motion::new(&body, 1.225).unwrap();
        let mut state = FlightState { rates_body: rates.into(), ..start() }.to_vector();
        for _ in 0..50 {
            let rate = |_: f64, at: &_| {
                motion.state_rate(at, &Controls::default(), &still(), &Wrench::default())
            };
            state = sim_core::dynamics::step_runge_kutta(rate, 0.0, &state, 2e-3).unwrap();
        }
        // The method's own error per step is of fifth order in the angle.
        prop_assert!((state.fixed_rows::<4>(6).norm() - 1.0).abs() < 1e-5);
    }

    #[test]
    fn mirrored_motion_has_mirrored_accelerations(
        velocity in prop::array::uniform3(-1.0..1.0f64),
        rates in prop::array::uniform3(-2.0..2.0f64),
        bank in -1.0..1.0f64,
        aileron in -0.3..0.3f64,
    ) {
        let airframe = Heavy(small_uav());
        let motion = Motion::new(&airframe, 1.225).unwrap();
        let acceleration = |side: f64| {
            let state = FlightState {
                velocity_body: Vector3::new(
                    20.0 + velocity[0], side * 4.0 * velocity[1], 2.0 * velocity[2],
                ),
                rates_body: Vector3::new(side * rates[0], rates[1], side * rates[2]),
                attitude: UnitQuaternion::from_euler_angles(side * bank, 0.2, 0.0),
                position_ned: Vector3::zeros(),
            };
            let controls = Controls { aileron_rad: side * aileron, ..Controls::default() };
            let loads = motion.loads(&state, &controls, &still()).unwrap();
            motion.acceleration(&state, &loads, &still()).unwrap()
        };
        let (right, left) = (acceleration(1.0), acceleration(-1.0));
        let flip = Vector3::new(1.0, -1.0, 1.0);
        let mirrored = left.velocity_body_rate.component_mul(&flip);
        prop_assert!((right.velocity_body_rate - mirrored).norm() < 1e-12);
        let mirrored = left.rates_body_rate.component_mul(&-flip);
        prop_assert!((right.rates_body_rate - mirrored).norm() < 1e-12);
    }
}

/// An airframe whose moment breaks down beyond a speed.
struct Broken;

impl Airframe for Broken {
    fn mass_kg(&self) -> f64 {
        1.0
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        Matrix3::identity()
    }

    fn loads(&self, air: &AirState, _: &Controls) -> Wrench {
        let mut loads = Wrench::default();
        if air.velocity_body.norm() > 30.0 {
            loads.moment_body.y = f64::NAN;
        }
        loads
    }
}

#[test]
fn a_load_that_is_not_finite_ends_the_run_with_its_name_and_time() {
    use sim_core::dynamics::{IntegrateError, Method};
    let motion = Motion::new(&Broken, 1.225).unwrap();
    let rate =
        |_, state: &_| motion.state_rate(state, &Controls::default(), &still(), &Wrench::default());
    let fixed = Method::RungeKutta { step_s: 0.01 };
    for options in [
        IntegrateOptions::precise(3.0, 0.1),
        IntegrateOptions { method: fixed, ..IntegrateOptions::precise(3.0, 0.1) },
    ] {
        // From 24.1 m/s downwards at 0.17 s it is past 30 m/s within a second.
        let error = integrate(rate, &start(), &options).unwrap_err();
        let IntegrateError::Motion { time_s, cause } = error else { panic!("{error}") };
        assert_eq!(cause, MotionError::NotFinite(Part::Moment));
        assert!(time_s > 0.1 && time_s < 3.0, "{time_s}");
    }
}

#[test]
fn a_body_without_mass_or_inertia_is_refused() {
    for (mass_kg, least) in [(0.0, 1.0), (-1.0, 1.0), (f64::NAN, 1.0), (1.0, 0.0), (1.0, -2.0)] {
        let body = Brick { mass_kg, inertia_kg_m2: Vector3::new(least, 1.0, 1.0) };
        assert!(matches!(Motion::new(&body, 1.225), Err(MotionError::Mass { .. })), "{mass_kg}");
    }
}
