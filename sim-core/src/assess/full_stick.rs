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
    Answer, ChannelResponse, Duty, EXPO_USUAL, Phase, ROLL_RATE_S, SensitivityCriterion, Tolerance,
    bearable_throws, least_bearable,
};

/// Length of the step, s: what the criteria look at.
pub(super) const DURATION_S: f64 = 1.0;
/// Length of a step of ailerons where only their roll rate counts, s.
const ROLL_DURATION_S: f64 = 10.0 * STEP_S;
/// How much later than the straight answer's peak that of a large throw may come.
const LATER: f64 = 1.5;
/// How far from a flown throw its curve is still trusted to bind, as a share.
const NEAR: f64 = 0.25;
/// From how many times the hinge's limit on a throw is far beyond it.
const BY_FAR: f64 = 1.35;
/// Step of the integration, s, a little coarser than the one at which the quick
/// method is within 2 %. An even number of them makes the duration, for Simpson's rule.
const STEP_S: f64 = 1.0 / 22.0;
/// Least throw that is flown, rad: below it the model is straight.
const THROW_MIN_RAD: f64 = 0.09;
/// Part of the straight answer that is expected to be left, for the first
/// throw to be flown near where it will matter: of elevator and ailerons, and of a
/// rudder, whose fin stalls.
const FIRST_SHARES: [f64; 2] = [0.85, 0.65];

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

/// Where a step starts: a steady flight and the small motions about it.
pub(super) type From<'a> = (&'a Trim, &'a LinearModel);

