//! 'What throws do I set?' A row for each control surface: high and low rate
//! in degrees and by the ruler, the radio's dual rate and expo, and why.

use leptos::prelude::*;
use sim_core::handling::pilot::Skill;
use sim_core::throws::advice::ThrowAdvice;

use super::{of_assessment, panel};
use crate::state::Sheet;
use crate::text::{self, card as card_words, kind, question, throws as words, word};
use crate::view::card;

pub fn throws(sheet: Sheet) -> impl IntoView {
    let rows = of_assessment(sheet, |assessment, _| {
        if assessment.throws.is_empty() {
            return view! { <p class="lede">{word::NO_CONTROLS}</p> }.into_any();
        }
        view! {
            <div class="throws-table" role="table" aria-labelledby="throws-heading">
                <div class="throws-row throws-head" role="row">
                    <span role="columnheader">{word::SURFACE}</span>
                    <span role="columnheader">{word::HIGH_RATE}</span>
                    <span role="columnheader">{word::LOW_RATE}</span>
                    <span role="columnheader">{word::DUAL_RATE}</span>
                    <span role="columnheader">{word::EXPO}</span>
                </div>
                {assessment.throws.iter().map(row).collect_view()}
            </div>
        }
        .into_any()
    });
    panel(
        "throws",
        question::THROWS,
        view! {
            {skill_choice(sheet)}
            {rows}
            <p class="note">{word::THROWS_NOTE}</p>
            {card::open_button(sheet, card_words::OPEN_TO_PRINT)}
        },
    )
}

fn row(advice: &ThrowAdvice) -> impl IntoView + use<> {
    let rate = |rate_rad: f64, travel_m: f64| {
        view! {
            <span class="rate" role="cell">
                <strong>{text::degrees(rate_rad, 0)}</strong>
                <span>{text::millimetres(travel_m)}</span>
            </span>
        }
    };
    let percent = |share: f64| text::percent(share);
    let conflict = advice.conflict.as_ref().map(|conflict| {
        let remedy = conflict.remedies.first().map(words::remedy);
        view! { <p class="conflict">{words::conflict(conflict)} " " {remedy}</p> }
    });
    view! {
        <div class="throws-row" role="row">
            <span class="throws-surface" role="rowheader">{words::surface(advice.duty)}</span>
            {rate(advice.high_rate_rad, advice.high_travel_m)}
            {rate(advice.low_rate_rad, advice.low_travel_m)}
            <span class="rate" role="cell">{percent(advice.low_share)}</span>
            <span class="rate" role="cell">
                {percent(advice.expo)}
                {(advice.low_expo > 0.005).then(|| view! {
                    <span>{words::low_expo(advice.low_expo)}</span>
                })}
            </span>
            <div class="why" role="cell">
                <p>{word::HIGH_RATE} ": " {words::binding(&advice.high_binds, true)} "."</p>
                <p>{word::LOW_RATE} ": " {words::binding(&advice.low_binds, false)} "."</p>
                {conflict}
            </div>
        </div>
    }
}

/// For whom the throws are meant.
fn skill_choice(sheet: Sheet) -> impl IntoView {
    let skill = Memo::new(move |_| sheet.design.with(|d| d.question.pilot.skill));
    let choice = move |(value, name): (Skill, &'static str)| {
        let id = format!("skill-{name}").replace(' ', "-");
        view! {
            <input
                type="radio"
                name="skill"
                id=id.clone()
                prop:checked=move || skill.get() == value
                on:change=move |_| sheet.change_design("skill", |d| d.question.pilot.skill = value)
            />
            <label for=id>{name}</label>
        }
    };
    view! {
        <fieldset class="segments">
            <legend>{word::SKILL}</legend>
            <div>{kind::SKILLS.into_iter().map(choice).collect_view()}</div>
        </fieldset>
    }
}
