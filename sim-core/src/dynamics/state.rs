//! Where the aircraft is, how it lies, and how it moves.

use nalgebra::{Quaternion, SVector, UnitQuaternion, Vector3};
use serde::Serialize;

/// Least length of a quaternion that still has a direction. One that has
/// drifted this far from unit length no longer means an attitude.
const QUATERNION_LENGTH_MIN: f64 = 1e-3;

/// A [`FlightState`] as the integrators hold it.
///
/// # Conventions
/// Position (0 to 2), velocity (3 to 5), attitude quaternion `i j k w` (6 to
/// 9), body rates (10 to 12).
pub type StateVector = SVector<f64, 13>;

/// Position, attitude and motion of the aircraft relative to the ground.
///
/// The ground is flat and does not rotate: right for a model within sight.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FlightState {
    /// Position of the centre of gravity north, east, down of the origin, m.
    pub position_ned: Vector3<f64>,
    /// Velocity of the centre of gravity over the ground, body axes, m/s.
    pub velocity_body: Vector3<f64>,
    /// Rotation that takes body components to north, east, down.
    pub attitude: UnitQuaternion<f64>,
    /// Roll, pitch and yaw rate, body axes, rad/s.
    pub rates_body: Vector3<f64>,
}

impl FlightState {
    /// Velocity over the ground north, east, down, m/s.
    pub fn velocity_ned(&self) -> Vector3<f64> {
        self.attitude * self.velocity_body
    }

    /// Height over the origin, m.
    pub fn height_m(&self) -> f64 {
        -self.position_ned.z
    }

    /// The state as the integrators hold it.
    pub fn to_vector(&self) -> StateVector {
        let mut vector = StateVector::zeros();
        vector.fixed_rows_mut::<3>(0).copy_from(&self.position_ned);
        vector.fixed_rows_mut::<3>(3).copy_from(&self.velocity_body);
        vector.fixed_rows_mut::<4>(6).copy_from(&self.attitude.coords);
        vector.fixed_rows_mut::<3>(10).copy_from(&self.rates_body);
        vector
    }

    /// The state from the integrators' vector, the quaternion brought to unit
    /// length; `None` where that has no length or a component is not finite.
    pub fn from_vector(vector: &StateVector) -> Option<Self> {
        let quaternion = Quaternion::from(vector.fixed_rows::<4>(6).into_owned());
        let state = Self {
            position_ned: vector.fixed_rows::<3>(0).into_owned(),
            velocity_body: vector.fixed_rows::<3>(3).into_owned(),
            attitude: UnitQuaternion::try_new(quaternion, QUATERNION_LENGTH_MIN)?,
            rates_body: vector.fixed_rows::<3>(10).into_owned(),
        };
        state.is_finite().then_some(state)
    }

    /// Whether every component is finite.
    pub fn is_finite(&self) -> bool {
        let vectors = [&self.position_ned, &self.velocity_body, &self.rates_body];
        vectors.iter().all(|vector| vector.iter().all(|part| part.is_finite()))
            && self.attitude.coords.iter().all(|part| part.is_finite())
    }
}
