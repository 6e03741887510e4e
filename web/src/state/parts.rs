//! New parts of an aeroplane with usual sizes, set where the ones that are
//! there already let them be.
//!
//! Sizes are common practice for foam models of a metre or two; they are there
//! so that the drawing shows something to correct.

use sim_core::aircraft::{
    Aircraft, BladeStyle, Body, BodyKind, ControlRole, ControlSurface, Controller, Drive,
    KnownSection, MassStatement, Motor, Mounting, Pack, Panel, Part, Place, Propeller, Propulsion,
    Rotation, Section, SectionKind, Spread, Surface, SurfaceRole, coincide,
};

use crate::text::kind;

/// Chord of a wing when there is none to go by, m.
const USUAL_CHORD_M: f64 = 0.2;

/// Sheet with rounded edges, as tails are made.
pub const TAIL_SECTION: Section = Section {
    kind: SectionKind::RoundedSheet,
    thickness: 0.045,
    camber: 0.0,
    known: KnownSection {
        zero_lift_angle_deg: None,
        lift_slope_per_rad: None,
        moment_coefficient: None,
        lift_coefficient_max: None,
        drag_coefficient_min: None,
    },
};

/// Sheet folded over a spar, as wings are made.
pub const WING_SECTION: Section =
    Section { kind: SectionKind::FoldedSheet, thickness: 0.09, camber: 0.025, ..TAIL_SECTION };

/// A flat panel without angles.
pub fn panel(span_m: f64, root_chord_m: f64, tip_chord_m: f64, section: Section) -> Panel {
    Panel {
        span_m,
        root_chord_m,
        tip_chord_m,
        sweep_deg: 0.0,
        sweep_line: 0.0,
        dihedral_deg: 0.0,
        incidence_deg: 0.0,
        twist_deg: 0.0,
        section,
    }
}

/// A control surface over the whole span.
pub fn control(role: ControlRole, share: f64) -> ControlSurface {
    ControlSurface {
        name: kind::control_name(role).to_owned(),
        role,
        from_span: 0.0,
        to_span: 1.0,
        inner_chord: share,
        outer_chord: share,
        throw_max_deg: 30.0,
        gap_sealed: true,
        setting: None,
        linkage: None,
    }
}

/// A name that is not taken.
fn free_name(base: &str, taken: &dyn Fn(&str) -> bool) -> String {
    let numbered = (2..).map(|n| format!("{base} {n}"));
    let mut names = std::iter::once(base.to_owned()).chain(numbered.take(99));
    names.find(|name| !taken(name)).unwrap_or_else(|| base.to_owned())
}

/// Adds a control surface where there is room for it, with a name of its own.
pub fn add_control(surface: &mut Surface, role: ControlRole, share: f64) {
    let mut added = control(role, share);
    added.name = free_name(&added.name, &|name| surface.controls.iter().any(|c| c.name == name));
    (added.from_span, added.to_span) = surface.free_edge();
    surface.controls.push(added);
}

/// Adds a surface clear of those that are there: a chord higher, a fin further aft.
fn add_clear(aircraft: &mut Aircraft, mut surface: Surface) {
    let chord = surface.panels.first().map_or(USUAL_CHORD_M, |panel| panel.root_chord_m);
    let upright = surface.role == SurfaceRole::Fin;
    for _ in 0..aircraft.surfaces.len() {
        if aircraft.surfaces.iter().any(|other| coincide(&surface, other)) {
            *(if upright { &mut surface.root.aft_m } else { &mut surface.root.up_m }) += chord;
        }
    }
    aircraft.surfaces.push(surface);
}

fn wing(aircraft: &Aircraft) -> Option<&Surface> {
    aircraft.surfaces.iter().find(|s| s.role == SurfaceRole::Wing)
}

