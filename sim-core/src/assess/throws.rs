//! What the throw advice rests on: the needs and the responses of each channel,
//! gathered from trim, derivatives and linear models.

use std::f64::consts::PI;

use super::ACTUATION_DELAY_S;
use super::full_stick::{Flight, slowest};
use super::walk::Walk;
use crate::aircraft::ControlRole;
use crate::analysis::{LinearModel, Trim};
use crate::atmosphere::GRAVITY_M_S2;
use crate::throws::advice::ChannelInputs;
use crate::throws::authority::{Demand, Need, bank_recovery};
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
    let controls = crate::assess::geometry::control_summaries(walk.aircraft);
    let channel = |(duty, roles): (Duty, &'static [ControlRole])| {
        let control = controls
            .iter()
            .find(|control| roles.contains(&control.role) && control.throw_max_rad > 0.0)?;
        let responses = inputs.responses(duty, control.throw_max_rad, answers);
        let demands = inputs.demands(duty, &responses);
        Some(ChannelInputs {
            duty,
            demands,
            responses,
            hinge_limit_rad: control.throw_max_rad,
            control_chord_m: control.chord_m,
            levers: Vec::new(),
        })
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
    walk: &'a Walk<'a>,
    models: &'a [(Condition, LinearModel)],
}

impl Inputs<'_> {
    fn responses(
        &self,
        duty: Duty,
        hinge_limit_rad: f64,
        answers: Answers,
    ) -> Vec<ChannelResponse> {
        let Walk { conditions, stall, question, aeroplane, .. } = self.walk;
        let pilot = &question.pilot;
        let (mut responses, flights): (Vec<ChannelResponse>, Vec<_>) = self
            .models
            .iter()
            .zip(conditions.trims())
            .filter_map(|((condition, model), trim)| {
                let to_stall = (condition.airspeed_m_s / stall.airspeed_m_s).powi(2) - 1.0;
                let to_stall = to_stall.max(0.0);
                channel_response(model, duty, *condition, to_stall, pilot, ACTUATION_DELAY_S)
                    .map(|response| (response, (trim, model)))
            })
            .unzip();
        if answers == Answers::Flown {
            let flight = Flight { aeroplane, duty, pilot, hinge_limit_rad };
            flight.bend_all(&mut responses, &flights);
        }
        responses
    }

    fn demands(&self, duty: Duty, responses: &[ChannelResponse]) -> Vec<Demand> {
        let mut demands = Vec::new();
        let mut need = |need, deflection_rad: f64| {
            if deflection_rad.is_finite() {
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
        if matches!(duty, Duty::Roll | Duty::BankByRudder) {
            demands.extend(slowest(responses).and_then(|index| {
                bank_recovery(
                    &responses[index].bank_at_1_s,
                    self.walk.question.pilot.skill,
                    duty == Duty::BankByRudder,
                )
            }));
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
