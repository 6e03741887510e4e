//! What the pilot chooses: view, throws, air, start, sticks, sound.

mod transmitter;

use leptos::prelude::*;

use super::board::{Board, Errand, Throws};
use super::cameras::View;
use super::sticks::Mode;
use super::view::{Flight, begin};
use crate::state::measure::parse;
use crate::text::flight as words;
use crate::view::segments::{segment, segments};

/// The sheet of choices.
pub fn setup(flight: Flight, board: Board) -> impl IntoView {
    let free = move || board.errand.get() == Errand::Free;
    view! {
        <aside class="flight-sheet" aria-label=words::SETTINGS>
            <div class="flight-sheet-head">
                <h2>{words::SETTINGS}</h2>
                <button type="button" on:click=move |_| board.choosing.set(false)>{words::CLOSE}</button>
            </div>
            <p class="note">{words::TIME_STANDS}</p>
            {choice("view", words::VIEW, View::ALL.map(|v| (v, words::view(v))), board.view)}
            {move || (board.view.get() == View::OnBoard).then(|| mount(board))}
            {choice("flown-throws", words::THROWS, Throws::each(board.is_set).into_iter().map(|t| (t, words::throws(t))), board.throws)}
            <p class="note">{words::throws_note(board.is_set)}</p>
            {move || free().then(|| day(flight, board))}
            {habits(flight)}
            {transmitter::transmitter(flight)}
            <label class="field-flag">
                <input
                    type="checkbox"
                    prop:checked=move || board.sound.get()
                    on:change=move |event| board.sound.set(event_target_checked(&event))
                />
                {words::SOUND}
            </label>
            <h3>{words::KEYS}</h3>
            <dl class="flight-keys">
                {words::KEY_LIST.into_iter().map(|(keys, meaning)| view! {
                    <dt>{keys}</dt><dd>{meaning}</dd>
                }).collect_view()}
            </dl>
        </aside>
    }
}

/// One of a few, side by side.
fn choice<T: Copy + PartialEq + Send + Sync + 'static>(
    key: &'static str,
    legend: &'static str,
    options: impl IntoIterator<Item = (T, &'static str)>,
    chosen: RwSignal<T>,
) -> impl IntoView {
    let option = |(i, (value, name))| {
        let id = format!("{key}-{i}");
        segment(key, id, name, move || chosen.get() == value, move || chosen.set(value))
    };
    segments(legend, options.into_iter().enumerate().map(option).collect())
}

/// A slider with its value in words.
fn dial(
    label: &'static str,
    (min, max, step): (f64, f64, f64),
    value: impl Fn() -> f64 + Copy + Send + Sync + 'static,
    say: fn(f64) -> String,
    set: impl Fn(f64) + 'static,
) -> impl IntoView {
    view! {
        <label class="slider">
            <span>{label}</span>
            <output>{move || say(value())}</output>
            <input
                type="range"
                min=min
                max=max
                step=step
                prop:value=move || value().to_string()
                on:input=move |event| {
                    if let Some(moved) = parse(&event_target_value(&event)) {
                        set(moved.clamp(min, max));
                    }
                }
            />
        </label>
    }
}

fn mount(board: Board) -> impl IntoView {
    view! {
        {dial(words::TILT, (-20.0, 45.0, 1.0), move || board.mount.get().0, words::whole_degrees,
            move |v| board.mount.update(|m| m.0 = v))}
        {dial(words::PAN, (-90.0, 90.0, 1.0), move || board.mount.get().1, words::whole_degrees,
            move |v| board.mount.update(|m| m.1 = v))}
        {dial(words::DELAY, (0.0, 300.0, 10.0), move || board.mount.get().2, words::milliseconds,
            move |v| board.mount.update(|m| m.2 = v))}
    }
}

/// Air and start of a free flight; each change begins it anew.
fn day(flight: Flight, board: Board) -> impl IntoView {
    let by_hand = RwSignal::new(board.day.get_untracked().by_hand);
    let gusty = RwSignal::new(board.day.get_untracked().gusty);
    Effect::new(move |earlier: Option<()>| {
        let (by_hand, gusty) = (by_hand.get(), gusty.get());
        if earlier.is_some() {
            board.day.update(|day| (day.by_hand, day.gusty) = (by_hand, gusty));
            begin(flight);
        }
    });
    view! {
        {choice("start", words::START, [(false, words::FROM_STRIP), (true, words::BY_HAND)], by_hand)}
        {dial(words::WIND, (0.0, 8.0, 0.5), move || board.day.get().wind_m_s, words::metres_a_second,
            move |v| { board.day.update(|day| day.wind_m_s = v); begin(flight); })}
        {dial(words::WIND_FROM, (-180.0, 180.0, 15.0), move || board.day.get().from_rad.to_degrees().round(), words::wind_from,
            move |v| { board.day.update(|day| day.from_rad = v.to_radians()); begin(flight); })}
        {choice("gusts", words::GUSTS, [(false, words::STEADY), (true, words::GUSTY)], gusty)}
    }
}

/// Stick mode and the rudder's place, kept on the device.
fn habits(flight: Flight) -> impl IntoView {
    let kept = flight.with_value(|theatre| theatre.look(|flying| flying.hands.habits));
    let mode = RwSignal::new(kept.mode);
    let apart = RwSignal::new(kept.rudder_apart);
    Effect::new(move |earlier: Option<()>| {
        let (mode, rudder_apart) = (mode.get(), apart.get());
        if earlier.is_some() {
            flight.with_value(|theatre| {
                theatre.change(|flying, _| {
                    flying.hands.habits.mode = mode;
                    flying.hands.habits.rudder_apart = rudder_apart;
                    flying.hands.keep_habits();
                });
            });
        }
    });
    view! {
        {choice("mode", words::MODE, Mode::ALL.map(|m| (m, words::mode(m))), mode)}
        <p class="note">{move || words::mode_meaning(mode.get())}</p>
        <label class="field-flag">
            <input
                type="checkbox"
                prop:checked=move || apart.get()
                on:change=move |event| apart.set(event_target_checked(&event))
            />
            {words::RUDDER_APART}
        </label>
    }
}
