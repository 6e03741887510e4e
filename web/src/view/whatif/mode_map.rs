//! The map of natural motions, with the pinned ones as open marks and the trail
//! of a sweep.

use leptos::html::Div;
use leptos::prelude::*;
use sim_core::analysis::{Mode, Modes};

use crate::plot::mode_map::{ModeMap, name_places};
use crate::state::Sheet;
use crate::text::{answer, whatif as words};
use crate::view::drawing::width_of;

/// Height of the map, px.
const HEIGHT: f64 = 270.0;

/// What the map shows.
#[derive(Clone, PartialEq)]
struct Marks {
    now: Vec<Mode>,
    pinned: Vec<Mode>,
    trail: Vec<(f64, f64)>,
}

/// The map.
pub fn mode_map(sheet: Sheet) -> impl IntoView {
    let paper = NodeRef::<Div>::new();
    let width = width_of(paper);
    let read = RwSignal::new(String::new());
    let marks = Memo::new(move |_| {
        let now = sheet.outcome.with(|o| o.assessment.as_ref().map(|a| all(&a.modes)))?;
        let pinned = sheet.pinned.with(|p| {
            p.as_ref().and_then(|p| p.assessment()).map(|a| all(&a.modes)).unwrap_or_default()
        });
        let trail = sheet.late.sweep.with(|sweep| {
            let points = sweep.iter().flat_map(|sweep| &sweep.points);
            points.flat_map(|point| &point.motions).map(|(_, re, im)| (*re, *im)).collect()
        });
        Some(Marks { now, pinned, trail })
    });
    view! {
        <h3>{words::MODE_MAP}</h3>
        <div class="paper-plain" node_ref=paper>
            {move || marks.get().map(|marks| map_view(&marks, width.get(), read))}
        </div>
        <p class="reading" aria-hidden="true">{move || read.get()}</p>
    }
}

fn all(modes: &Modes) -> Vec<Mode> {
    modes.longitudinal.iter().chain(&modes.lateral).copied().collect()
}

fn root(mode: Mode) -> (f64, f64) {
    (mode.real_1_s, mode.imaginary_rad_s)
}

fn map_view(marks: &Marks, width: f64, read: RwSignal<String>) -> impl IntoView + use<> {
    let roots = marks.now.iter().chain(&marks.pinned).copied().map(root);
    let map = ModeMap::around(roots.chain(marks.trail.iter().copied()), (width, HEIGHT));
    let at = |mode: &Mode| (map.x(mode.real_1_s), map.y(mode.imaginary_rad_s));
    let named: Vec<_> = marks
        .now
        .iter()
        .map(|mode| (at(mode), answer::mode_name(mode.kind).0.chars().count()))
        .collect();
    let names = name_places(&map, &named);
    let trail = marks.trail.iter().map(|(re, im)| {
        view! { <circle class="map-trail" cx=map.x(*re) cy=map.y(*im) r="2" /> }
    });
    let pinned = marks.pinned.iter().map(|mode| mark(mode, at(mode), true, read));
    let now = marks.now.iter().map(|mode| mark(mode, at(mode), false, read));
    let lettering = marks.now.iter().zip(names).map(|(mode, (x, y))| {
        view! { <text class="map-name" x=x y=y>{answer::mode_name(mode.kind).0}</text> }
    });
    view! {
        <svg width=map.width height=HEIGHT role="group" aria-label=words::MODE_MAP_DESCRIPTION>
            {grid(&map)}
            {trail.collect_view()}
            {pinned.collect_view()}
            {now.collect_view()}
            {lettering.collect_view()}
        </svg>
    }
}

fn mark(
    mode: &Mode,
    (x, y): (f64, f64),
    pinned: bool,
    read: RwSignal<String>,
) -> impl IntoView + use<> {
    let says = words::mode_mark(mode, pinned);
    let (hovered, focused) = (says.clone(), says.clone());
    // Swinging motions are round, the others square: not told by place alone.
    let shape = if mode.is_oscillation() {
        format!("M{:.1} {y:.1}a6 6 0 1 0 12 0a6 6 0 1 0 -12 0Z", x - 6.0)
    } else {
        format!("M{:.1} {:.1}h11v11h-11Z", x - 5.5, y - 5.5)
    };
    view! {
        <g
            class="map-mark"
            class:map-pinned=pinned
            role="img"
            tabindex="0"
            aria-label=says
            on:pointerenter=move |_| read.set(hovered.clone())
            on:focus=move |_| read.set(focused.clone())
        >
            <circle class="map-touch" cx=x cy=y r="22" />
            <path d=shape />
        </g>
    }
}

/// Lines of equal times, and the side on which motions grow.
fn grid(map: &ModeMap) -> impl IntoView + use<> {
    let (top, ground) = (map.top(), map.ground());
    let (left, right) = (map.left(), map.right());
    let times = words::MAP_TIMES_S.map(|time_s| {
        let x = map.x(-std::f64::consts::LN_2 / time_s);
        view! {
            <path class="map-line" d=format!("M{x:.1} {top:.1}V{:.1}", ground + 4.0) />
            <text class="map-tick" x=x y=ground + 16.0>{words::map_time(time_s)}</text>
        }
    });
    let swings = words::MAP_SWINGS_S.map(|swing_s| {
        let y = map.y(std::f64::consts::TAU / swing_s);
        view! {
            <path class="map-line" d=format!("M{:.1} {y:.1}H{right:.1}", map.left()) />
            <text class="map-side" x=right y=y - 8.0>
                {format!("{} {}", words::ONE_SWING, words::map_time(swing_s))}
            </text>
        }
    });
    let still = map.x(0.0);
    view! {
        <rect class="map-grows" x=still y=top width=right - still height=ground - top />
        {times.into_iter().collect_view()}
        {swings.into_iter().collect_view()}
        <path class="map-axis" d=format!("M{left:.1} {ground:.1}H{right:.1}M{still:.1} {top:.1}V{ground:.1}") />
        <text class="map-side" x=right y=ground + 16.0>{words::GROWS}</text>
        <text class="map-foot" x=left y=ground + 36.0>{words::HALF_GONE}</text>
    }
}
