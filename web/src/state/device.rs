//! The device's own memory, which outlives the page: texts under keys, in the
//! browser's local storage. Each text is written whole or not at all.
//!
//! [`shelf`] keeps aeroplanes there, [`keeping`] sees to it that the one on the
//! sheet is among them.

pub mod keeping;
pub mod shelf;

use leptos::prelude::window;
use web_sys::Storage;

/// Why the device keeps nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// The browser allows the page no memory, in private windows for one.
    #[error("device: memory is switched off")]
    Off,
    /// The memory is full.
    #[error("device: memory is full")]
    Full,
}

fn memory() -> Result<Storage, Refusal> {
    window().local_storage().ok().flatten().ok_or(Refusal::Off)
}

/// The text under a key.
pub fn read(key: &str) -> Option<String> {
    memory().ok()?.get_item(key).ok().flatten()
}

/// Puts a text under a key in place of the one before.
///
/// # Errors
/// [`Refusal`]; then the text before is still there.
pub fn write(key: &str, text: &str) -> Result<(), Refusal> {
    memory()?.set_item(key, text).map_err(|_| Refusal::Full)
}

/// Removes the text under a key.
pub fn remove(key: &str) {
    if let Ok(memory) = memory() {
        // Never refused where reading is allowed.
        let _ = memory.remove_item(key);
    }
}

/// What follows `prefix` in the keys that begin with it, in order.
pub fn keys(prefix: &str) -> Vec<String> {
    let Ok(memory) = memory() else { return Vec::new() };
    let count = memory.length().unwrap_or(0);
    let mut keys: Vec<String> = Vec::new();
    for key in (0..count).filter_map(|i| memory.key(i).ok().flatten()) {
        if let Some(rest) = key.strip_prefix(prefix) {
            let place = keys.partition_point(|other| other.as_str() < rest);
            keys.insert(place, rest.to_owned());
        }
    }
    keys
}
