//! The power plant as bought and measured: propeller, motor, controller, pack.

use garde::Validate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::limits::{
    AIRSPEED, BLADES, CAPACITY, CELL_VOLTAGE, CELLS, CURRENT, MOTOR_KV, NAME, PROPELLER_DIAMETER,
    PROPELLER_PITCH, RESISTANCE, STATIC_THRUST, THRUST_ANGLE, within,
};
use super::place::Place;

/// One propeller and what drives it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Propulsion {
    /// The builder's name for the unit.
    #[garde(custom(within(NAME)))]
    #[schemars(length(min = 1, max = NAME.longest()))]
    pub name: String,
    /// Middle of the propeller disc.
    #[garde(dive)]
    pub hub: Place,
    /// Whether there is a mirror image on the left, turning the other way, with a
    /// motor and a controller of its own on the same pack.
    #[serde(default)]
    #[garde(skip)]
    pub mirrored: bool,
    /// Motor behind the propeller (tractor) or before it (pusher).
    #[garde(skip)]
    pub mounting: Mounting,
    /// How far the thrust points below the datum line, deg, for a propeller
    /// that pulls and for one that pushes alike.
    #[serde(default)]
    #[garde(custom(within(THRUST_ANGLE)))]
    #[schemars(range(min = THRUST_ANGLE.min, max = THRUST_ANGLE.max))]
    pub down_thrust_deg: f64,
    /// How far the thrust points to the right of straight ahead, deg.
    #[serde(default)]
    #[garde(custom(within(THRUST_ANGLE)))]
    #[schemars(range(min = THRUST_ANGLE.min, max = THRUST_ANGLE.max))]
    pub right_thrust_deg: f64,
    /// The propeller.
    #[garde(dive)]
    pub propeller: Propeller,
    /// What turns the propeller.
    #[garde(dive)]
    pub drive: Drive,
}

impl Propulsion {
    /// How many propellers alike the unit has: two for a mirrored pair.
    pub fn propellers(&self) -> u8 {
        if self.mirrored { 2 } else { 1 }
    }
}

/// Where the propeller sits on its motor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Mounting {
    /// Propeller before the motor.
    Tractor,
    /// Propeller behind the motor.
    Pusher,
}

/// Sense of rotation seen from behind, looking forward.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Rotation {
    /// Top of the disc moves to the right.
    Clockwise,
    /// Top of the disc moves to the left.
    Counterclockwise,
}

/// Shape family of the blades.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BladeStyle {
    /// Narrow blades for fast electric flight.
    ThinElectric,
    /// Wide, cambered blades for slow flight.
    SlowFlight,
}

/// A fixed-pitch propeller by what is printed on it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Propeller {
    /// Diameter, m.
    #[garde(custom(within(PROPELLER_DIAMETER)))]
    #[schemars(range(min = PROPELLER_DIAMETER.min, max = PROPELLER_DIAMETER.max))]
    pub diameter_m: f64,
    /// Pitch, m per turn.
    #[garde(custom(within(PROPELLER_PITCH)))]
    #[schemars(range(min = PROPELLER_PITCH.min, max = PROPELLER_PITCH.max))]
    pub pitch_m: f64,
    /// Number of blades.
    #[serde(default = "two")]
    #[garde(custom(within(BLADES)))]
    #[schemars(range(min = BLADES.min as u8, max = BLADES.max as u8))]
    pub blades: u8,
    /// Shape family of the blades.
    #[serde(default = "thin")]
    #[garde(skip)]
    pub style: BladeStyle,
    /// Sense of rotation seen from behind.
    #[serde(default = "clockwise")]
    #[garde(skip)]
    pub rotation: Rotation,
}

fn two() -> u8 {
    2
}

fn thin() -> BladeStyle {
    BladeStyle::ThinElectric
}

fn clockwise() -> Rotation {
    Rotation::Clockwise
}

/// What turns a propeller.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Drive {
    /// Electric motor with its controller and pack.
    Electric {
        /// The motor.
        #[garde(dive)]
        motor: Motor,
        /// The speed controller.
        #[garde(dive)]
        controller: Controller,
        /// The pack.
        #[garde(dive)]
        pack: Pack,
    },
    /// Thrust known outright, as for a full-size engine: it falls in a
    /// straight line from the static value to nothing.
    KnownThrust {
        /// Thrust at rest and full throttle, N.
        #[garde(custom(within(STATIC_THRUST)))]
        #[schemars(range(min = STATIC_THRUST.min, max = STATIC_THRUST.max))]
        static_thrust_n: f64,
        /// Airspeed at which no thrust is left, m/s.
        #[garde(custom(within(AIRSPEED)))]
        #[schemars(range(min = AIRSPEED.min, max = AIRSPEED.max))]
        zero_thrust_airspeed_m_s: f64,
    },
}

/// A brushless or brushed direct-current motor.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Motor {
    /// Speed constant, rpm/V.
    #[garde(custom(within(MOTOR_KV)))]
    #[schemars(range(min = MOTOR_KV.min, max = MOTOR_KV.max))]
    pub kv_rpm_per_v: f64,
    /// Winding resistance, ohm.
    #[garde(custom(within(RESISTANCE)))]
    #[schemars(range(min = RESISTANCE.min, max = RESISTANCE.max))]
    pub resistance_ohm: f64,
    /// Current without load, A.
    #[garde(custom(within(CURRENT)))]
    #[schemars(range(min = CURRENT.min, max = CURRENT.max))]
    pub no_load_current_a: f64,
}

/// An electronic speed controller.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Controller {
    /// Greatest continuous current, A.
    #[garde(custom(within(CURRENT)))]
    #[schemars(range(min = CURRENT.min, max = CURRENT.max))]
    pub current_max_a: f64,
    /// Resistance with leads and plugs, ohm.
    #[serde(default)]
    #[garde(custom(within(RESISTANCE)))]
    #[schemars(range(min = RESISTANCE.min, max = RESISTANCE.max))]
    pub resistance_ohm: f64,
}

/// A pack of like cells in series.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Pack {
    /// Number of cells in series.
    #[garde(custom(within(CELLS)))]
    #[schemars(range(min = CELLS.min as u8, max = CELLS.max as u8))]
    pub cells: u8,
    /// Charge when full, Ah.
    #[garde(custom(within(CAPACITY)))]
    #[schemars(range(min = CAPACITY.min, max = CAPACITY.max))]
    pub capacity_ah: f64,
    /// Resistance of one cell, ohm.
    #[garde(custom(within(RESISTANCE)))]
    #[schemars(range(min = RESISTANCE.min, max = RESISTANCE.max))]
    pub cell_resistance_ohm: f64,
    /// Resting voltage of one cell at the time that is computed, V.
    #[serde(default = "default_cell_voltage")]
    #[garde(custom(within(CELL_VOLTAGE)))]
    #[schemars(range(min = CELL_VOLTAGE.min, max = CELL_VOLTAGE.max))]
    pub cell_voltage_v: f64,
    /// Greatest continuous current, A, where it is known.
    #[serde(default)]
    #[garde(custom(within(CURRENT)))]
    #[schemars(range(min = CURRENT.min, max = CURRENT.max))]
    pub current_max_a: Option<f64>,
}

fn default_cell_voltage() -> f64 {
    4.0
}
