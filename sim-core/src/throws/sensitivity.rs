//! How much throw does a pilot bear?
//!
//! At every speed and throttle of the flight, full stick must not turn the
//! aircraft faster or load it more than the chosen pilot can follow, and the
//! pilot's loop must keep its margin. What is borne is our estimate; the loop
//! rests on measured pilots. The slope of each response comes from the linear
//! model about each condition, so the propwash over the tail is in it; what a
//! large throw falls short of that slope, because flaps saturate and fins
//! stall, from a nonlinear step (see [`Answer`]).

use nalgebra::Vector4;
use serde::{Deserialize, Serialize};

use crate::analysis::LinearModel;
use crate::handling::linear_step::{Channel, SAMPLES_PER_S, StickModel, step_response};
use crate::handling::pilot::{LoopKind, Pilot, Skill};
use crate::handling::pilot_loop::{PilotLoop, close_loop};

/// When in the flight a condition occurs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// Take-off, climb-out, approach and landing.
    Slow,
    /// Ordinary flight.
    Cruise,
    /// Fast flight and dives; flown on low rate.
    Fast,
}

/// Where the aircraft flies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Condition {
    /// When in the flight.
    pub phase: Phase,
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Throttle, 0 to 1.
    pub throttle: f64,
}

/// How an answer grows with the throw: along its slope at first, then less and
/// less towards slope times knee, y = slope x/sqrt(1 + (x/knee)2).
///
/// # Limits
/// One measured point sets the knee; within a factor of two of its throw the
/// curve is good to 5 % on our example aeroplanes. An answer that grows faster
/// than its slope is taken as straight.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Answer {
    /// Slope at neutral, per rad.
    pub per_rad: f64,
    /// Where the answer bends, rad; `None` is a straight line.
    pub knee_rad: Option<f64>,
}

impl Answer {
    /// A straight line.
    pub const fn straight(per_rad: f64) -> Self {
        Self { per_rad, knee_rad: None }
    }

    /// The same slope, of which nothing is left at any throw.
    pub const fn lost(self) -> Self {
        Self { knee_rad: Some(0.0), ..self }
    }

    /// The same slope, bent through a measured point; unchanged where the
    /// point lies on or beyond the straight line or on its other side.
    pub fn through(self, throw_rad: f64, value: f64) -> Self {
        let share = value / (self.per_rad * throw_rad);
        if !(share > 0.0 && share < 1.0) {
            return Self { knee_rad: None, ..self };
        }
        // share = 1/sqrt(1 + (x/knee)2), solved for the knee.
        Self { knee_rad: Some(throw_rad / (share.powi(-2) - 1.0).sqrt()), ..self }
    }

    /// The answer to a throw (rad).
    pub fn at(&self, throw_rad: f64) -> f64 {
        let bend = self.knee_rad.map_or(0.0, |knee| throw_rad / knee);
        self.per_rad * throw_rad / bend.hypot(1.0)
    }

    /// The throw (rad) that gives an answer; infinite where none does.
    pub fn throw_for(&self, value: f64) -> f64 {
        let straight = value / self.per_rad;
        let bend = self.knee_rad.map_or(0.0, |knee| straight / knee);
        if straight > 0.0 && bend < 1.0 {
            straight / (1.0 - bend * bend).sqrt()
        } else {
            f64::INFINITY
        }
    }
}

/// What a deflection does within a second, and what the pilot's loop makes of
/// it.
///
/// # Conventions
/// Deflection and answers in the sense of the stick, all positive where the
/// aircraft does what is asked.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ChannelResponse {
    /// Where.
    pub condition: Condition,
    /// Greatest pitch, roll or yaw rate, rad/s.
    pub peak_rate: Answer,
    /// Time until the greatest pitch rate or, of aileron and rudder, sideslip, s.
    pub peak_s: f64,
    /// Greatest change of load factor, g; elevator only.
    pub load_factor: Answer,
    /// Load factor added when the wing stalls, g; the aircraft gives no more.
    pub load_factor_to_stall: f64,
    /// Roll rate summed over one second, rad; aileron and rudder. In level
    /// flight it is the bank; in a steep climb, where bank about the vertical
    /// says little, it is still what the eye sees.
    pub bank_at_1_s: Answer,
    /// Greatest sideslip, rad, as a size; aileron and rudder.
    pub sideslip: Answer,
    /// The loop that the pilot closes with this control; `None` where the
    /// pilot cannot or does not.
    pub pilot_loop: Option<PilotLoop>,
}

