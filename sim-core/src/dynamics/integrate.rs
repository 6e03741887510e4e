//! Integration of the motion over a span of time: our face on ode_solvers.
//!
//! # Method
//! Dormand and Prince's pair of order 5(4) with step control (ode_solvers), or
//! Runge-Kutta of order 4 at a fixed step. The clock starts at zero and samples
//! are counted beforehand, since the solver may not end otherwise; a rate that
//! is not finite stops the run with its cause, where the solver would shrink
//! its step to nothing.

use std::cell::Cell;

use ode_solvers::dop_shared::IntegrationError;
use ode_solvers::{Dopri5, OutputType, System};
use thiserror::Error;

use super::motion::MotionError;
use super::state::{FlightState, StateVector};
use super::step::step_runge_kutta;

/// Cap on samples of one run.
const SAMPLES_MAX: f64 = 1e6;
/// Cap on fixed steps of one run.
const FIXED_STEPS_MAX: f64 = 1e7;
/// How far the solver runs past the last sample, in samples.
const END_MARGIN: f64 = 1e-2;
/// Steps after which the solver looks for stiffness.
const STIFFNESS_INTERVAL: u32 = 1000;

/// How to step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Method {
    /// Dormand-Prince 5(4) with step control.
    DormandPrince {
        /// Error allowed per step, relative to each state.
        relative_tolerance: f64,
        /// Error allowed per step, in each state's own unit.
        absolute_tolerance: f64,
        /// Cap on steps.
        steps_max: u32,
    },
    /// Runge-Kutta of fourth order; the step is shortened so that a whole
    /// number of steps makes one sample.
    RungeKutta {
        /// Greatest step, s.
        step_s: f64,
    },
}

/// Span, sampling and method of one run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IntegrateOptions {
    /// Length of the run, s.
    pub duration_s: f64,
    /// Time between samples, s.
    pub sample_s: f64,
    /// How to step.
    pub method: Method,
}

impl IntegrateOptions {
    /// A run with step control at tolerances of 1e-9.
    pub fn precise(duration_s: f64, sample_s: f64) -> Self {
        let method = Method::DormandPrince {
            relative_tolerance: 1e-9,
            absolute_tolerance: 1e-9,
            steps_max: 100_000,
        };
        Self { duration_s, sample_s, method }
    }
}

/// A run, sampled.
#[derive(Debug, Clone, PartialEq)]
pub struct Trajectory {
    /// Times of the samples, s, from 0.
    pub time_s: Vec<f64>,
    /// States at these times.
    pub states: Vec<FlightState>,
    /// Evaluations of the rate.
    pub evaluations: u64,
    /// Steps that were repeated with a smaller step.
    pub rejected_steps: u64,
}

/// Why a run ended early.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum IntegrateError {
    /// Duration, sampling or step is not positive, or asks for too much.
    #[error("cannot run {duration_s} s sampled every {sample_s} s")]
    Options {
        /// Duration asked for, s.
        duration_s: f64,
        /// Sampling asked for, s.
        sample_s: f64,
    },
    /// The equations of motion have failed.
    #[error("at {time_s} s: {cause}")]
    Motion {
        /// Time, s.
        time_s: f64,
        /// What failed.
        cause: MotionError,
    },
    /// The cap on steps was reached.
    #[error("too many steps at {time_s} s")]
    TooManySteps {
        /// Time reached, s.
        time_s: f64,
    },
    /// The step shrank to nothing.
    #[error("the step has shrunk to nothing at {time_s} s")]
    StepTooSmall {
        /// Time reached, s.
        time_s: f64,
    },
    /// The equations are stiff there.
    #[error("the motion is stiff at {time_s} s")]
    Stiff {
        /// Time reached, s.
        time_s: f64,
    },
}

