//! One measurement over a range: its form, and throws, bank, steadiness and
//! motions along it.

use leptos::prelude::*;
use sim_core::throws::sensitivity::Duty;

use crate::plot::axis::Axis;
use crate::plot::figure::{Curve, Figure, Pen};
use crate::state::Sheet;
use crate::state::measure::{parse, plain};
use crate::state::sweep::{MEASUREMENTS, Measurement, Point, Sweep, VALUES, begin, stop};
use crate::state::units::{self, Units};
use crate::text::{answer, degrees, throws, whatif as words};
use crate::view::figure::figure;

/// The form and what came of it.
pub fn sweep(sheet: Sheet) -> impl IntoView {
    let sweep = sheet.late.sweep;
    view! {
        <h3 id="sweep">{words::SWEEP}</h3>
        {form(sheet)}
        {progress(sheet)}
        {notes(sheet, sweep)}
        <div class="sweep-figures">{figures(sweep)}</div>
        {table(sweep)}
    }
}

/// The present value of what may be swept.
fn now(sheet: Sheet, what: Measurement) -> Option<f64> {
    sheet.outcome.with(|o| what.read(o.sound.as_ref()?, o.assessment.as_ref()?))
}

fn form(sheet: Sheet) -> impl IntoView {
    let chosen = RwSignal::new(0_usize);
    let offered = Memo::new(move |_| {
        let all = MEASUREMENTS.into_iter().enumerate();
        all.filter(|(_, what)| now(sheet, *what).is_some()).map(|(i, _)| i).collect::<Vec<_>>()
    });
    // Nothing typed: the usual range about the present value.
    let typed = RwSignal::new((None::<String>, None::<String>));
    let what = move || MEASUREMENTS.get(chosen.get()).copied().unwrap_or(Measurement::Dihedral);
    let usual = move || now(sheet, what()).map_or((0.0, 1.0), |value| what().range(value));
    let shown = move || {
        let (from, to) = usual();
        let (typed_from, typed_to) = typed.get();
        let decimals = if units::in_force() == Units::Inches { 2 } else { 1 };
        let bare = |value: f64| plain(what().measure().shown(value), decimals);
        (typed_from.unwrap_or_else(|| bare(from)), typed_to.unwrap_or_else(|| bare(to)))
    };
    let range = move || {
        let (from, to) = shown();
        let (from, to) = (parse(&from)?, parse(&to)?);
        (from != to).then(|| (what().measure().read(from), what().measure().read(to)))
    };
    let go = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        if let Some(range) = range() {
            begin(sheet, what(), range);
        }
    };
    let pick = move |event| {
        if let Ok(index) = event_target_value(&event).parse() {
            chosen.set(index);
            typed.set((None, None));
        }
    };
    view! {
        <form class="sweep-form" on:submit=go>
            <label class="field">
                <span class="field-label">{words::SWEEP_WHAT}</span>
                <select id="sweep-what" on:change=pick>
                    {move || offered.get().into_iter().map(|i| view! {
                        <option value=i.to_string() prop:selected=move || chosen.get() == i>
                            {words::measurement(MEASUREMENTS[i])}
                        </option>
                    }).collect_view()}
                </select>
            </label>
            {end("sweep-from", words::SWEEP_FROM, move || shown().0, move || what().measure().unit(),
                move |text| typed.update(|typed| typed.0 = Some(text)))}
            {end("sweep-to", words::SWEEP_TO, move || shown().1, move || what().measure().unit(),
                move |text| typed.update(|typed| typed.1 = Some(text)))}
            <button type="submit" id="sweep-go">{words::SWEEP_GO}</button>
            <span class="field-fault" role="status">
                {move || range().is_none().then_some(words::SWEEP_RANGE)}
            </span>
        </form>
    }
}

