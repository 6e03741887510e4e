//! Back closes what lies over the whole page, as it does in other apps, rather
//! than leaving the page.

use leptos::ev;
use leptos::prelude::*;
use wasm_bindgen::JsValue;

/// Notes in the history that something lies over the page.
const OVER: &str = "over the page";

fn lies_over() -> bool {
    let state = window().history().ok().and_then(|history| history.state().ok());
    state.and_then(|state| state.as_string()).as_deref() == Some(OVER)
}

/// Lets Back call `close` while `open` is true.
pub fn closes_on_back(
    open: impl Fn() -> bool + Copy + Send + Sync + 'static,
    close: impl Fn() + 'static,
) {
    Effect::new(move |was_open: Option<bool>| {
        let now_open = open();
        let Ok(history) = window().history() else { return now_open };
        match (was_open.unwrap_or(false), now_open) {
            // Refused only after hundreds of entries; then Back leaves the page.
            (false, true) => drop(history.push_state(&JsValue::from_str(OVER), "")),
            // Closed by other means than Back: its entry goes.
            (true, false) if lies_over() => drop(history.back()),
            _ => {}
        }
        now_open
    });
    let _ = window_event_listener(ev::popstate, move |_| {
        if untrack(open) && !lies_over() {
            close();
        }
    });
}
