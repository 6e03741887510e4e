//! Performance and the card for the first flight, on the example aeroplanes.
//!
//! Theory: in a steady glide lift over drag is distance over height, and the
//! slowest sink is flown slower than the flattest glide (by the fourth root of
//! 3 for a parabolic polar; Anderson, Aircraft Performance and Design, 1999,
//! from memory); at the greatest level speed full throttle neither climbs nor
//! sinks; a thrust line that is suggested must bring what it was suggested for.

use sim_core::aero::device::EdgeMotion;
use sim_core::aircraft::{
    Aircraft, ControlRole, Drive, EXAMPLES, MassStatement, Part, Place, Reference, Rotation,
    SoundAircraft, Spread, read_aircraft,
};
use sim_core::assess::uncertainty::UncertaintyPlan;
use sim_core::assess::{Question, ThrustAngles, assess, performance};
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

fn angles(aircraft: &Aircraft) -> ThrustAngles {
    let sound = aircraft.clone().check().unwrap();
    performance(&sound, &Question::default()).unwrap().thrust_angles.unwrap()
}

/// Set to what was suggested, the aeroplane suggests no further change, from wherever
/// the motor pointed before. What is left is the tolerance of the trims.
#[test]
fn a_suggested_thrust_line_needs_no_further_change() {
    for key in ["trainer", "sport"] {
        let mut settled = Vec::new();
        for before_deg in [0.0, 3.0] {
            let mut aircraft = example(key);
            let unit = &mut aircraft.propulsion[0];
            (unit.down_thrust_deg, unit.right_thrust_deg) = (before_deg, before_deg);
            let first = angles(&aircraft);
            let down = first.down_suggested_deg.unwrap();
            let right = first.right_suggested_deg.unwrap();
            let unit = &mut aircraft.propulsion[0];
            (unit.down_thrust_deg, unit.right_thrust_deg) = (down, right);
            let second = angles(&aircraft);
            let left = [second.down_suggested_deg.unwrap() - down];
            let left = [left[0], second.right_suggested_deg.unwrap() - right];
            assert!(left.iter().all(|deg| deg.abs() < 0.05), "{key}: {first:?} {second:?}");
            settled.push([down, right]);
        }
        for (one, other) in settled[0].iter().zip(settled[1]) {
            assert!((one - other).abs() < 0.1, "{key}: {settled:?}");
        }
    }
}

/// The mirror image of an aeroplane, its propeller turning the other way, wants the
/// mirror image of its thrust line.
#[test]
fn a_mirrored_aeroplane_wants_the_mirrored_thrust_line() {
    for key in ["trainer", "sport", "pylon_pusher"] {
        let mut aircraft = example(key);
        for unit in &mut aircraft.propulsion {
            unit.right_thrust_deg = 1.0;
        }
        let own = angles(&aircraft);
        for unit in &mut aircraft.propulsion {
            unit.right_thrust_deg = -1.0;
            unit.propeller.rotation = match unit.propeller.rotation {
                Rotation::Clockwise => Rotation::Counterclockwise,
                Rotation::Counterclockwise => Rotation::Clockwise,
            };
        }
        let image = angles(&aircraft);
        println!("{key}: {own:?}");
        let alike = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => (a - b).abs() < 1e-3,
            (a, b) => a == b,
        };
        assert!(alike(own.down_suggested_deg, image.down_suggested_deg), "{own:?} {image:?}");
        let right = image.right_suggested_deg.map(|deg| -deg);
        assert!(alike(own.right_suggested_deg, right), "{own:?} {image:?}");
    }
}

/// A pair that turns against each other does not swing the nose, wherever it points.
#[test]
fn a_pair_has_no_right_thrust_to_mend() {
    let mut aircraft = example("trainer");
    let unit = &mut aircraft.propulsion[0];
    (unit.mirrored, unit.hub.right_m, unit.right_thrust_deg) = (true, 0.25, 1.5);
    assert_eq!(angles(&aircraft).right_suggested_deg, Some(1.5));
}

/// The trainer with another speed constant of its motor or another pitch.
fn powered(kv_rpm_per_v: f64, pitch_m: f64) -> SoundAircraft {
    let mut aircraft = example("trainer");
    let unit = &mut aircraft.propulsion[0];
    unit.propeller.diameter_m = 0.2286;
    unit.propeller.pitch_m = pitch_m;
    if let Drive::Electric { motor, .. } = &mut unit.drive {
        motor.kv_rpm_per_v = kv_rpm_per_v;
    }
    aircraft.check().unwrap()
}

/// A motor of ever less speed: at first the greatest level speed lies above ordinary
/// flight, then below, then nowhere, exactly where full throttle no longer climbs at
/// any speed. Where it is ordinary flight that fails, that is not given a time.
#[test]
fn a_weak_motor_is_told_what_it_still_holds() {
    let (mut slower, mut never) = (0, 0);
    for kv in [800.0, 600.0, 500.0, 450.0, 420.0, 350.0, 300.0] {
        let own = performance(&powered(kv, 0.1143), &Question::default()).unwrap();
        let cruise = assess(&powered(kv, 0.1143), &Question::default()).unwrap().trim;
        let climb = own.climb_m_s.unwrap();
        assert_eq!(own.max_level_airspeed_m_s.is_some(), climb > 0.0, "{kv}: {own:?}");
        let held = cruise.shortfalls.is_empty();
        assert_eq!(own.units[0].flight_time_cruise_s.is_some(), held, "{kv}");
        match own.max_level_airspeed_m_s {
            Some(fastest) => {
                assert_eq!(fastest > cruise.airspeed_m_s, held, "{kv}: {fastest}");
                slower += usize::from(!held);
            }
            None => {
                assert!(own.units[0].flight_time_full_s.is_none());
                never += 1;
            }
        }
    }
    assert!(slower > 0 && never > 0);
}

