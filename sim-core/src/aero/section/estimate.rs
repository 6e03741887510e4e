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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::KnownSection;

    /// The spread is the table's at both ends of the Reynolds number, half way
    /// between them half way, and that of a measurement where one is known.
    #[test]
    fn spreads_are_those_of_the_table_or_of_a_measurement() {
        let kind = SectionKind::Profile;
        let mut section =
            Section { kind, thickness: 0.12, camber: 0.02, known: KnownSection::default() };
        let table = constants(kind);
        let ends = [
            (1e3, table.slope_low.spread, table.lift_max_low.spread, 0.30),
            (1e8, table.slope_high.spread, table.lift_max_high.spread, 0.15),
        ];
        for (reynolds, slope, lift, drag) in ends {
            let told = Estimate::new(&section, reynolds).uncertainty;
            assert!((told.lift_slope - slope).abs() < 1e-12);
            assert!((told.lift_coefficient_max - lift).abs() < 1e-12);
            assert!((told.drag_coefficient_min - drag).abs() < 1e-12);
        }
        // A quarter of the way by MATURITY at a Reynolds number of 10^5.5.
        let told = Estimate::new(&section, 10f64.powf(5.5)).uncertainty;
        let quarter = |[low, high]: [f64; 2]| low + 0.25 * (high - low);
        let slope = quarter([ends[0].1, ends[1].1]);
        assert!((told.lift_slope - slope).abs() < 1e-9, "{told:?}");
        assert!((told.drag_coefficient_min - quarter([0.30, 0.15])).abs() < 1e-9);
        section.known = KnownSection {
            lift_slope_per_rad: Some(6.0),
            lift_coefficient_max: Some(1.2),
            drag_coefficient_min: Some(0.01),
            ..KnownSection::default()
        };
        let told = Estimate::new(&section, 1e5).uncertainty;
        let known = (told.lift_slope, told.lift_coefficient_max, told.drag_coefficient_min);
        assert_eq!(known, KNOWN_SPREAD);
    }

    /// Blasius' friction on both sides where all is laminar, times Hoerner's form.
    #[test]
    fn a_thin_plate_at_low_speed_has_laminar_friction() {
        let kind = SectionKind::FlatSheet;
        let known = KnownSection::default();
        let drag = |thickness: f64, camber: f64, reynolds: f64| {
            let section = Section { kind, thickness, camber, known };
            Estimate::new(&section, reynolds).drag_min
        };
        let table = constants(kind);
        let share = table.laminar_low.value;
        let laminar = 1.328 / 1e4f64.sqrt();
        // Prandtl and Schlichting: 0.455 / (log10 Re)^2.58 with log10 Re = 4.
        let turbulent = (0.455 / 4f64.powf(2.58)).max(laminar);
        let friction = 2.0 * (share * laminar + (1.0 - share) * turbulent);
        assert!((drag(0.0, 0.0, 1e4) / friction - 1.0).abs() < 1e-12);
        let camber = drag(0.0, 0.05, 1e4) - drag(0.0, 0.0, 1e4);
        assert!((camber - 0.05 * table.camber_drag.value).abs() < 1e-12);
        assert_eq!(drag(0.02, 0.05, 1e4), drag(0.02, -0.05, 1e4));
    }

    /// A camber that alone gives more than the known greatest lift moves the
    /// middle down; else the two add up to it.
    #[test]
    fn a_known_greatest_lift_is_the_top_of_the_curve() {
        for (greatest, middle) in [(1.2, 0.3), (1.2, 0.0), (0.8, 1.5), (1.0, -0.2)] {
            let (middle_found, half) = known_lift(greatest, middle);
            assert!((middle_found + half - greatest).abs() < 1e-12);
            assert!(half >= HALF_LIFT_MIN && half >= HALF_LIFT_SHARE_MIN * greatest - 1e-12);
            let wanted = middle.min(0.75 * greatest);
            assert!((middle_found - wanted).abs() < 1e-12, "{greatest} {middle}");
        }
    }

    /// Suction by hand: the kind's share times r / (r + r_half), r in proportion to
    /// the thickness of a sheet and to its square for an aerofoil.
    #[test]
    fn a_blunter_nose_keeps_more_suction() {
        let of = |kind, thickness: f64| {
            let known = KnownSection::default();
            Estimate::new(&Section { kind, thickness, camber: 0.0, known }, 1e4).suction
        };
        for (kind, power) in [(SectionKind::RoundedSheet, 1), (SectionKind::Profile, 2)] {
            let table = constants(kind);
            for thickness in [0.03, 0.06, 0.12] {
                let radius = table.nose_radius.value * f64::powi(thickness, power);
                let kept = radius / (radius + HALF_SUCTION_RADIUS.value);
                let wanted = (table.suction_low.value * kept).min(SUCTION_MAX);
                let found = of(kind, thickness);
                assert!((found - wanted).abs() < 1e-12, "{kind:?} {thickness}: {found}");
            }
            assert!(of(kind, 0.12) > of(kind, 0.03));
        }
    }

    /// Profile drag of every kind by hand: Blasius and Prandtl-Schlichting by the share
    /// of laminar flow, Hoerner's form, the laminar bubble in proportion to thickness up
    /// to 0.18, edges and camber.
    #[test]
    fn least_drag_is_friction_times_form_and_edges() {
        for kind in [
            SectionKind::Profile,
            SectionKind::FlatSheet,
            SectionKind::RoundedSheet,
            SectionKind::CamberedPlate,
            SectionKind::FoldedSheet,
        ] {
            for (thickness, bubble_share) in [(0.09, 0.75), (0.18, 1.5), (0.24, 1.5)] {
                for reynolds in [1e4, 1e5, 10f64.powf(5.5), 3e6] {
                    let known = KnownSection::default();
                    let section = Section { kind, thickness, camber: -0.02, known };
                    let table = constants(kind);
                    let mature = interpolated(&MATURITY, reynolds.log10());
                    let share = (1.0 - mature) * table.laminar_low.value
                        + mature * table.laminar_high.value;
                    let laminar = 1.328 / reynolds.sqrt();
                    let turbulent = (0.455 / reynolds.log10().powf(2.58)).max(laminar);
                    let friction = 2.0 * (turbulent - share * (turbulent - laminar));
                    let form = 1.0 + 2.0 * thickness + 60.0 * thickness.powi(4);
                    let left = interpolated(&BUBBLE_LEFT, reynolds.log10());
                    let bubble = 1.0 + table.bubble_drag.value * bubble_share * left;
                    let wanted = friction * form * bubble
                        + table.edge_drag.value * thickness
                        + table.camber_drag.value * 0.02;
                    let found = Estimate::new(&section, reynolds).drag_min;
                    assert!(
                        (found / wanted - 1.0).abs() < 1e-12,
                        "{kind:?} {thickness} {reynolds}"
                    );
                }
            }
        }
    }

    /// Glauert's parabolic arc, and the greatest lift between its values at low and at
    /// high Reynolds numbers, for an aerofoil by thickness.
    #[test]
    fn lift_is_a_parabolic_arc_s_and_the_table_s() {
        for kind in [SectionKind::Profile, SectionKind::CamberedPlate] {
            for reynolds in [1e4, 10f64.powf(5.5), 1e7] {
                let known = KnownSection::default();
                let section = Section { kind, thickness: 0.09, camber: 0.04, known };
                let (found, table) = (Estimate::new(&section, reynolds), constants(kind));
                let mature = interpolated(&MATURITY, reynolds.log10());
                let mix = |low: f64, high: f64| (1.0 - mature) * low + mature * high;
                let slope = mix(table.slope_low.value, table.slope_high.value);
                assert!((found.slope_factor - slope).abs() < 1e-12);
                assert!((found.zero_lift_angle_rad + 0.08).abs() < 1e-12);
                assert!((found.moment_zero_lift + 0.04 * PI).abs() < 1e-12);
                let share = mix(table.camber_share_low.value, table.camber_share_high.value);
                assert!((found.middle_lift - share * 2.0 * PI * slope * 0.08).abs() < 1e-12);
                let by_thickness = match kind {
                    SectionKind::Profile => interpolated(&THICKNESS_LIFT, 0.09),
                    _ => 1.0,
                };
                let high = table.lift_max_high.value * by_thickness;
                assert!((found.half_lift - mix(table.lift_max_low.value, high)).abs() < 1e-12);
            }
        }
    }
}
