//! What the aircraft does when a stick moves: step, doublet, chirp.
//!
//! # Method
//! From the trimmed state the full equations of motion are stepped by the
//! Runge-Kutta method of fourth order, the servos by their exact solution at
//! the method's own times. [`linear_response`] does the same with a
//! [`LinearModel`], so that the two can be laid over each other.
//!
//! # Limits
//! Still air far from the ground. Other controls stay as trimmed. The step must
//! resolve the fastest root: 20 ms up to about 100 1/s.

mod guided;
mod metrics;
mod run;

use serde::Serialize;
use thiserror::Error;

pub use metrics::{ResponseMetrics, measure};

use super::linearise::LinearModel;
use super::trim::Trim;
use crate::dynamics::{Actuators, Airframe, Motion, MotionError, StickCurve};

/// The control that moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Channel {
    /// Elevator.
    Elevator,
    /// Aileron.
    Aileron,
    /// Rudder.
    Rudder,
    /// Flap.
    Flap,
    /// Throttle.
    Throttle,
}

/// How far the control moves from its trimmed place at the full input.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Input {
    /// The command changes by this much: rad, or a fraction of full throttle.
    Deflection(f64),
    /// The stick moves to this place, -1 to 1, from its centre; the curve makes
    /// a deflection of it.
    Stick {
        /// Stick, -1 to 1; positive asks for a positive moment.
        stick: f64,
        /// Throw, rate and expo.
        curve: StickCurve,
    },
}

/// The course of the input in time, from 0 to its full size.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// At once, and held.
    Step,
    /// Held for a time, then taken back.
    Pulse {
        /// Time held, s.
        hold_s: f64,
    },
    /// One way for a time, then as long the other way, then back.
    Doublet {
        /// Time held each way, s.
        half_s: f64,
    },
    /// A sine whose frequency rises steadily over the rest of the response.
    Chirp {
        /// Frequency at the start, rad/s.
        from_rad_s: f64,
        /// Frequency at the end, rad/s.
        to_rad_s: f64,
    },
}

impl Shape {
    /// The input at a time since its start, -1 to 1.
    fn value(&self, since_s: f64, length_s: f64) -> f64 {
        if since_s < 0.0 {
            return 0.0;
        }
        match *self {
            Self::Step => 1.0,
            Self::Pulse { hold_s } => f64::from(u8::from(since_s < hold_s)),
            Self::Doublet { half_s } if since_s < half_s => 1.0,
            Self::Doublet { half_s } if since_s < 2.0 * half_s => -1.0,
            Self::Doublet { .. } => 0.0,
            Self::Chirp { from_rad_s, to_rad_s } => {
                let sweep = 0.5 * (to_rad_s - from_rad_s) / length_s;
                ((from_rad_s + sweep * since_s) * since_s).sin()
            }
        }
    }
}

/// What moves, how, and how finely it is followed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ResponseOptions {
    /// The control that moves.
    pub channel: Channel,
    /// How far.
    pub input: Input,
    /// In what course.
    pub shape: Shape,
    /// Steady flight before the input starts, s.
    pub start_s: f64,
    /// Length of the whole response, s.
    pub duration_s: f64,
    /// Time between samples, s.
    pub sample_s: f64,
    /// Greatest step, s; shortened so that a whole number makes one sample.
    pub step_s: f64,
    /// The servos.
    pub actuators: Actuators,
}

impl ResponseOptions {
    /// A step of the control by `input` at time zero, followed for two seconds
    /// with small servos: 400 load evaluations.
    pub fn step(channel: Channel, input: Input) -> Self {
        Self {
            channel,
            input,
            shape: Shape::Step,
            start_s: 0.0,
            duration_s: 2.0,
            sample_s: 0.02,
            step_s: 0.02,
            actuators: Actuators::SMALL,
        }
    }
}

/// The motion after an input, sampled.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepResponse {
    /// The control that moves.
    pub channel: Channel,
    /// Times, s, from 0.
    pub time_s: Vec<f64>,
    /// The moving control, change from its trimmed place: rad or fraction.
    pub deflection: Vec<f64>,
    /// Airspeed, m/s.
    pub airspeed_m_s: Vec<f64>,
    /// Angle of attack, rad.
    pub alpha_rad: Vec<f64>,
    /// Sideslip, rad.
    pub beta_rad: Vec<f64>,
    /// Roll rate, rad/s.
    pub roll_rate_rad_s: Vec<f64>,
    /// Pitch rate, rad/s.
    pub pitch_rate_rad_s: Vec<f64>,
    /// Yaw rate, rad/s.
    pub yaw_rate_rad_s: Vec<f64>,
    /// Bank, rad; goes on beyond half a turn.
    pub bank_rad: Vec<f64>,
    /// Pitch attitude, rad.
    pub pitch_rad: Vec<f64>,
    /// Heading, rad, from 0; goes on beyond half a turn.
    pub heading_rad: Vec<f64>,
    /// Load factor along -z of the body, in weights.
    pub load_factor: Vec<f64>,
    /// Load factor along y of the body, in weights.
    pub side_load_factor: Vec<f64>,
    /// Height gained since the start, m.
    pub height_change_m: Vec<f64>,
    /// Size of the input: stick, or change of command where no stick is given.
    pub input: f64,
    /// Whether `input` is a stick, -1 to 1.
    pub input_is_stick: bool,
    /// Time at which the input starts, s.
    pub start_s: f64,
    /// Load evaluations used.
    pub load_calls: usize,
}

