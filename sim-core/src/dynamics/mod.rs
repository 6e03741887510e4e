//! How an aircraft moves: state, forces, and their integration in time.

mod actuators;
mod aeroplane;
mod integrate;
mod motion;
mod state;
mod step;
mod wind;

pub use crate::airframe::{AirState, Airframe, Controls, Wrench};

pub use actuators::{Actuators, EXPO_RANGE, Servo, StickCurve};
pub use aeroplane::{Aeroplane, AeroplaneError, Engine};
pub use integrate::{IntegrateError, IntegrateOptions, Method, Trajectory, integrate};
pub use motion::{Acceleration, Air, Motion, MotionError, Part, RigidBody};
pub use state::{FlightState, StateVector};
pub use step::step_runge_kutta;
pub use wind::{
    DiscreteGust, GRASS_ROUGHNESS_M, REFERENCE_HEIGHT_M, SteadyWind, Turbulence, TurbulenceScales,
};
