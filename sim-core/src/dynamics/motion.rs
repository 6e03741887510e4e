//! The equations of motion of a rigid aircraft in moving air.
//!
//! # Method
//! Newton and Euler in body axes, attitude as a quaternion (Stevens, Lewis and
//! Johnson, Aircraft Control and Simulation, 3rd ed. 2016, section 1.7; from
//! memory). The apparent mass of the air resists the acceleration relative to
//! the air, so rigid-body and apparent mass are solved together:
//! `(M_rigid + M_air) x = loads + weight - rates x momentum`, where `x` is the
//! rate of change of the velocity relative to the air and of the body rates.
//! Wind moves the air mass as a whole; the same flight results in any steady
//! wind.
//!
//! # Limits
//! Flat ground that does not rotate; constant mass; the wind's own
//! acceleration acts through the flow angles only.

use nalgebra::{Matrix3, Matrix6, UnitQuaternion, Vector3, Vector6};
use serde::Serialize;
use thiserror::Error;

use super::state::{FlightState, StateVector};
use crate::airframe::{AirState, Airframe, Controls, Wrench};
use crate::atmosphere::{Atmosphere, GRAVITY_M_S2};

/// The air around the aircraft and the ground below.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Air {
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Kinematic viscosity, m2/s.
    pub kinematic_viscosity_m2_s: f64,
    /// Where the air moves to: north, east, down, m/s.
    pub wind_ned: Vector3<f64>,
    /// Height of the ground over the origin, m; `None` is no ground effect.
    pub ground_m: Option<f64>,
}

impl Air {
    /// Still air of the given state, far from the ground.
    pub fn still(atmosphere: &Atmosphere) -> Self {
        Self {
            density_kg_m3: atmosphere.density_kg_m3,
            kinematic_viscosity_m2_s: atmosphere.kinematic_viscosity_m2_s,
            wind_ned: Vector3::zeros(),
            ground_m: None,
        }
    }

    /// The same air moving as a whole.
    pub fn with_wind(self, wind_ned: Vector3<f64>) -> Self {
        Self { wind_ned, ..self }
    }

    /// What an aircraft in `state` meets of this air.
    pub fn met_by(&self, state: &FlightState) -> AirState {
        let wind_body = state.attitude.inverse_transform_vector(&self.wind_ned);
        AirState {
            velocity_body: state.velocity_body - wind_body,
            rates_body: state.rates_body,
            density_kg_m3: self.density_kg_m3,
            kinematic_viscosity_m2_s: self.kinematic_viscosity_m2_s,
            height_m: self.ground_m.map(|ground| state.height_m() - ground),
        }
    }
}

/// Why there is no motion to compute.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum MotionError {
    /// The mass is not positive, or inertia and apparent mass together are not
    /// positive definite.
    #[error("mass {mass_kg} kg with its inertia moves nothing real")]
    Mass {
        /// The mass, kg.
        mass_kg: f64,
    },
    /// Something in the equations is not finite.
    #[error("{0} not finite")]
    NotFinite(Part),
}

/// A part of the equations of motion.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Position, attitude, velocity or rates.
    State,
    /// Density, viscosity or wind.
    Air,
    /// Deflections or throttle.
    Controls,
    /// Force of air and propeller.
    Force,
    /// Moment of air and propeller.
    Moment,
    /// Load from elsewhere: ground, launch.
    OtherLoad,
    /// The resulting acceleration.
    Acceleration,
}

impl std::fmt::Display for Part {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(match self {
            Part::State => "the state of motion is",
            Part::Air => "the state of the air is",
            Part::Controls => "the controls are",
            Part::Force => "the force of air and propeller is",
            Part::Moment => "the moment of air and propeller is",
            Part::OtherLoad => "the load from ground or launch is",
            Part::Acceleration => "the acceleration is",
        })
    }
}

/// Rates of change of velocity and body rates.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Acceleration {
    /// Rate of change of the body components of velocity over ground, m/s2.
    pub velocity_body_rate: Vector3<f64>,
    /// Rate of change of roll, pitch and yaw rate, rad/s2.
    pub rates_body_rate: Vector3<f64>,
    /// Non-gravitational acceleration of the centre of gravity, body axes,
    /// m/s2: what an accelerometer there reads.
    pub felt_body: Vector3<f64>,
}

