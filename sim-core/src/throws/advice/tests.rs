//! Rates, conflicts and remedies of one channel by hand.

use super::*;
use crate::handling::pilot::{LoopKind, Skill};
use crate::handling::pilot_loop::PilotLoop;
use crate::throws::authority::Need;
use crate::throws::sensitivity::{Answer, SensitivityCriterion};

fn close(ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() < 1e-12 * theirs.abs(), "{ours} {theirs}");
}

/// A practised pilot bears 120 deg/s, so 0.2094 rad at 10 per rad; the loop a slope
/// of 0.05 around neutral, with usual expo 0.05 / 0.7 at full stick.
fn response(phase: Phase, loop_rad: f64) -> ChannelResponse {
    ChannelResponse {
        condition: Condition { phase, airspeed_m_s: 12.0, throttle: 0.5 },
        peak_rate: Answer::straight(10.0),
        peak_s: 0.3,
        load_factor: Answer::straight(15.0),
        load_factor_to_stall: 2.0,
        bank_at_1_s: Answer::straight(0.0),
        sideslip: Answer::straight(0.0),
        pilot_loop: Some(PilotLoop {
            kind: LoopKind::Pitch,
            delay_s: 0.3,
            lead_s: 0.1,
            phase_margin_rad: 0.8,
            crossover_rad_s: 3.0,
            gain_at_margin: 0.1,
            limit_frequency_rad_s: Some(6.0),
            gain_limit: Some(0.2),
            throw_at_margin_rad: loop_rad,
            throw_limit_rad: Some(0.08),
        }),
    }
}

const FULL_RAD: f64 = 120.0 * std::f64::consts::PI / 180.0 / 10.0;
const SOFT_RAD: f64 = 0.05 / 0.7;

fn inputs(demands: &[(Need, f64)]) -> ChannelInputs {
    ChannelInputs {
        duty: Duty::Pitch,
        demands: demands
            .iter()
            .map(|&(need, deflection_rad)| Demand { need, deflection_rad })
            .collect(),
        responses: vec![response(Phase::Cruise, 0.05)],
        hinge_limit_rad: 0.5,
        control_chord_m: 0.06,
        levers: Vec::new(),
    }
}

fn advise(inputs: &ChannelInputs) -> ThrowAdvice {
    recommend_throws(inputs, &Pilot { skill: Skill::Practised, ..Pilot::default() }).unwrap()
}

/// The flare with its margin binds the high rate, the turn the low one; expo brings
/// both to the slope that is borne, as far as it goes.
#[test]
fn needs_bind_and_expo_softens() {
    let inputs = inputs(&[(Need::Flare, -0.2), (Need::SteepTurn, 0.1)]);
    let advice = advise(&inputs);
    close(advice.high_rate_rad, 0.25);
    close(advice.low_rate_rad, 0.1);
    close(advice.low_share, 0.4);
    close(advice.low_expo, 0.5);
    close(advice.expo, EXPO_MAX);
    close(advice.high_travel_m, 0.12 * 0.125f64.sin());
    close(advice.low_travel_m, 0.12 * 0.05f64.sin());
    let conflict = advice.conflict.unwrap();
    assert_eq!(conflict.kind, ConflictKind::LowRateTouchy);
    close(conflict.ratio(), 0.1 / SOFT_RAD);
    let pilot = Pilot { skill: Skill::Practised, ..Pilot::default() };
    for (kind, need, there) in [
        (ConflictKind::AuthorityShort, 0.25, 0.5),
        (ConflictKind::RateTooFine, 1f64.to_radians(), SOFT_RAD),
        (ConflictKind::LowRateTouchy, 0.1, SOFT_RAD),
        (ConflictKind::HighRateTouchy, 0.25 * 0.4, 0.05),
        (ConflictKind::HighRateStrong, 0.25, FULL_RAD),
    ] {
        let (needed, has) = conflict_gap(&inputs, &pilot, kind).unwrap();
        close(needed, need);
        close(has, there);
    }
}

/// Without an everyday need the low rate is what is borne; the slope that is left of
/// the high one is then the conflict.
#[test]
fn a_high_rate_may_stay_touchy() {
    let advice = advise(&inputs(&[(Need::Flare, 0.2)]));
    close(advice.low_rate_rad, SOFT_RAD);
    let conflict = advice.conflict.unwrap();
    assert_eq!(conflict.kind, ConflictKind::HighRateTouchy);
    close(conflict.authority_rad.unwrap(), 0.1);
    close(conflict.sensitivity_rad, 0.05);
}

