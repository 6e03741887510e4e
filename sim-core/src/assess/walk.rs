//! The stages that every answer needs, in a row: aeroplane, stall, conditions
//! of flight, derivatives, balance, small motions.
//!
//! The assessment, the remedies, the uncertainty and the card all start from
//! this, so that none computes anything of its own.

use std::sync::Arc;

use super::balance::{Balance, balance};
use super::conditions::{Conditions, control_limits};
use super::stall::{Stall, find_stall};
use super::{AssessError, Question, aeroplane, flight_point, reference_sizes};
use crate::aero::grid::GridOptions;
use crate::aircraft::SoundAircraft;
use crate::analysis::{
    Derivatives, LinearModel, LinearOptions, ReferenceSizes, derivatives, linearise,
};
use crate::atmosphere::Atmosphere;
use crate::dynamics::{Aeroplane, Air};
use crate::throws::sensitivity::Condition;

/// An aircraft walked through up to its small motions.
#[derive(Debug, Clone)]
pub struct Walk {
    // Behind a pointer, since code that takes an aircraft down is long.
    pub(super) aircraft: Arc<SoundAircraft>,
    pub(super) question: Question,
    pub(super) atmosphere: Atmosphere,
    pub(super) reference: ReferenceSizes,
    pub(super) aeroplane: Aeroplane,
    pub(super) stall: Stall,
    pub(super) conditions: Conditions,
    pub(super) derivatives: Derivatives,
    pub(super) derivatives_power_off: Derivatives,
    pub(super) balance: Balance,
    pub(super) linear: LinearModel,
}

impl Walk {
    /// Walks an aircraft.
    ///
    /// # Errors
    /// As for [`super::assess`].
    pub(super) fn new(
        aircraft: &SoundAircraft,
        question: &Question,
        grid: GridOptions,
    ) -> Result<Self, AssessError> {
        let atmosphere = Atmosphere::standard(question.altitude_m)?;
        let reference = reference_sizes(aircraft);
        let mut aeroplane = aeroplane(aircraft, question, grid)?;
        let elevator_max_rad = control_limits(aircraft).elevator_rad.1;
        let stall = find_stall(&aeroplane, &reference, &atmosphere, elevator_max_rad)?;
        let air = Air::still(&atmosphere);
        let conditions = Conditions::new(aircraft, &aeroplane, question, &stall, air)?;
        let point = flight_point(&conditions.cruise_trim);
        let derivatives_on = derivatives(&aeroplane, &point, &reference);
        let mut idle = point;
        idle.controls.throttle = 0.0;
        aeroplane.hold_windmills(Some(&idle.air()));
        let derivatives_power_off = derivatives(&aeroplane, &idle, &reference);
        aeroplane.hold_windmills(None);
        let balance = balance(
            &aeroplane,
            aircraft,
            &reference,
            &derivatives_on,
            &derivatives_power_off,
            &stall,
        );
        let linear = linearise(&aeroplane, &conditions.cruise_trim, &LinearOptions::default())?;
        Ok(Self {
            aircraft: Arc::new(aircraft.clone()),
            question: *question,
            atmosphere,
            reference,
            aeroplane,
            stall,
            conditions,
            derivatives: derivatives_on,
            derivatives_power_off,
            balance,
            linear,
        })
    }

    /// Linear models about all conditions, ordinary flight first.
    ///
    /// # Errors
    /// Where a motion is not finite.
    pub(super) fn models(&self) -> Result<Vec<(Condition, LinearModel)>, AssessError> {
        let mut models = vec![(self.conditions.cruise, self.linear)];
        for (condition, trim) in &self.conditions.others {
            let model = linearise(&self.aeroplane, trim, &LinearOptions::default())?;
            models.push((*condition, model));
        }
        Ok(models)
    }
}