/// What resists acceleration: mass, inertia and apparent mass, inverted once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RigidBody {
    mass_kg: f64,
    inertia_body: Matrix3<f64>,
    inverse_mass: Matrix6<f64>,
}

impl RigidBody {
    /// The body of an airframe in air of the given density.
    ///
    /// # Errors
    /// Mass or inertia that is not positive and finite.
    pub fn new<A: Airframe + ?Sized>(
        airframe: &A,
        density_kg_m3: f64,
    ) -> Result<Self, MotionError> {
        let mass_kg = airframe.mass_kg();
        let inertia_body = airframe.inertia_body();
        let mut mass = airframe.added_mass(density_kg_m3);
        for axis in 0..3 {
            mass[(axis, axis)] += mass_kg;
        }
        let mut corner = mass.fixed_view_mut::<3, 3>(3, 3);
        corner += inertia_body;
        // Downwash lag makes the matrix lopsided; its symmetric half is what
        // the kinetic energy sees.
        let energy = 0.5 * (mass + mass.transpose());
        let definite = energy.cholesky().is_some() && inertia_body.cholesky().is_some();
        let inverse = mass.try_inverse().filter(|inverse| inverse.iter().all(|x| x.is_finite()));
        match inverse {
            Some(inverse_mass) if definite && mass_kg > 0.0 => {
                Ok(Self { mass_kg, inertia_body, inverse_mass })
            }
            _ => Err(MotionError::Mass { mass_kg }),
        }
    }

    /// Mass, kg.
    pub fn mass_kg(&self) -> f64 {
        self.mass_kg
    }

    /// Inertia tensor about the centre of gravity, body axes, kg m2.
    pub fn inertia_body(&self) -> &Matrix3<f64> {
        &self.inertia_body
    }

    /// Acceleration under `loads`, weight added.
    ///
    /// # Errors
    /// An acceleration that is not finite.
    pub fn acceleration(
        &self,
        state: &FlightState,
        loads: &Wrench,
        air: &Air,
    ) -> Result<Acceleration, MotionError> {
        let down_body = state.attitude.inverse_transform_vector(&Vector3::z());
        let wind_body = state.attitude.inverse_transform_vector(&air.wind_ned);
        let rates = &state.rates_body;
        let relative = state.velocity_body - wind_body;
        let force = loads.force_body + self.mass_kg * GRAVITY_M_S2 * down_body
            - self.mass_kg * rates.cross(&relative);
        let moment = loads.moment_body - rates.cross(&(self.inertia_body * rates));
        let solved = self.inverse_mass
            * Vector6::new(force.x, force.y, force.z, moment.x, moment.y, moment.z);
        require(solved.iter().all(|part| part.is_finite()), Part::Acceleration)?;
        let relative_rate = Vector3::new(solved[0], solved[1], solved[2]);
        Ok(Acceleration {
            velocity_body_rate: relative_rate - rates.cross(&wind_body),
            rates_body_rate: Vector3::new(solved[3], solved[4], solved[5]),
            felt_body: relative_rate + rates.cross(&relative) - GRAVITY_M_S2 * down_body,
        })
    }
}

/// An airframe made ready to move.
#[derive(Debug, Clone)]
pub struct Motion<'a, A: Airframe + ?Sized> {
    airframe: &'a A,
    body: RigidBody,
}

impl<'a, A: Airframe + ?Sized> Motion<'a, A> {
    /// An airframe in air of the given density.
    ///
    /// # Errors
    /// Mass or inertia that is not positive and finite.
    pub fn new(airframe: &'a A, density_kg_m3: f64) -> Result<Self, MotionError> {
        Ok(Self { airframe, body: RigidBody::new(airframe, density_kg_m3)? })
    }

    /// What resists its acceleration.
    pub fn body(&self) -> &RigidBody {
        &self.body
    }

