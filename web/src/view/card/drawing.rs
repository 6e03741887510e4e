//! The card's drawing: the three-view with the balance point to aim for, its
//! window, and the throws beside the surfaces that they are for. Lines and
//! letters only, so that it prints sharp and in black.

use leptos::prelude::*;
use sim_core::aircraft::outline::control_corners;
use sim_core::aircraft::{Aircraft, SurfaceRole};
use sim_core::card::{CardThrow, MaidenCard};

use crate::plot::three_view::{Drawing, View, Words, draw};
use crate::state::measure::LENGTH;
use crate::text::{self, card as words, word};
use crate::view::drawing::lines;

/// Width of the paper, in its own pixels: the style sheet scales it.
const WIDTH_PX: f64 = 640.0;
/// A surface whose middle lies further out than this share of the half span
/// has its throw behind it, not beside it.
const OUTBOARD: f64 = 0.45;
/// How far the window stands beside the balance point, px.
const ASIDE_PX: f64 = 13.0;
/// Distance of a throw's words from the surface, px.
const GAP_PX: f64 = 7.0;
/// Height of a line of words, px.
const LINE_PX: f64 = 15.0;

/// Draws it; `behind_m` is where the leading edge at the root lies, `up_m` how
/// high the balance point.
pub fn drawing(aircraft: &Aircraft, card: &MaidenCard, (behind_m, up_m): (f64, f64)) -> AnyView {
    let views = [word::FROM_ABOVE, word::FROM_THE_LEFT, word::FROM_THE_FRONT];
    let drawing = draw(
        aircraft,
        None,
        WIDTH_PX,
        &Words { views, length: text::millimetres, unit_m: LENGTH.read(1.0) },
    );
    let callouts: Vec<_> =
        card.throws.iter().filter_map(|throw| callout(aircraft, &drawing, throw)).collect();
    let balance = words::balance_in_place(&card.balance, behind_m);
    view! {
        <svg
            class="card-drawing"
            viewBox=format!("0 0 {} {}", drawing.width, drawing.height)
            role="img"
            aria-label=words::DRAWING
        >
            {lines(&drawing)}
            {[drawing.above, drawing.left]
                .map(|view| balance_mark(&view, card, up_m))
                .into_iter()
                .collect_view()}
            {balance_words(&drawing, card, up_m, balance)}
            {callouts.into_iter().map(Callout::show).collect_view()}
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

fn balance_words(drawing: &Drawing, card: &MaidenCard, up_m: f64, said: String) -> AnyView {
    let (x, y) = drawing.above.place([-card.balance.first_flight_aft_m, 0.0, -up_m]);
    view! { <text class="card-callout card-from-left" x=x + ASIDE_PX + 9.0 y=y>{said}</text> }
        .into_any()
}

/// A throw beside its surface.
struct Callout {
    x: f64,
    y: f64,
    anchor: &'static str,
    lines: [String; 2],
}

impl Callout {
    fn show(self) -> impl IntoView {
        let class = format!("card-callout {}", self.anchor);
        let (x, y) = (self.x, self.y);
        let [high, low] = self.lines;
        view! {
            <text class=class.clone() x=x y=y>{high}</text>
            <text class=class x=x y=y + LINE_PX>{low}</text>
        }
    }
}

/// Where a throw stands: of a fin left of its upper end, seen from the left;
/// of an outer surface behind it, of an inner one beside its tip, seen from
/// above.
fn callout(aircraft: &Aircraft, drawing: &Drawing, throw: &CardThrow) -> Option<Callout> {
    let (surface, control) = throw.moves?;
    let own = aircraft.surfaces.get(surface)?;
    let corners: Vec<[f64; 3]> =
        control_corners(own, control).into_iter().flatten().map(Into::into).collect();
    let fin = own.role == SurfaceRole::Fin;
    let view = if fin { drawing.left } else { drawing.above };
    let points: Vec<(f64, f64)> = corners.iter().map(|corner| view.place(*corner)).collect();
    let least = |pick: fn(&(f64, f64)) -> f64| points.iter().map(pick).reduce(f64::min);
    let most = |pick: fn(&(f64, f64)) -> f64| points.iter().map(pick).reduce(f64::max);
    let (left, right) = (least(|p| p.0)?, most(|p| p.0)?);
    let (top, bottom) = (least(|p| p.1)?, most(|p| p.1)?);
    let half_span_m = 0.5 * aircraft.wing_size().span_m;
    let middle_m = corners.iter().map(|corner| corner[1].abs()).sum::<f64>() / corners.len() as f64;
    let (x, y, anchor) = if fin {
        ((left - 4.0 * GAP_PX).max(0.0), top, "card-from-right")
    } else if middle_m > OUTBOARD * half_span_m {
        ((left + right) / 2.0, bottom + 2.0 * GAP_PX, "card-from-middle")
    } else {
        (right + GAP_PX, (top + bottom - LINE_PX) / 2.0, "card-from-left")
    };
    Some(Callout { x, y, anchor, lines: words::throw_in_place(throw) })
}
