//! Which fields each part of the aircraft has, in the order in which a builder
//! measures them.

mod bodies;
mod propulsion;
mod surfaces;
mod weights;

use sim_core::aircraft::{Aircraft, Drive, MassStatement, Part, SurfaceRole};

pub use bodies::*;
pub use propulsion::*;
pub use surfaces::*;
pub use weights::*;

use super::form::{Field, Index, Item, NumberField};
use crate::text::label;

/// The aircraft itself.
pub fn whole() -> Item<Aircraft> {
    Item::new(String::new(), Index::default(), |a, _| Some(a), |a, _| Some(a))
}

/// The name of the aircraft.
pub fn aircraft_name() -> Field<String> {
    whole().text("name", label::AIRCRAFT_NAME, |a| &mut a.name)
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
