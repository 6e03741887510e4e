//! Sections as models are built: from kind, thickness and camber to lift, drag
//! and moment at any angle of attack.
//!
//! Method: a linear range of thin-aerofoil theory with an empirical slope, a
//! rounded top, and a smooth passage to the wholly separated flow of a flat
//! plate ([`curve`]); profile drag from flat-plate friction, form and edges
//! ([`estimate`]); all empirical numbers in one table ([`table`]).
//! Range: Reynolds number 1e3 to 1e8 (limited to it), any angle. Two-dimensional:
//! the drag holds everything a section has by itself, lost leading-edge suction
//! included, but nothing that a trailing vortex induces.
//! References: Hoerner & Borst (1975), Pelletier & Mueller (2000), Lindenburg
//! (2003), Abbott & von Doenhoff (1959); see the table for each number.

mod curve;
mod estimate;
pub mod table;

use std::f64::consts::PI;

use crate::aircraft::Section;

/// Two-dimensional coefficients of a section.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SectionCoefficients {
    /// Lift coefficient, square to the local flow.
    pub cl: f64,
    /// Drag coefficient along the local flow, positive: friction, edges, lost
    /// leading-edge suction and separation. Where a lattice takes the
    /// Kutta-Joukowski force whole (which holds full suction), this is all that
    /// it has to add.
    pub cd: f64,
    /// The part of `cd` that is lost leading-edge suction in attached flow; to
    /// be taken off `cd` where the suction is limited elsewhere.
    pub cd_lost_suction: f64,
    /// Moment coefficient about the quarter chord, nose up positive. Holds the
    /// camber and separation, not the moment of an attached flap, which depends
    /// on its chord ([`crate::aero::hinge::moment_per_deflection`]).
    pub cm_quarter_chord: f64,
    /// d cl / d alpha, per rad.
    pub cl_alpha: f64,
    /// 1 up to the greatest lift, 0 where wholly separated.
    pub attached: f64,
}

/// Relative standard deviations of a section's main numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionUncertainty {
    /// Of the lift slope.
    pub lift_slope: f64,
    /// Of the greatest lift coefficient.
    pub lift_coefficient_max: f64,
    /// Of the least drag coefficient.
    pub drag_coefficient_min: f64,
}

/// A section at one Reynolds number, ready to be asked for any angle.
///
/// Angles inside are counted from the middle of the attached range, where the
/// nose is unloaded; lift is counted from the zero-lift angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionModel {
    /// d cl / d alpha, per rad.
    lift_slope: f64,
    zero_lift_angle_rad: f64,
    moment_zero_lift: f64,
    /// Middle of the attached range without flap, rad.
    middle_rad: f64,
    /// Half widths, rad: of the linear range, and up to the greatest lift.
    linear_rad: f64,
    peak_rad: f64,
    /// 1 / width of the passage from greatest lift to separated flow, 1/rad.
    stall_rate: f64,
    drag_min: f64,
    /// Drag growth per angle squared from the middle: viscous, lost suction.
    drag_viscous: f64,
    drag_suction: f64,
    suction: f64,
    /// Part of the lost suction that acts as vortex lift.
    vortex_part: f64,
    /// Vortex lift of the side edges over the front edge's.
    side_edges: f64,
    /// q in CN = s / (p + q s).
    normal_force_fall: f64,
    uncertainty: SectionUncertainty,
}

impl SectionModel {
    /// The model of `section` at `reynolds` (on its chord; limited to 1e3 to
    /// 1e8, no number counts as 1e3). Known coefficients replace the estimates.
    pub fn new(section: &Section, reynolds: f64) -> Self {
        let estimate = estimate::Estimate::new(section, reynolds);
        let lift_slope = 2.0 * PI * estimate.slope_factor;
        let zero_lift_angle_rad = estimate.zero_lift_angle_rad;
        let middle_lift = estimate.middle_lift;
        let half_lift = estimate.half_lift;
        let linear_rad = estimate.linear_share * half_lift / lift_slope;
        // A parabola from full slope to none over this width ends at half_lift.
        let rounding_rad = 2.0 * (1.0 - estimate.linear_share) * half_lift / lift_slope;
        Self {
            lift_slope,
            zero_lift_angle_rad,
            moment_zero_lift: estimate.moment_zero_lift,
            middle_rad: zero_lift_angle_rad + middle_lift / lift_slope,
            linear_rad,
            peak_rad: linear_rad + rounding_rad,
            stall_rate: 1.0 / estimate.stall_width_rad,
            drag_min: estimate.drag_min,
            drag_viscous: table::VISCOUS_RISE.value * estimate.drag_min / linear_rad.powi(2),
            drag_suction: (1.0 - estimate.suction) * lift_slope,
            suction: estimate.suction,
            vortex_part: 0.0,
            side_edges: 0.0,
            normal_force_fall: 1.0 / estimate.normal_force_max - table::SEPARATED_SLOPE.value,
            uncertainty: estimate.uncertainty,
        }
    }

