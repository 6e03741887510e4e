//! The aircraft as measured on the bench.
//!
//! [`Aircraft`] is what a file holds: plain data, units in the field names
//! (metres, kilograms, degrees: a file is read and written by people). It may
//! be wrong. [`SoundAircraft`] is an aircraft that got through
//! [`Aircraft::check`]; only that one reaches the physics.

mod body;
mod examples;
mod gear;
pub mod limits;
mod linkage;
pub mod outline;
mod place;
mod propulsion;
mod read;
mod section;
mod surface;
mod validate;
mod weights;

use garde::Validate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use body::{Body, BodyKind};
pub use examples::{EXAMPLES, Example};
pub use gear::{Gear, GearWheel, Launch};
pub use linkage::{ControlLinkage, ControlSetting, Linkage, Pushrod, RodMaterial, Servo, Supports};
pub use place::Place;
pub use propulsion::{
    BladeStyle, Controller, Drive, Motor, Mounting, Pack, Propeller, Propulsion, Rotation,
};
pub use read::{ReadError, read_aircraft, read_json, schema};
pub use section::{KnownSection, Section, SectionKind};
pub use surface::{ControlRole, ControlSurface, Panel, Surface, SurfaceRole};
pub use validate::{Finding, SoundAircraft, coincide};
pub use weights::{KnownMass, MassStatement, Part, Spread};

/// The version of the file format that this code writes.
pub const FORMAT_VERSION: u32 = 1;

/// A whole aircraft as measured.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Aircraft {
    /// Version of the file format, at present 1.
    #[garde(custom(limits::within(limits::VERSION)))]
    #[schemars(range(min = 1, max = FORMAT_VERSION))]
    pub format_version: u32,
    /// The builder's name for the aircraft.
    #[garde(custom(limits::within(limits::NAME)))]
    #[schemars(length(min = 1, max = limits::NAME.longest()))]
    pub name: String,
    /// Anything worth noting: where the datum is, sources.
    #[serde(default)]
    #[garde(custom(limits::within(limits::NOTES)))]
    #[schemars(length(max = limits::NOTES.longest()))]
    pub notes: String,
    /// Lifting surfaces; at least one of them is a wing.
    #[garde(custom(limits::within(limits::SURFACES)), dive)]
    #[schemars(length(min = 1, max = limits::SURFACES.longest()))]
    pub surfaces: Vec<Surface>,
    /// Bodies that give drag and side force.
    #[serde(default)]
    #[garde(custom(limits::within(limits::BODIES)), dive)]
    #[schemars(length(max = limits::BODIES.longest()))]
    pub bodies: Vec<Body>,
    /// Propellers with their drives; none is a glider.
    #[serde(default)]
    #[garde(custom(limits::within(limits::UNITS)), dive)]
    #[schemars(length(max = limits::UNITS.longest()))]
    pub propulsion: Vec<Propulsion>,
    /// Weights, or mass and inertia given outright.
    #[garde(dive)]
    pub mass: MassStatement,
    /// Reference sizes given outright, as for a published case; otherwise
    /// they are taken from the wing.
    #[serde(default)]
    #[garde(dive)]
    pub reference: Option<Reference>,
    /// Wheels; left out, those among the bodies are taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[garde(dive)]
    pub gear: Option<Gear>,
    /// How it is launched; left out, from the ground where it has wheels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[garde(skip)]
    pub launch: Option<Launch>,
}

/// Reference sizes for coefficients.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Reference {
    /// Reference area, m2.
    #[garde(custom(limits::within(limits::AREA)))]
    #[schemars(range(min = limits::AREA.min, max = limits::AREA.max))]
    pub area_m2: f64,
    /// Reference span, m.
    #[garde(custom(limits::within(limits::PANEL_SPAN)))]
    #[schemars(range(min = limits::PANEL_SPAN.min, max = limits::PANEL_SPAN.max))]
    pub span_m: f64,
    /// Reference chord, m.
    #[garde(custom(limits::within(limits::CHORD)))]
    #[schemars(range(min = limits::CHORD.min, max = limits::CHORD.max))]
    pub chord_m: f64,
}
