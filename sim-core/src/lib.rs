//! The flight physics of Fledge.
//!
//! From what can be measured on the bench to the throws to set before the
//! first flight. No screen, clock, file, thread or global state in here.
//!
//! # Conventions
//! SI units inside. Body axes: x forward, y right, z down, origin at the
//! centre of gravity. Signs follow ISO 1151: a positive deflection gives a
//! negative moment about its main axis, so elevator positive trailing edge
//! down, rudder positive trailing edge left, aileron positive when the right
//! one goes down. A stick is positive where it asks for a positive moment:
//! nose up, right wing down, nose right.
//!
//! # Reading order
//! [`math`] and [`frames`], [`atmosphere`]; then [`aircraft`], what was
//! measured; [`airframe`], what its motion asks of it; [`mass`], [`aero`] and
//! [`power`], what it weighs, what the air does, what pulls; [`dynamics`], how it moves; [`analysis`], what that means
//! for flight; [`handling`], what the pilot thinks of it; [`throws`], what to
//! set; [`assess`] walks all of it, [`card`] is what is printed; [`flight`]
//! flies it.

#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

pub mod aero;
pub mod aircraft;
pub mod airframe;
pub mod analysis;
pub mod assess;
pub mod atmosphere;
pub mod card;
pub mod dynamics;
pub mod flight;
pub mod frames;
pub mod handling;
pub mod mass;
pub mod math;
pub mod power;
pub mod report;
pub mod throws;
