//! Properties that hold for every aircraft: symmetry, conservation, bounds.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod aircraft;
mod hostile;
mod integration;
mod layouts;
mod linear_model;
mod mathematics;
mod motion;
mod response;
mod sections;
mod slowest;
mod throws;
mod trim;
mod units;
