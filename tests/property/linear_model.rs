//! The linear model: it is the slope of the motion, of second order in the
//! step, and its halves are the whole for a symmetric aircraft.

use fledge_tests::airframes::{Derivatives, small_uav};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sim_core::analysis::{
    LinearModel, LinearOptions, Trim, TrimTask, coupling, find_modes, linearise, solve_trim,
};
use sim_core::atmosphere::Atmosphere;
use sim_core::dynamics::{Air, AirState, Airframe, Controls, Wrench};

/// Counts the loads that are asked of an aircraft.
struct Counted<'a>(&'a Derivatives, std::cell::Cell<usize>);

impl Airframe for Counted<'_> {
    fn mass_kg(&self) -> f64 {
        self.0.mass_kg
    }

    fn inertia_body(&self) -> nalgebra::Matrix3<f64> {
        self.0.inertia_body()
    }

    fn loads(&self, air: &AirState, controls: &Controls) -> Wrench {
        self.1.set(self.1.get() + 1);
        self.0.loads(air, controls)
    }
}

fn trim(aircraft: &Derivatives, airspeed: f64) -> Trim {
    let air = Air::still(&Atmosphere::sea_level());
    solve_trim(aircraft, &TrimTask::level(airspeed, air), None).unwrap()
}

fn model(aircraft: &Derivatives, airspeed: f64, scale: f64) -> LinearModel {
    let standard = LinearOptions::default();
    let options = LinearOptions {
        flow_angle_step_rad: scale * standard.flow_angle_step_rad,
        rate_step_rad: scale * standard.rate_step_rad,
        deflection_step_rad: scale * standard.deflection_step_rad,
        throttle_step: scale * standard.throttle_step,
    };
    linearise(aircraft, &trim(aircraft, airspeed), &options).unwrap()
}

#[test]
fn error_falls_with_the_square_of_the_step() {
    let aircraft = small_uav();
    let exact = model(&aircraft, 25.0, 0.05).a;
    let error = |scale| (model(&aircraft, 25.0, scale).a - exact).norm();
    let order = (error(4.0) / error(2.0)).log2();
    assert!((order - 2.0).abs() < 0.2, "{order}");
    // And the standard step is within the accuracy that its docs promise.
    assert!(error(1.0) < 1e-3 * exact.norm());
}

#[test]
fn work_is_as_promised() {
    let aircraft = small_uav();
    let counted = Counted(&aircraft, std::cell::Cell::new(0));
    let steady = trim(&aircraft, 25.0);
    linearise(&counted, &steady, &LinearOptions::default()).unwrap();
    assert!(counted.1.get() <= 22, "{}", counted.1.get());
}

#[test]
fn a_symmetric_aircraft_has_no_coupling_and_a_crooked_one_has() {
    let straight = model(&small_uav(), 25.0, 1.0);
    assert!(coupling(&straight).unwrap() < 1e-6);
    let air = Air::still(&Atmosphere::sea_level());
    let task = TrimTask {
        lateral: sim_core::analysis::Lateral::NoSideslip,
        turn_bank_rad: Some(0.8),
        ..TrimTask::level(25.0, air)
    };
    let turn = solve_trim(&small_uav(), &task, None).unwrap();
    let turning = linearise(&small_uav(), &turn, &LinearOptions::default()).unwrap();
    assert!(coupling(&turning).unwrap() > 1e-3);
}

#[test]
fn throttle_slope_holds_at_the_ends_of_the_throttle() {
    let aircraft = small_uav();
    let mut steady = trim(&aircraft, 25.0);
    let expected = aircraft.thrust_max_n / aircraft.mass_kg;
    for throttle in [0.0, 0.01, 0.5, 1.0] {
        steady.controls.throttle = throttle;
        let motion = sim_core::dynamics::Motion::new(&aircraft, 1.225).unwrap();
        steady.loads = motion.loads(&steady.state(), &steady.controls, &steady.air).unwrap();
        let found = linearise(&aircraft, &steady, &LinearOptions::default()).unwrap();
        assert!((found.b[(0, 4)] - expected).abs() < 1e-6 * expected, "at {throttle}");
    }
}

