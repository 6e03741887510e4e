//! Loops against closed forms and against a search along the frequency.

use super::*;
use crate::handling::pilot::{Skill, View};

fn pilot(skill: Skill) -> Pilot {
    Pilot { skill, view: View::DirectSight }
}

/// Roll with a time constant of 0.1 s and 13 rad/s per rad, as a light
/// model with ailerons has.
fn roll_plant() -> TransferFunction {
    TransferFunction::new([13.0], [0.0, 1.0, 0.1])
}

#[test]
fn delay_lowers_the_throw_and_skill_raises_it() {
    let throw = |pilot: Pilot| {
        close_loop(&roll_plant(), LoopKind::Bank, &pilot, 0.03).unwrap().throw_at_margin_rad
    };
    let direct = throw(pilot(Skill::Practised));
    let camera = throw(Pilot { view: View::Camera { delay_s: 0.1 }, ..Pilot::default() });
    assert!(camera < 0.85 * direct, "{camera} against {direct}");
    assert!(throw(pilot(Skill::Beginner)) < direct);
    assert!(throw(pilot(Skill::Expert)) > direct);
    // Common practice: aileron 10 to 15 deg on low rate.
    assert!((7.0..18.0).contains(&direct.to_degrees()), "{}", direct.to_degrees());
}

#[test]
fn twice_the_effectiveness_halves_the_throw() {
    let once = close_loop(&roll_plant(), LoopKind::Bank, &Pilot::default(), 0.03).unwrap();
    let twice =
        close_loop(&roll_plant().times(2.0), LoopKind::Bank, &Pilot::default(), 0.03).unwrap();
    assert!((once.throw_at_margin_rad / twice.throw_at_margin_rad - 2.0).abs() < 1e-9);
    assert!((once.crossover_rad_s - twice.crossover_rad_s).abs() < 1e-9);
}

#[test]
fn margins_at_the_advised_throw_are_those_asked_for() {
    let closed = close_loop(&roll_plant(), LoopKind::Bank, &Pilot::default(), 0.03).unwrap();
    let margins =
        margins_at_throw(&roll_plant(), &closed, &Pilot::default(), closed.throw_at_margin_rad)
            .unwrap();
    assert!((margins.phase_margin_rad - closed.phase_margin_rad).abs() < 1e-9);
    let limit = closed.throw_limit_rad.unwrap();
    let at_limit = margins_at_throw(&roll_plant(), &closed, &Pilot::default(), limit).unwrap();
    assert!(at_limit.phase_margin_rad.abs() < 1e-9);
    assert!((at_limit.gain_margin.unwrap() - 1.0).abs() < 1e-12);
}

/// Rudder on a wing without dihedral that rolls the wrong way: the pilot
/// cannot hold bank by it, and is told so.
#[test]
fn a_plant_of_the_wrong_sign_is_refused() {
    let result = close_loop(&roll_plant().times(-1.0), LoopKind::Bank, &Pilot::default(), 0.03);
    assert!(matches!(result, Err(PilotLoopError::NoCrossover { .. })), "{result:?}");
    let nothing = close_loop(&roll_plant().times(0.0), LoopKind::Bank, &Pilot::default(), 0.0);
    assert_eq!(nothing, Err(PilotLoopError::NotUsable(LoopKind::Bank)));
}

/// A lightly damped swing above crossover binds the gain: no resonance
/// may lift the loop to one.
#[test]
fn a_resonance_above_crossover_lowers_the_gain() {
    let (w, damping) = (6.0, 0.02);
    let resonant = TransferFunction::new([13.0 * w * w], [0.0, w * w, 2.0 * damping * w, 1.0]);
    let smooth = TransferFunction::new([13.0], [0.0, 1.0]);
    let a = close_loop(&resonant, LoopKind::Bank, &Pilot::default(), 0.03).unwrap();
    let b = close_loop(&smooth, LoopKind::Bank, &Pilot::default(), 0.03).unwrap();
    assert!(a.gain_at_margin < 0.3 * b.gain_at_margin);
}

/// Heading: the turn rate of a banked aircraft is g/V times the bank, so
/// quick bank gives the heading loop an integrator with the bank loop's
/// lag, and its crossover must lie below the bank loop's.
#[test]
fn heading_is_slower_than_bank() {
    let bank = roll_plant();
    let yaw_rate = bank.times(9.81 / 12.0);
    let inner = close_loop(&bank, LoopKind::Bank, &Pilot::default(), 0.03).unwrap();
    let outer = close_heading_loop(&bank, &yaw_rate, &inner, &Pilot::default()).unwrap();
    assert!(outer.crossover_rad_s < 0.8 * inner.crossover_rad_s);
    assert!(outer.gain_at_margin > 0.0);
}

