//! The page: title block, bench form, drawing, answers.

mod answers;
pub mod back;
mod bench;
mod card;
pub mod drawing;
mod field;
pub mod figure;
mod figure_table;
mod file_menu;
mod news;
mod overlay;
mod parts;
mod rigging;
mod safety;
pub mod segments;
mod shelf;
pub mod sight;
mod slider;
mod term;
mod title_block;
mod tour;
mod units;
mod whatif;

use leptos::prelude::*;

pub use answers::caution_list;

use crate::state::device::keeping;
use crate::state::panes::Needs;
use crate::state::{Sheet, compute, watch};
use crate::text::word;

/// The whole page.
pub fn page() -> impl IntoView {
    let Some(sheet) = Sheet::open() else {
        return view! { <p>{word::NOTHING_TO_SHOW}</p> }.into_any();
    };
    watch::keep_watched(sheet);
    compute::keep_computed(sheet);
    keeping::watch(sheet);
    figure::keep_look();
    term::hush_by_escape();
    let tour = tour::Tour::new();
    provide_context(tour);
    card::provide();
    let part = RwSignal::new(parts::Part::Answers);
    let _ = window_event_listener(leptos::ev::keydown, move |event| undo_by_keys(sheet, &event));
    view! {
        <a class="skip" href="#bench" on:click=move |_| part.set(parts::Part::Bench)>{word::SKIP}</a>
        {title_block::title_block(sheet)}
        {tour::invitation(tour)}
        {safety::refused(sheet)}
        {safety::new_build()}
        {file_menu::notice(sheet)}
        <main
            class=move || format!("desk shows-{}", part.get().name())
            on:click=move |event| {
                // A narrow screen hides the form while it shows the answers.
                if event_target::<web_sys::Element>(&event).has_attribute("data-bench") {
                    part.set(parts::Part::Bench);
                }
            }
        >
            {bench::bench(sight::pane(sheet, "bench"))}
            <div class="results">
                {drawing::drawing(sheet)}
                {crate::scene::view::spatial(sight::pane_with(sheet, "spatial", Needs::Picture))}
                {answers::answers(sheet)}
            </div>
        </main>
        {tour::card(tour, part)}
        {news::news(sheet)}
        {parts::part_switch(part)}
        {card::card(sheet, sheet.late.sure())}
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
