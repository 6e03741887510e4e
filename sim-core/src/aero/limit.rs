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
//! Where lift falls with angle, blocking one strip turns more air on to the next,
//! and they would take turns: many solutions, which depend on the grid and on
//! the way to them (a saw-tooth, known from all strip methods). So the deficit
//! is read at a mean angle over a part of the span that is measured in chords,
//! not in strips ([`bell_width`]): wide enough that no wave of stalled and
//! unstalled flow feeds itself. Then the state beyond the stall is one, changes
//! gradually with the flight state, and converges with the grid. Attached
//! strips have no deficit and are not touched.
//!
//! Limits: of full-size profiles that lose more than half their lift within a
//! few degrees, the whole wing lets go at once, in a jump at one angle. The
//! search starts from attached flow and goes no further than it must, so it is
//! the jump of a rising angle of attack; there is no memory, hence no
//! hysteresis.
//!
//! Reference: R. Mukherjee and A. Gopalarathnam, Poststall Prediction of
//! Multiple-Lifting-Surface Configurations Using a Decambering Approach,
//! J. Aircraft 43(3), 2006 (idea, from memory); the mean angle is our own.

use std::f64::consts::PI;

use nalgebra::DMatrix;

use super::lattice::{Lattice, Parity};
use super::model::{Scratch, StripData};
use super::section::SectionModel;
use crate::math::RowBlocks;

/// Limits strips to their sections.
#[derive(Debug, Clone)]
pub(super) struct Limiter {
    /// For each strip (right, centre, left) those that its mean angle is taken
    /// over, with their shares.
    neighbours: Vec<Vec<(usize, f64)>>,
    /// Change of each strip's mean angle times its speed per blocked velocity
    /// at each strip: of half the sum of left and right, of half the difference
    /// (then with the strips in the plane of symmetry).
    feedback: [RowBlocks; 2],
    /// For each strip the stretch of span that holds all its neighbours.
    stretches: Vec<usize>,
    /// Number of strips on the right.
    right: usize,
    /// Index of the first strip on the left.
    first_left: usize,
}

/// How much of a wave of blocked flow the bell may let come back to itself.
/// Below 1 there is one solution; the rest is for what the estimate leaves out
/// (taper, the tail in the wake).
const AMPLIFICATION_MAX: f64 = 0.75;

/// Least width of the bell over the chord.
const BELL_WIDTH_MIN: f64 = 0.25;

/// Standard deviation over the chord of the bell over which a strip's angle is
/// averaged along the span.
///
/// Blocked velocity that waves along the span with x = 2 pi chord / wavelength
/// comes back as the share f = (pi x / 4) / (1 + pi x / 4) of itself in angle
/// (lifting line), times the section's steepest loss of lift, times exp(-s2 x2 /
/// 2) of a bell of width s. The greatest product of f and bell over all waves
/// is 1 / (1.26 + 2.3 s) within 3 % for s from 0.2 to 1.5.
fn bell_width(section: &SectionModel) -> f64 {
    ((section.steepest_loss() / AMPLIFICATION_MAX - 1.26) / 2.3).max(BELL_WIDTH_MIN)
}

/// The bell ends at this many standard deviations.
const BELL_REACH: f64 = 2.5;

/// Accepted mismatch of blocked velocity as a share of the strip's speed: a
/// hundred-thousandth of a radian.
const TOLERANCE: f64 = 1e-5;

/// Greatest change of blocked velocity in one step as a share of the speed.
const STEP_MAX: f64 = 0.5;

/// Terms of the series that a step is made of, at the most, and the share of
/// the mismatch at which a term is the last.
const TERMS_MAX: usize = 12;
const TERM_MIN: f64 = 0.05;

/// Greatest share of one term in the next that is believed.
const SHARE_MAX: f64 = 0.9;

/// A step helped if the sum of squared mismatches fell to this share.
const HELPED: f64 = 0.95;

/// Share of a step that is left where it did not help.
const SHORT_STEP: f64 = 0.5;

/// Steepest loss of lift that Newton's matrix is told of. Above it a whole wing
/// may feed its own stall, and Newton would turn back to attached flow; with
/// less, the steps are those of the missing lift itself, always onwards.
const STEEPNESS_MAX: f64 = 2.2;

impl Limiter {
    /// Newton steps at the most; six are usual beyond the stall. If they do not
    /// do, as in the fall of a steep section, the last state stands.
    pub const ITERATIONS_MAX: usize = 24;

    pub fn new(lattice: &Lattice, strips: &[StripData]) -> Self {
        let (neighbours, stretches) = neighbourhoods(lattice, strips);
        let (right, first_left) = (lattice.grid.right, lattice.grid.strips.len());
        let near = &neighbours[..first_left];
        let feedback = [(&lattice.symmetric, 1.0), (&lattice.antisymmetric, -1.0)]
            .map(|(parity, sign)| feedback(parity, sign, strips, near));
        Self { neighbours, feedback, stretches, right, first_left }
    }

