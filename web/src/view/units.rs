//! Millimetres and grams, or inches and ounces.

use leptos::prelude::*;

use super::segments::{segment, segments};
use crate::state::Sheet;
use crate::state::form::Typed;
use crate::state::units::{self, Units};
use crate::text::word;

/// The switch. Texts as typed give way to their values in the other unit.
pub fn unit_choice(sheet: Sheet) -> impl IntoView {
    let choice = move |(units, id, name): (Units, &str, &'static str)| {
        segment(
            "units",
            id.to_owned(),
            name,
            move || units::in_force() == units,
            move || {
                sheet.typed.set(Typed::default());
                units::choose(units);
            },
        )
    };
    let choices = [
        (Units::Metric, "units-metric", word::METRIC),
        (Units::Inches, "units-inches", word::INCHES),
    ];
    segments(word::UNITS, choices.map(choice).into())
}
