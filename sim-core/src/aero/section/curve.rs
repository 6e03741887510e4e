//! The curve of one section over all angles.
//!
//! Angles xi count from the middle of the attached range. Up to `linear_rad`
//! lift is linear to the last bit; a parabola rounds it to the greatest lift at
//! `peak_rad`; from there a cubic weight passes to the separated flow: a force
//! nearly square to the plate with Lindenburg's normal force (ECN-C-03-025,
//! 2003) at the centre of pressure of Rayleigh's plate with free streamlines
//! (1876): 3/4 cos a / (4 + pi sin a) of a chord ahead of the middle, that is
//! 0.31 chord from the leading edge at small angles, 0.5 square to the flow,
//! 0.69 in reversed flow. Everything has a continuous slope, at +-180 deg too.
//! Reversed flow is taken as separated throughout: a sharp edge leads.

use std::f64::consts::PI;

use super::table::{FLAP_DRAG, FLAP_LIFT_SHARE, FLAP_SEPARATED_SHARE, SEPARATED_SLOPE};
use super::{SectionCoefficients, SectionModel};

/// Largest zero-lift shift a flap may have, rad; more is taken as this.
const FLAP_SHIFT_MAX_RAD: f64 = 1.0;

/// By how much a flap moves the attached range towards lower angles, rad.
pub(super) fn middle_shift_rad(flap_shift_rad: f64) -> f64 {
    (1.0 - FLAP_LIFT_SHARE.value) * limited_flap(flap_shift_rad)
}

fn limited_flap(flap_shift_rad: f64) -> f64 {
    if flap_shift_rad.is_finite() {
        flap_shift_rad.clamp(-FLAP_SHIFT_MAX_RAD, FLAP_SHIFT_MAX_RAD)
    } else {
        0.0
    }
}

/// The same direction between -pi and pi; 0 for what is no number.
fn wrapped(angle_rad: f64) -> f64 {
    if angle_rad.abs() <= PI {
        angle_rad
    } else if angle_rad.is_finite() {
        angle_rad - 2.0 * PI * (angle_rad / (2.0 * PI)).round()
    } else {
        0.0
    }
}

impl SectionModel {
    /// Coefficients at `alpha_rad`, any angle. `flap_shift_rad` is by how much a
    /// deflected flap lowers the zero-lift angle (positive gives lift; limited
    /// to 1 rad either way): it moves the attached range by 1 less
    /// [`FLAP_LIFT_SHARE`] of itself, so greatest lift rises by the rest.
    pub fn coefficients(&self, alpha_rad: f64, flap_shift_rad: f64) -> SectionCoefficients {
        let alpha = wrapped(alpha_rad);
        let flap = limited_flap(flap_shift_rad);
        let xi = alpha - self.middle_rad + middle_shift_rad(flap);
        let attached = self.attached(alpha, xi, flap);
        let beyond = (xi.abs() - self.peak_rad) * self.stall_rate;
        if beyond <= 0.0 {
            return attached;
        }
        let separated = self.separated(alpha, flap);
        if beyond >= 1.0 {
            return separated;
        }
        let weight = beyond * beyond * (3.0 - 2.0 * beyond);
        let weight_slope = 6.0 * beyond * (1.0 - beyond) * self.stall_rate * xi.signum();
        let mix = |a: f64, s: f64| a + weight * (s - a);
        SectionCoefficients {
            cl: mix(attached.cl, separated.cl),
            cd: mix(attached.cd, separated.cd),
            cd_lost_suction: mix(attached.cd_lost_suction, 0.0),
            cm_quarter_chord: mix(attached.cm_quarter_chord, separated.cm_quarter_chord),
            cl_alpha: mix(attached.cl_alpha, separated.cl_alpha)
                + weight_slope * (separated.cl - attached.cl),
            attached: 1.0 - weight,
        }
    }

    /// Whether lift is exactly linear at all angles of attack between the two of
    /// `reach_rad`.
    pub fn is_linear(&self, reach_rad: (f64, f64), flap_shift_rad: f64) -> bool {
        let (least, greatest) = self.linear_window_rad(flap_shift_rad);
        // A flap beyond its limit does not shift lift by all that it is turned.
        flap_shift_rad.abs() <= FLAP_SHIFT_MAX_RAD
            && least <= reach_rad.0
            && reach_rad.1 <= greatest
    }

    /// [`SectionModel::coefficients`] where lift is linear.
    pub fn linear_coefficients(&self, alpha_rad: f64, flap_shift_rad: f64) -> SectionCoefficients {
        let xi = alpha_rad - self.middle_rad + middle_shift_rad(flap_shift_rad);
        self.on_line(alpha_rad, xi, flap_shift_rad)
    }

