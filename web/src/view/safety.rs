//! Whether the design is safe on the device, and what stands in the way of it;
//! and the news of a new build.

use leptos::prelude::*;

use super::file_menu::save_file;
use crate::state::Sheet;
use crate::state::device::keeping::Safety;
use crate::text::{shelf as words, word};

/// A few words beside the tool's name.
pub fn safety(sheet: Sheet) -> impl IntoView {
    view! { <p class="safety">{move || words::safety(sheet.safety.get())}</p> }
}

/// Stays until the device keeps the design again.
pub fn refused(sheet: Sheet) -> impl IntoView {
    let save = move |_| {
        if save_file(sheet).is_err() {
            sheet.tell(word::FILE_NOT_SAVED);
        }
    };
    move || {
        let Safety::Refused(refusal) = sheet.safety.get() else { return None };
        Some(view! {
            <div class="notice notice-refused" role="alert">
                <p>{words::refused(refusal)}</p>
                <button type="button" on:click=save>{word::SAVE_FILE}</button>
            </div>
        })
    }
}

/// A new build is told, and taken only when the builder reloads.
pub fn new_build() -> impl IntoView {
    let waits = RwSignal::new(false);
    let _ = window_event_listener_untyped("new-build", move |_| waits.set(true));
    move || {
        waits.get().then(|| {
            view! {
                <div class="notice notice-build" role="status">
                    <p>{words::NEW_BUILD}</p>
                    <button type="button" on:click=move |_| {
                        // Refused only while the page is being closed.
                        let _ = window().location().reload();
                    }>{words::RELOAD}</button>
                    <button type="button" class="quiet" on:click=move |_| waits.set(false)>
                        {word::DISMISS}
                    </button>
                </div>
            }
        })
    }
}