/// Adds a surface with its usual control.
pub fn add_surface(aircraft: &mut Aircraft, role: SurfaceRole) {
    let (chord, half_span, at) = wing(aircraft).map_or(
        (USUAL_CHORD_M, 3.0 * USUAL_CHORD_M, Place::new(USUAL_CHORD_M, 0.0, 0.0)),
        |wing| {
            let span: f64 = wing.panels.iter().map(|p| p.span_m).sum();
            let chord = wing.panels.first().map_or(USUAL_CHORD_M, |p| p.root_chord_m);
            (chord, span, wing.root)
        },
    );
    let behind = |chords: f64| Place::new(at.aft_m + chords * chord, 0.0, at.up_m);
    let tail_chord = 0.65 * chord;
    let (root, mut panel, controls) = match role {
        SurfaceRole::Wing => (
            at,
            panel(half_span, chord, chord, WING_SECTION),
            vec![ControlSurface {
                from_span: 0.45,
                to_span: 0.95,
                ..control(ControlRole::Aileron, 0.25)
            }],
        ),
        SurfaceRole::Tailplane => (
            behind(3.5),
            panel(0.36 * half_span, tail_chord, tail_chord, TAIL_SECTION),
            vec![control(ControlRole::Elevator, 0.3)],
        ),
        SurfaceRole::Fin => (
            behind(3.5),
            panel(0.3 * half_span, 0.75 * chord, 0.55 * chord, TAIL_SECTION),
            vec![control(ControlRole::Rudder, 0.4)],
        ),
        SurfaceRole::VTail => (
            behind(3.5),
            panel(0.45 * half_span, tail_chord, tail_chord, TAIL_SECTION),
            vec![control(ControlRole::Ruddervator, 0.35)],
        ),
    };
    panel.dihedral_deg = match role {
        SurfaceRole::Wing => 4.0,
        SurfaceRole::Tailplane => 0.0,
        SurfaceRole::Fin => 90.0,
        SurfaceRole::VTail => 40.0,
    };
    let base = kind::surface(role).to_ascii_lowercase();
    let name = free_name(&base, &|name| aircraft.surfaces.iter().any(|s| s.name == name));
    let mirrored = role != SurfaceRole::Fin;
    let panels = vec![panel];
    add_clear(aircraft, Surface { name, role, root, mirrored, panels, controls });
}

/// Adds a panel that goes on where the last one ends.
pub fn add_panel(surface: &mut Surface) {
    let Some(last) = surface.panels.last().copied() else { return };
    surface.panels.push(Panel {
        span_m: last.span_m / 2.0,
        root_chord_m: last.tip_chord_m,
        incidence_deg: last.incidence_deg + last.twist_deg,
        twist_deg: 0.0,
        ..last
    });
}

/// Makes a fin into two, or two into one.
pub fn mirror_fin(surface: &mut Surface, mirrored: bool, span_m: f64) {
    surface.mirrored = mirrored;
    surface.root.right_m = if mirrored { 0.15 * span_m } else { 0.0 };
}

/// Adds a body of a kind.
pub fn add_body(aircraft: &mut Aircraft, body: BodyKind) {
    let chord = wing(aircraft)
        .and_then(|wing| wing.panels.first())
        .map_or(USUAL_CHORD_M, |panel| panel.root_chord_m);
    let (front, rear, width, height) = match body {
        BodyKind::Fuselage | BodyKind::BoxFuselage => (0.0, 2.5, 0.3, 0.35),
        BodyKind::Boom => (1.5, 5.0, 0.04, 0.04),
        BodyKind::Strut => (1.5, 1.5, 0.08, 0.5),
        BodyKind::Wheel => (1.0, 1.3, 0.08, 0.3),
    };
    let (low, high) = match body {
        BodyKind::Strut => (0.0, 0.6),
        BodyKind::Wheel => (-0.6, -0.6),
        _ => (0.0, 0.0),
    };
    aircraft.bodies.push(Body {
        name: kind::body_name(body).to_owned(),
        kind: body,
        front: Place::new(front * chord, 0.0, low * chord),
        rear: Place::new(rear * chord, 0.0, high * chord),
        width_m: width * chord,
        height_m: height * chord,
        mirrored: false,
        drag_coefficient: None,
    });
}

