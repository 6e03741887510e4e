//! Inputs of the form: each with a label, its unit, and its fault in words.

use std::sync::Arc;

use leptos::prelude::*;

use crate::state::Sheet;
use crate::state::form::{ChoiceField, Field, NumberField};
use crate::state::live::memo;
use crate::state::measure::{Measure, parse, plain};
use crate::state::watch::watched;
use crate::text::{self, word};

/// An identifier for the document, from the path of a field.
pub fn element_id(path: &str) -> String {
    path.chars().map(|c| if c.is_ascii_alphanumeric() || c == '_' { c } else { '-' }).collect()
}

/// A number with its unit. Arrow keys step it.
pub fn number_input(sheet: Sheet, field: NumberField) -> impl IntoView + use<> {
    let id = element_id(&field.field.path);
    let fault_id = format!("{id}-fault");
    let described_by = fault_id.clone();
    let (label, measure) = (field.field.label, field.measure);
    let field = Arc::new(field);

    let reading = {
        let field = Arc::clone(&field);
        watched(move || Reading::of(sheet, &field))
    };
    let shown = memo(move || reading.with(|reading| reading.shown(measure)));
    let fault = {
        let field = Arc::clone(&field);
        memo(move || {
            let by_itself = field.fault(&shown.get());
            let in_words = by_itself.map(|fault| text::text_fault(fault, measure.unit()));
            in_words.or_else(|| reading.with(|reading| reading.finding.clone()))
        })
    };
    let typed = {
        let field = Arc::clone(&field);
        move |event| sheet.type_number(&field, event_target_value(&event))
    };
    let path = field.field.path.clone();
    let stepped = move |event: leptos::ev::KeyboardEvent| {
        let steps = match event.key().as_str() {
            "ArrowUp" => 1.0,
            "ArrowDown" => -1.0,
            _ => return,
        };
        let now = Reading::of(sheet, &field).shown(measure);
        let Some(number) = parse(&now) else { return };
        event.prevent_default();
        sheet.type_number(&field, plain(number + steps * measure.scale().step, 6));
    };
    view! {
        <div class="field" class:field-wrong=move || fault.with(Option::is_some)>
            <label class="field-label" for=id.clone()>
                {label}
                {move || reading.with(|reading| reading.usual).then(|| view! {
                    " " <span class="usual" title=word::USUAL_DESCRIPTION>{word::USUAL}</span>
                })}
            </label>
            <span class="field-box">
                <input
                    id=id
                    type="text"
                    inputmode="decimal"
                    autocomplete="off"
                    spellcheck="false"
                    on:focus=move |_| sheet.touched.set(Some(path.clone()))
                    on:blur=move |_| sheet.touched.set(None)
                    prop:value=move || shown.get()
                    aria-invalid=move || fault.with(Option::is_some).to_string()
                    aria-describedby=described_by
                    on:input=typed
                    on:keydown=stepped
                />
                <span class="field-unit">{move || measure.unit()}</span>
            </span>
            <span class="field-fault" id=fault_id aria-live="polite">{move || fault.get()}</span>
        </div>
    }
}

/// All that a number field shows, before any of it is put into words: there are
/// some hundred fields to look at after each change.
#[derive(PartialEq)]
struct Reading {
    value: Option<f64>,
    typed: Option<String>,
    finding: Option<String>,
    /// Whether nobody has measured it yet.
    usual: bool,
}

impl Reading {
    fn of(sheet: Sheet, field: &NumberField) -> Self {
        let path = &field.field.path;
        let value = sheet.with_aircraft_untracked(|aircraft| field.field.read(aircraft));
        Self {
            value,
            typed: sheet.typed.with_untracked(|typed| typed.get(path).map(str::to_owned)),
            finding: finding_at(sheet, path),
            usual: sheet.assumed.with_untracked(|assumed| assumed.holds(path, value)),
        }
    }

    /// The text in the field.
    fn shown(&self, measure: Measure) -> String {
        let value = || self.value.map(|value| measure.show(value)).unwrap_or_default();
        self.typed.clone().unwrap_or_else(value)
    }
}

fn finding_at(sheet: Sheet, path: &str) -> Option<String> {
    sheet.findings.with_untracked(|findings| {
        findings.iter().find(|f| f.field == path).map(|f| text::finding(&f.message))
    })
}

