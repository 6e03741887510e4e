//! Small motions about a trimmed state as a linear model.
//!
//! # Method
//! Central differences of the very accelerations that fly the aircraft; only
//! the six velocities and the controls need the loads anew, bank and pitch act
//! through the weight and the kinematics alone (Stevens, Lewis and Johnson
//! 2016, section 3.7; from memory). 22 load evaluations.
//!
//! # Limits
//! Steps are as large as a light gust, so that the model describes what the
//! pilot feels: at a bend in the lift curve it is a mean over the bend.

use nalgebra::{Matrix4, SMatrix, SVector, Vector3};
use serde::Serialize;

use super::trim::Trim;
use crate::dynamics::{Air, Airframe, Controls, FlightState, Motion, MotionError, Wrench};
use crate::frames::{Euler, body_from_stability};

/// Steps of the central differences.
///
/// The error of a central difference is the square of the step times a third
/// derivative, plus the noise of the loads over the step. The loads are
/// converged to about 1e-9, so any step from 1e-3 to 1e-2 of the scale on which
/// the loads bend (some 0.2 rad of flow angle) has errors below 1e-3.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LinearOptions {
    /// Change of flow angle, rad: velocities change by this times airspeed.
    pub flow_angle_step_rad: f64,
    /// Change of flow angle at the radius of gyration from a body rate, rad.
    pub rate_step_rad: f64,
    /// Change of deflection, rad.
    pub deflection_step_rad: f64,
    /// Change of throttle.
    pub throttle_step: f64,
}

impl Default for LinearOptions {
    fn default() -> Self {
        Self {
            flow_angle_step_rad: 5e-3,
            rate_step_rad: 2e-3,
            deflection_step_rad: 1e-2,
            throttle_step: 2e-2,
        }
    }
}

/// Small motions about a trimmed state, `x' = A x + B c`.
///
/// # Conventions
/// States in body axes, in this order: `u v w` (m/s), `p q r` (rad/s), bank
/// `phi` and pitch `theta` (rad); all as differences from the trimmed values.
/// Controls in this order: elevator, aileron, rudder, flap (rad), throttle
/// (fraction of full).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LinearModel {
    /// Rates of change per state.
    pub a: SMatrix<f64, 8, 8>,
    /// Rates of change per control.
    pub b: SMatrix<f64, 8, 5>,
    /// Airspeed of the trimmed state, m/s.
    pub airspeed_m_s: f64,
    /// Angle of attack of the trimmed state, rad.
    pub alpha_rad: f64,
    /// Sideslip of the trimmed state, rad.
    pub beta_rad: f64,
    /// Pitch attitude of the trimmed state, rad.
    pub pitch_rad: f64,
    /// Bank of the trimmed state, rad.
    pub bank_rad: f64,
}

/// Four states of a [`LinearModel`] by themselves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SubModel {
    /// Rates of change per state.
    pub a: Matrix4<f64>,
    /// Rates of change per control, all five in the model's order.
    pub b: SMatrix<f64, 4, 5>,
}

impl LinearModel {
    /// The longitudinal states `u w q theta` by themselves.
    pub fn longitudinal(&self) -> SubModel {
        self.select([0, 2, 4, 7])
    }

    /// The lateral states `v p r phi` by themselves.
    pub fn lateral(&self) -> SubModel {
        self.select([1, 3, 5, 6])
    }

    /// The same model with `u v w p q r` in stability axes: `u` along the
    /// flight path, `w` across it, so that `w` over airspeed is the change of
    /// angle of attack.
    pub fn in_stability_axes(&self) -> Self {
        let stability_from_body = body_from_stability(self.alpha_rad).inverse();
        let mut turn = SMatrix::<f64, 8, 8>::identity();
        for corner in [0, 3] {
            turn.fixed_view_mut::<3, 3>(corner, corner).copy_from(stability_from_body.matrix());
        }
        Self { a: turn * self.a * turn.transpose(), b: turn * self.b, ..*self }
    }

    fn select(&self, states: [usize; 4]) -> SubModel {
        SubModel {
            a: Matrix4::from_fn(|row, column| self.a[(states[row], states[column])]),
            b: SMatrix::from_fn(|row, column| self.b[(states[row], column)]),
        }
    }
}

