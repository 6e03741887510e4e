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
