//! The page as a builder meets it: served, opened in a headless Chromium, used.
//!
//! `cargo xtask test` builds the page, serves it and names its address in
//! FLEDGE_PAGE, the browser in CHROME and its driver in CHROMEDRIVER.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod agreement;
mod card;
mod field;
mod flight;
mod flight_hands;
mod flight_lessons;
mod flight_speed;
mod journey;
mod keeping;
mod late;
mod offline;
mod page;
mod pdf;
mod people;
mod session;
mod whatif;
