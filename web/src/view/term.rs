//! A term of the trade with its meaning, which shows under a pointer, by touch
//! and when the keyboard reaches it. Escape puts it away.

use std::sync::atomic::{AtomicUsize, Ordering};

use leptos::ev;
use leptos::prelude::*;

use crate::text::glossary::Term;

/// The term as part of a text.
pub fn term(term: Term) -> impl IntoView {
    let id = fresh_id();
    let described_by = id.clone();
    let name = view! {
        <button type="button" class="term-name" aria-describedby=described_by>{term.name}</button>
    };
    explained(name, term.meaning, id)
}

/// An identifier for a meaning: a term may stand in several places.
pub fn fresh_id() -> String {
    static COUNT: AtomicUsize = AtomicUsize::new(0);
    format!("term-{}", COUNT.fetch_add(1, Ordering::Relaxed))
}

/// A button that carries a term's name, with its meaning under it.
pub fn explained(name: impl IntoView, meaning: &'static str, id: String) -> impl IntoView {
    view! {
        <span class="term">
            {name}
            <span class="term-meaning" role="tooltip" id=id>{meaning}</span>
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
