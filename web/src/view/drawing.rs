//! The three-view, redrawn after each change, with the marks of balance.

use leptos::html::Div;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

use crate::plot::three_view::{Drawing, Ink, Lettering, Words, draw};
use crate::state::Sheet;
use crate::text::{self, word};

/// Paper width until the page has been laid out, px.
const FIRST_WIDTH_PX: f64 = 358.0;

pub fn drawing(sheet: Sheet) -> impl IntoView {
    let paper = NodeRef::<Div>::new();
    let width = width_of(paper);
    let drawing = Memo::new(move |_| {
        let words = Words {
            views: [word::FROM_ABOVE, word::FROM_THE_LEFT, word::FROM_THE_FRONT],
            length: text::millimetres,
        };
        let width = width.get();
        sheet.outcome.with(|o| o.sound.as_ref().map(|aircraft| draw(aircraft, width, &words)))
    });
    view! {
        <section class="panel drawing" id="drawing" aria-labelledby="drawing-heading">
            <h2 id="drawing-heading">{word::DRAWING}</h2>
            <div class="paper" node_ref=paper>
                {move || drawing.get().map(|drawing| three_view(sheet, &drawing))}
            </div>
        </section>
    }
}

fn three_view(sheet: Sheet, drawing: &Drawing) -> impl IntoView + use<> {
    let balance = sheet.outcome.with(|o| o.mass.as_ref().map(|m| m.balance_point.to_body_axes()));
    let marks = balance.map(|at| {
        [drawing.above, drawing.left]
            .map(|view| view.place(at.into()))
            .map(|(x, y)| balance_mark(x, y))
            .into_iter()
            .collect_view()
    });
    view! {
        <svg
            width=drawing.width
            height=drawing.height
            viewBox=format!("0 0 {} {}", drawing.width, drawing.height)
            role="img"
            aria-label=word::DRAWING_DESCRIPTION
        >
            {drawing.paths.iter().map(|(ink, path)| view! {
                <path class=ink_class(*ink) d=path.clone() />
            }).collect_view()}
            {drawing.labels.iter().map(|label| view! {
                <text class=lettering_class(label.lettering) x=label.x y=label.y>
                    {label.text.clone()}
                </text>
            }).collect_view()}
            {marks}
        </svg>
    }
}

/// The draughtsman's sign for a centre of gravity: a quartered circle.
fn balance_mark(x: f64, y: f64) -> impl IntoView {
    view! {
        <g class="mark-balance" transform=format!("translate({x:.1} {y:.1})")>
            <circle r="7" />
            <path d="M0 0V-7A7 7 0 0 1 7 0ZM0 0V7A7 7 0 0 1 -7 0Z" />
        </g>
    }
}

fn ink_class(ink: Ink) -> &'static str {
    match ink {
        Ink::Body => "ink-body",
        Ink::Surface => "ink-surface",
        Ink::Control => "ink-control",
        Ink::Propeller => "ink-propeller",
        Ink::Dimension => "ink-dimension",
        Ink::Centreline => "ink-centreline",
    }
}

fn lettering_class(lettering: Lettering) -> &'static str {
    match lettering {
        Lettering::Dimension => "lettering-dimension",
        Lettering::ViewName => "lettering-view",
    }
}

/// The width of an element, kept up to date, px.
pub fn width_of(element: NodeRef<Div>) -> ReadSignal<f64> {
    let (width, set_width) = signal(FIRST_WIDTH_PX);
    Effect::new(move |_| {
        let Some(element) = element.get() else { return };
        let measured = element.clone();
        let changed = Closure::<dyn Fn()>::new(move || {
            let now = f64::from(measured.client_width());
            if now > 0.0 && width.get_untracked() != now {
                set_width.set(now);
            }
        });
        let observer = web_sys::ResizeObserver::new(changed.as_ref().unchecked_ref());
        if let Ok(observer) = observer {
            observer.observe(&element);
            // Lives as long as the page.
            changed.forget();
        }
    });
    width
}