fn end(
    id: &'static str,
    label: &'static str,
    shown: impl Fn() -> String + Send + 'static,
    unit: impl Fn() -> &'static str + Send + 'static,
    take: impl Fn(String) + 'static,
) -> impl IntoView {
    view! {
        <div class="field">
            <label class="field-label" for=id>{label}</label>
            <span class="field-box">
                <input
                    id=id
                    type="text"
                    inputmode="decimal"
                    autocomplete="off"
                    prop:value=shown
                    on:input=move |event| take(event_target_value(&event))
                />
                <span class="field-unit">{unit}</span>
            </span>
        </div>
    }
}

fn progress(sheet: Sheet) -> impl IntoView {
    let sweep = sheet.late.sweep;
    let running = Memo::new(move |_| sweep.with(|s| s.as_ref().is_some_and(Sweep::is_running)));
    let done = move || sweep.with(|s| s.as_ref().map_or(0, |s| s.done)).to_string();
    move || {
        running.get().then(|| {
            view! {
                <div class="buttons">
                    <progress aria-label=words::SWEEP_PROGRESS max=VALUES.to_string() value=done></progress>
                    <button type="button" on:click=move |_| stop(sheet)>{words::SWEEP_STOP}</button>
                </div>
            }
        })
    }
}

fn notes(sheet: Sheet, sweep: RwSignal<Option<Sweep>>) -> impl IntoView {
    let note = Memo::new(move |_| {
        sweep.with(|sweep| {
            let sweep = sweep.as_ref()?;
            if sweep.points.is_empty() {
                return (!sweep.is_running()).then(|| words::SWEEP_NOTHING.to_owned());
            }
            if sheet.design.with(|design| *design != *sweep.base) {
                return Some(words::SWEEP_OLD.to_owned());
            }
            let measure = sweep.what.measure();
            Some(words::present(&measure.in_words(sweep.now, 1, 2)))
        })
    });
    view! { <p class="note" role="status">{move || note.get()}</p> }
}

/// A plot of a sweep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Plot {
    Throws(Duty),
    Bank,
    Steadiness,
}

fn figures(sweep: RwSignal<Option<Sweep>>) -> impl IntoView {
    let plots = Memo::new(move |_| {
        sweep.with(|sweep| {
            let Some(first) = sweep.as_ref().and_then(|s| s.points.first()) else {
                return Vec::new();
            };
            let mut plots: Vec<Plot> =
                first.throws.iter().map(|throw| Plot::Throws(throw.0)).collect();
            if first.bank_per_rudder.is_some() {
                plots.push(Plot::Bank);
            }
            plots.push(Plot::Steadiness);
            plots
        })
    });
    let one = move |plot: Plot| {
        let shown = Memo::new(move |_| sweep.with(|s| s.as_ref().map(|s| figure_of(s, plot))));
        let description = move || {
            let what = sweep.with(|s| s.as_ref().map(|s| s.what));
            let title = shown.with(|f| f.as_ref().map(|f| f.title.clone()));
            what.zip(title).map(|(what, t)| words::sweep_description(&t, what)).unwrap_or_default()
        };
        figure(150.0, move || shown.get(), description)
    };
    move || plots.get().into_iter().map(one).collect_view()
}

