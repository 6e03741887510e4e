//! Fields of bodies: fuselage, booms, struts, wheels.

use sim_core::aircraft::Body;
use sim_core::aircraft::limits as limit;

use crate::state::form::{ChoiceField, Field, Index, Item, NumberField};
use crate::state::measure as unit;
use crate::text::{kind, label};

/// A body.
pub fn body(outer: usize) -> Item<Body> {
    Item::new(
        format!("bodies[{outer}]"),
        Index { outer, inner: 0 },
        |a, at| a.bodies.get(at.outer),
        |a, at| a.bodies.get_mut(at.outer),
    )
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
