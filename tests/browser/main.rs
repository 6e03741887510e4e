//! The page as a builder meets it: served, opened in a headless Chromium, used.
//!
//! `cargo xtask test` builds the page, serves it and names its address in
//! FLEDGE_PAGE, the browser in CHROME and its driver in CHROMEDRIVER.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod card;
mod flight;
mod keeping;
mod page;
mod pdf;
mod people;
mod session;
