//! How the aircraft handles: rated against published limits, and flown by a
//! model of the human pilot.
//!
//! [`criteria`] rates modes and responses against the military flying-quality
//! limits, scaled to the size of the model, [`mode_ratings`] all modes of an aircraft at
//! once. [`pilot`] says who flies and how
//! the aircraft is seen; [`linear_step`] and [`transfer`] turn a linear model
//! into what one stick sees; [`pilot_loop`] closes the loop through that pilot and
//! finds the gain at which over-control begins. [`rudder_bank`] rates what no
//! full-size specification covers: an aircraft banked by its rudder.

pub mod criteria;
pub mod linear_step;
pub mod mode_ratings;
pub mod pilot;
pub mod pilot_loop;
pub mod rudder_bank;
pub mod transfer;
