//! Settings of the sticks, kept on this device. A browser that keeps nothing,
//! or whose store is full, only means that they are set again next time.

fn store() -> Option<web_sys::Storage> {
    web_sys::window()?.local_storage().ok()?
}

fn full_key(key: &str) -> String {
    format!("fledge sticks {key}")
}

/// What was kept under a key.
pub fn read(key: &str) -> Option<String> {
    store()?.get_item(&full_key(key)).ok()?
}

/// Keeps a text.
pub fn write(key: &str, text: &str) {
    if let Some(store) = store() {
        // See the head: a full store is no fault.
        let _ = store.set_item(&full_key(key), text);
    }
}