/// Adds a propeller with a usual motor.
pub fn add_propulsion(aircraft: &mut Aircraft, mounting: Mounting) {
    let hub = match (mounting, wing(aircraft)) {
        (Mounting::Pusher, Some(wing)) => {
            let chord = wing.panels.first().map_or(USUAL_CHORD_M, |p| p.root_chord_m);
            Place::new(wing.root.aft_m + 1.15 * chord, 0.0, wing.root.up_m)
        }
        _ => Place::default(),
    };
    aircraft.propulsion.push(propulsion(mounting, hub));
}

/// A propeller with a usual motor.
pub fn propulsion(mounting: Mounting, hub: Place) -> Propulsion {
    Propulsion {
        name: kind::MOTOR_NAME.to_owned(),
        hub,
        mirrored: false,
        mounting,
        down_thrust_deg: 0.0,
        right_thrust_deg: 0.0,
        propeller: Propeller {
            diameter_m: 8.0 * 0.0254,
            pitch_m: 5.0 * 0.0254,
            blades: 2,
            style: BladeStyle::ThinElectric,
            rotation: Rotation::Clockwise,
        },
        drive: usual_drive(),
    }
}

/// A motor for a model of about a kilogram.
pub fn usual_drive() -> Drive {
    Drive::Electric {
        motor: Motor { kv_rpm_per_v: 1100.0, resistance_ohm: 0.08, no_load_current_a: 0.9 },
        controller: Controller { current_max_a: 30.0, resistance_ohm: 0.004 },
        pack: Pack {
            cells: 3,
            capacity_ah: 2.2,
            cell_resistance_ohm: 0.007,
            cell_voltage_v: 4.0,
            current_max_a: None,
        },
    }
}

/// The ways in which a weight is spread out, in the order of the picker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpreadKind {
    /// In one point.
    Point,
    /// In a box.
    Block,
    /// Along a line.
    Rod,
    /// Over a surface.
    Sheet,
}

impl SpreadKind {
    /// How a weight is spread out.
    pub fn of(spread: &Spread) -> Self {
        match spread {
            Spread::Point { .. } => Self::Point,
            Spread::Block { .. } => Self::Block,
            Spread::Rod { .. } => Self::Rod,
            Spread::Sheet { .. } => Self::Sheet,
        }
    }
}

/// The list of weights; known weights as a whole give way to a list.
fn weights(aircraft: &mut Aircraft) -> Option<&mut Vec<Part>> {
    match &mut aircraft.mass {
        MassStatement::Parts(parts) => Some(parts),
        MassStatement::Known(_) => None,
    }
}

/// Adds a weight.
pub fn add_weight(aircraft: &mut Aircraft, spread: SpreadKind) {
    let at = Place::default();
    let first = aircraft.surfaces.first().map(|s| s.name.clone()).unwrap_or_default();
    let Some(parts) = weights(aircraft) else { return };
    let point = Spread::Point { mass_kg: 0.01, at };
    let spread = respread(&point, spread, &first);
    parts.push(Part { name: kind::weight_name(&spread).to_owned(), spread, mirrored: false });
}

/// Spreads a weight in another way, its mass and middle kept where that can be.
pub fn respread(spread: &Spread, kind: SpreadKind, surface: &str) -> Spread {
    let (mass_kg, at) = match spread {
        Spread::Point { mass_kg, at } | Spread::Block { mass_kg, at, .. } => (*mass_kg, *at),
        Spread::Rod { mass_kg, from, to } => {
            let middle = |a: f64, b: f64| (a + b) / 2.0;
            let at = Place::new(
                middle(from.aft_m, to.aft_m),
                middle(from.right_m, to.right_m),
                middle(from.up_m, to.up_m),
            );
            (*mass_kg, at)
        }
        Spread::Sheet { .. } => (0.01, Place::default()),
    };
    match kind {
        SpreadKind::Point => Spread::Point { mass_kg, at },
        SpreadKind::Block => {
            Spread::Block { mass_kg, at, length_m: 0.1, width_m: 0.035, height_m: 0.025 }
        }
        SpreadKind::Rod => Spread::Rod {
            mass_kg,
            from: Place { aft_m: at.aft_m - 0.1, ..at },
            to: Place { aft_m: at.aft_m + 0.1, ..at },
        },
        SpreadKind::Sheet => {
            Spread::Sheet { surface: surface.to_owned(), areal_density_kg_m2: 0.4 }
        }
    }
}

