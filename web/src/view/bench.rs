//! The form: what was measured, part by part.
//!
//! A part's fields are made anew only when parts come, go or change their
//! kind; a change of a number touches the field alone.

mod bodies;
mod sketch;
mod start;
mod surfaces;
mod weights;

use leptos::prelude::*;
use sim_core::aircraft::{Aircraft, Drive, Mounting};
pub use start::fold;

use super::field::{choice_input, flag_input, number_input, text_input};
use super::rigging::{button as quiet, numbers};
use crate::state::live::memo;
use crate::state::{Sheet, fields, parts};
use crate::text::{kind, word};

pub fn bench(sheet: Sheet) -> impl IntoView {
    let drives = outline_of(sheet, |a| {
        a.propulsion
            .iter()
            .map(|unit| matches!(unit.drive, Drive::Electric { .. }))
            .collect::<Vec<_>>()
    });
    view! {
        <section class="bench" id="bench" tabindex="-1" aria-labelledby="bench-heading">
            <h2 id="bench-heading">{word::BENCH}</h2>
            <p class="lede">{word::BENCH_LEDE}</p>
            {super::units::unit_choice(sheet)}
            {sketch::sketch(sheet)}
            {start::start(sheet)}
            {surfaces::surfaces(sheet)}
            {bodies::bodies(sheet)}
            {move || drives.get().into_iter().enumerate().map(|(i, electric)| {
                power_group(sheet, i, electric)
            }).collect_view()}
            {adder(sheet, word::ADD_PROPELLER, &kind::MOUNTINGS, add_propeller)}
            {weights::weights(sheet)}
        </section>
    }
}

fn add_propeller(sheet: Sheet, mounting: Mounting) {
    sheet.rearrange("propulsion", |a| parts::add_propulsion(a, mounting));
    assume_last(sheet, "propulsion", |a| a.propulsion.len());
}

/// Marks the numbers of a list's last item as not yet measured.
fn assume_last(sheet: Sheet, list: &str, count: fn(&Aircraft) -> usize) {
    let last = sheet.design.with_untracked(|d| count(&d.aircraft)).saturating_sub(1);
    sheet.assume(&format!("{list}[{last}]"));
}

/// What decides which fields there are.
fn outline_of<T: PartialEq + Clone + Send + Sync + 'static>(
    sheet: Sheet,
    take: fn(&Aircraft) -> T,
) -> Memo<T> {
    memo(move || sheet.with_aircraft(take))
}

/// The name of an item, which stands at the head of its fields.
fn name_of(
    sheet: Sheet,
    name: impl Fn(&Aircraft) -> Option<&String> + 'static,
) -> impl Fn() -> String {
    let name = sheet.watch(move |a| name(a).cloned().unwrap_or_default());
    move || name.get()
}

/// Picks a kind and adds one of it.
fn adder<K: Copy + Send + Sync + 'static>(
    sheet: Sheet,
    label: &'static str,
    kinds: &'static [(K, &'static str)],
    add: fn(Sheet, K),
) -> impl IntoView {
    let chosen = RwSignal::new(0_usize);
    let pick = move |event| {
        if let Ok(index) = event_target_value(&event).parse() {
            chosen.set(index);
        }
    };
    let press = move |_| {
        if let Some((kind, _)) = kinds.get(chosen.get_untracked()) {
            add(sheet, *kind);
        }
    };
    let options = kinds.iter().enumerate().map(|(index, (_, name))| {
        view! { <option value=index.to_string()>{*name}</option> }
    });
    view! {
        <div class="adder">
            <label class="field">
                <span class="field-label">{label}</span>
                <select on:change=pick>{options.collect_view()}</select>
            </label>
            <button type="button" on:click=press>{word::ADD}</button>
        </div>
    }
}

fn power_group(sheet: Sheet, i: usize, electric: bool) -> impl IntoView {
    let name = name_of(sheet, move |a| Some(&fields::propulsion(i).of(a)?.name));
    view! {
        <details class="group">
            <summary>
                <span class="group-name">{word::POWER}</span>
                <span class="group-hint">{name}</span>
            </summary>
            <div class="fields">
                {text_input(sheet, fields::propulsion_name(i))}
                {flag_input(sheet, fields::propulsion_mirrored(i))}
            </div>
            {numbers(sheet, fields::propeller_fields(i))}
            <div class="fields">
                {fields::propulsion_choices(i)
                    .into_iter()
                    .map(|field| choice_input(sheet, field))
                    .collect_view()}
            </div>
            {if electric {
                view! {
                    <div class="fields">{choice_input(sheet, fields::cells(i))}</div>
                    {numbers(sheet, fields::electric_fields(i))}
                    {pack_limit(sheet, i)}
                }.into_any()
            } else {
                numbers(sheet, fields::known_thrust_fields(i)).into_any()
            }}
            {quiet(word::DUPLICATE, move || {
                sheet.rearrange("propulsion", |a| parts::duplicate(&mut a.propulsion, i));
            })}
            {quiet(word::REMOVE, move || {
                sheet.rearrange("propulsion", |a| parts::remove(&mut a.propulsion, i));
                sheet.forget_item("propulsion", i);
            })}
        </details>
    }
}

/// The pack's own limit, which not every pack states.
fn pack_limit(sheet: Sheet, i: usize) -> impl IntoView {
    let known = fields::pack_limit_known(i);
    let is_known = {
        let known = known.clone();
        sheet.watch(move |a| known.read(a).unwrap_or_default())
    };
    view! {
        <div class="fields">
            {flag_input(sheet, known)}
            {move || is_known.get().then(|| number_input(sheet, fields::pack_limit(i)))}
        </div>
    }
}
