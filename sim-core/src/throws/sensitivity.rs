//! How much throw does a pilot bear?
//!
//! At every speed and throttle of the flight, full stick must not turn the
//! aircraft faster or load it more than the chosen pilot can follow, and the
//! pilot's loop must keep its margin. What is borne is our estimate; the loop
//! rests on measured pilots. The responses come from the linear model about
//! each condition, so the propwash over the tail is in them.

use serde::Serialize;

use crate::analysis::LinearModel;
use crate::handling::linear_step::{Channel, StickModel, step_response};
use crate::handling::pilot::{LoopKind, Pilot, Skill};
use crate::handling::pilot_loop::{PilotLoop, close_loop};

/// When in the flight a condition occurs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// Take-off, approach and landing.
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

/// What one rad of deflection does within a second, and what the pilot's loop
/// makes of it.
///
/// # Conventions
/// Deflection and answers in the sense of the stick, all positive where the
/// aircraft does what is asked.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ChannelResponse {
    /// Where.
    pub condition: Condition,
    /// Greatest pitch, roll or yaw rate, rad/s per rad.
    pub peak_rate_1_s: f64,
    /// Greatest change of load factor, g per rad; elevator only.
    pub load_factor_per_rad: f64,
    /// Load factor added when the wing stalls, g; the aircraft gives no more.
    pub load_factor_to_stall: f64,
    /// Bank after one second, rad per rad; aileron and rudder.
    pub bank_at_1_s_per_rad: f64,
    /// Greatest sideslip, rad per rad, as a size; rudder only.
    pub sideslip_per_rad: f64,
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
    /// The throw at which the limit is reached, rad.
    pub throw_rad: f64,
}

impl Bearable {
    /// Which part of a stick curve the criterion looks at: the pilot's loop
    /// works around neutral, everything else at full stick.
    pub fn concerned_throw(&self, full_rad: f64, centre_rad: f64) -> f64 {
        if self.criterion == SensitivityCriterion::PilotLoop { centre_rad } else { full_rad }
    }
}

/// What a pilot bears at full stick. All estimates, within a factor of 1.5.
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
            Skill::Beginner => [70.0, 2.5, 110.0, 50.0, 20.0],
            Skill::Practised => [120.0, 4.0, 200.0, 70.0, 30.0],
            Skill::Expert => [220.0, 8.0, 360.0, 110.0, 45.0],
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
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
    let at_one_second = samples.last()?;
    let rate_state = if duty == Duty::Roll { 1 } else { 2 };
    let peak_until = |end: usize, value: &dyn Fn(usize) -> f64| {
        (0..end.min(samples.len())).map(value).fold(0.0, f64::max)
    };
    let peak = |value: &dyn Fn(usize) -> f64| peak_until(samples.len(), value);
    // Ailerons reach their roll rate within a few tenths; what the linear
    // model adds later comes from banks far beyond its validity.
    let rate_end = if duty == Duty::Roll { ROLL_RATE_SAMPLES } else { samples.len() };
    let lateral = duty != Duty::Pitch;
    // Load factor along -z: (U q - w')/g, w' from the model itself.
    let load_factor = |i: usize| {
        let climb = stick.system.row(1).transpose().dot(&samples[i]) + stick.input[1];
        let forward = model.airspeed_m_s * model.alpha_rad.cos();
        (forward * samples[i][2] - climb) / STANDARD_GRAVITY_M_S2
    };
    let loop_kind = match duty {
        Duty::Pitch => Some(LoopKind::Pitch),
        Duty::Roll | Duty::BankByRudder => Some(LoopKind::Bank),
        Duty::Yaw => None,
    };
    let sideslip = |i: usize| (samples[i][0] / condition.airspeed_m_s).abs();
    Some(ChannelResponse {
        condition,
        peak_rate_1_s: peak_until(rate_end, &|i| samples[i][rate_state]),
        load_factor_per_rad: if lateral { 0.0 } else { peak(&load_factor) },
        load_factor_to_stall,
        bank_at_1_s_per_rad: if lateral { at_one_second[3] } else { 0.0 },
        sideslip_per_rad: if lateral { peak(&sideslip) } else { 0.0 },
        pilot_loop: loop_kind
            .and_then(|kind| close_loop(&stick.attitude_plant(), kind, pilot, servo_delay_s).ok()),
    })
}

/// How much of the step counts for the aileron's roll rate: 0.4 s.
const ROLL_RATE_SAMPLES: usize = 40;

/// Standard gravity, m/s2 (ISO 80000-3).
const STANDARD_GRAVITY_M_S2: f64 = 9.806_65;

/// Everything that limits a throw in one condition.
pub fn bearable_throws(duty: Duty, response: &ChannelResponse, pilot: &Pilot) -> Vec<Bearable> {
    let tolerance = Tolerance::of(pilot.skill);
    let mut bounds = Vec::with_capacity(3);
    let mut bound = |criterion, limit: f64, per_rad: f64| {
        let throw_rad = limit / per_rad;
        if throw_rad.is_finite() && throw_rad > 0.0 {
            let condition = response.condition;
            bounds.push(Bearable { criterion, limit, condition, throw_rad });
        }
    };
    match duty {
        Duty::Pitch => {
            bound(
                SensitivityCriterion::PitchRate,
                tolerance.pitch_rate_rad_s,
                response.peak_rate_1_s,
            );
            // A wing that stalls first gives no more load.
            if response.load_factor_to_stall > tolerance.load_factor {
                bound(
                    SensitivityCriterion::LoadFactor,
                    tolerance.load_factor,
                    response.load_factor_per_rad,
                );
            }
        }
        Duty::Roll => {
            bound(
                SensitivityCriterion::RollRate,
                tolerance.roll_rate_rad_s,
                response.peak_rate_1_s,
            );
        }
        Duty::BankByRudder => {
            bound(
                SensitivityCriterion::BankByRudder,
                tolerance.bank_by_rudder_rad,
                response.bank_at_1_s_per_rad,
            );
            bound(
                SensitivityCriterion::Sideslip,
                tolerance.sideslip_rad,
                response.sideslip_per_rad,
            );
        }
        Duty::Yaw => {
            bound(
                SensitivityCriterion::Sideslip,
                tolerance.sideslip_rad,
                response.sideslip_per_rad,
            );
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
        .min_by(|a, b| a.throw_rad.total_cmp(&b.throw_rad))
}
