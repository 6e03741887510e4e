//! A term of the trade with its meaning, which shows under a pointer, by touch
//! and when the keyboard reaches it. Escape puts it away.

use std::sync::atomic::{AtomicUsize, Ordering};

use leptos::ev;
use leptos::prelude::*;

use crate::text::glossary::Term;

/// The term as part of a text.
pub fn term(term: Term) -> impl IntoView {
    // A term may stand in several places.
    static COUNT: AtomicUsize = AtomicUsize::new(0);
    let id = format!("term-{}", COUNT.fetch_add(1, Ordering::Relaxed));
    view! {
        <span class="term">
            <button type="button" class="term-name" aria-describedby=id.clone()>{term.name}</button>
            <span class="term-meaning" role="tooltip" id=id>{term.meaning}</span>
        </span>
    }
}

/// Escape puts meanings away until the pointer or the focus moves on.
pub fn hush_by_escape() {
    let hush = |hushed: bool| {
        if let Some(body) = document().body() {
            // Fails only for names that are none.
            let _ = body.toggle_attribute_with_force("data-hushed", hushed);
        }
    };
    let _ = window_event_listener(ev::keydown, move |event| {
        if event.key() == "Escape" {
            hush(true);
        }
    });
    let _ = window_event_listener(ev::pointerover, move |_| hush(false));
    let _ = window_event_listener(ev::focusin, move |_| hush(false));
}
