//! Published and closed-form cases, one file each. Each file's head names the
//! source, what is compared, and why the tolerance is what it is.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bodies;
mod flap_theory;
mod linkage;
mod motor;
mod pilot_loop;
mod planforms;
mod propeller_measured;
mod sections;
mod wings;
