//! Fuselage, booms, struts, wheels.

use leptos::prelude::*;
use sim_core::aircraft::BodyKind;

use super::{adder, assume_last, name_of, numbers, outline_of, quiet};
use crate::state::{Sheet, fields, parts};
use crate::text::{kind, word};
use crate::view::field::{choice_input, flag_input, text_input};

pub fn bodies(sheet: Sheet) -> impl IntoView {
    let count = outline_of(sheet, |a| a.bodies.len());
    view! {
        <details class="group">
            <summary>
                <span class="group-name">{word::BODIES}</span>
                <span class="group-hint">{move || count.get()}</span>
            </summary>
            {move || (0..count.get()).map(|i| body(sheet, i)).collect_view()}
            {adder(sheet, word::ADD_BODY, &kind::BODIES, add)}
        </details>
    }
}

fn add(sheet: Sheet, kind: BodyKind) {
    sheet.rearrange("bodies", |a| parts::add_body(a, kind));
    assume_last(sheet, "bodies", |a| a.bodies.len());
}

fn body(sheet: Sheet, i: usize) -> impl IntoView {
    let name = name_of(sheet, move |a| Some(&fields::body(i).of(a)?.name));
    view! {
        <h3>{name}</h3>
        <div class="fields">
            {text_input(sheet, fields::body_name(i))}
            {choice_input(sheet, fields::body_kind(i))}
        </div>
        {numbers(sheet, fields::body_fields(i))}
        <div class="fields">{flag_input(sheet, fields::body_mirrored(i))}</div>
        {quiet(word::DUPLICATE, move || {
            sheet.rearrange("bodies", |a| parts::duplicate(&mut a.bodies, i));
        })}
        {quiet(word::REMOVE, move || {
            sheet.rearrange("bodies", |a| parts::remove(&mut a.bodies, i));
            sheet.forget_item("bodies", i);
        })}
    }
}