/// Why there is no response.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ResponseError {
    /// A number of the options has no meaning; its name is given.
    #[error("{quantity} is {value}")]
    Options {
        /// Which number.
        quantity: &'static str,
        /// Its value.
        value: f64,
    },
    /// The equations of motion have failed.
    #[error("at {time_s} s: {cause}")]
    Motion {
        /// Time, s.
        time_s: f64,
        /// What failed.
        cause: MotionError,
    },
}

/// The motion of `airframe` from `trim` after an input.
///
/// # Errors
/// Options without meaning, or equations that give no finite motion.
pub fn step_response<A: Airframe + ?Sized>(
    airframe: &A,
    trim: &Trim,
    options: &ResponseOptions,
) -> Result<StepResponse, ResponseError> {
    let motion = Motion::new(airframe, trim.air.density_kg_m3)
        .map_err(|cause| ResponseError::Motion { time_s: 0.0, cause })?;
    run::respond(run::Classic::new(run::FullMotion { motion, trim }), trim, options)
}

/// The motion of `airframe` from `trim` after an input, with one load
/// evaluation per step: the `model` of the same trim steps its own part of the
/// motion exactly, only what the loads differ from it is extrapolated.
///
/// # Limits
/// Of second order in the step where the motion is not linear: on foam models
/// at half their throw the rate about the moved axis was within 0.5 % of its
/// peak with steps of 20 ms, within 2 % with 40 ms. Where the aircraft stalls,
/// [`step_response`] judges.
///
/// # Errors
/// Options without meaning, or equations that give no finite motion.
pub fn quick_response<A: Airframe + ?Sized>(
    airframe: &A,
    trim: &Trim,
    model: &LinearModel,
    options: &ResponseOptions,
) -> Result<StepResponse, ResponseError> {
    let failed = |cause| ResponseError::Motion { time_s: 0.0, cause };
    let motion = Motion::new(airframe, trim.air.density_kg_m3).map_err(failed)?;
    run::respond(guided::Guided::new(motion, trim, model), trim, options)
}

/// The motion that the linear model gives for the same input.
///
/// # Errors
/// Options without meaning, or a motion that grows beyond all numbers.
pub fn linear_response(
    model: &LinearModel,
    trim: &Trim,
    options: &ResponseOptions,
) -> Result<StepResponse, ResponseError> {
    run::respond(run::Classic::new(run::SmallMotion { model, trim }), trim, options)
}

#[cfg(test)]
mod tests {
    use super::Shape;

    /// A chirp's frequency is the slope of its phase: from the one to the other.
    #[test]
    fn a_chirp_runs_from_one_frequency_to_the_other() {
        let (from_rad_s, to_rad_s, length_s) = (3.0, 9.0, 4.0);
        let chirp = Shape::Chirp { from_rad_s, to_rad_s };
        for tenths in 0..=40 {
            let time_s = 0.1 * f64::from(tenths);
            // The integral of the frequency, which rises linearly.
            let rate = (to_rad_s - from_rad_s) / length_s;
            let phase = from_rad_s * time_s + rate * time_s * time_s / 2.0;
            assert!((chirp.value(time_s, length_s) - phase.sin()).abs() < 1e-12, "{time_s}");
        }
    }

    #[test]
    fn pulse_and_doublet_come_back() {
        let course = |shape: Shape| [-0.1, 0.0, 0.4, 0.6, 1.1].map(|time| shape.value(time, 2.0));
        assert_eq!(course(Shape::Step), [0.0, 1.0, 1.0, 1.0, 1.0]);
        assert_eq!(course(Shape::Pulse { hold_s: 0.5 }), [0.0, 1.0, 1.0, 0.0, 0.0]);
        assert_eq!(course(Shape::Doublet { half_s: 0.5 }), [0.0, 1.0, 1.0, -1.0, 0.0]);
    }
}