    /// The same section on a wing of `aspect_ratio`: less normal force in
    /// separated flow, since air escapes round the tips (Viterna & Corrigan
    /// 1981, from memory). Attached flow is left as it is: there the lattice
    /// knows the span. Ratios outside 1 to 50 are limited.
    pub fn on_wing(self, aspect_ratio: f64) -> Self {
        let (base, growth) = table::FINITE_NORMAL_FORCE;
        let finite = base.value + growth.value * limited_ratio(aspect_ratio);
        let fall = 1.0 / finite - table::SEPARATED_SLOPE.value;
        Self { normal_force_fall: fall.max(self.normal_force_fall), ..self }
    }

    /// The same section on a short wing: where `aspect_ratio` times the cosine
    /// of the sweep is below 3, vortices over ends and edges hold the flow to
    /// higher angles ([`table::LOW_ASPECT_GROWTH`]), and lost suction becomes
    /// lift ([`Self::vortex_share`]). `bluntness` is the chord of the tip over
    /// the mean one. On longer wings nothing changes. Ratios outside 1 to 50 are
    /// limited.
    pub fn with_edge_vortices(self, aspect_ratio: f64, cos_sweep: f64, bluntness: f64) -> Self {
        let ratio = limited_ratio(aspect_ratio);
        let (full, none) = table::LOW_ASPECT_RATIOS;
        let t = ((none - ratio * cos_sweep) / (none - full)).clamp(0.0, 1.0);
        let by_ends = t * t * (3.0 - 2.0 * t);
        let longer = 1.0 + table::LOW_ASPECT_GROWTH.value * by_ends;
        Self {
            linear_rad: self.linear_rad * longer,
            peak_rad: self.peak_rad * longer,
            stall_rate: self.stall_rate / longer,
            vortex_part: by_ends,
            side_edges: table::SIDE_EDGES.value * bluntness / ratio,
            ..self
        }
    }

    /// Share of the ideal leading-edge suction that acts at right angles to the
    /// section instead: what is lost, as far as the wing is short enough. 0 on
    /// straight wings of aspect ratio 3 and more.
    pub fn vortex_share(&self) -> f64 {
        self.vortex_part * (1.0 - self.suction)
    }

    /// Part of the lost suction that acts so, 0 to 1.
    pub fn vortex_part(&self) -> f64 {
        self.vortex_part
    }

    /// Lift of the vortices over the wing's side edges over that of its front
    /// edge's.
    pub fn side_edges(&self) -> f64 {
        self.side_edges
    }

    /// Lift slope over 2 pi.
    pub fn lift_slope_factor(&self) -> f64 {
        self.lift_slope / (2.0 * PI)
    }

    /// Angle of attack without lift, flap at rest, rad.
    pub fn zero_lift_angle_rad(&self) -> f64 {
        self.zero_lift_angle_rad
    }

    /// Moment coefficient about the quarter chord in attached flow.
    pub fn moment_coefficient_zero_lift(&self) -> f64 {
        self.moment_zero_lift
    }

    /// Lowest and highest angle of attack between which lift is exactly
    /// 2 pi * [`Self::lift_slope_factor`] * (alpha - alpha_0 + flap), rad.
    pub fn linear_window_rad(&self, flap_shift_rad: f64) -> (f64, f64) {
        let middle = self.middle_rad - curve::middle_shift_rad(flap_shift_rad);
        (middle - self.linear_rad, middle + self.linear_rad)
    }

    /// Largest |alpha - alpha_0| within which lift is exactly linear without
    /// flap, rad; 0 if camber moves the whole window to one side. The two-sided
    /// [`Self::linear_window_rad`] is wider.
    pub fn linear_range_rad(&self) -> f64 {
        (self.linear_rad - (self.middle_rad - self.zero_lift_angle_rad).abs()).max(0.0)
    }

    /// Greatest and least lift coefficient of the attached flow, flap at rest.
    pub fn lift_coefficient_limits(&self) -> (f64, f64) {
        let middle = self.lift_slope * (self.middle_rad - self.zero_lift_angle_rad);
        let half = 0.5 * self.lift_slope * (self.linear_rad + self.peak_rad);
        (middle - half, middle + half)
    }

    /// Least drag coefficient, flap at rest.
    pub fn drag_coefficient_min(&self) -> f64 {
        self.drag_min
    }

    /// How much of the ideal leading-edge suction survives, 0 to 1. Already in
    /// [`SectionCoefficients::cd`].
    pub fn leading_edge_suction(&self) -> f64 {
        self.suction
    }