/// Where the high rate is itself what is borne the low one is a step below it, or
/// what fast flight bears; and so it is where nothing binds.
#[test]
fn the_low_rate_is_a_step_below_or_what_fast_flight_bears() {
    let mut inputs = inputs(&[]);
    let advice = advise(&inputs);
    close(advice.high_rate_rad, SOFT_RAD);
    close(advice.low_rate_rad, 0.75 * SOFT_RAD);
    assert_eq!(advice.low_binds, Binding::ShareOfHigh { share: LOW_SHARE });
    assert_eq!(advice.conflict, None);
    inputs.responses.push(response(Phase::Fast, 0.03));
    let advice = advise(&inputs);
    close(advice.high_rate_rad, SOFT_RAD);
    close(advice.low_rate_rad, 0.03 / 0.7);
    assert!(matches!(advice.low_binds, Binding::Bearable(bear) if bear.throw_rad == 0.03));
    inputs.responses[0].pilot_loop = None;
    inputs.responses.truncate(1);
    let advice = advise(&inputs);
    close(advice.high_rate_rad, FULL_RAD);
    close(advice.low_rate_rad, 0.75 * FULL_RAD);
}

/// A gap of 15 % says nothing, more does.
#[test]
fn a_conflict_is_more_than_the_tolerance() {
    for (over, conflict) in [(1.1, None), (1.14, None), (1.16, Some(ConflictKind::LowRateTouchy))] {
        let advice = advise(&inputs(&[(Need::SteepTurn, over * SOFT_RAD)]));
        assert_eq!(advice.conflict.map(|conflict| conflict.kind), conflict, "{over}");
    }
}

/// A remedy makes need and what is there meet, as exponentials of rate times amount;
/// one that would have to go further than makes sense goes that far and helps.
#[test]
fn remedies_close_the_gap() {
    let lever = |change, bearable_per_unit, demand_per_unit, range| Lever {
        change,
        demand_per_unit,
        bearable_per_unit,
        range,
    };
    let levers = [
        lever(GeometryChange::FinArea, -3.0, 1.0, (-0.05, 0.2)),
        lever(GeometryChange::TailArea, 2.0, -1.0, (-0.05, 0.2)),
        // Without effect, and only in the direction that makes it worse.
        lever(GeometryChange::Dihedral, 1.0, 1.0, (-1.0, 1.0)),
        lever(GeometryChange::BalancePoint, -2.0, 0.0, (0.0, 0.2)),
        lever(GeometryChange::ControlChord, 2.0, 0.0, (-0.3, 0.0)),
    ];
    let conflict = Conflict {
        kind: ConflictKind::LowRateTouchy,
        authority_rad: Some(0.14),
        sensitivity_rad: 0.1,
        remedies: Vec::new(),
    };
    let found = solve_remedies(&conflict, &levers).remedies;
    let [tail, fin] = found[..] else { panic!("{found:?}") };
    assert_eq!((tail.change, tail.resolves), (GeometryChange::TailArea, true));
    close(0.14 * (-tail.amount).exp(), 0.1 * (2.0 * tail.amount).exp());
    assert_eq!((fin.change, fin.resolves, fin.amount), (GeometryChange::FinArea, false, -0.05));
    // With room for it the change against its sense is solved as well.
    let roomy = [lever(GeometryChange::FinArea, -3.0, 1.0, (-0.2, 0.2))];
    let [fin] = solve_remedies(&conflict, &roomy).remedies[..] else { panic!() };
    assert!(fin.resolves && fin.amount < 0.0);
    close(0.14 * fin.amount.exp(), 0.1 * (-3.0 * fin.amount).exp());
}

/// The present throw by hand: rates, shares, what is unmet and what is too much.
#[test]
fn a_present_throw_is_held_against_the_advice() {
    let inputs = inputs(&[(Need::Flare, -0.2), (Need::SteepTurn, 0.1)]);
    let (advice, pilot) = (advise(&inputs), Pilot::default());
    let assess = |throw_rad: f64, expo: f64| {
        assess_present(&inputs, &pilot, &advice, &PresentThrow { throw_rad, expo }).unwrap()
    };
    let found = assess(0.3, 0.25);
    close(found.predicted[0].peak_rate_rad_s, 3.0);
    // 4.5 g are asked for, the wing gives 2.
    close(found.predicted[0].load_factor, 2.0);
    close(found.predicted[0].share_of_limit.unwrap(), 0.225 / 0.08);
    close(found.high_over_present, 0.25 / 0.3);
    close(found.low_over_present, 0.1 / 0.3);
    assert!(found.unmet.is_empty());
    let unmet: Vec<Need> = assess(0.15, 0.0).unmet.iter().map(|demand| demand.need).collect();
    assert_eq!(unmet, [Need::Flare]);
    let exceeded = |throw_rad: f64, expo: f64| -> Vec<SensitivityCriterion> {
        assess(throw_rad, expo).exceeded.iter().map(|bearable| bearable.criterion).collect()
    };
    let (rate, hand) = (SensitivityCriterion::PitchRate, SensitivityCriterion::PilotLoop);
    assert_eq!(exceeded(1.16 * FULL_RAD, 0.0), [rate, hand]);
    assert_eq!(exceeded(1.14 * FULL_RAD, 0.0), [hand]);
    // Expo helps the loop around neutral and nothing at full stick.
    assert_eq!(exceeded(0.3, 0.9), [rate]);
    assert_eq!(exceeded(0.056, 0.0), []);
    assert_eq!(exceeded(0.059, 0.0), [hand]);
}
