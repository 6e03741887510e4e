//! The stall speed is one that the aeroplane can be held at.

use sim_core::aircraft::{
    Aircraft, ControlRole, EXAMPLES, KnownMass, MassStatement, Section, SectionKind, read_aircraft,
};
use sim_core::assess::{Assessment, Question, assess};
use sim_core::mass::mass_properties;

fn example(key: &str) -> Aircraft {
    let example = EXAMPLES.iter().find(|example| example.key == key).unwrap();
    read_aircraft(example.text).unwrap()
}

fn assessed(aircraft: &Aircraft, question: &Question) -> Assessment {
    assess(&aircraft.clone().check().unwrap(), question).unwrap()
}

fn with_hinge(aircraft: &mut Aircraft, throw_max_deg: f64) {
    for control in aircraft.surfaces.iter_mut().flat_map(|surface| &mut surface.controls) {
        if control.role == ControlRole::Elevator {
            control.throw_max_deg = throw_max_deg;
        }
    }
}

/// Level flight just above the stall asks for no more elevator than there is. An
/// engine helps a little, by blowing at the tail, so nothing is lost by power on.
fn is_held_just_above(aircraft: &Aircraft, what: &str) -> Assessment {
    let plain = assessed(aircraft, &Question::default());
    let slow =
        Question { airspeed_m_s: Some(1.04 * plain.stall.airspeed_m_s), ..Question::default() };
    let trim = assessed(aircraft, &slow).trim;
    assert!(trim.shortfalls.is_empty(), "{what}: {:?} at {:?}", trim.shortfalls, plain.stall);
    plain
}

#[test]
fn an_elevator_that_turns_little_ends_the_flight_before_the_wing() {
    for key in ["trainer", "sport", "pylon_pusher"] {
        let free = is_held_just_above(&example(key), key).stall;
        assert!(!free.elevator_ends_it, "{key}");
        let mut last_m_s = free.airspeed_m_s;
        // What is told stands at 97 % of the greatest lift; the summit takes more.
        for share in [2.0, 0.8, 0.6] {
            let throw_max_deg = share * free.elevator_rad.abs().to_degrees();
            let mut aircraft = example(key);
            with_hinge(&mut aircraft, throw_max_deg);
            let stall = is_held_just_above(&aircraft, &format!("{key} {throw_max_deg}")).stall;
            assert!(stall.airspeed_m_s >= 0.9999 * last_m_s, "{key} {throw_max_deg}");
            assert!(stall.elevator_rad.abs() <= throw_max_deg.to_radians() + 1e-12);
            assert!(stall.elevator_to_stall_rad.abs() >= stall.elevator_rad.abs());
            last_m_s = stall.airspeed_m_s;
            assert_eq!(stall.elevator_ends_it, share < 1.0, "{key} {throw_max_deg}");
        }
    }
}

/// A balance point further forward asks for more elevator and lands faster, with
/// no jump where the elevator begins to end it.
#[test]
fn a_nose_heavy_aeroplane_lands_faster_without_a_jump() {
    let mut aircraft = example("trainer");
    with_hinge(&mut aircraft, 10.0);
    let mass = mass_properties(&aircraft.clone().check().unwrap()).unwrap();
    let (mut last_m_s, mut ended) = (f64::INFINITY, false);
    for step in 0..24 {
        let mut moved = aircraft.clone();
        let mut place = mass.balance_point;
        place.aft_m += -0.08 + 0.005 * f64::from(step);
        moved.mass = MassStatement::Known(KnownMass {
            mass_kg: mass.mass_kg,
            balance_point: place,
            ixx_kg_m2: 0.03,
            iyy_kg_m2: 0.04,
            izz_kg_m2: 0.06,
            ixz_kg_m2: 0.0,
        });
        let stall = assessed(&moved, &Question::default()).stall;
        ended |= stall.elevator_ends_it;
        assert!(stall.airspeed_m_s <= 1.002 * last_m_s, "{step}: {stall:?}");
        assert!(
            last_m_s.is_infinite() || stall.airspeed_m_s > 0.97 * last_m_s,
            "{step}: {stall:?}"
        );
        last_m_s = stall.airspeed_m_s;
    }
    assert!(ended);
}

/// A flat sheet carries at a steep angle, fully stalled, about as much again as
/// before it let go; that is no flight. So the stall speed falls steadily as the
/// sheet's greatest lift rises through that.
#[test]
fn what_a_stalled_plate_carries_is_no_slow_flight() {
    let mut last_m_s = f64::INFINITY;
    for step in 0..9 {
        let mut aircraft = example("sport");
        for panel in &mut aircraft.surfaces[0].panels {
            panel.section = Section { kind: SectionKind::FlatSheet, camber: 0.0, ..panel.section };
            panel.section.known.lift_coefficient_max = Some(0.60 + 0.02 * f64::from(step));
        }
        let stall = assessed(&aircraft, &Question::default()).stall;
        assert!(stall.airspeed_m_s < last_m_s, "{step}: {stall:?}");
        assert!(stall.alpha_rad < 0.25, "{step}: {stall:?}");
        last_m_s = stall.airspeed_m_s;
    }
}
