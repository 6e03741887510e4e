//! Responses: the linear model's is the limit of the full one, a mirrored
//! input gives the mirrored motion, the sampling changes nothing.

use fledge_tests::airframes::{Derivatives, small_uav};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sim_core::analysis::{
    Channel, Input, LinearOptions, ResponseError, ResponseOptions, Shape, StepResponse, Trim,
    TrimTask, linear_response, linearise, measure, quick_response, solve_trim, step_response,
};
use sim_core::atmosphere::Atmosphere;
use sim_core::dynamics::{Actuators, Air, Servo, StickCurve};

fn steady(aircraft: &Derivatives) -> Trim {
    let air = Air::still(&Atmosphere::sea_level());
    solve_trim(aircraft, &TrimTask::level(25.0, air), None).unwrap()
}

fn respond(options: &ResponseOptions) -> StepResponse {
    let aircraft = small_uav();
    step_response(&aircraft, &steady(&aircraft), options).unwrap()
}

fn distance(one: &[f64], two: &[f64]) -> f64 {
    one.iter().zip(two).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

/// Greatest difference in any course, all in rad, rad/s or weights.
fn difference(one: &StepResponse, two: &StepResponse) -> f64 {
    [
        distance(&one.alpha_rad, &two.alpha_rad),
        distance(&one.beta_rad, &two.beta_rad),
        distance(&one.roll_rate_rad_s, &two.roll_rate_rad_s),
        distance(&one.pitch_rate_rad_s, &two.pitch_rate_rad_s),
        distance(&one.yaw_rate_rad_s, &two.yaw_rate_rad_s),
        distance(&one.bank_rad, &two.bank_rad),
        distance(&one.pitch_rad, &two.pitch_rad),
        distance(&one.heading_rad, &two.heading_rad),
        distance(&one.load_factor, &two.load_factor),
        distance(&one.side_load_factor, &two.side_load_factor),
    ]
    .into_iter()
    .fold(0.0, f64::max)
}

const CHANNELS: [Channel; 3] = [Channel::Elevator, Channel::Aileron, Channel::Rudder];

#[test]
fn the_linear_response_is_the_limit_of_the_full_one() {
    let aircraft = small_uav();
    let trim = steady(&aircraft);
    let fine = LinearOptions {
        flow_angle_step_rad: 1e-4,
        rate_step_rad: 1e-4,
        deflection_step_rad: 1e-4,
        throttle_step: 1e-3,
    };
    let model = linearise(&aircraft, &trim, &fine).unwrap();
    for channel in CHANNELS {
        let error = |size| {
            let options = ResponseOptions::step(channel, Input::Deflection(size));
            let full = step_response(&aircraft, &trim, &options).unwrap();
            let small = linear_response(&model, &trim, &options).unwrap();
            difference(&full, &small)
        };
        // What is left out is of second order in the input.
        let order = (error(0.02) / error(0.01)).log2();
        assert!((order - 2.0).abs() < 0.3, "{channel:?}: {order}");
        assert!(error(0.001) < 1e-3);
    }
}

#[test]
fn nothing_moves_without_an_input() {
    for channel in CHANNELS {
        let still = respond(&ResponseOptions::step(channel, Input::Deflection(0.0)));
        assert!(still.roll_rate_rad_s.iter().all(|rate| rate.abs() < 1e-9));
        assert!(still.pitch_rate_rad_s.iter().all(|rate| rate.abs() < 1e-4));
        assert!(
            still.load_factor.iter().all(|factor| (factor - still.load_factor[0]).abs() < 1e-4)
        );
    }
}

#[test]
fn the_step_is_fine_enough_and_the_work_as_promised() {
    for channel in CHANNELS {
        let options = ResponseOptions::step(channel, Input::Deflection(-0.1));
        let standard = respond(&options);
        assert!(standard.load_calls <= 401, "{}", standard.load_calls);
        let fine = respond(&ResponseOptions { step_s: 0.001, ..options });
        assert!(difference(&standard, &fine) < 2e-3, "{channel:?}");
    }
}

#[test]
fn one_evaluation_per_step_comes_near_the_full_response() {
    let aircraft = small_uav();
    let trim = steady(&aircraft);
    let model = linearise(&aircraft, &trim, &LinearOptions::default()).unwrap();
    for channel in CHANNELS {
        let options = ResponseOptions::step(channel, Input::Deflection(0.1));
        let full = respond(&ResponseOptions { step_s: 0.001, sample_s: 0.04, ..options });
        let error = |step_s| {
            let options = ResponseOptions { step_s, sample_s: 0.04, ..options };
            let quick = quick_response(&aircraft, &trim, &model, &options).unwrap();
            assert_eq!(quick.load_calls, (2.0 / step_s).round() as usize + 1);
            difference(&quick, &full)
        };
        // A tenth of a radian on this aircraft rolls at 2.5 rad/s.
        assert!(error(0.02) < 0.02, "{channel:?}: {}", error(0.02));
        let order = (error(0.02) / error(0.01)).log2();
        assert!((order - 2.0).abs() < 0.4, "{channel:?}: {order}");
    }
}

#[test]
fn a_quick_response_of_a_linear_aircraft_needs_no_fine_step() {
    // With so small an input all that is left is the linear model, which is
    // stepped exactly.
    let aircraft = small_uav();
    let trim = steady(&aircraft);
    let model = linearise(&aircraft, &trim, &LinearOptions::default()).unwrap();
    let size = 1e-4;
    let options = ResponseOptions {
        step_s: 0.1,
        sample_s: 0.1,
        actuators: Actuators::IDEAL,
        ..ResponseOptions::step(Channel::Rudder, Input::Deflection(size))
    };
    let quick = quick_response(&aircraft, &trim, &model, &options).unwrap();
    let fine =
        step_response(&aircraft, &trim, &ResponseOptions { step_s: 0.001, ..options }).unwrap();
    // A step of a whole radian of the Dutch roll; the fine one errs by 1e-3 too,
    // and the linear model by its differences.
    let error = distance(&quick.yaw_rate_rad_s, &fine.yaw_rate_rad_s) / size;
    assert!(error < 0.01, "{error}");
}

#[test]
fn inputs_act_with_the_promised_signs() {
    let curve = StickCurve { throw_rad: 0.2, rate: 1.0, expo: 0.0 };
    let pulled =
        respond(&ResponseOptions::step(Channel::Elevator, Input::Stick { stick: 0.5, curve }));
    let numbers = measure(&pulled);
    assert!(pulled.deflection.last().unwrap() < &-0.09, "stick back moves the elevator up");
    assert!(numbers.peak_pitch_rate_rad_s > 0.0);
    assert!(numbers.load_factor_per_stick.unwrap() > 0.0);
    assert_eq!(pulled.deflection[0], 0.0);
}

#[test]
fn shapes_run_their_course() {
    let ideal = |shape, start_s| ResponseOptions {
        shape,
        start_s,
        actuators: Actuators::IDEAL,
        ..ResponseOptions::step(Channel::Aileron, Input::Deflection(0.05))
    };
    let at = |response: &StepResponse, time_s: f64| {
        response.deflection[(time_s / 0.02).round() as usize]
    };
    let doublet = respond(&ideal(Shape::Doublet { half_s: 0.4 }, 0.2));
    for (time_s, wanted) in [(0.1, 0.0), (0.4, 0.05), (0.8, -0.05), (1.5, 0.0)] {
        assert!((at(&doublet, time_s) - wanted).abs() < 1e-12, "doublet at {time_s}");
    }
    let pulse = respond(&ideal(Shape::Pulse { hold_s: 0.3 }, 0.0));
    assert!((at(&pulse, 0.2) - 0.05).abs() < 1e-12 && at(&pulse, 0.5).abs() < 1e-12);
    // A chirp over 2 s from 0 to 2 pi: phase pi/2 t^2, so sin(pi/2) at 1 s.
    let chirp = Shape::Chirp { from_rad_s: 0.0, to_rad_s: std::f64::consts::TAU };
    let chirp = respond(&ideal(chirp, 0.0));
    assert!((at(&chirp, 1.0) - 0.05).abs() < 1e-3);
}

#[test]
fn a_slow_servo_makes_a_slow_response() {
    let quick = ResponseOptions::step(Channel::Aileron, Input::Deflection(0.1));
    let mut slow = quick;
    slow.actuators.aileron = Servo { time_constant_s: 0.1, speed_max_rad_s: 0.2 };
    let bank = |options| measure(&respond(options)).bank_at_one_second_rad.unwrap().abs();
    assert!(bank(&slow) < 0.8 * bank(&quick));
}

#[test]
fn options_without_sense_are_refused() {
    let aircraft = small_uav();
    let trim = steady(&aircraft);
    let good = ResponseOptions::step(Channel::Aileron, Input::Deflection(0.1));
    for bad in [
        ResponseOptions { duration_s: 0.0, ..good },
        ResponseOptions { sample_s: f64::NAN, ..good },
        ResponseOptions { step_s: -0.01, ..good },
        ResponseOptions { step_s: 1e-9, ..good },
        ResponseOptions { input: Input::Deflection(f64::INFINITY), ..good },
    ] {
        let refused = step_response(&aircraft, &trim, &bad);
        assert!(matches!(refused, Err(ResponseError::Options { .. })), "{bad:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 16,
        rng_seed: RngSeed::Fixed(2511),
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_mirrored_input_gives_the_mirrored_motion(size in -0.2..0.2f64, rudder in any::<bool>()) {
        let channel = if rudder { Channel::Rudder } else { Channel::Aileron };
        let run = |size| respond(&ResponseOptions::step(channel, Input::Deflection(size)));
        let (one, mut other) = (run(size), run(-size));
        for course in [
            &mut other.beta_rad,
            &mut other.roll_rate_rad_s,
            &mut other.yaw_rate_rad_s,
            &mut other.bank_rad,
            &mut other.heading_rad,
            &mut other.side_load_factor,
        ] {
            course.iter_mut().for_each(|value| *value = -*value);
        }
        prop_assert!(difference(&one, &other) < 1e-9);
    }
}
