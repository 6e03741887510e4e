//! Wings, tails, fins: their panels and control surfaces.

use leptos::prelude::*;
use sim_core::aircraft::{ControlRole, SurfaceRole};

use super::{adder, assume_last, name_of, numbers, outline_of, quiet};
use crate::state::form::Field;
use crate::state::{Sheet, fields, parts};
use crate::text::{kind, word};
use crate::view::field::{choice_input, flag_with, number_input, text_with};
use crate::view::rigging::rigging;

/// What decides which fields a surface has.
type Outline = (SurfaceRole, bool, usize, usize);

pub fn surfaces(sheet: Sheet) -> impl IntoView {
    let outlines = outline_of(sheet, |a| {
        a.surfaces
            .iter()
            .map(|s| (s.role, s.mirrored, s.panels.len(), s.controls.len()))
            .collect::<Vec<Outline>>()
    });
    view! {
        {move || outlines.get().into_iter().enumerate().map(|(i, outline)| {
            surface_group(sheet, i, outline)
        }).collect_view()}
        {adder(sheet, word::ADD_SURFACE, &kind::SURFACES, add)}
    }
}

fn add(sheet: Sheet, role: SurfaceRole) {
    sheet.rearrange("surfaces", |a| parts::add_surface(a, role));
    assume_last(sheet, "surfaces", |a| a.surfaces.len());
}

fn surface_group(
    sheet: Sheet,
    i: usize,
    (role, mirrored, panels, controls): Outline,
) -> impl IntoView {
    let all = fields::surface_fields(i);
    let upright = role == SurfaceRole::Fin;
    let name = name_of(sheet, move |a| Some(&fields::surface(i).of(a)?.name));
    view! {
        <details class="group" open=role == SurfaceRole::Wing>
            <summary>
                <span class="group-name">{kind::surface(role)}</span>
                <span class="group-hint">{name}</span>
            </summary>
            <div class="fields">
                {text_with(sheet, all.name, Box::new(move |name: String| {
                    let subject = format!("surfaces[{i}].name");
                    sheet.change(&subject, |a| parts::rename_surface(a, i, &name));
                }))}
                {choice_input(sheet, fields::surface_role(i))}
                {all.root.into_iter().map(|field| number_input(sheet, field)).collect_view()}
                {upright.then(|| twin_fins(sheet, i, all.mirrored))}
                {(upright == mirrored).then(|| number_input(sheet, all.root_right))}
            </div>
            {(0..panels).map(|j| panel_fields(sheet, i, j, panels, upright)).collect_view()}
            {quiet(word::ADD_PANEL, move || {
                sheet.rearrange("panels", |a| {
                    if let Some(surface) = a.surfaces.get_mut(i) {
                        parts::add_panel(surface);
                    }
                });
                sheet.assume(&format!("surfaces[{i}].panels[{panels}]"));
            })}
            {(0..controls).map(|k| control_fields(sheet, i, k)).collect_view()}
            {quiet(word::ADD_CONTROL, move || add_control(sheet, i, role, controls))}
            <div class="part-buttons">
                {quiet(word::DUPLICATE, move || {
                    sheet.rearrange("surfaces", |a| parts::duplicate_surface(a, i));
                })}
                {quiet(word::REMOVE, move || {
                    sheet.rearrange("surfaces", |a| parts::remove_surface(a, i));
                    sheet.forget_item("surfaces", i);
                })}
            </div>
        </details>
    }
}

fn twin_fins(sheet: Sheet, i: usize, mirrored: Field<bool>) -> impl IntoView {
    let take = move |mirrored: bool| {
        sheet.rearrange("surfaces", |a| {
            let span: f64 = a
                .surfaces
                .iter()
                .filter(|s| s.role == SurfaceRole::Wing)
                .flat_map(|s| &s.panels)
                .map(|p| 2.0 * p.span_m)
                .sum();
            if let Some(surface) = a.surfaces.get_mut(i) {
                parts::mirror_fin(surface, mirrored, span);
            }
        });
        sheet.assume(&format!("surfaces[{i}].root.right_m"));
    };
    flag_with(sheet, mirrored, Box::new(take))
}

fn panel_fields(sheet: Sheet, i: usize, j: usize, panels: usize, upright: bool) -> impl IntoView {
    let heading = (panels > 1).then(|| view! { <h3>{format!("{} {}", word::PANEL, j + 1)}</h3> });
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
        {(panels > 1).then(|| quiet(word::REMOVE_PANEL, move || {
            sheet.rearrange("panels", |a| {
                if let Some(surface) = a.surfaces.get_mut(i) {
                    parts::remove(&mut surface.panels, j);
                }
            });
            sheet.forget_item(&format!("surfaces[{i}].panels"), j);
        }))}
    }
}

fn add_control(sheet: Sheet, i: usize, role: SurfaceRole, count: usize) {
    let control = match role {
        SurfaceRole::Wing => ControlRole::Aileron,
        SurfaceRole::Tailplane => ControlRole::Elevator,
        SurfaceRole::Fin => ControlRole::Rudder,
        SurfaceRole::VTail => ControlRole::Ruddervator,
    };
    sheet.rearrange("controls", |a| {
        if let Some(surface) = a.surfaces.get_mut(i) {
            parts::add_control(surface, control, 0.3);
        }
    });
    sheet.assume(&format!("surfaces[{i}].controls[{count}]"));
}

fn control_fields(sheet: Sheet, i: usize, k: usize) -> impl IntoView {
    let name = name_of(sheet, move |a| Some(&fields::control(i, k).of(a)?.name));
    let own = fields::control_name(i, k);
    view! {
        <h3>{name}</h3>
        <div class="fields">
            {crate::view::field::text_input(sheet, own)}
            {choice_input(sheet, fields::control_role(i, k))}
        </div>
        {numbers(sheet, fields::control_fields(i, k))}
        {rigging(sheet, i, k)}
        {quiet(word::REMOVE, move || {
            sheet.rearrange("controls", |a| {
                if let Some(surface) = a.surfaces.get_mut(i) {
                    parts::remove(&mut surface.controls, k);
                }
            });
            sheet.forget_item(&format!("surfaces[{i}].controls"), k);
        })}
    }
}
