//! The gates under the thumbs; on a desk they only show where the sticks are.

use leptos::html::Div;
use leptos::prelude::*;

use super::Flight;
use crate::flight::board::Board;
use crate::flight::sticks::touch::Side;
use crate::text::flight as words;

/// Way from the middle to the end of a gate, as a share of its width.
const TRAVEL: f64 = 0.38;

pub fn touch_pads(flight: Flight, board: Board) -> impl IntoView {
    view! {
        <div class="flight-thumbs">
            {pad(flight, board, Side::Left)}
            {pad(flight, board, Side::Right)}
        </div>
    }
}

fn pad(flight: Flight, board: Board, side: Side) -> impl IntoView {
    let frame = NodeRef::<Div>::new();
    let knob = move || {
        let gate = board.readings.with(|readings| {
            let gates = readings.as_ref().map(|r| r.gates).unwrap_or_default();
            if side == Side::Left { gates.left } else { gates.right }
        });
        let reach = 100.0 * TRAVEL;
        format!("translate({:.1} {:.1})", gate.across * reach, -gate.along * reach)
    };
    let at = |event: &leptos::ev::PointerEvent| {
        (f64::from(event.client_x()), f64::from(event.client_y()))
    };
    let hands = move |change: &dyn Fn(&mut crate::flight::hands::Hands)| {
        flight.with_value(|theatre| theatre.change(|flying, _| change(&mut flying.hands)));
    };
    let down = move |event: leptos::ev::PointerEvent| {
        event.prevent_default();
        if let Some(frame) = frame.get_untracked() {
            // Without capture the stick ends at the edge of its gate.
            let _ = frame.set_pointer_capture(event.pointer_id());
        }
        hands(&|hands| hands.thumb_down(side, event.pointer_id(), at(&event)));
    };
    let moved = move |event: leptos::ev::PointerEvent| {
        let width = frame.get_untracked().map_or(0.0, |frame| f64::from(frame.client_width()));
        hands(&|hands| hands.thumb_move(side, event.pointer_id(), at(&event), width * TRAVEL));
    };
    let up = move |event: leptos::ev::PointerEvent| {
        hands(&|hands| hands.thumb_up(side, event.pointer_id()));
    };
    let name = match side {
        Side::Left => words::LEFT_STICK,
        Side::Right => words::RIGHT_STICK,
    };
    view! {
        <div
            class="thumb"
            node_ref=frame
            role="img"
            aria-label=name
            on:pointerdown=down
            on:pointermove=moved
            on:pointerup=up
            on:pointercancel=up
        >
            <svg viewBox="-50 -50 100 100" aria-hidden="true">
                <rect class="thumb-gate" x="-48" y="-48" width="96" height="96" />
                <path class="thumb-cross" d="M-38 0H38M0 -38V38" />
                <g transform=knob><circle class="thumb-knob" r="10" /></g>
            </svg>
        </div>
    }
}