/// A name.
pub fn text_input(sheet: Sheet, field: Field<String>) -> impl IntoView + use<> {
    let own = field.clone();
    text_with(sheet, field, Box::new(move |text| sheet.set(&own, text)))
}

/// A name on which something else hangs: `take` sets both.
pub fn text_with(
    sheet: Sheet,
    field: Field<String>,
    take: Box<dyn Fn(String)>,
) -> impl IntoView + use<> {
    let id = element_id(&field.path);
    let fault_id = format!("{id}-fault");
    let described_by = fault_id.clone();
    let (label, path) = (field.label, field.path.clone());
    let field = Arc::new(field);
    let shown = {
        let field = Arc::clone(&field);
        sheet.watch(move |a| field.read(a).unwrap_or_default())
    };
    let fault = watched(move || finding_at(sheet, &path));
    view! {
        <div class="field" class:field-wrong=move || fault.with(Option::is_some)>
            <label class="field-label" for=id.clone()>{label}</label>
            <span class="field-box">
                <input
                    id=id
                    type="text"
                    autocomplete="off"
                    maxlength="80"
                    prop:value=move || shown.get()
                    aria-invalid=move || fault.with(Option::is_some).to_string()
                    aria-describedby=described_by
                    on:input=move |event| take(event_target_value(&event))
                />
            </span>
            <span class="field-fault" id=fault_id aria-live="polite">{move || fault.get()}</span>
        </div>
    }
}

/// One of several kinds.
pub fn choice_input(sheet: Sheet, field: ChoiceField) -> impl IntoView + use<> {
    let (path, label) = (field.field.path.clone(), field.field.label);
    let options = field.options.clone();
    let field = Arc::new(field);
    let shown = Arc::clone(&field);
    let chosen = move || sheet.with_aircraft_untracked(|a| shown.field.read(a));
    pick_input(sheet, path, label, options, chosen, move |option| sheet.choose(&field, option))
}

/// A yes or no.
pub fn flag_input(sheet: Sheet, field: Field<bool>) -> impl IntoView + use<> {
    let own = field.clone();
    flag_with(sheet, field, Box::new(move |flag| sheet.set(&own, flag)))
}

/// A yes or no on which something else hangs: `take` sets both.
pub fn flag_with(
    sheet: Sheet,
    field: Field<bool>,
    take: Box<dyn Fn(bool)>,
) -> impl IntoView + use<> {
    let id = element_id(&field.path);
    let label = field.label;
    let field = Arc::new(field);
    let path = field.path.clone();
    let fault = watched(move || finding_at(sheet, &path));
    let checked = {
        let field = Arc::clone(&field);
        sheet.watch(move |a| field.read(a).unwrap_or_default())
    };
    view! {
        <div class="field field-flag">
            <input
                id=id.clone()
                type="checkbox"
                prop:checked=move || checked.get()
                on:change=move |event| take(event_target_checked(&event))
            />
            <label for=id>{label}</label>
            <span class="field-fault" aria-live="polite">{move || fault.get()}</span>
        </div>
    }
}

/// One of several kinds whose choice changes more than one value; `path` is
/// where a finding about it lies, `chosen` is asked as [`watched`] asks.
pub fn pick_input(
    sheet: Sheet,
    path: String,
    label: &'static str,
    options: Vec<String>,
    chosen: impl Fn() -> Option<usize> + Send + Sync + 'static,
    pick: impl Fn(usize) + Send + Sync + 'static,
) -> impl IntoView {
    let id = element_id(&path);
    let chosen = watched(chosen);
    let fault = watched(move || finding_at(sheet, &path));
    let picked = move |event| {
        if let Ok(option) = event_target_value(&event).parse() {
            pick(option);
        }
    };
    view! {
        <div class="field">
            <label class="field-label" for=id.clone()>{label}</label>
            <select id=id on:change=picked>
                {options.into_iter().enumerate().map(|(index, words)| view! {
                    <option value=index.to_string() prop:selected=move || chosen.get() == Some(index)>
                        {words}
                    </option>
                }).collect_view()}
            </select>
            <span class="field-fault" aria-live="polite">{move || fault.get()}</span>
        </div>
    }
}
