//! How an aircraft meets the ground: its wheels, and how it is launched.
//!
//! Everything has a default, so a builder gives the wheels' places at the most.
//! Without a list the wheels among the bodies are taken, see
//! [`crate::flight::contact`].

use garde::Validate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::limits::{FRICTION, NAME, STEERING, WHEEL_DAMPING, WHEEL_STIFFNESS, WHEELS, within};
use super::place::Place;

/// How a flight begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Launch {
    /// It rolls along the strip.
    Ground,
    /// It is thrown.
    Hand,
}

/// Wheels or skids that carry the aircraft on the ground.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Gear {
    /// The wheels; two places that are mirror images count once.
    #[garde(custom(within(WHEELS)), dive)]
    #[schemars(length(min = 1, max = WHEELS.longest()))]
    pub wheels: Vec<GearWheel>,
}

/// One wheel, or a pair.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct GearWheel {
    /// The builder's name for the wheel.
    #[garde(custom(within(NAME)))]
    #[schemars(length(min = 1, max = NAME.longest()))]
    pub name: String,
    /// Lowest point of the tyre with the gear unloaded.
    #[garde(dive)]
    pub contact: Place,
    /// Whether there is a mirror image on the left.
    #[serde(default)]
    #[garde(skip)]
    pub mirrored: bool,
    /// Angle that the wheel turns to at full rudder throw, deg; 0 is a fixed
    /// wheel. The sense is the rudder's: rudder to the right steers right.
    #[serde(default)]
    #[garde(custom(within(STEERING)))]
    #[schemars(range(min = STEERING.min, max = STEERING.max))]
    pub steering_deg: f64,
    /// Stiffness of tyre and leg, N/m; left out, chosen from the weight.
    #[serde(default)]
    #[garde(custom(within(WHEEL_STIFFNESS)))]
    #[schemars(range(min = WHEEL_STIFFNESS.min, max = WHEEL_STIFFNESS.max))]
    pub stiffness_n_m: Option<f64>,
    /// Damping of tyre and leg, N s/m; left out, chosen from the weight.
    #[serde(default)]
    #[garde(custom(within(WHEEL_DAMPING)))]
    #[schemars(range(min = WHEEL_DAMPING.min, max = WHEEL_DAMPING.max))]
    pub damping_n_s_m: Option<f64>,
    /// Friction along the rolling direction over load.
    #[serde(default = "rolling_friction")]
    #[garde(custom(within(FRICTION)))]
    #[schemars(range(min = FRICTION.min, max = FRICTION.max))]
    pub rolling_friction: f64,
    /// Friction across the rolling direction over load.
    #[serde(default = "side_friction")]
    #[garde(custom(within(FRICTION)))]
    #[schemars(range(min = FRICTION.min, max = FRICTION.max))]
    pub side_friction: f64,
}

/// Small wheels on short grass (estimate, 0.05 to 0.15).
fn rolling_friction() -> f64 {
    0.08
}

/// Foam or rubber tyre across grass (estimate, 0.4 to 0.8).
fn side_friction() -> f64 {
    0.6
}

impl GearWheel {
    /// A wheel at a place with everything else at its default.
    pub fn at(name: &str, contact: Place, mirrored: bool, steering_deg: f64) -> Self {
        Self {
            name: name.to_owned(),
            contact,
            mirrored,
            steering_deg,
            stiffness_n_m: None,
            damping_n_s_m: None,
            rolling_friction: rolling_friction(),
            side_friction: side_friction(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_enough_for_a_wheel() {
        let text = r#"{"wheels": [{"name": "main", "mirrored": true,
            "contact": {"aft_m": 0.2, "right_m": 0.12, "up_m": -0.17}}]}"#;
        let gear: Gear = serde_json::from_str(text).unwrap();
        let at = Place::new(0.2, 0.12, -0.17);
        assert_eq!(gear.wheels, [GearWheel::at("main", at, true, 0.0)]);
        assert!(gear.validate().is_ok());
        let none: Gear = serde_json::from_str(r#"{"wheels": []}"#).unwrap();
        assert!(none.validate().is_err());
    }
}