/// Keeps the states of the air that an aircraft is asked about.
struct Asked(std::cell::RefCell<Vec<AirState>>);

impl Airframe for Asked {
    fn mass_kg(&self) -> f64 {
        small_uav().mass_kg
    }

    fn inertia_body(&self) -> nalgebra::Matrix3<f64> {
        small_uav().inertia_body()
    }

    fn loads(&self, air: &AirState, controls: &Controls) -> Wrench {
        self.0.borrow_mut().push(*air);
        small_uav().loads(air, controls)
    }
}

/// Steps are what they are said to be: of the velocity a flow angle, of a rate the
/// flow angle that it makes at the radius of gyration.
#[test]
fn steps_are_flow_angles() {
    let (steady, asked) = (trim(&small_uav(), 25.0), Asked(std::cell::RefCell::default()));
    linearise(&asked, &steady, &LinearOptions::default()).unwrap();
    let (about, asked) = (steady.state(), asked.0.into_inner());
    for axis in 0..3 {
        let most = |of: &dyn Fn(&AirState) -> f64| {
            asked.iter().map(|air| of(air).abs()).fold(0.0, f64::max)
        };
        let velocity = most(&|air| air.velocity_body[axis] - about.velocity_body[axis]);
        assert!((velocity / 25.0 - 5e-3).abs() < 1e-9, "{axis}: {velocity}");
        let inertia = small_uav().inertia_body()[(axis, axis)];
        let gyration_m = (inertia / small_uav().mass_kg).sqrt();
        let rate = most(&|air| air.rates_body[axis] - about.rates_body[axis]);
        assert!((rate * gyration_m / 25.0 - 2e-3).abs() < 1e-9, "{axis}: {rate}");
    }
}

/// Thrust that bends with the throttle and is not known outside its range.
struct Bent;

impl Airframe for Bent {
    fn mass_kg(&self) -> f64 {
        small_uav().mass_kg
    }

    fn inertia_body(&self) -> nalgebra::Matrix3<f64> {
        small_uav().inertia_body()
    }

    fn loads(&self, air: &AirState, controls: &Controls) -> Wrench {
        let d = controls.throttle;
        let throttle = if (0.0..=1.0).contains(&d) { 0.6 * d + 0.4 * d * d } else { f64::NAN };
        small_uav().loads(air, &Controls { throttle, ..*controls })
    }
}

/// A slope of second order is exact for a thrust of second order, and asks nothing
/// of the motor that it does not know.
#[test]
fn the_throttles_slope_stays_within_the_throttle() {
    let mut steady = trim(&small_uav(), 25.0);
    let full = small_uav().thrust_max_n / small_uav().mass_kg;
    for throttle in [0.0, 0.01, 0.03, 0.5, 0.97, 0.99, 1.0] {
        steady.controls.throttle = throttle;
        let motion = sim_core::dynamics::Motion::new(&Bent, 1.225).unwrap();
        steady.loads = motion.loads(&steady.state(), &steady.controls, &steady.air).unwrap();
        let found = linearise(&Bent, &steady, &LinearOptions::default()).unwrap();
        let wanted = full * (0.6 + 0.8 * throttle);
        assert!((found.b[(0, 4)] / wanted - 1.0).abs() < 1e-6, "at {throttle}");
    }
}

