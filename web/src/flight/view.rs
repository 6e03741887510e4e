//! The full page of a flight: the picture, what is read off, what is pressed.

mod keys;
mod touch_pads;
mod trim_levers;

use leptos::html::Canvas;
use leptos::prelude::*;
use sim_core::flight::Phase;
use wasm_bindgen::JsCast;

use super::board::{Board, Errand, Readings, Stage};
use super::debrief::debrief;
use super::flying::Flying;
use super::hands::Source;
use super::setup::setup;
use crate::scene::stage::{Sight, Stage as Theatre};
use crate::state::Sheet;
use crate::state::live::{effect, memo};
use crate::text::{debrief as debrief_words, flight as words, lessons as lesson_words, spatial};

/// The flight behind the page.
pub type Flight = StoredValue<Theatre<Flying>, LocalStorage>;

/// Opens the page for an errand; `leave` closes it.
pub fn full_page(
    sheet: Sheet,
    errand: Errand,
    leave: impl Fn() + Copy + Send + Sync + 'static,
) -> AnyView {
    let outcome = sheet.outcome.get_untracked();
    let question = sheet.design.with_untracked(|design| design.question);
    let (Some(sound), Some(assessment)) = (&outcome.sound, &outcome.assessment) else {
        return ().into_any();
    };
    let board = Board::new(errand, Flying::by_hand(sound), Flying::is_set(sound));
    match Flying::new(sound, &question, assessment, board) {
        Ok(flying) => flight_page(flying, board, leave).into_any(),
        Err(error) => view! {
            <div class="flight flight-refused" role="alertdialog">
                <p>{words::refused(&error)}</p>
                <button type="button" on:click=move |_| leave()>{words::LEAVE}</button>
            </div>
        }
        .into_any(),
    }
}

fn flight_page(
    flying: Flying,
    board: Board,
    leave: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let sight = RwSignal::new(Sight::Fine);
    let flight: Flight = StoredValue::new_local(Theatre::new(flying, sight));
    let canvas = NodeRef::<Canvas>::new();
    effect(move || {
        if let Some(canvas) = canvas.get() {
            // Keys go to the flight from the first moment on.
            let _ = canvas.focus();
            flight.with_value(|theatre| theatre.open(canvas.unchecked_into()));
        }
    });
    on_cleanup(move || {
        let _ = flight.try_with_value(Theatre::close);
    });
    follow_choices(flight, board);
    keys::listen(flight, board, leave);
    rest_when_hidden(flight, board);
    view! {
        <div class="flight" role="dialog" aria-modal="true" aria-label=words::FLIGHT>
            <canvas
                node_ref=canvas
                tabindex="0"
                aria-label=words::FLIGHT_DESCRIPTION
                on:webglcontextlost=move |event: web_sys::CustomEvent| {
                    event.prevent_default();
                    board.paused.set(true);
                    flight.with_value(Theatre::lose);
                }
                on:webglcontextrestored=move |_: web_sys::CustomEvent| {
                    flight.with_value(Theatre::restore);
                }
            ></canvas>
            <header class="flight-bar">
                {buttons(flight, board, leave)}
                {readings(board)}
                {task(board)}
                {trim_levers::trim_levers(flight, board)}
            </header>
            {names(board)}
            {level(board)}
            {prompt(flight, board)}
            {touch_pads::touch_pads(flight, board)}
            {move || board.choosing.get().then(|| setup(flight, board))}
            {move || (board.stage.get() == Stage::Over).then(|| debrief(flight, board, leave))}
            <p class="flight-trouble" role="status" hidden=move || sight.get() == Sight::Fine>
                {move || spatial::sight(&sight.get())}
            </p>
        </div>
    }
}

