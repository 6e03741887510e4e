//! How a control surface is driven and what is set in the radio now: servo,
//! arm, pushrod, horn, throws and expo, as measured on the bench.
//!
//! All of it may be left out; what is given is checked and computed in
//! [`crate::throws`].

use garde::Validate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::limits::{
    ARM_NEUTRAL, BOW, DIAMETER, EXPO, FREE_LENGTH, GEAR_PLAY, HOLE_DISTANCE, HOLE_PLAY, HOLES,
    INNER_DIAMETER, OFFSET, PUSHROD_LENGTH, SERVO_SPEED, SERVO_TRAVEL, SET_THROW, STALL_TORQUE,
    YOUNGS_MODULUS, within,
};

/// What is set in the radio for one control now.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct ControlSetting {
    /// Deflection at full stick on high rate, or the only one, deg each way.
    #[garde(custom(within(SET_THROW)))]
    #[schemars(range(min = SET_THROW.min, max = SET_THROW.max))]
    pub high_rate_deg: f64,
    /// Deflection at full stick on low rate, deg each way.
    #[serde(default)]
    #[garde(custom(within(SET_THROW)))]
    #[schemars(range(min = SET_THROW.min, max = SET_THROW.max))]
    pub low_rate_deg: Option<f64>,
    /// Expo on high rate, 0 for a straight line, 1 for none around neutral.
    #[serde(default)]
    #[garde(custom(within(EXPO)))]
    #[schemars(range(min = EXPO.min, max = EXPO.max))]
    pub expo: f64,
    /// Expo on low rate.
    #[serde(default)]
    #[garde(custom(within(EXPO)))]
    #[schemars(range(min = EXPO.min, max = EXPO.max))]
    pub low_expo: f64,
}

/// Everything between radio and surface. One servo drives both halves of an
/// elevator, a flap or twin rudders; ailerons, elevons and ruddervators have
/// one on each side, of which this is one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct ControlLinkage {
    /// Arm, pushrod and horn.
    #[garde(dive)]
    pub geometry: Linkage,
    /// The pushrod, where it is known.
    #[serde(default)]
    #[garde(dive)]
    pub pushrod: Option<Pushrod>,
    /// The servo.
    #[serde(default)]
    #[garde(dive)]
    pub servo: Servo,
    /// Play of the holes, both ends together, m.
    #[serde(default = "usual_hole_play")]
    #[garde(custom(within(HOLE_PLAY)))]
    #[schemars(range(min = HOLE_PLAY.min, max = HOLE_PLAY.max))]
    pub hole_play_m: f64,
    /// Distances of the holes that the servo arm offers from the shaft, m;
    /// empty takes a usual arm.
    #[serde(default)]
    #[garde(custom(within(HOLES)), inner(custom(within(HOLE_DISTANCE))))]
    #[schemars(length(max = HOLES.longest()))]
    pub arm_holes_m: Vec<f64>,
    /// Heights of the holes that the horn offers above the hinge line, m;
    /// empty takes a usual horn.
    #[serde(default)]
    #[garde(custom(within(HOLES)), inner(custom(within(HOLE_DISTANCE))))]
    #[schemars(length(max = HOLES.longest()))]
    pub horn_holes_m: Vec<f64>,
}

/// A 1 mm wire in a 1.1 mm hole at each end. Estimate, 0.05 to 0.4 mm.
fn usual_hole_play() -> f64 {
    0.0002
}

/// A linkage as measured, seen from the left side, nose to the left.
///
/// # Conventions
/// Heights are from the hinge line, positive on the side to which the servo
/// arm points; if that is below, turn the picture over. The servo stands ahead
/// of the hinge. Stick in the middle, control surface neutral.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Linkage {
    /// Hole in the servo arm: distance from the shaft, m.
    #[garde(custom(within(HOLE_DISTANCE)))]
    #[schemars(range(min = HOLE_DISTANCE.min, max = HOLE_DISTANCE.max))]
    pub servo_arm_m: f64,
    /// Hole in the horn: height above the hinge line, m; negative where the
    /// pushrod crosses to the other side.
    #[garde(custom(within(OFFSET)))]
    #[schemars(range(min = OFFSET.min, max = OFFSET.max))]
    pub horn_height_m: f64,
    /// Hole in the horn: how far it lies behind the hinge line, m.
    #[serde(default)]
    #[garde(custom(within(OFFSET)))]
    #[schemars(range(min = OFFSET.min, max = OFFSET.max))]
    pub horn_offset_m: f64,
    /// Pushrod from hole to hole, m.
    #[garde(custom(within(PUSHROD_LENGTH)))]
    #[schemars(range(min = PUSHROD_LENGTH.min, max = PUSHROD_LENGTH.max))]
    pub pushrod_m: f64,
    /// Servo shaft: height above the hinge line, m.
    #[serde(default)]
    #[garde(custom(within(OFFSET)))]
    #[schemars(range(min = OFFSET.min, max = OFFSET.max))]
    pub shaft_height_m: f64,
    /// Lean of the servo arm towards the horn in the neutral position, deg;
    /// 0 stands upright.
    #[serde(default)]
    #[garde(custom(within(ARM_NEUTRAL)))]
    #[schemars(range(min = ARM_NEUTRAL.min, max = ARM_NEUTRAL.max))]
    pub arm_neutral_deg: f64,
}

