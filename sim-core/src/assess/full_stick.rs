//! What full stick really does: a nonlinear step beside the linear slope.
//!
//! At large throws a flap saturates, a fin stalls and a wing reaches its
//! greatest lift, so the answer falls short of the linear model's. One step of
//! the full equations of motion near the throw in question bends the straight
//! line ([`Answer::through`]). Bank is the roll rate summed over a
//! second, as in the linear model.
//!
//! [`Answer::through`]: crate::throws::sensitivity::Answer::through

use crate::analysis::{
    Channel, Input, LinearModel, ResponseOptions, StepResponse, Trim, measure, quick_response,
};
use crate::dynamics::Aeroplane;
use crate::handling::pilot::Pilot;
use crate::throws::advice::EFFECTIVE_DEFLECTION_RAD;
use crate::throws::sensitivity::{
    ChannelResponse, Duty, EXPO_USUAL, Phase, ROLL_RATE_S, SensitivityCriterion, bearable_throws,
    least_bearable,
};

/// Length of the step, s: what the criteria look at.
const DURATION_S: f64 = 1.0;
/// Step of the integration, s: the quick method is within 2 % at this one. An
/// even number of them makes the duration, for Simpson's rule.
const STEP_S: f64 = 1.0 / 26.0;
/// Least throw that is flown, rad: below it the model is straight.
const THROW_MIN_RAD: f64 = 0.09;
/// Part of the straight answer that is expected to be left, for the first
/// throw to be flown near where it will matter.
const FIRST_SHARE: f64 = 0.85;

/// The channel that a duty moves.
pub(super) fn channel(duty: Duty) -> Channel {
    match duty {
        Duty::Pitch => Channel::Elevator,
        Duty::Roll => Channel::Aileron,
        Duty::Yaw | Duty::BankByRudder => Channel::Rudder,
    }
}

/// Everything that a nonlinear step needs.
pub(super) struct Flight<'a> {
    pub aeroplane: &'a Aeroplane,
    pub duty: Duty,
    pub pilot: &'a Pilot,
    pub hinge_limit_rad: f64,
}

impl Flight<'_> {
    /// Bends the answers of all conditions: a step is flown in the first,
    /// ordinary flight, and the others take its knees over, since saturation
    /// and stall come at angles, not at speeds. Where another condition then
    /// binds, it is flown itself, for its knee may differ by a third. Where the
    /// pilot's loop binds before anything that full stick does, or no step can
    /// be flown, the lines stay straight.
    pub fn bend_all(&self, responses: &mut [ChannelResponse], flights: &[(&Trim, &LinearModel)]) {
        if responses.is_empty() || self.loop_binds(responses) {
            return;
        }
        if !self.bend(&mut responses[0], flights[0]) {
            return;
        }
        let first = responses[0];
        for other in &mut responses[1..] {
            other.peak_rate.knee_rad = first.peak_rate.knee_rad;
            other.load_factor.knee_rad = first.load_factor.knee_rad;
            other.bank_at_1_s.knee_rad = first.bank_at_1_s.knee_rad;
            other.sideslip.knee_rad = first.sideslip.knee_rad;
        }
        let mut flown = vec![false; responses.len()];
        flown[0] = true;
        let not_fast: fn(Phase) -> bool = |phase| phase != Phase::Fast;
        for counts in [not_fast, |_| true] {
            if let Some(index) = self.binding(responses, counts).filter(|&index| !flown[index]) {
                flown[index] = self.bend(&mut responses[index], flights[index]);
            }
        }
    }

    /// Place of the response whose full-stick criterion binds within the
    /// hinge; `None` where the pilot's loop or nothing binds.
    fn binding(
        &self,
        responses: &[ChannelResponse],
        counts: impl Fn(Phase) -> bool,
    ) -> Option<usize> {
        let least = least_bearable(self.duty, responses, self.pilot, counts)?;
        let decides =
            least.criterion != SensitivityCriterion::PilotLoop && least.throw_rad < self.cap_rad();
        let place = responses.iter().position(|response| response.condition == least.condition);
        place.filter(|_| decides)
    }

    fn cap_rad(&self) -> f64 {
        self.hinge_limit_rad.min(EFFECTIVE_DEFLECTION_RAD)
    }

    /// Bends the answers of `response` by one step from `trim`, by as much as
    /// will probably be borne; whether it was flown.
    fn bend(&self, response: &mut ChannelResponse, from: (&Trim, &LinearModel)) -> bool {
        // What the loop does not bear need not be known: past the stall, steps
        // take several times as long.
        let by_loop = response
            .pilot_loop
            .map_or(f64::INFINITY, |closed| closed.throw_at_margin_rad / (1.0 - EXPO_USUAL));
        let wanted = wanted_rad(response, self.duty, self.pilot).min(by_loop);
        let least = THROW_MIN_RAD.min(self.cap_rad());
        self.bend_at(response, from, (wanted / FIRST_SHARE).clamp(least, self.cap_rad()))
    }

    /// Whether the pilot's loop binds first, on low rate and on high rate, and
    /// no bank is needed from this channel.
    fn loop_binds(&self, responses: &[ChannelResponse]) -> bool {
        let binds = |counts: fn(Phase) -> bool| {
            least_bearable(self.duty, responses, self.pilot, counts)
                .is_some_and(|least| least.criterion == SensitivityCriterion::PilotLoop)
        };
        self.duty == Duty::Pitch && binds(|_| true) && binds(|phase| phase != Phase::Fast)
    }

    /// Bends the answers through one step by `throw_rad`; whether it was flown.
    pub fn bend_at(
        &self,
        response: &mut ChannelResponse,
        from: (&Trim, &LinearModel),
        throw_rad: f64,
    ) -> bool {
        let Some(flown) = fly(self.aeroplane, from, self.duty, throw_rad) else { return false };
        response.peak_rate = response.peak_rate.through(throw_rad, flown.peak_rate);
        response.load_factor = response.load_factor.through(throw_rad, flown.load_factor);
        response.bank_at_1_s = response.bank_at_1_s.through(throw_rad, flown.bank_at_1_s);
        response.sideslip = response.sideslip.through(throw_rad, flown.sideslip);
        true
    }
}

