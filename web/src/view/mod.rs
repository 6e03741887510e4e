//! The page: title block, bench form, drawing, answers.

mod answers;
mod bench;
mod card;
pub mod drawing;
mod field;
pub mod figure;
mod file_menu;
mod overlay;
mod parts;
mod rigging;
mod safety;
mod shelf;
mod slider;
mod title_block;
mod units;
mod whatif;

use leptos::prelude::*;

use crate::state::device::keeping;
use crate::state::{Sheet, compute};
use crate::text::word;

/// The whole page.
pub fn page() -> impl IntoView {
    let Some(sheet) = Sheet::open() else {
        return view! { <p>{word::NOTHING_TO_SHOW}</p> }.into_any();
    };
    compute::keep_computed(sheet);
    keeping::watch(sheet);
    figure::keep_look();
    whatif::keep_sweep();
    card::provide();
    let part = RwSignal::new(parts::Part::Answers);
    let _ = window_event_listener(leptos::ev::keydown, move |event| undo_by_keys(sheet, &event));
    view! {
        <a class="skip" href="#bench" on:click=move |_| part.set(parts::Part::Bench)>{word::SKIP}</a>
        {title_block::title_block(sheet)}
        {safety::refused(sheet)}
        {safety::new_build()}
        {file_menu::notice(sheet)}
        <main class=move || format!("desk shows-{}", part.get().name())>
            {bench::bench(sheet)}
            <div class="results">
                {drawing::drawing(sheet)}
                {crate::scene::view::spatial(sheet)}
                {answers::answers(sheet)}
            </div>
        </main>
        {parts::part_switch(part)}
        {card::card(sheet, Signal::stored(None))}
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
