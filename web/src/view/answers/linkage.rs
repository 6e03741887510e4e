//! 'Do servo and linkage bring it?' For each linkage: throw against stick, the
//! holes to take, servo and pushrod under load, play and flutter.

use leptos::prelude::*;
use sim_core::assess::LinkageReport;

use super::{of_assessment, panel, readout};
use crate::plot::axis::Axis;
use crate::plot::figure::{Curve, Figure, Pen};
use crate::state::Sheet;
use crate::state::live::memo;
use crate::text::{self, answer, linkage as words};
use crate::view::figure::figure;

pub fn linkage(sheet: Sheet) -> AnyView {
    let count =
        memo(move || sheet.outcome.with(|o| o.assessment.as_ref().map_or(0, |a| a.linkages.len())));
    // The last field before a linkage's own; it stands beside the fold.
    let first =
        sheet.watch(|a| a.surfaces.iter().position(|s| !s.controls.is_empty()).unwrap_or_default());
    let above = move || format!("#surfaces-{}--controls-0--throw_max_deg", first.get());
    let content = move || match count.get() {
        0 => view! {
            <p class="lede">{words::NOTHING_ENTERED}</p>
            <p class="trust-link"><a data-bench href=above>{words::TO_THE_BENCH}</a></p>
        }
        .into_any(),
        count => (0..count).map(|index| one(sheet, index)).collect_view().into_any(),
    };
    panel("linkage", words::QUESTION, content).into_any()
}

/// Height of the plot, px.
const PLOT_PX: f64 = 150.0;

fn one(sheet: Sheet, index: usize) -> AnyView {
    let of = move |show: fn(&LinkageReport) -> AnyView| {
        of_assessment(sheet, move |assessment, _| assessment.linkages.get(index).map(show))
    };
    let curve = memo(move || {
        sheet.outcome.with(|o| figure_of(o.assessment.as_ref()?.linkages.get(index)?))
    });
    let described = move || {
        curve.with(|figure| {
            let Some(figure) = figure else { return String::new() };
            let ends: Vec<(String, f64)> = figure
                .curves
                .iter()
                .filter_map(|curve| Some((curve.name.clone(), curve.points.last()?.1)))
                .collect();
            answer::plot_description(&figure.title, &ends)
        })
    };
    let plotted = memo(move || curve.with(Option::is_some));
    view! {
        {of(head)}
        {move || plotted.get().then(|| figure(PLOT_PX, move || curve.get(), described))}
        {of(rest)}
    }
    .into_any()
}

fn head(report: &LinkageReport) -> AnyView {
    let fault = report.fault.as_ref().map(|fault| {
        view! { <p class="conflict">{text::finding(fault)}</p> }
    });
    let full = report.full_throws.map(|throws| {
        readout(words::FULL, words::full(&throws), words::asymmetry(throws.asymmetry()))
    });
    let travel = report.full_throws.is_some().then(|| match report.travel_for_high {
        Some(travel) => {
            readout(words::TRAVEL_TO_SET, text::percent(travel), words::travel_meaning(travel))
        }
        None => readout(
            words::TRAVEL_TO_SET,
            words::OUT_OF_REACH.to_owned(),
            words::OUT_OF_REACH_MEANING,
        ),
    });
    let play = report
        .play_rad
        .map(|play| readout(words::PLAY, text::degrees(play, 1), words::play(report)));
    view! {
        <h3>{words::name(report)}</h3>
        {fault}
        <dl class="readouts">{full}{travel}{play}</dl>
    }
    .into_any()
}

/// Holes, loads and flutter.
fn rest(report: &LinkageReport) -> AnyView {
    let item = |words: String, wrong: Option<&'static str>| {
        let wrong = wrong.map(|wrong| view! { <p class="conflict">{wrong}</p> });
        view! { <li>{words}{wrong}</li> }.into_any()
    };
    let list = |head: &'static str, items: Vec<AnyView>| {
        (!items.is_empty())
            .then(|| view! { <h4>{head}</h4><ul class="linkage-list">{items}</ul> }.into_any())
    };
    let holes = report.best_holes.iter().map(|pair| item(words::holes(pair), None)).collect();
    let loads =
        report.loads.iter().map(|load| item(words::load(load), words::overloaded(load))).collect();
    let flutter = report.flutter.map(|flutter| {
        let class = if flutter.exceeded { "conflict" } else { "note" };
        view! { <p class=class>{words::flutter(&flutter)}</p> }
    });
    view! { {list(words::HOLES, holes)} {list(words::LOADS, loads)} {flutter} }.into_any()
}

/// Surface angle over the stick with the present and with the best holes.
fn figure_of(report: &LinkageReport) -> Option<Figure> {
    report.full_throws?;
    let points = |curve: &[(f64, f64)]| -> Vec<(f64, f64)> {
        curve.iter().map(|(stick, angle)| (100.0 * stick, angle.to_degrees())).collect()
    };
    let present = points(&report.throw_against_stick_rad);
    let best = points(&report.best_against_stick_rad);
    let values: Vec<f64> = present.iter().chain(&best).map(|point| point.1).collect();
    Some(Figure {
        title: words::PLOT.to_owned(),
        across_unit: words::PLOT_ACROSS.to_owned(),
        across: Axis::around([-100.0, 100.0], 4, 0.0),
        upwards: Axis::around(values, 4, 4.0),
        curves: vec![
            Curve { name: words::PLOT_CURVE.to_owned(), pen: Pen::First, points: present },
            Curve { name: words::PLOT_BEST.to_owned(), pen: Pen::Second, points: best },
        ],
    })
}
