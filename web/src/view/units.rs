//! Millimetres and grams, or inches and ounces.

use leptos::prelude::*;

use crate::state::Sheet;
use crate::state::form::Typed;
use crate::state::units::{self, Units};
use crate::text::word;

/// The switch. Texts as typed give way to their values in the other unit.
pub fn unit_choice(sheet: Sheet) -> impl IntoView {
    let choice = move |(units, id, name): (Units, &'static str, &'static str)| {
        view! {
            <input
                type="radio"
                name="units"
                id=id
                prop:checked=move || units::in_force() == units
                on:change=move |_| {
                    sheet.typed.set(Typed::default());
                    units::choose(units);
                }
            />
            <label for=id>{name}</label>
        }
    };
    let choices = [
        (Units::Metric, "units-metric", word::METRIC),
        (Units::Inches, "units-inches", word::INCHES),
    ];
    view! {
        <fieldset class="segments">
            <legend>{word::UNITS}</legend>
            <div>{choices.map(choice).into_iter().collect_view()}</div>
        </fieldset>
    }
}