/// Renames a surface, and the sheets that lie on it.
pub fn rename_surface(aircraft: &mut Aircraft, index: usize, name: &str) {
    let Some(surface) = aircraft.surfaces.get_mut(index) else { return };
    let before = std::mem::replace(&mut surface.name, name.to_owned());
    for part in weights(aircraft).into_iter().flatten() {
        if let Spread::Sheet { surface, .. } = &mut part.spread
            && *surface == before
        {
            name.clone_into(surface);
        }
    }
}

/// Copies an item of a list behind it.
pub fn duplicate<T: Clone>(list: &mut Vec<T>, index: usize) {
    if let Some(item) = list.get(index).cloned() {
        list.insert(index + 1, item);
    }
}

/// Copies a surface under a free name.
pub fn duplicate_surface(aircraft: &mut Aircraft, index: usize) {
    let Some(mut copy) = aircraft.surfaces.get(index).cloned() else { return };
    copy.name = free_name(&copy.name, &|name| aircraft.surfaces.iter().any(|s| s.name == name));
    add_clear(aircraft, copy);
}

/// Removes an item of a list.
pub fn remove<T>(list: &mut Vec<T>, index: usize) {
    if index < list.len() {
        list.remove(index);
    }
}

/// Removes a surface, and the sheets that lay on it.
pub fn remove_surface(aircraft: &mut Aircraft, index: usize) {
    let Some(name) = aircraft.surfaces.get(index).map(|s| s.name.clone()) else { return };
    aircraft.surfaces.remove(index);
    if let Some(parts) = weights(aircraft) {
        parts.retain(
            |part| !matches!(&part.spread, Spread::Sheet { surface, .. } if *surface == name),
        );
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::layout::{Layout, Sizes, lay_out};

    #[wasm_bindgen_test(unsupported = test)]
    fn every_part_that_is_added_is_sound() {
        let mut aircraft = lay_out(Layout::Tractor, &Sizes::default());
        use SurfaceRole::{Fin, Tailplane, VTail, Wing};
        for role in [Wing, Tailplane, VTail, Fin] {
            add_surface(&mut aircraft, role);
            let last = aircraft.surfaces.len() - 1;
            add_panel(&mut aircraft.surfaces[last]);
            duplicate_surface(&mut aircraft, last);
            aircraft.surfaces[last].controls.iter_mut().for_each(|own| own.to_span = 0.5);
            add_control(&mut aircraft.surfaces[last], ControlRole::Elevator, 0.2);
        }
        let last = aircraft.surfaces.len() - 1;
        mirror_fin(&mut aircraft.surfaces[last], true, 1.2);
        for (body, _) in kind::BODIES {
            add_body(&mut aircraft, body);
        }
        add_propulsion(&mut aircraft, Mounting::Tractor);
        add_propulsion(&mut aircraft, Mounting::Pusher);
        for (spread, _) in kind::SPREADS {
            add_weight(&mut aircraft, spread);
        }
        assert_eq!(aircraft.check().map(|_| ()), Ok(()));
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn sheets_follow_their_surface() {
        let mut aircraft = lay_out(Layout::Tractor, &Sizes::default());
        rename_surface(&mut aircraft, 0, "main wing");
        assert_eq!(aircraft.clone().check().map(|_| ()), Ok(()));
        remove_surface(&mut aircraft, 1);
        assert_eq!(aircraft.check().map(|_| ()), Ok(()));
    }
}
