//! Lifting surfaces: wing, tail, fins, and the control surfaces hinged to them.

use garde::Validate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::limits::{
    CHORD, CONTROLS, DIHEDRAL, HINGE_FRACTION, INCIDENCE, NAME, PANEL_SPAN, PANELS, SPAN_FRACTION,
    SWEEP, THROW, within,
};
use super::linkage::{ControlLinkage, ControlSetting};
use super::place::Place;
use super::section::Section;

/// What a surface is for. The aerodynamics treat all alike; the name decides
/// reference sizes and how results are worded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SurfaceRole {
    /// Main wing; the reference area, span and chord are taken from it.
    Wing,
    /// Horizontal tail behind the wing, or foreplane before it.
    Tailplane,
    /// Vertical tail; not mirrored on the centreline, mirrored for twin fins.
    Fin,
    /// V-tail, always mirrored.
    VTail,
}

/// A lifting surface built from one or more flat panels, root outwards.
///
/// A mirrored surface is described by its right half; a surface that is not
/// mirrored must stand in the plane of symmetry (a single fin).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Surface {
    /// The builder's name for the surface.
    #[garde(custom(within(NAME)))]
    #[schemars(length(min = 1, max = NAME.longest()))]
    pub name: String,
    /// What the surface is for.
    #[garde(skip)]
    pub role: SurfaceRole,
    /// Leading edge of the root.
    #[garde(dive)]
    pub root: Place,
    /// Whether the surface has a mirror image on the left.
    #[serde(default = "yes")]
    #[garde(skip)]
    pub mirrored: bool,
    /// The panels from the root outwards, each joined to the one before.
    #[garde(custom(within(PANELS)), dive)]
    #[schemars(length(min = 1, max = PANELS.longest()))]
    pub panels: Vec<Panel>,
    /// Control surfaces hinged to this surface.
    #[serde(default)]
    #[garde(custom(within(CONTROLS)), dive)]
    #[schemars(length(max = CONTROLS.longest()))]
    pub controls: Vec<ControlSurface>,
}

fn yes() -> bool {
    true
}

/// A flat trapezoid between an inner and an outer chord.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct Panel {
    /// Length from inner to outer end, measured along the panel, m.
    #[garde(custom(within(PANEL_SPAN)))]
    #[schemars(range(min = PANEL_SPAN.min, max = PANEL_SPAN.max))]
    pub span_m: f64,
    /// Chord at the inner end, m.
    #[garde(custom(within(CHORD)))]
    #[schemars(range(min = CHORD.min, max = CHORD.max))]
    pub root_chord_m: f64,
    /// Chord at the outer end, m.
    #[garde(custom(within(CHORD)))]
    #[schemars(range(min = CHORD.min, max = CHORD.max))]
    pub tip_chord_m: f64,
    /// Sweep of the line at `sweep_line` of the chord, deg, positive aft.
    #[serde(default)]
    #[garde(custom(within(SWEEP)))]
    #[schemars(range(min = SWEEP.min, max = SWEEP.max))]
    pub sweep_deg: f64,
    /// The line whose sweep is given: 0 leading edge, 0.25 quarter chord.
    #[serde(default)]
    #[garde(custom(within(SPAN_FRACTION)))]
    #[schemars(range(min = SPAN_FRACTION.min, max = SPAN_FRACTION.max))]
    pub sweep_line: f64,
    /// Rise of the panel towards its outer end, deg; 90 stands upright.
    #[serde(default)]
    #[garde(custom(within(DIHEDRAL)))]
    #[schemars(range(min = DIHEDRAL.min, max = DIHEDRAL.max))]
    pub dihedral_deg: f64,
    /// Angle of the inner chord to the datum line, deg, nose up. For an
    /// upright fin: nose to the left.
    #[serde(default)]
    #[garde(custom(within(INCIDENCE)))]
    #[schemars(range(min = INCIDENCE.min, max = INCIDENCE.max))]
    pub incidence_deg: f64,
    /// Outer chord's angle less the inner chord's, deg; washout is negative.
    #[serde(default)]
    #[garde(custom(within(INCIDENCE)))]
    #[schemars(range(min = INCIDENCE.min, max = INCIDENCE.max))]
    pub twist_deg: f64,
    /// Section of the whole panel.
    #[serde(default)]
    #[garde(dive)]
    pub section: Section,
}

