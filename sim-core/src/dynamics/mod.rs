//! How an aircraft moves: state, forces, and their integration in time.

mod airframe;
mod state;

pub use airframe::{AirState, Airframe, Controls, Wrench};
pub use state::FlightState;
