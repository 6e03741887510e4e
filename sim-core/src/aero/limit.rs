//! Holding every strip to what its section can carry.
//!
//! The lattice gives a strip the lift `2 pi eta sin(alpha)` of its effective
//! angle. A section gives less once the flow leaves it. The missing lift, the
//! deficit, is made up by taking part of the velocity through the strip as
//! blocked (the separated flow acts as a change of camber): a strip's blocked
//! velocity is `V deficit(alpha) / (2 pi eta)`, and blocking changes the angles
//! of all strips through the lattice. Newton's method finds the state in which
//! both agree, so stall spreads from strip to strip as it should.
//!
//! Where lift falls with angle, neighbouring strips would take turns (a
//! saw-tooth that depends on the grid, known from all strip methods). So the
//! deficit is read at the mean angle of a strip and its neighbours, weights
//! 1/4, 1/2, 1/4, which the saw-tooth does not pass; attached strips have no
//! deficit and are not touched.
//!
//! Reference: R. Mukherjee and A. Gopalarathnam, Poststall Prediction of
//! Multiple-Lifting-Surface Configurations Using a Decambering Approach,
//! J. Aircraft 43(3), 2006 (idea, from memory); the smoothing is our own.

use std::f64::consts::PI;

use nalgebra::{DMatrix, DVector};

use super::lattice::{Lattice, Parity};
use super::model::{Scratch, StripData};

/// Limits strips to their sections.
#[derive(Debug, Clone)]
pub(super) struct Limiter {
    /// For each strip (right, centre, left): itself, its inner and its outer
    /// neighbour; at an end the strip stands for its missing neighbour.
    neighbours: Vec<[usize; 3]>,
    /// Change of each strip's mean angle times its speed per blocked velocity
    /// at each strip.
    feedback: DMatrix<f64>,
    /// Index of the first strip on the left.
    first_left: usize,
}

/// Shares of a strip and its two neighbours in the mean angle.
const SHARES: [f64; 3] = [0.5, 0.25, 0.25];

/// Accepted mismatch of blocked velocity as a share of the strip's speed: a
/// hundred-thousandth of a radian.
const TOLERANCE: f64 = 1e-5;

/// Greatest change of blocked velocity in one step as a share of the speed.
const STEP_MAX: f64 = 0.5;

/// A step helped if the sum of squared mismatches fell to this share.
const HELPED: f64 = 0.5;

/// Share of a step that is taken where the last one did not help.
const SHORT_STEP: f64 = 0.6;

impl Limiter {
    /// Newton steps at the most. Where the state hops between two solutions the
    /// last one stands; both lie within the scatter of measured stalls.
    pub const ITERATIONS_MAX: usize = 10;

    pub fn new(lattice: &Lattice, strips: &[StripData]) -> Self {
        let neighbours = neighbours(lattice);
        let response = response(lattice);
        let count = strips.len();
        let mut angle: DMatrix<f64> = DMatrix::identity(count, count);
        for (j, strip) in strips.iter().enumerate() {
            let inverse = 1.0 / (strip.ideal_slope_m * strip.section.lift_slope_factor());
            for k in 0..count {
                angle[(j, k)] -= response[(j, k)] * inverse;
            }
        }
        let mut feedback: DMatrix<f64> = DMatrix::zeros(count, count);
        for (j, near) in neighbours.iter().enumerate() {
            for (share, source) in SHARES.iter().zip(near) {
                for k in 0..count {
                    feedback[(j, k)] += share * angle[(*source, k)];
                }
            }
        }
        Self { neighbours, feedback, first_left: lattice.grid.strips.len() }
    }

    /// Updates every strip's angle and coefficients and, where the section does
    /// not carry what the lattice gives, its blocked velocity. Returns whether
    /// all strips agree.
    pub fn adjust(&self, iteration: usize, strips: &[StripData], scratch: &mut Scratch) -> bool {
        for (strip, flow) in strips.iter().zip(&mut scratch.flow) {
            let slope = strip.ideal_slope_m * strip.section.lift_slope_factor();
            let normal = flow.circulation / slope + flow.blocked_m_s;
            flow.speed_m_s = (normal * normal + flow.tangential_m_s * flow.tangential_m_s).sqrt();
            flow.own_angle_rad = normal.atan2(flow.tangential_m_s);
        }
        scratch.active.clear();
        let mut agreed = true;
        for (k, strip) in strips.iter().enumerate() {
            let relative = self.mean_angle(k, scratch);
            let flow = &mut scratch.flow[k];
            let slope = 2.0 * PI * strip.section.lift_slope_factor();
            flow.alpha_rad = relative + strip.section.zero_lift_angle_rad() - flow.flap_shift_rad;
            flow.coefficients = strip.section.coefficients(flow.alpha_rad, flow.flap_shift_rad);
            let attached = flow.coefficients.attached;
            // The lattice's lift goes with the sine of the angle, the section's
            // with the angle: attached flow is to leave no deficit.
            let (lift, lift_slope) = if relative.abs() < 0.5 * PI {
                let (sin, cos) = relative.sin_cos();
                (
                    slope * (attached * relative + (1.0 - attached) * sin),
                    slope * (attached + (1.0 - attached) * cos),
                )
            } else {
                (slope * relative.sin(), slope * relative.cos())
            };
            let deficit = (lift - flow.coefficients.cl) / slope;
            // Blocked velocity is speed times deficit, and both change with the
            // velocity through the strip.
            let (sin, cos) = relative.sin_cos();
            let steepness = (lift_slope - flow.coefficients.cl_alpha) / slope * cos + deficit * sin;
            let mismatch = flow.blocked_m_s - flow.speed_m_s * deficit;
            let limit = TOLERANCE * flow.speed_m_s;
            agreed &= mismatch.abs() <= limit;
            if mismatch.abs() > limit || flow.blocked_m_s != 0.0 {
                scratch.active.push((k, mismatch, steepness));
            }
        }
        if !agreed {
            // Where the last step did not help much, it overshot.
            let size = scratch.active.iter().map(|(_, mismatch, _)| mismatch.powi(2)).sum();
            let helped = iteration == 0 || size < HELPED * scratch.mismatch_squared;
            scratch.mismatch_squared = size;
            self.step(if helped { 1.0 } else { SHORT_STEP }, scratch);
        }
        agreed
    }

