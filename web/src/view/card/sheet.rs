//! The printed page, section by section.

use leptos::prelude::*;
use sim_core::aircraft::SoundAircraft;
use sim_core::assess::{Assessment, Question};
use sim_core::card::{CardWeight, MaidenCard};
use sim_core::math::ordered_by;
use sim_core::throws::sensitivity::Duty;

use super::drawing::drawing;
use crate::text::{self, card as words, kind};
use crate::view::answers::balance::root_leading_edge_m;

/// Weights with a line of their own; the rest shares the last one.
const WEIGHTS_MAX: usize = 9;
/// Cautions of this aeroplane that find room; the gravest come first.
const CAUTIONS_MAX: usize = 5;

/// The whole page.
pub fn sheet(
    aircraft: &SoundAircraft,
    assessment: &Assessment,
    question: &Question,
    card: &MaidenCard,
) -> AnyView {
    let behind_m = root_leading_edge_m(aircraft);
    let up_m = assessment.mass.balance_point.up_m;
    let skill = kind::SKILLS
        .into_iter()
        .find(|(skill, _)| *skill == question.pilot.skill)
        .map_or("", |(_, name)| name);
    let has_aileron = card.throws.iter().any(|throw| throw.duty == Duty::Roll);
    let balance = words::balance(&card.balance, behind_m);
    let weights = weights(&card.weights, card.mass_kg);
    let order = card.order.iter().map(|step| words::step(*step, card)).collect();
    view! {
        <article class="card" aria-labelledby="card-heading">
            <header class="card-head">
                <h1 id="card-heading">
                    <span class="card-kind">{words::CARD}</span>
                    " "
                    {card.name.clone()}
                </h1>
                <p>{words::assumptions(skill, question.altitude_m, card.speeds.cruise_m_s)}</p>
                <ul class="card-by-hand">
                    {words::BY_HAND.map(|name| view! { <li>{name}</li> }).into_iter().collect_view()}
                </ul>
            </header>
            <div class="card-top">
                <div>
                    {drawing(aircraft, card, (behind_m, up_m))}
                    {section(words::DIRECTIONS, list(
                        "card-checks",
                        card.checks.iter().map(words::direction).collect(),
                    ))}
                    {section(words::SURE, unsure(card, behind_m))}
                </div>
                <div class="card-side">
                    {section(words::BALANCE, view! {
                        {pairs(balance)}
                        <p class="card-note">{words::BALANCE_FROM}</p>
                    }.into_any())}
                    {section(words::SPEEDS, view! {
                        {pairs(owned(words::speeds(card)))}
                        {card.power.is_some().then(|| view! {
                            <p class="card-note">{words::SPEEDS_NOTE}</p>
                        })}
                    }.into_any())}
                    {section(words::TRIMS, pairs(owned(
                        words::trims(&card.trims, has_aileron, card.power.is_some()),
                    )))}
                </div>
            </div>
            {section(words::THROWS, view! {
                {throws(card)}
                <p class="card-note">{words::THROWS_NOTE}</p>
            }.into_any())}
            <div class="card-columns">
                {section(words::ORDER, list("card-order", order))}
                {section(words::CAUTIONS, cautions(card))}
                {section(words::WEIGHTS, pairs(weights))}
            </div>
            <footer class="card-foot">{words::FOOT}</footer>
        </article>
    }
    .into_any()
}

fn section(head: &'static str, content: AnyView) -> AnyView {
    view! { <section><h2>{head}</h2>{content}</section> }.into_any()
}

fn owned(lines: Vec<(&'static str, String)>) -> Vec<(String, String)> {
    lines.into_iter().map(|(name, value)| (name.to_owned(), value)).collect()
}

/// Names with their values.
fn pairs(lines: Vec<(String, String)>) -> AnyView {
    let line = |(name, value)| view! { <div><dt>{name}</dt><dd>{value}</dd></div> };
    view! { <dl class="card-pairs">{lines.into_iter().map(line).collect_view()}</dl> }.into_any()
}

fn list(class: &'static str, lines: Vec<String>) -> AnyView {
    let line = |words| view! { <li>{words}</li> };
    view! { <ol class=class>{lines.into_iter().map(line).collect_view()}</ol> }.into_any()
}

/// Weights, heaviest first, and their sum.
fn weights(weights: &[CardWeight], total_kg: f64) -> Vec<(String, String)> {
    let weights: Vec<&CardWeight> = weights.iter().collect();
    let weights = ordered_by(&weights, |weight| -weight.mass_kg);
    let shown = if weights.len() > WEIGHTS_MAX { WEIGHTS_MAX - 1 } else { weights.len() };
    let (own, others) = weights.split_at(shown);
    let mut lines: Vec<(String, String)> =
        own.iter().map(|weight| (weight.name.clone(), text::grams(weight.mass_kg))).collect();
    if !others.is_empty() {
        let sum = others.iter().map(|weight| weight.mass_kg).sum();
        lines.push((words::OTHER_WEIGHTS.to_owned(), text::grams(sum)));
    }
    lines.push((words::TOTAL.to_owned(), text::grams(total_kg)));
    lines
}

fn throws(card: &MaidenCard) -> AnyView {
    let sampled = card.throws.iter().any(|throw| throw.high_between_deg.is_some());
    let between = sampled.then_some(words::BETWEEN);
    let heads = words::THROW_HEADS.into_iter().chain(between);
    let row = |throw: &sim_core::card::CardThrow| {
        let mut cells = words::throw_row(throw).to_vec();
        if sampled {
            cells.push(throw.high_between_deg.map(words::between_degrees).unwrap_or_default());
        }
        view! { <tr>{cells.into_iter().map(|cell| view! { <td>{cell}</td> }).collect_view()}</tr> }
    };
    view! {
        <table class="card-throws">
            <thead>
                <tr>{heads.map(|head| view! { <th scope="col">{head}</th> }).collect_view()}</tr>
            </thead>
            <tbody>{card.throws.iter().map(row).collect_view()}</tbody>
        </table>
    }
    .into_any()
}

/// Cautions of this aeroplane, then those that every flight must heed.
fn cautions(card: &MaidenCard) -> AnyView {
    let own = card.cautions.iter().take(CAUTIONS_MAX).map(words::caution);
    let general = words::GENERAL.into_iter().map(|(head, words)| {
        view! { <li><strong>{head}</strong> " " {words}</li> }
    });
    view! {
        <ul class="card-cautions">
            {own.map(|words| view! { <li class="card-own">{words}</li> }).collect_view()}
            {general.collect_view()}
        </ul>
    }
    .into_any()
}

fn unsure(card: &MaidenCard, behind_m: f64) -> AnyView {
    let sampled: Vec<String> =
        card.unsure.iter().filter_map(|spread| words::spread(spread, behind_m)).collect();
    let sampled = (!sampled.is_empty()).then(|| words::sampled(&sampled));
    view! { <p>{sampled} {words::UNSURE}</p> }.into_any()
}
