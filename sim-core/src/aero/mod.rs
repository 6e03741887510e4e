//! Forces and moments of the air: sections, hinged flaps, bodies.

pub mod body;
pub mod hinge;
pub mod section;
