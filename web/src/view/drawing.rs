//! The three-view, redrawn after each change, with the marks of balance.

use leptos::html::Div;
use leptos::prelude::*;
use sim_core::assess::Assessment;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

use super::figure::printing;
use super::overlay::overlay;
use super::sight::{pane, pane_with};
use super::term::term;
use crate::plot::three_view::{
    Drawing, INKS, Ink, LAYERS, Label, Lettering, View, Words, draw, layers,
};
use crate::state::Sheet;
use crate::state::live::{effect, memo};
use crate::state::measure::LENGTH;
use crate::state::panes::Needs;
use crate::text::{self, card, glossary, whatif, word};

/// Paper width until the page has been laid out, px.
const FIRST_WIDTH_PX: f64 = 358.0;

/// The sheet is the page's: what shows throws follows a frame after the rest.
pub fn drawing(page: Sheet) -> impl IntoView {
    let sheet = pane(page, "drawing");
    let late = pane_with(page, "drawing", Needs::Picture);
    let paper = NodeRef::<Div>::new();
    let width = width_of(paper);
    let drawing = memo(move || {
        let words = Words {
            views: [word::FROM_ABOVE, word::FROM_THE_LEFT, word::FROM_THE_FRONT],
            length: text::millimetres,
            unit_m: LENGTH.read(1.0),
        };
        let (width, pinned) = (width.get(), sheet.pinned.get());
        let pinned = pinned.as_ref().map(|pinned| &pinned.design.aircraft);
        sheet.outcome.with(|o| Some(draw(o.sound.as_ref()?, pinned, width, &words)))
    });
    let drawn = memo(move || drawing.with(Option::is_some));
    let square_size = move || {
        let edge = drawing.with(|d| d.as_ref().map_or(16.0, Drawing::square_px));
        format!("{edge}px {edge}px")
    };
    let square = move || drawing.with(|d| d.as_ref().map(|d| text::square(d.square_m)));
    view! {
        <section class="panel drawing" id="drawing" aria-labelledby="drawing-heading">
            <h2 id="drawing-heading">{word::DRAWING}</h2>
            <div class="paper" node_ref=paper style:background-size=square_size>
                {move || drawn.get().then(|| three_view(sheet, late, drawing))}
                {overlay(sheet, drawing)}
            </div>
            <ul class="legend">
                <li><span class="legend-balance"></span>{word::BALANCE_POINT}</li>
                <li><span class="legend-window"></span>{word::WINDOW}</li>
                <li><span class="legend-neutral"></span>{term(glossary::NEUTRAL_POINT)}</li>
                <li class="legend-weights"><span></span>{card::WEIGHTS}</li>
                {move || sheet.pinned.with(Option::is_some).then(|| view! {
                    <li><span class="legend-pinned"></span>{whatif::PINNED}</li>
                })}
                <li><span class="legend-centre"></span>{word::AERODYNAMIC_CENTRE}</li>
                <li><span class="legend-thrust"></span>{word::THRUST_LINE}</li>
                <li><span class="legend-wash"></span>{word::PROPWASH}</li>
                <li><span class="legend-swung"></span>{word::SWUNG}</li>
                <li>{square}</li>
            </ul>
        </section>
    }
}

/// Lines and lettering of a drawing, to stand inside an `svg` of its size.
pub fn lines(drawing: &Drawing) -> impl IntoView + use<> {
    let paths = drawing.paths.iter().map(|(ink, path)| {
        view! { <path class=ink_class(*ink) d=path.clone() /> }
    });
    (paths.collect_view(), lettering(&drawing.labels))
}

fn lettering(labels: &[Label]) -> impl IntoView + use<> {
    let labels = labels.iter().map(|label| {
        view! {
            <text class=lettering_class(label.lettering) x=label.x y=label.y>
                {label.text.clone()}
            </text>
        }
    });
    labels.collect_view()
}

/// The drawing on the page. Its elements stay; an edit changes what they say.
fn three_view(sheet: Sheet, late: Sheet, drawing: Memo<Option<Drawing>>) -> impl IntoView {
    let size = memo(move || drawing.with(|d| d.as_ref().map_or((0.0, 0.0), Drawing::paper)));
    // Which labels there are never changes, only where they stand and what they say.
    let labels = drawing.with_untracked(|d| d.as_ref().map_or(Vec::new(), |d| d.labels.clone()));
    let labels = labels.into_iter().enumerate().map(|(index, first)| {
        let label = memo(move || {
            drawing
                .with(|d| d.as_ref().and_then(|d| d.labels.get(index).cloned()))
                .unwrap_or_else(|| first.clone())
        });
        view! {
            <text
                class=lettering_class(label.with_untracked(|l| l.lettering))
                x=move || label.with(|l| l.x)
                y=move || label.with(|l| l.y)
            >
                {move || label.with(|l| l.text.clone())}
            </text>
        }
    });
    let paths = INKS.into_iter().enumerate().map(|(index, ink)| {
        let path = move || {
            drawing.with(|d| {
                d.as_ref().and_then(|d| d.paths.get(index)).map_or(String::new(), |p| p.1.clone())
            })
        };
        view! { <path class=ink_class(ink) d=path /> }
    });
    let marks = memo(move || {
        drawing.with(|drawing| {
            let drawing = drawing.as_ref()?;
            sheet.outcome.with(|o| o.assessment.as_ref().map(|a| marks(a, drawing)))
        })
    });
    let layers = memo(move || {
        size.track();
        late.outcome.with(|o| {
            let (sound, assessment) = (o.sound.as_ref()?, o.assessment.as_ref()?);
            drawing.with_untracked(|d| Some(layers(sound, assessment, d.as_ref()?, ASIDE_PX)))
        })
    });
    let [wash, thrust, swung, centre] = [0, 1, 2, 3].map(|index: usize| {
        let path = move || layers.with(|l| l.as_ref().map(|l| l[index].clone()));
        view! { <path class=LAYERS[index] d=path /> }
    });
    let views = [0, 1].map(|view| {
        let of = move |part: fn(&Marks) -> &String| {
            move || marks.with(|m| m.as_ref().map(|m| part(&m[view]).clone()))
        };
        view! {
            <path class="mark-window" d=of(|m| &m.window) />
            <path class="mark-neutral" d=of(|m| &m.neutral) />
            <path class="mark-leader" d=of(|m| &m.leader) />
            <g
                class="mark-balance"
                transform=of(|m| &m.balance)
                visibility=move || marks.with(Option::is_none).then_some("hidden")
            >
                <circle r="7" />
                <path d="M0 0V-7A7 7 0 0 1 7 0ZM0 0V7A7 7 0 0 1 -7 0Z" />
            </g>
        }
    });
    view! {
        <svg
            width=move || size.get().0
            height=move || size.get().1
            viewBox=move || format!("0 0 {} {}", size.get().0, size.get().1)
            role="img"
            aria-label=word::DRAWING_DESCRIPTION
        >
            {wash}
            {paths.collect_view()}
            {[thrust, swung, centre].into_iter().collect_view()}
            {labels.collect_view()}
            {views.into_iter().collect_view()}
        </svg>
    }
}