impl Flight<'_> {
    /// Bends the answers of the conditions that bound the high rate, all but fast
    /// flight: as long as the least
    /// throw that is borne comes from a straight answer, a step is flown there.
    /// An answer that has not been flown stays straight, which bears less, so
    /// what binds in the end was flown, and nothing jumps where another
    /// condition comes to bind; once more where that was far from the throw that
    /// then binds. Only where the knees of the first step say that nothing binds,
    /// by far, they are believed. Where the pilot's loop binds before anything that
    /// full stick does, or no step can be flown, the lines stay straight.
    pub fn bend(&self, responses: &mut [ChannelResponse], flights: &[From]) {
        // The places and throws of all steps so far.
        let mut flown: Vec<(usize, f64)> = Vec::new();
        while let Some((index, binds_rad)) = self.binding(responses) {
            if let Some(lent) =
                self.by_far(&responses[index], flown.first().map(|one| one.0), responses)
            {
                responses[index] = lent;
                continue;
            }
            let mut before = flown.iter().filter(|(place, _)| *place == index);
            let throw_rad = match (before.next(), before.next()) {
                (None, _) => self.first_throw(&responses[index]),
                (Some((_, first)), None) if (binds_rad / first - 1.0).abs() > NEAR => binds_rad,
                _ => return,
            };
            flown.push((index, throw_rad));
            let duration_s = self.duration_s(&responses[index]);
            self.bend_at(&mut responses[index], flights[index], throw_rad, duration_s);
        }
    }

    /// The answers of a condition with the knees of another that was flown, where
    /// by these nothing binds it far beyond the hinge; they may be a third off.
    fn by_far(
        &self,
        response: &ChannelResponse,
        other: Option<usize>,
        responses: &[ChannelResponse],
    ) -> Option<ChannelResponse> {
        let lent = lent(response, &responses[other?]);
        let beyond_rad = BY_FAR * self.cap_rad();
        (is_straight(response) && wanted_rad(&lent, self.duty, self.pilot) > beyond_rad)
            .then_some(lent)
    }

    /// Lends a rudder's knees to the conditions that were not flown, which may
    /// bound the low rate: a fin stalls and a flap saturates at angles, whatever
    /// the speed. A wing does not, so what an elevator or ailerons do stays
    /// straight, which bears less.
    pub fn lend(&self, responses: &mut [ChannelResponse]) {
        let flown = responses.iter().find(|response| !is_straight(response)).copied();
        if let (Some(flown), Duty::Yaw | Duty::BankByRudder) = (flown, self.duty) {
            for response in responses.iter_mut().filter(|response| is_straight(response)) {
                *response = lent(response, &flown);
            }
        }
    }

    /// Bends the bank at the slowest speed, near the throw that rolls by
    /// `bank_rad` in a second. The step is flown unless that throw lies below
    /// `far_below_rad`: for that the knee of another condition is good enough,
    /// since saturation and stall come at angles, not at speeds.
    pub fn bend_slowest(
        &self,
        responses: &mut [ChannelResponse],
        flights: &[From],
        bank_rad: f64,
        far_below_rad: f64,
    ) {
        let Some(index) = slowest(responses) else { return };
        let slow = responses[index];
        if slow.bank_at_1_s.knee_rad.is_none() {
            let knee_rad = responses.iter().find_map(|other| match self.duty {
                // Of ailerons the bank is not flown elsewhere.
                Duty::Roll => other.peak_rate.knee_rad,
                _ => other.bank_at_1_s.knee_rad,
            });
            let likely = Answer { knee_rad, ..slow.bank_at_1_s }.throw_for(bank_rad);
            if likely < far_below_rad {
                responses[index].bank_at_1_s.knee_rad = knee_rad;
            } else {
                let throw_rad = likely.clamp(self.least_rad(), self.cap_rad());
                self.bend_at(&mut responses[index], flights[index], throw_rad, DURATION_S);
            }
        }
    }

    /// Place of the response whose full-stick criterion binds within the hinge,
    /// and the throw at which it does, rad; `None` where the pilot's loop or nothing binds.
    fn binding(&self, responses: &[ChannelResponse]) -> Option<(usize, f64)> {
        let not_fast = |phase| phase != Phase::Fast;
        let least = least_bearable(self.duty, responses, self.pilot, not_fast)?;
        let decides =
            least.criterion != SensitivityCriterion::PilotLoop && least.throw_rad < self.cap_rad();
        let place = responses.iter().position(|response| response.condition == least.condition);
        Some((place.filter(|_| decides)?, least.throw_rad))
    }

    fn cap_rad(&self) -> f64 {
        self.hinge_limit_rad.min(EFFECTIVE_DEFLECTION_RAD)
    }

    /// Least throw that is flown, rad.
    fn least_rad(&self) -> f64 {
        THROW_MIN_RAD.min(self.cap_rad())
    }

    /// As much as will probably be borne, rad: what is flown first.
    fn first_throw(&self, response: &ChannelResponse) -> f64 {
        // What the loop does not bear need not be known: past the stall, steps
        // take several times as long.
        let by_loop = response
            .pilot_loop
            .map_or(f64::INFINITY, |closed| closed.throw_at_margin_rad / (1.0 - EXPO_USUAL));
        let wanted = wanted_rad(response, self.duty, self.pilot).min(by_loop);
        let by_rudder = matches!(self.duty, Duty::Yaw | Duty::BankByRudder);
        let share = FIRST_SHARES[usize::from(by_rudder)];
        (wanted / share).clamp(self.least_rad(), self.cap_rad())
    }

    /// How long a step must be flown for what the criteria look at: past its peak,
    /// which comes somewhat later than the straight answer's, but to the end where
    /// power takes the nose on through the stall.
    fn duration_s(&self, response: &ChannelResponse) -> f64 {
        let load_factor = Tolerance::of(self.pilot.skill).load_factor;
        match self.duty {
            Duty::Roll => ROLL_DURATION_S,
            Duty::BankByRudder => DURATION_S,
            Duty::Pitch
                if response.condition.phase == Phase::Slow && response.condition.throttle > 0.0
                    || response.load_factor_to_stall > load_factor =>
            {
                DURATION_S
            }
            Duty::Pitch | Duty::Yaw => {
                let steps = (LATER * response.peak_s / STEP_S).ceil() + 2.0;
                (steps * STEP_S).min(DURATION_S)
            }
        }
    }

    /// Bends the answers through one step by `throw_rad` over `duration_s`;
    /// unchanged where it cannot be flown. Of less than [`DURATION_S`] the bank
    /// says nothing.
    pub fn bend_at(
        &self,
        response: &mut ChannelResponse,
        from: From,
        throw_rad: f64,
        duration_s: f64,
    ) {
        let Some(flown) = fly(self.aeroplane, from, self.duty, throw_rad, duration_s) else {
            return;
        };
        response.peak_rate = response.peak_rate.through(throw_rad, flown.peak_rate);
        response.load_factor = response.load_factor.through(throw_rad, flown.load_factor);
        response.sideslip = response.sideslip.through(throw_rad, flown.sideslip);
        if duration_s == DURATION_S {
            response.bank_at_1_s = if flown.bank_at_1_s > 0.0 {
                response.bank_at_1_s.through(throw_rad, flown.bank_at_1_s)
            } else {
                response.bank_at_1_s.lost()
            };
        }
    }
}

fn is_straight(response: &ChannelResponse) -> bool {
    response.peak_rate.knee_rad.is_none() && response.sideslip.knee_rad.is_none()
}

/// The answers of a condition with the knees of another.
fn lent(response: &ChannelResponse, other: &ChannelResponse) -> ChannelResponse {
    let with = |own: Answer, other: Answer| Answer { knee_rad: other.knee_rad, ..own };
    ChannelResponse {
        peak_rate: with(response.peak_rate, other.peak_rate),
        load_factor: with(response.load_factor, other.load_factor),
        bank_at_1_s: with(response.bank_at_1_s, other.bank_at_1_s),
        sideslip: with(response.sideslip, other.sideslip),
        ..*response
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
    (trim, model): From,
    duty: Duty,
    throw_rad: f64,
    duration_s: f64,
) -> Option<Flown> {
    let options = ResponseOptions {
        duration_s,
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
