//! What the motion asks of an aircraft, and what it tells it.
//!
//! [`Airframe`] is the only door between the equations of motion and the
//! aerodynamics with the propulsion behind them. Trim, linearisation, step
//! responses and flying all call the same [`Airframe::loads`], so nothing is
//! modelled twice.

use nalgebra::{Matrix3, Matrix6, Vector3};
use serde::Serialize;

/// What the motion needs to know of an aircraft.
pub trait Airframe {
    /// Mass, kg, positive.
    fn mass_kg(&self) -> f64;

    /// Inertia tensor about the centre of gravity in body axes, kg m2.
    ///
    /// # Conventions
    /// The products carry the signs of the tensor: element (0, 2) is
    /// `-Ixz` with `Ixz` the integral of `x z dm`.
    fn inertia_body(&self) -> Matrix3<f64>;

    /// Apparent mass of the air that the aircraft carries along, and downwash
    /// lag: the matrix that, times the acceleration relative to the air (order
    /// u v w p q r, body axes), is the force and moment held back.
    ///
    /// It is added to the rigid body's mass matrix. None by default.
    fn added_mass(&self, density_kg_m3: f64) -> Matrix6<f64> {
        let _ = density_kg_m3;
        Matrix6::zeros()
    }

    /// Air and propeller loads about the centre of gravity, weight excluded.
    ///
    /// # Limits
    /// Deterministic and finite for any finite input: whatever the
    /// implementation iterates, it converges or falls back inside.
    fn loads(&self, air: &AirState, controls: &Controls) -> Wrench;
}

/// The air as the aircraft meets it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AirState {
    /// Velocity of the centre of gravity relative to the air, body axes, m/s.
    pub velocity_body: Vector3<f64>,
    /// Roll, pitch and yaw rate relative to the air, body axes, rad/s.
    pub rates_body: Vector3<f64>,
    /// Density of the air, kg/m3.
    pub density_kg_m3: f64,
    /// Kinematic viscosity of the air, m2/s.
    pub kinematic_viscosity_m2_s: f64,
    /// Height of the centre of gravity over the ground, m; `None` is free air
    /// without ground effect.
    pub height_m: Option<f64>,
}

/// Deflections as the surfaces have them now, and the throttle.
///
/// # Conventions
/// ISO 1151: positive deflections give negative moments. Elevator positive
/// trailing edge down (up where it stands ahead of the balance point), aileron positive right one down (half the difference of
/// right and left), rudder positive trailing edge left (ahead of the balance point
/// right), flap positive down.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Controls {
    /// Elevator, rad.
    pub elevator_rad: f64,
    /// Aileron, rad.
    pub aileron_rad: f64,
    /// Rudder, rad.
    pub rudder_rad: f64,
    /// Flap, rad.
    pub flap_rad: f64,
    /// Throttle, 0 to 1.
    pub throttle: f64,
}

impl Controls {
    /// Whether all five are finite.
    pub fn is_finite(&self) -> bool {
        self.to_array().iter().all(|part| part.is_finite())
    }

    /// Elevator, aileron, rudder, flap, throttle: the order of the columns of
    /// a linear model's control matrix.
    pub fn to_array(self) -> [f64; 5] {
        [self.elevator_rad, self.aileron_rad, self.rudder_rad, self.flap_rad, self.throttle]
    }

    /// Controls from elevator, aileron, rudder, flap, throttle.
    pub fn from_array(
        [elevator_rad, aileron_rad, rudder_rad, flap_rad, throttle]: [f64; 5],
    ) -> Self {
        Self { elevator_rad, aileron_rad, rudder_rad, flap_rad, throttle }
    }
}

/// A force at the centre of gravity and a moment about it, body axes.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Wrench {
    /// Force, body axes, N.
    pub force_body: Vector3<f64>,
    /// Moment about the centre of gravity, body axes, N m.
    pub moment_body: Vector3<f64>,
}

impl Wrench {
    /// Whether all six components are finite.
    pub fn is_finite(&self) -> bool {
        self.force_body.iter().chain(self.moment_body.iter()).all(|part| part.is_finite())
    }
}

impl std::ops::Add for Wrench {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            force_body: self.force_body + other.force_body,
            moment_body: self.moment_body + other.moment_body,
        }
    }
}
