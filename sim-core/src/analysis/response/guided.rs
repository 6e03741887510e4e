//! The course with one load evaluation per step.
//!
//! # Method
//! Velocities and body rates follow `x' = L x + B c + rest`, with `L` and `B`
//! of the linear model, and the rest taken from the full equations and
//! extrapolated: exponential Adams-Bashforth method of second order (S. P.
//! Norsett 1969; Hochbruck and Ostermann 2010, section 2.5; from memory). Three
//! more states, the angles swept within the step, turn the aircraft under its
//! weight. All roots are so stepped exactly whatever the step; the controls run
//! as parabolas through their places at its start, middle and end.

use nalgebra::{Matrix3, SMatrix, SVector, UnitQuaternion, Vector3};

use super::run::Course;
use crate::analysis::linearise::LinearModel;
use crate::analysis::trim::Trim;
use crate::atmosphere::GRAVITY_M_S2;
use crate::dynamics::{Airframe, Controls, FlightState, Motion, MotionError, Part};
use crate::frames::Euler;
use crate::math::{PHI_COUNT, phi_functions};

/// Changes of velocity and body rates.
type Velocities = SVector<f64, 6>;
/// The same with the angles swept since the step began.
type Stepped = SVector<f64, 9>;

/// A motion guided by its linear model.
pub(super) struct Guided<'a, A: Airframe + ?Sized> {
    motion: Motion<'a, A>,
    trim: &'a Trim,
    /// Of velocities, body rates and angles swept.
    system: SMatrix<f64, 9, 9>,
    input: SMatrix<f64, 6, 5>,
    /// The step and its functions, once that is known.
    step: Option<(f64, [SMatrix<f64, 9, 9>; PHI_COUNT])>,
    flight: FlightState,
    /// The rest at the end of the last step, were it to grow no further than
    /// the model knows.
    rest_expected: Option<Velocities>,
    load_calls: usize,
}

impl<'a, A: Airframe + ?Sized> Guided<'a, A> {
    pub(super) fn new(motion: Motion<'a, A>, trim: &'a Trim, model: &LinearModel) -> Self {
        let mut system = SMatrix::<f64, 9, 9>::zeros();
        system.fixed_view_mut::<6, 6>(0, 0).copy_from(&model.a.fixed_view::<6, 6>(0, 0));
        system.fixed_view_mut::<3, 3>(6, 3).copy_from(&Matrix3::identity());
        // Turning by a small angle changes the downward direction, seen from
        // the body, by down x angle.
        let weight_n = motion.mass_kg() * GRAVITY_M_S2;
        let turning = trim.euler().down_body().cross_matrix() * weight_n;
        for (axis, column) in turning.column_iter().enumerate() {
            let felt = motion.response_to_force(&column.into_owned());
            system.fixed_view_mut::<6, 1>(0, 6 + axis).copy_from(&felt);
        }
        Self {
            motion,
            trim,
            system,
            input: model.b.fixed_view::<6, 5>(0, 0).into_owned(),
            step: None,
            flight: trim.state(),
            rest_expected: None,
            load_calls: 0,
        }
    }

    /// The functions of the step, found anew only where the step changes.
    fn functions(&mut self, step_s: f64) -> Result<[SMatrix<f64, 9, 9>; PHI_COUNT], MotionError> {
        if let Some((known_s, phi)) = self.step
            && known_s == step_s
        {
            return Ok(phi);
        }
        let phi = phi_functions(&(self.system * step_s))
            .ok_or(MotionError::NotFinite(Part::Acceleration))?;
        self.step = Some((step_s, phi));
        Ok(phi)
    }

    /// Rate of change of velocity and body rates, and what is felt.
    fn rate(&mut self, controls: &Controls) -> Result<(Velocities, Vector3<f64>), MotionError> {
        self.load_calls += 1;
        let air = &self.trim.air;
        let loads = self.motion.loads(&self.flight, controls, air)?;
        let acceleration = self.motion.acceleration(&self.flight, &loads, air)?;
        let rate = stack(&acceleration.velocity_body_rate, &acceleration.rates_body_rate);
        Ok((rate, acceleration.felt_body))
    }

