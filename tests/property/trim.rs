//! Steady flight: flown, it stays; what runs out is named; any number is
//! answered with a flight or an error.

use fledge_tests::airframes::{Derivatives, small_uav};
use fledge_tests::{check_absolute, check_relative};
use nalgebra::Matrix3;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sim_core::analysis::{
    Lateral, Path, Shortfall, Surface, Trim, TrimError, TrimTask, solve_trim,
};
use sim_core::atmosphere::{Atmosphere, GRAVITY_M_S2};
use sim_core::dynamics::{Air, AirState, Airframe, Controls, Motion, Wrench};

fn air() -> Air {
    Air::still(&Atmosphere::sea_level())
}

/// Rates of change left in the trimmed state, turn about the vertical aside.
fn restlessness(aircraft: &Derivatives, trim: &Trim) -> f64 {
    let motion = Motion::new(aircraft, trim.air.density_kg_m3).unwrap();
    let state = trim.state();
    let loads = motion.loads(&state, &trim.controls, &trim.air).unwrap();
    let acceleration = motion.acceleration(&state, &loads, &trim.air).unwrap();
    let euler = trim.euler().rates(&state.rates_body);
    acceleration.velocity_body_rate.norm() / GRAVITY_M_S2
        + acceleration.rates_body_rate.norm()
        + euler.x.abs()
        + euler.y.abs()
}

/// The same aircraft with loads that are not symmetric: one wing is heavy.
fn crooked() -> Derivatives {
    Derivatives { roll: 0.004, yaw: -0.002, ..small_uav() }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 64,
        rng_seed: RngSeed::Fixed(2511),
        ..ProptestConfig::default()
    })]

    #[test]
    fn trimmed_flight_is_steady_in_every_way_of_balance(
        airspeed in 17.0..40.0f64,
        climb in -0.03..0.15f64,
        way in 0usize..4,
    ) {
        let lateral = [
            Lateral::NoSideslip, Lateral::WingsLevel, Lateral::RudderOnly, Lateral::AileronOnly,
        ][way];
        let task =
            TrimTask { path: Path::Climb(climb), lateral, ..TrimTask::level(airspeed, air()) };
        let aircraft = crooked();
        let trim = solve_trim(&aircraft, &task, None).unwrap();
        prop_assert!(restlessness(&aircraft, &trim) < 1e-4);
        prop_assert!((trim.climb_rad - climb).abs() < 1e-9);
        // The path climbs as asked: checked on the velocity itself.
        let sink = trim.state().velocity_ned().z;
        prop_assert!((sink + airspeed * climb.sin()).abs() < 1e-9 * airspeed);
        prop_assert!((sink + trim.climb_rate_m_s()).abs() < 1e-9 * airspeed);
        match lateral {
            Lateral::NoSideslip => prop_assert_eq!(trim.beta_rad, 0.0),
            Lateral::WingsLevel => prop_assert_eq!(trim.bank_rad, 0.0),
            Lateral::RudderOnly => prop_assert_eq!(trim.controls.aileron_rad, 0.0),
            _ => prop_assert_eq!(trim.controls.rudder_rad, 0.0),
        }
    }

    #[test]
    fn a_turn_is_steady_and_mirrors(
        airspeed in 20.0..35.0f64,
        bank in 0.1..0.9f64,
        way in 0usize..3,
    ) {
        let lateral = [Lateral::NoSideslip, Lateral::RudderOnly, Lateral::AileronOnly][way];
        let aircraft = small_uav();
        let turn = |bank: f64| {
            let task = TrimTask {
                lateral,
                turn_bank_rad: Some(bank),
                ..TrimTask::level(airspeed, air())
            };
            solve_trim(&aircraft, &task, None).unwrap()
        };
        let (right, left) = (turn(bank), turn(-bank));
        prop_assert!(restlessness(&aircraft, &right) < 1e-4);
        prop_assert!(right.turn_rate_rad_s > 0.0);
        prop_assert!((right.turn_rate_rad_s + left.turn_rate_rad_s).abs() < 1e-4);
        prop_assert!((right.controls.rudder_rad + left.controls.rudder_rad).abs() < 1e-4);
        prop_assert!((right.controls.elevator_rad - left.controls.elevator_rad).abs() < 1e-4);
        let level = solve_trim(&aircraft, &TrimTask::level(airspeed, air()), None).unwrap();
        prop_assert!(right.load_factor > level.load_factor);
    }

    #[test]
    fn a_warm_start_finds_the_same_flight_with_less_work(
        airspeed in 18.0..35.0f64,
        change in -1.0..1.0f64,
    ) {
        let aircraft = small_uav();
        let task = |airspeed| TrimTask::level(airspeed, air());
        let near = solve_trim(&aircraft, &task(airspeed), None).unwrap();
        let cold = solve_trim(&aircraft, &task(airspeed + change), None).unwrap();
        let warm = solve_trim(&aircraft, &task(airspeed + change), Some(&near)).unwrap();
        prop_assert!((warm.alpha_rad - cold.alpha_rad).abs() < 1e-5);
        prop_assert!((warm.controls.throttle - cold.controls.throttle).abs() < 1e-4);
        prop_assert!(cold.load_calls <= 20, "cold {}", cold.load_calls);
        prop_assert!(warm.load_calls <= 8, "warm {}", warm.load_calls);
    }

    #[test]
    fn any_task_ends(
        airspeed in prop::num::f64::ANY,
        climb in prop::num::f64::ANY,
        bank in prop::num::f64::ANY,
        mass in prop::num::f64::POSITIVE,
    ) {
        let aircraft = Derivatives { mass_kg: mass, ..small_uav() };
        let task = TrimTask {
            path: Path::Climb(climb),
            lateral: Lateral::NoSideslip,
            turn_bank_rad: Some(bank),
            ..TrimTask::level(airspeed, air())
        };
        if let Ok(trim) = solve_trim(&aircraft, &task, None) {
            prop_assert!(trim.state().is_finite() && trim.controls.is_finite());
        }
    }

    #[test]
    fn any_plausible_speed_ends_soon(airspeed in 0.1..200.0f64, throttle in 0.0..1.0f64) {
        for path in [Path::LEVEL, Path::GLIDE, Path::Throttle(throttle)] {
            let task = TrimTask { path, ..TrimTask::level(airspeed, air()) };
            match solve_trim(&small_uav(), &task, None) {
                Ok(trim) => prop_assert!(trim.load_calls <= task.load_calls_max),
                Err(TrimError::NotConverged { load_calls, .. }) => {
                    prop_assert!(load_calls <= task.load_calls_max);
                }
                Err(other) => prop_assert!(false, "{}", other),
            }
        }
    }
}

