//! Pictures in space: the aeroplane as a paper model, on a plan on the bench
//! and over a field in flight.
//!
//! [`mesh`] folds shapes, [`aeroplane`] makes the model from the core's
//! outline, [`craft`] draws it, [`plan`] and [`field`] are
//! the ground under it; [`camera`]
//! looks, [`gpu`] is the one door to the graphics card, [`stage`] holds it while
//! the browser lets it. [`view`] is the panel on the page.

pub mod aeroplane;
pub mod camera;
pub mod craft;
pub mod field;
pub mod gpu;
pub mod mesh;
pub mod plan;
mod shader;
pub mod stage;
pub mod stall;
pub mod view;
