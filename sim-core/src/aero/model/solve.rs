//! The circulation of every strip: patterns of the air through the strips, the
//! lattice's answer, and the sections' limits.

use super::{AeroModel, Scratch};
use crate::aero::lattice::{Answer, Parity};
use crate::aero::limit::Limiter;
use crate::airframe::AirState;

/// Greatest swing of the wake that the first-order operators are used for.
const WAKE_SWING_MAX_RAD: f64 = 0.3;

fn softly_limited(value: f64, limit: f64) -> f64 {
    limit * (value / limit).tanh()
}

/// Adds what the wake brings, swung to the air's direction by an angle of
/// attack and a sideslip, when the circulation is `straight` without.
fn add_swing(
    answers: [&Answer; 2],
    sums: [&mut Vec<f64>; 2],
    straight: [&Vec<f64>; 2],
    (alpha_rad, beta_rad): (f64, f64),
) {
    for ((answer, sum), [own, other]) in
        answers.into_iter().zip(sums).zip([straight, [straight[1], straight[0]]])
    {
        if alpha_rad != 0.0 {
            answer.by_wake_alpha.add_product(sum, own, alpha_rad);
        }
        if beta_rad != 0.0 {
            answer.by_wake_beta.add_product(sum, other, beta_rad);
        }
    }
}

/// What the lattice is asked and what it answers, in one parity.
#[derive(Debug, Clone, Default)]
pub(in crate::aero) struct Potential {
    /// Velocity through every strip, then the rates of roll, pitch and yaw.
    patterns: Vec<f64>,
    /// What the patterns have changed by.
    change: Vec<f64>,
    /// Velocity through every flap.
    flaps: Vec<f64>,
    /// Circulation that the change brings while the wake lies straight.
    straight_change: Vec<f64>,
    /// Circulation while the wake lies straight.
    straight: Vec<f64>,
    /// Circulation with the wake swung to the air's direction.
    pub circulation: Vec<f64>,
    /// Its moment.
    moment: Vec<f64>,
    /// Velocity at all quarter-chord points, three numbers each.
    pub induced: Vec<f64>,
}

impl Potential {
    pub fn new(parity: &Parity, strips: usize) -> Self {
        let of_strips = || vec![0.0; parity.strips];
        Self {
            patterns: vec![0.0; parity.strips + 3],
            change: vec![0.0; parity.strips + 3],
            flaps: vec![0.0; parity.flaps],
            straight_change: of_strips(),
            straight: of_strips(),
            circulation: of_strips(),
            moment: of_strips(),
            induced: vec![0.0; 3 * strips],
        }
    }
}

impl AeroModel {
    /// Circulation of every strip for the air that it meets, unlimited.
    pub(super) fn begin(&self, air: &AirState, scratch: &mut Scratch) {
        scratch.wake_swing_rad = self.wake_swing(air);
        self.fill_flaps(scratch);
        for (parity, potential) in self.lattice.parities().into_iter().zip(&mut scratch.potentials)
        {
            let Potential { patterns, change, flaps, straight_change, .. } = potential;
            patterns.fill(0.0);
            patterns[parity.strips..].copy_from_slice(air.rates_body.as_slice());
            change.copy_from_slice(patterns);
            straight_change.fill(0.0);
            parity.circulation.by_flap.add_product(straight_change, flaps, 1.0);
            potential.straight.fill(0.0);
            potential.circulation.fill(0.0);
        }
        self.add_changes(scratch);
        for (parity, potential) in self.lattice.parities().into_iter().zip(&mut scratch.potentials)
        {
            potential.change[parity.strips..].fill(0.0);
        }
    }

    /// Brings the circulation up to the air that the strips meet now, rates and
    /// flaps as they were.
    pub(super) fn follow(&self, scratch: &mut Scratch) {
        for potential in &mut scratch.potentials {
            potential.straight_change.fill(0.0);
        }
        self.add_changes(scratch);
    }

    /// Circulation of every strip, limited to what the sections carry, and what
    /// follows from it.
    pub(super) fn solve(&self, scratch: &mut Scratch) {
        for iteration in 0..Limiter::ITERATIONS_MAX {
            if self.limiter.adjust(iteration, &self.strips, scratch) {
                break;
            }
            self.follow(scratch);
        }
        self.find_moments(scratch);
        for (parity, potential) in self.lattice.parities().into_iter().zip(&mut scratch.potentials)
        {
            potential.induced.fill(0.0);
            parity.induced.add_product(&mut potential.induced, &potential.circulation, 1.0);
        }
    }