    /// Updates every strip's angle and coefficients and, where the section does
    /// not carry what the lattice gives, its blocked velocity. Returns whether
    /// all strips agree.
    pub fn adjust(&self, iteration: usize, strips: &[StripData], scratch: &mut Scratch) -> bool {
        self.read_angles(strips, scratch);
        scratch.active.clear();
        let mut agreed = true;
        for (k, strip) in strips.iter().enumerate() {
            let flow = &mut scratch.flow[k];
            // Where all angles of a stretch are in the section's straight range,
            // so is their mean: nothing is to be blocked.
            let (least, greatest) = scratch.reaches_rad[self.stretches[k]];
            let zero_lift_rad = strip.section.zero_lift_angle_rad() - flow.flap_shift_rad;
            let reach_rad = (least + zero_lift_rad, greatest + zero_lift_rad);
            if flow.blocked_m_s == 0.0 && strip.section.is_linear(reach_rad, flow.flap_shift_rad) {
                let alpha_rad = flow.own_angle_rad + zero_lift_rad;
                flow.coefficients =
                    strip.section.linear_coefficients(alpha_rad, flow.flap_shift_rad);
                continue;
            }
            let (mismatch, steepness) = self.compare(k, strip, scratch);
            let flow = &scratch.flow[k];
            let limit = TOLERANCE * flow.speed_m_s;
            agreed &= mismatch.abs() <= limit;
            if mismatch.abs() > limit || flow.blocked_m_s != 0.0 {
                scratch.active.push((k, mismatch, steepness.min(STEEPNESS_MAX)));
            }
        }
        if !agreed {
            let size: f64 = scratch.active.iter().map(|(_, mismatch, _)| mismatch.powi(2)).sum();
            let helped = iteration == 0 || size < HELPED * scratch.mismatch_squared;
            if helped || scratch.shortened {
                scratch.mismatch_squared = size;
                scratch.shortened = false;
                for flow in &mut scratch.flow {
                    flow.blocked_before_m_s = flow.blocked_m_s;
                }
                self.step(scratch);
            } else {
                // It overshot: back part of the way.
                scratch.shortened = true;
                for flow in &mut scratch.flow {
                    let step = flow.blocked_m_s - flow.blocked_before_m_s;
                    flow.blocked_m_s = flow.blocked_before_m_s + SHORT_STEP * step;
                }
            }
        }
        agreed
    }

    /// Every strip's speed and own angle from zero lift, and the least and the
    /// greatest angle of every stretch.
    fn read_angles(&self, strips: &[StripData], scratch: &mut Scratch) {
        scratch.reaches_rad.fill((f64::INFINITY, f64::NEG_INFINITY));
        for ((strip, flow), stretch) in strips.iter().zip(&mut scratch.flow).zip(&self.stretches) {
            let normal = flow.circulation * strip.normal_per_circulation_1_m + flow.blocked_m_s;
            let tangential = flow.tangential_m_s;
            flow.normal_m_s = normal;
            flow.speed_m_s = (normal * normal + tangential * tangential).sqrt();
            // Half the work of atan2, and the usual case.
            flow.own_angle_rad = if tangential > 0.0 {
                (normal / tangential).atan()
            } else {
                normal.atan2(tangential)
            };
            let (least, greatest) = &mut scratch.reaches_rad[*stretch];
            *least = least.min(flow.own_angle_rad);
            *greatest = greatest.max(flow.own_angle_rad);
        }
    }

    /// Angle and coefficients of strip `k`; by how much its blocked velocity is
    /// more than the section asks for, and how steeply that falls with angle.
    fn compare(&self, k: usize, strip: &StripData, scratch: &mut Scratch) -> (f64, f64) {
        let relative = self.mean_angle_rad(k, scratch);
        let flow = &mut scratch.flow[k];
        let slope = 2.0 * PI * strip.section.lift_slope_factor();
        let alpha_rad = relative + strip.section.zero_lift_angle_rad() - flow.flap_shift_rad;
        flow.coefficients = strip.section.coefficients(alpha_rad, flow.flap_shift_rad);
        let attached = flow.coefficients.attached;
        // The mean angle tells where the flow leaves the section; while it
        // does not, the drag is that of the strip's own angle.
        let own_alpha_rad = alpha_rad + flow.own_angle_rad - relative;
        let change =
            strip.section.attached_drag_change(own_alpha_rad, alpha_rad, flow.flap_shift_rad);
        flow.coefficients.cd += attached * change;
        // The lattice's lift goes with the sine of the angle, the section's
        // with the angle: attached flow is to leave no deficit.
        let (lift, lift_slope) = if attached == 1.0 && relative.abs() < 0.5 * PI {
            (slope * relative, slope)
        } else {
            let (sin, cos) = relative.sin_cos();
            let attached = if relative.abs() < 0.5 * PI { attached } else { 0.0 };
            (
                slope * (attached * relative + (1.0 - attached) * sin),
                slope * (attached + (1.0 - attached) * cos),
            )
        };
        let deficit = (lift - flow.coefficients.cl) / slope;
        // Blocked velocity is speed times deficit, and both change with the
        // velocity through the strip.
        let (sin, cos) = (flow.normal_m_s / flow.speed_m_s, flow.tangential_m_s / flow.speed_m_s);
        let steepness = (lift_slope - flow.coefficients.cl_alpha) / slope * cos + deficit * sin;
        (flow.blocked_m_s - flow.speed_m_s * deficit, steepness)
    }

