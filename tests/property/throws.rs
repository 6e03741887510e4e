//! The advice on throws does not contradict itself: what it says to set is
//! borne once it is set, it does not jump where nothing does, and it is never
//! less than a manoeuvre needs without saying so.

use sim_core::aircraft::{
    Aircraft, ControlRole, ControlSetting, EXAMPLES, SurfaceRole, read_aircraft,
};
use sim_core::assess::{Assessment, Question, assess, move_balance_point, scale_mass};
use sim_core::card::{Caution, MaidenCard};
use sim_core::throws::advice::{Binding, PresentAssessment, ThrowAdvice};
use sim_core::throws::sensitivity::{Bearable, Duty, Phase, SensitivityCriterion};

fn example(key: &str) -> Aircraft {
    read_aircraft(EXAMPLES.iter().find(|example| example.key == key).unwrap().text).unwrap()
}

fn assessed(aircraft: &Aircraft, question: &Question) -> Assessment {
    assess(&aircraft.clone().check().unwrap(), question).unwrap()
}

fn panels_of(aircraft: &mut Aircraft, role: SurfaceRole, change: impl Fn(&mut f64, &mut [f64; 3])) {
    for surface in aircraft.surfaces.iter_mut().filter(|surface| surface.role == role) {
        for panel in &mut surface.panels {
            let mut sizes = [panel.span_m, panel.root_chord_m, panel.tip_chord_m];
            change(&mut panel.dihedral_deg, &mut sizes);
            [panel.span_m, panel.root_chord_m, panel.tip_chord_m] = sizes;
        }
    }
}

fn with_fin(mut aircraft: Aircraft, scale: f64) -> Aircraft {
    panels_of(&mut aircraft, SurfaceRole::Fin, |_, sizes| {
        sizes.iter_mut().for_each(|size| *size *= scale);
    });
    aircraft
}

/// The examples, and what makes them light, heavy, quick, sluggish or high up.
fn variants() -> Vec<(String, Aircraft, Question)> {
    let mut list = Vec::new();
    for example in EXAMPLES {
        let plain = read_aircraft(example.text).unwrap();
        let mut add = |name: &str, altitude_m: f64, change: &dyn Fn(&mut Aircraft)| {
            let mut varied = plain.clone();
            change(&mut varied);
            let question = Question { altitude_m, ..Question::default() };
            list.push((format!("{} {name}", example.key), varied, question));
        };
        add("as it is", 0.0, &|_| {});
        add("high up", 1400.0, &|_| {});
        add("light", 0.0, &|own| scale_mass(own, 0.7));
        add("heavy", 0.0, &|own| scale_mass(own, 1.4));
        add("raised", 0.0, &|own| {
            panels_of(own, SurfaceRole::Wing, |dihedral_deg, _| *dihedral_deg += 6.0);
        });
        add("little fin", 0.0, &|own| *own = with_fin(own.clone(), 0.8));
        add("great tail", 0.0, &|own| {
            panels_of(own, SurfaceRole::Tailplane, |_, sizes| {
                sizes.iter_mut().for_each(|size| *size *= 1.25);
            });
        });
        add("thrust line level", 0.0, &|own| {
            own.propulsion.iter_mut().for_each(|unit| unit.down_thrust_deg = 0.0);
        });
    }
    list
}

fn moves(duty: Duty, role: ControlRole) -> bool {
    use ControlRole::{Aileron, Elevator, Flaperon, Rudder};
    match duty {
        Duty::Pitch => role == Elevator,
        Duty::Roll => matches!(role, Aileron | Flaperon),
        Duty::Yaw | Duty::BankByRudder => role == Rudder,
    }
}