/// What a control surface does, and so which stick moves it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ControlRole {
    /// Both halves together, for pitch.
    Elevator,
    /// Fin surface, for yaw.
    Rudder,
    /// Halves opposed, for roll.
    Aileron,
    /// Elevator and aileron mixed on one surface.
    Elevon,
    /// Elevator and rudder mixed on a V-tail.
    Ruddervator,
    /// Both halves together, for lift and drag.
    Flap,
    /// Flap and aileron mixed on one surface.
    Flaperon,
}

/// A hinged part at the trailing edge of a surface, or the whole of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema, Validate)]
#[serde(deny_unknown_fields)]
pub struct ControlSurface {
    /// The builder's name for the control surface.
    #[garde(custom(within(NAME)))]
    #[schemars(length(min = 1, max = NAME.longest()))]
    pub name: String,
    /// What the control surface does.
    #[garde(skip)]
    pub role: ControlRole,
    /// Inner end: 0 at the surface's root, 1 at its tip, along the panels.
    #[serde(default)]
    #[garde(custom(within(SPAN_FRACTION)))]
    #[schemars(range(min = SPAN_FRACTION.min, max = SPAN_FRACTION.max))]
    pub from_span: f64,
    /// Outer end: 0 at the surface's root, 1 at its tip, along the panels.
    #[serde(default = "whole")]
    #[garde(custom(within(SPAN_FRACTION)))]
    #[schemars(range(min = SPAN_FRACTION.min, max = SPAN_FRACTION.max))]
    pub to_span: f64,
    /// Chord of the control surface over the local chord at its inner end;
    /// 1 is an all-moving surface, hinged at its quarter chord.
    #[garde(custom(within(HINGE_FRACTION)))]
    #[schemars(range(min = HINGE_FRACTION.min, max = HINGE_FRACTION.max))]
    pub inner_chord: f64,
    /// Chord of the control surface over the local chord at its outer end.
    #[garde(custom(within(HINGE_FRACTION)))]
    #[schemars(range(min = HINGE_FRACTION.min, max = HINGE_FRACTION.max))]
    pub outer_chord: f64,
    /// Greatest deflection that the hinge allows to either side, deg.
    #[serde(default = "default_throw")]
    #[garde(custom(within(THROW)))]
    #[schemars(range(min = THROW.min, max = THROW.max))]
    pub throw_max_deg: f64,
    /// Whether the hinge gap is closed (tape or foam hinge).
    #[serde(default = "yes")]
    #[garde(skip)]
    pub gap_sealed: bool,
    /// What is set in the radio now.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[garde(dive)]
    pub setting: Option<ControlSetting>,
    /// Servo, arm, pushrod and horn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[garde(dive)]
    pub linkage: Option<ControlLinkage>,
}

impl Surface {
    /// The wider end of the trailing edge that no control takes, from and to as shares
    /// of the span; the whole of it where both ends are taken.
    pub fn free_edge(&self) -> (f64, f64) {
        let first = self.controls.iter().map(|own| own.from_span).fold(1.0, f64::min);
        let last = self.controls.iter().map(|own| own.to_span).fold(0.0, f64::max);
        if first <= 0.0 && last >= 1.0 {
            (0.0, 1.0)
        } else if first > 1.0 - last {
            (0.0, first)
        } else {
            (last, 1.0)
        }
    }
}

fn whole() -> f64 {
    1.0
}

fn default_throw() -> f64 {
    30.0
}