/// Place of the response at the least airspeed, the glide among equals.
pub(super) fn slowest(responses: &[ChannelResponse]) -> Option<usize> {
    let order = |index: &usize| {
        let condition = responses[*index].condition;
        (condition.airspeed_m_s, condition.throttle)
    };
    (0..responses.len()).min_by(|a, b| {
        let (a, b) = (order(a), order(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    })
}

/// The throw at which full stick is as much as the pilot bears, rad; infinite
/// where nothing binds.
fn wanted_rad(response: &ChannelResponse, duty: Duty, pilot: &Pilot) -> f64 {
    let straight = ChannelResponse { pilot_loop: None, ..*response };
    bearable_throws(duty, &straight, pilot)
        .iter()
        .map(|bearable| bearable.throw_rad)
        .fold(f64::INFINITY, f64::min)
}

/// What one step did, in the sense of the stick.
struct Flown {
    peak_rate: f64,
    load_factor: f64,
    bank_at_1_s: f64,
    sideslip: f64,
}

fn fly(
    aeroplane: &Aeroplane,
    (trim, model): (&Trim, &LinearModel),
    duty: Duty,
    throw_rad: f64,
) -> Option<Flown> {
    let options = ResponseOptions {
        duration_s: DURATION_S,
        step_s: STEP_S,
        sample_s: STEP_S,
        // The stick asks for a positive moment: a negative deflection.
        ..ResponseOptions::step(channel(duty), Input::Deflection(-throw_rad))
    };
    let response = quick_response(aeroplane, trim, model, &options).ok()?;
    let metrics = measure(&response);
    Some(Flown {
        peak_rate: match duty {
            Duty::Pitch => metrics.peak_pitch_rate_rad_s,
            Duty::Roll => early_roll_rate(&response),
            Duty::Yaw | Duty::BankByRudder => metrics.peak_yaw_rate_rad_s,
        },
        load_factor: metrics.peak_load_factor_change,
        bank_at_1_s: rolled(&response),
        sideslip: metrics.peak_sideslip_rad.abs(),
    })
}

/// Greatest roll rate while the aileron alone makes it.
fn early_roll_rate(response: &StepResponse) -> f64 {
    let samples = (ROLL_RATE_S / STEP_S).round() as usize;
    let start = response.roll_rate_rad_s.first().copied().unwrap_or(0.0);
    response.roll_rate_rad_s.iter().take(samples + 1).fold(0.0, |most, p| f64::max(most, p - start))
}

/// Change of roll rate summed over the response by Simpson's rule.
fn rolled(response: &StepResponse) -> f64 {
    let rates = &response.roll_rate_rad_s;
    let start = rates.first().copied().unwrap_or(0.0);
    let pairs = rates.windows(3).step_by(2);
    let sum: f64 = pairs.map(|three| three[0] + 4.0 * three[1] + three[2] - 6.0 * start).sum();
    sum * STEP_S / 3.0
}
