//! The map of natural motions, with the pinned ones as open marks and the trail
//! of a sweep.

use leptos::html::Div;
use leptos::prelude::*;
use sim_core::analysis::{Mode, Modes};

use crate::plot::mode_map::{ModeMap, name_places};
use crate::state::Sheet;
use crate::state::live::memo;
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

/// The map. Its elements stay while the motions do; an edit moves them.
pub fn mode_map(sheet: Sheet) -> impl IntoView {
    let paper = NodeRef::<Div>::new();
    let width = width_of(paper);
    let read = RwSignal::new(String::new());
    let marks = memo(move || {
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
    let there = memo(move || marks.with(Option::is_some));
    view! {
        <h3>{words::MODE_MAP}</h3>
        <div class="paper-plain" node_ref=paper>
            {move || there.get().then(|| map_view(marks, width, read))}
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

/// The motions of the present or of the pinned design.
type Motions = fn(&Marks) -> &Vec<Mode>;

fn map_view(
    marks: Memo<Option<Marks>>,
    width: ReadSignal<f64>,
    read: RwSignal<String>,
) -> impl IntoView {
    let map = memo(move || {
        marks.with(|marks| {
            let modes = marks.iter().flat_map(|m| m.now.iter().chain(&m.pinned));
            let trail = marks.iter().flat_map(|m| m.trail.iter().copied());
            let roots = modes.copied().map(root).chain(trail);
            ModeMap::around(roots, (width.get(), HEIGHT))
        })
    });
    let names = memo(move || {
        let map = map.get();
        let now = marks.with(|m| m.as_ref().map(|m| m.now.clone())).unwrap_or_default();
        let letters = |mode: &Mode| answer::mode_name(mode.kind).0.chars().count();
        let named: Vec<_> = now.iter().map(|mode| (place(&map, mode), letters(mode))).collect();
        name_places(&map, &named)
    });
    let trail = memo(move || marks.with(|m| m.as_ref().map(|m| m.trail.clone())));
    // All dots in one stroke: lines of no length with round ends.
    let trail = move || {
        let map = map.get();
        let dot = |(re, im): (f64, f64)| format!("M{:.1} {:.1}h0", map.x(re), map.y(im));
        trail.get().unwrap_or_default().into_iter().map(dot).collect::<String>()
    };
    let kinds = move |of: Motions| {
        memo(move || {
            let kind = |mode: &Mode| (mode.kind, mode.is_oscillation());
            marks.with(|m| m.iter().flat_map(|m| of(m).iter().map(kind)).collect::<Vec<_>>())
        })
    };
    let group = move |of: Motions, pinned: bool| {
        let kinds = kinds(of);
        move || {
            let one = |(index, (_, swings))| {
                let mode = Signal::derive(move || {
                    marks.with(|m| m.as_ref().and_then(|m| of(m).get(index).copied()))
                });
                mark(mode, map, swings, pinned, read)
            };
            kinds.get().into_iter().enumerate().map(one).collect_view()
        }
    };
    let named = kinds(|marks| &marks.now);
    let lettering = move || {
        let one = |(index, (kind, _))| {
            let at =
                move || -> (f64, f64) { names.with(|n| n.get(index).copied()).unwrap_or_default() };
            view! {
                <text class="map-name" x=move || at().0 y=move || at().1>
                    {answer::mode_name(kind).0}
                </text>
            }
        };
        named.get().into_iter().enumerate().map(one).collect_view()
    };
    view! {
        <svg
            width=move || map.get().width
            height=HEIGHT
            role="group"
            aria-label=words::MODE_MAP_DESCRIPTION
        >
            {move || grid(&map.get())}
            <path class="map-trail" d=trail />
            {group(|marks| &marks.pinned, true)}
            {group(|marks| &marks.now, false)}
            {lettering}
        </svg>
    }
}

fn place(map: &ModeMap, mode: &Mode) -> (f64, f64) {
    (map.x(mode.real_1_s), map.y(mode.imaginary_rad_s))
}

fn mark(
    mode: Signal<Option<Mode>>,
    map: Memo<ModeMap>,
    swings: bool,
    pinned: bool,
    read: RwSignal<String>,
) -> impl IntoView {
    let says = move || mode.get().map(|mode| words::mode_mark(&mode, pinned));
    let at = move || {
        let (x, y) = mode.get().map(|mode| place(&map.get(), &mode)).unwrap_or_default();
        format!("translate({x:.1} {y:.1})")
    };
    // Swinging motions are round, the others square: not told by place alone.
    let shape =
        if swings { "M-6 0a6 6 0 1 0 12 0a6 6 0 1 0 -12 0Z" } else { "M-5 -5.5h11v11h-11Z" };
    let tell = move || read.set(untrack(says).unwrap_or_default());
    view! {
        <g
            class="map-mark"
            class:map-pinned=pinned
            role="img"
            tabindex="0"
            aria-label=says
            transform=at
            on:pointerenter=move |_| tell()
            on:focus=move |_| tell()
        >
            <circle class="map-touch" r="22" />
            <path d=shape />
        </g>
    }
}

/// Lines of equal times, and the side on which motions grow.
fn grid(map: &ModeMap) -> impl IntoView + use<> {
    let (top, ground) = (map.top(), map.ground());
    let (left, right) = (map.left(), map.right());
    let mut lines = String::new();
    let times = words::MAP_TIMES_S.map(|time_s| {
        let x = map.x(-std::f64::consts::LN_2 / time_s);
        lines.push_str(&format!("M{x:.1} {top:.1}V{:.1}", ground + 4.0));
        view! {
            <text class="map-tick" x=x y=ground + 16.0>{words::map_time(time_s)}</text>
        }
    });
    let swings = words::MAP_SWINGS_S.map(|swing_s| {
        let y = map.y(std::f64::consts::TAU / swing_s);
        lines.push_str(&format!("M{left:.1} {y:.1}H{right:.1}"));
        view! {
            <text class="map-side" x=right y=y - 8.0>
                {format!("{} {}", words::ONE_SWING, words::map_time(swing_s))}
            </text>
        }
    });
    let still = map.x(0.0);
    view! {
        <rect class="map-grows" x=still y=top width=right - still height=ground - top />
        <path class="map-line" d=lines />
        {times.into_iter().collect_view()}
        {swings.into_iter().collect_view()}
        <path class="map-axis" d=format!("M{left:.1} {ground:.1}H{right:.1}M{still:.1} {top:.1}V{ground:.1}") />
        <text class="map-side" x=right y=ground + 16.0>{words::GROWS}</text>
        <text class="map-foot" x=left y=ground + 36.0>{words::HALF_GONE}</text>
    }
}