/// What is pressed besides the sticks.
fn buttons(
    flight: Flight,
    board: Board,
    leave: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    view! {
        <div class="flight-buttons">
            <button type="button" on:click=move |_| leave()>{words::LEAVE}</button>
            <button type="button" on:click=move |_| board.paused.update(|p| *p = !*p)>
                {move || if board.paused.get() { words::GO_ON } else { spatial::PAUSE }}
            </button>
            <button type="button" on:click=move |_| begin(flight)>{words::AGAIN}</button>
            <button
                type="button"
                disabled=move || board.stage.get() == Stage::Over
                on:click=move |_| {
                    flight.with_value(|theatre| theatre.change(|flying, _| flying.finish()));
                }
            >
                {debrief_words::DEBRIEF}
            </button>
            <button
                type="button"
                aria-expanded=move || board.choosing.get().to_string()
                on:click=move |_| board.choosing.update(|open| *open = !*open)
            >
                {words::SETTINGS}
            </button>
            <button
                type="button"
                class="flight-switch"
                aria-label=move || words::switch_view(board.view.get())
                on:click=move |_| board.change_view()
            >
                {move || words::view_in_short(board.view.get())}
            </button>
            <button
                type="button"
                class="flight-switch"
                hidden=move || board.errand.get().comparison().is_some()
                aria-label=move || words::switch_throws(board.throws.get())
                on:click=move |_| board.change_throws()
            >
                {move || words::throws_in_short(board.throws.get())}
            </button>
            <button
                type="button"
                class="flight-switch"
                aria-expanded=move || board.trimming.get().to_string()
                on:click=move |_| board.trimming.update(|shown| *shown = !*shown)
            >
                {move || board.readings.with(|r| words::trim_in_short(r.as_ref().map(|r| &r.trims)))}
            </button>
            {move || match board.errand.get().other_setting() {
                Some(other @ Errand::Setting(key, which)) => Some(view! {
                    <button type="button" class="flight-switch" on:click=move |_| fly(flight, board, other)>
                        {lesson_words::fly_setting(key, which)}
                    </button>
                }),
                _ => None,
            }}
        </div>
    }
}

/// Begins another errand.
pub fn fly(flight: Flight, board: Board, errand: Errand) {
    board.errand.set(errand);
    begin(flight);
}

/// Begins the errand anew.
pub fn begin(flight: Flight) {
    flight.with_value(|theatre| theatre.change(|flying, _| flying.begin()));
}

/// Carries what is chosen around the picture to the flight.
fn follow_choices(flight: Flight, board: Board) {
    effect(move || {
        board.throws.track();
        flight.with_value(|theatre| theatre.change(|flying, _| flying.set_throws()));
    });
    effect(move || {
        let mount = board.mount.get();
        flight.with_value(|theatre| theatre.change(|flying, _| flying.set_mount(mount)));
    });
    effect(move || {
        let on = board.sound.get();
        flight.with_value(|theatre| theatre.change(|flying, _| flying.set_sound(on)));
    });
}

/// A page that nobody sees is not flown on, nor heard.
fn rest_when_hidden(flight: Flight, board: Board) {
    let hidden = window_event_listener(leptos::ev::visibilitychange, move |_| {
        if document().hidden() {
            board.paused.set(true);
            flight.with_value(|theatre| theatre.look(Flying::hush));
        }
    });
    on_cleanup(move || hidden.remove());
}

/// Numbers with their units, as in the ruled cells of a title block.
fn readings(board: Board) -> impl IntoView {
    let cell = move |name: &'static str, key: &'static str, say: fn(&Readings) -> String| {
        let value = memo(move || board.readings.with(|r| r.as_ref().map(say).unwrap_or_default()));
        view! {
            <div class="flight-cell">
                <dt>{name}</dt>
                <dd id=format!("read-{key}")>{value}</dd>
            </div>
        }
    };
    view! {
        <dl class="flight-readings">
            {cell(words::SPEED, "speed", |r| words::metres_a_second(r.airspeed_m_s))}
            {cell(words::HEIGHT, "height", |r| words::metres(r.height_m))}
            {cell(words::CLIMB, "climb", |r| words::climb(r.climb_m_s))}
            {cell(words::THROTTLE, "throttle", |r| crate::text::percent(r.throttle))}
            {cell(words::BATTERY, "battery", |r| crate::text::percent(r.charge))}
            {cell(words::PULL, "pull", |r| words::times_weight(r.load_factor))}
        </dl>
    }
}

/// A builder's spirit level for the bank and a mark for the nose.
fn level(board: Board) -> impl IntoView {
    let attitude =
        move || board.readings.with(|r| r.map_or((0.0, 0.0), |r| (r.bank_rad, r.pitch_rad)));
    // The bubble runs to the high side; the tube is full at 45 degrees.
    let bubble = move || {
        let share = (attitude().0.to_degrees() / 45.0).clamp(-1.0, 1.0);
        format!("translate({:.1} {:.1})", -share * 66.0, share * share * 2.8)
    };
    let nose = move || {
        let share = (attitude().1.to_degrees() / 45.0).clamp(-1.0, 1.0);
        format!("translate(0 {:.1})", -share * 17.0)
    };
    view! {
        <svg class="flight-level" viewBox="-112 -24 224 48" aria-hidden="true">
            <path class="level-body" d="M-100 -16H100V20H-100Z" />
            <path class="level-tube" d="M-84 -6Q0 -15 84 -6V8Q0 -1 -84 8Z" />
            <path class="level-marks" d="M-13 -11V2M13 -11V2M-44 -9V4M44 -9V4" />
            <g transform=bubble><ellipse class="level-bubble" cx="0" cy="-4" rx="11" ry="5.5" /></g>
            <path class="level-marks" d="M106 -17H112M104 2H112M106 19H112" />
            <g transform=nose><path class="level-nose" d="M104 2L96 -3V7Z" /></g>
        </svg>
    }
}