/// Over a sweep of the pitch, from less to twice as much thrust as weight, the best
/// climb is always there and changes steadily: power and drag have no steps. It is
/// not more than the power out of the pack lifts, and with more thrust than weight not
/// less than the upright climb at a speed where thrust is weight and drag.
#[test]
fn the_best_climb_changes_steadily_with_the_propeller() {
    let mut before: Option<f64> = None;
    for step in 0..24 {
        let pitch_m = 0.0762 + 0.00635 * f64::from(step);
        let own = performance(&powered(1000.0, pitch_m), &Question::default()).unwrap();
        let climb = own.climb_m_s.unwrap();
        let lifted = own.units[0].static_power_w / (0.7 * 9.81);
        assert!(climb > 0.0 && climb < lifted, "{pitch_m}: {climb} of {lifted}");
        if let Some(before) = before {
            // A quarter of an inch makes at most 1.3 m/s where the blades unstall.
            assert!((climb - before).abs() < 1.6, "{pitch_m}: {before} then {climb}");
        }
        before = Some(climb);
    }
}

/// A free propeller may stand or turn with the wind, both in balance; about 7.5 m/s the
/// trainer's goes from one to the other. Derivatives without power are those of the
/// state that it is in: a fixed shape's drag over pressure does not change with the
/// speed but for the Reynolds number, a few per cent of a coefficient of 0.1.
#[test]
fn a_windmill_does_not_jump_within_a_derivative() {
    let aircraft = example("trainer").check().unwrap();
    let mut count = 0;
    for step in 0..24 {
        let airspeed_m_s = Some(7.4 + 0.025 * f64::from(step));
        let question = Question { airspeed_m_s, ..Question::default() };
        // The slowest may lie below the stall.
        let Ok(found) = assess(&aircraft, &question) else { continue };
        let by_speed = found.derivatives_power_off.by_speed.drag;
        assert!(by_speed.abs() < 0.03, "{airspeed_m_s:?}: {by_speed}");
        count += 1;
    }
    assert!(count > 12);
}

/// One step that cannot be followed costs that step and not the answer: at five times
/// the usual speed a roll is quicker than the usual step of time resolves.
#[test]
fn a_step_that_is_lost_does_not_lose_the_report() {
    let aircraft = example("sport").check().unwrap();
    for airspeed in [60.0, 90.0, 150.0] {
        let question = Question { airspeed_m_s: Some(airspeed), ..Question::default() };
        let found = assess(&aircraft, &question).unwrap();
        let told = found.responses.len() + found.responses_lost.len();
        assert_eq!(told, found.throws.len(), "{airspeed}");
    }
}

/// What the coefficients refer to changes no length, speed or force.
#[test]
fn reference_sizes_change_no_balance() {
    let own = example("sport");
    let mut other = own.clone();
    let wing = own.wing_size();
    other.reference = Some(Reference {
        area_m2: 1.7 * wing.area_m2,
        span_m: wing.span_m,
        chord_m: 1.3 * wing.mean_aerodynamic_chord_m,
    });
    let question = Question { airspeed_m_s: Some(13.0), ..Question::default() };
    let [own, other] = [own, other].map(|a| assess(&a.check().unwrap(), &question).unwrap());
    let same = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-6, "{a} {b}");
    same(own.trim.alpha_rad, other.trim.alpha_rad);
    same(own.trim.controls.throttle, other.trim.controls.throttle);
    same(own.balance.neutral_point_aft_m, other.balance.neutral_point_aft_m);
    same(own.balance.window_rear_aft_m, other.balance.window_rear_aft_m);
    for (own, other) in own.modes.lateral.iter().zip(&other.modes.lateral) {
        same(own.real_1_s, other.real_1_s);
    }
}

/// All weight on the centreline resists no roll.
#[test]
fn weights_in_line_are_told() {
    let mut aircraft = example("sport");
    let told = |aircraft: Aircraft| card(aircraft).cautions.contains(&Caution::WeightsInLine);
    assert!(!told(aircraft.clone()));
    aircraft.mass = MassStatement::Parts(vec![Part {
        name: "all".to_owned(),
        spread: Spread::Point { mass_kg: 0.8, at: Place::new(0.3, 0.0, 0.0) },
        mirrored: false,
    }]);
    assert!(told(aircraft));
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
    let balance = &card.balance;
    assert!(!balance.inside && balance.pack_shift_m.unwrap() < 0.0);
    // Sliding the pack by so much brings the balance point to where the card aims.
    let pack_kg = card.weights.iter().find(|weight| weight.name == "pack").unwrap().mass_kg;
    let moved_m = balance.pack_shift_m.unwrap() * pack_kg / card.mass_kg;
    let aimed_m = balance.first_flight_aft_m - balance.present_aft_m;
    assert!((moved_m / aimed_m - 1.0).abs() < 1e-9, "{moved_m} {aimed_m}");
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
