//! What lies over the three-view: the weights, to be dragged on the view from
//! the left, and the dimension that is being typed.

use leptos::prelude::*;
use wasm_bindgen::JsCast;

use crate::plot::dimension::{Dimension, dimension};
use crate::plot::three_view::{Drawing, View};
use crate::state::live::memo;
use crate::state::measure::LENGTH;
use crate::state::{Sheet, fields};
use crate::text;

/// Sizes of a weight's mark: what is seen, and what a finger hits, px.
const DOT_PX: f64 = 5.0;
const HIT_PX: f64 = 22.0;

/// The layer; it outlives the drawing below it, so a drag is not cut off.
pub fn overlay(sheet: Sheet, drawing: Memo<Option<Drawing>>) -> impl IntoView {
    let places = memo(move || {
        sheet.with_aircraft(|a| {
            let fields = (0..).map_while(|i| fields::part(i).of(a).map(|_| i));
            fields.filter(|i| fields::part_aft(*i).field.read(a).is_some()).collect::<Vec<_>>()
        })
    });
    let size = memo(move || drawing.with(|d| d.as_ref().map_or((0.0, 0.0), Drawing::paper)));
    let left = memo(move || drawing.with(|d| d.as_ref().map(|d| d.left)));
    view! {
        <svg
            class="overlay"
            width=move || size.get().0
            height=move || size.get().1
        >
            {move || touched(sheet, drawing)}
            {move || places.get().into_iter().map(|i| weight(sheet, i, left)).collect_view()}
        </svg>
    }
}

/// Where a drag began: pointer, px, and place, m.
#[derive(Clone, Copy)]
struct Grip {
    pointer: (f64, f64),
    place: (f64, f64),
}

fn weight(sheet: Sheet, i: usize, left: Memo<Option<View>>) -> impl IntoView {
    let (aft, up) = (fields::part_aft(i), fields::part_up(i));
    let at = sheet.watch(move |a| {
        let both = aft.field.read(a).zip(up.field.read(a));
        both.unwrap_or_default()
    });
    let on_paper = memo(move || {
        let (aft, up) = at.get();
        left.get().map_or((-50.0, -50.0), |left| left.place([-aft, 0.0, -up]))
    });
    let name =
        sheet.watch(move |a| fields::part(i).of(a).map(|p| p.name.clone()).unwrap_or_default());
    let grip = RwSignal::new(None::<Grip>);
    let lit = RwSignal::new(false);
    let says = move || text::weight_mark(&name.get(), at.get().0, at.get().1);
    let down = move |event: leptos::ev::PointerEvent| {
        let target = event.current_target().and_then(|t| t.dyn_into::<web_sys::Element>().ok());
        if let Some(target) = target {
            // Without it the drag ends at the mark's edge.
            let _ = target.set_pointer_capture(event.pointer_id());
        }
        let pointer = (f64::from(event.client_x()), f64::from(event.client_y()));
        grip.set(Some(Grip { pointer, place: at.get_untracked() }));
        lit.set(true);
    };
    let drag = move |event: leptos::ev::PointerEvent| {
        let (Some(grip), Some(left)) = (grip.get_untracked(), left.get_untracked()) else { return };
        let right = (f64::from(event.client_x()) - grip.pointer.0) / left.scale();
        let below = (f64::from(event.client_y()) - grip.pointer.1) / left.scale();
        put(sheet, i, (grip.place.0 + right, grip.place.1 - below));
    };
    let step = move |event: leptos::ev::KeyboardEvent| {
        let (right, up) = match event.key().as_str() {
            "ArrowRight" => (1.0, 0.0),
            "ArrowLeft" => (-1.0, 0.0),
            "ArrowUp" => (0.0, 1.0),
            "ArrowDown" => (0.0, -1.0),
            _ => return,
        };
        event.prevent_default();
        let steps = if event.shift_key() { 10.0 } else { 1.0 };
        let step = steps * LENGTH.read(LENGTH.scale().step);
        let (aft, above) = at.get_untracked();
        put(sheet, i, (aft + step * right, above + step * up));
    };
    let limits = LENGTH.limits(sim_core::aircraft::limits::POSITION);
    view! {
        <g
            class="weight-mark"
            role="slider"
            tabindex="0"
            aria-label=move || name.get()
            aria-valuemin=limits.0
            aria-valuemax=limits.1
            aria-valuenow=move || LENGTH.show(at.get().0)
            aria-valuetext=says
            transform=move || format!("translate({:.1} {:.1})", on_paper.get().0, on_paper.get().1)
            on:pointerdown=down
            on:pointermove=drag
            on:pointerup=move |_| grip.set(None)
            on:pointercancel=move |_| grip.set(None)
            on:pointerenter=move |_| lit.set(true)
            on:pointerleave=move |_| lit.set(false)
            on:focus=move |_| lit.set(true)
            on:blur=move |_| lit.set(false)
            on:keydown=step
        >
            <circle class="weight-hit" r=HIT_PX />
            <path class="weight-dot" d=format!("M0 {}L{DOT_PX} 0L0 {DOT_PX}L{} 0Z", -DOT_PX, -DOT_PX) />
            {move || lit.get().then(|| view! { <text class="weight-name" y="-16">{name.get()}</text> })}
        </g>
    }
}

/// Puts a weight to a place, to the step of the ruler, as one change.
fn put(sheet: Sheet, i: usize, (aft_m, up_m): (f64, f64)) {
    let step = LENGTH.read(LENGTH.scale().step);
    let rounded = |value: f64| (value / step).round() * step;
    let (aft, up) = (fields::part_aft(i), fields::part_up(i));
    for field in [&aft, &up] {
        sheet.measured(&field.field.path);
        sheet.typed.update(|typed| typed.forget(&field.field.path));
    }
    sheet.change(&format!("drag {i}"), |a| {
        aft.field.write(a, rounded(aft_m));
        up.field.write(a, rounded(up_m));
    });
}

/// The dimension of the field that has the focus, with its value.
pub fn touched_dimension(sheet: Sheet) -> Option<(Dimension, String)> {
    let path = sheet.touched.get()?;
    sheet.with_aircraft(|a| {
        let fields = fields::number_fields(a);
        let field = fields.iter().find(|field| field.field.path == path)?;
        let value = format!("{} {}", field.show(a), field.measure.unit());
        Some((dimension(a, &path)?, value))
    })
}

fn touched(sheet: Sheet, drawing: Memo<Option<Drawing>>) -> Option<impl IntoView> {
    let (shown, value) = touched_dimension(sheet)?;
    drawing.with(|drawing| Some(line(&shown, drawing.as_ref()?.view(shown.side), value)))
}

/// Length of the ticks at a line's ends, px.
const TICK_PX: f64 = 6.0;

/// A dimension drawn on a view.
pub fn line(shown: &Dimension, view: View, value: String) -> impl IntoView + use<> {
    let points: Vec<(f64, f64)> = shown.line.iter().map(|point| view.place(*point)).collect();
    let mut path = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        path += &format!("{}{x:.1} {y:.1}", if index == 0 { 'M' } else { 'L' });
    }
    for (x, y) in [points.first(), points.last()].into_iter().flatten() {
        path +=
            &format!("M{:.1} {:.1}l{TICK_PX} {}", x - TICK_PX / 2.0, y + TICK_PX / 2.0, -TICK_PX);
    }
    let count = points.len().max(1) as f64;
    let (x, y) = points.iter().fold((0.0, 0.0), |(x, y), p| (x + p.0 / count, y + p.1 / count));
    view! {
        <path class="touched-line" d=path />
        <text class="touched-value" x=x y=y - 16.0>{value}</text>
    }
}
