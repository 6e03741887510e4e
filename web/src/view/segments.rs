//! One of a few, side by side.

use leptos::prelude::*;

/// The options, each made by [`segment`].
pub fn segments(legend: &'static str, options: Vec<AnyView>) -> AnyView {
    view! {
        <fieldset class="segments">
            <legend>{legend}</legend>
            <div>{options}</div>
        </fieldset>
    }
    .into_any()
}

/// An option.
pub fn segment(
    group: &'static str,
    id: String,
    name: &'static str,
    chosen: impl Fn() -> bool + Send + Sync + 'static,
    choose: impl Fn() + 'static,
) -> AnyView {
    boxed_segment(group, id, name, Box::new(chosen), Box::new(choose))
}

/// Compiled once, whatever is chosen.
fn boxed_segment(
    group: &'static str,
    id: String,
    name: &'static str,
    chosen: Box<dyn Fn() -> bool + Send + Sync>,
    choose: Box<dyn Fn()>,
) -> AnyView {
    view! {
        <input
            type="radio"
            name=group
            id=id.clone()
            prop:checked=chosen
            on:change=move |_| choose()
        />
        <label for=id>{name}</label>
    }
    .into_any()
}
