//! The form: what was measured, part by part.
//!
//! A part's fields are made anew only when parts come, go or change their
//! kind; a change of a number touches the field alone.

use leptos::prelude::*;
use sim_core::aircraft::{
    Aircraft, Drive, MassStatement, Panel, Part, Place, Spread, Surface, SurfaceRole,
};

use super::field::{choice_input, flag_input, number_input, text_input};
use crate::state::form::NumberField;
use crate::state::{Sheet, fields};
use crate::text::{self, kind, word};

pub fn bench(sheet: Sheet) -> impl IntoView {
    let surfaces = outline_of(sheet, |a| {
        a.surfaces
            .iter()
            .map(|s| (s.role, s.mirrored, s.panels.len(), s.controls.len()))
            .collect::<Vec<_>>()
    });
    let bodies = outline_of(sheet, |a| a.bodies.len());
    let drives = outline_of(sheet, |a| {
        a.propulsion
            .iter()
            .map(|unit| matches!(unit.drive, Drive::Electric { .. }))
            .collect::<Vec<_>>()
    });
    view! {
        <section class="bench" id="bench" aria-labelledby="bench-heading">
            <h2 id="bench-heading">{word::BENCH}</h2>
            <p class="lede">{word::BENCH_LEDE}</p>
            {move || surfaces.get().into_iter().enumerate().map(|(i, (role, mirrored, panels, controls))| {
                surface_group(sheet, i, role, mirrored, panels, controls)
            }).collect_view()}
            {move || body_group(sheet, bodies.get())}
            {move || drives.get().into_iter().enumerate().map(|(i, electric)| {
                power_group(sheet, i, electric)
            }).collect_view()}
            {weights_group(sheet)}
        </section>
    }
}

/// What decides which fields there are.
fn outline_of<T: PartialEq + Clone + Send + Sync + 'static>(
    sheet: Sheet,
    take: fn(&Aircraft) -> T,
) -> Memo<T> {
    Memo::new(move |_| sheet.with_aircraft(take))
}

fn numbers(sheet: Sheet, fields: Vec<NumberField>) -> impl IntoView {
    view! {
        <div class="fields">
            {fields.into_iter().map(|field| number_input(sheet, field)).collect_view()}
        </div>
    }
}

fn surface_group(
    sheet: Sheet,
    i: usize,
    role: SurfaceRole,
    mirrored: bool,
    panels: usize,
    controls: usize,
) -> impl IntoView {
    let all = fields::surface_fields(i);
    let upright = role == SurfaceRole::Fin;
    let name = move || sheet.with_aircraft(|a| fields::surface(i).of(a).map(|s| s.name.clone()));
    view! {
        <details class="group" open=role == SurfaceRole::Wing>
            <summary>
                <span class="group-name">{kind::surface(role)}</span>
                <span class="group-hint">{name}</span>
            </summary>
            <div class="fields">
                {text_input(sheet, all.name)}
                {all.root.into_iter().map(|field| number_input(sheet, field)).collect_view()}
                {upright.then(|| flag_input(sheet, all.mirrored))}
                {(upright && mirrored).then(|| number_input(sheet, all.root_right))}
            </div>
            {(0..panels).map(|j| panel_fields(sheet, i, j, panels, upright)).collect_view()}
            <button type="button" class="quiet" on:click=move |_| {
                sheet.rearrange("panels", |a| add_panel(a.surfaces.get_mut(i)));
            }>{word::ADD_PANEL}</button>
            {(0..controls).map(|k| control_fields(sheet, i, k)).collect_view()}
        </details>
    }
}

fn panel_fields(sheet: Sheet, i: usize, j: usize, panels: usize, upright: bool) -> impl IntoView {
    let heading = (panels > 1).then(|| view! { <h3>{format!("{} {}", word::PANEL, j + 1)}</h3> });
    let removable = panels > 1 && j + 1 == panels;
    view! {
        {heading}
        {numbers(sheet, fields::panel_fields(i, j, upright))}
        <div class="fields">
            {choice_input(sheet, fields::section_kind(i, j))}
            {fields::section_fields(i, j, upright)
                .into_iter()
                .map(|field| number_input(sheet, field))
                .collect_view()}
        </div>
        {removable.then(|| view! {
            <button type="button" class="quiet" on:click=move |_| {
                sheet.rearrange("panels", |a| {
                    if let Some(surface) = a.surfaces.get_mut(i) {
                        surface.panels.pop();
                    }
                });
            }>{word::REMOVE_PANEL}</button>
        })}
    }
}

