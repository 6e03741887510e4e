//! Whole power trains against what modellers see (common practice, no source;
//! bands, not values).
//!
//! A motor of about 1100 rpm/V with an 8x6 inch propeller on three cells runs
//! from a 30 A controller with margin, and a 9 inch propeller is still
//! accepted. Full throttle brings 15 to 25 A, 600 to 1000 g of static thrust
//! and 9500 to 11 500 rpm.

use sim_core::aircraft::{
    BladeStyle, Controller, Drive, Motor, Mounting, Pack, Place, Propeller, Propulsion, Rotation,
};
use sim_core::power::PowerModel;
use sim_core::power::outputs::{Margin, PowerFinding};

fn unit() -> Propulsion {
    Propulsion {
        name: "three cells".to_owned(),
        hub: Place::new(0.0, 0.0, 0.0),
        mirrored: false,
        mounting: Mounting::Tractor,
        down_thrust_deg: 0.0,
        right_thrust_deg: 0.0,
        propeller: Propeller {
            diameter_m: 8.0 * 0.0254,
            pitch_m: 6.0 * 0.0254,
            blades: 2,
            style: BladeStyle::ThinElectric,
            rotation: Rotation::Clockwise,
        },
        drive: Drive::Electric {
            motor: Motor { kv_rpm_per_v: 1100.0, resistance_ohm: 0.08, no_load_current_a: 0.8 },
            controller: Controller { current_max_a: 30.0, resistance_ohm: 0.01 },
            pack: Pack {
                cells: 3,
                capacity_ah: 2.2,
                cell_resistance_ohm: 0.010,
                cell_voltage_v: 4.0,
                current_max_a: Some(44.0),
            },
        },
    }
}

#[test]
fn eight_inch_propeller_suits_a_30_a_controller() {
    let unit = unit();
    let model = PowerModel::new(&unit).unwrap();
    let point = model.operate(1.0, 0.0, 1.225);
    assert!((15.0..25.0).contains(&point.motor_current_a), "{point:?}");
    assert!((6.0..10.0).contains(&point.thrust_n), "{point:?}");
    assert!((9500.0..11_500.0).contains(&(60.0 * point.turns_per_s())), "{point:?}");
    let findings = model.findings(&unit, 1.225);
    let ample = |finding: &PowerFinding| {
        matches!(finding, PowerFinding::ControllerCurrent { margin: Margin::Ample, .. })
    };
    assert!(findings.iter().any(ample), "{findings:?}");
}

#[test]
fn nine_inch_propeller_is_still_accepted() {
    let unit = unit();
    let model = PowerModel::new(&unit).unwrap();
    let larger = model.larger_propeller(&unit, 1.225).unwrap();
    assert!(larger.controller_margin < Some(Margin::Brief), "{larger:?}");
    assert!(larger.larger.thrust_n > larger.present.thrust_n);
    assert!(larger.larger.motor_current_a > 1.2 * larger.present.motor_current_a);
    // The wide slow-flight blades of 9x6 take what reserve there is (33 A with
    // a motor and leads of less resistance): to be warned of, not banned.
    let mut wide = unit;
    wide.propeller.diameter_m = 9.0 * 0.0254;
    wide.propeller.style = BladeStyle::SlowFlight;
    let findings = PowerModel::new(&wide).unwrap().findings(&wide, 1.225);
    let warned = |finding: &PowerFinding| {
        matches!(
            finding,
            PowerFinding::ControllerCurrent { margin: Margin::Enough | Margin::Brief, .. }
        )
    };
    assert!(findings.iter().any(warned), "{findings:?}");
}

/// A mirrored pair hangs on one pack: it meets the current of both motors, empties
/// twice as fast for the same power of each, and sags under both.
#[test]
fn a_pair_is_judged_by_what_its_one_pack_gives() {
    let mut one = unit();
    let Drive::Electric { pack, .. } = &mut one.drive else { panic!("electric") };
    // A fifth more than what one motor draws, 20 A.
    pack.current_max_a = Some(24.0);
    let pair = Propulsion { mirrored: true, hub: Place::new(0.0, 0.2, 0.0), ..one.clone() };
    let (single, twin) = (PowerModel::new(&one).unwrap(), PowerModel::new(&pair).unwrap());
    let point = twin.operate(1.0, 0.0, 1.225);
    assert!(point.thrust_n < single.static_thrust_n(1.225));
    let sag = 3.0 * (4.0 - 0.010 * 2.0 * point.pack_current_a);
    assert!((point.pack_voltage_v - sag).abs() < 1e-9, "{point:?}");
    let at_the_pack = |model: &PowerModel, unit: &Propulsion| {
        let mut findings = model.findings(unit, 1.225).into_iter();
        findings.find_map(|finding| match finding {
            PowerFinding::PackCurrent { current_a, margin, .. } => Some((current_a, margin)),
            _ => None,
        })
    };
    let (current_a, margin) = at_the_pack(&twin, &pair).unwrap();
    assert!((current_a - 2.0 * point.pack_current_a).abs() < 1e-9);
    assert_eq!(margin, Margin::Exceeded);
    assert!(at_the_pack(&single, &one).unwrap().1 <= Margin::Enough);
    // At one power of each motor the pack gives twice the power, for half the time
    // less what the greater current loses in it.
    let cruise = single.point_for_thrust(1.35, 12.0, 1.225).unwrap();
    let time = |model: &PowerModel| model.flight_time_s(&cruise, 3.7, 0.0).unwrap();
    let ratio = time(&twin) / time(&single);
    assert!(ratio < 0.5 && ratio > 0.47, "{ratio}");
}

#[test]
fn cruise_lasts_longer_than_full_throttle() {
    // An aeroplane of just under 1 kg with a glide ratio of 7 cruises at 12
    // m/s on 1.35 N: 10 to 35 minutes from 2.2 Ah; flat out 3 to 7 (common
    // practice).
    let model = PowerModel::new(&unit()).unwrap();
    let minutes = |point| model.flight_time_s(&point, 3.7, 0.0).unwrap() / 60.0;
    let cruise = minutes(model.point_for_thrust(1.35, 12.0, 1.225).unwrap());
    assert!((10.0..35.0).contains(&cruise), "{cruise}");
    let flat_out = minutes(model.operate(1.0, 12.0, 1.225));
    assert!((3.0..7.0).contains(&flat_out), "{flat_out}");
}
