//! Published and closed-form cases, one file each. Each file's head names the
//! source, what is compared, and why the tolerance is what it is.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod advice;
mod atmosphere;
mod bodies;
mod card;
mod closed_forms;
mod flap_theory;
mod high_wing_single;
mod interference;
mod joints;
mod linkage;
mod linkage_present;
mod motor;
mod navion_geometry;
mod navion_modes;
mod pilot_loop;
mod planforms;
mod propeller_measured;
mod propeller_slipstream;
mod propeller_trade;
mod references;
mod rigid_body;
mod rudder_and_dihedral;
mod schema;
mod sections;
mod short_wings;
mod small_uav;
mod swirl;
mod transport_modes;
mod turbulence;
mod wings;
