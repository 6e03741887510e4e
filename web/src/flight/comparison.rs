//! One manoeuvre, two settings side by side: what dihedral, throw and propwash
//! do. The program flies both; the curves stand over each other.

use leptos::prelude::*;
use sim_core::aircraft::{Aircraft, SoundAircraft};
use sim_core::assess::{Assessment, Question, assess};
use sim_core::flight::lessons::comparison::{
    Comparison, ComparisonKey, ComparisonNumbers, Variant,
};
use sim_core::flight::{Radio, Record, STEP_S, Sample, Session};

use crate::plot::axis::Axis;
use crate::plot::figure::{Curve, Figure, Pen};
use crate::state::Sheet;
use crate::state::live::effect;
use crate::text::lessons as words;
use crate::view::figure::figure;

/// Height that both flights begin at, m.
const HEIGHT_M: f64 = 40.0;

/// Both flights of a comparison.
#[derive(Clone)]
struct Both {
    comparison: Comparison,
    records: [Record; 2],
}

/// The choice of comparisons, and the one that was flown.
pub fn comparisons(sheet: Sheet, ready: Memo<bool>) -> impl IntoView {
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
                Ok(both) => show(&both).into_any(),
                Err(why) => view! { <p class="note">{why}</p> }.into_any(),
            })}
        </div>
    }
}

fn fly_both(sheet: Sheet, key: ComparisonKey) -> Option<Result<Both, String>> {
    let outcome = sheet.outcome.get_untracked();
    let question = sheet.design.with_untracked(|design| design.question);
    let sound = outcome.sound.as_ref()?;
    let assessment = outcome.assessment.as_ref()?;
    let as_is = Radio::advised(&assessment.throws, &assessment.trim);
    let comparison = Comparison::new(key, HEIGHT_M);
    let fly = |variant: &Variant| fly(sound, &as_is, &question, &comparison, variant);
    let [one, other] = &comparison.variants;
    let both = fly(one).and_then(|first| Ok([first, fly(other)?]));
    Some(both.map(|records| Both { comparison, records }))
}

fn fly(
    sound: &SoundAircraft,
    as_is: &Radio,
    question: &Question,
    comparison: &Comparison,
    variant: &Variant,
) -> Result<Record, String> {
    let aircraft: Aircraft = variant.aircraft((**sound).clone());
    let aircraft = aircraft.check().map_err(|_| words::NOT_COMPARED.to_owned())?;
    let assessment: Assessment =
        assess(&aircraft, question).map_err(|error| crate::text::finding(&error.to_string()))?;
    let mut session = Session::new(&aircraft, question, &assessment, comparison.options)
        .map_err(|error| crate::text::finding(&error.to_string()))?;
    session.set_radio(variant.radio(*as_is, session.radio()));
    let throttle = session.sticks().throttle;
    let steps = (comparison.duration_s / STEP_S).round() as usize;
    for _ in 0..steps {
        session.set_sticks(comparison.sticks(variant, session.time_s(), throttle));
        session.step();
    }
    Ok(session.record().clone())
}

fn show(both: &Both) -> impl IntoView + use<> {
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
