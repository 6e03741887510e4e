//! Fields of the weights, or of mass, balance point and inertia given outright.

use sim_core::aircraft::limits as limit;
use sim_core::aircraft::{KnownMass, MassStatement, Part, Place, Spread};

use crate::state::form::{Field, Index, Item, NumberField};
use crate::state::measure as unit;
use crate::text::label;

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

/// Name of a weight.
pub fn part_name(outer: usize) -> Field<String> {
    part(outer).text("name", label::NAME, |p| &mut p.name)
}

/// Whether there is a weight on each side.
pub fn part_mirrored(outer: usize) -> Field<bool> {
    part(outer).flag("mirrored", label::MIRRORED, |p| &mut p.mirrored)
}

/// How far behind the datum a weight lies: also moved by a slider. Nothing for
/// a weight without one middle.
pub fn part_aft(outer: usize) -> NumberField {
    part(outer).number("spread.at.aft_m", label::AFT, unit::LENGTH, limit::POSITION, |p| {
        middle(p).map(|at| &mut at.aft_m)
    })
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