    /// The airframe that moves.
    pub fn airframe(&self) -> &'a A {
        self.airframe
    }

    /// Mass, kg.
    pub fn mass_kg(&self) -> f64 {
        self.body.mass_kg
    }

    /// Inertia tensor about the centre of gravity, body axes, kg m2.
    pub fn inertia_body(&self) -> &Matrix3<f64> {
        &self.body.inertia_body
    }

    /// Rates of change of velocity (first three) and body rates that a force
    /// alone gives, body axes, N; the apparent mass shares in it.
    pub fn response_to_force(&self, force_body: &Vector3<f64>) -> Vector6<f64> {
        self.body.inverse_mass
            * Vector6::new(force_body.x, force_body.y, force_body.z, 0.0, 0.0, 0.0)
    }

    /// Air and propeller loads in `state`.
    ///
    /// # Errors
    /// The first of state, air, controls, force and moment that is not finite.
    pub fn loads(
        &self,
        state: &FlightState,
        controls: &Controls,
        air: &Air,
    ) -> Result<Wrench, MotionError> {
        let met = air.met_by(state);
        let of_air = [air.density_kg_m3, air.kinematic_viscosity_m2_s, met.velocity_body.sum()];
        require(state.is_finite(), Part::State)?;
        require(of_air.iter().all(|part| part.is_finite()), Part::Air)?;
        require(controls.is_finite(), Part::Controls)?;
        let loads = self.airframe.loads(&met, controls);
        require(loads.force_body.iter().all(|part| part.is_finite()), Part::Force)?;
        require(loads.moment_body.iter().all(|part| part.is_finite()), Part::Moment)?;
        Ok(loads)
    }

    /// Acceleration under `loads`, weight added.
    ///
    /// # Errors
    /// An acceleration that is not finite.
    pub fn acceleration(
        &self,
        state: &FlightState,
        loads: &Wrench,
        air: &Air,
    ) -> Result<Acceleration, MotionError> {
        self.body.acceleration(state, loads, air)
    }

    /// Rate of change of the whole state.
    ///
    /// `other` is a load about the centre of gravity that the airframe does
    /// not know of: ground contact, a launch.
    ///
    /// # Errors
    /// Anything in the equations that is not finite.
    pub fn state_rate(
        &self,
        state: &StateVector,
        controls: &Controls,
        air: &Air,
        other: &Wrench,
    ) -> Result<StateVector, MotionError> {
        Ok(self.state_rate_and_acceleration(state, controls, air, other)?.0)
    }

    /// Rate of change of the whole state with the acceleration in it.
    ///
    /// # Errors
    /// As for [`Motion::state_rate`].
    pub fn state_rate_and_acceleration(
        &self,
        state: &StateVector,
        controls: &Controls,
        air: &Air,
        other: &Wrench,
    ) -> Result<(StateVector, Acceleration), MotionError> {
        require(other.is_finite(), Part::OtherLoad)?;
        let flight = FlightState::from_vector(state).ok_or(MotionError::NotFinite(Part::State))?;
        let loads = self.loads(&flight, controls, air)? + *other;
        let acceleration = self.acceleration(&flight, &loads, air)?;
        Ok((rate_vector(state, &flight, &acceleration), acceleration))
    }
}

/// Collects the rate of change of every state.
fn rate_vector(
    state: &StateVector,
    flight: &FlightState,
    acceleration: &Acceleration,
) -> StateVector {
    let mut rate = StateVector::zeros();
    rate.fixed_rows_mut::<3>(0).copy_from(&flight.velocity_ned());
    rate.fixed_rows_mut::<3>(3).copy_from(&acceleration.velocity_body_rate);
    // The quaternion as integrated, not as normalised: its length then stays
    // constant in the equations and drifts by the method's error only.
    let attitude = nalgebra::Quaternion::from(state.fixed_rows::<4>(6).into_owned());
    let turning = attitude * nalgebra::Quaternion::from_imag(0.5 * flight.rates_body);
    rate.fixed_rows_mut::<4>(6).copy_from(&turning.coords);
    rate.fixed_rows_mut::<3>(10).copy_from(&acceleration.rates_body_rate);
    rate
}

/// The attitude after turning at steady body rates for a time.
pub(super) fn turned(
    attitude: &UnitQuaternion<f64>,
    rates_body: &Vector3<f64>,
    time_s: f64,
) -> UnitQuaternion<f64> {
    attitude * UnitQuaternion::from_scaled_axis(rates_body * time_s)
}

fn require(sound: bool, part: Part) -> Result<(), MotionError> {
    if sound { Ok(()) } else { Err(MotionError::NotFinite(part)) }
}

#[cfg(test)]
mod tests;
