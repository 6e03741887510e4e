//! The circulation of every strip: patterns of the air through the strips, the
//! lattice's answer, and the sections' limits.

use nalgebra::DVector;

use super::{AeroModel, Scratch};
use crate::aero::limit::Limiter;
use crate::airframe::AirState;
use crate::math::add_product;

/// Greatest swing of the wake that the first-order operators are used for.
const WAKE_SWING_MAX_RAD: f64 = 0.3;

fn softly_limited(value: f64, limit: f64) -> f64 {
    limit * (value / limit).tanh()
}

impl AeroModel {
    /// Circulation of every strip, limited to what the sections carry.
    pub(super) fn solve(&self, air: &AirState, scratch: &mut Scratch) {
        self.fill_patterns(scratch);
        self.load(air, scratch);
        for iteration in 0..Limiter::ITERATIONS_MAX {
            if self.limiter.adjust(iteration, &self.strips, scratch) {
                break;
            }
            if iteration == 0 {
                scratch.blocked_loaded.fill(0.0);
            }
            self.reload(air, scratch);
        }
        if scratch.flow.iter().any(|flow| flow.blocked_m_s != 0.0) {
            self.fill_patterns(scratch);
            self.load(air, scratch);
        }
    }

    /// Brings the circulation, not its moment, up to the blocked velocities as
    /// they now are.
    fn reload(&self, air: &AirState, scratch: &mut Scratch) {
        let (right, all) = (self.lattice.grid.right, self.lattice.grid.strips.len());
        let parities = [&self.lattice.symmetric, &self.lattice.antisymmetric];
        let Scratch { flow, blocked_loaded, patterns, loading, base, .. } = scratch;
        let [symmetric, antisymmetric] = patterns;
        for (k, apart) in antisymmetric.iter_mut().take(all).enumerate() {
            let mut newly = |k: usize| {
                let before = std::mem::replace(&mut blocked_loaded[k], flow[k].blocked_m_s);
                before - flow[k].blocked_m_s
            };
            let own = newly(k);
            if k < right {
                let image = newly(all + k);
                symmetric[k] = 0.5 * (own + image);
                *apart = 0.5 * (own - image);
            } else {
                *apart = own;
            }
        }
        for (i, parity) in parities.iter().enumerate() {
            let strips = parity.strips;
            base[i].fill(0.0);
            add_product(&mut base[i], &parity.loading, &patterns[i].as_slice()[..strips], 1.0);
            for (sum, change) in loading[i].iter_mut().zip(&base[i]) {
                *sum += change;
            }
        }
        self.swing(air, loading, base, [right, all]);
        let [symmetric, antisymmetric] = loading;
        for (k, difference) in antisymmetric.iter().take(all).enumerate() {
            if k < right {
                flow[k].circulation = symmetric[k] + difference;
                flow[all + k].circulation = symmetric[k] - difference;
            } else {
                flow[k].circulation = *difference;
            }
        }
    }

    /// Adds what the circulation `base` does to the first rows of the loading
    /// through the wake, swung to the air's direction.
    fn swing(
        &self,
        air: &AirState,
        loading: &mut [DVector<f64>; 2],
        base: &[Vec<f64>; 2],
        rows: [usize; 2],
    ) {
        let parities = [&self.lattice.symmetric, &self.lattice.antisymmetric];
        let (alpha, beta) = self.wake_swing(air);
        for (i, parity) in parities.iter().enumerate() {
            let loading = &mut loading[i].as_mut_slice()[..rows[i]];
            if alpha != 0.0 {
                add_product(loading, &parity.wake_by_alpha, &base[i], alpha);
            }
            if beta != 0.0 {
                add_product(loading, &parity.wake_by_beta, &base[1 - i], beta);
            }
        }
    }

    /// Half the sum and half the difference of left and right.
    pub(super) fn fill_patterns(&self, scratch: &mut Scratch) {
        let (right, all) = (self.lattice.grid.right, self.lattice.grid.strips.len());
        let flow = &scratch.flow;
        let [symmetric, antisymmetric] = &mut scratch.patterns;
        for k in 0..all {
            let own = &flow[k];
            let (uniform, slope) = (own.uniform_m_s - own.blocked_m_s, own.slope_m_s);
            if k < right {
                let image = &flow[all + k];
                let (image_uniform, image_slope) =
                    (image.uniform_m_s - image.blocked_m_s, image.slope_m_s);
                symmetric[k] = 0.5 * (uniform + image_uniform);
                symmetric[right + k] = 0.5 * (slope + image_slope);
                antisymmetric[k] = 0.5 * (uniform - image_uniform);
                antisymmetric[all + k] = 0.5 * (slope - image_slope);
            } else {
                antisymmetric[k] = uniform;
                antisymmetric[all + k] = slope;
            }
        }
        for (column, strip) in self.flaps.strips().enumerate() {
            let own = scratch.flap_velocity[0][column];
            if strip < right {
                let image = scratch.flap_velocity[1][column];
                symmetric[2 * right + column] = 0.5 * (own + image);
                antisymmetric[2 * all + column] = 0.5 * (own - image);
            } else {
                antisymmetric[2 * all + column] = own;
            }
        }
    }

    /// Circulation for the present patterns, with the wake swung to the air's
    /// direction.
    pub(super) fn load(&self, air: &AirState, scratch: &mut Scratch) {
        let parities = [&self.lattice.symmetric, &self.lattice.antisymmetric];
        let Scratch { patterns, loading, base, .. } = scratch;
        for (i, parity) in parities.iter().enumerate() {
            loading[i].fill(0.0);
            add_product(loading[i].as_mut_slice(), &parity.loading, patterns[i].as_slice(), 1.0);
            base[i].copy_from_slice(&loading[i].as_slice()[..parity.strips]);
        }
        let rows = [loading[0].len(), loading[1].len()];
        self.swing(air, loading, base, rows);
        let (right, all) = (self.lattice.grid.right, self.lattice.grid.strips.len());
        let [symmetric, antisymmetric] = &scratch.loading;
        for k in 0..all {
            let difference = (antisymmetric[k], antisymmetric[all + k]);
            if k < right {
                let sum = (symmetric[k], symmetric[right + k]);
                let (own, image) = (k, all + k);
                scratch.flow[own].circulation = sum.0 + difference.0;
                scratch.flow[own].moment = sum.1 + difference.1;
                scratch.flow[image].circulation = sum.0 - difference.0;
                scratch.flow[image].moment = sum.1 - difference.1;
            } else {
                (scratch.flow[k].circulation, scratch.flow[k].moment) = difference;
            }
        }
    }

    /// How far the air's direction is from the one that the wake was laid at,
    /// limited to where a first-order swing is sound.
    fn wake_swing(&self, air: &AirState) -> (f64, f64) {
        let velocity = air.velocity_body;
        let speed = velocity.norm();
        if velocity.x <= 0.0 || speed <= 0.0 {
            return (0.0, 0.0);
        }
        let alpha = (velocity.z / velocity.x).atan() - self.lattice.wake_alpha_rad;
        let beta = (velocity.y / speed).asin();
        (softly_limited(alpha, WAKE_SWING_MAX_RAD), softly_limited(beta, WAKE_SWING_MAX_RAD))
    }
}
