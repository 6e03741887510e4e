//! Settings of the sticks, kept on this device. A browser that keeps nothing,
//! or whose store is full, only means that they are set again next time.

use crate::state::device;

fn full_key(key: &str) -> String {
    format!("fledge sticks {key}")
}

/// What was kept under a key.
pub fn read(key: &str) -> Option<String> {
    device::read(&full_key(key))
}

/// Keeps a text.
pub fn write(key: &str, text: &str) {
    // See the head: a full store is no fault.
    let _ = device::write(&full_key(key), text);
}
