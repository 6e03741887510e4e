//! After the flight: what it was worth, traces against the goal, how the
//! sticks were used and what that says about the throws.

use leptos::prelude::*;
use sim_core::flight::debrief::{Debrief, Verdict, debrief as look_back};
use sim_core::flight::lessons::comparison::Comparison;
use sim_core::flight::lessons::{Lesson, Measure, Score};
use sim_core::flight::{Event, Record, Sample, TrimCorrection};
use wasm_bindgen::{JsCast, JsValue};

use super::board::{Board, Errand};
use super::comparison::{Both, show, ways_to_fly};
use super::view::{self, Flight};
use crate::plot::axis::Axis;
use crate::plot::figure::{Curve, Figure, Pen};
use crate::text::{debrief as words, flight as flight_words, lessons as lesson_words};
use crate::view::figure::figure;

/// Points of a trace at most: more than the plot has pixels.
const POINTS_MAX: usize = 900;

/// All that the sheet needs, taken once.
struct Past {
    samples: Vec<Sample>,
    numbers: Option<Debrief>,
    judged: Option<(Lesson, Score)>,
    crash: Option<Event>,
    trims: Vec<TrimCorrection>,
    compared: Option<(Comparison, [Option<Record>; 2])>,
}

/// The sheet after a flight.
pub fn debrief(
    flight: Flight,
    board: Board,
    leave: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let past = flight.with_value(|theatre| {
        theatre.look(|flying| Past {
            samples: flying.record().samples().copied().collect(),
            numbers: look_back(flying.record()),
            judged: flying.judged(),
            crash: flying.crash(),
            trims: flying.trim_corrections(),
            compared: flying.compared(),
        })
    });
    let errand = board.errand.get_untracked();
    let shown = errand.is_shown();
    let csv = move |_| {
        let text = flight.with_value(|theatre| theatre.look(|flying| flying.record().to_csv()));
        // A browser that refuses a download leaves the flight as it is.
        let _ = offer_file(words::CSV_NAME, &text);
    };
    let fly = move |errand: Errand| view::fly(flight, board, errand);
    let try_it = move |_| {
        fly(match errand {
            Errand::Shown(key) => Errand::Lesson(key),
            same => same,
        });
    };
    let to_try = matches!(errand, Errand::Shown(_));
    // Every lesson is watched first, then flown; a missed one may be watched again.
    let passed = past.judged.as_ref().is_some_and(|(_, score)| score.passed) && !shown;
    let to_watch = errand.lesson().filter(|_| !shown).and_then(|key| {
        let next = if passed { key.next()? } else { key };
        let name = if passed { lesson_words::next(next) } else { flight_words::SHOW_ME.to_owned() };
        Some(view! {
            <button type="button" on:click=move |_| fly(Errand::Shown(next))>{name}</button>
        })
    });
    view! {
        <aside class="flight-sheet flight-debrief" aria-labelledby="debrief-heading">
            <h2 id="debrief-heading">{words::DEBRIEF}</h2>
            <p class="debrief-outcome">{outcome(&past, shown)}</p>
            {past.judged.as_ref().filter(|_| !shown).map(|(_, score)| goals(score))}
            <div class="debrief-buttons">
                <button type="button" class="fly-button" on:click=try_it>
                    {if to_try { flight_words::TRY_IT } else { flight_words::AGAIN }}
                </button>
                {to_watch}
                <button type="button" on:click=move |_| {
                    flight.with_value(|theatre| theatre.change(|flying, _| flying.replay()));
                }>
                    {words::REPLAY}
                </button>
                <button type="button" on:click=csv>{words::CSV}</button>
                <button type="button" on:click=move |_| leave()>{flight_words::LEAVE}</button>
            </div>
            {past.compared.as_ref().map(|compared| side_by_side(compared, shown, fly))}
            {(!matches!(errand, Errand::Both(_))).then(|| traces(&past))}
            {past.numbers.as_ref().map(numbers)}
            {past.numbers.as_ref().filter(|_| !shown).map(|numbers| stick_use(numbers, leave))}
            {(!shown && !past.trims.is_empty()).then(|| trims(&past.trims))}
            <section class="flight-cautions">
                <h3>{flight_words::BEFORE_THE_REAL_ONE}</h3>
                <p>{flight_words::NO_CLEARANCE}</p>
                {crate::view::caution_list()}
            </section>
        </aside>
    }
}