/// How far window and neutral point stand beside the balance point, px.
const ASIDE_PX: f64 = 17.0;

/// Window, neutral point and balance point on one view, in the notation of SVG.
#[derive(Debug, Clone, PartialEq)]
struct Marks {
    window: String,
    neutral: String,
    leader: String,
    balance: String,
}

/// The marks on the views from above and from the left.
fn marks(assessment: &Assessment, drawing: &Drawing) -> [Marks; 2] {
    let balance = &assessment.balance;
    let at = assessment.mass.balance_point.to_body_axes();
    let neutral = balance.neutral_point_aft_m.min(balance.neutral_point_power_off_aft_m);
    // Beside the balance point, which would hide them: to its right from above,
    // below it from the left.
    let views = [(drawing.above, (ASIDE_PX, 0.0)), (drawing.left, (0.0, ASIDE_PX))];
    views.map(|(view, aside): (View, (f64, f64))| {
        let place = |aft_m: f64| view.place([-aft_m, 0.0, at.z]);
        let beside = |aft_m: f64| {
            let (x, y) = place(aft_m);
            (x + aside.0, y + aside.1)
        };
        let (from, to) = (beside(balance.window_front_aft_m), beside(balance.window_rear_aft_m));
        let (neutral_x, neutral_y) = beside(neutral);
        let (x, y) = place(balance.balance_point_aft_m);
        Marks {
            window: format!("M{:.1} {:.1}L{:.1} {:.1}", from.0, from.1, to.0, to.1),
            neutral: format!("M{neutral_x:.1} {:.1}l5 5l-5 5l-5 -5z", neutral_y - 5.0),
            leader: format!("M{x:.1} {y:.1}l{} {}", aside.0, aside.1),
            balance: format!("translate({x:.1} {y:.1})"),
        }
    })
}

pub fn ink_class(ink: Ink) -> &'static str {
    match ink {
        Ink::Body => "ink-body",
        Ink::Surface => "ink-surface",
        Ink::Control => "ink-control",
        Ink::Propeller => "ink-propeller",
        Ink::Dimension => "ink-dimension",
        Ink::Centreline => "ink-centreline",
        Ink::Pinned => "ink-pinned",
    }
}

fn lettering_class(lettering: Lettering) -> &'static str {
    match lettering {
        Lettering::Dimension => "lettering-dimension",
        Lettering::ViewName => "lettering-view",
    }
}

/// Watches an element's size for as long as it is kept.
struct Watch {
    observer: web_sys::ResizeObserver,
    _changed: Closure<dyn Fn()>,
}

impl Drop for Watch {
    fn drop(&mut self) {
        self.observer.disconnect();
    }
}

/// What a figure takes up of the width of either paper, px; the style sheet
/// knows it too.
const PAPER_WIDTH_PX: f64 = 640.0;

/// The width of an element, kept up to date, px; while the page is printed that
/// of a figure on paper.
pub fn width_of(element: NodeRef<Div>) -> ReadSignal<f64> {
    let (width, set_width) = signal(FIRST_WIDTH_PX);
    let printing = printing();
    effect(move || {
        if printing.is_some_and(|printing| printing.get()) {
            set_width.set(PAPER_WIDTH_PX);
        } else if width.get_untracked() == PAPER_WIDTH_PX
            && let Some(element) = element.get_untracked()
        {
            set_width.set(f64::from(element.client_width()));
        }
    });
    effect(move || {
        let Some(element) = element.get() else { return };
        let measured = element.clone();
        let changed = Closure::<dyn Fn()>::new(move || {
            let now = f64::from(measured.client_width());
            if now > 0.0 && width.try_get_untracked().is_some_and(|before| before != now) {
                set_width.set(now);
            }
        });
        let observer = web_sys::ResizeObserver::new(changed.as_ref().unchecked_ref());
        if let Ok(observer) = observer {
            observer.observe(&element);
            // Dropped when the effect runs again or its view goes.
            StoredValue::new_local(Watch { observer, _changed: changed });
        }
    });
    width
}
