//! Power trains of our own invention for the tests of this folder.

use super::{OperatingPoint, PowerModel};
use crate::aircraft::{
    BladeStyle, Controller, Drive, Motor, Mounting, Pack, Place, Propeller, Propulsion, Rotation,
};

/// A small tractor on three cells.
pub(super) fn propulsion() -> Propulsion {
    Propulsion {
        name: "nose motor".to_owned(),
        hub: Place::new(0.05, 0.0, 0.0),
        mirrored: false,
        mounting: Mounting::Tractor,
        down_thrust_deg: 0.0,
        right_thrust_deg: 0.0,
        propeller: Propeller {
            diameter_m: 0.2032,
            pitch_m: 0.1524,
            blades: 2,
            style: BladeStyle::ThinElectric,
            rotation: Rotation::Clockwise,
        },
        drive: Drive::Electric {
            motor: Motor { kv_rpm_per_v: 1100.0, resistance_ohm: 0.07, no_load_current_a: 0.9 },
            controller: Controller { current_max_a: 30.0, resistance_ohm: 0.008 },
            pack: Pack {
                cells: 3,
                capacity_ah: 2.2,
                cell_resistance_ohm: 0.01,
                cell_voltage_v: 4.0,
                current_max_a: None,
            },
        },
    }
}

pub(super) fn electric() -> PowerModel {
    PowerModel::new(&propulsion()).unwrap()
}

pub(super) fn known_thrust() -> PowerModel {
    let drive = Drive::KnownThrust { static_thrust_n: 6.0, zero_thrust_airspeed_m_s: 30.0 };
    PowerModel::new(&Propulsion { drive, ..propulsion() }).unwrap()
}

/// All numbers of an operating point.
pub(super) fn numbers(point: &OperatingPoint) -> Vec<f64> {
    vec![
        point.throttle,
        point.axial_airspeed_m_s,
        point.density_kg_m3,
        point.rotation_rad_s,
        point.thrust_n,
        point.torque_n_m,
        point.motor_current_a,
        point.pack_current_a,
        point.pack_voltage_v,
        point.shaft_power_w,
        point.electrical_power_w,
        point.propeller_efficiency,
        point.efficiency,
        point.induced_velocity_m_s,
        point.swirl_rad_s,
        point.side_force_n_s_per_m,
        point.yaw_moment_n_s,
    ]
}