/// The linear model about `trim`.
///
/// # Errors
/// Mass or inertia without meaning, or loads that are not finite.
pub fn linearise<A: Airframe + ?Sized>(
    airframe: &A,
    trim: &Trim,
    options: &LinearOptions,
) -> Result<LinearModel, MotionError> {
    let motion = Motion::new(airframe, trim.air.density_kg_m3)?;
    let about = Disturbance { motion, trim, air: trim.air };
    let mut a = SMatrix::<f64, 8, 8>::zeros();
    for (column, step) in about.state_steps(options).into_iter().enumerate() {
        let rate = |sign: f64| about.rate_with_state(column, sign * step);
        a.set_column(column, &((rate(1.0)? - rate(-1.0)?) / (2.0 * step)));
    }
    let mut b = SMatrix::<f64, 8, 5>::zeros();
    for column in 0..4 {
        let step = options.deflection_step_rad;
        let rate = |sign: f64| about.rate_with_control(column, sign * step);
        b.set_column(column, &((rate(1.0)? - rate(-1.0)?) / (2.0 * step)));
    }
    b.set_column(4, &about.throttle_slope(options.throttle_step)?);
    Ok(LinearModel {
        a,
        b,
        airspeed_m_s: trim.airspeed_m_s,
        alpha_rad: trim.alpha_rad,
        beta_rad: trim.beta_rad,
        pitch_rad: trim.pitch_rad,
        bank_rad: trim.bank_rad,
    })
}

/// The trimmed state and what it takes to disturb it.
struct Disturbance<'a, A: Airframe + ?Sized> {
    motion: Motion<'a, A>,
    trim: &'a Trim,
    air: Air,
}

type Rates = Result<SVector<f64, 8>, MotionError>;

impl<A: Airframe + ?Sized> Disturbance<'_, A> {
    fn state_steps(&self, options: &LinearOptions) -> [f64; 8] {
        let airspeed = self.trim.airspeed_m_s;
        let velocity = options.flow_angle_step_rad * airspeed;
        let inertia = self.motion.inertia_body();
        let rate = |axis: usize| {
            let gyration_m = (inertia[(axis, axis)] / self.motion.mass_kg()).sqrt();
            options.rate_step_rad * airspeed / gyration_m
        };
        let angle = options.flow_angle_step_rad;
        [velocity, velocity, velocity, rate(0), rate(1), rate(2), angle, angle]
    }

    fn rate_with_state(&self, index: usize, change: f64) -> Rates {
        let mut state = self.trim.state();
        let mut euler = self.trim.euler();
        match index {
            0..3 => state.velocity_body[index] += change,
            3..6 => state.rates_body[index - 3] += change,
            6 => euler.bank_rad += change,
            _ => euler.pitch_rad += change,
        }
        state.attitude = euler.ned_from_body();
        let loads = if index < 6 {
            self.motion.loads(&state, &self.trim.controls, &self.air)?
        } else {
            self.trim.loads
        };
        self.rates(&state, &euler, &loads)
    }

    fn rate_with_control(&self, index: usize, change: f64) -> Rates {
        let mut controls = self.trim.controls.to_array();
        controls[index] += change;
        let state = self.trim.state();
        let loads = self.motion.loads(&state, &Controls::from_array(controls), &self.air)?;
        self.rates(&state, &self.trim.euler(), &loads)
    }

    /// Slope with throttle: one-sided of second order near the ends, where a
    /// central difference would reach beyond what the motor knows.
    fn throttle_slope(&self, step: f64) -> Rates {
        let throttle = self.trim.controls.throttle;
        if throttle - step >= 0.0 && throttle + step <= 1.0 {
            let (more, less) =
                (self.rate_with_control(4, step)?, self.rate_with_control(4, -step)?);
            return Ok((more - less) / (2.0 * step));
        }
        let inward = if throttle < 0.5 { step } else { -step };
        let here = self.rates(&self.trim.state(), &self.trim.euler(), &self.trim.loads)?;
        let (one, two) =
            (self.rate_with_control(4, inward)?, self.rate_with_control(4, 2.0 * inward)?);
        Ok((4.0 * one - two - 3.0 * here) / (2.0 * inward))
    }

    fn rates(&self, state: &FlightState, euler: &Euler, loads: &Wrench) -> Rates {
        let acceleration = self.motion.acceleration(state, loads, &self.air)?;
        let turning: Vector3<f64> = euler.rates(&state.rates_body);
        let mut rates = SVector::<f64, 8>::zeros();
        rates.fixed_rows_mut::<3>(0).copy_from(&acceleration.velocity_body_rate);
        rates.fixed_rows_mut::<3>(3).copy_from(&acceleration.rates_body_rate);
        rates[6] = turning.x;
        rates[7] = turning.y;
        Ok(rates)
    }
}
