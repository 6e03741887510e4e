//! The page of Fledge. No physics in here: what is shown is asked of
//! `sim_core`, what is typed is handed to it.
//!
//! [`start_app`] mounts the page; `state` is what the page knows, `view` what
//! it looks like, `plot` the drawings and curves, `scene` pictures in space,
//! `flight` flying it, `text` all that it says.

// Names of fields and words explain themselves; nothing here is used by others.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

mod flight;
mod plot;
mod scene;
mod state;
mod text;
mod view;

use wasm_bindgen::prelude::wasm_bindgen;

/// Puts the page into the document. Called by `start.js` alone, so that a
/// worker that loads the same module does not start a second page.
#[wasm_bindgen]
pub fn start_app() {
    console_error_panic_hook::set_once();
    leptos::mount::mount_to_body(view::page);
}

/// Carries out an errand of the page, as bytes. Called by `worker.js` alone.
#[wasm_bindgen]
pub fn carry_out_errand(errand: &[u8]) -> Vec<u8> {
    console_error_panic_hook::set_once();
    state::late::errand::carry_out_bytes(errand)
}

#[cfg(test)]
wasm_bindgen_test::wasm_bindgen_test_configure!(run_in_browser);
