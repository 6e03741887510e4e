//! Responses: the linear model's is the limit of the full one, a mirrored
//! input gives the mirrored motion, the sampling changes nothing.

use fledge_tests::airframes::{Derivatives, small_uav};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sim_core::analysis::{
    Channel, Input, Lateral, LinearOptions, Path, ResponseError, ResponseOptions, Shape,
    StepResponse, Trim, TrimTask, linear_response, linearise, measure, quick_response, solve_trim,
    step_response,
};
use sim_core::atmosphere::Atmosphere;
use sim_core::dynamics::{Actuators, Air, Servo, StickCurve};
use sim_core::handling::pilot::Pilot;
use sim_core::throws::sensitivity::{Condition, Duty, Phase, channel_response};

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

/// Greatest difference in any course, in rad, rad/s, weights, tens of metres or
/// of metres per second.
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
        0.1 * distance(&one.height_change_m, &two.height_change_m),
        0.1 * distance(&one.airspeed_m_s, &two.airspeed_m_s),
    ]
    .into_iter()
    .fold(0.0, f64::max)
}

const CHANNELS: [Channel; 3] = [Channel::Elevator, Channel::Aileron, Channel::Rudder];

/// Level, climbing in a turn, and slipping without a turn.
fn trims(aircraft: &Derivatives) -> [Trim; 3] {
    let air = Air::still(&Atmosphere::sea_level());
    let level = TrimTask::level(25.0, air);
    let turn = TrimTask {
        lateral: Lateral::NoSideslip,
        turn_bank_rad: Some(0.6),
        path: Path::Climb(0.1),
        ..level
    };
    let slip = TrimTask { lateral: Lateral::NoSideslip, sideslip_rad: 0.05, ..level };
    [level, turn, slip].map(|task| solve_trim(aircraft, &task, None).unwrap())
}

