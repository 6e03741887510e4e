//! At what gain, and so at what throw, does a human begin to over-control?
//!
//! The crossover model: near the frequency where the loop gain passes one, a
//! pilot makes pilot and aircraft together look like an integrator with a
//! delay, `wc exp(-tau s)/s`. Here the pilot is a gain, the delay of eyes,
//! picture, link and servo, and as much lead as cancels the aircraft's lag
//! beyond an integrator, up to what the skill allows. For an integrator the
//! phase margin is 90 deg - wc tau and the loop swings at wc tau = pi/2.
//! Margins are found on the frequency response between 0.05 and 100 rad/s.
//!
//! Reference: D. T. McRuer and E. S. Krendel, "Mathematical Models of Human
//! Pilot Behavior", AGARD-AG-188, 1974 (numbers from memory).

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use nalgebra::Complex;
use serde::Serialize;

use super::pilot::{LoopKind, Pilot};
use super::transfer::TransferFunction;

/// Lowest frequency looked at, rad/s: two minutes a swing.
const FREQUENCY_MIN_RAD_S: f64 = 0.05;
/// Highest frequency looked at, rad/s: far beyond any hand.
const FREQUENCY_MAX_RAD_S: f64 = 100.0;
/// Frequencies per response; neighbours lie 3 % apart.
const GRID_SIZE: usize = 240;
/// Bisections inside a grid interval: 3 % halved 40 times is below rounding.
const BISECTIONS: usize = 40;
/// Least factor between the gain flown and the gain at which the loop swings.
/// Estimate: 3.5 dB; it binds only where a resonance lies above crossover.
pub const GAIN_MARGIN_MIN: f64 = 1.5;

/// A loop closed by the pilot, at the highest gain that keeps the margin.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PilotLoop {
    /// The motion held.
    pub kind: LoopKind,
    /// All delay in the loop, s.
    pub delay_s: f64,
    /// Lead time that the pilot uses, s.
    pub lead_s: f64,
    /// Phase margin asked for, rad.
    pub phase_margin_rad: f64,
    /// Highest frequency at which the loop keeps that margin, rad/s: how
    /// quick an error the pilot can still follow.
    pub crossover_rad_s: f64,
    /// Gain there: rad of control (or of commanded bank) per rad of error.
    pub gain_at_margin: f64,
    /// Frequency at which the loop swings when the gain is too high, rad/s;
    /// `None` where no gain makes it swing within the range looked at.
    pub limit_frequency_rad_s: Option<f64>,
    /// Gain at which it swings.
    pub gain_limit: Option<f64>,
    /// Highest throw (rad at full stick) that keeps the margin with this
    /// pilot's stick per error; for the heading loop the greatest bank.
    pub throw_at_margin_rad: f64,
    /// Throw at which over-control begins.
    pub throw_limit_rad: Option<f64>,
}

/// Margins of a loop at a given gain.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LoopMargins {
    /// Highest frequency at which the loop gain passes one, rad/s.
    pub crossover_rad_s: f64,
    /// Phase left there before the loop swings, rad; negative is past it.
    pub phase_margin_rad: f64,
    /// Factor by which the gain may still grow; below 1 is past the limit.
    pub gain_margin: Option<f64>,
}

/// Why a loop cannot be closed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PilotLoopError {
    /// The transfer function is not finite or is nothing at all.
    #[error("the {0:?} loop has no usable transfer function")]
    NotUsable(LoopKind),
    /// No gain keeps the margin that the pilot needs.
    #[error(
        "the {kind:?} loop reaches a phase margin of {best_margin_rad:.2} rad, needed is {needed_rad:.2} rad"
    )]
    NoCrossover {
        /// The loop.
        kind: LoopKind,
        /// Margin that the pilot needs.
        needed_rad: f64,
        /// Best margin at any frequency.
        best_margin_rad: f64,
    },
    /// The loop gain does not pass one at this gain.
    #[error("the {0:?} loop does not reach a gain of one")]
    GainTooLow(LoopKind),
}

/// Closes a loop around `plant` at the highest gain that keeps the margin.
///
/// # Conventions
/// `plant` leads from deflection in the sense of the stick (rad, positive
/// asks for a positive angle) to the angle held (rad).
/// `servo_delay_s` is the servo's lag; see [`Pilot::total_delay_s`].
///
/// # Errors
/// [`PilotLoopError`] where the plant is unusable or no gain is good enough.
pub fn close_loop(
    plant: &TransferFunction,
    kind: LoopKind,
    pilot: &Pilot,
    servo_delay_s: f64,
) -> Result<PilotLoop, PilotLoopError> {
    if !plant.is_usable() {
        return Err(PilotLoopError::NotUsable(kind));
    }
    let hand = Hand { delay_s: pilot.total_delay_s(servo_delay_s), lead_s_max: pilot.lead_s_max() };
    let response = Response::new(|w| plant.at(w)).ok_or(PilotLoopError::NotUsable(kind))?;
    highest_gain(&response, &hand, kind, pilot)
}

