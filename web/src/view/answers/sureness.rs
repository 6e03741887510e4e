//! 'How sure is this?' Intervals, the measurements to repeat, and how far the
//! work has got. Also the brackets that stand beside values elsewhere.

use leptos::prelude::*;
use sim_core::assess::uncertainty::{Quantity, Uncertainty};

use super::balance::root_leading_edge_m;
use super::panel;
use crate::state::Sheet;
use crate::state::late::errand::SAMPLES;
use crate::state::late::{Course, LateResult, go_on, stop};
use crate::state::live::memo;
use crate::text::{question, sureness as words};

/// Measurements that are worth naming.
const NAMED_MAX: usize = 4;

pub fn sureness(sheet: Sheet) -> impl IntoView {
    let result = move || {
        let dated = sheet.late.uncertainty.get()?;
        Some(result_view(sheet, &dated.result))
    };
    panel(
        "sureness",
        question::SURENESS,
        view! {
            <p class="lede">{words::LEDE}</p>
            {course(sheet)}
            {older(sheet, sheet.late.uncertainty)}
            {result}
            <p class="note">{words::LIMITS}</p>
            <p class="trust-link"><a href="trust.html">{words::TRUST}</a></p>
        },
    )
}

/// Says that a late result is that of an earlier state.
pub fn older<T: Send + Sync + 'static>(sheet: Sheet, of: LateResult<T>) -> impl IntoView {
    let older = memo(move || {
        let revision = sheet.late.revision.get();
        of.with(|dated| dated.as_ref().is_some_and(|dated| dated.revision != revision))
    });
    move || older.get().then(|| view! { <p class="older">{words::OLDER}</p> })
}

/// The interval of an angle, to stand beside its value; nothing until it is
/// known for the present design.
pub fn beside_angle(sheet: Sheet, quantity: Quantity) -> impl IntoView {
    move || {
        let spread = sheet.late.spread(quantity)?;
        Some(view! { <span class="between">{words::bracket(&spread.interval)}</span> })
    }
}

/// The interval of any quantity, in its unit and in brackets.
pub fn beside(sheet: Sheet, quantity: Quantity) -> impl IntoView {
    move || {
        let spread = sheet.late.spread(quantity)?;
        let text = words::interval(quantity, &spread.interval, origin_m(sheet));
        Some(view! { <span class="between">{format!("({text})")}</span> })
    }
}

fn origin_m(sheet: Sheet) -> f64 {
    sheet.outcome.with_untracked(|o| o.sound.as_ref().map_or(0.0, |a| root_leading_edge_m(a)))
}

/// How far the work has got, with the way to stop it.
fn course(sheet: Sheet) -> impl IntoView {
    let late = sheet.late;
    let running = memo(move || matches!(late.course.get(), Course::Running { .. }));
    let done = move || match late.course.get() {
        Course::Running { done } => done,
        _ => 0,
    };
    let state = move || {
        if running.get() {
            return view! {
                <label class="late-progress">
                    <span>{words::PROGRESS}</span>
                    <progress max=SAMPLES prop:value=move || done() as f64></progress>
                    <span>{move || words::progress(done(), SAMPLES)}</span>
                </label>
                <button type="button" class="quiet" on:click=move |_| stop(sheet)>
                    {words::STOP}
                </button>
            }
            .into_any();
        }
        match late.course.get() {
            Course::Waiting => view! { <p class="note">{words::WAITING}</p> }.into_any(),
            Course::Stopped => view! {
                <p class="note" role="status">{words::STOPPED}</p>
                <button type="button" class="quiet" on:click=move |_| go_on(sheet)>
                    {words::GO_ON}
                </button>
            }
            .into_any(),
            Course::Done | Course::Running { .. } => ().into_any(),
        }
    };
    let short_handed = move || {
        late.short_handed
            .get()
            .then(|| view! { <p class="conflict" role="status">{words::SHORT_HANDED}</p> })
    };
    view! { <div class="late-course">{state}</div> {short_handed} }
}

fn result_view(sheet: Sheet, uncertainty: &Uncertainty) -> impl IntoView + use<> {
    let origin_m = origin_m(sheet);
    let rows = uncertainty
        .quantities
        .iter()
        .filter(|spread| words::is_listed(spread.quantity))
        .map(|spread| {
            view! {
                <tr>
                    <th scope="row">{words::quantity(spread.quantity)}</th>
                    <td>{words::interval(spread.quantity, &spread.interval, origin_m)}</td>
                </tr>
            }
        })
        .collect_view();
    let again: Vec<_> = sheet.with_aircraft_untracked(|aircraft| {
        let again = uncertainty.measure_again();
        again.iter().take(NAMED_MAX).map(|own| words::repeat(own, aircraft)).collect()
    });
    let again = if again.is_empty() {
        view! { <p>{words::NOTHING_TO_REPEAT}</p> }.into_any()
    } else {
        let list = again.into_iter().map(|(name, why)| {
            view! { <li><strong>{name}</strong> ": " {why}</li> }
        });
        view! { <ol class="repeat">{list.collect_view()}</ol> }.into_any()
    };
    view! {
        <h3>{words::MEASURE_AGAIN}</h3>
        {again}
        <h3>{words::INTERVALS}</h3>
        <table class="intervals">
            <thead>
                <tr><th scope="col">{words::QUANTITY}</th><th scope="col">{words::BETWEEN}</th></tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
        <p class="note">{words::samples(uncertainty.samples)}</p>
    }
}