/// The aircraft with the advice set.
fn with_advice(aircraft: &Aircraft, throws: &[ThrowAdvice]) -> Aircraft {
    let mut set = aircraft.clone();
    for control in set.surfaces.iter_mut().flat_map(|surface| &mut surface.controls) {
        let own = throws.iter().find(|advice| moves(advice.duty, control.role));
        control.setting = own.map(|advice| ControlSetting {
            high_rate_deg: advice.high_rate_rad.to_degrees() * (1.0 + 1e-9),
            // Degrees and back may cost a last digit of what is needed.
            low_rate_deg: Some(advice.low_rate_rad.to_degrees() * (1.0 + 1e-9)),
            expo: advice.expo,
            low_expo: advice.low_expo,
        });
    }
    set
}

/// Set as advised, needs are met and nothing is more than is borne: for the
/// examples as they are without exception, and full stick there reaches what
/// binds within 12 %. The curve through one flown point is good to 5 %, the quick
/// step to 2 %, and near the stall, where the answer grows with the throw, some
/// 5 % more; beyond 15 % it counts as exceeded. Of changed examples one channel
/// in ten may be exceeded in a condition whose curve was flown far from the throw
/// that another one binds.
#[test]
fn advice_that_is_set_is_borne() {
    let (mut channels, mut off) = (0, 0);
    for (name, aircraft, question) in variants() {
        let advised = assessed(&aircraft, &question);
        let set = assessed(&with_advice(&aircraft, &advised.throws), &question);
        assert_eq!(set.present.len(), advised.throws.len(), "{name}");
        for (advice, present) in advised.throws.iter().zip(&set.present) {
            let (high, low) = (&present.high_assessed, present.low_assessed.as_ref().unwrap());
            if advice.conflict.is_some() {
                continue;
            }
            assert!(high.unmet.is_empty(), "{name} {:?}", high.unmet);
            let everyday = low.unmet.iter().find(|demand| demand.need.on_low_rate());
            assert_eq!(everyday, None, "{name}");
            let not_fast = |bears: &&Bearable| bears.condition.phase != Phase::Fast;
            let exceeded = high.exceeded.iter().find(not_fast).or(low.exceeded.first());
            channels += 1;
            if exceeded.is_some() {
                println!("{name} {:?}: {exceeded:?}", advice.duty);
                assert!(!name.ends_with("as it is"), "{name} {exceeded:?}");
                off += 1;
            }
            if name.ends_with("as it is") {
                check_what_binds(&name, advice, high);
            }
        }
    }
    println!("{off} of {channels} channels");
    assert!(10 * off <= channels, "{off} of {channels}");
}

fn check_what_binds(name: &str, advice: &ThrowAdvice, assessed: &PresentAssessment) {
    let Binding::Bearable(bears) = advice.high_binds else { return };
    let mut predicted = assessed.predicted.iter();
    let flown = predicted.find(|one| one.condition == bears.condition).unwrap();
    let reached = match bears.criterion {
        SensitivityCriterion::PitchRate | SensitivityCriterion::RollRate => flown.peak_rate_rad_s,
        SensitivityCriterion::BankByRudder => flown.bank_at_1_s_rad,
        SensitivityCriterion::Sideslip => flown.sideslip_rad,
        SensitivityCriterion::LoadFactor | SensitivityCriterion::PilotLoop => return,
    };
    let share = reached / bears.limit;
    println!("{name} {:?}: {share:.3} of what is borne", bears.criterion);
    assert!((share - 1.0).abs() < 0.12, "{name} {bears:?}: {share}");
}

