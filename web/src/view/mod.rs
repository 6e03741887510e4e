//! The page: title block, bench form, drawing, answers.

mod answers;
mod bench;
mod drawing;
mod field;
mod parts;
mod slider;
mod title_block;

use leptos::prelude::*;

use crate::state::{Sheet, compute, examples};

/// The whole page.
pub fn page() -> impl IntoView {
    let Some(first) = examples::all().into_iter().next() else {
        return view! { <p>"No example could be read."</p> }.into_any();
    };
    let sheet = Sheet::new(first);
    compute::keep_computed(sheet);
    let part = RwSignal::new(parts::Part::Answers);
    let _ = window_event_listener(leptos::ev::keydown, move |event| undo_by_keys(sheet, &event));
    view! {
        {title_block::title_block(sheet)}
        <main class=move || format!("desk shows-{}", part.get().name())>
            {bench::bench(sheet)}
            <div class="results">
                {drawing::drawing(sheet)}
                {answers::answers(sheet)}
            </div>
        </main>
        {parts::part_switch(part)}
    }
    .into_any()
}

/// Ctrl+Z and its kin, also inside fields: the browser's own undo would bring
/// back the text without the value.
fn undo_by_keys(sheet: Sheet, event: &leptos::ev::KeyboardEvent) {
    if !(event.ctrl_key() || event.meta_key()) || event.alt_key() {
        return;
    }
    match (event.key().to_ascii_lowercase().as_str(), event.shift_key()) {
        ("z", false) => sheet.undo(),
        ("z", true) | ("y", false) => sheet.redo(),
        _ => return,
    }
    event.prevent_default();
}