fn outcome(past: &Past, shown: bool) -> String {
    if let Some((comparison, records)) = &past.compared {
        let whole = records.iter().all(Option::is_some);
        return match (shown, whole) {
            (true, _) => lesson_words::flown_side_by_side(comparison.key),
            (false, true) => lesson_words::compared_meaning(comparison.key).to_owned(),
            (false, false) => lesson_words::ONE_SETTING_FLOWN.to_owned(),
        };
    }
    if shown {
        return words::SHOWN_OVER.to_owned();
    }
    if let Some(Event::Crashed { how, impact_m_s }) = past.crash {
        return words::crashed(how, impact_m_s);
    }
    match &past.judged {
        Some((_, score)) if score.passed => lesson_words::passed(score.total),
        Some((lesson, score)) if !score.whole => lesson_words::cut_short(lesson.duration_s),
        Some((_, score)) => {
            // The worst goal first: one thing to do better at a time.
            let worst = score.parts.iter().min_by(|a, b| a.score.total_cmp(&b.score));
            worst
                .map_or_else(String::new, |part| lesson_words::advice(part.goal.measure).to_owned())
        }
        None => words::FLIGHT_OVER.to_owned(),
    }
}

fn goals(score: &Score) -> impl IntoView + use<> {
    let rows = score.parts.iter().map(|part| {
        let measure = part.goal.measure;
        let (mark, class) = if part.score >= 1.0 {
            (words::REACHED, "goal goal-full")
        } else if part.score >= 1.0 / 3.0 {
            (words::NEARLY, "goal")
        } else {
            (words::MISSED, "goal goal-missed")
        };
        view! {
            <tr class=class>
                <th scope="row">{lesson_words::measure(measure)}</th>
                <td>{part.value.map_or_else(|| words::NOT_FLOWN.to_owned(), |v| lesson_words::value(measure, v))}</td>
                <td>{lesson_words::limit(measure, part.goal.full, part.goal.none)}</td>
                <td>{mark}</td>
            </tr>
        }
    });
    view! {
        <table class="goals">
            <thead>
                <tr>
                    <th scope="col">{words::GOAL}</th>
                    <th scope="col">{words::FLOWN}</th>
                    <th scope="col">{words::AIMED_AT}</th>
                    <th scope="col">{words::RESULT}</th>
                </tr>
            </thead>
            <tbody>{rows.collect_view()}</tbody>
        </table>
    }
}

fn numbers(numbers: &Debrief) -> impl IntoView + use<> {
    let cell = |name: &'static str, value: String| {
        view! { <div class="readout"><dt>{name}</dt><dd class="readout-value">{value}</dd></div> }
    };
    view! {
        <dl class="readouts">
            {cell(words::IN_THE_AIR, crate::text::seconds(numbers.flight_s))}
            {cell(words::SPEEDS, words::speeds(numbers.airspeed_range_m_s))}
            {cell(words::HIGHEST, flight_words::metres(numbers.height_max_m))}
            {cell(words::STEEPEST, crate::text::degrees(numbers.bank_max_rad, 0))}
            {cell(words::HARDEST_PULL, flight_words::times_weight(numbers.load_factor_max))}
        </dl>
    }
}

/// What the trim levers say about the aeroplane.
fn trims(corrections: &[TrimCorrection]) -> impl IntoView + use<> {
    let rows = corrections.iter().map(|c| view! { <li>{words::trim_correction(c)}</li> });
    let rows = rows.collect_view();
    view! {
        <h3>{words::TRIMS_SAY}</h3>
        <ul class="stick-use">{rows}</ul>
        <p class="note">{words::TRIMS_NOTE}</p>
    }
}

/// Both settings of a comparison: as the program flew them, or as they were flown
/// by hand.
fn side_by_side(
    (comparison, records): &(Comparison, [Option<Record>; 2]),
    by_program: bool,
    fly: impl Fn(Errand) + Copy + Send + Sync + 'static,
) -> AnyView {
    let (key, names) = (comparison.key, lesson_words::compared(comparison.key));
    let shown = match records {
        [Some(one), Some(other)] if by_program => {
            let records = [one.clone(), other.clone()];
            show(&Both { comparison: *comparison, records }).into_any()
        }
        _ => {
            let flown = records.each_ref().map(|record| look_back(record.as_ref()?));
            by_hand(&names, &flown).into_any()
        }
    };
    view! {
        {ways_to_fly(key, fly)}
        {shown}
    }
    .into_any()
}

