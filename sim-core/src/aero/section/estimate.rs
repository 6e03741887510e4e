//! The numbers of one section at one Reynolds number, before any angle.
//!
//! Interpolates the table between its low and high values, adds the flat-plate
//! friction and form of profile drag, takes zero-lift angle and moment from the
//! thin-aerofoil theory of a parabolic arc (Glauert 1926: alpha_0 = -2 f/c,
//! cm(c/4) = -pi f/c), and lets known coefficients replace its own.

use std::f64::consts::PI;

use super::SectionUncertainty;
use super::table::{
    BUBBLE_LEFT, Constant, HALF_SUCTION_RADIUS, KindConstants, MATURITY, THICKNESS_LIFT, constants,
    interpolated,
};
use crate::aircraft::{Section, SectionKind};

/// Reynolds numbers the estimates are made for.
const REYNOLDS: (f64, f64) = (1e3, 1e8);
/// Most of the suction that viscosity ever leaves; estimate, 0.95 to 1.
const SUCTION_MAX: f64 = 0.98;
/// Least half width of the attached range as a share of the greatest lift.
const HALF_LIFT_SHARE_MIN: f64 = 0.25;
/// Least half width in lift coefficient; keeps every curve well shaped.
const HALF_LIFT_MIN: f64 = 0.05;
/// Least drag coefficient, so that drag stays positive for any known value.
const DRAG_MIN: f64 = 1e-4;
/// Relative standard deviations where the number was given: lift slope,
/// greatest lift, least drag. Estimate: what a model wind tunnel repeats.
const KNOWN_SPREAD: (f64, f64, f64) = (0.03, 0.05, 0.10);

/// What [`super::SectionModel`] is built from.
pub(super) struct Estimate {
    pub slope_factor: f64,
    pub zero_lift_angle_rad: f64,
    pub moment_zero_lift: f64,
    /// Lift coefficient in the middle of the attached range.
    pub middle_lift: f64,
    /// From there to the greatest lift coefficient.
    pub half_lift: f64,
    pub linear_share: f64,
    pub stall_width_rad: f64,
    pub drag_min: f64,
    pub suction: f64,
    pub normal_force_max: f64,
    pub uncertainty: SectionUncertainty,
}

impl Estimate {
    pub fn new(section: &Section, reynolds: f64) -> Self {
        let kind = constants(section.kind);
        let known = &section.known;
        let (least, greatest) = REYNOLDS;
        let reynolds = if reynolds.is_nan() { least } else { reynolds.clamp(least, greatest) };
        let mature = interpolated(&MATURITY, reynolds.log10());
        let between = |low: Constant, high: Constant| low.value + mature * (high.value - low.value);
        let slope_factor = match known.lift_slope_per_rad {
            Some(slope) => slope / (2.0 * PI),
            None => between(kind.slope_low, kind.slope_high),
        };
        let zero_lift_angle_rad = match known.zero_lift_angle_deg {
            Some(angle_deg) => angle_deg.to_radians(),
            None => -2.0 * section.camber,
        };
        let camber_share = between(kind.camber_share_low, kind.camber_share_high);
        let middle_lift = -camber_share * 2.0 * PI * slope_factor * zero_lift_angle_rad;
        let (middle_lift, half_lift) = match known.lift_coefficient_max {
            Some(greatest) => known_lift(greatest, middle_lift),
            None => (middle_lift, half_lift(section, kind, mature)),
        };
        Self {
            slope_factor,
            zero_lift_angle_rad,
            moment_zero_lift: known.moment_coefficient.unwrap_or(-PI * section.camber),
            middle_lift,
            half_lift,
            linear_share: kind.linear_share.value,
            stall_width_rad: kind.stall_width_rad.value,
            drag_min: known
                .drag_coefficient_min
                .unwrap_or_else(|| drag_min(section, kind, reynolds, mature))
                .max(DRAG_MIN),
            suction: suction(section, kind, between(kind.suction_low, kind.suction_high)),
            normal_force_max: kind.normal_force_max.value,
            uncertainty: uncertainty(section, kind, mature),
        }
    }
}

/// Middle and half width in lift for a known greatest lift. If camber alone
/// already gave more, the middle comes down.
fn known_lift(greatest: f64, middle_lift: f64) -> (f64, f64) {
    let half = (greatest - middle_lift).max(HALF_LIFT_SHARE_MIN * greatest).max(HALF_LIFT_MIN);
    (greatest - half, half)
}

/// Greatest lift coefficient that the section would have without camber.
fn half_lift(section: &Section, kind: &KindConstants, mature: f64) -> f64 {
    let high = match section.kind {
        SectionKind::Profile => {
            kind.lift_max_high.value * interpolated(&THICKNESS_LIFT, section.thickness)
        }
        _ => kind.lift_max_high.value,
    };
    kind.lift_max_low.value + mature * (high - kind.lift_max_low.value)
}

/// Least profile drag: friction on both sides times form, laminar-separation
/// drag of smooth noses, edges and steps, camber.
fn drag_min(section: &Section, kind: &KindConstants, reynolds: f64, mature: f64) -> f64 {
    let thickness = section.thickness;
    // Blasius 1908 and Prandtl & Schlichting 1932, one side of a plate.
    let laminar = 1.328 / reynolds.sqrt();
    let turbulent = (0.455 / reynolds.log10().powf(2.58)).max(laminar);
    let laminar_share =
        kind.laminar_low.value + mature * (kind.laminar_high.value - kind.laminar_low.value);
    let friction = 2.0 * (laminar_share * laminar + (1.0 - laminar_share) * turbulent);
    // Hoerner, Fluid-Dynamic Drag (1965), ch. 6, from memory.
    let form = 1.0 + 2.0 * thickness + 60.0 * thickness.powi(4);
    let bubble = kind.bubble_drag.value
        * (thickness / 0.12).min(1.5)
        * interpolated(&BUBBLE_LEFT, reynolds.log10());
    friction * form * (1.0 + bubble)
        + kind.edge_drag.value * thickness
        + kind.camber_drag.value * section.camber.abs()
}

/// Share of the ideal leading-edge suction that a nose of this radius keeps:
/// the kind's share times r / (r + r_half), an estimate that falls to nothing
/// for a knife edge and saturates for a blunt nose.
fn suction(section: &Section, kind: &KindConstants, ample: f64) -> f64 {
    let thickness = section.thickness.max(0.0);
    let radius = kind.nose_radius.value
        * match section.kind {
            SectionKind::Profile => thickness * thickness,
            _ => thickness,
        };
    (ample * radius / (radius + HALF_SUCTION_RADIUS.value)).min(SUCTION_MAX)
}

fn uncertainty(section: &Section, kind: &KindConstants, mature: f64) -> SectionUncertainty {
    let between = |low: Constant, high: Constant| low.spread + mature * (high.spread - low.spread);
    let known = &section.known;
    SectionUncertainty {
        lift_slope: match known.lift_slope_per_rad {
            Some(_) => KNOWN_SPREAD.0,
            None => between(kind.slope_low, kind.slope_high),
        },
        lift_coefficient_max: match known.lift_coefficient_max {
            Some(_) => KNOWN_SPREAD.1,
            None => between(kind.lift_max_low, kind.lift_max_high),
        },
        drag_coefficient_min: match known.drag_coefficient_min {
            Some(_) => KNOWN_SPREAD.2,
            // Friction is known to 15 %, its laminar share hardly; edges worse.
            None => 0.15 + 0.15 * (1.0 - mature),
        },
    }
}
