//! On a narrow screen the drawing is not beside the form: while a dimension is
//! typed, the one view on which it shows stands above the fields.

use leptos::prelude::*;

use crate::plot::three_view::{Drawing, Ink, Words, draw};
use crate::state::Sheet;
use crate::text::{self, word};
use crate::view::drawing::ink_class;
use crate::view::overlay::{line, touched_dimension};

/// Screens as wide as this show the drawing beside the form, as the style sheet
/// has it.
const BESIDE: &str = "(min-width: 1080px)";
/// Width of the paper that is drawn on, px.
const WIDTH: f64 = 358.0;
/// Room around the view, px.
const MARGIN: f64 = 24.0;

/// The sketch, or nothing.
pub fn sketch(sheet: Sheet) -> impl IntoView {
    move || {
        let (shown, value) = touched_dimension(sheet)?;
        let beside = window().match_media(BESIDE).ok().flatten().is_some_and(|m| m.matches());
        if beside {
            return None;
        }
        let words = Words {
            views: [word::FROM_ABOVE, word::FROM_THE_LEFT, word::FROM_THE_FRONT],
            length: text::millimetres,
            unit_m: 1e-3,
        };
        let drawing: Drawing =
            sheet.outcome.with(|o| Some(draw(o.sound.as_ref()?, None, WIDTH, &words)))?;
        let (left, top, width, height) = drawing.frame(shown.side);
        let view_box = format!(
            "{:.0} {:.0} {:.0} {:.0}",
            left - MARGIN,
            top - MARGIN,
            width + 2.0 * MARGIN,
            height + 2.0 * MARGIN
        );
        let paths = drawing.paths.iter().filter(|(ink, _)| *ink != Ink::Dimension);
        let paths = paths.map(|(ink, path)| {
            view! { <path class=ink_class(*ink) d=path.clone() /> }
        });
        Some(view! {
            <div class="bench-sketch" aria-hidden="true">
                <svg viewBox=view_box>
                    {paths.collect_view()}
                    {line(&shown, drawing.view(shown.side), value)}
                </svg>
            </div>
        })
    }
}