/// The names of two aeroplanes that fly side by side, over each of them.
fn names(board: Board) -> impl IntoView {
    let name = move |which: usize| {
        let at = move || board.names_at.with(|at| at.map(|at| at[which]));
        let share = move |place: Option<(f32, f32)>, down: bool| {
            let (across, below) = place.unwrap_or_default();
            format!("{:.2}%", 100.0 * if down { below } else { across })
        };
        view! {
            <p
                class="flight-name"
                class:flight-name-ghost=which == 1
                hidden=move || at().is_none()
                style:left=move || share(at(), false)
                style:top=move || share(at(), true)
            >
                {move || board.errand.get().comparison().map(|key| lesson_words::compared(key)[which])}
            </p>
        }
    };
    [name(0), name(1)].into_iter().collect_view()
}

/// What is to be flown, and how long still.
fn task(board: Board) -> impl IntoView {
    move || {
        let errand = board.errand.get();
        if let Some(key) = errand.comparison() {
            let what = match errand {
                Errand::Setting(_, which) => lesson_words::flown_setting(key, which),
                _ => lesson_words::flown_side_by_side(key),
            };
            return Some(
                view! {
                    <p class="flight-task">
                        <strong>{lesson_words::comparison(key)}</strong>" "{what}
                    </p>
                }
                .into_any(),
            );
        }
        let key = errand.lesson()?;
        let shown = errand.is_shown();
        let left = memo(move || {
            let left_s = board.readings.with(|readings| readings.as_ref()?.left_s);
            left_s.map(|left_s| words::time_left(left_s.ceil()))
        });
        Some(
            view! {
                <p class="flight-task">
                    <strong>{lesson_words::name(key)}</strong>
                    " "
                    {if shown { lesson_words::watch(key) } else { lesson_words::goal(key) }}
                    " "
                    <span class="flight-left">{left}</span>
                </p>
            }
            .into_any(),
        )
    }
}

/// A phone or tablet: there is no key to press.
fn has_no_keys() -> bool {
    window().match_media("(pointer: coarse)").ok().flatten().is_some_and(|media| media.matches())
}

/// Beyond this a model is hard to see which way it flies, m (common practice).
const SIGHT_M: f64 = 300.0;
/// Charge at which it is time to land.
const CHARGE_LOW: f64 = 0.2;

/// The next thing to do, while there is one.
fn prompt(flight: Flight, board: Board) -> impl IntoView {
    let words = memo(move || {
        let paused = board.paused.get() || board.choosing.get();
        let replay = board.stage.get() == Stage::Replay;
        let shown = board.errand.get().is_shown();
        board.readings.with(|readings| {
            let readings = readings.as_ref()?;
            let near = readings.time_s < 12.0 && !shown && !replay;
            let thumbs = readings.source == Source::Touch || has_no_keys();
            match readings.phase {
                _ if paused => Some(words::PAUSED),
                _ if replay => Some(words::REPLAYING),
                Phase::InHand if !shown => Some(words::throw_prompt(thumbs)),
                Phase::OnGround if near && readings.throttle < 0.3 => {
                    Some(words::take_off_prompt(thumbs))
                }
                Phase::Flying if readings.stall_share > 0.5 => Some(words::STALL_PROMPT),
                Phase::Flying if readings.distance_m > SIGHT_M => Some(words::FAR_PROMPT),
                Phase::Flying if readings.charge < CHARGE_LOW => Some(words::PACK_PROMPT),
                _ => None,
            }
        })
    });
    let in_hand = memo(move || {
        let shown = board.errand.get().is_shown();
        board.readings.with(|r| !shown && r.is_some_and(|r| r.phase == Phase::InHand))
    });
    let throw = move |_| flight.with_value(|theatre| theatre.change(|flying, _| flying.release()));
    view! {
        <div class="flight-prompt" role="status" hidden=move || words.get().is_none()>
            <p>{move || words.get()}</p>
            {move || in_hand.get().then(|| view! {
                <button type="button" class="fly-button" on:click=throw>{words::THROW}</button>
            })}
        </div>
    }
}
