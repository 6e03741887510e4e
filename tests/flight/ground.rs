//! Ground effect of whole aeroplanes, and standing on the ground.

use nalgebra::Vector3;
use sim_core::dynamics::{Air, AirState, Airframe, Controls, FlightState, Wrench};
use sim_core::flight::contact::{ContactKind, launch, touch};
use sim_core::flight::{SessionOptions, Start, Sticks};

use super::{Ready, examples};

fn loads(ready: &Ready, alpha_rad: f64, beta_rad: f64, height_m: Option<f64>) -> Wrench {
    let speed = ready.assessment.trim.airspeed_m_s;
    let air = AirState {
        velocity_body: Vector3::new(alpha_rad.cos(), beta_rad.sin(), alpha_rad.sin()) * speed,
        rates_body: Vector3::zeros(),
        density_kg_m3: 1.225,
        kinematic_viscosity_m2_s: 1.46e-5,
        height_m,
    };
    let session = ready.session(SessionOptions::default());
    session.aeroplane().loads(&air, &Controls::default())
}

/// Near the ground: more lift, less drag for it, nose down; above one span
/// nothing, to the last bit. The amount: McCormick's factor on the induced
/// angle lets a wing of aspect ratio 6 gain some 10 % at a fifth of a span.
#[test]
fn the_ground_lifts_and_pitches_down() {
    for ready in examples() {
        let span_m = ready.assessment.reference.span_m;
        let free = loads(&ready, 0.08, 0.0, None);
        let near = loads(&ready, 0.08, 0.0, Some(0.2 * span_m));
        let gain = near.force_body.z / free.force_body.z - 1.0;
        assert!((0.03..0.2).contains(&gain), "{}: {gain}", ready.key);
        // Forward on the body: the lift vector leans less backwards.
        let per_lift = |wrench: &Wrench| wrench.force_body.x / -wrench.force_body.z;
        assert!(per_lift(&near) > per_lift(&free) - 1e-3, "{}", ready.key);
        assert!(near.moment_body.y < free.moment_body.y, "{}", ready.key);
        assert_eq!(loads(&ready, 0.08, 0.0, Some(1.01 * span_m)), free, "{}", ready.key);
        // It comes and goes without a jump.
        let edge = loads(&ready, 0.08, 0.0, Some(0.999 * span_m));
        assert!((edge.force_body - free.force_body).norm() < 1e-4 * free.force_body.norm());
    }
}

/// The mirror image of a sideslip near the ground has mirrored loads: exactly,
/// where the propeller stands still and no torque breaks the symmetry.
#[test]
fn left_and_right_are_alike_near_the_ground() {
    for ready in examples() {
        let mut aircraft = ready.aircraft.clone().into_inner();
        aircraft.propulsion.clear();
        let aircraft = aircraft.check().unwrap();
        let question = sim_core::assess::Question::default();
        let assessment = sim_core::assess::assess(&aircraft, &question).unwrap();
        let glider = Ready { key: ready.key, aircraft, assessment };
        let height = Some(0.15 * glider.assessment.reference.span_m);
        let right = loads(&glider, 0.06, 0.1, height);
        let left = loads(&glider, 0.06, -0.1, height);
        let (f, g) = (right.force_body, left.force_body);
        let (m, n) = (right.moment_body, left.moment_body);
        assert_eq!((f.x, f.y, f.z), (g.x, -g.y, g.z), "{}", ready.key);
        assert_eq!((m.x, m.y, m.z), (-n.x, n.y, -n.z), "{}", ready.key);
    }
}

/// At rest the ground carries the weight, on wheels or belly, and nothing else
/// touches that would break.
#[test]
fn standing_still_the_ground_carries_the_weight() {
    for ready in examples() {
        let options = SessionOptions { start: Start::OnStrip, ..SessionOptions::default() };
        let mut session = ready.session(options);
        for _ in 0..500 {
            session.set_sticks(Sticks::default());
            session.step();
        }
        let weight = session.aeroplane().mass().mass_kg * 9.806_65;
        let contact = touch(session.contact_points(), session.state(), 0.0);
        let up = -(session.state().attitude * contact.wrench.force_body).z;
        let key = ready.key;
        assert!((up / weight - 1.0).abs() < 0.02, "{key}: {up} {weight}");
        assert!(contact.broken.is_none(), "{key}");
        assert!(
            session.state().velocity_body.norm() < 0.02,
            "{key}: {}",
            session.state().velocity_body
        );
        let rolls = session.contact_points().iter().any(|p| p.kind == ContactKind::Wheel);
        let ground = launch(&ready.aircraft) == sim_core::aircraft::Launch::Ground;
        assert_eq!(rolls, ground, "{key}");
    }
}

/// On the strip at full throttle the propeller pulls, whether the air comes from
/// ahead or, slower than the slipstream, from behind. Thrust lost on the surfaces
/// in the slipstream is their drag: a tenth is usual, three tenths the limit.
#[test]
fn a_wind_from_behind_does_not_turn_the_thrust_round() {
    for ready in examples() {
        let session = ready.session(SessionOptions::default());
        let air = Air::still(&ready.assessment.atmosphere);
        for tenths in -30..=30 {
            let ahead_m_s = f64::from(tenths) / 10.0;
            let still = session.state();
            let velocity_body = Vector3::new(ahead_m_s, 0.0, 0.2 * ahead_m_s);
            let state = FlightState { velocity_body, ..*still };
            let met = air.met_by(&state);
            let controls = Controls { throttle: 1.0, ..Controls::default() };
            let pull_n = session.aeroplane().loads(&met, &controls).force_body.x;
            let points = session.aeroplane().operating_points(&met, 1.0);
            let thrust_n: f64 = points.iter().map(|point| point.thrust_n).sum();
            let key = ready.key;
            assert!(pull_n > 0.7 * thrust_n, "{key} {ahead_m_s} m/s: {pull_n} of {thrust_n} N");
        }
    }
}