    /// By how much the drag of attached flow is more at `alpha_rad` than at
    /// `other_rad`, flap the same.
    pub fn attached_drag_change(&self, alpha_rad: f64, other_rad: f64, flap_shift_rad: f64) -> f64 {
        let middle = self.middle_rad - middle_shift_rad(flap_shift_rad);
        let (xi, other) = (alpha_rad - middle, other_rad - middle);
        (self.drag_viscous + self.drag_suction) * (xi * xi - other * other)
    }

    /// How steeply the missing lift grows with the angle past the stall, flap at
    /// rest: 1 less d cl / d alpha over the slope of attached flow, where it is
    /// greatest. At least 1; above 1 lift falls.
    pub fn steepest_loss(&self) -> f64 {
        const SAMPLES: [f64; 4] = [0.35, 0.5, 0.65, 0.8];
        let mut steepest: f64 = 1.0;
        for beyond in SAMPLES {
            let xi = self.peak_rad + beyond / self.stall_rate;
            for side in [xi, -xi] {
                let slope = self.coefficients(self.middle_rad + side, 0.0).cl_alpha;
                steepest = steepest.max(1.0 - slope / self.lift_slope);
            }
        }
        steepest
    }

    pub(super) fn attached(&self, alpha: f64, xi: f64, flap: f64) -> SectionCoefficients {
        let over = xi.abs() - self.linear_rad;
        let width = self.peak_rad - self.linear_rad;
        // Lift short of the straight line: none, a parabola, then all growth.
        let (short, slope_left) = if over <= 0.0 {
            (0.0, 1.0)
        } else if over < width {
            (0.5 * over * over / width, 1.0 - over / width)
        } else {
            (over - 0.5 * width, 0.0)
        };
        let line = self.on_line(alpha, xi, flap);
        SectionCoefficients {
            cl: line.cl - self.lift_slope * short.copysign(xi),
            cl_alpha: self.lift_slope * slope_left,
            ..line
        }
    }

    /// Attached flow whose lift goes on along the straight line.
    fn on_line(&self, alpha: f64, xi: f64, flap: f64) -> SectionCoefficients {
        let squared = xi * xi;
        let lost_suction = self.drag_suction * squared;
        SectionCoefficients {
            cl: self.lift_slope * (alpha - self.zero_lift_angle_rad + flap),
            cd: self.drag_min
                + self.drag_viscous * squared
                + lost_suction
                + FLAP_DRAG.value * flap * flap,
            cd_lost_suction: lost_suction,
            cm_quarter_chord: self.moment_zero_lift,
            cl_alpha: self.lift_slope,
            attached: 1.0,
        }
    }

