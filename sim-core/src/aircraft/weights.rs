//! Weights and where they sit, or the whole mass given outright.

use garde::Validate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::limits::{
    AREAL_DENSITY, BLOCK_EDGE, INERTIA, INERTIA_PRODUCT, NAME, PART_MASS, PARTS, TOTAL_MASS, within,
};
use super::place::Place;

/// How the mass is known.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(rename_all = "snake_case")]
pub enum MassStatement {
    /// A list of parts.
    Parts(
        #[garde(custom(within(PARTS)), dive)]
        #[schemars(length(min = 1, max = PARTS.longest()))]
        Vec<Part>,
    ),
    /// Mass, balance point and inertia of the whole, as published for
    /// full-size aeroplanes.
    Known(#[garde(dive)] KnownMass),
}

/// Mass, balance point and inertia of a whole aircraft.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct KnownMass {
    /// Mass, kg.
    #[garde(custom(within(TOTAL_MASS)))]
    #[schemars(range(min = TOTAL_MASS.min, max = TOTAL_MASS.max))]
    pub mass_kg: f64,
    /// Balance point (centre of gravity).
    #[garde(dive)]
    pub balance_point: Place,
    /// Moment of inertia about body x through the balance point, kg m2.
    #[garde(custom(within(INERTIA)))]
    #[schemars(range(min = INERTIA.min, max = INERTIA.max))]
    pub ixx_kg_m2: f64,
    /// Moment of inertia about body y, kg m2.
    #[garde(custom(within(INERTIA)))]
    #[schemars(range(min = INERTIA.min, max = INERTIA.max))]
    pub iyy_kg_m2: f64,
    /// Moment of inertia about body z, kg m2.
    #[garde(custom(within(INERTIA)))]
    #[schemars(range(min = INERTIA.min, max = INERTIA.max))]
    pub izz_kg_m2: f64,
    /// Product of inertia, the integral of x z dm in body axes, kg m2.
    #[serde(default)]
    #[garde(custom(within(INERTIA_PRODUCT)))]
    #[schemars(range(min = INERTIA_PRODUCT.min, max = INERTIA_PRODUCT.max))]
    pub ixz_kg_m2: f64,
}

/// One weight. The list's order is the builder's.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// The builder's name for the part.
    #[garde(custom(within(NAME)))]
    #[schemars(length(min = 1, max = NAME.longest()))]
    pub name: String,
    /// Mass and how it is spread out.
    #[garde(dive)]
    pub spread: Spread,
    /// Whether there is a second one like it, mirrored on the left.
    #[serde(default)]
    #[garde(skip)]
    pub mirrored: bool,
}

/// How a part's mass is spread out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Spread {
    /// All in one point: servo, receiver, ballast.
    Point {
        /// Mass, kg.
        #[garde(custom(within(PART_MASS)))]
        #[schemars(range(min = PART_MASS.min, max = PART_MASS.max))]
        mass_kg: f64,
        /// Where.
        #[garde(dive)]
        at: Place,
    },
    /// Evenly along a line: spar, boom, pushrod.
    Rod {
        /// Mass, kg.
        #[garde(custom(within(PART_MASS)))]
        #[schemars(range(min = PART_MASS.min, max = PART_MASS.max))]
        mass_kg: f64,
        /// One end.
        #[garde(dive)]
        from: Place,
        /// Other end.
        #[garde(dive)]
        to: Place,
    },
    /// Evenly in a box with edges along the axes: pack, motor, or a plate
    /// where one edge is nothing.
    Block {
        /// Mass, kg.
        #[garde(custom(within(PART_MASS)))]
        #[schemars(range(min = PART_MASS.min, max = PART_MASS.max))]
        mass_kg: f64,
        /// Middle of the box.
        #[garde(dive)]
        at: Place,
        /// Length from front to rear, m.
        #[garde(custom(within(BLOCK_EDGE)))]
        #[schemars(range(min = BLOCK_EDGE.min, max = BLOCK_EDGE.max))]
        length_m: f64,
        /// Width from left to right, m.
        #[garde(custom(within(BLOCK_EDGE)))]
        #[schemars(range(min = BLOCK_EDGE.min, max = BLOCK_EDGE.max))]
        width_m: f64,
        /// Height from bottom to top, m.
        #[garde(custom(within(BLOCK_EDGE)))]
        #[schemars(range(min = BLOCK_EDGE.min, max = BLOCK_EDGE.max))]
        height_m: f64,
    },
    /// Sheet material over the whole of a lifting surface, both halves.
    Sheet {
        /// Name of the surface in `surfaces`.
        #[garde(custom(within(NAME)))]
        #[schemars(length(min = 1, max = NAME.longest()))]
        surface: String,
        /// Mass of the sheet per area of the surface, all layers, kg/m2.
        #[garde(custom(within(AREAL_DENSITY)))]
        #[schemars(range(min = AREAL_DENSITY.min, max = AREAL_DENSITY.max))]
        areal_density_kg_m2: f64,
    },
}
