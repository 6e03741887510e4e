//! Begins a new aeroplane: from nothing, or laid out in proportion to a few
//! sizes.

use leptos::prelude::*;
use wasm_bindgen::JsCast;

use crate::state::layout::{Layout, Sizes, balanced, lay_out};
use crate::state::live::memo;
use crate::state::measure::{LENGTH, MASS, Measure, parse};
use crate::state::{Design, Sheet, examples};
use crate::text::{self, kind, word};

/// The three sizes, as typed; nothing typed is the usual.
#[derive(Clone, Copy)]
struct Form {
    layout: RwSignal<usize>,
    span: RwSignal<Option<String>>,
    chord: RwSignal<Option<String>>,
    mass: RwSignal<Option<String>>,
}

impl Form {
    fn sizes(self) -> Sizes {
        let usual = Sizes::default();
        // What cannot be a size leaves the usual one: the fields say so.
        let read = |typed: RwSignal<Option<String>>, measure: Measure, usual: f64| {
            let number = typed.get_untracked().and_then(|text| parse(&text));
            number.map(|n| measure.read(n)).filter(|n| *n > 0.0).unwrap_or(usual)
        };
        Sizes {
            span_m: read(self.span, LENGTH, usual.span_m).clamp(0.1, 20.0),
            chord_m: read(self.chord, LENGTH, usual.chord_m).clamp(0.02, 4.0),
            mass_kg: read(self.mass, MASS, usual.mass_kg).clamp(0.01, 200.0),
        }
    }
}

/// The panel at the head of the form.
pub fn start(sheet: Sheet) -> impl IntoView {
    let form = Form {
        layout: RwSignal::new(0),
        span: RwSignal::new(None),
        chord: RwSignal::new(None),
        mass: RwSignal::new(None),
    };
    let usual = Sizes::default();
    let pick = move |event| {
        if let Ok(index) = event_target_value(&event).parse() {
            form.layout.set(index);
        }
    };
    let go = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let chosen = kind::LAYOUTS.get(form.layout.get_untracked());
        if let Some((layout, _)) = chosen {
            begin(sheet, *layout, &form.sizes());
            // So that the fields to measure next come up.
            fold("new");
        }
    };
    let count = sheet.watch(move |plane| sheet.assumed.with_untracked(|a| a.count(plane)));
    let options = kind::LAYOUTS.iter().enumerate().map(|(index, (_, name))| {
        view! { <option value=index.to_string()>{*name}</option> }
    });
    view! {
        <details class="group" id="new">
            <summary>
                <span class="group-name">{word::NEW}</span>
            </summary>
            <p class="note">{word::NEW_LEDE}</p>
            <form class="fields" on:submit=go>
                <label class="field wide-field">
                    <span class="field-label">{word::NEW_LAYOUT}</span>
                    <select id="new-layout" on:change=pick>{options.collect_view()}</select>
                </label>
                {size("new-span", word::NEW_SPAN, LENGTH, form.span, usual.span_m)}
                {size("new-chord", word::NEW_CHORD, LENGTH, form.chord, usual.chord_m)}
                {size("new-mass", word::NEW_MASS, MASS, form.mass, usual.mass_kg)}
                <button type="submit" id="new-go">{word::NEW_GO}</button>
            </form>
        </details>
        {move || (count.get() > 0).then(|| view! { <p class="note">{text::assumed(count.get())}</p> })}
    }
}

fn size(
    id: &'static str,
    label: &'static str,
    measure: Measure,
    typed: RwSignal<Option<String>>,
    usual: f64,
) -> impl IntoView {
    let shown = move || typed.get().unwrap_or_else(|| measure.show(usual));
    let wrong = memo(move || {
        typed.get().is_some_and(|text| parse(&text).is_none_or(|number| number <= 0.0))
    });
    view! {
        <div class="field" class:field-wrong=move || wrong.get()>
            <label class="field-label" for=id>{label}</label>
            <span class="field-box">
                <input
                    id=id
                    type="text"
                    inputmode="decimal"
                    autocomplete="off"
                    prop:value=shown
                    aria-invalid=move || wrong.get().to_string()
                    on:input=move |event| typed.set(Some(event_target_value(&event)))
                />
                <span class="field-unit">{move || measure.unit()}</span>
            </span>
            <span class="field-fault" aria-live="polite">
                {move || wrong.get().then_some(word::NEW_SIZE_FAULT)}
            </span>
        </div>
    }
}

/// Folds what a button in it was pressed for.
pub fn fold(id: &str) {
    let Some(panel) = document().get_element_by_id(id) else { return };
    // Both fail only for what is not there.
    let _ = panel.remove_attribute("open");
    let summary = panel.query_selector("summary").ok().flatten();
    if let Some(summary) = summary.and_then(|s| s.dyn_into::<web_sys::HtmlElement>().ok()) {
        // The button that was pressed is hidden now.
        let _ = summary.focus();
    }
}

/// Puts the layout on the sheet, its pack where it balances.
fn begin(sheet: Sheet, layout: Layout, sizes: &Sizes) {
    let (question, name) =
        sheet.design.with_untracked(|design| (design.question, design.aircraft.name.clone()));
    let mut aircraft = lay_out(layout, sizes);
    // A name that the builder gave already is the new one's.
    if examples::all().iter().all(|example| example.name != name) {
        aircraft.name = name;
    }
    sheet.bring_in(balanced(Design { aircraft, question }));
    sheet.assume("");
    // These were given.
    sheet.measured("surfaces[0].panels[0].span_m");
    if layout != Layout::FlyingWing {
        sheet.measured("surfaces[0].panels[0].root_chord_m");
        sheet.measured("surfaces[0].panels[0].tip_chord_m");
    }
}
