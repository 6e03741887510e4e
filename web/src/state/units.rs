//! Millimetres and grams, or inches and ounces: a habit of the builder, not of
//! the design, so it is kept on the device and not in the file.
//!
//! One signal for the whole page: every length and weight that is put into
//! words reads it, wherever that happens.

use std::sync::LazyLock;

use leptos::prelude::*;
use leptos::reactive::graph::Observer;

/// In which units lengths and weights are typed and shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Millimetres and grams.
    #[default]
    Metric,
    /// Inches and ounces.
    Inches,
}

static UNITS: LazyLock<ArcRwSignal<Units>> =
    LazyLock::new(|| ArcRwSignal::new(recall().unwrap_or_default()));

/// Where the choice is kept on the device, and how it is written.
const KEY: &str = "fledge.units";
const INCHES: &str = "inches";
const METRIC: &str = "metric";

/// The units in force. What is computed from them is computed again when they
/// change.
pub fn in_force() -> Units {
    if Observer::get().is_some() { UNITS.get() } else { UNITS.get_untracked() }
}

/// Changes the units, and keeps them on the device.
pub fn choose(units: Units) {
    UNITS.set(units);
    let word = if units == Units::Inches { INCHES } else { METRIC };
    if let Some(memory) = memory() {
        // A full memory refuses; then the choice lasts as long as the page.
        let _ = memory.set_item(KEY, word);
    }
}

#[cfg(target_arch = "wasm32")]
fn memory() -> Option<web_sys::Storage> {
    web_sys::window()?.local_storage().ok().flatten()
}

/// Native tests have no browser.
#[cfg(not(target_arch = "wasm32"))]
fn memory() -> Option<web_sys::Storage> {
    None
}

fn recall() -> Option<Units> {
    match memory()?.get_item(KEY).ok()??.as_str() {
        INCHES => Some(Units::Inches),
        METRIC => Some(Units::Metric),
        _ => None,
    }
}