/// Integrates `rate` from `start` over the span of `options`.
///
/// # Errors
/// Options without meaning, a failure of `rate`, or a failure of the method.
pub fn integrate(
    rate: impl Fn(f64, &StateVector) -> Result<StateVector, MotionError>,
    start: &FlightState,
    options: &IntegrateOptions,
) -> Result<Trajectory, IntegrateError> {
    let IntegrateOptions { duration_s, sample_s, method } = *options;
    let wrong = IntegrateError::Options { duration_s, sample_s };
    let intervals = (duration_s / sample_s).round();
    let sound = is_positive(duration_s) && is_positive(sample_s);
    if !sound || !(1.0..=SAMPLES_MAX).contains(&intervals) {
        return Err(wrong);
    }
    let count = intervals as usize;
    match method {
        Method::RungeKutta { step_s } => {
            let per_sample = (sample_s / step_s).ceil();
            if !is_positive(step_s) || per_sample * intervals > FIXED_STEPS_MAX {
                return Err(wrong);
            }
            run_fixed(rate, start, count, sample_s, per_sample as usize)
        }
        Method::DormandPrince { relative_tolerance, absolute_tolerance, steps_max } => {
            if !(is_positive(relative_tolerance) && is_positive(absolute_tolerance)) {
                return Err(wrong);
            }
            let tolerances = (relative_tolerance, absolute_tolerance);
            run_adaptive(rate, start, count, sample_s, tolerances, steps_max)
        }
    }
}

fn is_positive(value: f64) -> bool {
    value.is_finite() && value > 0.0
}

fn run_adaptive(
    rate: impl Fn(f64, &StateVector) -> Result<StateVector, MotionError>,
    start: &FlightState,
    intervals: usize,
    sample_s: f64,
    (relative_tolerance, absolute_tolerance): (f64, f64),
    steps_max: u32,
) -> Result<Trajectory, IntegrateError> {
    // The solver runs a little past the last sample: ode_solvers 0.6.2 takes a
    // sample due at its very end as soon as the one before is written, and
    // extrapolates it from whatever step it is in.
    let span_s = (intervals as f64 + END_MARGIN) * sample_s;
    let guarded = Guarded { rate, failure: Cell::new(None) };
    // After the tolerances: safety factor, memory of the step control, least
    // and greatest change of step, greatest and first step, all as the solver
    // has them by default.
    let mut solver = Dopri5::from_param(
        &guarded,
        0.0,
        span_s,
        sample_s,
        start.to_vector(),
        relative_tolerance,
        absolute_tolerance,
        0.9,
        0.04,
        0.2,
        10.0,
        span_s,
        0.0,
        steps_max,
        STIFFNESS_INTERVAL,
        OutputType::Dense,
    );
    let outcome = solver.integrate();
    if let Some((time_s, cause)) = guarded.failure.get() {
        return Err(IntegrateError::Motion { time_s, cause });
    }
    let statistics = outcome.map_err(translate)?;
    let (times, vectors) = solver.results().get();
    Ok(Trajectory {
        time_s: times.iter().take(intervals + 1).copied().collect(),
        states: to_states(times, vectors.iter().take(intervals + 1))?,
        evaluations: u64::from(statistics.num_eval),
        rejected_steps: u64::from(statistics.rejected_steps),
    })
}

/// The solver's view of the rate: it cannot fail, so the first failure is kept
/// here, the rate is zero from then on, and the next step ends the run.
struct Guarded<R> {
    rate: R,
    failure: Cell<Option<(f64, MotionError)>>,
}

impl<R> System<f64, StateVector> for &Guarded<R>
where
    R: Fn(f64, &StateVector) -> Result<StateVector, MotionError>,
{
    fn system(&self, time_s: f64, state: &StateVector, rate: &mut StateVector) {
        *rate = StateVector::zeros();
        if self.failure.get().is_some() {
            return;
        }
        match (self.rate)(time_s, state) {
            Ok(found) => *rate = found,
            Err(cause) => self.failure.set(Some((time_s, cause))),
        }
    }

    fn solout(&mut self, _: f64, _: &StateVector, _: &StateVector) -> bool {
        self.failure.get().is_some()
    }
}

