//! Bodies that carry the surfaces: fuselage, booms, struts, wheels.

use garde::Validate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::limits::{BODY_SIZE, DRAG, NAME, within};
use super::place::Place;

/// What a body is; decides its drag and whether it gives side force.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BodyKind {
    /// Fuselage or pod with rounded nose.
    Fuselage,
    /// Fuselage with square corners and blunt nose, as folded from sheet.
    BoxFuselage,
    /// Thin round or square tube along the flight direction.
    Boom,
    /// Tube or blade across the flow: pylon, wing strut, gear leg.
    Strut,
    /// Wheel, its axle across the flow.
    Wheel,
}

/// A body from its front to its rear end. For a strut, its two ends; for a
/// wheel, front and rear of its tyre.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// The builder's name for the body.
    #[garde(custom(within(NAME)))]
    #[schemars(length(min = 1, max = NAME.longest()))]
    pub name: String,
    /// What the body is.
    #[garde(skip)]
    pub kind: BodyKind,
    /// Middle of the front end.
    #[garde(dive)]
    pub front: Place,
    /// Middle of the rear end.
    #[garde(dive)]
    pub rear: Place,
    /// Greatest width, m. For a strut: its size across the flow.
    #[garde(custom(within(BODY_SIZE)))]
    #[schemars(range(min = BODY_SIZE.min, max = BODY_SIZE.max))]
    pub width_m: f64,
    /// Greatest height, m. For a strut: its size along the flow.
    #[garde(custom(within(BODY_SIZE)))]
    #[schemars(range(min = BODY_SIZE.min, max = BODY_SIZE.max))]
    pub height_m: f64,
    /// Whether there is a mirror image on the left.
    #[serde(default)]
    #[garde(skip)]
    pub mirrored: bool,
    /// Known drag coefficient on the area seen from in front.
    #[serde(default)]
    #[garde(custom(within(DRAG)))]
    #[schemars(range(min = DRAG.min, max = DRAG.max))]
    pub drag_coefficient: Option<f64>,
}