/// What may bind a throw from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SensitivityCriterion {
    /// Pitch rate at full stick, rad/s.
    PitchRate,
    /// Change of load factor at full stick, g.
    LoadFactor,
    /// Roll rate at full stick, rad/s.
    RollRate,
    /// Bank after one second of full rudder, rad.
    BankByRudder,
    /// Sideslip at full rudder, rad.
    Sideslip,
    /// Phase margin of the pilot's loop, rad.
    PilotLoop,
}

/// The throw that one criterion bears.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bearable {
    /// The criterion.
    pub criterion: SensitivityCriterion,
    /// Its limit for the pilot, in the criterion's unit.
    pub limit: f64,
    /// Where it binds.
    pub condition: Condition,
    /// The throw at which the limit is reached, rad; for the pilot's loop the
    /// throw without expo.
    pub throw_rad: f64,
}

/// Expo that is taken for granted. Common practice: 20 to 40 %.
pub const EXPO_USUAL: f64 = 0.3;

impl Bearable {
    /// The throw that may be set, rad: where only the slope around neutral is
    /// bounded, usual expo softens it.
    pub fn usable_rad(&self) -> f64 {
        if self.criterion == SensitivityCriterion::PilotLoop {
            self.throw_rad / (1.0 - EXPO_USUAL)
        } else {
            self.throw_rad
        }
    }

    /// Which part of a stick curve the criterion looks at: the pilot's loop
    /// works around neutral, everything else at full stick.
    pub fn concerned_throw(&self, full_rad: f64, centre_rad: f64) -> f64 {
        if self.criterion == SensitivityCriterion::PilotLoop { centre_rad } else { full_rad }
    }
}

/// What a pilot bears at full stick. All estimates, within a factor of 1.5.
///
/// Roll rates: a sport model makes a whole roll in 1 to 1.5 s at full stick
/// (common practice: 240 to 360 deg/s), an aileron trainer takes 2 to 3 s, an
/// aerobatic model less than a second. By Froude's law this is what a light
/// full-size aeroplane of ten times the size does at 60 to 90 deg/s (times the
/// root of ten). Banks by rudder: rudder-elevator trainers reach 60 to 120
/// deg/s at full stick (common practice), after a start of some 0.3 s.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Tolerance {
    /// Pitch rate, rad/s.
    pub pitch_rate_rad_s: f64,
    /// Change of load factor, g.
    pub load_factor: f64,
    /// Roll rate, rad/s.
    pub roll_rate_rad_s: f64,
    /// Bank after one second by rudder, rad.
    pub bank_by_rudder_rad: f64,
    /// Sideslip, rad.
    pub sideslip_rad: f64,
}

impl Tolerance {
    /// For a skill.
    pub fn of(skill: Skill) -> Self {
        let [pitch_rate, load_factor, roll_rate, bank, sideslip]: [f64; 5] = match skill {
            Skill::Beginner => [70.0, 2.5, 150.0, 50.0, 20.0],
            Skill::Practised => [120.0, 4.0, 270.0, 70.0, 30.0],
            Skill::Expert => [220.0, 8.0, 450.0, 110.0, 45.0],
        };
        Self {
            pitch_rate_rad_s: pitch_rate.to_radians(),
            load_factor,
            roll_rate_rad_s: roll_rate.to_radians(),
            bank_by_rudder_rad: bank.to_radians(),
            sideslip_rad: sideslip.to_radians(),
        }
    }
}

/// What a channel is used for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Duty {
    /// Elevator: pitch.
    Pitch,
    /// Aileron: roll.
    Roll,
    /// Rudder beside ailerons: yaw.
    Yaw,
    /// Rudder without ailerons: turns by banking.
    BankByRudder,
}

impl Duty {
    /// The stick that has the duty.
    pub fn channel(self) -> Channel {
        match self {
            Self::Pitch => Channel::Elevator,
            Self::Roll => Channel::Aileron,
            Self::Yaw | Self::BankByRudder => Channel::Rudder,
        }
    }
}