/// A balance point moved by 0.4 mm, or air 25 m higher up, moves no rate by more
/// than 2 %: what it rests on moves by a few parts in a thousand.
#[test]
fn rates_do_not_jump() {
    let high_and_low = |aircraft: &Aircraft, question: &Question| -> Vec<f64> {
        let throws = assessed(aircraft, question).throws;
        throws.iter().flat_map(|own| [own.high_rate_rad, own.low_rate_rad]).collect()
    };
    let smooth = |name: &str, rates: &[Vec<f64>]| {
        for (place, pair) in rates.windows(2).enumerate() {
            for (before, after) in pair[0].iter().zip(&pair[1]) {
                assert!((after / before - 1.0).abs() < 0.02, "{name} {place}: {before} {after}");
            }
        }
    };
    for example in EXAMPLES {
        let rates: Vec<Vec<f64>> = (-10..=10)
            .map(|step| {
                let mut moved = read_aircraft(example.text).unwrap();
                assert!(move_balance_point(&mut moved, 4e-4 * f64::from(step)));
                high_and_low(&moved, &Question::default())
            })
            .collect();
        smooth(example.key, &rates);
        let aircraft = read_aircraft(example.text).unwrap();
        let rates: Vec<Vec<f64>> = (0..=20)
            .map(|step| {
                let altitude_m = 1000.0 + 25.0 * f64::from(step);
                high_and_low(&aircraft, &Question { altitude_m, ..Question::default() })
            })
            .collect();
        smooth(example.key, &rates);
    }
}

/// A fin that shrinks leaves a rudder that first needs more and then cannot bank
/// the aeroplane at all. Without a conflict what is advised on low rate banks it
/// as far as a practised pilot needs, 25 deg in a second, in ordinary flight,
/// which is faster than where it is asked for. And where the nose no longer
/// follows the flight, the card says so.
#[test]
fn a_shrinking_fin_never_gets_a_small_throw_in_silence() {
    let question = Question::default();
    let (mut conflicts, mut cautions) = (0, 0);
    for step in 0..=26 {
        let scale = 0.48 + 0.02 * f64::from(step);
        let aircraft = with_fin(example("trainer"), scale);
        let assessment = assessed(&aircraft, &question);
        let rudder = assessment.throws.iter().find(|own| own.duty == Duty::BankByRudder).unwrap();
        let (high, low) = (rudder.high_rate_rad.to_degrees(), rudder.low_rate_rad.to_degrees());
        println!("{scale:.2}: {high:.1}, {low:.1} {:?}", rudder.conflict);
        if rudder.conflict.is_some() {
            conflicts += 1;
        } else {
            let bank = assessment.rudder_bank.as_ref().unwrap().bank_at_1_s_full_rad.to_degrees();
            assert!(bank > 25.0, "{scale}: {bank} deg at {low} deg");
        }
        let lacks = assessment.derivatives.by_beta.yawing_moment <= 0.0;
        let lacks_idle = assessment.derivatives_power_off.by_beta.yawing_moment <= 0.0;
        let card = MaidenCard::new(&aircraft.check().unwrap(), &assessment, None, None);
        let told = card.cautions.iter().find_map(|caution| match caution {
            Caution::NoWeathercock { motor_off_only } => Some(*motor_off_only),
            _ => None,
        });
        assert_eq!(told, (lacks || lacks_idle).then_some(!lacks), "{scale}");
        cautions += usize::from(told.is_some());
    }
    assert!(conflicts > 5 && cautions > 5, "{conflicts} {cautions}");
}

/// Balanced some tenths of a chord behind its neutral point an aeroplane bears next
/// to nothing; a rate below what linkage and servo can hold comes with a conflict.
#[test]
fn no_rate_that_cannot_be_set_comes_without_a_word() {
    let plain = assessed(&example("sport"), &Question::default());
    let mut told = 0;
    for behind in [0.0, 0.1, 0.2, 0.3] {
        let mut aft = example("sport");
        let by = (plain.balance.static_margin + behind) * plain.reference.chord_m;
        assert!(move_balance_point(&mut aft, by));
        for advice in assessed(&aft, &Question::default()).throws {
            println!("{behind} {:?} {:?}", advice.low_rate_rad.to_degrees(), advice.conflict);
            if advice.low_rate_rad < 1f64.to_radians() {
                assert!(advice.conflict.is_some(), "{behind} {advice:?}");
                told += 1;
            }
        }
    }
    assert!(told > 0);
}
