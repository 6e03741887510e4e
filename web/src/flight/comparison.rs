//! One manoeuvre, two settings side by side: what dihedral, throw and propwash
//! do. The program flies both; the curves stand over each other.

use leptos::prelude::*;
use sim_core::flight::lessons::comparison::{Comparison, ComparisonKey, ComparisonNumbers};
use sim_core::flight::{FlightError, Record, STEP_S, Sample};

use super::board::Errand;
use super::flying::pair::Pair;

use crate::plot::axis::Axis;
use crate::plot::figure::{Curve, Figure, Pen};
use crate::state::Sheet;
use crate::state::live::effect;
use crate::text::lessons as words;
use crate::view::figure::figure;

/// Both flights of a comparison.
#[derive(Clone)]
pub struct Both {
    pub comparison: Comparison,
    pub records: [Record; 2],
}

/// The choice of comparisons, and the one that was flown.
pub fn comparisons(
    sheet: Sheet,
    ready: Memo<bool>,
    errand: RwSignal<Option<Errand>>,
) -> impl IntoView {
    let flown = RwSignal::new(None::<Result<Both, String>>);
    // What was flown belongs to the aeroplane of that time.
    effect(move || {
        sheet.outcome.track();
        flown.set(None);
    });
    let button = move |key: ComparisonKey| {
        view! {
            <button
                type="button"
                disabled=move || !ready.get()
                on:click=move |_| flown.set(fly_both(sheet, key))
            >
                {words::comparison(key)}
            </button>
        }
    };
    view! {
        <p class="note">{words::COMPARE_NOTE}</p>
        <div class="compare-buttons">
            {ComparisonKey::ALL.map(button).into_iter().collect_view()}
        </div>
        <div role="status">
            {move || flown.get().map(|flown| match flown {
                Ok(both) => view! {
                    {ways_to_fly(both.comparison.key, move |chosen| errand.set(Some(chosen)))}
                    {show(&both)}
                }.into_any(),
                Err(why) => view! { <p class="note">{why}</p> }.into_any(),
            })}
        </div>
    }
}

/// Both in the air, or either by hand.
pub fn ways_to_fly(
    key: ComparisonKey,
    fly: impl Fn(Errand) + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let by_hand = move |which: usize| {
        view! {
            <button type="button" on:click=move |_| fly(Errand::Setting(key, which))>
                {words::fly_setting(key, which)}
            </button>
        }
    };
    view! {
        <div class="compare-buttons">
            <button type="button" class="fly-button" on:click=move |_| fly(Errand::Both(key))>
                {words::SEE_BOTH}
            </button>
            {by_hand(0)}
            {by_hand(1)}
        </div>
    }
}

fn fly_both(sheet: Sheet, key: ComparisonKey) -> Option<Result<Both, String>> {
    let outcome = sheet.outcome.get_untracked();
    let question = sheet.design.with_untracked(|design| design.question);
    let as_is = (outcome.sound.as_ref()?, outcome.assessment.as_ref()?);
    let both = Pair::new(key, as_is, &question).map(|(mut pair, mut first, _)| {
        pair.both = true;
        let steps = (pair.comparison.duration_s / STEP_S).round() as usize;
        for _ in 0..steps {
            pair.step(&mut first);
        }
        Both {
            comparison: pair.comparison,
            records: [first.record().clone(), pair.session.record().clone()],
        }
    });
    Some(both.map_err(|error| match error {
        FlightError::Varied => words::NOT_COMPARED.to_owned(),
        other => crate::text::finding(&other.to_string()),
    }))
}

/// Curves, numbers and what to learn from them.
pub fn show(both: &Both) -> impl IntoView + use<> {
    let key = both.comparison.key;
    let read: fn(&Sample) -> f32 = match key {
        ComparisonKey::Throw => |s| s.load_factor,
        ComparisonKey::Dihedral | ComparisonKey::Propwash => |s| s.bank_rad.to_degrees(),
    };
    let names = words::compared(key);
    let curves: Vec<Curve> = both
        .records
        .iter()
        .zip([Pen::First, Pen::Second])
        .zip(names)
        .map(|((record, pen), name)| Curve {
            name: name.to_owned(),
            pen,
            points: record.samples().map(|s| (f64::from(s.time_s), f64::from(read(s)))).collect(),
        })
        .collect();
    let values = curves.iter().flat_map(|curve| curve.points.iter().map(|p| p.1)).chain([0.0]);
    let drawn = Figure {
        title: words::compared_plot(key).to_owned(),
        across_unit: "s".to_owned(),
        across: Axis::from_zero_to(both.comparison.duration_s, 6),
        upwards: Axis::around(values, 4, 2.0),
        curves,
    };
    let numbers = both.records.each_ref().map(|record| both.comparison.numbers(record));
    let rows = numbers.into_iter().zip(names).filter_map(|(numbers, name)| {
        let numbers: ComparisonNumbers = numbers?;
        Some(view! {
            <li><strong>{name}</strong> ": " {words::compared_numbers(key, &numbers)}</li>
        })
    });
    let rows = rows.collect_view();
    let description = words::compared_plot(key);
    view! {
        {figure(168.0, move || Some(drawn.clone()), move || description.to_owned())}
        <ul class="stick-use">{rows}</ul>
        <p class="note">{words::compared_meaning(key)}</p>
    }
}
