//! A canvas that shows a figure and draws it anew when the figure, the width,
//! or the colours change.

use std::sync::Arc;

use leptos::html::{Canvas, Div};
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

use super::drawing::width_of;
use super::figure_table::figure_table;
use crate::plot::figure::{Figure, draw};
use crate::plot::palette::Palette;

/// A figure `height` px tall over the width at hand; `description` says what
/// it shows to those who cannot see it.
pub fn figure(
    height: f64,
    figure: impl Fn() -> Option<Figure> + Send + Sync + 'static,
    description: impl Fn() -> String + Send + Sync + 'static,
) -> impl IntoView {
    let frame = NodeRef::<Div>::new();
    let canvas = NodeRef::<Canvas>::new();
    let width = width_of(frame);
    let look = use_context::<Look>();
    let figure = Arc::new(figure);
    let drawn = Arc::clone(&figure);
    Effect::new(move |_| {
        let Some(Look(palette)) = look else { return };
        let (Some(canvas), Some(figure)) = (canvas.get(), drawn()) else { return };
        let (size, density) = ((width.get(), height), window().device_pixel_ratio());
        palette.with(|palette| {
            if let Some(palette) = palette {
                draw(&figure, &canvas, size, density, palette);
            }
        });
    });
    view! {
        <div class="figure" node_ref=frame style:height=format!("{height}px")>
            <canvas node_ref=canvas role="img" aria-label=description></canvas>
        </div>
        {figure_table(move || figure())}
    }
}

/// What figures look like besides their content, read once for all: asking the
/// browser in the middle of an update would make it lay the page out anew.
#[derive(Clone, Copy)]
struct Look(RwSignal<Option<Palette>>);

/// Keeps the look up to date: dark or light, the typeface once it has been
/// loaded, the density of the screen's pixels.
pub fn keep_look() {
    let palette = RwSignal::new(Palette::in_force().ok());
    provide_context(Look(palette));
    let read_anew = move || palette.set(Palette::in_force().ok());
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
