//! What the throw advice rests on: the needs and the responses of each channel,
//! gathered from trim, derivatives and linear models.

use std::f64::consts::PI;

use super::ACTUATION_DELAY_S;
use super::Question;
use super::full_stick::{Flight, From, slowest};
use super::walk::Walk;
use crate::aircraft::ControlRole;
use crate::analysis::{LinearModel, Trim};
use crate::atmosphere::GRAVITY_M_S2;
use crate::throws::advice::{ChannelInputs, recommend_throws};
use crate::throws::authority::{
    AUTHORITY_MARGIN, Demand, Need, bank_in_one_second_rad, bank_recovery,
};
use crate::throws::sensitivity::{ChannelResponse, Condition, Duty, channel_response};

/// A sideslip held against a crosswind, rad: 15 deg is a crosswind of a quarter
/// of the approach speed.
const CROSSWIND_SIDESLIP_RAD: f64 = 15.0 * PI / 180.0;

/// Bank of the steep turn, rad.
const STEEP_BANK_RAD: f64 = 60.0 * PI / 180.0;

/// How the answers of the aircraft are found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Answers {
    /// By the linear models alone: for differences between like aircraft.
    Linear,
    /// Bent by nonlinear steps where that decides.
    Flown,
}

/// What the advice of every channel rests on that the aircraft has.
pub(super) fn channels(
    walk: &Walk,
    models: &[(Condition, LinearModel)],
    answers: Answers,
) -> Vec<ChannelInputs> {
    let inputs = Inputs { walk, models };
    let controls = crate::assess::geometry::control_summaries(&walk.aircraft);
    let channel = |(duty, roles): (Duty, &'static [ControlRole])| {
        let control = controls
            .iter()
            .find(|control| roles.contains(&control.role) && control.throw_max_rad > 0.0)?;
        let (responses, flights) = inputs.responses(duty);
        let mut channel = ChannelInputs {
            duty,
            demands: inputs.demands(duty),
            responses,
            hinge_limit_rad: control.throw_max_rad,
            control_chord_m: control.chord_m,
            levers: Vec::new(),
        };
        inputs.finish(&mut channel, &flights, answers);
        Some(channel)
    };
    duties(walk.conditions.has_aileron).into_iter().filter_map(channel).collect()
}

/// The duties of an aircraft with the controls that do them.
pub(crate) fn duties(has_aileron: bool) -> [(Duty, &'static [ControlRole]); 3] {
    use ControlRole::{Aileron, Elevator, Elevon, Flaperon, Rudder, Ruddervator};
    [
        (Duty::Pitch, &[Elevator, Elevon, Ruddervator]),
        (Duty::Roll, &[Aileron, Elevon, Flaperon]),
        (if has_aileron { Duty::Yaw } else { Duty::BankByRudder }, &[Rudder, Ruddervator]),
    ]
}

struct Inputs<'a> {
    walk: &'a Walk,
    models: &'a [(Condition, LinearModel)],
}

impl<'a> Inputs<'a> {
    /// The straight answers in all conditions, with the flights they belong to.
    fn responses(&self, duty: Duty) -> (Vec<ChannelResponse>, Vec<From<'a>>) {
        let Walk { conditions, stall, question, .. } = self.walk;
        self.models
            .iter()
            .zip(conditions.trims())
            .filter_map(|((condition, model), trim)| {
                let to_stall = (condition.airspeed_m_s / stall.airspeed_m_s).powi(2) - 1.0;
                let (to_stall, pilot) = (to_stall.max(0.0), &question.pilot);
                channel_response(model, duty, *condition, to_stall, pilot, ACTUATION_DELAY_S)
                    .map(|response| (response, (trim, model)))
            })
            .unzip()
    }

