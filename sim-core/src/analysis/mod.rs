//! What the forces mean for flight: trim, linear model, modes, response.

mod linearise;
mod modes;

pub use linearise::{LinearModel, SubModel};
pub use modes::{Mode, ModeKind, ModePart, Motion};
