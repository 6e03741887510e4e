//! The whole way from a sound aircraft to the answer: balance, trim, motion,
//! response, throws.
//!
//! One function, [`assess`], walks it; the page, the report and the tests call
//! it. Every stage is a function of its own from one value to the next; here
//! they are only put in a row, and the conditions of flight are chosen.

mod air_lines;
mod balance;
mod conditions;
mod full_power;
mod full_stick;
mod geometry;
mod linkages;
mod manoeuvres;
mod performance;
mod power_study;
mod remedies;
mod stall;
mod stall_spread;
mod throws;
mod thrust_line;
pub mod uncertainty;
mod vary;
mod walk;

use serde::{Deserialize, Serialize};

use crate::aero::AeroOptions;
use crate::aero::device::CommandEdges;
use crate::aero::grid::GridOptions;
use crate::aircraft::{ControlRole, SoundAircraft};
use crate::analysis::{
    Channel, Derivatives, FlightPoint, Input, LinearModel, Modes, ReferenceSizes, ResponseError,
    ResponseMetrics, ResponseOptions, StepResponse, Trim, TrimError, find_modes, measure,
    quick_response,
};
use crate::atmosphere::{Atmosphere, AtmosphereError};
use crate::dynamics::{Aeroplane, AeroplaneError, MotionError};
use crate::handling::criteria::{Rating, Task, froude_number};
use crate::handling::mode_ratings::rate_modes;
use crate::handling::pilot::Pilot;
use crate::handling::rudder_bank::{RudderBank, RudderBankInputs, rate_rudder_bank};
use crate::mass::MassProperties;
use crate::math::EigenError;
use crate::throws::advice::{ThrowAdvice, recommend_throws};
use crate::throws::sensitivity::Duty;

use air_lines::air_lines;
use throws::Answers;
pub(crate) use throws::duties;

pub use air_lines::{AirLines, WashRing};
pub use balance::{Balance, balance};
pub use conditions::{Conditions, TrimSeries, trim_series};
pub use geometry::{ControlSummary, GeometrySummary, SurfaceSummary, geometry_summary};
pub use linkages::{FlutterCaution, LinkageLoad, LinkageReport, LoadCase, PresentChannel};
pub use manoeuvres::{Manoeuvre, ManoeuvreKind};
pub use performance::{ControlPower, Glide, Performance, UnitPerformance, performance};
pub use power_study::{
    NextPropeller, PowerStudy, StaticRun, ThrustCurve, ThrustPoint, TrimPoint, UnitStudy,
    power_study,
};
pub use remedies::{bank_by_dihedral, with_remedies};
pub use stall::{Stall, find_stall};
pub use stall_spread::{SpreadStep, StallSpread, StripPlace, spread_of_stall, strip_places};
pub use thrust_line::ThrustAngles;
pub use vary::{move_balance_point, scale_area, scale_mass};
pub use walk::Walk;

/// What is asked about an aircraft.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Question {
    /// Airspeed of ordinary flight, m/s; left out, half as fast again as the
    /// stall.
    pub airspeed_m_s: Option<f64>,
    /// Height of the field above the sea in the standard atmosphere, m.
    pub altitude_m: f64,
    /// For whom the throws are meant.
    pub pilot: Pilot,
}