/// The response of one channel about one condition from its linear model.
///
/// `servo_delay_s` is the servo's lag; `load_factor_to_stall` the load factor
/// that the wing can add at that speed, g. `None` where the model is not finite.
pub fn channel_response(
    model: &LinearModel,
    duty: Duty,
    condition: Condition,
    load_factor_to_stall: f64,
    pilot: &Pilot,
    servo_delay_s: f64,
) -> Option<ChannelResponse> {
    let stick = StickModel::new(model, duty.channel());
    let samples = step_response(&stick.system, &stick.input, 1.0)?;
    let rolled: f64 = samples.iter().map(|state| state[1]).sum::<f64>() / SAMPLES_PER_S as f64;
    let rate_state = if duty == Duty::Roll { 1 } else { 2 };
    let peak_until = |end: usize, value: &dyn Fn(usize) -> f64| {
        (0..end.min(samples.len())).map(value).fold(0.0, f64::max)
    };
    let peak = |value: &dyn Fn(usize) -> f64| peak_until(samples.len(), value);
    // Ailerons reach their roll rate within a few tenths; what the linear
    // model adds later comes from banks far beyond its validity.
    let rate_end = if duty == Duty::Roll { ROLL_RATE_SAMPLES } else { samples.len() };
    let lateral = duty != Duty::Pitch;
    // Load factor along -z: (U q - w')/g, w' from the model itself but for what
    // gravity does as the nose turns, which no load makes.
    let load_factor = |i: usize| {
        let turned = Vector4::new(samples[i][0], samples[i][1], samples[i][2], 0.0);
        let climb = stick.system.row(1).transpose().dot(&turned) + stick.input[1];
        let forward = model.airspeed_m_s * model.alpha_rad.cos();
        (forward * samples[i][2] - climb) / STANDARD_GRAVITY_M_S2
    };
    let loop_kind = match duty {
        Duty::Pitch => Some(LoopKind::Pitch),
        Duty::Roll | Duty::BankByRudder => Some(LoopKind::Bank),
        Duty::Yaw => None,
    };
    let sideslip = |i: usize| (samples[i][0] / condition.airspeed_m_s).abs();
    let of_peak = |i: usize| if lateral { sideslip(i) } else { samples[i][2] };
    let latest = (0..samples.len()).max_by(|&a, &b| of_peak(a).total_cmp(&of_peak(b)));
    Some(ChannelResponse {
        condition,
        peak_rate: Answer::straight(peak_until(rate_end, &|i| samples[i][rate_state])),
        peak_s: latest.map_or(1.0, |sample| (sample + 1) as f64 / SAMPLES_PER_S as f64),
        load_factor: Answer::straight(if lateral { 0.0 } else { peak(&load_factor) }),
        load_factor_to_stall,
        bank_at_1_s: Answer::straight(if lateral { rolled } else { 0.0 }),
        sideslip: Answer::straight(if lateral { peak(&sideslip) } else { 0.0 }),
        pilot_loop: loop_kind.and_then(|kind| {
            close_loop(&stick.attitude_plant(duty.channel()), kind, pilot, servo_delay_s).ok()
        }),
    })
}

/// How much of the step counts for the aileron's roll rate, s.
pub const ROLL_RATE_S: f64 = 0.4;
const ROLL_RATE_SAMPLES: usize = (ROLL_RATE_S * SAMPLES_PER_S as f64) as usize;

/// Standard gravity, m/s2 (ISO 80000-3).
const STANDARD_GRAVITY_M_S2: f64 = 9.806_65;

/// Everything that limits a throw in one condition.
pub fn bearable_throws(duty: Duty, response: &ChannelResponse, pilot: &Pilot) -> Vec<Bearable> {
    let tolerance = Tolerance::of(pilot.skill);
    let mut bounds = Vec::with_capacity(3);
    let mut bound = |criterion, limit: f64, answer: &Answer| {
        let throw_rad = answer.throw_for(limit);
        if throw_rad.is_finite() && throw_rad > 0.0 {
            let condition = response.condition;
            bounds.push(Bearable { criterion, limit, condition, throw_rad });
        }
    };
    match duty {
        Duty::Pitch => {
            bound(SensitivityCriterion::PitchRate, tolerance.pitch_rate_rad_s, &response.peak_rate);
            // A wing that stalls first gives no more load.
            if response.load_factor_to_stall > tolerance.load_factor {
                bound(
                    SensitivityCriterion::LoadFactor,
                    tolerance.load_factor,
                    &response.load_factor,
                );
            }
        }
        Duty::Roll => {
            bound(SensitivityCriterion::RollRate, tolerance.roll_rate_rad_s, &response.peak_rate);
        }
        Duty::BankByRudder => {
            bound(
                SensitivityCriterion::BankByRudder,
                tolerance.bank_by_rudder_rad,
                &response.bank_at_1_s,
            );
            bound(SensitivityCriterion::Sideslip, tolerance.sideslip_rad, &response.sideslip);
        }
        Duty::Yaw => {
            bound(SensitivityCriterion::Sideslip, tolerance.sideslip_rad, &response.sideslip);
        }
    }
    if let Some(closed) = &response.pilot_loop {
        bounds.push(Bearable {
            criterion: SensitivityCriterion::PilotLoop,
            limit: closed.phase_margin_rad,
            condition: response.condition,
            throw_rad: closed.throw_at_margin_rad,
        });
    }
    bounds
}

