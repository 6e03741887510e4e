//! What the air does against acceleration: apparent mass and downwash lag.
//!
//! A light model weighs little more than the air that its wing moves, so this
//! is no small correction in roll and heave. Every strip carries along the air
//! of a cylinder about its chord (Munk 1924; in two dimensions pi/4 rho c^2 per
//! length), less by a factor for the finite aspect ratio. The downwash at the
//! tail is that of a moment ago: while the wing's lift rises, the tail still
//! sits in the weaker wake, which damps pitching (the alpha-dot derivatives;
//! Etkin and Reid 1996, section 5.4, from memory). To first order both are
//! linear in the acceleration and independent of speed, so they make one
//! constant matrix per geometry.

use std::f64::consts::PI;

use nalgebra::{Matrix6, Vector3, Vector6};

use super::lattice::Lattice;
use super::model::StripData;

/// Apparent mass falls with aspect ratio A as A / (A + this): 0.58, 0.75, 0.85
/// and 0.90 at 1, 2, 4 and 6 against 0.58, 0.76, 0.87 and 0.92 measured for
/// rectangular plates (R. D. Blevins, Formulas for Natural Frequency and Mode
/// Shape, 1979, table 14-3, from memory).
const ASPECT_SHIFT: f64 = 0.7;

/// Force and moment held back per acceleration (order u v w p q r), for air of
/// density one.
pub(super) fn added_mass(lattice: &Lattice, strips: &[StripData]) -> Matrix6<f64> {
    apparent_mass(lattice, strips) + downwash_lag(lattice)
}

/// The same about a point `offset` (m) away from the one it was found about.
pub(super) fn moved(matrix: Matrix6<f64>, offset: Vector3<f64>) -> Matrix6<f64> {
    let mut carry = Matrix6::identity();
    carry.fixed_view_mut::<3, 3>(0, 3).copy_from(&offset.cross_matrix());
    carry.transpose() * matrix * carry
}

fn apparent_mass(lattice: &Lattice, strips: &[StripData]) -> Matrix6<f64> {
    let all = lattice.grid.strips.len();
    let mut matrix = Matrix6::zeros();
    for (k, strip) in strips.iter().enumerate() {
        let source = &lattice.grid.strips[if k < all { k } else { k - all }];
        let ratio = source.surface_aspect_ratio;
        let mass = PI / 4.0 * strip.area_m2 * strip.chord_m * ratio / (ratio + ASPECT_SHIFT);
        let middle = strip.quarter_chord + strip.aft * (0.25 * strip.chord_m);
        let turning = middle.cross(&strip.normal);
        let direction = Vector6::new(
            strip.normal.x,
            strip.normal.y,
            strip.normal.z,
            turning.x,
            turning.y,
            turning.z,
        );
        matrix += direction * direction.transpose() * mass;
    }
    matrix
}

/// The column for vertical acceleration: lift on surfaces behind others that is
/// early, since their downwash is late.
fn downwash_lag(lattice: &Lattice) -> Matrix6<f64> {
    let (parity, strips) = (&lattice.symmetric, &lattice.grid.strips);
    let right = lattice.grid.right;
    let mut patterns = vec![0.0; right];
    for (k, strip) in strips.iter().take(right).enumerate() {
        // Sinking at one metre a second: the air comes up.
        patterns[k] = -strip.normal.z;
    }
    let by_pattern = &parity.circulation.by_pattern;
    let (mut circulation, mut answer) = (vec![0.0; right], vec![0.0; right]);
    by_pattern.add_product(&mut circulation, &patterns, 1.0);
    let mut late = vec![0.0; right];
    for (i, target) in strips.iter().take(right).enumerate() {
        for (j, source) in strips.iter().take(right).enumerate() {
            let trailing_edge = source.quarter_chord + source.aft * (0.75 * source.chord_m);
            let behind_m = trailing_edge.x - target.quarter_chord.x;
            if source.surface == target.surface || behind_m <= 0.0 {
                continue;
            }
            let part = |axis: usize| parity.induced.entry(3 * i + axis, j) * target.normal[axis];
            late[i] -= behind_m * (part(0) + part(1) + part(2)) * circulation[j];
        }
    }
    by_pattern.add_product(&mut answer, &late, 1.0);
    let mut held_back = Vector6::zeros();
    for (i, strip) in strips.iter().take(right).enumerate() {
        let force = -Vector3::x().cross(&strip.bound) * answer[i];
        let moment = strip.quarter_chord.cross(&force);
        // Both halves: what is lateral cancels. In air along x nothing pulls along.
        held_back.z -= 2.0 * force.z;
        held_back[4] -= 2.0 * moment.y;
    }
    let mut matrix = Matrix6::zeros();
    matrix.set_column(2, &held_back);
    matrix
}