    /// Adds to the circulation what the changes of the air since bring, and
    /// what stands in `straight_change` already.
    fn add_changes(&self, scratch: &mut Scratch) {
        self.fill_changes(scratch);
        let Scratch { flow, potentials, wake_swing_rad, .. } = scratch;
        for (parity, potential) in self.lattice.parities().into_iter().zip(&mut *potentials) {
            let Potential { change, straight_change, straight, circulation, .. } = potential;
            parity.circulation.by_pattern.add_product(straight_change, change, 1.0);
            for (k, change) in straight_change.iter().enumerate() {
                straight[k] += change;
                circulation[k] += change;
            }
        }
        let [symmetric, antisymmetric] = potentials;
        let straight = [&symmetric.straight_change, &antisymmetric.straight_change];
        let sums = [&mut symmetric.circulation, &mut antisymmetric.circulation];
        let answers = self.lattice.parities().map(|parity| &parity.circulation);
        add_swing(answers, sums, straight, *wake_swing_rad);
        self.share_out(potentials, |k, sum| flow[k].circulation = sum, |p| &p.circulation);
    }

    fn find_moments(&self, scratch: &mut Scratch) {
        let Scratch { flow, potentials, wake_swing_rad, .. } = scratch;
        for (parity, potential) in self.lattice.parities().into_iter().zip(&mut *potentials) {
            let Potential { patterns, flaps, moment, .. } = potential;
            moment.fill(0.0);
            parity.moment.by_pattern.add_product(moment, patterns, 1.0);
            parity.moment.by_flap.add_product(moment, flaps, 1.0);
        }
        let [symmetric, antisymmetric] = potentials;
        let straight = [&symmetric.straight, &antisymmetric.straight];
        let sums = [&mut symmetric.moment, &mut antisymmetric.moment];
        let answers = self.lattice.parities().map(|parity| &parity.moment);
        add_swing(answers, sums, straight, *wake_swing_rad);
        self.share_out(potentials, |k, sum| flow[k].moment = sum, |p| &p.moment);
    }

    /// Gives every strip its value out of half the sum and half the difference
    /// of left and right.
    fn share_out(
        &self,
        potentials: &[Potential; 2],
        mut give: impl FnMut(usize, f64),
        of: impl Fn(&Potential) -> &[f64],
    ) {
        let (right, all) = (self.lattice.grid.right, self.lattice.grid.strips.len());
        let [sums, differences] = [of(&potentials[0]), of(&potentials[1])];
        for (k, (sum, difference)) in sums.iter().zip(differences).enumerate() {
            give(k, sum + difference);
            give(all + k, sum - difference);
        }
        for (k, whole) in differences.iter().enumerate().skip(right) {
            give(k, *whole);
        }
    }

    /// What half the sum and half the difference of left and right of the air
    /// through the strips have changed by.
    fn fill_changes(&self, scratch: &mut Scratch) {
        let (right, all) = (self.lattice.grid.right, self.lattice.grid.strips.len());
        let Scratch { flow, potentials: [symmetric, antisymmetric], .. } = scratch;
        let newly = |potential: &mut Potential, k: usize, through_m_s: f64| {
            let before = std::mem::replace(&mut potential.patterns[k], through_m_s);
            potential.change[k] = through_m_s - before;
        };
        for k in 0..all {
            let own = flow[k].through_m_s();
            if k < right {
                let image = flow[all + k].through_m_s();
                newly(symmetric, k, 0.5 * (own + image));
                newly(antisymmetric, k, 0.5 * (own - image));
            } else {
                newly(antisymmetric, k, own);
            }
        }
    }

    fn fill_flaps(&self, scratch: &mut Scratch) {
        let right = self.lattice.grid.right;
        let Scratch { flap_velocity, potentials: [symmetric, antisymmetric], .. } = scratch;
        for (column, strip) in self.flaps.strips().enumerate() {
            let own = flap_velocity[0][column];
            if strip < right {
                let image = flap_velocity[1][column];
                symmetric.flaps[column] = 0.5 * (own + image);
                antisymmetric.flaps[column] = 0.5 * (own - image);
            } else {
                antisymmetric.flaps[column] = own;
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
