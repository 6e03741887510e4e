//! 'What throws do I set?' A row for each control surface: high and low rate
//! in degrees and by the ruler, the radio's dual rate and expo, and why.

use leptos::prelude::*;
use sim_core::assess::uncertainty::Quantity;
use sim_core::handling::pilot::Skill;
use sim_core::throws::advice::ThrowAdvice;
use sim_core::throws::sensitivity::Duty;

use super::sureness::beside_angle;
use super::{of_assessment, panel};
use crate::state::Sheet;
use crate::state::live::memo;
use crate::text::{self, card as card_words, glossary, kind, question, throws as words, word};
use crate::view::card;
use crate::view::segments::{segment, segments};
use crate::view::term::term;

pub fn throws(sheet: Sheet) -> impl IntoView {
    let rows = of_assessment(sheet, move |assessment, _| {
        if assessment.throws.is_empty() {
            return view! { <p class="lede">{word::NO_CONTROLS}</p> }.into_any();
        }
        view! {
            <div class="throws-table" role="table" aria-labelledby="throws-heading">
                <div class="throws-row throws-head" role="row">
                    <span role="columnheader">{word::SURFACE}</span>
                    <span role="columnheader">{term(glossary::HIGH_RATE)}</span>
                    <span role="columnheader">{term(glossary::LOW_RATE)}</span>
                    <span role="columnheader">{term(glossary::DUAL_RATE)}</span>
                    <span role="columnheader">{term(glossary::EXPO)}</span>
                </div>
                {assessment.throws.iter().map(|advice| row(sheet, advice)).collect_view()}
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

fn row(sheet: Sheet, advice: &ThrowAdvice) -> impl IntoView + use<> {
    let rate = |rate_rad: f64, travel_m: f64, quantity: Quantity| {
        view! {
            <span class="rate" role="cell">
                <strong>{text::degrees(rate_rad, 1)}</strong>
                <span>{text::millimetres(travel_m)}</span>
                {beside_angle(sheet, quantity)}
            </span>
        }
    };
    let percent = |share: f64| text::percent(share);
    let conflict = advice.conflict.as_ref().map(|conflict| {
        view! { <p class="conflict">{words::conflict(conflict)} " " {remedy(sheet, advice.duty)}</p> }
    });
    view! {
        <div class="throws-row" role="row">
            <span class="throws-surface" role="rowheader">{words::surface(advice.duty)}</span>
            {rate(advice.high_rate_rad, advice.high_travel_m, Quantity::HighRate(advice.duty))}
            {rate(advice.low_rate_rad, advice.low_travel_m, Quantity::LowRate(advice.duty))}
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

/// The best change of the aeroplane, once it has been worked out.
fn remedy(sheet: Sheet, duty: Duty) -> impl IntoView {
    move || {
        let dated = sheet.late.present(sheet.late.remedies)?;
        let (_, remedies) = dated.result.iter().find(|(own, _)| *own == duty)?;
        remedies.first().map(words::remedy)
    }
}

/// For whom the throws are meant.
fn skill_choice(sheet: Sheet) -> impl IntoView {
    let skill = memo(move || sheet.design.with(|d| d.question.pilot.skill));
    let choice = move |(value, name): (Skill, &'static str)| {
        segment(
            "skill",
            format!("skill-{name}").replace(' ', "-"),
            name,
            move || skill.get() == value,
            move || sheet.change_design("skill", |d| d.question.pilot.skill = value),
        )
    };
    segments(word::SKILL, kind::SKILLS.map(choice).into())
}
