//! The answer of a linear model to a step of one control, exactly.
//!
//! The step is a fifth, constant state; one matrix exponential advances all
//! five by a hundredth of a second without error of method. Cheap enough to be
//! asked at every speed and throttle, where the nonlinear step is flown once.

use nalgebra::{Matrix4, Matrix5, Vector4, Vector5};

use crate::analysis::LinearModel;
use crate::math::exponential;

use super::transfer::TransferFunction;

/// Samples in a second of step response.
pub const SAMPLES_PER_S: usize = 100;
/// Longest step that is computed, s.
pub const STEP_S_MAX: f64 = 20.0;

/// States at each hundredth of a second after a unit step, the first at
/// 0.01 s; `None` where the model is not finite, or its answer overflows.
pub fn step_response(
    system: &Matrix4<f64>,
    input: &Vector4<f64>,
    duration_s: f64,
) -> Option<Vec<Vector4<f64>>> {
    let mut generator = Matrix5::zeros();
    generator.fixed_view_mut::<4, 4>(0, 0).copy_from(system);
    generator.fixed_view_mut::<4, 1>(0, 4).copy_from(input);
    if !(generator.iter().all(|x| x.is_finite()) && (0.0..=STEP_S_MAX).contains(&duration_s)) {
        return None;
    }
    let advance = exponential(&(generator / SAMPLES_PER_S as f64))?;
    let mut state = Vector5::new(0.0, 0.0, 0.0, 0.0, 1.0);
    let count = (duration_s * SAMPLES_PER_S as f64).round() as usize;
    let samples: Vec<Vector4<f64>> = (0..count)
        .map(|_| {
            state = advance * state;
            state.fixed_rows::<4>(0).into_owned()
        })
        .collect();
    state.iter().all(|x| x.is_finite()).then_some(samples)
}

/// The stick that moves a control.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Channel {
    /// Elevator, or the elevator part of a mix.
    Elevator,
    /// Aileron, or the aileron part of a mix.
    Aileron,
    /// Rudder, or the rudder part of a mix.
    Rudder,
}

/// Half of a linear model as one stick sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StickModel {
    /// `u w q theta` for the elevator, `v p r phi` for aileron and rudder.
    pub system: Matrix4<f64>,
    /// Per rad of deflection in the sense of the stick.
    pub input: Vector4<f64>,
}

impl StickModel {
    /// The half of `model` that `channel` moves.
    ///
    /// # Conventions
    /// ISO 1151 gives a positive deflection a negative moment; a stick is
    /// positive where it asks for a positive one, so the column changes sign.
    pub fn new(model: &LinearModel, channel: Channel) -> Self {
        let (half, column) = match channel {
            Channel::Elevator => (model.longitudinal(), 0),
            Channel::Aileron => (model.lateral(), 1),
            Channel::Rudder => (model.lateral(), 2),
        };
        Self { system: half.a, input: -half.b.column(column).into_owned() }
    }

    /// From deflection to what the pilot holds: pitch for the elevator; for
    /// aileron and rudder the roll rate summed over time, which is the bank in
    /// level flight and, unlike Euler's angle, still what is seen when the
    /// nose points steeply upwards.
    pub fn attitude_plant(&self, channel: Channel) -> TransferFunction {
        let plant = |state| {
            let output = Vector4::ith(state, 1.0);
            TransferFunction::from_state_space(&self.system, &self.input, &output)
        };
        match channel {
            Channel::Elevator => plant(3),
            Channel::Aileron | Channel::Rudder => {
                let roll_rate = plant(1);
                roll_rate.integrated().unwrap_or(roll_rate)
            }
        }
    }

    /// From deflection to the third state: pitch rate or yaw rate.
    pub fn third_rate_plant(&self) -> TransferFunction {
        let rate = Vector4::new(0.0, 0.0, 1.0, 0.0);
        TransferFunction::from_state_space(&self.system, &self.input, &rate)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::SMatrix;

    /// Roll of one degree of freedom: p = L/k (1 - exp(-k t)), and its bank.
    #[test]
    fn first_order_roll_in_closed_form() {
        let (acceleration, damping) = (130.0, 10.0);
        let mut system = Matrix4::zeros();
        system[(1, 1)] = -damping;
        system[(3, 1)] = 1.0;
        let input = Vector4::new(0.0, acceleration, 0.0, 0.0);
        let samples = step_response(&system, &input, 1.0).unwrap();
        for (i, state) in samples.iter().enumerate() {
            let t = (i + 1) as f64 / 100.0;
            let decay = (-damping * t).exp();
            let rate = acceleration / damping * (1.0 - decay);
            let bank = acceleration / damping * (t - (1.0 - decay) / damping);
            assert!((state[1] - rate).abs() < 1e-9 && (state[3] - bank).abs() < 1e-9);
        }
        assert_eq!(samples.len(), 100);
    }

    #[test]
    fn stick_and_surface_have_opposite_signs() {
        let mut b = SMatrix::<f64, 8, 5>::zeros();
        // Elevator down pitches down, right aileron down rolls left, rudder
        // left yaws left.
        b[(4, 0)] = -50.0;
        b[(3, 1)] = -80.0;
        b[(5, 2)] = -30.0;
        let model = LinearModel {
            a: SMatrix::zeros(),
            b,
            airspeed_m_s: 10.0,
            alpha_rad: 0.0,
            beta_rad: 0.0,
            pitch_rad: 0.0,
            bank_rad: 0.0,
        };
        assert_eq!(StickModel::new(&model, Channel::Elevator).input[2], 50.0);
        assert_eq!(StickModel::new(&model, Channel::Aileron).input[1], 80.0);
        assert_eq!(StickModel::new(&model, Channel::Rudder).input[2], 30.0);
    }

    #[test]
    fn what_is_not_finite_gives_nothing() {
        let system = Matrix4::from_element(f64::NAN);
        assert!(step_response(&system, &Vector4::zeros(), 1.0).is_none());
        let exploding = Matrix4::identity() * 1e6;
        assert!(step_response(&exploding, &Vector4::repeat(1.0), 1.0).is_none());
        assert!(step_response(&Matrix4::zeros(), &Vector4::zeros(), -1.0).is_none());
    }
}
