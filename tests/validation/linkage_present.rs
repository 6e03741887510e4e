//! Present settings and linkages of an example aeroplane through the chain.
//!
//! Hand-worked: an arm of 10 mm on a horn of 20 mm turns the surface by about
//! half the servo's angle (sin 45/2 = 0.354, 20.7 deg at 45 deg of servo), so
//! a high rate of 14 deg takes 2 sin 14 = 0.484, 28.9 deg, 64 % of the travel;
//! 0.2 mm of play over 20 mm and 1 deg of gear play through a half come to
//! 0.57 + 0.5 deg. Hinge moment: Ch q c2 b, with Glauert's b2 (ARC R&M 1095,
//! 1927) of a 30 % flap, about -0.9 per rad after the factor for viscosity.

use sim_core::aircraft::{
    Aircraft, ControlLinkage, ControlRole, ControlSetting, EXAMPLES, Linkage, Pushrod, RodMaterial,
    Servo, Supports, read_aircraft,
};
use sim_core::assess::{Assessment, LoadCase, Question, assess};

fn trainer() -> Aircraft {
    read_aircraft(EXAMPLES.iter().find(|example| example.key == "trainer").unwrap().text).unwrap()
}

fn linkage() -> ControlLinkage {
    ControlLinkage {
        geometry: Linkage {
            servo_arm_m: 0.010,
            horn_height_m: 0.020,
            horn_offset_m: 0.0,
            pushrod_m: 0.35,
            shaft_height_m: 0.010,
            arm_neutral_deg: 0.0,
        },
        pushrod: Some(Pushrod {
            material: RodMaterial::Carbon,
            diameter_m: 0.0015,
            inner_diameter_m: 0.0,
            length_m: 0.35,
            free_length_m: 0.12,
            supports: Supports::PinnedPinned,
            bow_m: 0.0,
        }),
        servo: Servo::default(),
        hole_play_m: 0.0002,
        arm_holes_m: vec![0.006, 0.008, 0.010, 0.012],
        horn_holes_m: vec![0.011, 0.014, 0.017, 0.020],
    }
}

fn with_elevator(change: impl Fn(&mut sim_core::aircraft::ControlSurface)) -> Aircraft {
    let mut aircraft = trainer();
    for control in aircraft.surfaces.iter_mut().flat_map(|surface| &mut surface.controls) {
        if control.role == ControlRole::Elevator {
            change(control);
        }
    }
    aircraft
}

fn assessed(aircraft: Aircraft) -> Assessment {
    assess(&aircraft.check().unwrap(), &Question::default()).unwrap()
}

#[test]
fn a_linkage_agrees_with_hand_work() {
    let assessment = assessed(with_elevator(|control| control.linkage = Some(linkage())));
    let [report] = &assessment.linkages[..] else { panic!("one linkage") };
    assert_eq!((report.control.as_str(), report.fault.as_deref()), ("elevator", None));
    let full = report.full_throws.unwrap();
    assert!((full.mean_rad().to_degrees() - 20.7).abs() < 0.3);
    let high = assessment.throws[0].high_rate_rad;
    let by_hand = (2.0 * high.sin()).asin() / 45f64.to_radians();
    assert!((report.travel_for_high.unwrap() / by_hand - 1.0).abs() < 0.03);
    assert!((report.play_rad.unwrap().to_degrees() - 1.073).abs() < 0.01);
    // The best pair uses more travel than the present one and still reaches.
    let best = report.best_holes[0];
    assert!(best.reaches && best.travel_used > report.travel_for_high.unwrap());
    // Both curves run through neutral and end at their full throws.
    for (curve, full) in [
        (&report.throw_against_stick_rad, full),
        (&report.best_against_stick_rad, best.full_throws),
    ] {
        assert_eq!(curve.len(), 21);
        assert!(curve[10].1.abs() < 1e-9);
        assert!((curve[0].1 - full.pull_rad).abs() < 1e-9);
        assert!((curve[20].1 - full.push_rad).abs() < 1e-9);
    }
    // 1 deg at 15 m/s; at the fastest trim less by the square.
    let flutter = report.flutter.unwrap();
    let limit = 1.0 * (15.0 / flutter.airspeed_m_s.max(15.0)).powi(2);
    assert!((flutter.play_limit_rad.to_degrees() - limit).abs() < 1e-9 && flutter.exceeded);
}