/// Closes the heading loop outside a bank loop: the pilot commands a bank
/// angle in proportion to the heading error, and the inner loop flies it.
///
/// # Conventions
/// `bank` and `yaw_rate` lead from the deflection to bank angle (rad) and yaw
/// rate (rad/s); `inner` is the bank loop from [`close_loop`].
///
/// # Errors
/// [`PilotLoopError`] as for [`close_loop`].
pub fn close_heading_loop(
    bank: &TransferFunction,
    yaw_rate: &TransferFunction,
    inner: &PilotLoop,
    pilot: &Pilot,
) -> Result<PilotLoop, PilotLoopError> {
    let kind = LoopKind::Heading;
    if !(bank.is_usable() && yaw_rate.is_usable()) {
        return Err(PilotLoopError::NotUsable(kind));
    }
    let heading_per_bank_command = |w: f64| {
        let s = Complex::new(0.0, w);
        let hand = (-s * inner.delay_s).exp() * (s * inner.lead_s + 1.0) * inner.gain_at_margin;
        hand * yaw_rate.at(w) / (s * (hand * bank.at(w) + 1.0))
    };
    // Delay and lead of the hand already act inside the inner loop.
    let hand = Hand { delay_s: 0.0, lead_s_max: 0.0 };
    let response =
        Response::new(heading_per_bank_command).ok_or(PilotLoopError::NotUsable(kind))?;
    let closed = highest_gain(&response, &hand, kind, pilot)?;
    Ok(PilotLoop { delay_s: inner.delay_s, ..closed })
}

/// Margins of the loop of [`close_loop`] at a given throw (rad at full
/// stick), with the pilot's usual stick per error and the lead of `closed`.
///
/// # Errors
/// [`PilotLoopError`] where the plant is unusable or the throw so small that
/// the loop does nothing above 0.05 rad/s.
pub fn margins_at_throw(
    plant: &TransferFunction,
    closed: &PilotLoop,
    pilot: &Pilot,
    throw_rad: f64,
) -> Result<LoopMargins, PilotLoopError> {
    let kind = closed.kind;
    if !(plant.is_usable() && throw_rad.is_finite()) {
        return Err(PilotLoopError::NotUsable(kind));
    }
    let gain = throw_rad / pilot.error_for_full_stick_rad(kind);
    let response = Response::new(|w| plant.at(w)).ok_or(PilotLoopError::NotUsable(kind))?;
    let hand = Hand { delay_s: closed.delay_s, lead_s_max: closed.lead_s };
    let lead_s = closed.lead_s;
    let loop_gain = |w: f64, y: Point| gain * y.gain * hand.gain(w, lead_s) - 1.0;
    let crossover_rad_s =
        response.last_fall(0.0, loop_gain).ok_or(PilotLoopError::GainTooLow(kind))?;
    let phase = response.at(crossover_rad_s).phase + hand.phase(crossover_rad_s, lead_s);
    Ok(LoopMargins {
        crossover_rad_s,
        phase_margin_rad: PI + phase,
        gain_margin: closed.gain_limit.map(|limit| limit / gain),
    })
}

/// The pilot's hand apart from its gain.
struct Hand {
    delay_s: f64,
    lead_s_max: f64,
}

impl Hand {
    /// The lead that cancels what the plant lags beyond an integrator.
    fn lead_s(&self, w: f64, plant_phase: f64) -> f64 {
        let excess = -FRAC_PI_2 - plant_phase;
        if excess <= 0.0 {
            0.0
        } else if excess >= FRAC_PI_2 {
            self.lead_s_max
        } else {
            (excess.tan() / w).min(self.lead_s_max)
        }
    }

    fn phase(&self, w: f64, lead_s: f64) -> f64 {
        (lead_s * w).atan() - self.delay_s * w
    }

    fn gain(&self, w: f64, lead_s: f64) -> f64 {
        (lead_s * w).hypot(1.0)
    }
}

