//! Published and closed-form cases, one file each. Each file's head names the
//! source, what is compared, and why the tolerance is what it is.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod atmosphere;
mod closed_forms;
mod navion_modes;
mod rigid_body;
mod small_uav;
mod transport_modes;
