//! One manoeuvre, two settings side by side: what dihedral, throw and propwash
//! do. The program flies both; the curves stand over each other.

use std::sync::Arc;
use std::time::Duration;

use leptos::prelude::*;
use sim_core::assess::Question;
use sim_core::flight::lessons::comparison::{Comparison, ComparisonKey, ComparisonNumbers};
use sim_core::flight::{FlightError, Record, STEP_S, Sample, Session};

use super::board::Errand;
use super::flying::pair::{HEIGHT_M, step};
use crate::plot::axis::Axis;
use crate::plot::figure::{Curve, Figure, Pen};
use crate::state::Sheet;
use crate::state::compute::{Outcome, now_ms};
use crate::state::live::effect;
use crate::text::lessons as words;
use crate::view::figure::figure;

/// Both flights of a comparison.
pub struct Both {
    pub comparison: Comparison,
    pub records: [Record; 2],
}

/// How far a comparison has come.
#[derive(Clone)]
enum Course {
    /// Nothing was asked for.
    Rest,
    Flying(ComparisonKey),
    Flown(Arc<Both>),
    Failed(String),
}

impl Course {
    /// Whether a comparison is being flown.
    fn is_of(&self, key: ComparisonKey) -> bool {
        matches!(self, Self::Flying(own) if *own == key)
    }
}

/// The choice of comparisons, and the one that was flown.
pub fn comparisons(
    sheet: Sheet,
    ready: Memo<bool>,
    errand: RwSignal<Option<Errand>>,
) -> impl IntoView {
    let course = RwSignal::new(Course::Rest);
    // What was flown belongs to the aeroplane of that time.
    effect(move || {
        sheet.outcome.track();
        course.set(Course::Rest);
    });
    let button = move |key: ComparisonKey| {
        view! {
            <button
                type="button"
                disabled=move || !ready.get()
                on:click=move |_| begin(sheet, key, course)
            >
                {words::comparison(key)}
            </button>
        }
    };
    let said = move || {
        course.with(|course| match course {
            Course::Rest => String::new(),
            Course::Flying(_) => words::COMPARING.to_owned(),
            Course::Flown(_) => words::COMPARED.to_owned(),
            Course::Failed(why) => why.clone(),
        })
    };
    view! {
        <p class="note">{words::COMPARE_NOTE}</p>
        <div class="compare-buttons">
            {ComparisonKey::ALL.map(button).into_iter().collect_view()}
        </div>
        <p class="note" role="status">{said}</p>
        <div class="compared">
            {move || {
                let Course::Flown(both) = course.get() else { return None };
                Some(view! {
                    {ways_to_fly(both.comparison.key, move |chosen| errand.set(Some(chosen)))}
                    {show(&both)}
                })
            }}
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

/// Begins to fly both settings, a piece for each turn of the browser.
fn begin(sheet: Sheet, key: ComparisonKey, course: RwSignal<Course>) {
    if course.with_untracked(|course| course.is_of(key)) {
        return;
    }
    let outcome = sheet.outcome.get_untracked();
    let question = sheet.design.with_untracked(|design| design.question);
    course.set(Course::Flying(key));
    let flights = Flights {
        comparison: Comparison::new(key, HEIGHT_M),
        outcome,
        question,
        sessions: Vec::new(),
    };
    later(flights, course);
}

/// Both flights while they are flown.
struct Flights {
    comparison: Comparison,
    outcome: Arc<Outcome>,
    question: Question,
    /// Those that have been set up.
    sessions: Vec<Session>,
}

/// Longest piece of the flights in one turn of the browser, ms.
const PIECE_MS: f64 = 12.0;
/// Steps between two looks at the clock.
const STEPS_AT_ONCE: usize = 10;

impl Flights {
    /// Does a piece of the work; whether all is done.
    fn go_on(&mut self) -> Result<bool, FlightError> {
        if let Some(variant) = self.comparison.variants.get(self.sessions.len()) {
            let Outcome { sound: Some(sound), assessment: Some(assessment), .. } = &*self.outcome
            else {
                return Err(FlightError::Varied);
            };
            let ready = self.comparison.session(variant, (sound, assessment), &self.question)?;
            self.sessions.push(ready.0);
            return Ok(false);
        }
        let [first, second] = self.sessions.as_mut_slice() else { return Ok(true) };
        let start_ms = now_ms();
        while first.time_s() < self.comparison.duration_s - 0.5 * STEP_S {
            for _ in 0..STEPS_AT_ONCE {
                step(&self.comparison, [first, second]);
            }
            if now_ms().zip(start_ms).is_some_and(|(now, start)| now - start > PIECE_MS) {
                return Ok(false);
            }
        }
        Ok(true)
    }
}

/// Goes on with the flights in the browser's next turn, unless the aeroplane has
/// changed meanwhile or another comparison has begun.
fn later(mut flights: Flights, course: RwSignal<Course>) {
    let go_on = move || {
        let own = |course: &Course| course.is_of(flights.comparison.key);
        if course.try_with_untracked(own) != Some(true) {
            return;
        }
        match flights.go_on() {
            Ok(false) => later(flights, course),
            Ok(true) => {
                let Flights { comparison, sessions, .. } = flights;
                if let [first, second] = sessions.as_slice() {
                    let records = [first.record().clone(), second.record().clone()];
                    course.set(Course::Flown(Arc::new(Both { comparison, records })));
                }
            }
            Err(error) => course.set(Course::Failed(match error {
                FlightError::Varied => words::NOT_COMPARED.to_owned(),
                other => crate::text::finding(&other.to_string()),
            })),
        }
    };
    set_timeout(go_on, Duration::ZERO);
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