fn by_hand(names: &[&'static str; 2], flown: &[Option<Debrief>; 2]) -> impl IntoView + use<> {
    let values = flown.each_ref().map(|flown| flown.as_ref().map(lesson_words::by_hand_values));
    let value = |which: usize, row: usize| {
        let values = values[which].as_ref();
        values.map_or_else(|| words::NOT_FLOWN.to_owned(), |values| values[row].clone())
    };
    let rows = lesson_words::BY_HAND_ROWS.into_iter().enumerate().map(|(row, name)| {
        view! {
            <tr>
                <th scope="row">{name}</th>
                <td>{value(0, row)}</td>
                <td>{value(1, row)}</td>
            </tr>
        }
    });
    let rows = rows.collect_view();
    view! {
        <table class="goals">
            <thead>
                <tr>
                    <th scope="col">{words::IN_THE_AIR}</th>
                    <th scope="col">{names[0]}</th>
                    <th scope="col">{names[1]}</th>
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
    }
}

/// How much of each stick was used, and what that says about its throw.
fn stick_use<L: Fn() + Copy + Send + Sync + 'static>(
    numbers: &Debrief,
    leave: L,
) -> impl IntoView + use<L> {
    let rows = numbers.sticks.iter().filter(|stick| stick.used > 0.02).map(|stick| {
        let warns = !matches!(stick.verdict, Verdict::Suits | Verdict::NothingToSay);
        view! {
            <li class:goal-missed=warns>
                <strong>{words::stick(stick.axis)}</strong>
                ": "
                {words::stick_use(stick)}
            </li>
        }
    });
    let rows = rows.collect_view();
    view! {
        <h3>{words::STICK_USE}</h3>
        <ul class="stick-use">{rows}</ul>
        <p class="note">
            {words::STICK_USE_NOTE} " "
            <a href="#throws" on:click=move |_| leave()>{words::TO_THROWS}</a>
        </p>
    }
}

fn traces(past: &Past) -> impl IntoView + use<> {
    let step = (past.samples.len() / POINTS_MAX).max(1);
    let samples: Vec<Sample> = past.samples.iter().step_by(step).copied().collect();
    if samples.len() < 2 {
        return None;
    }
    let end_s = samples.last().map_or(1.0, |s| f64::from(s.time_s));
    let turns_by_rudder = samples.iter().all(|s| s.stick_aileron.abs() < 0.02);
    let trace = |name: &str, pen: Pen, read: &dyn Fn(&Sample) -> f64| Curve {
        name: name.to_owned(),
        pen,
        points: samples.iter().map(|s| (f64::from(s.time_s), read(s))).collect(),
    };
    let turning = if turns_by_rudder {
        trace(words::RUDDER, Pen::Second, &|s| f64::from(s.stick_rudder) * 100.0)
    } else {
        trace(words::AILERON, Pen::Second, &|s| f64::from(s.stick_aileron) * 100.0)
    };
    let sticks =
        vec![trace(words::ELEVATOR, Pen::First, &|s| f64::from(s.stick_elevator) * 100.0), turning];
    let bank = vec![trace(words::BANK, Pen::First, &|s| f64::from(s.bank_rad).to_degrees())];
    let mut height = vec![trace(words::FLOWN, Pen::First, &|s| f64::from(s.height_m))];
    // Where the height is a goal, it is the one at the start.
    let aims_at_height = past.judged.as_ref().is_some_and(|(lesson, _)| {
        lesson.goals.iter().any(|goal| goal.measure == Measure::HeightError)
    });
    if let (true, Some(first)) = (aims_at_height, samples.first()) {
        let aim = f64::from(first.height_m);
        height.push(Curve {
            name: words::AIM.to_owned(),
            pen: Pen::Second,
            points: vec![(0.0, aim), (end_s, aim)],
        });
    }
    let plot = |title: &str, unit: &str, least: f64, px: f64, curves: Vec<Curve>| {
        let values: Vec<f64> =
            curves.iter().flat_map(|c| c.points.iter().map(|p| p.1)).chain([0.0]).collect();
        let drawn = Figure {
            title: title.to_owned(),
            across_unit: unit.to_owned(),
            across: Axis::from_zero_to(end_s, 5),
            upwards: Axis::around(values, 3, least),
            curves,
        };
        let description = words::trace_description(title, end_s);
        figure(px, move || Some(drawn.clone()), move || description.clone())
    };
    Some(view! {
        {plot(words::STICKS_PLOT, "", 40.0, 116.0, sticks)}
        {plot(words::BANK_PLOT, "", 20.0, 104.0, bank)}
        {plot(words::HEIGHT_PLOT, "s", 4.0, 124.0, height)}
    })
}

/// Hands a text to the browser as a file to keep.
fn offer_file(name: &str, text: &str) -> Result<(), JsValue> {
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let blob = web_sys::Blob::new_with_str_sequence(&parts)?;
    let address = web_sys::Url::create_object_url_with_blob(&blob)?;
    let link = document().create_element("a")?.dyn_into::<web_sys::HtmlAnchorElement>()?;
    link.set_href(&address);
    link.set_download(name);
    link.click();
    web_sys::Url::revoke_object_url(&address)
}