    fn mean_angle(&self, strip: usize, scratch: &Scratch) -> f64 {
        let own = scratch.flow[strip].own_angle_rad;
        let near = &self.neighbours[strip];
        // Differences are taken the short way round, so that a strip at +179
        // and one at -179 degrees have 180 as their mean.
        let apart = |k: usize| wrapped(scratch.flow[near[k]].own_angle_rad - own);
        own + SHARES[1] * apart(1) + SHARES[2] * apart(2)
    }

    /// One Newton step on the active strips. Where left and right are alike, one
    /// side is solved for both: a pivot would know one from the other.
    fn step(&self, share: f64, scratch: &mut Scratch) {
        let active = &scratch.active;
        let both = self.is_alike(active);
        let count = if both { active.len() / 2 } else { active.len() };
        let jacobian = DMatrix::from_fn(count, count, |row, column| {
            let (j, _, steepness) = active[row];
            let unit = if row == column { 1.0 } else { 0.0 };
            let mut feedback = self.feedback[(j, active[column].0)];
            if both {
                feedback += self.feedback[(j, active[column + count].0)];
            }
            unit - steepness * feedback
        });
        let wanted = DVector::from_fn(count, |row, _| active[row].1);
        let Some(step) = jacobian.lu().solve(&wanted) else { return };
        for (row, (k, ..)) in active.iter().enumerate() {
            let flow = &mut scratch.flow[*k];
            let limit = STEP_MAX * flow.speed_m_s;
            let change = step[row % count];
            if change.is_finite() {
                flow.blocked_m_s -= share * change.clamp(-limit, limit);
            }
        }
    }

    /// Whether the active strips are pairs of images in the same state.
    fn is_alike(&self, active: &[(usize, f64, f64)]) -> bool {
        let (right, left) = active.split_at(active.len() / 2);
        right.len() == left.len()
            && right.iter().zip(left).all(|(own, image)| {
                image.0 == own.0 + self.first_left && (image.1, image.2) == (own.1, own.2)
            })
    }
}

fn wrapped(angle: f64) -> f64 {
    if angle > PI {
        angle - 2.0 * PI
    } else if angle < -PI {
        angle + 2.0 * PI
    } else {
        angle
    }
}

/// Circulation of each strip (right, centre, left) per unit normal velocity at
/// each strip, from the responses of the two parities.
fn response(lattice: &Lattice) -> DMatrix<f64> {
    let (right, all) = (lattice.grid.right, lattice.grid.strips.len());
    let of = |parity: &Parity, j: usize, k: usize| parity.loading[(j, k)];
    DMatrix::from_fn(all + right, all + right, |j, k| {
        let (row, left_row) = if j < all { (j, false) } else { (j - all, true) };
        let (column, left_column) = if k < all { (k, false) } else { (k - all, true) };
        let apart = of(&lattice.antisymmetric, row, column);
        let sign = if left_row == left_column { 1.0 } else { -1.0 };
        match (row < right, column < right) {
            (true, true) => 0.5 * (of(&lattice.symmetric, row, column) + sign * apart),
            (false, true) => 0.5 * sign * apart,
            _ => sign * apart,
        }
    })
}

fn neighbours(lattice: &Lattice) -> Vec<[usize; 3]> {
    let (right, all) = (lattice.grid.right, lattice.grid.strips.len());
    let strips = &lattice.grid.strips;
    let same = |a: usize, b: usize| strips[a].surface == strips[b].surface;
    let meets_image = |k: usize| {
        let edge = &lattice.grid.edges[strips[k].inner_edge];
        k < right
            && lattice.grid.edges[strips[k].inner_edge].quarter_chord.y.abs()
                < 0.05 * edge.length_aft_m
    };
    let own = |k: usize| {
        let inner = if k > 0 && same(k, k - 1) {
            k - 1
        } else if meets_image(k) {
            all + k
        } else {
            k
        };
        let outer = if k + 1 < all && same(k, k + 1) { k + 1 } else { k };
        [k, inner, outer]
    };
    let image = |k: usize| if k < right { all + k } else { k - all };
    let mut list: Vec<[usize; 3]> = (0..all).map(own).collect();
    list.extend((0..right).map(|k| own(k).map(image)));
    list
}
