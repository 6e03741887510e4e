//! The tables behind the answers, and the report as a file.

use leptos::prelude::*;
use nalgebra::SMatrix;
use sim_core::analysis::{Coefficients, Mode};
use sim_core::assess::{Assessment, flight_point};
use sim_core::report::{csv, report};

use super::of_assessment;
use crate::state::Sheet;
use crate::text::depth as words;
use crate::text::{answer, word};
use crate::view::file_menu::save_text;

/// The panel. Its tables are made only while they are open.
pub fn engineer(sheet: Sheet) -> impl IntoView {
    let open = RwSignal::new(false);
    let tables = of_assessment(sheet, |assessment, _| tables(assessment));
    let tables = StoredValue::new(tables);
    view! {
        <section class="panel panel-engineer" id="engineer" aria-labelledby="engineer-heading">
            <h2 id="engineer-heading">{words::ENGINEER}</h2>
            <div class="buttons">
                <button
                    type="button"
                    aria-expanded=move || open.get().to_string()
                    on:click=move |_| open.update(|open| *open = !*open)
                >
                    {move || if open.get() { words::HIDE } else { words::SHOW }}
                </button>
                <button type="button" on:click=move |_| save(sheet, false)>{words::SAVE_JSON}</button>
                <button type="button" on:click=move |_| save(sheet, true)>{words::SAVE_CSV}</button>
            </div>
            {move || open.get().then(|| tables.with_value(|tables| tables()))}
        </section>
    }
}

/// A table of numbers with a head for each column and row.
fn table(title: &str, columns: &[&str], rows: Vec<(String, Vec<f64>)>) -> AnyView {
    let heads = columns.iter().map(|head| view! { <th scope="col">{(*head).to_owned()}</th> });
    let heads = heads.collect_view();
    let rows = rows.into_iter().map(|(head, numbers)| {
        let numbers = numbers.into_iter().map(|number| view! { <td>{words::number(number)}</td> });
        view! { <tr><th scope="row">{head}</th>{numbers.collect_view()}</tr> }
    });
    let rows = rows.collect_view();
    let title = title.to_owned();
    view! {
        <h3>{title.clone()}</h3>
        <div class="wide" tabindex="0" role="region" aria-label=title>
            <table class="numbers matrix">
                <thead><tr><th scope="col">{words::BY}</th>{heads}</tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}

fn tables(assessment: &Assessment) -> impl IntoView + use<> {
    let a = assessment;
    let coefficients = |c: &Coefficients| {
        vec![c.lift, c.drag, c.side_force, c.rolling_moment, c.pitching_moment, c.yawing_moment]
    };
    let name = |symbol: &str| words::cause(symbol).to_owned();
    let plain = a.derivatives.rows();
    let plain = plain.iter().map(|(cause, c)| (name(cause.symbol()), coefficients(c))).collect();
    let dimensional = a.derivatives.dimensional(&flight_point(&a.trim), &a.reference);
    let dimensional = dimensional.iter().map(|row| {
        let loads = vec![
            row.lift_n,
            row.drag_n,
            row.side_force_n,
            row.rolling_moment_n_m,
            row.pitching_moment_n_m,
            row.yawing_moment_n_m,
        ];
        (name(row.cause.symbol()), loads)
    });
    let (longitudinal, lateral) = (a.linear.longitudinal(), a.linear.lateral());
    let modes = a.modes.longitudinal.iter().chain(&a.modes.lateral);
    let roots = modes.map(|mode: &Mode| {
        let numbers = vec![
            mode.real_1_s,
            mode.imaginary_rad_s,
            mode.natural_frequency_rad_s,
            mode.damping_ratio,
        ];
        (answer::mode_name(mode.kind).1.to_owned(), numbers)
    });
    view! {
        <p class="note">{words::CONVENTIONS}</p>
        {table(words::NON_DIMENSIONAL, &words::COEFFICIENTS, plain)}
        {table(words::DIMENSIONAL, &words::LOADS, dimensional.collect())}
        {system(words::LONGITUDINAL, words::LONGITUDINAL_STATES, &longitudinal.a, &longitudinal.b)}
        {system(words::LATERAL, words::LATERAL_STATES, &lateral.a, &lateral.b)}
        {table(words::ROOTS, &words::ROOT_COLUMNS, roots.collect())}
    }
}

/// A and B beside each other: rates of change of the states.
fn system(
    title: &str,
    states: [&'static str; 4],
    a: &SMatrix<f64, 4, 4>,
    b: &SMatrix<f64, 4, 5>,
) -> AnyView {
    let columns: Vec<&str> = states.into_iter().chain(words::CONTROLS).collect();
    let rows = states.into_iter().enumerate().map(|(row, state)| {
        let numbers = a.row(row).iter().chain(b.row(row).iter()).copied().collect();
        (format!("d{state}/dt"), numbers)
    });
    table(title, &columns, rows.collect())
}

fn save(sheet: Sheet, as_table: bool) {
    let name = sheet.with_aircraft_untracked(|a| a.name.clone());
    let text = sheet.outcome.with_untracked(|o| {
        let report = report(&name, o.assessment.as_ref()?);
        Some(if as_table {
            csv(&report)
        } else {
            // Plain values with text keys always become JSON.
            serde_json::to_string_pretty(&report).unwrap_or_default()
        })
    });
    let file = crate::text::report_name(&name, if as_table { "csv" } else { "json" });
    if text.is_some_and(|text| save_text(&text, &file).is_err()) {
        sheet.tell(word::FILE_NOT_SAVED);
    }
}
