//! Performance and the card for the first flight, on the example aeroplanes.
//!
//! Theory: in a steady glide lift over drag is distance over height, and the
//! slowest sink is flown slower than the flattest glide (by the fourth root of
//! 3 for a parabolic polar; Anderson, Aircraft Performance and Design, 1999,
//! from memory); at the greatest level speed full throttle neither climbs nor
//! sinks; a thrust line that is suggested must bring what it was suggested for.

use sim_core::aero::device::EdgeMotion;
use sim_core::aircraft::{Aircraft, ControlRole, EXAMPLES, MassStatement, Spread, read_aircraft};
use sim_core::assess::uncertainty::UncertaintyPlan;
use sim_core::assess::{Question, assess, performance};
use sim_core::card::{Caution, FlightStep, MaidenCard, StickInput};
use sim_core::throws::sensitivity::Duty;

fn example(key: &str) -> Aircraft {
    read_aircraft(EXAMPLES.iter().find(|example| example.key == key).unwrap().text).unwrap()
}

fn card(aircraft: Aircraft) -> MaidenCard {
    let (aircraft, question) = (aircraft.check().unwrap(), Question::default());
    let assessment = assess(&aircraft, &question).unwrap();
    let power = performance(&aircraft, &question).unwrap();
    MaidenCard::new(&aircraft, &assessment, Some(&power), None)
}

#[test]
fn glide_and_speeds_are_those_of_the_theory() {
    for case in EXAMPLES {
        let (aircraft, question) = (example(case.key).check().unwrap(), Question::default());
        let assessment = assess(&aircraft, &question).unwrap();
        let own = performance(&aircraft, &question).unwrap();
        println!("{}: {own:?}", case.key);
        let (flat, slow) = (own.best_glide.unwrap(), own.least_sink.unwrap());
        assert!(flat.ratio > 3.0 && flat.ratio < 20.0);
        assert!(slow.sink_m_s <= flat.sink_m_s && slow.airspeed_m_s <= flat.airspeed_m_s);
        // Sink is speed times the sine of the angle whose tangent is 1/ratio.
        let sink = flat.airspeed_m_s * (1.0 / flat.ratio).atan().sin();
        assert!((flat.sink_m_s / sink - 1.0).abs() < 1e-9);
        let fastest = own.max_level_airspeed_m_s.unwrap();
        assert!(fastest > assessment.trim.airspeed_m_s);
        let unit = &own.units[0];
        assert!(unit.flight_time_cruise_s.unwrap() > unit.flight_time_full_s.unwrap());
        assert!(own.climb_m_s.unwrap() > 0.0);
        // Full throttle holds that speed level: the throttle of a level trim
        // there is 1, but for the sections' drag, which is set up for the
        // speed asked for and some per cent less at twice the Reynolds number.
        let level = Question { airspeed_m_s: Some(fastest), ..question };
        let there = assess(&aircraft, &level).unwrap().trim;
        assert!(there.controls.throttle > 0.93, "{} {}", case.key, there.controls.throttle);
    }
}

/// The trainer's tail stands in the propwash of its nose propeller, so both
/// controls gain with throttle.
#[test]
fn propwash_strengthens_the_tail() {
    let own = performance(&example("trainer").check().unwrap(), &Question::default()).unwrap();
    let [idle, half, full] = own.control_power[..] else { panic!("{:?}", own.control_power) };
    assert!(half.elevator_n_m_per_rad > idle.elevator_n_m_per_rad);
    assert!(full.elevator_n_m_per_rad > 1.2 * idle.elevator_n_m_per_rad);
    assert!(full.rudder_n_m_per_rad > 1.2 * idle.rudder_n_m_per_rad);
}

/// Set to what was suggested, the aeroplane suggests no further change.
#[test]
fn a_suggested_thrust_line_needs_no_further_change() {
    let mut aircraft = example("trainer");
    let question = Question { airspeed_m_s: Some(11.0), ..Question::default() };
    let angles = |aircraft: &Aircraft| {
        let sound = aircraft.clone().check().unwrap();
        performance(&sound, &question).unwrap().thrust_angles.unwrap()
    };
    let first = angles(&aircraft);
    let (down, right) = (first.down_suggested_deg.unwrap(), first.right_suggested_deg.unwrap());
    aircraft.propulsion[0].down_thrust_deg = down;
    aircraft.propulsion[0].right_thrust_deg = right;
    let second = angles(&aircraft);
    // The trim and with it the state of flight moves a little.
    assert!((second.down_suggested_deg.unwrap() - down).abs() < 0.5, "{first:?} {second:?}");
    assert!((second.right_suggested_deg.unwrap() - right).abs() < 0.5, "{first:?} {second:?}");
}

