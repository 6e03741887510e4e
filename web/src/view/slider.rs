//! A slider that moves one measurement, with its value beside it.

use std::sync::Arc;

use leptos::prelude::*;

use super::field::element_id;
use crate::state::Sheet;
use crate::state::form::NumberField;
use crate::state::measure::{parse, plain};

/// A slider from `min` to `max` in the file's unit.
pub fn slider(
    sheet: Sheet,
    field: NumberField,
    label: String,
    (min, max): (f64, f64),
) -> impl IntoView + use<> {
    let id = format!("slide-{}", element_id(&field.field.path));
    let measure = field.measure;
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
    let decimals = move || if measure.scale().step < 0.1 { 2 } else { 1 };
    let in_words = move || format!("{} {}", plain(value.get(), decimals()), measure.unit());
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
        </div>
    }
}