    /// Bends the answers where they bound the high rate, and adds the need that
    /// rests on one. What only bounds the low rate is not flown: such throws are
    /// small.
    fn finish(&self, channel: &mut ChannelInputs, flights: &[From], answers: Answers) {
        let Walk { question: Question { pilot, .. }, aeroplane, .. } = self.walk;
        let duty = channel.duty;
        let hinge_limit_rad = channel.hinge_limit_rad;
        let flown = answers == Answers::Flown;
        let flight = Flight { aeroplane, duty, pilot, hinge_limit_rad };
        if flown {
            flight.bend(&mut channel.responses, flights);
        }
        if matches!(duty, Duty::Roll | Duty::BankByRudder) {
            let by_rudder = duty == Duty::BankByRudder;
            if flown {
                let low_rad = recommend_throws(channel, pilot).map_or(0.0, |own| own.low_rate_rad);
                let bank_rad = bank_in_one_second_rad(pilot.skill, by_rudder);
                let far_below_rad = low_rad / AUTHORITY_MARGIN;
                flight.bend_slowest(&mut channel.responses, flights, bank_rad, far_below_rad);
            }
            channel.demands.extend(slowest(&channel.responses).map(|index| {
                bank_recovery(&channel.responses[index].bank_at_1_s, pilot.skill, by_rudder)
            }));
        }
        if flown {
            flight.lend(&mut channel.responses);
        }
    }

    /// The needs that follow from trim and derivatives.
    fn demands(&self, duty: Duty) -> Vec<Demand> {
        let mut demands = Vec::new();
        let mut need = |need, deflection_rad: f64| {
            // A control that does nothing meets no need.
            if !deflection_rad.is_nan() {
                demands.push(Demand { need, deflection_rad });
            }
        };
        match duty {
            Duty::Pitch => {
                need(Need::StallTrim, self.stall_trim());
                need(Need::SteepTurn, self.steep_turn());
                if let Some(change) = self.between_powers(|trim| trim.controls.elevator_rad) {
                    need(Need::GoAround, change);
                }
            }
            Duty::Roll => {
                let d = &self.walk.derivatives;
                need(
                    Need::Crosswind,
                    CROSSWIND_SIDESLIP_RAD * d.by_beta.rolling_moment / d.by_aileron.rolling_moment,
                );
                if let Some(change) = self.between_powers(|trim| trim.controls.aileron_rad) {
                    need(Need::PropellerTorque, change);
                }
            }
            Duty::Yaw | Duty::BankByRudder => {
                let d = &self.walk.derivatives;
                need(
                    Need::Crosswind,
                    CROSSWIND_SIDESLIP_RAD * d.by_beta.yawing_moment / d.by_rudder.yawing_moment,
                );
                if let Some(change) = self.between_powers(|trim| trim.controls.rudder_rad) {
                    need(Need::PropellerTorque, change);
                }
            }
        }
        demands
    }

    /// Elevator from ordinary flight to the stall with the balance point at the
    /// front of its window.
    fn stall_trim(&self) -> f64 {
        let walk = self.walk;
        let forward = (walk.balance.balance_point_aft_m - walk.balance.window_front_aft_m).max(0.0)
            / walk.reference.chord_m;
        let nose_down = walk.stall.lift_coefficient_max * forward;
        walk.stall.elevator_to_stall_rad + nose_down / walk.stall.moment_per_elevator
            - walk.conditions.cruise_trim.controls.elevator_rad
    }

    /// Elevator beyond the trimmed one in a level turn with 60 deg of bank at
    /// ordinary speed: twice the lift, and a pitch rate of g/V (n - 1/n).
    fn steep_turn(&self) -> f64 {
        let walk = self.walk;
        let d = &self.walk.derivatives;
        let load_factor = 1.0 / STEEP_BANK_RAD.cos();
        let airspeed = walk.conditions.cruise.airspeed_m_s;
        // No further than the stall lets it.
        let reached = (airspeed / walk.stall.airspeed_m_s).powi(2).min(load_factor);
        let pitch_rate = GRAVITY_M_S2 / airspeed * (reached - 1.0 / reached);
        let non_dimensional = pitch_rate * walk.reference.chord_m / (2.0 * airspeed);
        let alpha = d.at_reference.lift * (reached - 1.0) / d.by_alpha.lift;
        -(d.by_alpha.pitching_moment * alpha + d.by_pitch_rate.pitching_moment * non_dimensional)
            / d.by_elevator.pitching_moment
    }

    /// Change of a control's trimmed place between glide and steepest climb at
    /// low speed.
    fn between_powers(&self, control: impl Fn(&Trim) -> f64) -> Option<f64> {
        let walk = self.walk;
        let (off, on) = (walk.conditions.slow(false)?, walk.conditions.slow(true)?);
        Some(control(on) - control(off))
    }
}