/// What a pushrod is made of.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum RodMaterial {
    /// Steel wire.
    Steel,
    /// Aluminium.
    Aluminium,
    /// Brass.
    Brass,
    /// Pultruded carbon rod or tube.
    Carbon,
    /// Pultruded glass-fibre rod.
    GlassFibre,
    /// Bamboo skewer.
    Bamboo,
    /// Straight-grained softwood.
    Wood,
    /// Plastic inner tube.
    Plastic,
    /// Anything else, by its Young's modulus.
    Other {
        /// Young's modulus, Pa.
        #[garde(custom(within(YOUNGS_MODULUS)))]
        youngs_modulus_pa: f64,
    },
}

/// How the ends of the free length are held against tilting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Supports {
    /// Both free to tilt: holes and clevises.
    #[default]
    PinnedPinned,
    /// One held by a long guide.
    PinnedFixed,
    /// Both held by guides.
    FixedFixed,
}

/// A pushrod as measured.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Pushrod {
    /// What it is made of.
    #[garde(dive)]
    pub material: RodMaterial,
    /// Outer diameter, m.
    #[garde(custom(within(DIAMETER)))]
    #[schemars(range(min = DIAMETER.min, max = DIAMETER.max))]
    pub diameter_m: f64,
    /// Inner diameter of a tube, m; 0 for a solid rod.
    #[serde(default)]
    #[garde(custom(within(INNER_DIAMETER)))]
    #[schemars(range(min = INNER_DIAMETER.min, max = INNER_DIAMETER.max))]
    pub inner_diameter_m: f64,
    /// Whole length, m.
    #[garde(custom(within(FREE_LENGTH)))]
    #[schemars(range(min = FREE_LENGTH.min, max = FREE_LENGTH.max))]
    pub length_m: f64,
    /// Longest stretch between supports, m.
    #[garde(custom(within(FREE_LENGTH)))]
    #[schemars(range(min = FREE_LENGTH.min, max = FREE_LENGTH.max))]
    pub free_length_m: f64,
    /// How the ends of that stretch are held.
    #[serde(default)]
    #[garde(skip)]
    pub supports: Supports,
    /// How far that stretch is bowed or cranked out of line, m.
    #[serde(default)]
    #[garde(custom(within(BOW)))]
    #[schemars(range(min = BOW.min, max = BOW.max))]
    pub bow_m: f64,
}

/// A servo by its data sheet and a look at its play.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Servo {
    /// Time for 60 deg without load, s.
    #[serde(default = "usual_speed")]
    #[garde(custom(within(SERVO_SPEED)))]
    #[schemars(range(min = SERVO_SPEED.min, max = SERVO_SPEED.max))]
    pub speed_s_per_60deg: f64,
    /// Torque at which it stops, N m.
    #[serde(default = "usual_torque")]
    #[garde(custom(within(STALL_TORQUE)))]
    #[schemars(range(min = STALL_TORQUE.min, max = STALL_TORQUE.max))]
    pub stall_torque_n_m: f64,
    /// Turn to either side at full channel travel, deg.
    #[serde(default = "usual_travel")]
    #[garde(custom(within(SERVO_TRAVEL)))]
    #[schemars(range(min = SERVO_TRAVEL.min, max = SERVO_TRAVEL.max))]
    pub travel_deg: f64,
    /// Play of the gear from stop to stop, deg.
    #[serde(default = "usual_gear_play")]
    #[garde(custom(within(GEAR_PLAY)))]
    #[schemars(range(min = GEAR_PLAY.min, max = GEAR_PLAY.max))]
    pub gear_play_deg: f64,
}

// Common practice for a 9 g servo at 4.8 V: 0.10 to 0.12 s, 0.15 to 0.18 N m,
// 45 deg at 100 % channel travel; 1 deg of play is an estimate (0.5 to 2).
fn usual_speed() -> f64 {
    0.11
}
fn usual_torque() -> f64 {
    0.16
}
fn usual_travel() -> f64 {
    45.0
}
fn usual_gear_play() -> f64 {
    1.0
}

impl Default for Servo {
    fn default() -> Self {
        Self {
            speed_s_per_60deg: usual_speed(),
            stall_torque_n_m: usual_torque(),
            travel_deg: usual_travel(),
            gear_play_deg: usual_gear_play(),
        }
    }
}
