//! Which fields each part of the aircraft has, in the order in which a builder
//! measures them.

use sim_core::aircraft::limits as limit;
use sim_core::aircraft::{
    Aircraft, Body, ControlSurface, Drive, KnownMass, MassStatement, Panel, Part, Place,
    Propulsion, Spread, Surface, SurfaceRole,
};

use super::form::{ChoiceField, Field, Index, Item, NumberField};
use super::measure as unit;
use crate::text::{kind, label};

/// The aircraft itself.
pub fn whole() -> Item<Aircraft> {
    Item::new(String::new(), Index::default(), |a, _| Some(a), |a, _| Some(a))
}

/// The name of the aircraft.
pub fn aircraft_name() -> Field<String> {
    whole().text("name", label::AIRCRAFT_NAME, |a| &mut a.name)
}

/// A surface by its place in the list.
pub fn surface(outer: usize) -> Item<Surface> {
    Item::new(
        format!("surfaces[{outer}]"),
        Index { outer, inner: 0 },
        |a, at| a.surfaces.get(at.outer),
        |a, at| a.surfaces.get_mut(at.outer),
    )
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

/// Name of a control surface.
pub fn control_name(outer: usize, inner: usize) -> Field<String> {
    control(outer, inner).text("name", label::NAME, |c| &mut c.name)
}

/// What a surface is.
pub fn surface_role(outer: usize) -> ChoiceField {
    surface(outer).choice("role", label::SURFACE_ROLE, &kind::SURFACES, |s| Some(&mut s.role))
}

/// The dihedral of a panel: also moved by a slider.
pub fn dihedral(outer: usize, inner: usize) -> NumberField {
    panel(outer, inner).number("dihedral_deg", label::DIHEDRAL, unit::ANGLE, limit::DIHEDRAL, |p| {
        Some(&mut p.dihedral_deg)
    })
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

/// What a control surface does.
pub fn control_role(outer: usize, inner: usize) -> ChoiceField {
    control(outer, inner)
        .choice("role", label::CONTROL_ROLE, &kind::CONTROLS, |c| Some(&mut c.role))
}

/// A body.
pub fn body(outer: usize) -> Item<Body> {
    Item::new(
        format!("bodies[{outer}]"),
        Index { outer, inner: 0 },
        |a, at| a.bodies.get(at.outer),
        |a, at| a.bodies.get_mut(at.outer),
    )
}

/// Ends and sizes of a body.
pub fn body_fields(outer: usize) -> Vec<NumberField> {
    let item = body(outer);
    let length =
        |name: &str, label, limits, leaf| item.number(name, label, unit::LENGTH, limits, leaf);
    vec![
        length("front.aft_m", label::FRONT_AFT, limit::POSITION, |b| Some(&mut b.front.aft_m)),
        length("front.up_m", label::FRONT_UP, limit::POSITION, |b| Some(&mut b.front.up_m)),
        length("rear.aft_m", label::REAR_AFT, limit::POSITION, |b| Some(&mut b.rear.aft_m)),
        length("rear.up_m", label::REAR_UP, limit::POSITION, |b| Some(&mut b.rear.up_m)),
        length("front.right_m", label::FRONT_RIGHT, limit::POSITION, |b| {
            Some(&mut b.front.right_m)
        }),
        length("rear.right_m", label::REAR_RIGHT, limit::POSITION, |b| Some(&mut b.rear.right_m)),
        length("width_m", label::WIDTH, limit::BODY_SIZE, |b| Some(&mut b.width_m)),
        length("height_m", label::HEIGHT, limit::BODY_SIZE, |b| Some(&mut b.height_m)),
    ]
}

/// Name of a body.
pub fn body_name(outer: usize) -> Field<String> {
    body(outer).text("name", label::NAME, |b| &mut b.name)
}

/// Whether there is a body on each side.
pub fn body_mirrored(outer: usize) -> Field<bool> {
    body(outer).flag("mirrored", label::MIRRORED, |b| &mut b.mirrored)
}

/// What kind of body it is.
pub fn body_kind(outer: usize) -> ChoiceField {
    body(outer).choice("kind", label::BODY_KIND, &kind::BODIES, |b| Some(&mut b.kind))
}

/// A propeller with its drive.
pub fn propulsion(outer: usize) -> Item<Propulsion> {
    Item::new(
        format!("propulsion[{outer}]"),
        Index { outer, inner: 0 },
        |a, at| a.propulsion.get(at.outer),
        |a, at| a.propulsion.get_mut(at.outer),
    )
}

/// Kinds of a propeller unit.
pub fn propulsion_choices(outer: usize) -> Vec<ChoiceField> {
    let item = propulsion(outer);
    vec![
        item.choice("mounting", label::MOUNTING, &kind::MOUNTINGS, |u| Some(&mut u.mounting)),
        item.choice("propeller.rotation", label::ROTATION, &kind::ROTATIONS, |u| {
            Some(&mut u.propeller.rotation)
        }),
        item.choice("propeller.style", label::BLADE_STYLE, &kind::BLADE_STYLES, |u| {
            Some(&mut u.propeller.style)
        }),
        item.choice("propeller.blades", label::BLADES, &kind::BLADE_COUNTS, |u| {
            Some(&mut u.propeller.blades)
        }),
    ]
}

/// Propeller sizes and where it sits.
pub fn propeller_fields(outer: usize) -> Vec<NumberField> {
    let item = propulsion(outer);
    vec![
        item.number(
            "propeller.diameter_m",
            label::DIAMETER,
            unit::PROPELLER,
            limit::PROPELLER_DIAMETER,
            |u| Some(&mut u.propeller.diameter_m),
        ),
        item.number(
            "propeller.pitch_m",
            label::PITCH,
            unit::PROPELLER,
            limit::PROPELLER_PITCH,
            |u| Some(&mut u.propeller.pitch_m),
        ),
        item.number("hub.aft_m", label::HUB_AFT, unit::LENGTH, limit::POSITION, |u| {
            Some(&mut u.hub.aft_m)
        }),
        item.number("hub.up_m", label::HUB_UP, unit::LENGTH, limit::POSITION, |u| {
            Some(&mut u.hub.up_m)
        }),
        item.number("hub.right_m", label::OFF_CENTRE, unit::LENGTH, limit::POSITION, |u| {
            Some(&mut u.hub.right_m)
        }),
        item.number("down_thrust_deg", label::DOWN_THRUST, unit::ANGLE, limit::THRUST_ANGLE, |u| {
            Some(&mut u.down_thrust_deg)
        }),
        item.number(
            "right_thrust_deg",
            label::RIGHT_THRUST,
            unit::ANGLE,
            limit::THRUST_ANGLE,
            |u| Some(&mut u.right_thrust_deg),
        ),
    ]
}

/// Name of a propeller unit.
pub fn propulsion_name(outer: usize) -> Field<String> {
    propulsion(outer).text("name", label::NAME, |u| &mut u.name)
}

/// Whether there is a propeller on each side.
pub fn propulsion_mirrored(outer: usize) -> Field<bool> {
    propulsion(outer).flag("mirrored", label::MIRRORED, |u| &mut u.mirrored)
}

/// Motor, controller and pack.
pub fn electric_fields(outer: usize) -> Vec<NumberField> {
    use Drive::Electric;
    let item = propulsion(outer);
    vec![
        item.number(
            "drive.motor.kv_rpm_per_v",
            label::KV,
            unit::SPEED_CONSTANT,
            limit::MOTOR_KV,
            |u| match &mut u.drive {
                Electric { motor, .. } => Some(&mut motor.kv_rpm_per_v),
                _ => None,
            },
        ),
        item.number(
            "drive.motor.resistance_ohm",
            label::MOTOR_RESISTANCE,
            unit::RESISTANCE,
            limit::RESISTANCE,
            |u| match &mut u.drive {
                Electric { motor, .. } => Some(&mut motor.resistance_ohm),
                _ => None,
            },
        ),
        item.number(
            "drive.motor.no_load_current_a",
            label::NO_LOAD_CURRENT,
            unit::CURRENT,
            limit::CURRENT,
            |u| match &mut u.drive {
                Electric { motor, .. } => Some(&mut motor.no_load_current_a),
                _ => None,
            },
        ),
        item.number(
            "drive.controller.current_max_a",
            label::CONTROLLER_CURRENT,
            unit::CURRENT,
            limit::CURRENT,
            |u| match &mut u.drive {
                Electric { controller, .. } => Some(&mut controller.current_max_a),
                _ => None,
            },
        ),
        item.number(
            "drive.pack.capacity_ah",
            label::CAPACITY,
            unit::CAPACITY,
            limit::CAPACITY,
            |u| match &mut u.drive {
                Electric { pack, .. } => Some(&mut pack.capacity_ah),
                _ => None,
            },
        ),
        item.number(
            "drive.pack.cell_resistance_ohm",
            label::CELL_RESISTANCE,
            unit::RESISTANCE,
            limit::RESISTANCE,
            |u| match &mut u.drive {
                Electric { pack, .. } => Some(&mut pack.cell_resistance_ohm),
                _ => None,
            },
        ),
    ]
}

/// Number of cells of the pack.
pub fn cells(outer: usize) -> ChoiceField {
    propulsion(outer).choice("drive.pack.cells", label::CELLS, &kind::CELL_COUNTS, |u| match &mut u
        .drive
    {
        Drive::Electric { pack, .. } => Some(&mut pack.cells),
        Drive::KnownThrust { .. } => None,
    })
}

/// Thrust given outright.
pub fn known_thrust_fields(outer: usize) -> Vec<NumberField> {
    let item = propulsion(outer);
    vec![
        item.number(
            "drive.static_thrust_n",
            label::STATIC_THRUST,
            unit::FORCE,
            limit::STATIC_THRUST,
            |u| match &mut u.drive {
                Drive::KnownThrust { static_thrust_n, .. } => Some(static_thrust_n),
                Drive::Electric { .. } => None,
            },
        ),
        item.number(
            "drive.zero_thrust_airspeed_m_s",
            label::ZERO_THRUST_SPEED,
            unit::SPEED,
            limit::AIRSPEED,
            |u| match &mut u.drive {
                Drive::KnownThrust { zero_thrust_airspeed_m_s, .. } => {
                    Some(zero_thrust_airspeed_m_s)
                }
                Drive::Electric { .. } => None,
            },
        ),
    ]
}

/// A weight of the list.
pub fn part(outer: usize) -> Item<Part> {
    Item::new(
        format!("mass.parts[{outer}]"),
        Index { outer, inner: 0 },
        |a, at| match &a.mass {
            MassStatement::Parts(parts) => parts.get(at.outer),
            MassStatement::Known(_) => None,
        },
        |a, at| match &mut a.mass {
            MassStatement::Parts(parts) => parts.get_mut(at.outer),
            MassStatement::Known(_) => None,
        },
    )
}

/// How far behind the datum a weight lies: also moved by a slider. Nothing for
/// a weight without one middle.
pub fn part_aft(outer: usize) -> NumberField {
    part(outer).number("spread.at.aft_m", label::AFT, unit::LENGTH, limit::POSITION, |p| {
        middle(p).map(|at| &mut at.aft_m)
    })
}

/// Name of a weight.
pub fn part_name(outer: usize) -> Field<String> {
    part(outer).text("name", label::NAME, |p| &mut p.name)
}

/// Whether there is a weight on each side.
pub fn part_mirrored(outer: usize) -> Field<bool> {
    part(outer).flag("mirrored", label::MIRRORED, |p| &mut p.mirrored)
}

/// How high a weight lies: also moved on the drawing.
pub fn part_up(outer: usize) -> NumberField {
    part(outer).number("spread.at.up_m", label::UP, unit::LENGTH, limit::POSITION, |p| {
        middle(p).map(|at| &mut at.up_m)
    })
}

/// How a weight's fields are laid out: by the way it is spread.
pub fn part_fields(outer: usize, spread: &Spread) -> Vec<NumberField> {
    let item = part(outer);
    let mass = || {
        item.number("spread.mass_kg", label::MASS, unit::MASS, limit::PART_MASS, |p| {
            match &mut p.spread {
                Spread::Point { mass_kg, .. }
                | Spread::Rod { mass_kg, .. }
                | Spread::Block { mass_kg, .. } => Some(mass_kg),
                Spread::Sheet { .. } => None,
            }
        })
    };
    let place =
        |name: &str, label, leaf| item.number(name, label, unit::LENGTH, limit::POSITION, leaf);
    let edge =
        |name: &str, label, leaf| item.number(name, label, unit::LENGTH, limit::BLOCK_EDGE, leaf);
    match spread {
        Spread::Point { .. } | Spread::Block { .. } => {
            let mut fields = vec![
                mass(),
                part_aft(outer),
                part_up(outer),
                place("spread.at.right_m", label::RIGHT, |p| middle(p).map(|at| &mut at.right_m)),
            ];
            if matches!(spread, Spread::Block { .. }) {
                fields.extend([
                    edge("spread.length_m", label::LENGTH, |p| edges(p).map(|[l, ..]| l)),
                    edge("spread.width_m", label::WIDTH, |p| edges(p).map(|[_, w, _]| w)),
                    edge("spread.height_m", label::HEIGHT, |p| edges(p).map(|[.., h]| h)),
                ]);
            }
            fields
        }
        Spread::Rod { .. } => vec![
            mass(),
            place("spread.from.aft_m", label::FROM_AFT, |p| end(p, 0).map(|at| &mut at.aft_m)),
            place("spread.to.aft_m", label::TO_AFT, |p| end(p, 1).map(|at| &mut at.aft_m)),
            place("spread.from.up_m", label::FROM_UP, |p| end(p, 0).map(|at| &mut at.up_m)),
            place("spread.to.up_m", label::TO_UP, |p| end(p, 1).map(|at| &mut at.up_m)),
            place("spread.from.right_m", label::FROM_RIGHT, |p| {
                end(p, 0).map(|at| &mut at.right_m)
            }),
            place("spread.to.right_m", label::TO_RIGHT, |p| end(p, 1).map(|at| &mut at.right_m)),
        ],
        Spread::Sheet { .. } => vec![item.number(
            "spread.areal_density_kg_m2",
            label::AREAL_DENSITY,
            unit::AREAL_DENSITY,
            limit::AREAL_DENSITY,
            |p| match &mut p.spread {
                Spread::Sheet { areal_density_kg_m2, .. } => Some(areal_density_kg_m2),
                _ => None,
            },
        )],
    }
}

fn middle(part: &mut Part) -> Option<&mut Place> {
    match &mut part.spread {
        Spread::Point { at, .. } | Spread::Block { at, .. } => Some(at),
        _ => None,
    }
}

fn edges(part: &mut Part) -> Option<[&mut f64; 3]> {
    match &mut part.spread {
        Spread::Block { length_m, width_m, height_m, .. } => Some([length_m, width_m, height_m]),
        _ => None,
    }
}

fn end(part: &mut Part, which: usize) -> Option<&mut Place> {
    match &mut part.spread {
        Spread::Rod { from, .. } if which == 0 => Some(from),
        Spread::Rod { to, .. } => Some(to),
        _ => None,
    }
}

/// Mass, balance point and inertia given outright.
pub fn known_mass_fields() -> Vec<NumberField> {
    let item: Item<KnownMass> = Item::new(
        "mass".to_owned(),
        Index::default(),
        |a, _| match &a.mass {
            MassStatement::Known(known) => Some(known),
            MassStatement::Parts(_) => None,
        },
        |a, _| match &mut a.mass {
            MassStatement::Known(known) => Some(known),
            MassStatement::Parts(_) => None,
        },
    );
    let inertia =
        |name: &str, label, leaf| item.number(name, label, unit::INERTIA, limit::INERTIA, leaf);
    vec![
        item.number("mass_kg", label::MASS, unit::MASS, limit::TOTAL_MASS, |m| {
            Some(&mut m.mass_kg)
        }),
        item.number("balance_point.aft_m", label::AFT, unit::LENGTH, limit::POSITION, |m| {
            Some(&mut m.balance_point.aft_m)
        }),
        item.number("balance_point.up_m", label::UP, unit::LENGTH, limit::POSITION, |m| {
            Some(&mut m.balance_point.up_m)
        }),
        inertia("ixx_kg_m2", label::ROLL_INERTIA, |m| Some(&mut m.ixx_kg_m2)),
        inertia("iyy_kg_m2", label::PITCH_INERTIA, |m| Some(&mut m.iyy_kg_m2)),
        inertia("izz_kg_m2", label::YAW_INERTIA, |m| Some(&mut m.izz_kg_m2)),
    ]
}

/// Every number of an aircraft that has a field.
pub fn number_fields(aircraft: &Aircraft) -> Vec<NumberField> {
    let mut all = Vec::new();
    for (i, surface) in aircraft.surfaces.iter().enumerate() {
        let upright = surface.role == SurfaceRole::Fin;
        let own = surface_fields(i);
        all.extend(own.root);
        all.push(own.root_right);
        for j in 0..surface.panels.len() {
            all.extend(panel_fields(i, j, upright));
            all.extend(section_fields(i, j, upright));
        }
        for k in 0..surface.controls.len() {
            all.extend(control_fields(i, k));
        }
    }
    for i in 0..aircraft.bodies.len() {
        all.extend(body_fields(i));
    }
    for (i, unit) in aircraft.propulsion.iter().enumerate() {
        all.extend(propeller_fields(i));
        all.extend(match unit.drive {
            Drive::Electric { .. } => electric_fields(i),
            Drive::KnownThrust { .. } => known_thrust_fields(i),
        });
    }
    match &aircraft.mass {
        MassStatement::Parts(parts) => {
            let of_part = |(i, part): (usize, &Part)| part_fields(i, &part.spread);
            all.extend(parts.iter().enumerate().flat_map(of_part));
        }
        MassStatement::Known(_) => all.extend(known_mass_fields()),
    }
    all
}
