//! Keys in flight: those that move a stick go to the hands, the others choose.

use leptos::prelude::*;
use sim_core::flight::debrief::StickAxis;
use wasm_bindgen::JsCast;

use super::{Flight, begin, fly, trim_levers};
use crate::flight::board::Board;
use crate::flight::cameras::View;

/// Listens while the flight is on the page.
pub fn listen(flight: Flight, board: Board, leave: impl Fn() + Copy + Send + Sync + 'static) {
    let down = window_event_listener(leptos::ev::keydown, move |event| {
        let typing = event.target().is_some_and(|target| {
            target.dyn_ref::<web_sys::Element>().is_some_and(|element| {
                matches!(element.tag_name().as_str(), "INPUT" | "SELECT" | "BUTTON" | "SUMMARY")
            })
        });
        let code = event.code();
        if code == "Escape" {
            // What was opened last closes first.
            if board.choosing.get_untracked() {
                board.choosing.set(false);
            } else {
                leave();
            }
            return;
        }
        if event.ctrl_key() || event.meta_key() || event.alt_key() {
            return;
        }
        // Arrows and the space bar belong to what has the focus.
        if typing
            && matches!(
                code.as_str(),
                "Space" | "Enter" | "ArrowUp" | "ArrowDown" | "ArrowLeft" | "ArrowRight"
            )
        {
            return;
        }
        let moves =
            flight.with_value(|theatre| theatre.change(|flying, _| flying.hands.press(&code)));
        if moves || press_choice(flight, board, &code, event.repeat()) {
            event.prevent_default();
        }
    });
    let up = window_event_listener(leptos::ev::keyup, move |event| {
        let code = event.code();
        flight.with_value(|theatre| theatre.change(|flying, _| flying.hands.keys.lift(&code)));
    });
    let away = window_event_listener(leptos::ev::blur, move |_| {
        flight.with_value(|theatre| theatre.change(|flying, _| flying.hands.keys.lift_all()));
    });
    on_cleanup(move || {
        down.remove();
        up.remove();
        away.remove();
    });
}

/// Keys that choose; says whether this was one.
fn press_choice(flight: Flight, board: Board, code: &str, repeats: bool) -> bool {
    let view = |index: usize| board.view.set(View::ALL[index]);
    match code {
        "Digit1" => view(0),
        "Digit2" => view(1),
        "Digit3" => view(2),
        "KeyT" if !repeats => board.change_throws(),
        "KeyP" if !repeats => board.paused.update(|paused| *paused = !*paused),
        "KeyR" if !repeats => begin(flight),
        "KeyI" => trim_levers::click(flight, StickAxis::Elevator, 1),
        "KeyK" => trim_levers::click(flight, StickAxis::Elevator, -1),
        "KeyL" => trim_levers::click(flight, StickAxis::Aileron, 1),
        "KeyJ" => trim_levers::click(flight, StickAxis::Aileron, -1),
        "KeyC" if !repeats => match board.errand.get_untracked().other_setting() {
            Some(other) => fly(flight, board, other),
            None => return false,
        },
        "KeyM" if !repeats => board.sound.update(|on| *on = !*on),
        "Space" => flight.with_value(|theatre| theatre.change(|flying, _| flying.release())),
        _ => return false,
    }
    true
}
