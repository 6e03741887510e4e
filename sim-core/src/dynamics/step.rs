//! One step in time at a fixed step, without allocation: for the real-time
//! loop and for step responses.
//!
//! # Method
//! The classic Runge-Kutta method of fourth order (four evaluations), and the
//! semi-implicit Euler method (one evaluation): rates and velocity first, then
//! position and attitude with the new ones, which keeps oscillations bounded.
//!
//! # Limits
//! Runge-Kutta is stable while the step times the largest root is below about
//! 2.8 (Hairer, Norsett and Wanner, Solving Ordinary Differential Equations I,
//! section IV.2; from memory): 20 ms suffice for roots up to 100 1/s. The
//! semi-implicit method has first order and wants steps below 5 ms.

use nalgebra::SVector;

use super::motion::{Acceleration, Air, Motion, MotionError, RigidBody, turned};
use super::state::FlightState;
use crate::airframe::{Airframe, Controls, Wrench};

/// One Runge-Kutta step of `rate` from `time_s` over `step_s`.
///
/// # Errors
/// Those of `rate`.
pub fn step_runge_kutta<const N: usize, E>(
    mut rate: impl FnMut(f64, &SVector<f64, N>) -> Result<SVector<f64, N>, E>,
    time_s: f64,
    state: &SVector<f64, N>,
    step_s: f64,
) -> Result<SVector<f64, N>, E> {
    let half_s = 0.5 * step_s;
    let first = rate(time_s, state)?;
    let second = rate(time_s + half_s, &(state + half_s * first))?;
    let third = rate(time_s + half_s, &(state + half_s * second))?;
    let fourth = rate(time_s + step_s, &(state + step_s * third))?;
    Ok(state + step_s / 6.0 * (first + 2.0 * (second + third) + fourth))
}

impl<A: Airframe + ?Sized> Motion<'_, A> {
    /// The state `step_s` later by one Runge-Kutta step, air, controls and
    /// `other` load being held; four load evaluations.
    ///
    /// # Errors
    /// Anything in the equations that is not finite.
    pub fn step(
        &self,
        state: &FlightState,
        controls: &Controls,
        air: &Air,
        other: &Wrench,
        step_s: f64,
    ) -> Result<FlightState, MotionError> {
        let rate = |_, at: &_| self.state_rate(at, controls, air, other);
        let next = step_runge_kutta(rate, 0.0, &state.to_vector(), step_s)?;
        FlightState::from_vector(&next).ok_or(MotionError::NotFinite(super::motion::Part::State))
    }

    /// [`RigidBody::step_semi_implicit`] of this airframe.
    ///
    /// # Errors
    /// Anything in the equations that is not finite.
    pub fn step_semi_implicit(
        &self,
        state: &FlightState,
        loads: &Wrench,
        air: &Air,
        step_s: f64,
    ) -> Result<FlightState, MotionError> {
        self.body().step_semi_implicit(state, loads, air, step_s)
    }
}

impl RigidBody {
    /// The state `step_s` later by the midpoint method, under a load (body
    /// axes) that is held over the step: second order in weight, gyroscopic
    /// moments and kinematics.
    ///
    /// # Errors
    /// Anything in the equations that is not finite.
    pub fn step_midpoint(
        &self,
        state: &FlightState,
        loads: &Wrench,
        air: &Air,
        step_s: f64,
    ) -> Result<FlightState, MotionError> {
        let moved = |rate: &FlightState, acceleration: &Acceleration, time_s: f64| FlightState {
            position_ned: state.position_ned + time_s * rate.velocity_ned(),
            velocity_body: state.velocity_body + time_s * acceleration.velocity_body_rate,
            attitude: turned(&state.attitude, &rate.rates_body, time_s),
            rates_body: state.rates_body + time_s * acceleration.rates_body_rate,
        };
        let middle = moved(state, &self.acceleration(state, loads, air)?, 0.5 * step_s);
        Ok(moved(&middle, &self.acceleration(&middle, loads, air)?, step_s))
    }

