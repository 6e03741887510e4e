//! Fields of a propeller with its drive.

use sim_core::aircraft::limits as limit;
use sim_core::aircraft::{Drive, Pack, Propulsion};

use crate::state::form::{ChoiceField, Field, Index, Item, NumberField};
use crate::state::measure as unit;
use crate::text::{kind, label};

/// A propeller with its drive.
pub fn propulsion(outer: usize) -> Item<Propulsion> {
    Item::new(
        format!("propulsion[{outer}]"),
        Index { outer, inner: 0 },
        |a, at| a.propulsion.get(at.outer),
        |a, at| a.propulsion.get_mut(at.outer),
    )
}

/// Name of a propeller unit.
pub fn propulsion_name(outer: usize) -> Field<String> {
    propulsion(outer).text("name", label::NAME, |u| &mut u.name)
}

/// Whether there is a propeller on each side.
pub fn propulsion_mirrored(outer: usize) -> Field<bool> {
    propulsion(outer).flag("mirrored", label::MIRRORED, |u| &mut u.mirrored)
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

/// Number of cells of the pack.
pub fn cells(outer: usize) -> ChoiceField {
    propulsion(outer).choice("drive.pack.cells", label::CELLS, &kind::CELL_COUNTS, |u| match &mut u
        .drive
    {
        Drive::Electric { pack, .. } => Some(&mut pack.cells),
        Drive::KnownThrust { .. } => None,
    })
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
        item.number(
            "drive.pack.cell_voltage_v",
            label::CELL_VOLTAGE,
            unit::VOLTAGE,
            limit::CELL_VOLTAGE,
            |u| match &mut u.drive {
                Electric { pack, .. } => Some(&mut pack.cell_voltage_v),
                _ => None,
            },
        ),
        item.number(
            "drive.controller.resistance_ohm",
            label::CONTROLLER_RESISTANCE,
            unit::RESISTANCE,
            limit::RESISTANCE,
            |u| match &mut u.drive {
                Electric { controller, .. } => Some(&mut controller.resistance_ohm),
                _ => None,
            },
        ),
    ]
}

/// Whether it is known what current the pack bears.
pub fn pack_limit_known(outer: usize) -> Field<bool> {
    propulsion(outer).field(
        "drive.pack.current_max_known",
        label::PACK_CURRENT_KNOWN,
        |unit| Some(pack(&unit.drive)?.current_max_a.is_some()),
        |unit, known| {
            if let Drive::Electric { pack, .. } = &mut unit.drive {
                // As printed on many packs: 25 times the charge in an hour.
                pack.current_max_a = known.then_some(25.0 * pack.capacity_ah);
            }
        },
    )
}

/// What current the pack bears; nothing where that is not known.
pub fn pack_limit(outer: usize) -> NumberField {
    propulsion(outer).number(
        "drive.pack.current_max_a",
        label::PACK_CURRENT,
        unit::CURRENT,
        limit::CURRENT,
        |u| match &mut u.drive {
            Drive::Electric { pack, .. } => pack.current_max_a.as_mut(),
            Drive::KnownThrust { .. } => None,
        },
    )
}

fn pack(drive: &Drive) -> Option<&Pack> {
    match drive {
        Drive::Electric { pack, .. } => Some(pack),
        Drive::KnownThrust { .. } => None,
    }
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
