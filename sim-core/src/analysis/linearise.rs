//! Small motions about a trimmed state as a linear model.

use nalgebra::{Matrix4, SMatrix};
use serde::Serialize;

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

    fn select(&self, states: [usize; 4]) -> SubModel {
        SubModel {
            a: Matrix4::from_fn(|row, column| self.a[(states[row], states[column])]),
            b: SMatrix::from_fn(|row, column| self.b[(states[row], column)]),
        }
    }
}
