//! The list of weights, or mass and inertia given outright.

use leptos::prelude::*;
use sim_core::aircraft::{Aircraft, MassStatement, Part, Spread};

use super::{adder, assume_last, name_of, numbers, outline_of, quiet};
use crate::state::parts::SpreadKind;
use crate::state::{Sheet, fields, parts};
use crate::text::{self, kind, label, word};
use crate::view::field::{flag_input, pick_input, text_input};

/// Kind of each weight, or nothing where the whole mass is given outright.
fn weight_kinds(aircraft: &Aircraft) -> Option<Vec<SpreadKind>> {
    match &aircraft.mass {
        MassStatement::Parts(parts) => {
            Some(parts.iter().map(|part| SpreadKind::of(&part.spread)).collect())
        }
        MassStatement::Known(_) => None,
    }
}

pub fn weights(sheet: Sheet) -> impl IntoView {
    let kinds = outline_of(sheet, weight_kinds);
    view! {
        <details class="group" open=true>
            <summary>
                <span class="group-name">{word::WEIGHTS}</span>
                <span class="group-hint">
                    {move || sheet.outcome.with(|o| o.assessment.as_ref().map(|a| text::grams(a.mass.mass_kg)))}
                </span>
            </summary>
            {move || match kinds.get() {
                None => view! {
                    {numbers(sheet, fields::known_mass_fields())}
                    {quiet(word::WEIGH_PARTS, move || {
                        sheet.rearrange("weights", |a| a.mass = MassStatement::Parts(Vec::new()));
                    })}
                }.into_any(),
                Some(kinds) => view! {
                    {kinds.into_iter().enumerate().map(|(i, kind)| weight(sheet, i, kind)).collect_view()}
                    {adder(sheet, word::ADD_WEIGHT, &kind::SPREADS, add)}
                }.into_any(),
            }}
        </details>
    }
}

fn list(aircraft: &mut Aircraft) -> Option<&mut Vec<Part>> {
    match &mut aircraft.mass {
        MassStatement::Parts(parts) => Some(parts),
        MassStatement::Known(_) => None,
    }
}

fn add(sheet: Sheet, spread: SpreadKind) {
    sheet.rearrange("weights", |a| parts::add_weight(a, spread));
    assume_last(sheet, "mass.parts", |a| match &a.mass {
        MassStatement::Parts(parts) => parts.len(),
        MassStatement::Known(_) => 0,
    });
}

fn weight(sheet: Sheet, i: usize, spread: SpreadKind) -> impl IntoView {
    let fields = sheet.design.with_untracked(|design| {
        let a = &design.aircraft;
        fields::part(i).of(a).map(|part| fields::part_fields(i, &part.spread)).unwrap_or_default()
    });
    let name = name_of(sheet, move |a| Some(&fields::part(i).of(a)?.name));
    let shown_mass = move || {
        sheet.outcome.with(|o| {
            let sound = o.sound.as_ref()?;
            let part = fields::part(i).of(sound)?;
            Some(text::grams(sim_core::mass::part_mass_kg(part, &sound.surfaces)))
        })
    };
    view! {
        <details class="weight">
            <summary>
                <span>{name}</span>
                <span class="group-hint">{shown_mass}</span>
            </summary>
            <div class="fields">
                {text_input(sheet, fields::part_name(i))}
                {spread_choice(sheet, i, spread)}
                {(spread == SpreadKind::Sheet).then(|| surface_choice(sheet, i))}
            </div>
            {numbers(sheet, fields)}
            {(spread != SpreadKind::Sheet).then(|| view! {
                <div class="fields">{flag_input(sheet, fields::part_mirrored(i))}</div>
            })}
            {quiet(word::DUPLICATE, move || {
                sheet.rearrange("weights", |a| {
                    if let Some(parts) = list(a) {
                        parts::duplicate(parts, i);
                    }
                });
            })}
            {quiet(word::REMOVE, move || {
                sheet.rearrange("weights", |a| {
                    if let Some(parts) = list(a) {
                        parts::remove(parts, i);
                    }
                });
                sheet.forget_item("mass.parts", i);
            })}
        </details>
    }
}

fn spread_choice(sheet: Sheet, i: usize, now: SpreadKind) -> impl IntoView {
    let options = kind::SPREADS.iter().map(|(_, name)| (*name).to_owned()).collect();
    let chosen = move || kind::SPREADS.iter().position(|(kind, _)| *kind == now);
    let pick = move |option: usize| {
        let Some((kind, _)) = kind::SPREADS.get(option) else { return };
        sheet.rearrange("weights", |a| {
            let first = a.surfaces.first().map(|s| s.name.clone()).unwrap_or_default();
            if let Some(part) = list(a).and_then(|parts| parts.get_mut(i)) {
                part.spread = parts::respread(&part.spread, *kind, &first);
            }
        });
    };
    pick_input(sheet, format!("mass.parts[{i}].spread"), label::SPREAD, options, chosen, pick)
}

fn surface_choice(sheet: Sheet, i: usize) -> impl IntoView {
    let of_part = move || {
        sheet.with_aircraft_untracked(|a| match &fields::part(i).of(a)?.spread {
            Spread::Sheet { surface, .. } => Some(surface.clone()),
            _ => None,
        })
    };
    let listed =
        outline_of(sheet, |a| a.surfaces.iter().map(|s| s.name.clone()).collect::<Vec<_>>());
    let pick = move |option: usize| {
        let name = listed.with_untracked(|names| names.get(option).cloned());
        sheet.rearrange("weights", |a| {
            let part = list(a).and_then(|parts| parts.get_mut(i));
            if let Some(Spread::Sheet { surface, .. }) = part.map(|part| &mut part.spread)
                && let Some(name) = name
            {
                *surface = name;
            }
        });
    };
    move || {
        let names = listed.get();
        let chosen = move || {
            let own = of_part()?;
            listed.with_untracked(|names| names.iter().position(|name| *name == own))
        };
        let path = format!("mass.parts[{i}].spread.surface");
        pick_input(sheet, path, label::ON_SURFACE, names, chosen, pick)
    }
}
