//! Forces and moments of the air: sections, hinged flaps, bodies.

pub mod hinge;
pub mod section;