/// Why a sound aircraft cannot be assessed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AssessError {
    /// Height out of range.
    #[error(transparent)]
    Atmosphere(#[from] AtmosphereError),
    /// Airspeed out of range.
    #[error("airspeed: is {value} m/s, allowed is {allowed}")]
    Airspeed {
        /// The airspeed asked for, m/s.
        value: f64,
        /// The range in words.
        allowed: String,
    },
    /// The aircraft cannot be put together.
    #[error(transparent)]
    Aeroplane(#[from] AeroplaneError),
    /// No angle of attack carries the weight.
    #[error("wing: gives no lift between {from_deg} and {to_deg} deg")]
    NoLift {
        /// Least angle tried, deg.
        from_deg: f64,
        /// Greatest angle tried, deg.
        to_deg: f64,
    },
    /// No steady flight.
    #[error("trim: {0}")]
    Trim(#[from] TrimError),
    /// The motion is not finite.
    #[error("motion: {0}")]
    Motion(#[from] MotionError),
    /// The response is not finite.
    #[error("response: {0}")]
    Response(#[from] ResponseError),
    /// The modes cannot be found.
    #[error("modes: {0}")]
    Eigen(#[from] EigenError),
}

/// A response with its single numbers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredResponse {
    /// The motion.
    pub response: StepResponse,
    /// What it comes to.
    pub metrics: ResponseMetrics,
}

/// A step whose motion grows beyond what can be computed, as it may where the
/// aircraft is unstable.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LostResponse {
    /// The control that moves.
    pub channel: Channel,
    /// When the motion is lost, s after the step.
    pub time_s: f64,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Assessment {
    /// The air.
    pub atmosphere: Atmosphere,
    /// Sizes.
    pub geometry: GeometrySummary,
    /// Mass, balance point, inertia.
    pub mass: MassProperties,
    /// Area, span and chord that coefficients refer to; moments are about the
    /// balance point.
    pub reference: ReferenceSizes,
    /// The slowest flight.
    pub stall: Stall,
    /// Where it balances and where it should.
    pub balance: Balance,
    /// Ordinary flight: level where there is power, else the glide.
    pub trim: Trim,
    /// Derivatives in ordinary flight, power as trimmed.
    pub derivatives: Derivatives,
    /// Derivatives at the same angle of attack with the motor off.
    pub derivatives_power_off: Derivatives,
    /// Small motions about ordinary flight.
    pub linear: LinearModel,
    /// Natural motions.
    pub modes: Modes,
    /// The modes held against published limits, scaled to the model's size.
    pub ratings: Vec<Rating>,
    /// Throws, rates and expo for every channel there is.
    pub throws: Vec<ThrowAdvice>,
    /// Answers to a step of each control by its low rate.
    pub responses: Vec<MeasuredResponse>,
    /// Steps that cannot be followed; those channels have no response.
    pub responses_lost: Vec<LostResponse>,
    /// What the throws that are set now do, where any are given.
    pub present: Vec<PresentChannel>,
    /// What the linkages do, where any are given.
    pub linkages: Vec<LinkageReport>,
    /// The bank that the rudder brings, where there are no ailerons.
    pub rudder_bank: Option<RudderBank>,
    /// Where the trailing edges go at positive commands.
    pub edges: CommandEdges,
    /// Thrust lines and slipstreams in ordinary flight, for the drawing.
    #[serde(skip)]
    pub air_lines: Vec<AirLines>,
}

/// Servo lag and dead time of the link that handling reckons with, s.
const ACTUATION_DELAY_S: f64 = 0.05;

/// Ordinary flight over stall speed where no airspeed is given. Common
/// practice: cruise is flown at 1.4 to 1.6 times the stall.
const CRUISE_OVER_STALL: f64 = 1.5;

/// Lift coefficient of the airspeed at which sections and wake are set up.
const SET_UP_LIFT_COEFFICIENT: f64 = 0.5;

/// Body angle of attack about which the wake swings, rad: a usual angle of
/// ordinary flight. The swing is linear, so the choice matters little.
const WAKE_ALPHA_RAD: f64 = 0.03;

/// Assesses an aircraft.
///
/// # Errors
/// [`AssessError`] names what stands in the way; a control or power that runs
/// out is not an error but part of the answer.
#[inline]
pub fn assess(aircraft: &SoundAircraft, question: &Question) -> Result<Assessment, AssessError> {
    let (begun, walk) = begin(aircraft, question)?;
    begun.with_throws(&walk)?.with_responses(&walk)
}

/// The first part of an assessment: sizes, balance, ordinary flight and its small
/// motions. [`Assessment::with_throws`] and then [`Assessment::with_responses`] add
/// the rest by the walk that comes along; until then its lists are empty.
///
/// # Errors
/// As for [`assess`].
pub fn begin(
    aircraft: &SoundAircraft,
    question: &Question,
) -> Result<(Assessment, Walk), AssessError> {
    let walk = Walk::new(aircraft, question, GridOptions::default())?;
    let Walk { aeroplane, reference, derivatives, linear, .. } = &walk;
    let trim = &walk.conditions.cruise_trim;
    let modes = find_modes(linear)?;
    let load_factor_per_rad =
        load_factor_per_rad(aeroplane, derivatives, &flight_point(trim), reference);
    let ratings = rate_modes(
        &modes,
        load_factor_per_rad,
        Task::Cruise,
        froude_number(aircraft.wing_size().span_m),
    );
    let begun = Assessment {
        atmosphere: walk.atmosphere,
        geometry: geometry_summary(aircraft, aeroplane.mass()),
        mass: *aeroplane.mass(),
        reference: *reference,
        stall: walk.stall,
        balance: walk.balance,
        trim: trim.clone(),
        derivatives: *derivatives,
        derivatives_power_off: walk.derivatives_power_off,
        linear: *linear,
        modes,
        ratings,
        throws: Vec::new(),
        responses: Vec::new(),
        responses_lost: Vec::new(),
        present: Vec::new(),
        linkages: Vec::new(),
        rudder_bank: None,
        edges: CommandEdges::of(&aeroplane.aero().grid().devices),
        air_lines: air_lines(aeroplane, trim, aircraft.rear_aft_m()),
    };
    Ok((begun, walk))
}

impl Assessment {
    /// The channels that there is advice for, and so an answer to a step.
    pub fn channels(&self) -> Vec<Channel> {
        self.throws.iter().map(|advice| full_stick::channel(advice.duty)).collect()
    }

    /// The advised throw on high rate of controls with a role, rad each way; of those
    /// that several sticks move, that of the first.
    #[inline]
    pub fn high_rate_rad(&self, role: ControlRole) -> Option<f64> {
        let moves = |advice: &&ThrowAdvice| {
            let duties = duties(advice.duty == Duty::Yaw);
            duties.iter().any(|(duty, roles)| *duty == advice.duty && roles.contains(&role))
        };
        self.throws.iter().find(moves).map(|advice| advice.high_rate_rad)
    }

    /// Adds the throws, and what those do that are set now; `walk` is that of
    /// [`begin`].
    ///
    /// # Errors
    /// As for [`assess`].
    #[inline]
    pub fn with_throws(mut self, walk: &Walk) -> Result<Self, AssessError> {
        let models = walk.models()?;
        let channels = throws::channels(walk, &models, Answers::Flown);
        // Nothing known of a channel leaves it without advice.
        let advice = |channel| recommend_throws(channel, &walk.question.pilot).ok();
        self.throws = channels.iter().filter_map(advice).collect();
        self.present = linkages::present(walk, &models, &channels, &self.throws);
        self.linkages = linkages::linkages(walk, &channels, &self.throws);
        Ok(self)
    }

    /// Adds the answers to the sticks, by the throws; `walk` is that of [`begin`].
    ///
    /// # Errors
    /// As for [`assess`]; a motion that is lost is part of the answer.
    pub fn with_responses(mut self, walk: &Walk) -> Result<Self, AssessError> {
        (self.responses, self.responses_lost) =
            responses(&walk.aeroplane, &self.trim, &self.linear, &self.throws)?;
        self.rudder_bank = rudder_bank(&self);
        Ok(self)
    }
}

/// The rating of the bank that the rudder brings on low rate; `None` where the
/// aircraft does not turn by it.
fn rudder_bank(assessment: &Assessment) -> Option<RudderBank> {
    let (throws, responses) = (&assessment.throws, &assessment.responses);
    let advice = throws.iter().find(|advice| advice.duty == Duty::BankByRudder)?;
    let flown = responses.iter().find(|one| one.response.channel == Channel::Rudder)?;
    rate_rudder_bank(&RudderBankInputs {
        bank_flown_rad: flown.metrics.bank_at_one_second_rad,
        ..RudderBankInputs::new(
            &assessment.linear,
            &assessment.derivatives,
            assessment.reference.span_m,
            advice.low_rate_rad,
            ACTUATION_DELAY_S,
        )
    })
}

/// The aeroplane of an aircraft, with sections and wake set up for ordinary
/// flight.
///
/// # Errors
/// As for [`assess`].
pub fn aeroplane(
    aircraft: &SoundAircraft,
    question: &Question,
    grid: GridOptions,
) -> Result<Aeroplane, AssessError> {
    let atmosphere = Atmosphere::standard(question.altitude_m)?;
    let mass = crate::mass::mass_properties(aircraft).map_err(AeroplaneError::Mass)?;
    // The wing itself, whatever its coefficients refer to.
    let area = aircraft.wing_size().area_m2;
    let usual = (2.0 * mass.mass_kg * crate::atmosphere::GRAVITY_M_S2
        / (atmosphere.density_kg_m3 * area * SET_UP_LIFT_COEFFICIENT))
        .sqrt();
    let airspeed_m_s = match question.airspeed_m_s {
        Some(value) => {
            let limits = crate::aircraft::limits::AIRSPEED;
            if !limits.contains(value) {
                return Err(AssessError::Airspeed { value, allowed: limits.in_words() });
            }
            value
        }
        None => usual,
    };
    let options = AeroOptions {
        grid,
        airspeed_m_s,
        kinematic_viscosity_m2_s: atmosphere.kinematic_viscosity_m2_s,
        wake_alpha_rad: WAKE_ALPHA_RAD,
    };
    Ok(Aeroplane::new(aircraft, options)?)
}

/// The sizes that coefficients refer to: those given, else the wing's.
pub fn reference_sizes(aircraft: &SoundAircraft) -> ReferenceSizes {
    match aircraft.reference {
        Some(given) => {
            ReferenceSizes { area_m2: given.area_m2, span_m: given.span_m, chord_m: given.chord_m }
        }
        None => {
            let wing = aircraft.wing_size();
            ReferenceSizes {
                area_m2: wing.area_m2,
                span_m: wing.span_m,
                chord_m: wing.mean_aerodynamic_chord_m,
            }
        }
    }
}

/// A trimmed state as a point about which derivatives are taken.
pub fn flight_point(trim: &Trim) -> FlightPoint {
    FlightPoint {
        airspeed_m_s: trim.airspeed_m_s,
        alpha_rad: trim.alpha_rad,
        beta_rad: trim.beta_rad,
        density_kg_m3: trim.air.density_kg_m3,
        kinematic_viscosity_m2_s: trim.air.kinematic_viscosity_m2_s,
        controls: trim.controls,
    }
}

/// Load factor per angle of attack, g per rad.
fn load_factor_per_rad(
    aeroplane: &Aeroplane,
    derivatives: &Derivatives,
    point: &FlightPoint,
    reference: &ReferenceSizes,
) -> f64 {
    let weight = aeroplane.mass().mass_kg * crate::atmosphere::GRAVITY_M_S2;
    derivatives.by_alpha.lift * point.dynamic_pressure_pa() * reference.area_m2 / weight
}

/// Steps of all controls, each by its low rate in the sense of the stick, and those
/// that cannot be followed: the rest of the answer does not hang on them.
fn responses(
    aeroplane: &Aeroplane,
    trim: &Trim,
    model: &LinearModel,
    throws: &[ThrowAdvice],
) -> Result<(Vec<MeasuredResponse>, Vec<LostResponse>), AssessError> {
    let (mut followed, mut lost) = (Vec::new(), Vec::new());
    for advice in throws {
        let channel = full_stick::channel(advice.duty);
        // The stick asks for a positive moment: a negative deflection.
        let input = Input::Deflection(-advice.low_rate_rad);
        let follow = |step_s: f64| {
            let options = ResponseOptions {
                duration_s: RESPONSE_DURATION_S,
                step_s,
                sample_s: RESPONSE_STEP_S,
                ..ResponseOptions::step(channel, input)
            };
            quick_response(aeroplane, trim, model, &options)
        };
        let mut outcome = follow(RESPONSE_STEP_S);
        for share in FINER_STEPS {
            // A motion that is lost may only be too quick for the usual step.
            if outcome.is_err() {
                outcome = follow(share * RESPONSE_STEP_S);
            }
        }
        match outcome {
            Ok(response) => {
                let metrics = measure(&response);
                followed.push(MeasuredResponse { response, metrics });
            }
            Err(ResponseError::Motion { time_s, .. }) => {
                lost.push(LostResponse { channel, time_s });
            }
            Err(other) => return Err(other.into()),
        }
    }
    Ok((followed, lost))
}

/// Length of the step responses, s.
const RESPONSE_DURATION_S: f64 = 1.6;

/// Step of the integration, s: the quick method is within 2 % of the peak rate
/// at this one, which its own tests hold.
const RESPONSE_STEP_S: f64 = 0.04;

/// Finer steps that are tried where the motion is lost, as shares of the usual one.
const FINER_STEPS: [f64; 2] = [0.25, 0.0625];
