//! Fields of surfaces, their panels and their control surfaces.

use sim_core::aircraft::limits as limit;
use sim_core::aircraft::{ControlSurface, Panel, Surface};

use crate::state::form::{ChoiceField, Field, Index, Item, NumberField};
use crate::state::measure as unit;
use crate::text::{kind, label};

/// A surface by its place in the list.
pub fn surface(outer: usize) -> Item<Surface> {
    Item::new(
        format!("surfaces[{outer}]"),
        Index { outer, inner: 0 },
        |a, at| a.surfaces.get(at.outer),
        |a, at| a.surfaces.get_mut(at.outer),
    )
}

/// What a surface is.
pub fn surface_role(outer: usize) -> ChoiceField {
    surface(outer).choice("role", label::SURFACE_ROLE, &kind::SURFACES, |s| Some(&mut s.role))
}

/// Name, and where the root's leading edge lies.
pub struct SurfaceFields {
    /// The builder's name.
    pub name: Field<String>,
    /// Root leading edge: aft, up.
    pub root: Vec<NumberField>,
    /// Distance from the plane of symmetry, for twin fins.
    pub root_right: NumberField,
    /// Whether there is a left one.
    pub mirrored: Field<bool>,
}

/// Fields of a surface.
pub fn surface_fields(outer: usize) -> SurfaceFields {
    let item = surface(outer);
    SurfaceFields {
        name: item.text("name", label::NAME, |s| &mut s.name),
        root: vec![
            item.number("root.aft_m", label::ROOT_AFT, unit::LENGTH, limit::POSITION, |s| {
                Some(&mut s.root.aft_m)
            }),
            item.number("root.up_m", label::ROOT_UP, unit::LENGTH, limit::POSITION, |s| {
                Some(&mut s.root.up_m)
            }),
        ],
        root_right: item.number(
            "root.right_m",
            label::ROOT_RIGHT,
            unit::LENGTH,
            limit::POSITION,
            |s| Some(&mut s.root.right_m),
        ),
        mirrored: item.flag("mirrored", label::MIRRORED, |s| &mut s.mirrored),
    }
}

/// A panel of a surface.
pub fn panel(outer: usize, inner: usize) -> Item<Panel> {
    Item::new(
        format!("surfaces[{outer}].panels[{inner}]"),
        Index { outer, inner },
        |a, at| a.surfaces.get(at.outer)?.panels.get(at.inner),
        |a, at| a.surfaces.get_mut(at.outer)?.panels.get_mut(at.inner),
    )
}

/// Lengths and angles of a panel.
pub fn panel_fields(outer: usize, inner: usize, upright: bool) -> Vec<NumberField> {
    let item = panel(outer, inner);
    let span = if upright { label::HEIGHT } else { label::HALF_SPAN };
    let mut fields = vec![
        item.number("span_m", span, unit::LENGTH, limit::PANEL_SPAN, |p| Some(&mut p.span_m)),
        item.number("root_chord_m", label::ROOT_CHORD, unit::LENGTH, limit::CHORD, |p| {
            Some(&mut p.root_chord_m)
        }),
        item.number("tip_chord_m", label::TIP_CHORD, unit::LENGTH, limit::CHORD, |p| {
            Some(&mut p.tip_chord_m)
        }),
        item.number("sweep_deg", label::SWEEP, unit::ANGLE, limit::SWEEP, |p| {
            Some(&mut p.sweep_deg)
        }),
    ];
    if !upright {
        fields.push(dihedral(outer, inner));
        fields.push(item.number(
            "incidence_deg",
            label::INCIDENCE,
            unit::ANGLE,
            limit::INCIDENCE,
            |p| Some(&mut p.incidence_deg),
        ));
        fields.push(item.number("twist_deg", label::TWIST, unit::ANGLE, limit::INCIDENCE, |p| {
            Some(&mut p.twist_deg)
        }));
    }
    fields
}

/// The dihedral of a panel: also moved by a slider.
pub fn dihedral(outer: usize, inner: usize) -> NumberField {
    panel(outer, inner).number("dihedral_deg", label::DIHEDRAL, unit::ANGLE, limit::DIHEDRAL, |p| {
        Some(&mut p.dihedral_deg)
    })
}

/// How the section of a panel is made.
pub fn section_kind(outer: usize, inner: usize) -> ChoiceField {
    panel(outer, inner)
        .choice("section.kind", label::SECTION_KIND, &kind::SECTIONS, |p| Some(&mut p.section.kind))
}

/// Measured sizes of the section of a panel.
pub fn section_fields(outer: usize, inner: usize, upright: bool) -> Vec<NumberField> {
    let item = panel(outer, inner);
    let mut fields = vec![item.number(
        "section.thickness",
        label::THICKNESS,
        unit::SHARE,
        limit::THICKNESS,
        |p| Some(&mut p.section.thickness),
    )];
    if !upright {
        fields.push(item.number(
            "section.camber",
            label::CAMBER,
            unit::SHARE,
            limit::CAMBER,
            |p| Some(&mut p.section.camber),
        ));
    }
    fields
}

/// A control surface.
pub fn control(outer: usize, inner: usize) -> Item<ControlSurface> {
    Item::new(
        format!("surfaces[{outer}].controls[{inner}]"),
        Index { outer, inner },
        |a, at| a.surfaces.get(at.outer)?.controls.get(at.inner),
        |a, at| a.surfaces.get_mut(at.outer)?.controls.get_mut(at.inner),
    )
}

/// Name of a control surface.
pub fn control_name(outer: usize, inner: usize) -> Field<String> {
    control(outer, inner).text("name", label::NAME, |c| &mut c.name)
}

/// What a control surface does.
pub fn control_role(outer: usize, inner: usize) -> ChoiceField {
    control(outer, inner)
        .choice("role", label::CONTROL_ROLE, &kind::CONTROLS, |c| Some(&mut c.role))
}

/// Sizes of a control surface.
pub fn control_fields(outer: usize, inner: usize) -> Vec<NumberField> {
    let item = control(outer, inner);
    let share =
        |name: &str, label, limits, leaf| item.number(name, label, unit::SHARE, limits, leaf);
    vec![
        share("inner_chord", label::CONTROL_CHORD_INNER, limit::HINGE_FRACTION, |c| {
            Some(&mut c.inner_chord)
        }),
        share("outer_chord", label::CONTROL_CHORD_OUTER, limit::HINGE_FRACTION, |c| {
            Some(&mut c.outer_chord)
        }),
        share("from_span", label::CONTROL_FROM, limit::SPAN_FRACTION, |c| Some(&mut c.from_span)),
        share("to_span", label::CONTROL_TO, limit::SPAN_FRACTION, |c| Some(&mut c.to_span)),
        throw_max(outer, inner),
    ]
}

/// The greatest deflection of a control surface: also moved by a slider.
pub fn throw_max(outer: usize, inner: usize) -> NumberField {
    control(outer, inner).number(
        "throw_max_deg",
        label::THROW_MAX,
        unit::ANGLE,
        limit::THROW,
        |c| Some(&mut c.throw_max_deg),
    )
}
