//! A look round at the first visit: an invitation in the page, then a card at
//! its edge that points at one part after the other. Nothing waits for it.

use leptos::ev;
use leptos::html::H2;
use leptos::prelude::*;

use super::parts::Part;
use crate::state::device;
use crate::text::tour as words;

/// Remembers that the invitation was answered.
const ANSWERED: &str = "fledge.tour";
/// Marks the part that is spoken of.
const MARK: &str = "toured";

/// What each step points at, and the part of a narrow page where it is.
const PLACES: [(&str, Option<Part>); words::STEPS.len()] = [
    ("#example", None),
    ("#bench", Some(Part::Bench)),
    ("#balance", Some(Part::Answers)),
    ("#throws", Some(Part::Answers)),
    ("#fly", Some(Part::Answers)),
];

/// The tour's signals.
#[derive(Clone, Copy)]
pub struct Tour {
    step: RwSignal<Option<usize>>,
    invites: RwSignal<bool>,
}

impl Tour {
    /// A tour that invites whoever comes for the first time.
    pub fn new() -> Self {
        let invites = RwSignal::new(device::read(ANSWERED).is_none());
        Self { step: RwSignal::new(None), invites }
    }

    /// Begins at the first step.
    pub fn begin(self) {
        self.answer();
        self.step.set(Some(0));
    }

    fn answer(self) {
        self.invites.set(false);
        // Where nothing is kept the invitation comes again.
        let _ = device::write(ANSWERED, "answered");
    }
}

/// The invitation, as long as it is not answered.
pub fn invitation(tour: Tour) -> impl IntoView {
    move || {
        tour.invites.get().then(|| {
            view! {
                <aside class="invitation" aria-label=words::SHOW_ME>
                    <p>{words::INVITATION}</p>
                    <button type="button" on:click=move |_| tour.begin()>{words::SHOW_ME}</button>
                    <button type="button" class="quiet" on:click=move |_| tour.answer()>
                        {words::NO_THANKS}
                    </button>
                </aside>
            }
        })
    }
}

/// The card of the present step.
pub fn card(tour: Tour, part: RwSignal<Part>) -> impl IntoView {
    let heading = NodeRef::<H2>::new();
    Effect::new(move |marked: Option<Option<&'static str>>| {
        if let Some(Some(marked)) = marked {
            mark(marked, false);
        }
        let (place, shown) = *PLACES.get(tour.step.get()?)?;
        if let Some(shown) = shown {
            part.set(shown);
        }
        // Once the part is shown.
        request_animation_frame(move || {
            mark(place, true);
            if let Some(heading) = heading.get_untracked() {
                let _ = heading.focus();
            }
        });
        Some(place)
    });
    let leave = move || {
        tour.step.set(None);
        // Where the work begins.
        if let Some(bench) = element(PLACES[1].0) {
            let _ = bench.focus();
        }
    };
    let _ = window_event_listener(ev::keydown, move |event| {
        if event.key() == "Escape" && tour.step.get_untracked().is_some() {
            leave();
        }
    });
    move || {
        let step = tour.step.get()?;
        let (head, text) = words::STEPS.get(step).copied()?;
        let last = step + 1 == words::STEPS.len();
        let onward = move |_| if last { leave() } else { tour.step.set(Some(step + 1)) };
        Some(view! {
            <aside class="tour" aria-labelledby="tour-heading">
                <h2 id="tour-heading" tabindex="-1" node_ref=heading>{head}</h2>
                <p>{text}</p>
                <div class="tour-buttons">
                    <span class="tour-count">{words::count(step)}</span>
                    {(!last).then(|| view! {
                        <button type="button" class="quiet" on:click=move |_| leave()>
                            {words::LEAVE}
                        </button>
                    })}
                    {(step > 0).then(|| view! {
                        <button type="button" on:click=move |_| tour.step.set(Some(step - 1))>
                            {words::BEFORE}
                        </button>
                    })}
                    <button type="button" class="tour-onward" on:click=onward>
                        {if last { words::DONE } else { words::NEXT }}
                    </button>
                </div>
            </aside>
        })
    }
}

fn element(selector: &str) -> Option<web_sys::HtmlElement> {
    use wasm_bindgen::JsCast;
    document().query_selector(selector).ok()??.dyn_into().ok()
}

fn mark(selector: &str, marked: bool) {
    let Some(element) = element(selector) else { return };
    // Fails only for names that are none.
    let _ = element.class_list().toggle_with_force(MARK, marked);
    if marked {
        element.scroll_into_view();
    }
}