/// The least bearable throw over the conditions that `counts` lets through.
pub fn least_bearable(
    duty: Duty,
    responses: &[ChannelResponse],
    pilot: &Pilot,
    counts: impl Fn(Phase) -> bool,
) -> Option<Bearable> {
    responses
        .iter()
        .filter(|response| counts(response.condition.phase))
        .flat_map(|response| bearable_throws(duty, response, pilot))
        .filter(|bearable| bearable.throw_rad.is_finite())
        .min_by(|a, b| a.usable_rad().total_cmp(&b.usable_rad()))
}

/// The least throw (rad) at which full stick is as much as the pilot bears over
/// the conditions that `counts` lets through, the pilot's loop apart; `None`
/// where no throw is too much.
pub fn least_full_stick_rad(
    duty: Duty,
    responses: &[ChannelResponse],
    pilot: &Pilot,
    counts: impl Fn(Phase) -> bool,
) -> Option<f64> {
    responses
        .iter()
        .filter(|response| counts(response.condition.phase))
        .flat_map(|response| bearable_throws(duty, response, pilot))
        .filter(|bearable| bearable.criterion != SensitivityCriterion::PilotLoop)
        .map(|bearable| bearable.throw_rad)
        .min_by(f64::total_cmp)
}

/// The least slope around neutral (rad per full stick) that the pilot's loop
/// bears over the conditions that `counts` lets through.
pub fn least_centre_rad(
    responses: &[ChannelResponse],
    counts: impl Fn(Phase) -> bool,
) -> Option<f64> {
    responses
        .iter()
        .filter(|response| counts(response.condition.phase))
        .filter_map(|response| Some(response.pilot_loop?.throw_at_margin_rad))
        .filter(|throw| throw.is_finite())
        .min_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bent_answer_passes_its_point_and_inverts() {
        let answer = Answer::straight(4.0).through(0.35, 1.0);
        assert!((answer.at(0.35) - 1.0).abs() < 1e-12);
        assert!((answer.at(1e-6) / 4e-6 - 1.0).abs() < 1e-6);
        for value in [0.1, 0.6, 1.0, 1.2] {
            assert!((answer.at(answer.throw_for(value)) - value).abs() < 1e-12);
        }
        assert_eq!(answer.lost().at(0.35), 0.0);
        assert!(answer.lost().throw_for(0.01).is_infinite());
        // It tends to slope times knee and never beyond.
        let most = 4.0 * answer.knee_rad.unwrap();
        assert!(answer.throw_for(1.001 * most).is_infinite());
        assert!(answer.throw_for(0.999 * most).is_finite());
    }

    #[test]
    fn what_does_not_bend_stays_straight() {
        let straight = Answer::straight(2.0);
        assert_eq!(straight.through(0.3, 0.7), straight);
        assert_eq!(straight.through(0.3, -0.1), straight);
        assert_eq!(straight.through(0.3, f64::NAN), straight);
        assert!(Answer::straight(0.0).throw_for(1.0).is_infinite());
        assert!(Answer::straight(-1.0).throw_for(1.0).is_infinite());
    }

    /// Pitch as a swing, q' = u - w2 theta, from which w' = U q - k w follows: the
    /// rate is u/w sin wt, and the load factor k w / g, its closed form.
    #[test]
    fn a_pitch_swing_is_read_in_closed_form() {
        let (swing, k, airspeed_m_s, alpha_rad) = (4.0, 2.0, 12.0, 0.3f64);
        let forward = airspeed_m_s * alpha_rad.cos();
        let mut a = nalgebra::SMatrix::<f64, 8, 8>::zeros();
        (a[(2, 2)], a[(2, 4)], a[(4, 7)], a[(7, 4)]) = (-k, forward, -swing * swing, 1.0);
        // What gravity does as the nose turns is no load.
        a[(2, 7)] = -1.7;
        let mut b = nalgebra::SMatrix::<f64, 8, 5>::zeros();
        b[(4, 0)] = -8.0;
        let model = LinearModel {
            a,
            b,
            airspeed_m_s,
            alpha_rad,
            beta_rad: 0.0,
            pitch_rad: 0.0,
            bank_rad: 0.0,
        };
        let condition = Condition { phase: Phase::Cruise, airspeed_m_s, throttle: 0.5 };
        let found =
            channel_response(&model, Duty::Pitch, condition, 3.0, &Pilot::default(), 0.03).unwrap();
        let times = (1..=100).map(|step| 0.01 * f64::from(step));
        let rate = |t: f64| 8.0 / swing * (swing * t).sin();
        let most = |of: &dyn Fn(f64) -> f64| times.clone().map(of).fold(0.0, f64::max);
        assert!((found.peak_rate.per_rad - most(&rate)).abs() < 1e-9);
        assert!((found.peak_s - 0.39).abs() < 1e-12, "{}", found.peak_s);
        // w' + k w = f q - 1.7 theta, theta = u/w2 (1 - cos wt), by small steps.
        let down = |end: f64| {
            let (steps, mut w) = (2000, 0.0);
            let h = end / f64::from(steps);
            for step in 0..steps {
                let t = (f64::from(step) + 0.5) * h;
                let theta = 8.0 / (swing * swing) * (1.0 - (swing * t).cos());
                let pull = forward * rate(t) - 1.7 * theta;
                w = (w * (1.0 - 0.5 * k * h) + pull * h) / (1.0 + 0.5 * k * h);
            }
            w
        };
        let load = most(&|t| k * down(t) / STANDARD_GRAVITY_M_S2);
        assert!((found.load_factor.per_rad / load - 1.0).abs() < 1e-4, "{found:?} {load}");
    }

    /// Sideslip as a swing: its size over the airspeed, whichever way it goes, and
    /// when it is greatest; the roll is summed over the second.
    #[test]
    fn a_sideslip_swing_is_read_in_closed_form() {
        for side in [1.0, -1.0] {
            let (swing, airspeed_m_s) = (5.0, 12.0);
            let mut a = nalgebra::SMatrix::<f64, 8, 8>::zeros();
            (a[(1, 5)], a[(5, 1)]) = (-swing, swing);
            let mut b = nalgebra::SMatrix::<f64, 8, 5>::zeros();
            (b[(1, 2)], b[(3, 2)]) = (-6.0 * side, -0.8);
            let model = LinearModel {
                a,
                b,
                airspeed_m_s,
                alpha_rad: 0.0,
                beta_rad: 0.0,
                pitch_rad: 0.0,
                bank_rad: 0.0,
            };
            let condition = Condition { phase: Phase::Cruise, airspeed_m_s, throttle: 0.5 };
            let pilot = Pilot::default();
            let found = channel_response(&model, Duty::Yaw, condition, 3.0, &pilot, 0.03).unwrap();
            // v = 6/5 sin 5t, greatest at 0.3142 s: the sample at 0.31 or, later, where
            // it is the same size the other way, at 0.94.
            let size = |t: f64| (1.2 * (swing * t).sin()).abs() / airspeed_m_s;
            let best = (1..=100)
                .map(|step| 0.01 * f64::from(step))
                .max_by(|one, two| size(*one).total_cmp(&size(*two)))
                .unwrap();
            assert!((found.sideslip.per_rad - size(best)).abs() < 1e-9);
            assert!((found.peak_s - best).abs() < 1e-12, "{} {best}", found.peak_s);
            // p = 0.8 t, summed over hundredths.
            assert!((found.bank_at_1_s.per_rad - 0.8 * 0.505).abs() < 1e-9, "{found:?}");
        }
    }

    /// A wing that stalls before the pilot minds the load sets no bound by load.
    #[test]
    fn a_load_that_the_wing_cannot_give_sets_no_bound() {
        let response = |load_factor_to_stall| ChannelResponse {
            condition: Condition { phase: Phase::Cruise, airspeed_m_s: 12.0, throttle: 0.5 },
            peak_rate: Answer::straight(6.0),
            peak_s: 0.3,
            load_factor: Answer::straight(20.0),
            load_factor_to_stall,
            bank_at_1_s: Answer::straight(0.0),
            sideslip: Answer::straight(0.0),
            pilot_loop: None,
        };
        for (to_stall, bound) in [(3.9, false), (4.1, true)] {
            let bounds = bearable_throws(Duty::Pitch, &response(to_stall), &Pilot::default());
            let load = bounds.iter().find(|b| b.criterion == SensitivityCriterion::LoadFactor);
            assert_eq!(load.map(|bound| bound.throw_rad), bound.then_some(0.2));
        }
    }
}