#[test]
fn a_glide_falls_by_drag_over_lift() {
    let aircraft = small_uav();
    let task = TrimTask { path: Path::GLIDE, ..TrimTask::level(22.0, air()) };
    let trim = solve_trim(&aircraft, &task, None).unwrap();
    let lift = aircraft.lift_coefficient(trim.alpha_rad, trim.controls.elevator_rad);
    let drag = aircraft.drag + aircraft.induced * lift * lift;
    check_relative("glide angle", -trim.climb_rad.tan(), drag / lift, 1e-5);
    assert_eq!(trim.controls.throttle, 0.0);
}

#[test]
fn too_little_power_is_named_with_what_is_missing() {
    let aircraft = Derivatives { thrust_max_n: 8.0, ..small_uav() };
    let trim = solve_trim(&aircraft, &TrimTask::level(25.0, air()), None).unwrap();
    let [Shortfall::Power { thrust_missing_n, climb_rad }] = trim.shortfalls[..] else {
        panic!("{:?}", trim.shortfalls)
    };
    let enough = solve_trim(&small_uav(), &TrimTask::level(25.0, air()), None).unwrap();
    let needed_n = enough.controls.throttle * small_uav().thrust_max_n;
    // The thrust at the other angle of attack of the descent differs a little.
    check_relative("thrust missing", thrust_missing_n, needed_n - 8.0, 0.02);
    assert_eq!(trim.controls.throttle, 1.0);
    assert_eq!(trim.climb_rad, climb_rad);
    assert!(restlessness(&aircraft, &trim) < 1e-4);
}

/// An aircraft whose propeller only windmills below a share of the throttle.
struct Windmilling(f64);

impl Airframe for Windmilling {
    fn mass_kg(&self) -> f64 {
        small_uav().mass_kg
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        small_uav().inertia_body()
    }

    fn loads(&self, air: &AirState, controls: &Controls) -> Wrench {
        let throttle = (controls.throttle - self.0).max(0.0);
        small_uav().loads(air, &Controls { throttle, ..*controls })
    }
}

#[test]
fn a_throttle_without_effect_where_the_search_starts_is_no_obstacle() {
    let thrusting = solve_trim(&small_uav(), &TrimTask::level(25.0, air()), None).unwrap();
    for dead in [0.3, 0.5, 0.6, 0.8] {
        let trim = solve_trim(&Windmilling(dead), &TrimTask::level(25.0, air()), None).unwrap();
        let wanted = thrusting.controls.throttle + dead;
        check_absolute("throttle", trim.controls.throttle, wanted, 1e-5);
        assert!(trim.shortfalls.is_empty());
    }
    // 2.4 N of 60 are left where some 11 N are needed.
    let weak = solve_trim(&Windmilling(0.96), &TrimTask::level(25.0, air()), None).unwrap();
    assert!(matches!(weak.shortfalls[..], [Shortfall::Power { .. }]), "{:?}", weak.shortfalls);
}

