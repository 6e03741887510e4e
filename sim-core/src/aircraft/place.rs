//! Where things are, as a ruler tells it.
//!
//! Builders measure from one fixed point, the datum (often the nose or the
//! leading edge of the wing root), backwards, to the right and upwards. The
//! names say the direction, so no sign has to be remembered. The physics turns
//! them into body axes (x forward, y right, z down) once, in `to_body_axes`.

use garde::Validate;
use nalgebra::Vector3;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::limits::{POSITION, within};

/// A point measured from the datum.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Distance behind the datum, m; negative in front of it.
    #[garde(custom(within(POSITION)))]
    #[schemars(range(min = POSITION.min, max = POSITION.max))]
    pub aft_m: f64,
    /// Distance to the right of the plane of symmetry, seen from behind, m.
    #[serde(default)]
    #[garde(custom(within(POSITION)))]
    #[schemars(range(min = POSITION.min, max = POSITION.max))]
    pub right_m: f64,
    /// Distance above the datum, m; negative below it.
    #[serde(default)]
    #[garde(custom(within(POSITION)))]
    #[schemars(range(min = POSITION.min, max = POSITION.max))]
    pub up_m: f64,
}

impl Place {
    /// A point `aft_m` behind, `right_m` right of and `up_m` above the datum.
    pub const fn new(aft_m: f64, right_m: f64, up_m: f64) -> Self {
        Self { aft_m, right_m, up_m }
    }

    /// The point's position from the datum in body axes (x forward, y right,
    /// z down), m.
    pub fn to_body_axes(self) -> Vector3<f64> {
        Vector3::new(-self.aft_m, self.right_m, -self.up_m)
    }

    /// The inverse of [`Place::to_body_axes`].
    pub fn from_body_axes(position_body: Vector3<f64>) -> Self {
        Self::new(-position_body.x, position_body.y, -position_body.z)
    }

    /// The mirror image of the point in the plane of symmetry.
    pub fn mirrored(self) -> Self {
        Self { right_m: -self.right_m, ..self }
    }
}