fn figure_of(sweep: &Sweep, plot: Plot) -> Figure {
    let measure = sweep.what.measure();
    let curve = |name: &str, pen: Pen, value: &dyn Fn(&Point) -> Option<f64>| Curve {
        name: name.to_owned(),
        pen,
        points: sweep
            .points
            .iter()
            .filter_map(|point| Some((measure.shown(point.value), value(point)?)))
            .collect(),
    };
    let of = |point: &Point, duty: Duty| -> Option<(Duty, f64, f64)> {
        point.throws.iter().find(|throw| throw.0 == duty).copied()
    };
    let (title, mut curves) = match plot {
        Plot::Throws(duty) => {
            let high = |p: &Point| Some(of(p, duty)?.1.to_degrees());
            let low = |p: &Point| Some(of(p, duty)?.2.to_degrees());
            let curves =
                vec![curve(words::HIGH, Pen::First, &high), curve(words::LOW, Pen::Second, &low)];
            (words::throw_plot(throws::surface(duty)), curves)
        }
        Plot::Bank => {
            let bank = |p: &Point| Some(p.bank_per_rudder? * RUDDER_DEG);
            (words::BANK_PLOT.to_owned(), vec![curve(words::BANK_CURVE, Pen::First, &bank)])
        }
        Plot::Steadiness => {
            let margin = |p: &Point| Some(p.static_margin * 100.0);
            let curves = vec![curve(words::STEADINESS_CURVE, Pen::First, &margin)];
            (words::STEADINESS_PLOT.to_owned(), curves)
        }
    };
    let values = curves.iter().flat_map(|c| c.points.iter().map(|p| p.1)).chain([0.0]);
    let upwards = Axis::around(values, 4, 4.0);
    let (from, to) = (measure.shown(sweep.range.0), measure.shown(sweep.range.1));
    let present = measure.shown(sweep.now);
    if present >= from.min(to) && present <= from.max(to) {
        curves.push(Curve {
            name: String::new(),
            pen: Pen::PinnedFirst,
            points: vec![(present, upwards.min), (present, upwards.max)],
        });
    }
    Figure {
        title,
        across_unit: measure.unit().to_owned(),
        across: Axis::between(from, to, 4),
        upwards,
        curves,
    }
}

/// The rudder that the bank is told for, degrees.
const RUDDER_DEG: f64 = 10.0;

fn table(sweep: RwSignal<Option<Sweep>>) -> impl IntoView {
    let open = RwSignal::new(false);
    let any = Memo::new(move |_| sweep.with(|s| s.as_ref().is_some_and(|s| !s.points.is_empty())));
    let toggled = move |_| open.update(|open| *open = !*open);
    move || {
        any.get().then(|| {
            view! {
                <button
                    type="button"
                    class="quiet"
                    aria-expanded=move || open.get().to_string()
                    on:click=toggled
                >
                    {words::AS_TABLE}
                </button>
                {move || open.get().then(|| sweep.get().map(|sweep| table_of(&sweep)))}
            }
        })
    }
}

fn table_of(sweep: &Sweep) -> impl IntoView + use<> {
    let measure = sweep.what.measure();
    let first = sweep.points.first();
    let heads = first.iter().flat_map(|point| &point.throws).map(|throw| {
        view! { <th scope="col">{throws::surface(throw.0)}</th> }
    });
    let heads = heads.collect_view();
    let has_bank = first.is_some_and(|point| point.bank_per_rudder.is_some());
    let rows = sweep.points.iter().map(|point| {
        let rates = point.throws.iter().map(|&(_, high, low)| {
            view! { <td>{format!("{} / {}", degrees(high, 0), degrees(low, 0))}</td> }
        });
        let motions: Vec<&str> = point.motions.iter().map(|motion| motion.0.as_str()).collect();
        view! {
            <tr>
                <th scope="row">{measure.in_words(point.value, 1, 2)}</th>
                {rates.collect_view()}
                {point.bank_per_rudder.map(|bank| view! {
                    <td>{degrees((bank * RUDDER_DEG).to_radians(), 0)}</td>
                })}
                <td>{answer::static_margin(point.static_margin)}</td>
                <td>{answer::speed(point.stall_m_s)}</td>
                <td class="courses">{motions.join("; ")}</td>
            </tr>
        }
    });
    let rows = rows.collect_view();
    view! {
        <div class="wide" tabindex="0" role="region" aria-label=words::AS_TABLE>
            <table class="numbers">
                <thead>
                    <tr>
                        <th scope="col">{words::measurement(sweep.what)}</th>
                        {heads}
                        {has_bank.then(|| view! { <th scope="col">{words::BANK_COLUMN}</th> })}
                        <th scope="col">{words::STEADINESS_COLUMN}</th>
                        <th scope="col">{words::STALL_COLUMN}</th>
                        <th scope="col">{words::MOTIONS_COLUMN}</th>
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
}