fn run_fixed(
    rate: impl Fn(f64, &StateVector) -> Result<StateVector, MotionError>,
    start: &FlightState,
    intervals: usize,
    sample_s: f64,
    per_sample: usize,
) -> Result<Trajectory, IntegrateError> {
    let step_s = sample_s / per_sample as f64;
    let mut vector = start.to_vector();
    let mut times = vec![0.0];
    let mut vectors = vec![vector];
    for interval in 0..intervals {
        for step in 0..per_sample {
            let time_s = (interval * per_sample + step) as f64 * step_s;
            vector = step_runge_kutta(&rate, time_s, &vector, step_s)
                .map_err(|cause| IntegrateError::Motion { time_s, cause })?;
        }
        times.push((interval + 1) as f64 * sample_s);
        vectors.push(vector);
    }
    Ok(Trajectory {
        states: to_states(&times, vectors.iter())?,
        time_s: times,
        evaluations: 4 * (intervals * per_sample) as u64,
        rejected_steps: 0,
    })
}

fn to_states<'a>(
    times: &[f64],
    vectors: impl Iterator<Item = &'a StateVector>,
) -> Result<Vec<FlightState>, IntegrateError> {
    let convert = |(vector, &time_s): (&StateVector, &f64)| {
        FlightState::from_vector(vector).ok_or(IntegrateError::Motion {
            time_s,
            cause: MotionError::NotFinite(super::motion::Part::State),
        })
    };
    vectors.zip(times).map(convert).collect()
}

fn translate(error: IntegrationError) -> IntegrateError {
    match error {
        IntegrationError::MaxNumStepReached { x, .. } => IntegrateError::TooManySteps { time_s: x },
        IntegrationError::StepSizeUnderflow { x } => IntegrateError::StepTooSmall { time_s: x },
        IntegrationError::StiffnessDetected { x } => IntegrateError::Stiff { time_s: x },
    }
}

#[cfg(test)]
mod tests {
    use nalgebra::{UnitQuaternion, Vector3};

    use super::*;

    fn start() -> FlightState {
        FlightState {
            position_ned: Vector3::zeros(),
            velocity_body: Vector3::zeros(),
            attitude: UnitQuaternion::identity(),
            rates_body: Vector3::zeros(),
        }
    }

    /// Evaluations are told as they were made; in fixed steps four for each, a whole
    /// number of them for every sample.
    #[test]
    fn evaluations_are_counted() {
        let calls = Cell::new(0u64);
        let rate = |_: f64, _: &StateVector| {
            calls.set(calls.get() + 1);
            Ok(StateVector::zeros())
        };
        let method = Method::RungeKutta { step_s: 0.04 };
        let options = IntegrateOptions { duration_s: 0.5, sample_s: 0.1, method };
        let run = integrate(rate, &start(), &options).unwrap();
        assert_eq!((run.evaluations, calls.get()), (60, 60));
        calls.set(0);
        let run = integrate(rate, &start(), &IntegrateOptions::precise(0.5, 0.1)).unwrap();
        assert_eq!(run.evaluations, calls.get());
    }

    /// More than ten million fixed steps are refused, beforehand.
    #[test]
    fn endless_runs_are_refused() {
        let rate =
            |_: f64, _: &StateVector| Err(MotionError::NotFinite(crate::dynamics::Part::Air));
        let run = |step_s: f64| {
            let method = Method::RungeKutta { step_s };
            let options = IntegrateOptions { duration_s: 1e6, sample_s: 1.0, method };
            integrate(rate, &start(), &options).unwrap_err()
        };
        assert!(matches!(run(0.0999), IntegrateError::Options { .. }));
        assert!(matches!(run(0.1001), IntegrateError::Motion { .. }));
    }
}
