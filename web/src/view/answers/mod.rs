//! The answers, each under the builder's own question.

pub mod balance;
mod dihedral;
mod engineer;
mod linkage;
mod power;
mod power_curves;
mod present;
mod response;
mod steady;
mod sureness;
mod throws;

use std::sync::Arc;

use leptos::prelude::*;
use sim_core::aircraft::Finding;
use sim_core::assess::Assessment;

pub use balance::root_leading_edge_m;

use super::field::element_id;
use super::sight::{pane, pane_with};
use super::term;
use crate::state::compute::Outcome;
use crate::state::form::Typed;
use crate::state::live::memo;
use crate::state::panes::Needs;
use crate::state::{Sheet, fields};
use crate::text::{self, caution, question};

pub fn answers(sheet: Sheet) -> impl IntoView {
    provide_context(Opened(RwSignal::new(None)));
    let stale = memo(move || sheet.outcome.with(|o| o.stale));
    view! {
        <div class="answers" id="answers" class:answers-stale=move || stale.get()>
            {faults(sheet)}
            {balance::balance(pane(sheet, "balance"))}
            {throws::throws(pane_with(sheet, "throws", Needs::Throws))}
            {crate::flight::entry(sheet)}
            {present::present(pane_with(sheet, "present", Needs::Throws))}
            {linkage::linkage(pane_with(sheet, "linkage", Needs::Throws))}
            {response::responses(sheet)}
            {steady::steady(pane(sheet, "steady"))}
            {power::power(pane(sheet, "power"))}
            {sureness::sureness(pane(sheet, "sureness"))}
            {super::whatif::whatif(pane_with(sheet, "whatif", Needs::Motion))}
            {engineer::engineer(pane_with(sheet, "engineer", Needs::Motion))}
            {cautions()}
        </div>
    }
}

/// A panel under one question.
fn panel(key: &'static str, question: &'static str, content: impl IntoView + 'static) -> AnyView {
    panel_around(key, question, content.into_any())
}

/// Compiled once, whatever the content.
fn panel_around(key: &'static str, question: &'static str, content: AnyView) -> AnyView {
    let heading = format!("{key}-heading");
    let labelled_by = heading.clone();
    view! {
        <section class=format!("panel panel-{key}") id=key aria-labelledby=labelled_by>
            <h2 id=heading>{question}</h2>
            {content}
        </section>
    }
    .into_any()
}

/// The number whose method is told at present, by its name.
#[derive(Clone, Copy)]
struct Opened(RwSignal<Option<String>>);

/// A number with what it is and what it means; its name opens how it was found.
fn readout(
    name: &str,
    value: impl IntoView + 'static,
    meaning: impl IntoView + 'static,
) -> AnyView {
    readout_around(name, value.into_any(), meaning.into_any())
}

/// Compiled once, whatever the value.
fn readout_around(name: &str, value: AnyView, meaning: AnyView) -> AnyView {
    let opened = use_context::<Opened>().map(|Opened(opened)| opened);
    let depth = text::depth::of(name).zip(opened);
    let explained = text::glossary::of(name).map(|term| (term, term::fresh_id()));
    let described_by = explained.as_ref().map(|(_, id)| id.clone());
    let name = name.to_owned();
    let head = match &depth {
        None => name.clone().into_any(),
        Some((_, opened)) => {
            let opened = *opened;
            let (own, shown) = (name.clone(), name.clone());
            let is_open = move || opened.with(|o| o.as_ref() == Some(&shown));
            let toggle = move |_| {
                opened.update(|o| {
                    *o = if o.as_ref() == Some(&own) { None } else { Some(own.clone()) }
                });
            };
            view! {
                <button
                    type="button"
                    class="depth-button"
                    aria-describedby=described_by
                    aria-expanded=move || is_open().to_string()
                    on:click=toggle
                >
                    {name.clone()}
                </button>
            }
            .into_any()
        }
    };
    let head = match explained {
        Some((term, id)) => term::explained(head, term.meaning, id).into_any(),
        None => head,
    };
    let behind = depth.map(|(depth, opened)| {
        move || {
            opened.with(|o| o.as_ref() == Some(&name)).then(|| {
                view! {
                    <dd class="readout-depth">
                        <p>{text::depth::HOW} ": " {depth.method}</p>
                        <p>{text::depth::SOURCE} ": " {depth.source}</p>
                    </dd>
                }
            })
        }
    });
    view! {
        <div class="readout">
            <dt>{head}</dt>
            <dd class="readout-value">{value}</dd>
            <dd class="readout-meaning">{meaning}</dd>
            {behind}
        </div>
    }
    .into_any()
}

