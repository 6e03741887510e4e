//! The crossover model in closed form (McRuer and Krendel, AGARD-AG-188, 1974).
//!
//! Pilot and aircraft together are `wc exp(-tau s)/s`: phase margin 90 deg
//! less 57.3 wc tau, swinging at wc tau = pi/2. Both are exact, so the
//! tolerance is that of the bisection on the frequency grid. An independent
//! check replaces the delay by a Pade approximant and looks at the roots of
//! the closed loop, whose error at these frequencies is below 0.1 %.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use fledge_tests::{check_absolute, check_relative};
use sim_core::handling::pilot::{LoopKind, Pilot, Skill, View};
use sim_core::handling::pilot_loop::{close_loop, margins_at_throw};
use sim_core::handling::transfer::TransferFunction;

/// A servo lag that makes the total delay of a pilot exactly `delay_s`.
fn servo_for(pilot: &Pilot, delay_s: f64) -> f64 {
    delay_s - pilot.total_delay_s(0.0)
}

#[test]
fn integrator_margin_and_limit() {
    let pilot = Pilot { skill: Skill::Expert, view: View::DirectSight };
    let integrator = TransferFunction::new([1.0], [0.0, 1.0]);
    let tau = 0.25;
    let closed = close_loop(&integrator, LoopKind::Bank, &pilot, servo_for(&pilot, tau)).unwrap();
    check_relative("delay", closed.delay_s, tau, 1e-12);

    // An integrator's own margin: crossover where 90 deg - wc tau is left.
    let wc = (FRAC_PI_2 - pilot.phase_margin_rad()) / tau;
    check_relative("crossover", closed.crossover_rad_s, wc, 1e-9);
    check_relative("gain at margin", closed.gain_at_margin, wc, 1e-9);
    check_relative("limit", closed.gain_limit.unwrap() * tau, FRAC_PI_2, 1e-9);
    check_relative("swing", closed.limit_frequency_rad_s.unwrap() * tau, FRAC_PI_2, 1e-9);
    assert_eq!(closed.lead_s, 0.0, "an integrator needs no lead");

    // wc 3 rad/s, tau 0.25 s: 47.0 deg.
    let throw = 3.0 * pilot.error_for_full_stick_rad(LoopKind::Bank);
    let margins = margins_at_throw(&integrator, &closed, &pilot, throw).unwrap();
    check_absolute("margin at 3 rad/s", margins.phase_margin_rad.to_degrees(), 47.03, 0.01);
    check_relative("gain margin", margins.gain_margin.unwrap(), FRAC_PI_2 / 0.75, 1e-9);
}

/// With a margin of 45 deg the integrator's crossover times delay is pi/4 and
/// the gain can just double: twice the delay, half the throw.
#[test]
fn twice_the_delay_is_half_the_throw() {
    let pilot = Pilot::default();
    let integrator = TransferFunction::new([8.0], [0.0, 1.0]);
    let throw = |delay_s: f64| {
        close_loop(&integrator, LoopKind::Bank, &pilot, servo_for(&pilot, delay_s)).unwrap()
    };
    let (once, twice) = (throw(0.35), throw(0.70));
    check_relative("crossover", once.crossover_rad_s * 0.35, FRAC_PI_4, 1e-9);
    check_relative("gain margin", once.gain_limit.unwrap() / once.gain_at_margin, 2.0, 1e-9);
    check_relative("ratio", once.throw_at_margin_rad / twice.throw_at_margin_rad, 2.0, 1e-9);
}

/// First-order roll with a diverging spiral beside it: stable just below the
/// limit found, unstable just above it, by the roots of the closed loop.
#[test]
fn limit_agrees_with_the_roots_of_the_closed_loop() {
    let pilot = Pilot { skill: Skill::Beginner, view: View::DirectSight };
    // 12/((s - 0.1)(0.12 s + 1)); a beginner's lead falls short of the lag.
    let plant = TransferFunction::new([12.0], [-0.1, 1.0 - 0.012, 0.12]);
    let closed = close_loop(&plant, LoopKind::Bank, &pilot, 0.03).unwrap();
    assert!(closed.lead_s > 0.05 && closed.lead_s < 0.12, "lead {}", closed.lead_s);
    let limit = closed.gain_limit.unwrap();
    for (factor, stable) in [(0.99, true), (1.01, false)] {
        let growth = greatest_real_part(limit * factor * 12.0, closed.delay_s, closed.lead_s);
        assert_eq!(growth < 0.0, stable, "growth {growth} at {factor} of the limit");
    }
    assert!(greatest_real_part(closed.gain_at_margin * 12.0, closed.delay_s, closed.lead_s) < -0.3);
}

/// Greatest real part of the roots of (s - 0.1)(0.12 s + 1) P(-s tau) +
/// k (lead s + 1) P(s tau) = 0 with the third-order Pade exp(-x) = P(x)/P(-x),
/// P(x) = 120 - 60 x + 12 x2 - x3.
fn greatest_real_part(k: f64, tau: f64, lead: f64) -> f64 {
    let below = [120.0, 60.0 * tau, 12.0 * tau.powi(2), tau.powi(3)];
    let above = [120.0, -60.0 * tau, 12.0 * tau.powi(2), -tau.powi(3)];
    let plant = [-0.1, 1.0 - 0.012, 0.12];
    let mut polynomial = [0.0; 6];
    for (i, a) in plant.iter().enumerate() {
        for (j, b) in below.iter().enumerate() {
            polynomial[i + j] += a * b;
        }
    }
    for (j, b) in above.iter().enumerate() {
        polynomial[j] += k * b;
        polynomial[j + 1] += k * b * lead;
    }
    let mut companion = nalgebra::SMatrix::<f64, 5, 5>::zeros();
    for i in 0..5 {
        companion[(i, 4)] = -polynomial[i] / polynomial[5];
        if i > 0 {
            companion[(i, i - 1)] = 1.0;
        }
    }
    let schur = nalgebra::Schur::try_new(companion, 1e-12, 10_000).unwrap();
    schur.complex_eigenvalues().iter().map(|root| root.re).fold(f64::NEG_INFINITY, f64::max)
}
