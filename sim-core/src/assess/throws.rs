//! What the throw advice rests on: the needs and the responses of each channel,
//! gathered from trim, derivatives and linear models.

use std::f64::consts::PI;

use super::balance::Balance;
use super::conditions::Conditions;
use super::stall::Stall;
use super::{ACTUATION_DELAY_S, AssessError, Question, geometry_summary};
use crate::aircraft::{ControlRole, SoundAircraft};
use crate::analysis::{Derivatives, LinearModel, LinearOptions, ReferenceSizes, Trim, linearise};
use crate::atmosphere::GRAVITY_M_S2;
use crate::dynamics::Aeroplane;
use crate::throws::advice::{ChannelInputs, ThrowAdvice, recommend_throws};
use crate::throws::authority::{Demand, Need, bank_recovery};
use crate::throws::sensitivity::{ChannelResponse, Condition, Duty, channel_response};

/// Everything that the throws follow from.
pub(super) struct Inputs<'a> {
    pub aircraft: &'a SoundAircraft,
    pub aeroplane: &'a Aeroplane,
    pub question: &'a Question,
    pub reference: &'a ReferenceSizes,
    pub stall: &'a Stall,
    pub balance: &'a Balance,
    pub derivatives: &'a Derivatives,
    pub linear: &'a LinearModel,
    pub conditions: &'a Conditions,
}

/// A sideslip held against a crosswind, rad: 15 deg is a crosswind of a quarter
/// of the approach speed.
const CROSSWIND_SIDESLIP_RAD: f64 = 15.0 * PI / 180.0;

/// Bank of the steep turn, rad.
const STEEP_BANK_RAD: f64 = 60.0 * PI / 180.0;

/// Advises every channel that the aircraft has.
pub(super) fn advise(inputs: &Inputs) -> Result<Vec<ThrowAdvice>, AssessError> {
    let models = inputs.models()?;
    let mut advice = Vec::new();
    for (duty, roles) in inputs.duties() {
        let Some((hinge_limit_rad, control_chord_m)) = inputs.hinge(roles) else { continue };
        let responses = inputs.responses(duty, &models);
        let demands = inputs.demands(duty, &responses);
        let channel = ChannelInputs {
            duty,
            demands,
            responses,
            hinge_limit_rad,
            control_chord_m,
            levers: Vec::new(),
        };
        // Nothing known of a channel leaves it without advice.
        if let Ok(own) = recommend_throws(&channel, &inputs.question.pilot) {
            advice.push(own);
        }
    }
    Ok(advice)
}

impl Inputs<'_> {
    fn duties(&self) -> Vec<(Duty, &'static [ControlRole])> {
        use ControlRole::{Aileron, Elevator, Elevon, Flaperon, Rudder, Ruddervator};
        let yaw = if self.conditions.has_aileron { Duty::Yaw } else { Duty::BankByRudder };
        vec![
            (Duty::Pitch, &[Elevator, Elevon, Ruddervator]),
            (Duty::Roll, &[Aileron, Elevon, Flaperon]),
            (yaw, &[Rudder, Ruddervator]),
        ]
    }

    /// Hinge limit and mean chord of the first control with one of the roles.
    fn hinge(&self, roles: &[ControlRole]) -> Option<(f64, f64)> {
        let geometry = geometry_summary(self.aircraft, self.aeroplane.mass());
        geometry
            .controls
            .iter()
            .find(|control| roles.contains(&control.role) && control.throw_max_rad > 0.0)
            .map(|control| (control.throw_max_rad, control.chord_m))
    }

    /// Linear models about all conditions.
    fn models(&self) -> Result<Vec<(Condition, LinearModel)>, AssessError> {
        let mut models = vec![(self.conditions.cruise, *self.linear)];
        for (condition, trim) in &self.conditions.others {
            let model = linearise(self.aeroplane, trim, &LinearOptions::default())?;
            models.push((*condition, model));
        }
        Ok(models)
    }

    fn responses(&self, duty: Duty, models: &[(Condition, LinearModel)]) -> Vec<ChannelResponse> {
        models
            .iter()
            .filter_map(|(condition, model)| {
                let to_stall = (condition.airspeed_m_s / self.stall.airspeed_m_s).powi(2) - 1.0;
                channel_response(
                    model,
                    duty,
                    *condition,
                    to_stall.max(0.0),
                    &self.question.pilot,
                    ACTUATION_DELAY_S,
                )
            })
            .collect()
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
                let d = self.derivatives;
                need(
                    Need::Crosswind,
                    CROSSWIND_SIDESLIP_RAD * d.by_beta.rolling_moment / d.by_aileron.rolling_moment,
                );
                if let Some(change) = self.between_powers(|trim| trim.controls.aileron_rad) {
                    need(Need::PropellerTorque, change);
                }
            }
            Duty::Yaw | Duty::BankByRudder => {
                let d = self.derivatives;
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
            let slowest = responses
                .iter()
                .min_by(|a, b| a.condition.airspeed_m_s.total_cmp(&b.condition.airspeed_m_s));
            demands.extend(slowest.and_then(|response| {
                bank_recovery(
                    response.bank_at_1_s_per_rad,
                    self.question.pilot.skill,
                    duty == Duty::BankByRudder,
                )
            }));
        }
        demands
    }

    /// Elevator from ordinary flight to the stall with the balance point at the
    /// front of its window.
    fn stall_trim(&self) -> f64 {
        let forward = (self.balance.balance_point_aft_m - self.balance.window_front_aft_m).max(0.0)
            / self.reference.chord_m;
        let nose_down = self.stall.lift_coefficient_max * forward;
        self.stall.elevator_rad + nose_down / self.stall.moment_per_elevator
            - self.conditions.cruise_trim.controls.elevator_rad
    }

    /// Elevator beyond the trimmed one in a level turn with 60 deg of bank at
    /// ordinary speed: twice the lift, and a pitch rate of g/V (n - 1/n).
    fn steep_turn(&self) -> f64 {
        let d = self.derivatives;
        let load_factor = 1.0 / STEEP_BANK_RAD.cos();
        let airspeed = self.conditions.cruise.airspeed_m_s;
        // No further than the stall lets it.
        let reached = (airspeed / self.stall.airspeed_m_s).powi(2).min(load_factor);
        let pitch_rate = GRAVITY_M_S2 / airspeed * (reached - 1.0 / reached);
        let non_dimensional = pitch_rate * self.reference.chord_m / (2.0 * airspeed);
        let alpha = d.at_reference.lift * (reached - 1.0) / d.by_alpha.lift;
        -(d.by_alpha.pitching_moment * alpha + d.by_pitch_rate.pitching_moment * non_dimensional)
            / d.by_elevator.pitching_moment
    }

    /// Change of a control's trimmed place between motor off and full power in
    /// slow flight.
    fn between_powers(&self, control: impl Fn(&Trim) -> f64) -> Option<f64> {
        let (off, full) = (self.conditions.slow(false)?, self.conditions.slow(true)?);
        Some(control(full) - control(off))
    }
}