    fn separated(&self, alpha: f64, flap: f64) -> SectionCoefficients {
        let (sine, cosine) = (alpha + FLAP_SEPARATED_SHARE.value * flap).sin_cos();
        let size = sine.abs();
        let nearness = 1.0 / (SEPARATED_SLOPE.value + self.normal_force_fall * size);
        let normal = sine * nearness;
        // d/d sin of s / (p + q |s|) is p / (p + q |s|)^2.
        let normal_slope = SEPARATED_SLOPE.value * nearness * nearness * cosine;
        let arm = 0.25 - 0.75 * cosine / (4.0 + PI * size);
        SectionCoefficients {
            cl: normal * cosine,
            cd: normal * sine + self.drag_min,
            cd_lost_suction: 0.0,
            cm_quarter_chord: -normal * arm,
            cl_alpha: normal_slope * cosine - normal * sine,
            attached: 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aero::section::estimate::Estimate;
    use crate::aircraft::{KnownSection, Section, SectionKind};

    const REYNOLDS: f64 = 2e5;

    fn section(kind: SectionKind) -> Section {
        Section { kind, thickness: 0.1, camber: 0.03, known: KnownSection::default() }
    }

    fn sections() -> [Section; 3] {
        [SectionKind::Profile, SectionKind::FlatSheet, SectionKind::CamberedPlate].map(section)
    }

    /// The slope that is told is that of the lift, all the way round but at the kink on
    /// the axis of a plate's flow.
    #[test]
    fn the_slope_is_that_of_the_lift() {
        for section in sections() {
            let model = SectionModel::new(&section, REYNOLDS);
            for flap in [-0.3, 0.0, 0.2] {
                for step in -314..314 {
                    let alpha = 0.01 * f64::from(step) + 0.003;
                    let lift = |alpha: f64| model.coefficients(alpha, flap).cl;
                    let slope = (lift(alpha + 1e-6) - lift(alpha - 1e-6)) / 2e-6;
                    let told = model.coefficients(alpha, flap).cl_alpha;
                    assert!((told - slope).abs() < 1e-4, "{alpha} {flap}: {told} {slope}");
                }
            }
        }
    }

    /// Attached flow by hand: lift from the angle of no lift, drag and lost suction
    /// from the middle of the attached range, which a flap moves by what is not its
    /// share of the greatest lift.
    #[test]
    fn attached_flow_is_a_line_and_a_parabola() {
        for section in sections() {
            let model = SectionModel::new(&section, REYNOLDS);
            let of = Estimate::new(&section, REYNOLDS);
            let slope = 2.0 * PI * of.slope_factor;
            for flap in [-0.2, 0.0, 0.1] {
                let middle = of.zero_lift_angle_rad + of.middle_lift / slope
                    - (1.0 - FLAP_LIFT_SHARE.value) * flap;
                let linear = of.linear_share * of.half_lift / slope;
                for xi in [-0.9 * linear, 0.0, 0.5 * linear] {
                    let alpha = middle + xi;
                    let told = model.coefficients(alpha, flap);
                    assert_eq!(told.attached, 1.0);
                    let lift = slope * (alpha - of.zero_lift_angle_rad + flap);
                    assert!(
                        (told.cl - lift).abs() < 1e-12 && (told.cl_alpha - slope).abs() < 1e-12
                    );
                    let lost = (1.0 - of.suction) * slope * xi * xi;
                    assert!((told.cd_lost_suction - lost).abs() < 1e-12);
                    let rise = super::super::table::VISCOUS_RISE.value * (xi / linear).powi(2);
                    let drag = of.drag_min * (1.0 + rise) + lost + FLAP_DRAG.value * flap * flap;
                    assert!((told.cd - drag).abs() < 1e-12, "{xi} {flap}");
                    assert_eq!(told.cm_quarter_chord, of.moment_zero_lift);
                    assert_eq!(told, model.linear_coefficients(alpha, flap));
                }
            }
        }
    }

    /// Wholly separated flow by hand: Lindenburg's force square to the plate, least drag
    /// beside it, and Rayleigh's place of it; a flap counts as a share of an angle.
    #[test]
    fn separated_flow_pushes_square_to_the_plate() {
        for section in sections() {
            let model = SectionModel::new(&section, REYNOLDS);
            let of = Estimate::new(&section, REYNOLDS);
            for alpha in [-2.5, -1.0, 0.8, 1.5, 2.6f64] {
                for flap in [-0.2, 0.0, 0.3] {
                    let told = model.coefficients(alpha, flap);
                    assert_eq!(told.attached, 0.0, "{alpha}");
                    let plate = alpha + FLAP_SEPARATED_SHARE.value * flap;
                    let (sine, cosine) = plate.sin_cos();
                    let fall = 1.0 / of.normal_force_max - SEPARATED_SLOPE.value;
                    let normal = sine / (SEPARATED_SLOPE.value + fall * sine.abs());
                    assert!((told.cl - normal * cosine).abs() < 1e-12);
                    assert!((told.cd - normal * sine - of.drag_min).abs() < 1e-12);
                    // 3/4 cos / (4 + pi sin) of a chord ahead of the middle.
                    let ahead = 0.75 * cosine / (4.0 + PI * sine.abs());
                    let moment = -normal * (0.25 - ahead);
                    assert!((told.cm_quarter_chord - moment).abs() < 1e-12, "{alpha} {flap}");
                    assert_eq!(told.cd_lost_suction, 0.0);
                }
            }
            // Square to the flow the force is the greatest.
            let square = model.coefficients(0.5 * PI, 0.0);
            assert!((square.cd - of.normal_force_max - of.drag_min).abs() < 1e-12);
        }
    }

    /// The passage from one to the other by its cubic weight, in every coefficient.
    #[test]
    fn flow_lets_go_by_a_cubic_weight() {
        for section in sections() {
            let model = SectionModel::new(&section, REYNOLDS);
            let of = Estimate::new(&section, REYNOLDS);
            for (beyond, weight) in [(0.25, 0.15625), (0.5, 0.5), (0.75, 0.84375f64)] {
                for side in [-1.0, 1.0] {
                    let xi = side * (model.peak_rad + beyond * of.stall_width_rad);
                    let alpha = model.middle_rad + xi;
                    let told = model.coefficients(alpha, 0.0);
                    let attached = model.attached(alpha, xi, 0.0);
                    let separated = model.separated(alpha, 0.0);
                    let mixed = |of: fn(&SectionCoefficients) -> f64| {
                        (1.0 - weight) * of(&attached) + weight * of(&separated) - of(&told)
                    };
                    for off in [
                        mixed(|of| of.cl),
                        mixed(|of| of.cd),
                        mixed(|of| of.cd_lost_suction),
                        mixed(|of| of.cm_quarter_chord),
                        mixed(|of| of.attached),
                    ] {
                        assert!(off.abs() < 1e-12, "{beyond} {side}: {told:?}");
                    }
                }
            }
        }
    }

    /// The steepest loss of lift is looked for at four places of the passage, on both
    /// sides.
    #[test]
    fn lift_is_lost_most_steeply_on_either_side() {
        for mut section in sections() {
            for camber in [-0.06, 0.06] {
                section.camber = camber;
                let model = SectionModel::new(&section, REYNOLDS);
                let of = Estimate::new(&section, REYNOLDS);
                let lift = |alpha: f64| model.coefficients(alpha, 0.0).cl;
                let mut steepest: f64 = 1.0;
                for beyond in [0.35, 0.5, 0.65, 0.8] {
                    for side in [-1.0, 1.0] {
                        let off = model.peak_rad + beyond * of.stall_width_rad;
                        let alpha = model.middle_rad + side * off;
                        let slope = (lift(alpha + 1e-6) - lift(alpha - 1e-6)) / 2e-6;
                        steepest = steepest.max(1.0 - slope / (2.0 * PI * of.slope_factor));
                    }
                }
                assert!((model.steepest_loss() - steepest).abs() < 1e-6, "{steepest}");
            }
        }
    }

    /// Short wings: all lost suction turns upright below an aspect ratio of 1.5, none
    /// from 3 on, by a smooth step between; side edges help by the chord of the tip.
    #[test]
    fn edge_vortices_come_with_short_wings() {
        use super::super::table::{LOW_ASPECT_GROWTH, SIDE_EDGES};
        for section in sections() {
            let model = SectionModel::new(&section, REYNOLDS);
            let of = Estimate::new(&section, REYNOLDS);
            for (ratio, cos_sweep, part) in [
                (1.2, 1.0, 1.0),
                (1.875, 1.0, 0.84375),
                (3.0, 0.75, 0.5),
                (2.625, 1.0, 0.15625),
                (3.1, 1.0, 0.0),
            ] {
                let wing = model.with_edge_vortices(ratio, cos_sweep, 0.7);
                assert!((wing.vortex_part() - part).abs() < 1e-12);
                assert!((wing.vortex_share() - part * (1.0 - of.suction)).abs() < 1e-12);
                assert!((wing.side_edges() - SIDE_EDGES.value * 0.7 / ratio).abs() < 1e-12);
                let longer = 1.0 + part * LOW_ASPECT_GROWTH.value;
                assert!((wing.linear_rad / model.linear_rad - longer).abs() < 1e-12);
                assert!((wing.peak_rad / model.peak_rad - longer).abs() < 1e-12);
                assert!((model.stall_rate / wing.stall_rate - longer).abs() < 1e-12);
            }
        }
    }

    /// The same all the way round again, and for a flap as far as it may shift lift.
    #[test]
    fn a_whole_turn_changes_nothing() {
        for section in sections() {
            let model = SectionModel::new(&section, REYNOLDS);
            for alpha in [-3.0, -0.4, 0.05, 0.3, 1.2, 3.1] {
                let told = model.coefficients(alpha, 0.1);
                for turns in [-2.0, -1.0, 1.0, 3.0] {
                    let again = model.coefficients(alpha + 2.0 * PI * turns, 0.1);
                    assert!((told.cl - again.cl).abs() < 1e-9 && (told.cd - again.cd).abs() < 1e-9);
                    assert!((told.cm_quarter_chord - again.cm_quarter_chord).abs() < 1e-9);
                }
                for side in [-1.0, 1.0] {
                    let most = model.coefficients(alpha, side);
                    assert_eq!(model.coefficients(alpha, 1.7 * side), most);
                    assert_ne!(model.coefficients(alpha, 0.9 * side), most);
                }
            }
            for side in [-1.0, 1.0] {
                let (least, greatest) = model.linear_window_rad(side);
                assert!(model.is_linear((least, greatest), side));
                assert!(!model.is_linear((least, greatest), 1.01 * side));
            }
        }
    }
}
