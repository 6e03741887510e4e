//! Every example takes off or is thrown, flies a circuit and lands, in still
//! air and in a wind of 4 m/s with its gusts, from ahead and square to the strip.

use sim_core::aircraft::Launch;
use sim_core::flight::autopilot::Autopilot;
use sim_core::flight::autopilot::circuit::Circuit;
use sim_core::flight::contact::{ContactPoint, launch};
use sim_core::flight::{Event, Phase, Rate, Session, SessionOptions, Start, TimedEvent};

use super::{Ready, examples};

/// Longest flight, s.
const FLIGHT_MAX_S: f64 = 240.0;

fn fly(ready: &Ready, options: SessionOptions) -> (Session, Vec<TimedEvent>) {
    let start = match launch(&ready.aircraft) {
        Launch::Ground => Start::OnStrip,
        Launch::Hand => Start::HandLaunch,
    };
    let options = SessionOptions { start, ..options };
    let mut session = ready.session(options);
    session.set_radio(session.radio().on(Rate::High));
    let mut circuit = Circuit::new(&session, Autopilot::new(&session, &ready.assessment));
    let mut events = Vec::new();
    while session.time_s() < FLIGHT_MAX_S && session.phase() != Phase::Crashed {
        circuit.fly(&mut session);
        session.step();
        let new = session.take_events();
        let stopped = new.iter().any(|event| matches!(event.event, Event::Stopped { .. }));
        events.extend(new);
        if stopped {
            break;
        }
    }
    (session, events)
}

/// A difference of headings, the short way round.
fn shortest(angle_rad: f64) -> f64 {
    angle_rad.sin().atan2(angle_rad.cos())
}

/// Bank at which the wing's tip comes down to the ground beside what is lowest
/// further in, rad.
fn bank_of_the_tip_rad(points: &[ContactPoint]) -> f64 {
    let places = || points.iter().map(|point| point.position_body);
    let span = places().map(|place| place.y).fold(0.0, f64::max);
    let tip = places().filter(|place| place.y == span).map(|place| place.z).fold(-1.0, f64::max);
    let inner = places().filter(|place| place.y.abs() < 0.5 * span);
    inner.map(|foot| (foot.z - tip).atan2(span - foot.y)).fold(0.0, f64::max)
}

fn lands(ready: &Ready, options: SessionOptions) {
    let (session, events) = fly(ready, options);
    let key = ready.key;
    let took_off = events.iter().any(|event| matches!(event.event, Event::TookOff { .. }));
    let stopped = events.iter().any(|event| matches!(event.event, Event::Stopped { .. }));
    assert!(took_off && stopped, "{key}: {events:?}");
    let place = session.state().position_ned;
    assert!(place.y.abs() < 15.0, "{key}: stopped {place}");
    // Once round: nearly a full turn in the air, to the same side throughout.
    let air = session.record().samples().filter(|sample| sample.on_ground == 0.0);
    let headings: Vec<f64> = air.map(|sample| f64::from(sample.heading_rad)).collect();
    let turned: f64 = headings.windows(2).map(|pair| shortest(pair[1] - pair[0])).sum();
    assert!(turned.abs() > 330f64.to_radians(), "{key}: turned {turned} rad");
    // A landing that a foam model takes without harm (common practice: 2 m/s),
    // tips off the ground, however often it touches.
    let bank_max = bank_of_the_tip_rad(session.contact_points());
    for timed in &events {
        if let Event::Landed { sink_m_s, bank_rad, .. } = timed.event {
            let soft = sink_m_s < 2.0 && bank_rad.abs() < bank_max;
            assert!(soft, "{key}: {sink_m_s} m/s, {bank_rad} of {bank_max} rad");
        }
    }
    // Steered along the strip before it takes off: the wind does not turn it round.
    let start = session.record().samples().take_while(|sample| sample.on_ground != 0.0);
    let turned = start.map(|sample| f64::from(sample.heading_rad.abs())).fold(0.0, f64::max);
    assert!(turned < 30f64.to_radians(), "{key}: turned by {turned} rad on the strip");
}

#[test]
fn every_example_flies_a_circuit_in_still_air() {
    for ready in examples() {
        lands(&ready, SessionOptions::default());
    }
}

#[test]
fn every_example_flies_a_circuit_in_four_metres_of_wind() {
    for ready in examples() {
        for (seed, from_deg) in [(1, 0.0), (2, 30.0), (3, -30.0)] {
            let options = SessionOptions { seed, ..SessionOptions::default() };
            lands(&ready, options.in_wind(4.0, f64::to_radians(from_deg)));
        }
    }
}

#[test]
fn every_example_flies_a_circuit_in_a_wind_square_to_the_strip() {
    for ready in examples() {
        for (seed, from_deg) in (1..=8).flat_map(|seed| [(seed, 90.0), (seed, -90.0)]) {
            let options = SessionOptions { seed, ..SessionOptions::default() };
            lands(&ready, options.in_wind(4.0, f64::to_radians(from_deg)));
        }
    }
}