#[test]
fn an_idle_motor_that_pushes_too_hard_is_named() {
    // A dive that even the motor at rest takes too fast.
    let task = TrimTask { path: Path::Climb(-0.5), ..TrimTask::level(25.0, air()) };
    let trim = solve_trim(&small_uav(), &task, None).unwrap();
    let [Shortfall::Drag { drag_missing_n, climb_rad }] = trim.shortfalls[..] else {
        panic!("{:?}", trim.shortfalls)
    };
    assert!(drag_missing_n > 0.0 && climb_rad > -0.5);
    assert_eq!(trim.controls.throttle, 0.0);
    // What weight would pull more on the path that was asked for.
    let weight_n = small_uav().mass_kg * GRAVITY_M_S2;
    let along = |climb: f64| weight_n * climb.sin();
    check_relative("drag missing", drag_missing_n, along(climb_rad) - along(-0.5), 1e-9);
}

/// On a climb that full throttle does not reach, what the weight pulls back more
/// there than on the path that is reached.
#[test]
fn a_climb_too_steep_is_named_with_what_is_missing() {
    let aircraft = Derivatives { thrust_max_n: 15.0, ..small_uav() };
    let task = TrimTask { path: Path::Climb(0.3), ..TrimTask::level(25.0, air()) };
    let trim = solve_trim(&aircraft, &task, None).unwrap();
    let [Shortfall::Power { thrust_missing_n, climb_rad }] = trim.shortfalls[..] else {
        panic!("{:?}", trim.shortfalls)
    };
    let weight_n = aircraft.mass_kg * GRAVITY_M_S2;
    let wanted = weight_n * (0.3f64.sin() - climb_rad.sin());
    check_relative("thrust missing", thrust_missing_n, wanted, 1e-9);
    let enough = Derivatives { thrust_max_n: 15.0 + thrust_missing_n, ..small_uav() };
    let steep = solve_trim(&enough, &TrimTask { path: Path::Throttle(1.0), ..task }, None);
    check_absolute("climb with what was missing", steep.unwrap().climb_rad, 0.3, 0.01);
}

/// What has no meaning is refused by name, either way from zero; the rest is tried.
#[test]
fn tasks_are_held_to_their_ranges() {
    let level = TrimTask { lateral: Lateral::NoSideslip, ..TrimTask::level(25.0, air()) };
    let climb = |climb| TrimTask { path: Path::Climb(climb), ..level };
    let turn = |bank| TrimTask { turn_bank_rad: Some(bank), ..level };
    let slip = |sideslip_rad| TrimTask { sideslip_rad, ..level };
    let flap = |flap_rad| TrimTask { flap_rad, ..level };
    for sign in [-1.0, 1.0] {
        for (task, name) in [
            (climb(sign * 1.6), "climb angle"),
            (turn(sign * 1.6), "bank of the turn"),
            (slip(sign * 0.7), "sideslip"),
            (flap(sign * 1.7), "flap"),
        ] {
            let found = solve_trim(&small_uav(), &task, None);
            assert!(
                matches!(found, Err(TrimError::Task { quantity, .. }) if quantity == name),
                "{name}: {found:?}"
            );
        }
        for task in [climb(sign * 0.8), turn(sign * 0.8), slip(sign * 0.35), flap(sign * 0.9)] {
            let found = solve_trim(&small_uav(), &task, None);
            assert!(!matches!(found, Err(TrimError::Task { .. })), "{found:?}");
        }
    }
}

/// Far below the stalling speed the attempt told is one of great angle of attack.
#[test]
fn an_attempt_that_fails_tells_its_angle_of_attack() {
    let found = solve_trim(&small_uav(), &TrimTask::level(4.0, air()), None);
    let Err(TrimError::NotConverged { alpha_rad, airspeed_m_s, .. }) = found else {
        panic!("{found:?}")
    };
    assert!(alpha_rad > 0.5, "{alpha_rad}");
    assert_eq!(airspeed_m_s, 4.0);
}

#[test]
fn an_elevator_that_runs_out_is_named_with_what_it_needs() {
    let mut task = TrimTask::level(20.0, air());
    task.limits.elevator_rad = (-0.1, 0.3);
    let trim = solve_trim(&small_uav(), &task, None).unwrap();
    let [Shortfall::Deflection { surface, needed_rad, limit_rad }] = trim.shortfalls[..] else {
        panic!("{:?}", trim.shortfalls)
    };
    assert_eq!(surface, Surface::Elevator);
    assert_eq!(needed_rad, trim.controls.elevator_rad);
    check_absolute("limit", limit_rad, -0.1, 0.0);
}

#[test]
fn a_turn_that_nothing_balances_is_refused() {
    for lateral in [Lateral::Symmetric, Lateral::WingsLevel] {
        let task = TrimTask { lateral, turn_bank_rad: Some(0.5), ..TrimTask::level(20.0, air()) };
        assert_eq!(solve_trim(&small_uav(), &task, None), Err(TrimError::TurnUnbalanced));
    }
}

#[test]
fn loads_left_over_laterally_are_told() {
    let trim = solve_trim(&crooked(), &TrimTask::level(25.0, air()), None).unwrap();
    let aircraft = crooked();
    let pressure = 0.5 * trim.air.density_kg_m3 * 25.0 * 25.0;
    let rolling = pressure * aircraft.area_m2 * aircraft.span_m * aircraft.roll;
    check_relative("rolling moment left", trim.unbalanced.moment_body.x, rolling, 1e-9);
}