    /// Angle from zero lift of a strip, averaged over its neighbours, rad.
    pub fn mean_angle_rad(&self, strip: usize, scratch: &Scratch) -> f64 {
        let near = self.neighbours[strip].iter();
        let angle = |k: usize| scratch.flow[k].own_angle_rad;
        let (least, greatest) = scratch.reaches_rad[self.stretches[strip]];
        if greatest - least <= HEARD_RAD.0 {
            return near.map(|&(k, share)| share * angle(k)).sum();
        }
        let own = angle(strip);
        // Differences are taken the short way round, so that a strip at +179
        // and one at -179 degrees have 180 as their mean.
        own + near.map(|&(k, share)| share * heard(wrapped(angle(k) - own))).sum::<f64>()
    }

    /// One Newton step on the active strips: x = r + S F x with the mismatches r,
    /// the steepnesses S and the feedback F. Since the feedback is below 1, the
    /// series r + S F r + ... converges. Its terms soon fall in one proportion, as
    /// one wave along the span outlasts the others; once they do, the rest is
    /// their geometric sum.
    fn step(&self, scratch: &mut Scratch) {
        scratch.step.fill(0.0);
        scratch.term.fill(0.0);
        let mut greatest: f64 = 0.0;
        for &(k, mismatch, _) in &scratch.active {
            scratch.step[k] = mismatch;
            scratch.term[k] = mismatch;
            greatest = greatest.max(mismatch.abs());
        }
        for _ in 0..TERMS_MAX {
            self.feel(scratch);
            let Scratch { active, step, term, felt, .. } = scratch;
            let (mut product, mut square) = (0.0, 0.0);
            for &(k, _, steepness) in active.iter() {
                felt[k] *= steepness;
                step[k] += felt[k];
                product += felt[k] * term[k];
                square += term[k] * term[k];
            }
            let share = (product / square).clamp(-SHARE_MAX, SHARE_MAX);
            let rest = share / (1.0 - share);
            let mut off: f64 = 0.0;
            for &(k, ..) in active.iter() {
                off = off.max((felt[k] - share * term[k]).abs());
                term[k] = felt[k];
            }
            if off <= TERM_MIN * (1.0 - share) * greatest {
                active.iter().for_each(|&(k, ..)| step[k] += rest * term[k]);
                break;
            }
        }
        let Scratch { active, step, flow, .. } = scratch;
        for (k, ..) in active.iter() {
            let flow = &mut flow[*k];
            let limit = STEP_MAX * flow.speed_m_s;
            if step[*k].is_finite() {
                flow.blocked_m_s -= step[*k].clamp(-limit, limit);
            }
        }
    }

    /// What the active strips feel of the velocities blocked as in `term`. By half
    /// the sum and half the difference of left and right, so where these are
    /// alike, so is what they feel, to the last bit.
    pub(super) fn feel(&self, scratch: &mut Scratch) {
        let Scratch { active, term, felt, sent, answered, .. } = scratch;
        let (right, left) = (self.right, self.first_left);
        for k in 0..right {
            sent[0][k] = 0.5 * (term[k] + term[left + k]);
            sent[1][k] = 0.5 * (term[k] - term[left + k]);
        }
        sent[1][right..].copy_from_slice(&term[right..left]);
        for ((matrix, sent), answered) in self.feedback.iter().zip(sent).zip(&mut *answered) {
            answered.fill(0.0);
            matrix.add_product(answered, sent, 1.0);
        }
        for &(k, ..) in active.iter() {
            felt[k] = if k < right {
                answered[0][k] + answered[1][k]
            } else if k < left {
                answered[1][k]
            } else {
                answered[0][k - left] - answered[1][k - left]
            };
        }
    }
}

