//! The bar at the foot of a narrow screen, which shows one part of the page at
//! a time. Where there is room for all parts the style sheet shows all.

use leptos::prelude::*;

use crate::text::word;

/// A part of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The form.
    Bench,
    /// The three-view.
    Drawing,
    /// Questions and answers.
    Answers,
}

impl Part {
    /// Its name in the style sheet and as an element's identifier.
    pub fn name(self) -> &'static str {
        match self {
            Self::Bench => "bench",
            Self::Drawing => "drawing",
            Self::Answers => "answers",
        }
    }
}

pub fn part_switch(shown: RwSignal<Part>) -> impl IntoView {
    let parts = [
        (Part::Bench, word::GO_BENCH),
        (Part::Drawing, word::GO_DRAWING),
        (Part::Answers, word::GO_ANSWERS),
    ];
    view! {
        <nav class="parts" aria-label=word::PARTS>
            {parts.map(|(part, words)| view! {
                <button
                    type="button"
                    aria-pressed=move || (shown.get() == part).to_string()
                    aria-controls=part.name()
                    on:click=move |_| {
                        shown.set(part);
                        window().scroll_to_with_x_and_y(0.0, 0.0);
                    }
                >
                    {words}
                </button>
            }).into_iter().collect_view()}
        </nav>
    }
}
