//! A slider that moves one measurement, with its value beside it.

use std::sync::Arc;

use leptos::prelude::*;

use super::field::element_id;
use crate::state::Sheet;
use crate::state::form::NumberField;
use crate::state::measure::parse;
use crate::text;

/// A slider from `min` to `max` in the file's unit.
pub fn slider(
    sheet: Sheet,
    field: NumberField,
    label: String,
    (min, max): (f64, f64),
) -> impl IntoView + use<> {
    let id = format!("slide-{}", element_id(&field.field.path));
    let measure = field.measure;
    // What is at fault may be another value of the same part, such as a throw
    // beyond the hinge that is moved here.
    let part = field.field.path.rsplit_once('.').map_or("", |(part, _)| part).to_owned();
    let field = Arc::new(field);
    let value = {
        let field = Arc::clone(&field);
        sheet.watch(move |a| measure.shown(field.field.read(a).unwrap_or_default()))
    };
    let moved = move |event| {
        if let Some(shown) = parse(&event_target_value(&event)) {
            sheet.set_number(&field, measure.read(shown));
        }
    };
    let in_words = move || measure.in_words(measure.read(value.get()), 1, 2);
    let fault = move || {
        sheet.findings.with(|all| {
            let own = all.iter().find(|finding| finding.field.starts_with(&part))?;
            let place = sheet.with_aircraft_untracked(|a| text::place_in_words(a, &own.field));
            Some(text::beside_slider(&place, own))
        })
    };
    view! {
        <div class="slider">
            <label for=id.clone()>{label}</label>
            <output for=id.clone()><span>{in_words}</span></output>
            <input
                id=id
                type="range"
                min=move || measure.shown(min)
                max=move || measure.shown(max)
                step=move || measure.scale().step
                prop:value=move || value.get().to_string()
                on:input=moved
            />
            <span class="field-fault">{fault}</span>
        </div>
    }
}