#[test]
fn the_linear_response_is_the_limit_of_the_full_one() {
    let aircraft = small_uav();
    let fine = LinearOptions {
        flow_angle_step_rad: 1e-4,
        rate_step_rad: 1e-4,
        deflection_step_rad: 1e-4,
        throttle_step: 1e-3,
    };
    for trim in trims(&aircraft) {
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
}

/// Samples follow each other evenly from the start to the end of the run, and
/// every course has one for each time.
#[test]
fn the_run_is_as_long_as_asked_for() {
    let options = ResponseOptions {
        duration_s: 1.5,
        sample_s: 0.05,
        ..ResponseOptions::step(Channel::Elevator, Input::Deflection(0.05))
    };
    let run = respond(&options);
    assert_eq!(run.time_s.len(), 31);
    for (index, time_s) in run.time_s.iter().enumerate() {
        assert!((time_s - 0.05 * index as f64).abs() < 1e-12, "{index}: {time_s}");
    }
    assert_eq!(run.bank_rad.len(), 31);
    assert_eq!(run.load_factor.len(), 31);
}

/// Far beyond a whole roll, bank and heading go on without a leap, and the bank
/// is what the roll rate adds up to as long as the nose stays level.
#[test]
fn whole_rolls_are_counted() {
    let options = ResponseOptions {
        duration_s: 3.0,
        ..ResponseOptions::step(Channel::Aileron, Input::Deflection(0.35))
    };
    for (options, sense) in
        [(options, 1.0), (ResponseOptions { input: Input::Deflection(-0.35), ..options }, -1.0)]
    {
        let rolling = respond(&options);
        let leap = |angles: &[f64]| {
            angles.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f64::max)
        };
        // At 10 rad/s a fiftieth of a second is 0.2 rad; an angle told within
        // half a turn would leap by 6.
        assert!(leap(&rolling.bank_rad) < 1.0 && leap(&rolling.heading_rad) < 1.0);
        let rolled = sense * rolling.bank_rad.last().unwrap();
        assert!(rolled > std::f64::consts::TAU, "{rolled}");
        let summed: f64 = rolling.roll_rate_rad_s.iter().sum::<f64>() * options.sample_s * sense;
        // phi' = p + tan theta (q sin phi + r cos phi), whose second part has no
        // mean over a roll but for the nose's drop.
        assert!((rolled / summed - 1.0).abs() < 0.2, "{rolled} {summed}");
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

/// Untouched, a climbing turn and a slip go on as they were trimmed, whichever way
/// they are stepped: rates, attitude, heading, and what is felt.
#[test]
fn steady_flight_stays_steady() {
    let aircraft = small_uav();
    for trim in trims(&aircraft) {
        let model = linearise(&aircraft, &trim, &LinearOptions::default()).unwrap();
        let options = ResponseOptions::step(Channel::Aileron, Input::Deflection(0.0));
        let quick = quick_response(&aircraft, &trim, &model, &options).unwrap();
        let full = step_response(&aircraft, &trim, &options).unwrap();
        let small = linear_response(&model, &trim, &options).unwrap();
        for run in [quick, full, small] {
            let all = |found: &[f64], wanted: f64| {
                let off = found.iter().map(|value| (value - wanted).abs()).fold(0.0, f64::max);
                assert!(off < 1e-4, "{off} off {wanted}");
            };
            all(&run.roll_rate_rad_s, trim.rates_body.x);
            all(&run.pitch_rate_rad_s, trim.rates_body.y);
            all(&run.yaw_rate_rad_s, trim.rates_body.z);
            all(&run.bank_rad, trim.bank_rad);
            all(&run.pitch_rad, trim.pitch_rad);
            all(&run.alpha_rad, trim.alpha_rad);
            all(&run.beta_rad, trim.beta_rad);
            all(&run.load_factor, trim.load_factor);
            let weight_n = aircraft.mass_kg * sim_core::atmosphere::GRAVITY_M_S2;
            all(&run.side_load_factor, trim.loads.force_body.y / weight_n);
            for (time_s, heading) in run.time_s.iter().zip(&run.heading_rad) {
                assert!((heading - trim.turn_rate_rad_s * time_s).abs() < 1e-3);
            }
        }
    }
}

/// Between the places that it knows of a control, the course by one evaluation runs a
/// parabola: with a servo of 0.2 s a step of 0.1 s still follows a small input.
#[test]
fn a_quick_response_follows_the_bend_of_a_slow_servo() {
    let aircraft = small_uav();
    let trim = steady(&aircraft);
    let model = linearise(&aircraft, &trim, &LinearOptions::default()).unwrap();
    let slow = Servo { time_constant_s: 0.2, speed_max_rad_s: f64::INFINITY };
    let size = 1e-4;
    let options = ResponseOptions {
        step_s: 0.1,
        sample_s: 0.1,
        duration_s: 1.0,
        actuators: Actuators { aileron: slow, ..Actuators::IDEAL },
        ..ResponseOptions::step(Channel::Aileron, Input::Deflection(size))
    };
    let quick = quick_response(&aircraft, &trim, &model, &options).unwrap();
    let fine = linear_response(&model, &trim, &ResponseOptions { step_s: 0.001, ..options });
    let fine = fine.unwrap();
    let peak = fine.roll_rate_rad_s.iter().fold(0.0, |most: f64, rate| most.max(rate.abs()));
    let error = distance(&quick.roll_rate_rad_s, &fine.roll_rate_rad_s) / peak;
    assert!(error < 1e-3, "{error}");
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

/// The linear model's peak load factor after a step of the elevator is that of
/// the motion it is the limit of: U q less w', the elevator's own lift included.
#[test]
fn load_factor_that_limits_a_throw_is_that_of_the_response() {
    let aircraft = small_uav();
    let trim = steady(&aircraft);
    let model = linearise(&aircraft, &trim, &LinearOptions::default()).unwrap();
    let condition = Condition { phase: Phase::Cruise, airspeed_m_s: 25.0, throttle: 0.5 };
    let pilot = Pilot::default();
    let told = channel_response(&model, Duty::Pitch, condition, 5.0, &pilot, 0.03).unwrap();
    let size = 1e-3;
    let options = ResponseOptions {
        duration_s: 1.0,
        sample_s: 0.01,
        step_s: 0.005,
        actuators: Actuators::IDEAL,
        ..ResponseOptions::step(Channel::Elevator, Input::Deflection(-size))
    };
    let flown = step_response(&aircraft, &trim, &options).unwrap();
    // At the start the elevator's download acts before the nose has risen.
    let most = flown.load_factor.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let greatest = most - trim_load_factor(&trim);
    let error = told.load_factor.per_rad * size / greatest - 1.0;
    // The flown one turns gravity with the nose too, a share of theta squared.
    assert!(error.abs() < 0.01, "{} {greatest}", told.load_factor.per_rad * size);
}

/// Steady and straight, the body axis feels the weight along its own z.
fn trim_load_factor(trim: &Trim) -> f64 {
    trim.pitch_rad.cos() * trim.bank_rad.cos()
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
    let slow = respond(&ideal(chirp, 0.0));
    assert!((at(&slow, 1.0) - 0.05).abs() < 1e-3);
    // A command is held over each half of a step at its value in the middle of it;
    // the sweep is over what is left after the start.
    let late = respond(&ideal(chirp, 0.4));
    for (index, (time_s, found)) in late.time_s.iter().zip(&late.deflection).enumerate() {
        let quarter = if index + 1 < late.time_s.len() { 0.005 } else { -0.005 };
        let since = (time_s + quarter - 0.4).max(0.0);
        let wanted = 0.05 * (0.5 * std::f64::consts::TAU / 1.6 * since * since).sin();
        assert!((found - wanted).abs() < 1e-12, "{time_s}: {found} {wanted}");
    }
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