/// Adds a panel that goes on where the last one ends.
fn add_panel(surface: Option<&mut Surface>) {
    let Some(surface) = surface else { return };
    let Some(last) = surface.panels.last().copied() else { return };
    surface.panels.push(Panel {
        span_m: last.span_m / 2.0,
        root_chord_m: last.tip_chord_m,
        incidence_deg: last.incidence_deg + last.twist_deg,
        twist_deg: 0.0,
        ..last
    });
}

fn control_fields(sheet: Sheet, i: usize, k: usize) -> impl IntoView {
    let name = move || sheet.with_aircraft(|a| fields::control(i, k).of(a).map(|c| c.name.clone()));
    view! {
        <h3>{name}</h3>
        <div class="fields">{choice_input(sheet, fields::control_role(i, k))}</div>
        {numbers(sheet, fields::control_fields(i, k))}
    }
}

fn body_group(sheet: Sheet, count: usize) -> impl IntoView {
    view! {
        <details class="group">
            <summary>
                <span class="group-name">{word::BODIES}</span>
                <span class="group-hint">{count}</span>
            </summary>
            {(0..count).map(|i| {
                let name = move || sheet.with_aircraft(|a| fields::body(i).of(a).map(|b| b.name.clone()));
                view! {
                    <h3>{name}</h3>
                    <div class="fields">{choice_input(sheet, fields::body_kind(i))}</div>
                    {numbers(sheet, fields::body_fields(i))}
                }
            }).collect_view()}
        </details>
    }
}

fn power_group(sheet: Sheet, i: usize, electric: bool) -> impl IntoView {
    let name = move || sheet.with_aircraft(|a| fields::propulsion(i).of(a).map(|u| u.name.clone()));
    view! {
        <details class="group">
            <summary>
                <span class="group-name">{word::POWER}</span>
                <span class="group-hint">{name}</span>
            </summary>
            {numbers(sheet, fields::propeller_fields(i))}
            <div class="fields">
                {fields::propulsion_choices(i)
                    .into_iter()
                    .map(|field| choice_input(sheet, field))
                    .collect_view()}
            </div>
            {if electric {
                view! {
                    <div class="fields">{choice_input(sheet, fields::cells(i))}</div>
                    {numbers(sheet, fields::electric_fields(i))}
                    {pack_limit(sheet, i)}
                }.into_any()
            } else {
                numbers(sheet, fields::known_thrust_fields(i)).into_any()
            }}
        </details>
    }
}

/// The pack's own limit, which not every pack states.
fn pack_limit(sheet: Sheet, i: usize) -> impl IntoView {
    let known = fields::pack_limit_known(i);
    let is_known = {
        let known = known.clone();
        Memo::new(move |_| sheet.with_aircraft(|a| known.read(a)).unwrap_or_default())
    };
    view! {
        <div class="fields">
            {flag_input(sheet, known)}
            {move || is_known.get().then(|| number_input(sheet, fields::pack_limit(i)))}
        </div>
    }
}

/// Kind of each weight, or nothing where the whole mass is given outright.
fn weight_kinds(aircraft: &Aircraft) -> Option<Vec<std::mem::Discriminant<Spread>>> {
    match &aircraft.mass {
        MassStatement::Parts(parts) => {
            Some(parts.iter().map(|part| std::mem::discriminant(&part.spread)).collect())
        }
        MassStatement::Known(_) => None,
    }
}

fn weights_group(sheet: Sheet) -> impl IntoView {
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
                None => numbers(sheet, fields::known_mass_fields()).into_any(),
                Some(kinds) => view! {
                    {(0..kinds.len()).map(|i| weight_fields(sheet, i)).collect_view()}
                    <button type="button" class="quiet" on:click=move |_| {
                        sheet.rearrange("weights", add_weight);
                    }>{word::ADD_WEIGHT}</button>
                }.into_any(),
            }}
        </details>
    }
}

fn weight_fields(sheet: Sheet, i: usize) -> impl IntoView {
    let fields = sheet.design.with_untracked(|design| {
        let a = &design.aircraft;
        fields::part(i).of(a).map(|part| fields::part_fields(i, &part.spread)).unwrap_or_default()
    });
    view! {
        <div class="weight">
            <div class="weight-head">
                {text_input(sheet, fields::part_name(i))}
                <button type="button" class="quiet" on:click=move |_| {
                    sheet.rearrange("weights", |a| {
                        if let MassStatement::Parts(parts) = &mut a.mass && i < parts.len() {
                            parts.remove(i);
                        }
                    });
                }>{word::REMOVE}</button>
            </div>
            {numbers(sheet, fields)}
        </div>
    }
}

fn add_weight(aircraft: &mut Aircraft) {
    if let MassStatement::Parts(parts) = &mut aircraft.mass {
        parts.push(Part {
            name: word::NEW_WEIGHT.to_owned(),
            spread: Spread::Point { mass_kg: 0.01, at: Place::default() },
            mirrored: false,
        });
    }
}
