//! Where a strip feels the air around it, and its mean over the strip.
//!
//! Three points along the quarter chord (Gauss-Legendre), so that a slipstream's
//! edge or a fuselage's side passes a strip gradually.

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

/// What all fuselages together do to the air at a strip.
pub(super) fn cross_flow(bodies: &[CrossFlowBody], strip: &StripData) -> CrossFlow {
    let at = |point: Vector3<f64>| {
        bodies.iter().map(|body| body.at(point)).fold(CrossFlow::default(), Add::add)
    };
    strip_mean(strip_points(strip).map(at))
}
