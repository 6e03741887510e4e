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
