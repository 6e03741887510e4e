//! Fields of servo and linkage, under a control surface of the form.

use leptos::prelude::*;

use super::field::{choice_input, number_input};
use crate::state::form::NumberField;
use crate::state::{Sheet, rigging as fields};
use crate::text::linkage as words;

/// Servo and linkage of a control surface by its place.
pub fn rigging(sheet: Sheet, i: usize, k: usize) -> AnyView {
    let entered =
        sheet.watch(move |a| fields::entered(a, i, k).is_some_and(|entered| entered.linkage));
    let put = move |linkage| {
        sheet.rearrange("linkage", |a| {
            fields::with_control(a, (i, k), |control| control.linkage = linkage);
        });
    };
    let content = move || {
        if !entered.get() {
            return button(words::ENTER_LINKAGE, move || put(Some(fields::first_linkage())));
        }
        view! {
            <p class="note">{words::MEASURE_NOTE}</p>
            {numbers(sheet, fields::geometry_fields(i, k))}
            {numbers(sheet, fields::servo_fields(i, k))}
            <div class="fields">
                {fields::pushrod_choices(i, k)
                    .into_iter()
                    .map(|field| choice_input(sheet, field))
                    .collect_view()}
            </div>
            {numbers(sheet, fields::pushrod_fields(i, k))}
            {button(words::REMOVE_LINKAGE, move || put(None))}
        }
        .into_any()
    };
    view! {
        <details class="group rigging">
            <summary>
                <span class="group-name">{words::LINKAGE}</span>
                <span class="group-hint">
                    {move || (!entered.get()).then_some(words::NOT_ENTERED)}
                </span>
            </summary>
            {content}
        </details>
    }
    .into_any()
}

/// Number fields side by side.
pub fn numbers(sheet: Sheet, fields: Vec<NumberField>) -> AnyView {
    let inputs: Vec<AnyView> =
        fields.into_iter().map(|field| number_input(sheet, field).into_any()).collect();
    view! { <div class="fields">{inputs}</div> }.into_any()
}

/// A button that looks like a link.
pub fn button(said: &'static str, press: impl Fn() + 'static) -> AnyView {
    boxed_button(said, Box::new(press))
}

/// Compiled once, whatever it does.
fn boxed_button(said: &'static str, press: Box<dyn Fn()>) -> AnyView {
    view! { <button type="button" class="quiet" on:click=move |_| press()>{said}</button> }
        .into_any()
}
