//! Wing sections as models are built.

use garde::Validate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::limits::{
    CAMBER, DRAG, SECTION_LIFT, SECTION_MOMENT, SECTION_SLOPE, THICKNESS, ZERO_LIFT_ANGLE, within,
};

/// How a section is made. It decides the drag, the greatest lift and how much
/// of the leading-edge suction survives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SectionKind {
    /// Flat foam sheet with square edges.
    FlatSheet,
    /// Flat foam sheet with rounded leading and tapered trailing edge.
    RoundedSheet,
    /// Sheet folded over a spar, rounded nose, flat or slightly cambered below.
    FoldedSheet,
    /// Sheet folded over a spar in two layers that leave a step behind the spar.
    SteppedSheet,
    /// Thin plate bent to an arc.
    CamberedPlate,
    /// Shaped aerofoil (built-up, moulded or full-size).
    Profile,
}

/// A wing section: how it is built, its thickness and camber, and any of its
/// coefficients that are known from measurement.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Section {
    /// How the section is made.
    #[garde(skip)]
    pub kind: SectionKind,
    /// Greatest thickness over chord.
    #[serde(default = "default_thickness")]
    #[garde(custom(within(THICKNESS)))]
    #[schemars(range(min = THICKNESS.min, max = THICKNESS.max))]
    pub thickness: f64,
    /// Greatest height of the mean line over chord; positive arches upwards.
    #[serde(default)]
    #[garde(custom(within(CAMBER)))]
    #[schemars(range(min = CAMBER.min, max = CAMBER.max))]
    pub camber: f64,
    /// Known coefficients; each replaces the estimate that the kind would give.
    #[serde(default)]
    #[garde(dive)]
    pub known: KnownSection,
}

fn default_thickness() -> f64 {
    0.05
}

impl Default for Section {
    /// A 5 % flat sheet with rounded edges.
    fn default() -> Self {
        Self {
            kind: SectionKind::RoundedSheet,
            thickness: default_thickness(),
            camber: 0.0,
            known: KnownSection::default(),
        }
    }
}

/// Section coefficients known from a measurement or a published test.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields, default)]
pub struct KnownSection {
    /// Angle of attack at which the section gives no lift, deg.
    #[garde(custom(within(ZERO_LIFT_ANGLE)))]
    #[schemars(range(min = ZERO_LIFT_ANGLE.min, max = ZERO_LIFT_ANGLE.max))]
    pub zero_lift_angle_deg: Option<f64>,
    /// Two-dimensional lift slope, per radian; the ideal is 2 pi.
    #[garde(custom(within(SECTION_SLOPE)))]
    #[schemars(range(min = SECTION_SLOPE.min, max = SECTION_SLOPE.max))]
    pub lift_slope_per_rad: Option<f64>,
    /// Pitching-moment coefficient about the quarter chord, nose up positive.
    #[garde(custom(within(SECTION_MOMENT)))]
    #[schemars(range(min = SECTION_MOMENT.min, max = SECTION_MOMENT.max))]
    pub moment_coefficient: Option<f64>,
    /// Greatest lift coefficient.
    #[garde(custom(within(SECTION_LIFT)))]
    #[schemars(range(min = SECTION_LIFT.min, max = SECTION_LIFT.max))]
    pub lift_coefficient_max: Option<f64>,
    /// Least drag coefficient.
    #[garde(custom(within(DRAG)))]
    #[schemars(range(min = DRAG.min, max = DRAG.max))]
    pub drag_coefficient_min: Option<f64>,
}
