//! Trim levers move the neutral place whatever the rate, and what the debrief
//! makes of them does the same as they did.

use sim_core::assess::{Question, assess, move_balance_point};
use sim_core::flight::debrief::StickAxis;
use sim_core::flight::{CLICKS_MAX, Rate};

use super::{examples, in_the_air};

#[test]
fn clicks_shift_the_surface_alike_on_both_rates_and_end_at_their_stop() {
    for ready in examples() {
        let mut session = ready.session(in_the_air());
        let neutral = session.controls().elevator_rad;
        session.click_trim(StickAxis::Elevator, 2);
        let mut shifted = Vec::new();
        for rate in [Rate::Low, Rate::High] {
            session.set_radio(session.radio().on(rate));
            for _ in 0..250 {
                session.step();
            }
            shifted.push(session.controls().elevator_rad - neutral);
        }
        // Up elevator is negative.
        assert!(shifted[0] < -1e-3 && (shifted[0] - shifted[1]).abs() < 1e-6, "{shifted:?}");
        session.click_trim(StickAxis::Elevator, i32::MAX);
        assert_eq!(session.trims().of(StickAxis::Elevator), CLICKS_MAX);
        session.restart(in_the_air()).unwrap();
        assert_eq!(session.trims().of(StickAxis::Elevator), 0);
    }
}

/// A lever of a channel that the aeroplane does not have stays where it is.
#[test]
fn a_lever_without_a_surface_does_not_move() {
    for ready in examples() {
        let mut session = ready.session(in_the_air());
        let ailerons = session.radio().aileron.high.throw_rad > 0.0;
        session.click_trim(StickAxis::Aileron, 3);
        assert_eq!(session.trims().of(StickAxis::Aileron), if ailerons { 3 } else { 0 });
        assert_eq!(session.trims().moves(StickAxis::Aileron), ailerons);
    }
}

/// The proposed move of the balance point trims as the clicks did: the aeroplane
/// so balanced needs the elevator that the clicks gave it, at the same speed. The
/// proposal takes the derivative at one angle of attack, and the moved weight
/// changes tail lift and throttle a little: a fifth is left for that.
#[test]
fn the_balance_point_moved_as_proposed_gives_the_same_trim() {
    let mut proposed = 0;
    for ready in examples() {
        let mut session = ready.session(in_the_air());
        session.click_trim(StickAxis::Elevator, -2);
        let correction = session.trim_corrections(&ready.assessment)[0];
        assert_eq!((correction.axis, correction.clicks), (StickAxis::Elevator, -2));
        // Down elevator is positive; two millimetres are two millimetres.
        assert!(correction.deflection_rad > 0.0 && correction.travel_m > 0.0);
        let Some(shift_m) = correction.balance_shift_m else { continue };
        assert!(shift_m < 0.0, "down trim asks for a heavier nose: {shift_m}");
        let mut aircraft = ready.aircraft.clone().into_inner();
        assert!(move_balance_point(&mut aircraft, shift_m));
        let aircraft = aircraft.check().unwrap();
        let airspeed_m_s = Some(ready.assessment.trim.airspeed_m_s);
        let question = Question { airspeed_m_s, ..Question::default() };
        let moved = assess(&aircraft, &question).unwrap();
        // The heavier nose wants up elevator: as much as the down trim took away.
        let wanted = moved.trim.controls.elevator_rad - ready.assessment.trim.controls.elevator_rad;
        let error = wanted / -correction.deflection_rad - 1.0;
        assert!(error.abs() < 0.2, "{}: {wanted} {correction:?}", ready.key);
        proposed += 1;
    }
    assert!(proposed > 0);
}