/// A force along the path is one along x of the stability axes, one across it along
/// z, and so are the moments: at 30 deg cosine and sine are known.
#[test]
fn stability_axes_lie_along_the_path() {
    let (sine, cosine) = (0.5, 0.75f64.sqrt());
    let mut model = LinearModel { alpha_rad: 30f64.to_radians(), ..model(&small_uav(), 25.0, 1.0) };
    let mut b = nalgebra::SMatrix::<f64, 8, 5>::zeros();
    for (column, [x, z]) in [[cosine, sine], [-sine, cosine]].into_iter().enumerate() {
        (b[(0, column)], b[(2, column)]) = (x, z);
        (b[(3, column + 2)], b[(5, column + 2)]) = (x, z);
    }
    model.b = b;
    let found = model.in_stability_axes().b;
    let mut wanted = nalgebra::SMatrix::<f64, 8, 5>::zeros();
    for (row, column) in [(0, 0), (2, 1), (3, 2), (5, 3)] {
        wanted[(row, column)] = 1.0;
    }
    assert!((found - wanted).norm() < 1e-12, "{found}");
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 32,
        rng_seed: RngSeed::Fixed(2511),
        ..ProptestConfig::default()
    })]

    #[test]
    fn roots_are_the_same_in_any_axes(airspeed in 18.0..35.0f64) {
        let body = model(&small_uav(), airspeed, 1.0);
        let stability = body.in_stability_axes();
        let sorted = |matrix: nalgebra::Matrix4<f64>| {
            let matrix = nalgebra::DMatrix::from_column_slice(4, 4, matrix.as_slice());
            let mut roots = sim_core::math::find_eigenvalues(&matrix).unwrap();
            roots.sort_by(|one, two| {
                (one.re, one.im).partial_cmp(&(two.re, two.im)).unwrap()
            });
            roots
        };
        for (one, two) in [
            (body.longitudinal().a, stability.longitudinal().a),
            (body.lateral().a, stability.lateral().a),
        ] {
            for (one, two) in sorted(one).iter().zip(sorted(two)) {
                prop_assert!((one - two).norm() < 1e-6 * (1.0 + two.norm()));
            }
        }
    }

    #[test]
    fn gains_are_the_same_in_any_axes(airspeed in 18.0..35.0f64, frequency in 0.1..20.0f64) {
        // What a stick does to the attitude at a frequency asks for no axes.
        let body = model(&small_uav(), airspeed, 1.0);
        let stability = body.in_stability_axes();
        let gain = |model: &LinearModel, angle: usize| {
            let s = nalgebra::Complex::new(0.0, frequency);
            let whole = nalgebra::SMatrix::<_, 8, 8>::identity() * s
                - model.a.map(|part| nalgebra::Complex::new(part, 0.0));
            let forced = model.b.map(|part| nalgebra::Complex::new(part, 0.0));
            whole.lu().solve(&forced).unwrap().row(angle).into_owned()
        };
        for angle in [6, 7] {
            let (one, other) = (gain(&body, angle), gain(&stability, angle));
            prop_assert!((one - other).norm() < 1e-8 * one.norm());
        }
    }

    #[test]
    fn every_root_has_a_name_and_every_name_its_count(
        yaw_beta in -0.3..0.4f64,
        roll_beta in -0.3..0.1f64,
        roll_p in -0.6..-0.02f64,
        pitch_alpha in -1.5..0.4f64,
        pitch_q in -15.0..-0.5f64,
    ) {
        use sim_core::analysis::ModeKind as Kind;
        let aircraft =
            Derivatives { yaw_beta, roll_beta, roll_p, pitch_q, ..small_uav() };
        // The trim is another aircraft's, so that this one needs none.
        let steady = trim(&small_uav(), 25.0);
        let loose = Derivatives { pitch_alpha, ..aircraft };
        let found = linearise(&loose, &steady, &LinearOptions::default()).unwrap();
        let modes = find_modes(&found).unwrap();
        let count = |kind| {
            modes.longitudinal.iter().chain(&modes.lateral).filter(|m| m.kind == kind).count()
        };
        let roots = |list: &[sim_core::analysis::Mode]| -> usize {
            list.iter().map(|mode| if mode.is_oscillation() { 2 } else { 1 }).sum()
        };
        prop_assert_eq!(roots(&modes.longitudinal), 4);
        prop_assert_eq!(roots(&modes.lateral), 4);
        // Each of the five motions accounts for its own roots, split or joined.
        let (joined, rolling) =
            (count(Kind::PitchPhugoidOscillation), count(Kind::RollSpiralOscillation));
        prop_assert_eq!(2 * count(Kind::ShortPeriod) + count(Kind::ShortPeriodRoot) + joined, 2);
        prop_assert_eq!(2 * count(Kind::Phugoid) + count(Kind::PhugoidRoot) + joined, 2);
        prop_assert_eq!(2 * count(Kind::DutchRoll) + count(Kind::DutchRollRoot), 2);
        prop_assert_eq!(count(Kind::Roll) + rolling, 1);
        prop_assert_eq!(count(Kind::Spiral) + rolling, 1);
    }
}
