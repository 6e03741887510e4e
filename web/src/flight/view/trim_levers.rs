//! The trim levers: a click either way for each stick that moves a surface.

use leptos::prelude::*;
use sim_core::flight::debrief::StickAxis;

use super::Flight;
use crate::flight::board::Board;
use crate::text::{debrief as names, flight as words};

/// Moves a lever.
pub fn click(flight: Flight, axis: StickAxis, clicks: i32) {
    flight.with_value(|theatre| theatre.change(|flying, _| flying.click_trim(axis, clicks)));
}

/// The levers, while they are shown.
pub fn trim_levers(flight: Flight, board: Board) -> impl IntoView {
    let lever = move |(axis, ways): (StickAxis, [(&'static str, i32); 2])| {
        let clicks = move || board.readings.with(|r| r.map_or(0, |r| r.trims.of(axis)));
        let moves = move || board.readings.with(|r| r.is_none_or(|r| r.trims.moves(axis)));
        let button = move |(way, by): (&'static str, i32)| {
            view! {
                <button
                    type="button"
                    aria-label=words::trim_button(axis, way)
                    on:click=move |_| click(flight, axis, by)
                >
                    {way}
                </button>
            }
        };
        let [less, more] = ways.map(button);
        view! {
            <div class="trim-lever" hidden=move || !moves()>
                <span>{names::stick(axis)}</span>
                {less}
                <output>{move || words::trim_clicks(axis, clicks())}</output>
                {more}
            </div>
        }
    };
    view! {
        <div
            class="flight-trims"
            role="group"
            aria-label=words::TRIM
            hidden=move || !board.trimming.get()
        >
            {StickAxis::ALL.into_iter().zip(words::TRIM_CLICKS).map(lever).collect_view()}
        </div>
    }
}