fn highest_gain<F: Fn(f64) -> Complex<f64>>(
    response: &Response<F>,
    hand: &Hand,
    kind: LoopKind,
    pilot: &Pilot,
) -> Result<PilotLoop, PilotLoopError> {
    let needed_rad = pilot.phase_margin_rad();
    let margin = |w: f64, y: Point| PI + y.phase + hand.phase(w, hand.lead_s(w, y.phase));
    let crossover_rad_s =
        response.last_fall(0.0, |w, y| margin(w, y) - needed_rad).ok_or_else(|| {
            PilotLoopError::NoCrossover {
                kind,
                needed_rad,
                best_margin_rad: response
                    .points
                    .iter()
                    .map(|&(w, y)| margin(w, y))
                    .fold(f64::NEG_INFINITY, f64::max),
            }
        })?;
    let there = response.at(crossover_rad_s);
    let lead_s = hand.lead_s(crossover_rad_s, there.phase);
    // Above crossover no resonance may lift the loop gain back to one, for
    // the margin would be less there.
    let highest = response
        .points
        .iter()
        .filter(|(w, _)| *w > crossover_rad_s)
        .map(|&(w, y)| y.gain * hand.gain(w, lead_s))
        .fold(there.gain * hand.gain(crossover_rad_s, lead_s), f64::max);
    let limit = swing(response, hand, lead_s, crossover_rad_s);
    let for_margin = 1.0 / highest;
    let gain_at_margin = match limit {
        Some((_, gain)) => for_margin.min(gain / GAIN_MARGIN_MIN),
        None => for_margin,
    };
    let error_rad = pilot.error_for_full_stick_rad(kind);
    Ok(PilotLoop {
        kind,
        delay_s: hand.delay_s,
        lead_s,
        phase_margin_rad: needed_rad,
        crossover_rad_s,
        gain_at_margin,
        limit_frequency_rad_s: limit.map(|(w, _)| w),
        gain_limit: limit.map(|(_, gain)| gain),
        throw_at_margin_rad: gain_at_margin * error_rad,
        throw_limit_rad: limit.map(|(_, gain)| gain * error_rad),
    })
}

/// Frequency and least gain at which the loop swings by itself: where its
/// phase falls through half a turn, or half a turn and whole ones.
fn swing<F: Fn(f64) -> Complex<f64>>(
    response: &Response<F>,
    hand: &Hand,
    lead_s: f64,
    above_rad_s: f64,
) -> Option<(f64, f64)> {
    let mut least: Option<(f64, f64)> = None;
    let mut half_turn = -PI;
    // The phase falls by delay times 100 rad/s at most, some twenty turns.
    for _ in 0..40 {
        let phase = |w: f64, y: Point| y.phase + hand.phase(w, lead_s) - half_turn;
        let Some(w) = response.last_fall(above_rad_s, phase) else { break };
        let gain = 1.0 / (response.at(w).gain * hand.gain(w, lead_s));
        if gain.is_finite() && least.is_none_or(|(_, so_far)| gain < so_far) {
            least = Some((w, gain));
        }
        half_turn -= TAU;
    }
    least
}

/// Gain and unwrapped phase (rad) at one frequency.
#[derive(Debug, Clone, Copy)]
struct Point {
    gain: f64,
    phase: f64,
}

/// A frequency response sampled on the grid, with its phase unwrapped.
struct Response<F> {
    evaluate: F,
    points: Vec<(f64, Point)>,
}

impl<F: Fn(f64) -> Complex<f64>> Response<F> {
    /// Samples `evaluate`; `None` where it is nowhere finite.
    fn new(evaluate: F) -> Option<Self> {
        let ratio = (FREQUENCY_MAX_RAD_S / FREQUENCY_MIN_RAD_S).ln() / (GRID_SIZE - 1) as f64;
        let mut points: Vec<(f64, Point)> = Vec::with_capacity(GRID_SIZE);
        for i in 0..GRID_SIZE {
            let w = FREQUENCY_MIN_RAD_S * (ratio * i as f64).exp();
            let value = evaluate(w);
            let gain = value.norm();
            // A frequency right on a pole or a zero has no phase.
            if !(gain.is_finite() && gain > 0.0) {
                continue;
            }
            // The first phase is put between -315 and 45 deg: around that of an
            // integrator, with a reversed one counted as lagging.
            let before = points.last().map_or(-0.75 * PI, |(_, point)| point.phase);
            points.push((w, Point { gain, phase: nearest_turn(value.arg(), before) }));
        }
        (!points.is_empty()).then_some(Self { evaluate, points })
    }

    fn at(&self, w: f64) -> Point {
        let index = self.points.partition_point(|(grid, _)| *grid < w).min(self.points.len() - 1);
        let value = (self.evaluate)(w);
        let near = self.points[index].1;
        let gain = value.norm();
        if !(gain.is_finite() && gain > 0.0) {
            return near;
        }
        Point { gain, phase: nearest_turn(value.arg(), near.phase) }
    }

    /// The highest frequency above `above_rad_s` at which `f` goes from
    /// positive to not positive.
    fn last_fall(&self, above_rad_s: f64, f: impl Fn(f64, Point) -> f64) -> Option<f64> {
        let index = self
            .points
            .windows(2)
            .rposition(|pair| f(pair[0].0, pair[0].1) > 0.0 && f(pair[1].0, pair[1].1) <= 0.0)?;
        let (mut low, mut high) = (self.points[index].0, self.points[index + 1].0);
        for _ in 0..BISECTIONS {
            let middle = 0.5 * (low + high);
            if f(middle, self.at(middle)) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        let root = 0.5 * (low + high);
        (root > above_rad_s).then_some(root)
    }
}

fn nearest_turn(phase: f64, to: f64) -> f64 {
    phase + TAU * ((to - phase) / TAU).round()
}

#[cfg(test)]
mod tests;