/// Difference of angle up to which a neighbour is heard in full, and from which
/// not at all, rad. Stalls are far below; beyond lies air from the other side, as
/// where a slipstream blows against a wind from behind: a strip that is flown
/// from behind says nothing about one that is flown from ahead.
const HEARD_RAD: (f64, f64) = (1.0, 2.1);

/// A difference of angle as it counts in a mean.
fn heard(apart_rad: f64) -> f64 {
    let (full, none) = HEARD_RAD;
    apart_rad * ((none - apart_rad.abs()) / (none - full)).clamp(0.0, 1.0)
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

/// Change of the mean angles times speeds of one parity per blocked velocity;
/// `sign` is what the left half does when the right one does 1.
fn feedback(
    parity: &Parity,
    sign: f64,
    strips: &[StripData],
    neighbours: &[Vec<(usize, f64)>],
) -> RowBlocks {
    let (count, first_left) = (parity.strips, neighbours.len());
    let response = &parity.circulation.by_pattern;
    let angles = DMatrix::from_fn(count, count, |row, column| {
        let unit = if row == column { 1.0 } else { 0.0 };
        unit - response.entry(row, column) * strips[row].normal_per_circulation_1_m
    });
    RowBlocks::from_fn(count, count, |row, column| {
        let angle = |k: usize| {
            if k < first_left {
                angles[(k, column)]
            } else {
                sign * angles[(k - first_left, column)]
            }
        };
        neighbours[row].iter().map(|&(k, share)| share * angle(k)).sum()
    })
}

/// For each strip (right, centre, left) the strips that its mean angle is taken
/// over, with their shares, and the stretch of span that holds them all.
fn neighbourhoods(lattice: &Lattice, data: &[StripData]) -> (Vec<Vec<(usize, f64)>>, Vec<usize>) {
    let (right, all) = (lattice.grid.right, lattice.grid.strips.len());
    let strips = &lattice.grid.strips;
    let mut list: Vec<Vec<(usize, f64)>> = Vec::with_capacity(all + right);
    let mut stretches = vec![0; all + right];
    let mut stretch = 0;
    let mut first = 0;
    while first < all {
        let surface = strips[first].surface;
        let count = strips[first..].iter().take_while(|strip| strip.surface == surface).count();
        let inner = &lattice.grid.edges[strips[first].inner_edge];
        let meets_image = first < right && inner.quarter_chord.y.abs() < 0.05 * inner.length_aft_m;
        let own = first..first + count;
        stretches[own.clone()].fill(stretch);
        if first < right {
            stretch += usize::from(!meets_image);
            stretches[all + first..all + first + count].fill(stretch);
        }
        stretch += 1;
        list.extend(own.clone().map(|k| {
            let bell_m = bell_width(&data[k].section) * data[k].chord_m;
            neighbourhood(lattice, own.clone(), k, bell_m, meets_image)
        }));
        first += count;
    }
    let image = |k: usize| if k < right { all + k } else { k - all };
    let images: Vec<Vec<(usize, f64)>> = list[..right]
        .iter()
        .map(|row| row.iter().map(|&(k, share)| (image(k), share)).collect())
        .collect();
    list.extend(images);
    (list, stretches)
}

/// Shares of the strips of one surface in the mean angle of strip `k`: a bell
/// along the span, which the ends throw back.
fn neighbourhood(
    lattice: &Lattice,
    surface: std::ops::Range<usize>,
    k: usize,
    bell_m: f64,
    meets_image: bool,
) -> Vec<(usize, f64)> {
    let all = lattice.grid.strips.len();
    let strips = &lattice.grid.strips[surface.clone()];
    let widths = strips.iter().map(|strip| strip.area_m2 / strip.chord_m);
    let mut span_m = 0.0;
    let places: Vec<(f64, f64)> = widths
        .map(|width| {
            span_m += width;
            (span_m - 0.5 * width, width)
        })
        .collect();
    let here = places[k - surface.start].0;
    let bell = |place: f64| {
        let apart = (place - here) / bell_m;
        if apart.abs() < BELL_REACH { (-0.5 * apart * apart).exp() } else { 0.0 }
    };
    let mut own = Vec::new();
    let mut images = Vec::new();
    for (j, (place, width)) in surface.zip(&places) {
        let beyond_tip = bell(2.0 * span_m - place);
        let beyond_root = bell(-place);
        let thrown_back = if meets_image { 0.0 } else { beyond_root };
        own.push((j, width * (bell(*place) + beyond_tip + thrown_back)));
        if meets_image {
            images.push((all + j, width * beyond_root));
        }
    }
    own.extend(images);
    let total: f64 = own.iter().map(|(_, share)| share).sum();
    own.into_iter().filter(|&(_, share)| share > 0.0).map(|(j, share)| (j, share / total)).collect()
}

#[cfg(test)]
mod tests;
