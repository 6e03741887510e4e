//! Section of a small propeller blade: lift and drag at any angle of attack.
//!
//! Attached flow: straight lift line, parabolic drag. Separated flow: normal
//! force of a flat plate, CN = 1 / (0.222 + 0.283 / sin a) (Lindenburg,
//! ECN-C-03-025, 2003, from memory). A smooth step joins the two over the
//! stall. Near the hub rotation keeps part of the lift that a wing would
//! lose: cl + 3 (c/r)^2 (attached cl - cl) (Snel, Houwink and Bosschers,
//! ECN-C-93-052, 1994, from memory).
//! Valid for blade Reynolds numbers of about 2e4 to 3e5. At these numbers a
//! laminar bubble takes part of the camber's and of the drag's promise away,
//! the more the lower the number; hence the logarithms.

/// Reynolds number at which the constants of a section are stated.
const REYNOLDS_REFERENCE: f64 = 60_000.0;
/// Range in which the dependence on the Reynolds number is followed.
const REYNOLDS_RANGE: (f64, f64) = (15_000.0, 500_000.0);
/// Greatest share of the lost lift that rotation gives back.
const STALL_DELAY_MAX: f64 = 0.8;

/// What sets one family of blade sections apart, at Reynolds number 60 000.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct BladeSection {
    /// Lift slope, per rad.
    pub slope: f64,
    /// Angle of attack without lift, rad, from the blade's nominal angle (the
    /// one that goes with the printed pitch).
    pub zero_lift_rad: f64,
    /// Change of the zero-lift angle with the logarithm of the Reynolds
    /// number, rad.
    pub zero_lift_per_log_re: f64,
    /// Lift coefficient around which the stall is centred.
    pub stall_lift: f64,
    /// Change of that with the logarithm of the Reynolds number.
    pub stall_lift_per_log_re: f64,
    /// Half the angle over which the flow separates, rad.
    pub stall_half_width_rad: f64,
    /// Least drag coefficient.
    pub drag_min: f64,
    /// Lift coefficient of least drag.
    pub drag_min_lift: f64,
    /// Growth of drag with the square of lift.
    pub drag_per_lift_squared: f64,
}

/// A section at one Reynolds number and one place on the blade.
#[derive(Debug, Clone, Copy)]
pub(super) struct LocalSection {
    slope: f64,
    zero_lift: f64,
    stall_top: f64,
    stall_bottom: f64,
    half_width: f64,
    drag_min: f64,
    drag_min_lift: f64,
    drag_rise: f64,
    stall_delay: f64,
}

impl BladeSection {
    /// The section at a Reynolds number and a ratio of chord to radius.
    pub(super) fn at(&self, reynolds: f64, chord_over_radius: f64) -> LocalSection {
        let reynolds = reynolds.clamp(REYNOLDS_RANGE.0, REYNOLDS_RANGE.1);
        let log_re = (reynolds / REYNOLDS_REFERENCE).ln();
        let zero_lift = self.zero_lift_rad + self.zero_lift_per_log_re * log_re;
        let stall_lift = self.stall_lift + self.stall_lift_per_log_re * log_re;
        LocalSection {
            slope: self.slope,
            zero_lift,
            stall_top: zero_lift + stall_lift / self.slope,
            // Upside down the camber works against the flow: half the lift.
            stall_bottom: zero_lift - 0.5 * stall_lift / self.slope,
            half_width: self.stall_half_width_rad,
            drag_min: self.drag_min * (REYNOLDS_REFERENCE / reynolds).sqrt(),
            drag_min_lift: self.drag_min_lift,
            drag_rise: self.drag_per_lift_squared,
            stall_delay: (3.0 * chord_over_radius * chord_over_radius).min(STALL_DELAY_MAX),
        }
    }
}

impl LocalSection {
    /// Lift and drag coefficients; `sine` and `cosine` are those of `alpha`,
    /// which lies between -pi and pi.
    pub(super) fn lift_and_drag(&self, alpha: f64, sine: f64, cosine: f64) -> (f64, f64) {
        let attached_lift = self.slope * (alpha - self.zero_lift);
        let above = (alpha - self.stall_top) / self.half_width;
        let below = (self.stall_bottom - alpha) / self.half_width;
        let separated = smooth_step(above.max(below));
        let off_lift = attached_lift - self.drag_min_lift;
        let attached_drag = self.drag_min + self.drag_rise * off_lift * off_lift;
        if separated <= 0.0 {
            return (attached_lift, attached_drag);
        }
        let normal = sine / (0.222 * sine.abs() + 0.283);
        let plate_lift = normal * cosine;
        let plate_drag = normal * sine + self.drag_min;
        let lift = attached_lift + separated * (plate_lift - attached_lift);
        let drag = attached_drag + separated * (plate_drag - attached_drag);
        // The centrifugal help ends where the blade stands across the flow.
        let delay = self.stall_delay * cosine.max(0.0).powi(4);
        let kept = delay * (attached_lift.min(2.5) - lift);
        if alpha > 0.0 { (lift + kept, drag) } else { (lift, drag) }
    }
}