    /// Relative standard deviations of the main numbers.
    pub fn uncertainty(&self) -> SectionUncertainty {
        self.uncertainty
    }
}

fn limited_ratio(aspect_ratio: f64) -> f64 {
    if aspect_ratio.is_nan() { 1.0 } else { aspect_ratio.clamp(1.0, 50.0) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::{KnownSection, SectionKind};

    fn profile() -> SectionModel {
        let section = Section {
            kind: SectionKind::Profile,
            thickness: 0.12,
            camber: 0.03,
            known: KnownSection::default(),
        };
        SectionModel::new(&section, 2e5)
    }

    fn attached(model: &SectionModel, alpha: f64, flap: f64) -> SectionCoefficients {
        model.attached(alpha, alpha - model.middle_rad + curve::middle_shift_rad(flap), flap)
    }

    /// What the limits are called is what a sweep of the angle finds.
    #[test]
    fn greatest_and_least_lift_are_those_of_the_curve() {
        let model = profile();
        let (greatest, least) = (-8000..8000)
            .map(|step| attached(&model, f64::from(step) * 1e-4, 0.0).cl)
            .fold((f64::MIN, f64::MAX), |(most, least), cl| (most.max(cl), least.min(cl)));
        let (low, high) = model.lift_coefficient_limits();
        assert!((high - greatest).abs() < 1e-6, "{high} {greatest}");
        assert!((low - least).abs() < 1e-6, "{low} {least}");
    }

    /// Drag of attached flow is a minimum and a square: its change is the
    /// difference of two drags, and changes its sign with the order.
    #[test]
    fn a_change_of_attached_drag_is_the_difference_of_two() {
        let model = profile();
        for flap in [-0.2, 0.0, 0.15] {
            for (one, other) in [(0.1, 0.02), (-0.08, 0.05), (0.03, 0.03)] {
                let drag = |alpha: f64| attached(&model, alpha, flap).cd;
                let change = model.attached_drag_change(one, other, flap);
                assert!((change - (drag(one) - drag(other))).abs() < 1e-12, "{flap} {one} {other}");
            }
        }
    }

    /// Lift is linear between the window's ends and no longer beyond them, and
    /// the one-sided range is the nearer of the two from the angle of no lift.
    #[test]
    fn the_linear_window_ends_where_lift_bends() {
        let model = profile();
        for flap in [-0.2, 0.0, 0.15] {
            let (low, high) = model.linear_window_rad(flap);
            let short = |alpha: f64| {
                let straight = alpha - model.zero_lift_angle_rad() + flap;
                let lift = model.coefficients(alpha, flap).cl;
                lift - 2.0 * PI * model.lift_slope_factor() * straight
            };
            assert!(short(low).abs() < 1e-12 && short(high).abs() < 1e-12);
            assert!(short(low - 0.01) > 1e-5 && short(high + 0.01) < -1e-5);
            assert!(model.is_linear((low, high), flap));
            assert!(!model.is_linear((low - 1e-6, high), flap));
            assert!(!model.is_linear((low, high + 1e-6), flap));
        }
        let (low, high) = model.linear_window_rad(0.0);
        let nearer = (model.zero_lift_angle_rad() - low).min(high - model.zero_lift_angle_rad());
        assert!((model.linear_range_rad() - nearer).abs() < 1e-12);
        assert!(!model.is_linear((0.0, 0.0), 1.01) && !model.is_linear((0.0, 0.0), -1.01));
    }

    /// What is called the steepest loss is the steepest that a sweep from the
    /// greatest lift to separated flow finds, on either side; sampled at four
    /// places it falls up to a tenth short (flat sheets, which let go gently).
    #[test]
    fn the_steepest_loss_is_that_of_the_curve() {
        for kind in [SectionKind::Profile, SectionKind::FlatSheet, SectionKind::CamberedPlate] {
            for camber in [0.0, 0.04] {
                let known = KnownSection::default();
                let model =
                    SectionModel::new(&Section { kind, thickness: 0.1, camber, known }, 2e5);
                let lift = |alpha: f64| model.coefficients(alpha, 0.0).cl;
                let (mut most, step): (f64, f64) = (1.0, 1e-4);
                for k in 0..1000 {
                    let beyond = 1e-3 * f64::from(k) / model.stall_rate;
                    for side in [1.0, -1.0] {
                        let alpha = model.middle_rad + side * (model.peak_rad + beyond);
                        let slope = (lift(alpha + step) - lift(alpha - step)) / (2.0 * step);
                        most = most.max(1.0 - slope / (2.0 * PI * model.lift_slope_factor()));
                    }
                }
                let loss = model.steepest_loss();
                assert!(loss <= most + 1e-6 && loss > 0.88 * most, "{kind:?} {loss} {most}");
            }
        }
    }
}
