//! The card for the first flight: one printed page with everything that is
//! needed on the field. While it is open it is the whole page; the rest is
//! hidden by the style sheet, on the screen and on paper.

mod drawing;
mod room;
mod sheet;

use std::sync::Arc;

use leptos::html::Button;
use leptos::prelude::*;
use sim_core::assess::performance;
use sim_core::assess::uncertainty::Uncertainty;
use sim_core::card::MaidenCard;

use crate::state::Sheet;
use crate::state::live::{effect, memo};
use crate::text::card as words;
use crate::view::back::closes_on_back;

/// How sure the answer is, as soon as samples were run for the present design.
pub type Sure = Signal<Option<Arc<Uncertainty>>>;

/// Whether the card is open, and where the builder came from.
#[derive(Clone, Copy)]
struct CameFrom {
    /// How far down the page, px; `None` while the card is closed.
    scroll: RwSignal<Option<f64>>,
    /// The button that was pressed.
    button: StoredValue<Option<web_sys::HtmlElement>, LocalStorage>,
}

/// Lets buttons open the card; to be called once, before the page is built.
pub fn provide() {
    provide_context(CameFrom { scroll: RwSignal::new(None), button: StoredValue::new_local(None) });
}

/// A button that opens the card.
pub fn open_button(sheet: Sheet, said: &'static str) -> AnyView {
    let Some(from) = use_context::<CameFrom>() else { return ().into_any() };
    let ready = memo(move || {
        sheet.outcome.with(|o| o.assessment.is_some() && o.sound.is_some() && !o.stale)
    });
    let show = move |event: leptos::ev::MouseEvent| {
        from.button.set_value(Some(event_target(&event)));
        from.scroll.set(Some(window().scroll_y().unwrap_or_default()));
    };
    view! {
        <button type="button" class="card-open" disabled=move || !ready.get() on:click=show>
            {said}
        </button>
    }
    .into_any()
}

/// The card, while it is open.
pub fn card(sheet: Sheet, sure: Sure) -> AnyView {
    let Some(from) = use_context::<CameFrom>() else { return ().into_any() };
    let open = from.scroll;
    let leave = move || {
        let scroll = open.get_untracked().unwrap_or_default();
        open.set(None);
        // Once the page is back.
        request_animation_frame(move || {
            from.button.with_value(|button| {
                if let Some(button) = button {
                    // Without focus the tab key starts at the top.
                    let _ = button.focus();
                }
            });
            window().scroll_to_with_x_and_y(0.0, scroll);
        });
    };
    closes_on_back(move || open.with(Option::is_some), leave);
    let escape = window_event_listener(leptos::ev::keydown, move |event| {
        if event.key() == "Escape" && open.with_untracked(Option::is_some) {
            leave();
        }
    });
    on_cleanup(move || escape.remove());
    (move || open.with(Option::is_some).then(|| whole_page(sheet, sure, leave))).into_any()
}

fn whole_page(
    sheet: Sheet,
    sure: Sure,
    leave: impl Fn() + Copy + Send + Sync + 'static,
) -> AnyView {
    let back = NodeRef::<Button>::new();
    effect(move || {
        if let Some(button) = back.get() {
            window().scroll_to_with_x_and_y(0.0, 0.0);
            // Without focus the first press of the tab key leads there.
            let _ = button.focus();
        }
    });
    // The speeds cost more than the rest of the card: taken from what was computed
    // beside the page, where that is there already.
    let power = memo(move || {
        if let Some(dated) = sheet.late.present(sheet.late.performance) {
            return Some(dated.result.clone());
        }
        let question = sheet.design.with(|design| design.question);
        sheet.outcome.with(|o| performance(o.sound.as_ref()?, &question).ok())
    });
    let paper = move || {
        let outcome = sheet.outcome.get();
        let (sound, assessment) = (outcome.sound.as_ref()?, outcome.assessment.as_ref()?);
        let question = sheet.design.with(|design| design.question);
        let sure = sure.get();
        let card =
            power.with(|power| MaidenCard::new(sound, assessment, power.as_ref(), sure.as_deref()));
        Some(sheet::sheet(sound, assessment, &question, &card))
    };
    view! {
        <div class="card-page" role="main">
            <div class="card-bar">
                <button type="button" node_ref=back on:click=move |_| leave()>{words::BACK}</button>
                <button
                    type="button"
                    class="fly-button"
                    // Where printing is forbidden nothing happens.
                    on:click=move |_| { let _ = window().print(); }
                >
                    {words::PRINT}
                </button>
                <p>{words::PRINT_HINT}</p>
            </div>
            {paper}
        </div>
    }
    .into_any()
}
