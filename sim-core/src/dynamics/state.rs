//! Where the aircraft is, how it lies, and how it moves.

use nalgebra::{UnitQuaternion, Vector3};
use serde::Serialize;

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

    /// Whether every component is finite.
    pub fn is_finite(&self) -> bool {
        let vectors = [&self.position_ned, &self.velocity_body, &self.rates_body];
        vectors.iter().all(|vector| vector.iter().all(|part| part.is_finite()))
            && self.attitude.coords.iter().all(|part| part.is_finite())
    }
}