/// Shows something of the present answer, where there is one.
fn of_assessment<V: IntoView + 'static>(
    sheet: Sheet,
    show: impl Fn(&Assessment, &Outcome) -> V + Send + Sync + 'static,
) -> impl Fn() -> Option<V> + Send + Sync + 'static {
    move || {
        let outcome: Arc<Outcome> = sheet.outcome.get();
        outcome.assessment.as_ref().map(|assessment| show(assessment, &outcome))
    }
}

/// Something of the present answer in words; the element around it stays.
fn in_words(
    sheet: Sheet,
    say: impl Fn(&Assessment, &Outcome) -> String + Send + Sync + 'static,
) -> Signal<String> {
    Signal::derive(move || {
        sheet.outcome.with(|o| o.assessment.as_ref().map(|a| say(a, o)).unwrap_or_default())
    })
}

/// A field at fault: its path, its place in words, and what is wrong with it.
type Wrong = (String, String, String);

/// All fields at fault, numbers in the units of the bench.
fn wrong_fields(sheet: Sheet) -> Vec<Wrong> {
    let findings = sheet.findings.get();
    let all_readable = !sheet.typed.with(Typed::has_unreadable);
    if findings.is_empty() && all_readable {
        return Vec::new();
    }
    sheet.with_aircraft_untracked(|aircraft| {
        let mut wrong: Vec<Wrong> = Vec::new();
        for field in fields::number_fields(aircraft) {
            let path = &field.field.path;
            let typed = sheet.typed.with_untracked(|typed| typed.get(path).map(str::to_owned));
            if let Some(fault) = field.fault(&typed.unwrap_or_else(|| field.show(aircraft))) {
                let said = text::text_fault(fault, field.measure.unit());
                let place = text::place_in_words(aircraft, path);
                wrong.push((path.clone(), place, format!(": {said}")));
            }
        }
        for Finding { field, message } in findings.iter() {
            if wrong.iter().all(|(path, ..)| path != field) {
                let place = text::place_in_words(aircraft, field);
                wrong.push((field.clone(), place, format!(" {}", text::message(message))));
            }
        }
        wrong
    })
}

/// Says that the results are those of an earlier state, and why.
fn faults(sheet: Sheet) -> impl IntoView {
    let obstacle = memo(move || sheet.outcome.with(|o| o.obstacle.clone()));
    let wrong = memo(move || wrong_fields(sheet));
    move || {
        let wrong = wrong.get();
        if wrong.is_empty() {
            return obstacle.get().map(|obstacle| {
                view! {
                    <section class="faults" role="status">
                        <p>{text::OBSTACLE}</p>
                        <p>{text::finding(&obstacle)}</p>
                    </section>
                }
                .into_any()
            });
        }
        let count = text::fault_count(wrong.len());
        let list = wrong.into_iter().map(|(path, place, said)| {
            view! { <li><a data-bench href=format!("#{}", element_id(&path))>{place}</a>{said}</li> }
        });
        Some(
            view! {
                <section class="faults" role="status">
                    <p>{count}</p>
                    <ul>{list.collect_view()}</ul>
                </section>
            }
            .into_any(),
        )
    }
}

fn cautions() -> impl IntoView {
    panel("cautions", question::BEFORE_FLIGHT, caution_list())
}

/// What a computer cannot check.
pub fn caution_list() -> AnyView {
    let list = caution::ALL.into_iter().map(|(head, words)| {
        view! { <li><strong>{head}</strong> " " {words}</li> }
    });
    view! { <ul>{list.collect_view()}</ul> }.into_any()
}
