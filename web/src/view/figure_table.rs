//! A figure's values as a table, for those who cannot see the curves. Out of
//! sight until it is reached by keyboard or screen reader, and empty until it
//! is opened, so that it costs nothing while a slider moves.

use leptos::prelude::*;

use crate::plot::figure::Figure;
use crate::text::{news as words, word};

/// The table of what `figure` gives.
pub fn figure_table(figure: impl Fn() -> Option<Figure> + Send + Sync + 'static) -> impl IntoView {
    let open = RwSignal::new(false);
    let toggled = move |event: leptos::ev::Event| {
        open.set(event_target::<web_sys::Element>(&event).has_attribute("open"));
    };
    view! {
        <details class="figure-table" on:toggle=toggled>
            <summary>{word::AS_TABLE}</summary>
            {move || {
                let figure = if open.get() { figure() } else { None };
                figure.as_ref().map(table)
            }}
        </details>
    }
}

fn table(figure: &Figure) -> impl IntoView + use<> {
    let named: Vec<_> = figure.curves.iter().filter(|curve| !curve.name.is_empty()).collect();
    let decimals = figure.upwards.decimals() + 1;
    let rows = figure.across.ticks().map(|tick| {
        let values = named.iter().map(|curve| {
            let nearest = curve
                .points
                .iter()
                .filter(|point| point.1.is_finite())
                .min_by(|a, b| (a.0 - tick).abs().total_cmp(&(b.0 - tick).abs()));
            let value = nearest.map(|point| words::number(point.1, decimals));
            view! { <td>{value}</td> }
        });
        view! {
            <tr>
                <th scope="row">{words::number(tick, figure.across.decimals())}</th>
                {values.collect_view()}
            </tr>
        }
    });
    view! {
        <table>
            <caption>{figure.title.clone()}</caption>
            <thead>
                <tr>
                    <th scope="col">{words::across(&figure.across_unit)}</th>
                    {named.iter().map(|curve| view! {
                        <th scope="col">{curve.name.clone()}</th>
                    }).collect_view()}
                </tr>
            </thead>
            <tbody>{rows.collect_view()}</tbody>
        </table>
    }
}