#[test]
fn the_card_holds_what_is_needed_in_order() {
    let card = card(example("sport"));
    assert!(card.speeds.stall_m_s < card.speeds.approach_m_s);
    assert!(card.speeds.approach_m_s < card.speeds.cruise_m_s);
    // The flattest glide of a wing with drag of its own lies above the stall.
    assert!(card.speeds.best_glide.unwrap().airspeed_m_s > card.speeds.stall_m_s);
    let built = example("sport");
    for throw in &card.throws {
        let (surface, control) = throw.moves.unwrap();
        let role = built.surfaces[surface].controls[control].role;
        let expected = match throw.duty {
            Duty::Pitch => ControlRole::Elevator,
            Duty::Roll => ControlRole::Aileron,
            Duty::Yaw | Duty::BankByRudder => ControlRole::Rudder,
        };
        assert_eq!(role, expected);
    }
    assert!(card.balance.front_aft_m < card.balance.first_flight_aft_m);
    assert!(card.balance.first_flight_aft_m < card.balance.rear_aft_m);
    let total: f64 = card.weights.iter().map(|weight| weight.mass_kg).sum();
    assert!((total / card.mass_kg - 1.0).abs() < 1e-9);
    let place = |step| card.order.iter().position(|own| *own == step).unwrap();
    assert_eq!(place(FlightStep::CheckBalance), 0);
    assert!(place(FlightStep::ClimbHigh) < place(FlightStep::TryStall));
    assert!(place(FlightStep::TryDive) < place(FlightStep::IfTailHeavy));
    // Signs of the crate's conventions: pull is elevator up, right roll is
    // right aileron up.
    let edges = |stick, control| {
        let found =
            |one: &&sim_core::card::DirectionCheck| (one.stick, one.control) == (stick, control);
        card.checks.iter().find(found).map(|one| (one.right, one.left)).unwrap()
    };
    let up = (EdgeMotion::Up, EdgeMotion::Up);
    assert_eq!(edges(StickInput::Pull, ControlRole::Elevator), up);
    let roll = (EdgeMotion::Up, EdgeMotion::Down);
    assert_eq!(edges(StickInput::RollRight, ControlRole::Aileron), roll);
    let yaw = (EdgeMotion::Right, EdgeMotion::Right);
    assert_eq!(edges(StickInput::YawRight, ControlRole::Rudder), yaw);
    assert!(!card.cautions.iter().any(|one| matches!(one, Caution::TailHeavy { .. })));
}

#[test]
fn a_tail_heavy_aeroplane_is_told_first() {
    let mut aft = example("trainer");
    let MassStatement::Parts(parts) = &mut aft.mass else { panic!("parts") };
    for part in parts.iter_mut().filter(|part| part.name == "pack") {
        if let Spread::Block { at, .. } = &mut part.spread {
            at.aft_m += 0.30;
        }
    }
    let card = card(aft);
    assert!(matches!(card.cautions[0], Caution::TailHeavy { behind_m } if behind_m > 0.0));
    assert!(!card.balance.inside && card.balance.pack_shift_m.unwrap() < 0.0);
}

#[test]
fn a_sampled_card_says_between_what_the_throws_lie() {
    let (aircraft, question) = (example("trainer").check().unwrap(), Question::default());
    let assessment = assess(&aircraft, &question).unwrap();
    let plan = UncertaintyPlan::new(&aircraft, &question, 32, 5).unwrap();
    let uncertainty = plan.summarise(&plan.run(0..32));
    let card = MaidenCard::new(&aircraft, &assessment, None, Some(&uncertainty));
    for throw in &card.throws {
        let (low, high) = throw.high_between_deg.unwrap();
        assert!(low < throw.high_deg && throw.high_deg < high, "{throw:?}");
    }
    assert!(card.power.is_none() && !card.unsure.is_empty());
}