    /// Velocities and rates as differences from the trim.
    fn disturbance(&self) -> Velocities {
        let steady = self.trim.state();
        stack(
            &(self.flight.velocity_body - steady.velocity_body),
            &(self.flight.rates_body - steady.rates_body),
        )
    }

    fn control_change(&self, controls: &Controls) -> SVector<f64, 5> {
        let (now, trimmed) = (controls.to_array(), self.trim.controls.to_array());
        SVector::from_fn(|index, _| now[index] - trimmed[index])
    }
}

impl<A: Airframe + ?Sized> Course for Guided<'_, A> {
    fn step(&mut self, controls: &[Controls; 3], step_s: f64) -> Result<Vector3<f64>, MotionError> {
        let phi = self.functions(step_s)?;
        let (rate, felt_body) = self.rate(&controls[0])?;
        let [before, middle, after] = controls.map(|controls| self.control_change(&controls));
        let disturbance = self.disturbance();
        let linear = self.system.fixed_view::<6, 6>(0, 0) * disturbance + self.input * before;
        let rest = rate - linear;
        let growth = rest - self.rest_expected.unwrap_or(rest);
        // The forcing over the step as a parabola in time over step.
        let constant = widen(&(rest + self.input * before));
        let slope = widen(&(growth + self.input * (4.0 * middle - 3.0 * before - after)));
        let bend = widen(&(self.input * (2.0 * (before - 2.0 * middle + after))));
        let start = widen(&disturbance);
        let next =
            phi[0] * start + step_s * (phi[1] * constant + phi[2] * slope + 2.0 * phi[3] * bend);
        // What the angles swept do to the weight is in the model already.
        let weight_turned = self.system.fixed_view::<6, 3>(0, 6) * next.fixed_rows::<3>(6);
        self.rest_expected = Some(rest + weight_turned);
        self.advance(&next, step_s)?;
        Ok(felt_body)
    }

    fn felt(&mut self, controls: &Controls) -> Result<Vector3<f64>, MotionError> {
        Ok(self.rate(controls)?.1)
    }

    fn flight(&self) -> Option<(FlightState, Euler)> {
        Some((self.flight, Euler::of_attitude(&self.flight.attitude)))
    }

    fn load_calls(&self) -> usize {
        self.load_calls
    }
}

impl<A: Airframe + ?Sized> Guided<'_, A> {
    /// Takes over velocities, rates and angles swept at the end of a step.
    fn advance(&mut self, next: &Stepped, step_s: f64) -> Result<(), MotionError> {
        let steady = self.trim.state();
        let turned = steady.rates_body * step_s + next.fixed_rows::<3>(6);
        let velocity_before = self.flight.velocity_ned();
        let mut flight = FlightState {
            position_ned: self.flight.position_ned,
            velocity_body: steady.velocity_body + next.fixed_rows::<3>(0),
            attitude: self.flight.attitude * UnitQuaternion::from_scaled_axis(turned),
            rates_body: steady.rates_body + next.fixed_rows::<3>(3),
        };
        flight.attitude.renormalize();
        flight.position_ned += 0.5 * step_s * (velocity_before + flight.velocity_ned());
        if !flight.is_finite() {
            return Err(MotionError::NotFinite(Part::State));
        }
        self.flight = flight;
        Ok(())
    }
}

fn widen(velocities: &Velocities) -> Stepped {
    Stepped::from_fn(|index, _| if index < 6 { velocities[index] } else { 0.0 })
}

fn stack(velocity: &Vector3<f64>, rates: &Vector3<f64>) -> Velocities {
    Velocities::new(velocity.x, velocity.y, velocity.z, rates.x, rates.y, rates.z)
}
