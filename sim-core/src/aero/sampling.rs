//! Where a strip feels the air around it, and its mean over the strip.
//!
//! Three points along the quarter chord (Gauss-Legendre), so that a slipstream's
//! edge passes a strip gradually; what depends on the place alone and so is
//! worked out once takes more.

use std::ops::{Add, Mul};

use nalgebra::Vector3;

use super::interference::{CrossFlow, CrossFlowBody};
use super::model::StripData;

/// Place of the outer points as a share of the half strip, sqrt(3/5).
const REACH: f64 = 0.774_596_669_241_483_4;

/// The points of a strip: two towards its ends, one in its middle.
pub(super) fn strip_points(strip: &StripData) -> [Vector3<f64>; 3] {
    let half = strip.bound * (0.5 * REACH);
    [strip.quarter_chord - half, strip.quarter_chord + half, strip.quarter_chord]
}

/// Mean over a strip of what is known at its points, in their order.
pub fn strip_mean<T: Copy + Add<Output = T> + Mul<f64, Output = T>>(values: [T; 3]) -> T {
    let [one, other, middle] = values;
    ((one + other) * 5.0 + middle * 8.0) * (1.0 / 18.0)
}

/// Pairs of points along a strip for the mean of the fuselages' cross-flow, which
/// has a kink at the skin: with so many the error is a few thousandths of the peak.
const CROSS_FLOW_PAIRS: usize = 12;

/// What all fuselages together do to the air at a strip, in the mean over it.
pub(super) fn cross_flow(bodies: &[CrossFlowBody], strip: &StripData) -> CrossFlow {
    let at = |along: f64| CrossFlowBody::all_at(bodies, strip.quarter_chord + strip.bound * along);
    // In pairs, so that a strip and its image, whose line runs the other way,
    // come to the same to the last bit.
    let share = 0.5 / CROSS_FLOW_PAIRS as f64;
    (0..CROSS_FLOW_PAIRS)
        .map(|pair| (pair as f64 + 0.5) * share)
        .map(|along| at(along) + at(-along))
        .fold(CrossFlow::default(), Add::add)
        * share
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aero::section::SectionModel;
    use crate::aircraft::{Body, BodyKind, Place, Section};

    fn strip() -> StripData {
        StripData {
            quarter_chord: Vector3::new(-0.3, 0.11, -0.02),
            legs_m: 0.0,
            legs_arm: Vector3::zeros(),
            bound: Vector3::new(-0.02, 0.08, -0.01),
            pitch_axis: Vector3::y(),
            aft: -Vector3::x(),
            normal: -Vector3::z(),
            chord_m: 0.2,
            area_m2: 0.016,
            normal_per_circulation_1_m: 1.0,
            section: SectionModel::new(&Section::default(), 1e5),
            cross_flow: CrossFlow::default(),
        }
    }

    /// Three points of Gauss and Legendre are exact up to the fifth power.
    #[test]
    fn three_points_give_the_mean_of_a_polynomial() {
        let strip = strip();
        // Place along the strip, -1 at the inner end and 1 at the outer.
        let place = |point: Vector3<f64>| {
            2.0 * (point - strip.quarter_chord).dot(&strip.bound) / strip.bound.norm_squared()
        };
        let places = strip_points(&strip).map(place);
        for power in 0..6 {
            let mean = strip_mean(places.map(|place| place.powi(power)));
            let exact = if power % 2 == 0 { 1.0 / f64::from(power + 1) } else { 0.0 };
            assert!((mean - exact).abs() < 1e-12, "{power}: {mean}");
        }
    }

    /// The mean of a fuselage's cross-flow is that of a thousand points.
    #[test]
    fn cross_flow_is_the_mean_over_the_strip() {
        let body = |width_m| Body {
            name: "pod".into(),
            kind: BodyKind::Fuselage,
            front: Place::new(0.0, 0.0, 0.0),
            rear: Place::new(1.0, 0.0, 0.0),
            width_m,
            height_m: 0.1,
            mirrored: false,
            drag_coefficient: None,
        };
        let bodies = CrossFlowBody::of_bodies(&[body(0.1), body(0.05)], Vector3::zeros());
        let strip = strip();
        let air = Vector3::new(-10.0, 1.0, -2.0);
        let fine = (0..1000)
            .map(|k| strip.quarter_chord + strip.bound * ((f64::from(k) + 0.5) * 1e-3 - 0.5))
            .map(|point| CrossFlowBody::all_at(&bodies, point).velocity_body(air))
            .sum::<Vector3<f64>>()
            / 1000.0;
        let mean = cross_flow(&bodies, &strip).velocity_body(air);
        assert!((mean - fine).norm() < 0.005 * fine.norm(), "{mean} {fine}");
    }
}
