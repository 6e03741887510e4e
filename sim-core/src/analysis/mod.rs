//! What the forces mean for flight: trim, linear model, modes, response.

mod derivatives;
mod linearise;
mod modes;

pub use derivatives::{Coefficients, Derivatives, FlightPoint, ReferenceSizes, derivatives};
pub use linearise::{LinearModel, SubModel};
pub use modes::{Mode, ModeKind, ModePart, Motion};
