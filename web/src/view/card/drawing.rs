//! The card's drawing: the three-view with the balance point to aim for, its
//! window, and the throws beside the surfaces that they are for. Lines and
//! letters only, so that it prints sharp and in black.

use leptos::prelude::*;
use sim_core::aircraft::outline::control_corners;
use sim_core::aircraft::{Aircraft, SurfaceRole};
use sim_core::card::{CardThrow, MaidenCard};

use super::room::{Area, Paper};
use crate::plot::three_view::{Drawing, Lettering, View, Words, dots, draw};
use crate::state::measure::LENGTH;
use crate::text::{self, card as words, word};
use crate::view::drawing::lines;

/// Widths of the paper, in its own pixels, with the name by which the style sheet
/// scales it: for paper and desk, and with one view below the other for a phone.
const PAPERS: [(f64, &str); 2] =
    [(640.0, "card-drawing card-wide"), (330.0, "card-drawing card-narrow")];
/// How far the window stands beside the balance point, px.
const ASIDE_PX: f64 = 13.0;
/// Radius of the balance point's mark, px.
const MARK_PX: f64 = 7.0;
/// Height of a line of words, px.
const LINE_PX: f64 = 15.0;
/// Width of a letter, px: few are wider.
const LETTER_PX: f64 = 7.0;
/// Room above the views, for the throw of a fin, px.
const HEAD_PX: f64 = 26.0;

/// Draws it; `behind_m` is where the leading edge at the root lies, `up_m` how
/// high the balance point.
pub fn drawing(aircraft: &Aircraft, card: &MaidenCard, places: (f64, f64)) -> AnyView {
    PAPERS.map(|paper| draw_on(paper, aircraft, card, places)).into_iter().collect_view().into_any()
}

fn draw_on(
    (width, class): (f64, &'static str),
    aircraft: &Aircraft,
    card: &MaidenCard,
    (behind_m, up_m): (f64, f64),
) -> AnyView {
    let views = [word::FROM_ABOVE, word::FROM_THE_LEFT, word::FROM_THE_FRONT];
    let drawing = draw(
        aircraft,
        None,
        width,
        &Words { views, length: text::millimetres, unit_m: LENGTH.read(1.0) },
    );
    let mut paper = paper(aircraft, &drawing);
    let balance = vec![words::balance_in_place(&card.balance, behind_m)];
    let mut callouts = vec![callout(&mut paper, window(&drawing.above, card, up_m), balance)];
    callouts.extend(card.throws.iter().filter_map(|throw| {
        let said = words::throw_in_place(throw).to_vec();
        Some(callout(&mut paper, moved_by(aircraft, &drawing, throw)?, said))
    }));
    view! {
        <svg
            class=class
            viewBox=format!("0 -{HEAD_PX} {} {}", drawing.width, drawing.height + HEAD_PX)
            role="img"
            aria-label=words::DRAWING
        >
            {lines(&drawing)}
            {[drawing.above, drawing.left]
                .map(|view| balance_mark(&view, card, up_m))
                .into_iter()
                .collect_view()}
            {callouts}
        </svg>
    }
    .into_any()
}

/// The point to aim for and the window beside it.
fn balance_mark(view: &View, card: &MaidenCard, up_m: f64) -> impl IntoView + use<> {
    let at = |aft_m: f64| view.place([-aft_m, 0.0, -up_m]);
    let (x, y) = at(card.balance.first_flight_aft_m);
    let (front, rear) = (at(card.balance.front_aft_m), at(card.balance.rear_aft_m));
    // Along the way aft, which is down from above and to the right from the left.
    let (dx, dy) = if (rear.0 - front.0).abs() < 1e-9 { (ASIDE_PX, 0.0) } else { (0.0, ASIDE_PX) };
    let window =
        format!("M{:.1} {:.1}L{:.1} {:.1}", front.0 + dx, front.1 + dy, rear.0 + dx, rear.1 + dy);
    view! {
        <path class="card-window" d=window />
        <g class="mark-balance" transform=format!("translate({x:.1} {y:.1})")>
            <circle r="7" />
            <path d="M0 0V-7A7 7 0 0 1 7 0ZM0 0V7A7 7 0 0 1 -7 0Z" />
        </g>
    }
}

/// What balance point and window take up of the view from above.
fn window(view: &View, card: &MaidenCard, up_m: f64) -> Area {
    let balance = &card.balance;
    let [(x, top), (_, bottom), (_, y)] =
        [balance.front_aft_m, balance.rear_aft_m, balance.first_flight_aft_m]
            .map(|aft_m| view.place([-aft_m, 0.0, -up_m]));
    let (top, bottom) = (top.min(y - MARK_PX), bottom.max(y + MARK_PX));
    [x - MARK_PX, top, x + ASIDE_PX + MARK_PX, bottom]
}

/// The paper with the drawing's lines and the words that stand on it anyway.
fn paper(aircraft: &Aircraft, drawing: &Drawing) -> Paper {
    let words = drawing.labels.iter().map(|label| {
        let (x, y) = (label.x, label.y);
        let half = match label.lettering {
            // Its line runs from one end of the view to the other.
            Lettering::Dimension => drawing.width / 4.0,
            Lettering::ViewName => letters_px(&label.text) / 2.0,
        };
        [x - half, y - LINE_PX / 2.0, x + half, y + LINE_PX / 2.0]
    });
    let dots = dots(aircraft, drawing).into_iter().map(|(x, y)| [x, y, x, y]);
    Paper {
        edge: [0.0, -HEAD_PX, drawing.width, drawing.height],
        taken: words.chain(dots).collect(),
    }
}

fn letters_px(words: &str) -> f64 {
    words.chars().count() as f64 * LETTER_PX
}

/// Words beside what they speak of.
fn callout(paper: &mut Paper, what: Area, said: Vec<String>) -> AnyView {
    let width = said.iter().map(|line| letters_px(line)).fold(0.0, f64::max);
    let height = said.len() as f64 * LINE_PX;
    // Where there is no room, over what they speak of.
    let [left, top, right, _] = paper.take(what, (width, height)).unwrap_or(what);
    let (x, anchor) = if left > what[2] {
        (left, "card-from-left")
    } else if right < what[0] {
        (right, "card-from-right")
    } else {
        ((left + right) / 2.0, "card-from-middle")
    };
    let lines = said.into_iter().enumerate().map(|(index, line)| {
        let y = top + (index as f64 + 0.5) * LINE_PX;
        view! { <text class=format!("card-callout {anchor}") x=x y=y>{line}</text> }
    });
    lines.collect_view().into_any()
}

/// What the control surface of a throw takes up of the view that shows its flat
/// side; of two the one on the right, seen from above.
fn moved_by(aircraft: &Aircraft, drawing: &Drawing, throw: &CardThrow) -> Option<Area> {
    let (surface, control) = throw.moves?;
    let own = aircraft.surfaces.get(surface)?;
    let view = if own.role == SurfaceRole::Fin { drawing.left } else { drawing.above };
    let corners = control_corners(own, control).into_iter().flatten();
    let points = corners.map(|corner| view.place(corner.into()));
    points
        .map(|(x, y)| [x, y, x, y])
        .reduce(|a: Area, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])])
}