/// Where a resonance comes near to swinging, the pilot keeps the gain margin
/// beside the phase margin: the loop may be 1.5 times as strong before it
/// swings. That binds where its delay turns the resonance by whole turns.
#[test]
fn the_gain_margin_is_kept_where_it_binds() {
    let mut bound = 0;
    for step in 0..80 {
        let (w, damping) = (4.0 + 0.5 * f64::from(step), 0.02);
        let swing = [0.0, w * w, 2.0 * damping * w, 1.0];
        let resonant = TransferFunction::new([13.0 * w * w], swing);
        let Ok(closed) = close_loop(&resonant, LoopKind::Bank, &Pilot::default(), 0.03) else {
            continue;
        };
        let margin = closed.gain_limit.unwrap() / closed.gain_at_margin;
        assert!(margin > GAIN_MARGIN_MIN - 1e-9, "{w}: {margin}");
        bound += usize::from((margin - GAIN_MARGIN_MIN).abs() < 1e-9);
    }
    assert!(bound > 0, "nowhere does it bind");
}

/// A bank loop w0 (1 + T s) / s without delay inside the heading loop: heading
/// per commanded bank is g/V w0 (1 + T s) / (s (s (1 + w0 T) + w0)), so the
/// margin is 90 deg + atan(w T) - atan(w (1 + w0 T) / w0).
#[test]
fn heading_around_a_bank_loop_in_closed_form() {
    let (w0, per_bank, pilot) = (3.0, 9.81 / 12.0, Pilot::default());
    let bank = TransferFunction::new([13.0], [0.0, 1.0]);
    for lead_s in [0.0, 0.03] {
        let inner = PilotLoop {
            kind: LoopKind::Bank,
            delay_s: 0.0,
            lead_s,
            phase_margin_rad: 0.8,
            crossover_rad_s: w0,
            gain_at_margin: w0 / 13.0,
            limit_frequency_rad_s: None,
            gain_limit: None,
            throw_at_margin_rad: 0.2,
            throw_limit_rad: None,
        };
        let outer = close_heading_loop(&bank, &bank.times(per_bank), &inner, &pilot).unwrap();
        let lag = |w: f64| (w * (1.0 + w0 * lead_s) / w0).atan() - (w * lead_s).atan();
        // 45 deg of margin leave as much for the lag; found by halving.
        let (mut low, mut high) = (0.0, 9.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            *(if lag(middle) < PI / 4.0 { &mut low } else { &mut high }) = middle;
        }
        assert!((outer.crossover_rad_s / low - 1.0).abs() < 1e-6, "{outer:?} {low}");
        let size = per_bank * w0 * (low * lead_s).hypot(1.0)
            / (low * (low * (1.0 + w0 * lead_s)).hypot(w0));
        assert!((outer.gain_at_margin * size - 1.0).abs() < 1e-6, "{lead_s}");
    }
}

/// The grid runs from 0.05 to 100 rad/s in steps of 3 %; between its points a
/// pure delay's phase is followed through all its turns.
#[test]
fn the_phase_is_followed_through_whole_turns() {
    let delay_s = 0.9;
    let response =
        Response::new(|w| (Complex::new(0.0, -delay_s * w)).exp() / Complex::new(0.0, w)).unwrap();
    let grid: Vec<f64> = response.points.iter().map(|(w, _)| *w).collect();
    assert!((grid[0] / 0.05 - 1.0).abs() < 1e-12 && grid.len() == 240);
    assert!((grid[239] / 100.0 - 1.0).abs() < 1e-9, "{}", grid[239]);
    for pair in grid.windows(2) {
        assert!((pair[1] / pair[0] - 2000f64.powf(1.0 / 239.0)).abs() < 1e-9);
        for w in [pair[0], 0.5 * (pair[0] + pair[1])] {
            let point = response.at(w);
            assert!((point.phase + FRAC_PI_2 + delay_s * w).abs() < 1e-6, "{w}: {point:?}");
            assert!((point.gain * w - 1.0).abs() < 1e-12);
        }
    }
}

/// The gain at which the loop swings, against a search along the frequency
/// itself: the least at which the loop is a negative real number, on whatever
/// turn of the phase.
#[test]
fn the_loop_swings_on_whichever_turn_comes_first() {
    let mut later = 0;
    for w0 in [5.0, 9.0, 12.0, 16.0, 20.0, 24.0, 30.0] {
        let swing = [0.0, w0 * w0, 0.06 * w0, 1.0];
        let plant = TransferFunction::new([13.0 * w0 * w0], swing);
        let Ok(closed) = close_loop(&plant, LoopKind::Bank, &Pilot::default(), 0.03) else {
            continue;
        };
        let hand = |w: f64| {
            let s = Complex::new(0.0, w);
            plant.at(w) * (s * closed.lead_s + 1.0) * (-s * closed.delay_s).exp()
        };
        let steps = 100_000;
        let at = |k: usize| {
            let share = k as f64 / steps as f64;
            closed.crossover_rad_s * (100.0 / closed.crossover_rad_s).powf(share)
        };
        let mut least = (0.0, f64::INFINITY);
        let mut before = hand(at(0));
        for k in 1..=steps {
            let now = hand(at(k));
            if now.re < 0.0 && before.im < 0.0 && now.im >= 0.0 && 1.0 / now.norm() < least.1 {
                least = (at(k), 1.0 / now.norm());
            }
            before = now;
        }
        let found = closed.gain_limit.unwrap();
        assert!((found / least.1 - 1.0).abs() < 5e-3, "{w0}: {closed:?} {least:?}");
        later += usize::from(least.0 * closed.delay_s > PI);
    }
    assert!(later > 1, "{later}");
}