    /// The state `step_s` later by one semi-implicit Euler step under `loads`
    /// that the caller has evaluated at `state`.
    ///
    /// Loads given from outside let stiff ground contact be stepped finely
    /// between two evaluations of the air loads.
    ///
    /// # Errors
    /// Anything in the equations that is not finite.
    pub fn step_semi_implicit(
        &self,
        state: &FlightState,
        loads: &Wrench,
        air: &Air,
        step_s: f64,
    ) -> Result<FlightState, MotionError> {
        let acceleration = self.acceleration(state, loads, air)?;
        let rates_body = state.rates_body + step_s * acceleration.rates_body_rate;
        let attitude = turned(&state.attitude, &rates_body, step_s);
        // The velocity over ground is carried over in ground axes, since body
        // axes turn under it within the step.
        let turning = state.rates_body.cross(&state.velocity_body);
        let inertial_body = acceleration.velocity_body_rate + turning;
        let velocity_ned = state.velocity_ned() + step_s * (state.attitude * inertial_body);
        Ok(FlightState {
            position_ned: state.position_ned + step_s * velocity_ned,
            velocity_body: attitude.inverse_transform_vector(&velocity_ned),
            attitude,
            rates_body,
        })
    }
}

#[cfg(test)]
mod tests {
    use nalgebra::{Matrix3, UnitQuaternion, Vector3};

    use super::*;
    use crate::airframe::AirState;
    use crate::atmosphere::Atmosphere;

    /// A body that a steady load turns and pushes.
    struct Driven;

    const LOAD: Wrench = Wrench {
        force_body: Vector3::new(3.0, -2.0, -9.0),
        moment_body: Vector3::new(0.03, 0.02, -0.04),
    };

    impl Airframe for Driven {
        fn mass_kg(&self) -> f64 {
            0.8
        }

        fn inertia_body(&self) -> Matrix3<f64> {
            Matrix3::new(0.02, 0.001, -0.003, 0.001, 0.03, 0.0, -0.003, 0.0, 0.045)
        }

        fn loads(&self, _: &AirState, _: &Controls) -> Wrench {
            LOAD
        }
    }

    const START: Vector3<f64> = Vector3::new(12.0, 1.0, -0.5);

    fn start() -> FlightState {
        FlightState {
            position_ned: Vector3::new(3.0, -4.0, -20.0),
            velocity_body: START,
            attitude: UnitQuaternion::from_euler_angles(0.4, -0.3, 1.2),
            rates_body: Vector3::new(1.5, -0.8, 0.6),
        }
    }

    /// How far `step` is off after half a second in so many steps, in a wind.
    fn error(steps: u32, step: impl Fn(&RigidBody, &FlightState, &Air, f64) -> FlightState) -> f64 {
        let wind = Vector3::new(3.0, -2.0, 0.5);
        let air = Air::still(&Atmosphere::sea_level()).with_wind(wind);
        let motion = Motion::new(&Driven, air.density_kg_m3).unwrap();
        let (mut state, mut exact) = (start(), start());
        for _ in 0..steps {
            state = step(motion.body(), &state, &air, 0.5 / f64::from(steps));
        }
        for _ in 0..100 {
            exact =
                motion.step(&exact, &Controls::default(), &air, &Wrench::default(), 0.005).unwrap();
        }
        (state.to_vector() - exact.to_vector()).norm()
    }

    /// Against fine Runge-Kutta steps: the error falls to a quarter with half the step,
    /// and in the other method to a half.
    #[test]
    fn the_midpoint_step_is_of_second_order_and_the_other_of_first() {
        let midpoint = |body: &RigidBody, state: &FlightState, air: &Air, step_s: f64| {
            body.step_midpoint(state, &LOAD, air, step_s).unwrap()
        };
        let ratio = error(50, midpoint) / error(100, midpoint);
        assert!(error(100, midpoint) < 1e-3 && (ratio - 4.0).abs() < 0.2, "{ratio}");
        let euler = |body: &RigidBody, state: &FlightState, air: &Air, step_s: f64| {
            body.step_semi_implicit(state, &LOAD, air, step_s).unwrap()
        };
        let ratio = error(200, euler) / error(400, euler);
        assert!(error(400, euler) < 0.05 && (ratio - 2.0).abs() < 0.1, "{ratio}");
    }
}