/// Both halves of the elevator: chord 0.039 m, span 0.42 m. Fast flight meets
/// no propwash; in the climb the local speed is well above the airspeed.
#[test]
fn hinge_moments_are_those_of_the_hand_formula() {
    let assessment = assessed(with_elevator(|control| control.linkage = Some(linkage())));
    let loads = &assessment.linkages[0].loads;
    let of = |case| loads.iter().find(|load| load.case == case).unwrap();
    let fast = of(LoadCase::FastFlight);
    let pressure = 0.5 * 1.225 * fast.local_airspeed_m_s.powi(2);
    let by_hand = 0.9 * fast.deflection_rad.sin() * pressure * 0.039f64.powi(2) * 0.42;
    let ratio = fast.hinge_moment_n_m / by_hand;
    // The tail's own angle of attack adds or takes a few tenths.
    assert!((0.5..1.6).contains(&ratio), "{} {by_hand}", fast.hinge_moment_n_m);
    let loaded = fast.loaded.unwrap();
    assert!(loaded.torque_share > 0.0 && loaded.torque_share < 0.5);
    assert!((loaded.servo_torque_n_m / (0.5 * fast.hinge_moment_n_m) - 1.0).abs() < 0.15);
    let blown = of(LoadCase::Propwash);
    assert!(blown.local_airspeed_m_s > 1.1 * 1.2 * assessment.stall.airspeed_m_s);
}

#[test]
fn thirty_degrees_of_elevator_are_cut() {
    let setting =
        ControlSetting { high_rate_deg: 30.0, low_rate_deg: Some(4.0), expo: 0.0, low_expo: 0.0 };
    let assessment = assessed(with_elevator(|control| control.setting = Some(setting)));
    let [pitch] = &assessment.present[..] else { panic!("one setting") };
    let advice = &assessment.throws[0];
    let share = pitch.high_assessed.high_over_present;
    assert!((share * 30.0 - advice.high_rate_rad.to_degrees()).abs() < 1e-9 && share < 0.6);
    assert!(!pitch.high_assessed.exceeded.is_empty());
    assert!(pitch.high_assessed.unmet.is_empty());
    // 4 deg do not reach the stall, which is what the flare needs.
    assert!(!pitch.low_assessed.as_ref().unwrap().unmet.is_empty());
    // What full stick does was flown: the rate is short of the straight line.
    let (wild, timid) =
        (&pitch.high_assessed.predicted[0], &pitch.low_assessed.as_ref().unwrap().predicted[0]);
    let straight = timid.peak_rate_rad_s * 30.0 / 4.0;
    assert!(wild.peak_rate_rad_s < 0.9 * straight && wild.peak_rate_rad_s > timid.peak_rate_rad_s);
}

#[test]
fn faults_name_the_field() {
    let with = |change: fn(&mut ControlLinkage)| {
        let mut own = linkage();
        change(&mut own);
        with_elevator(|control| control.linkage = Some(own.clone())).check().unwrap_err()
    };
    let faults = with(|own| own.geometry.servo_arm_m = f64::NAN);
    assert_eq!(faults[0].field, "surfaces[1].controls[0].linkage.geometry.servo_arm_m");
    let faults = with(|own| {
        if let Some(rod) = &mut own.pushrod {
            rod.free_length_m = 0.5;
        }
    });
    assert_eq!(faults[0].field, "surfaces[1].controls[0].linkage.pushrod.free_length_m");
    // Sound numbers that do not fit together are a finding, not an error.
    let mut short = linkage();
    short.geometry.pushrod_m = 0.006;
    short.geometry.shaft_height_m = -0.2;
    let assessment = assessed(with_elevator(|control| control.linkage = Some(short.clone())));
    assert!(assessment.linkages[0].fault.as_deref().unwrap().starts_with("pushrod_m"));
}
