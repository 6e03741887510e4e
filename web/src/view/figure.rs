//! A canvas that shows a figure and draws it anew when the figure, the width,
//! or the colours change.

use std::sync::Arc;

use leptos::html::{Canvas, Div};
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

use super::drawing::width_of;
use super::figure_table::figure_table;
use super::sight;
use crate::plot::axis::Axis;
use crate::plot::figure::{Figure, across_at, draw, readings, x_of};
use crate::plot::palette::Palette;
use crate::state::live::{effect, memo};
use crate::text;

/// A figure `height` px tall over the width at hand; `description` says what
/// it shows to those who cannot see it. A pointer over it, or the arrow keys,
/// read the curves off.
pub fn figure(
    height: f64,
    figure: impl Fn() -> Option<Figure> + Send + Sync + 'static,
    description: impl Fn() -> String + Send + Sync + 'static,
) -> AnyView {
    figure_of(height, Arc::new(figure), Box::new(description))
}

/// Dots of a printer for each px.
const PAPER_DENSITY: f64 = 4.0;

type Plotted = Arc<dyn Fn() -> Option<Figure> + Send + Sync>;

/// Compiled once, whatever is plotted.
fn figure_of(
    height: f64,
    figure: Plotted,
    description: Box<dyn Fn() -> String + Send + Sync>,
) -> AnyView {
    let frame = NodeRef::<Div>::new();
    let canvas = NodeRef::<Canvas>::new();
    let width = width_of(frame);
    let look = use_context::<Look>();
    let drawn = Arc::clone(&figure);
    let tabled = Arc::clone(&figure);
    let seen = seen(frame);
    effect(move || {
        let Some(Look { palette, printing }) = look else { return };
        // What nobody sees waits until it is scrolled to.
        let printing = printing.get();
        if !seen.get() && !printing {
            return;
        }
        let (Some(canvas), Some(figure)) = (canvas.get(), drawn()) else { return };
        let density = if printing { PAPER_DENSITY } else { window().device_pixel_ratio() };
        let size = (width.get(), height);
        palette.with(|palette| {
            if let Some(palette) = palette {
                draw(&figure, &canvas, size, density, palette);
            }
        });
    });
    view! {
        <div class="figure" node_ref=frame style:height=format!("{height}px")>
            <canvas node_ref=canvas role="img" aria-label=description></canvas>
            {reader(figure, width)}
        </div>
        {figure_table(move || tabled())}
    }
    .into_any()
}

/// What lies over the curves and reads them off.
fn reader(figure: Plotted, width: ReadSignal<f64>) -> impl IntoView {
    let at = RwSignal::new(None::<f64>);
    let (pointed, stepped, axis) = (Arc::clone(&figure), Arc::clone(&figure), Arc::clone(&figure));
    let point = move |event: leptos::ev::PointerEvent| {
        if let Some(figure) = untrack(|| pointed()) {
            let x = f64::from(event.offset_x());
            at.set(Some(across_at(&figure, x, width.get_untracked())));
        }
    };
    let step = move |event: leptos::ev::KeyboardEvent| {
        let steps = match event.key().as_str() {
            "ArrowRight" | "ArrowUp" => 1.0,
            "ArrowLeft" | "ArrowDown" => -1.0,
            "Escape" => return at.set(None),
            _ => return,
        };
        let Some(figure) = untrack(|| stepped()) else { return };
        event.prevent_default();
        let Axis { min, max, .. } = figure.across;
        let from = at.get_untracked().unwrap_or(if steps > 0.0 { min } else { max });
        at.set(Some((from + steps * (max - min) / KEY_STEPS).clamp(min, max)));
    };
    let ends = memo(move || axis().map(|f| (f.title, f.across.min, f.across.max)));
    let reading = memo(move || {
        let at = at.get()?;
        let figure = figure()?;
        let words = text::reading(&figure, at, &readings(&figure, at));
        Some((x_of(&figure, at, width.get()), words))
    });
    let words = move || reading.get().map(|(_, words)| words).unwrap_or_default();
    view! {
        <div
            class="figure-reader"
            role="slider"
            tabindex="0"
            aria-label=move || ends.get().map(|(title, ..)| text::read_off(&title))
            aria-valuemin=move || ends.get().map(|(_, min, _)| min.to_string())
            aria-valuemax=move || ends.get().map(|(.., max)| max.to_string())
            aria-valuenow=move || at.get().or(ends.get().map(|(_, min, _)| min)).map(|v| v.to_string())
            aria-valuetext=words
            on:pointermove=point.clone()
            on:pointerdown=point
            on:pointerleave=move |_| at.set(None)
            on:blur=move |_| at.set(None)
            on:keydown=step
        ></div>
        {move || reading.get().map(|(x, words)| view! {
            <span class="figure-cursor" style:left=format!("{x}px")></span>
            <span class="figure-reading" aria-hidden="true">{words}</span>
        })}
    }
}

/// Presses of an arrow key from one end of a figure to the other.
const KEY_STEPS: f64 = 40.0;

/// Whether the page is being printed.
pub fn printing() -> Option<RwSignal<bool>> {
    use_context::<Look>().map(|look| look.printing)
}

/// Whether an element is in sight.
fn seen(element: NodeRef<Div>) -> ReadSignal<bool> {
    let (seen, set_seen) = signal(false);
    effect(move || {
        let Some(element) = element.get() else { return };
        let tell = move |now| {
            if seen.try_get_untracked().is_some_and(|before| before != now) {
                set_seen.set(now);
            }
        };
        sight::watch(&element, Box::new(tell));
    });
    seen
}

/// What figures look like besides their content, read once for all: asking the
/// browser in the middle of an update would make it lay the page out anew.
#[derive(Clone, Copy)]
struct Look {
    palette: RwSignal<Option<Palette>>,
    /// Paper shows all figures, whether in sight or not.
    printing: RwSignal<bool>,
}

/// Keeps the look up to date: dark or light, the typeface once it has been
/// loaded, the density of the screen's pixels.
pub fn keep_look() {
    let palette = RwSignal::new(Palette::in_force().ok());
    let printing = RwSignal::new(false);
    provide_context(Look { palette, printing });
    let read_anew = move || palette.set(Palette::in_force().ok());
    for (event, on_paper) in [("beforeprint", true), ("afterprint", false)] {
        let _ = window_event_listener_untyped(event, move |_| {
            if let Some(page) = document().document_element() {
                // Fails only for names that are none.
                let _ = page.class_list().toggle_with_force("on-paper", on_paper);
            }
            printing.set(on_paper);
            read_anew();
        });
    }
    let changed = Closure::<dyn Fn()>::new(read_anew);
    let listener = changed.as_ref().unchecked_ref();
    for query in ["(prefers-color-scheme: dark)", "(resolution: 1dppx)", "(resolution: 2dppx)"] {
        if let Ok(Some(media)) = window().match_media(query) {
            // Without the listener the figures keep their first look.
            let _ = media.add_event_listener_with_callback("change", listener);
        }
    }
    if let Ok(ready) = document().fonts().ready() {
        leptos::task::spawn_local(async move {
            let _ = wasm_bindgen_futures::JsFuture::from(ready).await;
            read_anew();
        });
    }
    // Lives as long as the page.
    changed.forget();
}
