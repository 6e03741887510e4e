//! Air loads: from the shape and the state of flight to force and moment.
//!
//! [`grid`] cuts the surfaces up, [`lattice`] solves the potential flow once
//! per geometry, [`section`] knows what real sections do, [`limit`] joins the
//! two, [`body`] adds what carries the surfaces, and [`model`] brings all of it
//! to one force and one moment.

pub mod body;
mod chordwise;
pub mod device;
mod flaps;
pub mod grid;
mod ground;
pub mod hinge;
pub mod influence;
mod interference;
mod joint;
pub mod lattice;
mod limit;
mod mixing;
mod model;
mod piece;
mod sampling;
pub mod section;
mod unsteady;
pub mod vortex;
mod vortex_lift;

pub use mixing::deflect;
pub use model::{AeroModel, AeroOptions, DeviceDeflections, StripLoad};
pub use sampling::strip_mean;

/// Why the aerodynamics of a shape cannot be set up.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AeroError {
    /// The lattice has no solution: two surfaces lie on top of each other.
    #[error("surfaces: two of them coincide, allowed is each in a place of its own")]
    Singular,
    /// The lattice would be too large.
    #[error("surfaces: make {boxes} lattice boxes, allowed is up to {limit}")]
    TooFine {
        /// Boxes asked for.
        boxes: usize,
        /// Greatest number.
        limit: usize,
    },
}

impl AeroError {
    /// Greatest number of boxes on the right half and the plane of symmetry.
    pub const BOXES_MAX: usize = 1500;
}