/// 0 below -1, 1 above 1, once continuously differentiable.
fn smooth_step(x: f64) -> f64 {
    let x = (0.5 * (x + 1.0)).clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::BladeStyle;
    use crate::power::blade::Blade;

    const STYLES: [BladeStyle; 2] = [BladeStyle::ThinElectric, BladeStyle::SlowFlight];

    fn polar(section: &LocalSection, degrees: f64) -> (f64, f64) {
        let alpha = degrees.to_radians();
        section.lift_and_drag(alpha, alpha.sin(), alpha.cos())
    }

    #[test]
    fn across_the_wind_it_is_a_flat_plate() {
        // Lindenburg's formula gives 1.980 at 90 and 1.607 at 45 degrees.
        for style in STYLES {
            let section = Blade::of(style).section.at(60_000.0, 0.0);
            let (lift, drag) = polar(&section, 90.0);
            assert!(lift.abs() < 1e-12);
            assert!((drag - 1.980 - section.drag_min).abs() < 1e-3);
            let (lift, drag) = polar(&section, 45.0);
            let normal = (lift * lift + (drag - section.drag_min).powi(2)).sqrt();
            assert!((normal - 1.607).abs() < 1e-3);
        }
    }

    #[test]
    fn greatest_lift_is_that_of_thin_cambered_plates() {
        // 4 % circular arc 1.0-1.2, more camber somewhat more (from memory);
        // the spread of +-0.15 on both sides.
        for style in STYLES {
            let section = Blade::of(style).section.at(60_000.0, 0.0);
            let best = (0..30).map(|a| polar(&section, f64::from(a)).0).fold(0.0, f64::max);
            assert!((0.85..1.35).contains(&best), "{best}");
        }
    }

    #[test]
    fn is_continuous_and_drags_at_every_angle() {
        for style in STYLES {
            for (reynolds, ratio) in [(1.0, 0.0), (3e4, 0.6), (1e5, 0.2), (1e9, 1.0)] {
                let section = Blade::of(style).section.at(reynolds, ratio);
                let step = 0.05;
                let mut last = polar(&section, -180.0);
                for index in 1..=7200 {
                    let next = polar(&section, -180.0 + step * f64::from(index));
                    assert!(next.1 > 0.0);
                    // The steepest is the stall; a jump would not shrink with
                    // the step.
                    assert!((next.0 - last.0).abs() < 0.02 && (next.1 - last.1).abs() < 0.02);
                    last = next;
                }
            }
        }
    }

    #[test]
    fn a_lower_reynolds_number_costs_lift_and_drag() {
        let section = Blade::of(BladeStyle::ThinElectric).section;
        let (slow, fast) = (section.at(30_000.0, 0.0), section.at(120_000.0, 0.0));
        assert!(polar(&slow, 2.0).0 < polar(&fast, 2.0).0);
        assert!(polar(&slow, 2.0).1 > polar(&fast, 2.0).1);
    }

    /// The flow leaves the section around the greatest lift, upside down at half
    /// of it: by half there, by 5/32 half a half-width before, wholly a half-width beyond.
    #[test]
    fn the_stall_lies_where_the_section_says() {
        for style in STYLES {
            let family = Blade::of(style).section;
            for reynolds in [30_000.0, 60_000.0, 200_000.0] {
                let section = family.at(reynolds, 0.0);
                let lift = family.stall_lift
                    + family.stall_lift_per_log_re * (reynolds / 60_000.0f64).ln();
                let zero = family.zero_lift_rad
                    + family.zero_lift_per_log_re * (reynolds / 60_000.0f64).ln();
                for (at_stall, outwards) in [(lift, 1.0), (-0.5 * lift, -1.0)] {
                    let stall = zero + at_stall / family.slope;
                    let width = outwards * family.stall_half_width_rad;
                    for (off, share) in [
                        (-1.0, 0.0),
                        (-0.5, 5.0 / 32.0),
                        (0.0, 0.5),
                        (0.5, 27.0 / 32.0),
                        (1.0, 1.0),
                    ] {
                        let alpha = stall + off * width;
                        let attached = family.slope * (alpha - zero);
                        let sine = alpha.sin();
                        let plate = sine / (0.222 * sine.abs() + 0.283) * alpha.cos();
                        let wanted = attached + share * (plate - attached);
                        let found = section.lift_and_drag(alpha, sine, alpha.cos()).0;
                        assert!((found - wanted).abs() < 1e-12, "{alpha}: {found} {wanted}");
                    }
                }
            }
        }
    }

    /// A parabola about the lift of least drag, with the root of the Reynolds number.
    #[test]
    fn attached_drag_is_a_parabola_of_the_lift() {
        for style in STYLES {
            let family = Blade::of(style).section;
            let section = family.at(240_000.0, 0.0);
            for off in [-0.3, 0.0, 0.4] {
                let alpha = section.zero_lift + (family.drag_min_lift + off) / family.slope;
                let (lift, drag) = section.lift_and_drag(alpha, alpha.sin(), alpha.cos());
                assert!((lift - family.drag_min_lift - off).abs() < 1e-12);
                let wanted = 0.5 * family.drag_min + 0.075 * off * off;
                assert!((drag - wanted).abs() < 1e-12, "{off}: {drag} {wanted}");
            }
        }
    }

    /// Snel's gain, 3 (c / r)2 of the lift that separation takes, fades with the
    /// fourth power of the cosine and is capped at 0.8; none upside down.
    #[test]
    fn rotation_gives_lost_lift_back_near_the_hub() {
        let family = Blade::of(BladeStyle::ThinElectric).section;
        for (ratio, gain) in [(0.1, 0.03), (0.3, 0.27), (0.9, 0.8)] {
            let (near, far) = (family.at(60_000.0, ratio), family.at(60_000.0, 0.0));
            for degrees in [18.0, 24.0, 60.0, 120.0, -30.0f64] {
                let cosine = degrees.to_radians().cos();
                let attached = 5.5 * (degrees.to_radians() - family.zero_lift_rad);
                let (bare, helped) = (polar(&far, degrees), polar(&near, degrees));
                let faded = if degrees > 0.0 { gain * cosine.max(0.0).powi(4) } else { 0.0 };
                let wanted = bare.0 + faded * (attached.min(2.5) - bare.0);
                assert!((helped.0 - wanted).abs() < 1e-12, "{degrees} {ratio}");
                assert_eq!(helped.1, bare.1);
            }
        }
    }
}
