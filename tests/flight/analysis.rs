//! The loop flies what the analysis computes, and its energy is accounted for.

use nalgebra::{Matrix6, Vector6};
use sim_core::analysis::{Channel, Input, ResponseOptions, step_response};
use sim_core::atmosphere::GRAVITY_M_S2;
use sim_core::dynamics::{Air, Airframe, RigidBody, StickCurve};
use sim_core::flight::{ChannelSetup, STEP_S, Session, Sticks};

use super::{Ready, examples, in_the_air};

fn curve(channel: &ChannelSetup) -> StickCurve {
    StickCurve { throw_rad: channel.low.throw_rad, rate: 1.0, expo: channel.low.expo }
}

/// Half a stick of each channel: every sample of the loop's record against the
/// analysis by the fourth-order method at the same times, as a share of the
/// greatest value.
#[test]
fn step_responses_agree_within_one_percent() {
    for ready in examples() {
        let session = ready.session(in_the_air());
        let radio = *session.radio();
        let cases = [
            (Channel::Elevator, radio.elevator, Sticks { elevator: 0.5, ..Sticks::default() }),
            (Channel::Aileron, radio.aileron, Sticks { aileron: 0.5, ..Sticks::default() }),
            (Channel::Rudder, radio.rudder, Sticks { rudder: 0.5, ..Sticks::default() }),
        ];
        for (channel, setup, sticks) in cases {
            if setup.low.throw_rad > 0.0 {
                compare(&ready, channel, curve(&setup), sticks);
            }
        }
    }
}

fn compare(ready: &Ready, channel: Channel, curve: StickCurve, sticks: Sticks) {
    let mut session = ready.session(in_the_air());
    let options = ResponseOptions {
        duration_s: 1.6,
        step_s: 0.01,
        sample_s: 0.04,
        ..ResponseOptions::step(channel, Input::Stick { stick: 0.5, curve })
    };
    let theirs = step_response(session.aeroplane(), session.trim(), &options).unwrap();
    let throttle = session.sticks().throttle;
    session.set_sticks(Sticks { throttle, ..sticks });
    for _ in 0..400 {
        session.step();
    }
    let ours: Vec<_> = session.record().samples().copied().collect();
    assert_eq!(ours.len(), theirs.time_s.len());
    let pairs: [(&str, Vec<f32>, &[f64]); 6] = [
        ("roll rate", ours.iter().map(|s| s.roll_rate_rad_s).collect(), &theirs.roll_rate_rad_s),
        ("pitch rate", ours.iter().map(|s| s.pitch_rate_rad_s).collect(), &theirs.pitch_rate_rad_s),
        ("yaw rate", ours.iter().map(|s| s.yaw_rate_rad_s).collect(), &theirs.yaw_rate_rad_s),
        ("bank", ours.iter().map(|s| s.bank_rad).collect(), &theirs.bank_rad),
        ("pitch", ours.iter().map(|s| s.pitch_rad).collect(), &theirs.pitch_rad),
        ("airspeed", ours.iter().map(|s| s.airspeed_m_s).collect(), &theirs.airspeed_m_s),
    ];
    for (what, ours, theirs) in pairs {
        // Beside the greatest value a floor of 1e-2 rad(/s), far below what a
        // pilot sees, so that a motion that is none is not compared.
        let size = theirs.iter().fold(0.01, |size: f64, value| size.max(value.abs()));
        let worst = ours
            .iter()
            .zip(theirs)
            .map(|(ours, theirs)| (f64::from(*ours) - theirs).abs())
            .fold(0.0, f64::max);
        let key = ready.key;
        assert!(worst < 0.01 * size, "{key} {channel:?} {what}: {worst} of {size}");
    }
}

/// Kinetic and potential energy against the work of air and propeller over 10 s
/// of pulling, rolling and throttling. Apparent mass does work of its own.
#[test]
fn energy_balance_closes() {
    for ready in examples() {
        let mut session = ready.session(in_the_air());
        let air = Air::still(&ready.assessment.atmosphere);
        let body = RigidBody::new(session.aeroplane(), air.density_kg_m3).unwrap();
        let apparent = session.aeroplane().added_mass(air.density_kg_m3);
        let before = energy(&session);
        let (mut work, mut traffic) = (0.0, 0.0);
        let mut last = power(&session, &body, &apparent, &air);
        for step in 0..2500 {
            let t = f64::from(step) * STEP_S;
            session.set_sticks(Sticks {
                elevator: 0.4 * (1.3 * t).sin(),
                aileron: 0.3 * (0.9 * t).sin(),
                rudder: 0.4 * (0.7 * t).cos(),
                flap: 0.0,
                throttle: 0.5 + 0.3 * (0.5 * t).sin(),
            });
            session.step();
            let now = power(&session, &body, &apparent, &air);
            work += 0.5 * (last + now) * STEP_S;
            traffic += 0.5 * (last.abs() + now.abs()) * STEP_S;
            last = now;
        }
        let change = energy(&session) - before;
        let key = ready.key;
        // A thousandth of what went in and out: second order in 4 ms leaves
        // less than (h w)^2 / 12, 1e-4 at the quickest motion of 10 rad/s.
        assert!((change - work).abs() < 1e-3 * traffic, "{key}: {change} {work} of {traffic}");
    }
}

fn energy(session: &Session) -> f64 {
    let (state, mass) = (session.state(), session.aeroplane().mass());
    let (v, w) = (&state.velocity_body, &state.rates_body);
    0.5 * mass.mass_kg * v.norm_squared()
        + 0.5 * w.dot(&(mass.inertia_body * w))
        + mass.mass_kg * GRAVITY_M_S2 * state.height_m()
}

fn power(session: &Session, body: &RigidBody, apparent: &Matrix6<f64>, air: &Air) -> f64 {
    let state = session.state();
    let loads = session.aeroplane().loads(&air.met_by(state), session.controls());
    let rate = body.acceleration(state, &loads, air).unwrap();
    let six = |a: &nalgebra::Vector3<f64>, b: &nalgebra::Vector3<f64>| {
        Vector6::new(a.x, a.y, a.z, b.x, b.y, b.z)
    };
    let held_back = apparent * six(&rate.velocity_body_rate, &rate.rates_body_rate);
    let all = six(&loads.force_body, &loads.moment_body) - held_back;
    all.dot(&six(&state.velocity_body, &state.rates_body))
}
