//! 'What if …?' The pinned baseline beside the present design, and one
//! measurement moved over a range.

mod comparison;
mod mode_map;
mod sweep;

use leptos::prelude::*;

pub use mode_map::mode_map;

use crate::state::Sheet;
use crate::state::sweep::{self as task, Measurement};
use crate::text::whatif as words;

/// A button that moves the dihedral to see the bank by rudder.
pub fn bank_by_dihedral(sheet: Sheet) -> impl IntoView {
    let show = move |_| {
        let what = Measurement::Dihedral;
        let now =
            sheet.outcome.with_untracked(|o| what.read(o.sound.as_ref()?, o.assessment.as_ref()?));
        let Some(now) = now else { return };
        task::begin(sheet, what, what.range(now));
        if let Some(panel) = document().get_element_by_id("sweep") {
            panel.scroll_into_view();
        }
    };
    view! { <button type="button" on:click=show>{words::BANK_BY_DIHEDRAL}</button> }
}

/// The panel.
pub fn whatif(sheet: Sheet) -> impl IntoView {
    view! {
        <section class="panel panel-whatif" id="whatif" aria-labelledby="whatif-heading">
            <h2 id="whatif-heading">{words::QUESTION}</h2>
            <p class="lede">{words::LEDE}</p>
            {pins(sheet)}
            {comparison::comparison(sheet)}
            {sweep::sweep(sheet)}
        </section>
    }
}

fn pins(sheet: Sheet) -> impl IntoView {
    let is_pinned = Memo::new(move |_| sheet.pinned.with(Option::is_some));
    let stale = Memo::new(move |_| sheet.outcome.with(|o| o.stale));
    view! {
        <div class="buttons">
            <button
                type="button"
                id="pin"
                prop:disabled=move || stale.get()
                on:click=move |_| sheet.pin()
            >
                {move || if is_pinned.get() { words::PIN_AGAIN } else { words::PIN }}
            </button>
            {move || is_pinned.get().then(|| view! {
                <button type="button" on:click=move |_| sheet.return_to_pinned()>
                    {words::RETURN}
                </button>
                <button type="button" on:click=move |_| sheet.pinned.set(None)>{words::UNPIN}</button>
            })}
        </div>
    }
}
