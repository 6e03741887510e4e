//! The strip at the head of the sheet: name of the tool and of the aeroplane,
//! where to start from, undo and redo, and the sizes at a glance.

use leptos::prelude::*;

use super::card;
use super::field::text_input;
use super::file_menu::file_menu;
use super::safety::safety;
use super::shelf::shelf;
use super::sight::pane;
use crate::state::{Design, Sheet, examples, fields};
use crate::text::{self, word};

pub fn title_block(sheet: Sheet) -> impl IntoView {
    let can_undo = move || sheet.history.with(|h| h.can_undo());
    let can_redo = move || sheet.history.with(|h| h.can_redo());
    let own = pane(sheet, "title");
    view! {
        <header class="title-block" id="title">
            <div class="title-cell title-tool">
                <h1>{text::TOOL}</h1>
                <p>{text::TAGLINE}</p>
                {safety(sheet)}
            </div>
            <div class="title-cell title-name">{text_input(sheet, fields::aircraft_name())}</div>
            <div class="title-cell">{example_picker(sheet)}</div>
            <div class="title-cell title-history">
                <button type="button" prop:disabled=move || !can_undo() on:click=move |_| sheet.undo()>
                    {word::UNDO}
                </button>
                <button type="button" prop:disabled=move || !can_redo() on:click=move |_| sheet.redo()>
                    {word::REDO}
                </button>
                {shelf(sheet)}
                {file_menu(sheet)}
                {card::open_button(sheet, text::card::OPEN)}
            </div>
            <dl class="title-cell title-sizes">
                {move || sizes(own).into_iter().map(|(name, value)| view! {
                    <div><dt>{name}</dt><dd>{value}</dd></div>
                }).collect_view()}
            </dl>
        </header>
    }
}

fn example_picker(sheet: Sheet) -> impl IntoView {
    let pick = move |event| {
        let chosen = event_target_value(&event);
        if let Some(example) = examples::all().into_iter().find(|a| a.name == chosen) {
            let question = sheet.design.with_untracked(|d| d.question);
            sheet.replace(Design { aircraft: example, question });
        }
    };
    let shown =
        sheet.watch(
            |aircraft| {
                if examples::holds(aircraft) { aircraft.name.clone() } else { String::new() }
            },
        );
    view! {
        <label class="field">
            <span class="field-label">{word::START_FROM}</span>
            <select id="example" prop:value=move || shown.get() on:change=pick>
                <option value="">{word::OWN_DESIGN}</option>
                {examples::all().into_iter().map(|example| view! {
                    <option value=example.name.clone()>{example.name.clone()}</option>
                }).collect_view()}
            </select>
        </label>
    }
}

fn sizes(sheet: Sheet) -> Vec<(&'static str, String)> {
    let outcome = sheet.outcome.get();
    let mut sizes = Vec::new();
    if let Some(aircraft) = &outcome.sound {
        let wing = aircraft.wing_size();
        sizes.push((word::SPAN, text::millimetres(wing.span_m)));
        sizes.push((word::WING_AREA, text::area(wing.area_m2)));
        if let Some(assessment) = &outcome.assessment {
            sizes.push((word::FLYING_WEIGHT, text::grams(assessment.mass.mass_kg)));
            let loading = assessment.geometry.wing_loading_kg_m2;
            sizes.push((word::WING_LOADING, text::wing_loading(loading)));
        }
    }
    sizes
}
