//! Root of several equations in as many unknowns, where each evaluation is dear.
//!
//! # Method
//! Damped Newton with a Jacobian by forward differences that Broyden's rank-one
//! update (C. G. Broyden 1965) keeps current: after the first differences each
//! iteration costs one evaluation. The Jacobian is differenced anew only when
//! the steps stop helping. A Jacobian from a near problem starts the next one.
//!
//! # Limits
//! Finds the root that Newton's path leads to. Unknowns stay inside bounds; a
//! bound that holds an unknown back twice running ends the search and is named.

use nalgebra::{DMatrix, DVector};
use thiserror::Error;

/// Shares of a shortened step that are tried while the residual does not fall.
const SHARES: [f64; 4] = [1.0, 0.5, 0.25, 0.125];
/// A step that leaves more than this share of the residual calls for a new
/// Jacobian, if the present one is old.
const SLOW: f64 = 0.5;

/// When [`solve_newton`] is content, and how much it may work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NewtonOptions {
    /// Greatest residual in any equation.
    pub tolerance: f64,
    /// Cap on evaluations, differences included.
    pub evaluations_max: usize,
}

/// Bounds, scale and first step of each unknown.
#[derive(Debug, Clone, PartialEq)]
pub struct Bounds {
    /// Least values.
    pub lower: DVector<f64>,
    /// Greatest values.
    pub upper: DVector<f64>,
    /// Greatest change in one step.
    pub step_max: DVector<f64>,
    /// Step for differences.
    pub difference: DVector<f64>,
}

/// A root with what is needed to start on a near problem.
#[derive(Debug, Clone, PartialEq)]
pub struct NewtonSolution {
    /// The unknowns.
    pub unknowns: DVector<f64>,
    /// What is left of the equations.
    pub residual: DVector<f64>,
    /// Approximate Jacobian at the root; `None` where the start was a root
    /// and no Jacobian was given.
    pub jacobian: Option<DMatrix<f64>>,
    /// Evaluations used.
    pub evaluations: usize,
}

/// Why no root was found.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NewtonError<E> {
    /// The equations could not be evaluated.
    #[error("{0}")]
    Equations(E),
    /// An unknown wants to leave its bounds.
    #[error("unknown {index} is held at {value}")]
    AtBound {
        /// Index of the unknown.
        index: usize,
        /// The bound.
        value: f64,
        /// All unknowns where the search has stopped, that one at its bound.
        best: DVector<f64>,
        /// Largest part of the residual there before.
        residual: f64,
        /// Evaluations used.
        evaluations: usize,
    },
    /// The equations do not tell the unknowns apart where the search stands.
    #[error("the unknowns act alike or not at all after {evaluations} evaluations")]
    Singular {
        /// Where the search stands.
        best: DVector<f64>,
        /// Largest part of the residual there.
        residual: f64,
        /// Evaluations used.
        evaluations: usize,
    },
    /// Residual not below the tolerance within the cap, or no step helps.
    #[error("residual {residual} after {evaluations} evaluations")]
    NotConverged {
        /// Best estimate.
        best: DVector<f64>,
        /// Largest part of the residual there.
        residual: f64,
        /// Evaluations used.
        evaluations: usize,
    },
}

/// The unknowns for which `equations` give zero.
///
/// `jacobian` starts the search; without one it is differenced first.
///
/// # Errors
/// Those of `equations`, an unknown held at a bound, or no convergence.
pub fn solve_newton<E, F>(
    equations: F,
    start: DVector<f64>,
    jacobian: Option<&DMatrix<f64>>,
    bounds: &Bounds,
    options: NewtonOptions,
) -> Result<NewtonSolution, NewtonError<E>>
where
    F: FnMut(&DVector<f64>) -> Result<DVector<f64>, E>,
{
    let mut search = Search::start(equations, start, bounds, options)?;
    let size = search.point.len();
    let mut slope = jacobian.filter(|given| given.shape() == (size, size)).cloned();
    let mut stale = slope.is_none();
    let mut held_before = None;
    while !search.is_solved() {
        let fresh = stale;
        let mut current = match slope.take() {
            Some(kept) if !fresh => kept,
            _ => search.difference()?,
        };
        let progress = match newton_step(&current, &search.residual) {
            Some(step) => {
                let held = search.first_held(&step);
                if let Some(index) = held.filter(|_| held == held_before) {
                    return Err(search.at_bound(index, &step));
                }
                held_before = held;
                search.advance(&step, fresh, &mut current)?
            }
            None if fresh => return Err(search.singular()),
            None => Progress::None,
        };
        if progress == Progress::None && fresh {
            return Err(search.not_converged());
        }
        stale = progress != Progress::Good;
        slope = Some(current);
    }
    Ok(NewtonSolution {
        unknowns: search.point,
        residual: search.residual,
        jacobian: slope,
        evaluations: search.evaluations,
    })
}

/// How much one step has gained.
#[derive(PartialEq)]
enum Progress {
    None,
    Slow,
    Good,
}

/// The search at its present point.
struct Search<'a, F> {
    equations: F,
    bounds: &'a Bounds,
    options: NewtonOptions,
    point: DVector<f64>,
    residual: DVector<f64>,
    evaluations: usize,
}

impl<'a, E, F> Search<'a, F>
where
    F: FnMut(&DVector<f64>) -> Result<DVector<f64>, E>,
{
    fn start(
        mut equations: F,
        start: DVector<f64>,
        bounds: &'a Bounds,
        options: NewtonOptions,
    ) -> Result<Self, NewtonError<E>> {
        let point = clamp(start, bounds);
        let residual = equations(&point).map_err(NewtonError::Equations)?;
        Ok(Self { equations, bounds, options, point, residual, evaluations: 1 })
    }

    fn is_solved(&self) -> bool {
        self.residual.amax() <= self.options.tolerance
    }

    fn evaluate(&mut self, at: &DVector<f64>) -> Result<DVector<f64>, NewtonError<E>> {
        if self.evaluations >= self.options.evaluations_max {
            return Err(self.not_converged());
        }
        self.evaluations += 1;
        (self.equations)(at).map_err(NewtonError::Equations)
    }

    /// Jacobian by forward differences; backward where the bound is near.
    fn difference(&mut self) -> Result<DMatrix<f64>, NewtonError<E>> {
        let size = self.point.len();
        let mut slope = DMatrix::zeros(size, size);
        for column in 0..size {
            let mut at = self.point.clone();
            let step = self.bounds.difference[column];
            let forward = at[column] + step <= self.bounds.upper[column];
            at[column] += if forward { step } else { -step };
            let moved = at[column] - self.point[column];
            let difference = (self.evaluate(&at)? - &self.residual) / moved;
            slope.set_column(column, &difference);
        }
        Ok(slope)
    }

    /// Goes along `step`, each unknown by no more than it may; a `patient`
    /// search then tries the whole step shortened in its own direction.
    /// `slope` learns from each trial.
    fn advance(
        &mut self,
        step: &DVector<f64>,
        patient: bool,
        slope: &mut DMatrix<f64>,
    ) -> Result<Progress, NewtonError<E>> {
        let most = &self.bounds.step_max;
        let by_part = step.zip_map(most, |part, most| part.max(-most).min(most));
        let progress = self.attempt(&by_part, slope)?;
        if progress != Progress::None || !patient {
            return Ok(progress);
        }
        let excess =
            step.zip_fold(most, 1.0, |excess: f64, part, most| excess.max(part.abs() / most));
        for share in SHARES {
            let progress = self.attempt(&(step * (share / excess)), slope)?;
            if progress != Progress::None {
                return Ok(progress);
            }
        }
        Ok(Progress::None)
    }

    /// Goes one step, if the residual falls by it.
    fn attempt(
        &mut self,
        step: &DVector<f64>,
        slope: &mut DMatrix<f64>,
    ) -> Result<Progress, NewtonError<E>> {
        let trial = clamp(&self.point + step, self.bounds);
        let moved = &trial - &self.point;
        let length_squared = moved.norm_squared();
        if length_squared == 0.0 {
            return Ok(Progress::None);
        }
        let before = self.residual.norm();
        let residual = self.evaluate(&trial)?;
        let surprise = &residual - &self.residual - &*slope * &moved;
        *slope += surprise * moved.transpose() / length_squared;
        let after = residual.norm();
        if after >= before && residual.amax() > self.options.tolerance {
            return Ok(Progress::None);
        }
        (self.point, self.residual) = (trial, residual);
        Ok(if after < SLOW * before { Progress::Good } else { Progress::Slow })
    }

    fn first_held(&self, step: &DVector<f64>) -> Option<usize> {
        (0..step.len()).find(|&index| {
            let wanted = self.point[index] + step[index];
            wanted < self.bounds.lower[index] || wanted > self.bounds.upper[index]
        })
    }

    fn at_bound(&self, index: usize, step: &DVector<f64>) -> NewtonError<E> {
        let value = clamp(&self.point + step, self.bounds)[index];
        // The other unknowns stay: the step that presses against the bound is
        // no guide to them.
        let mut best = self.point.clone();
        best[index] = value;
        let residual = self.residual.amax();
        NewtonError::AtBound { index, value, best, residual, evaluations: self.evaluations }
    }

    fn singular(&self) -> NewtonError<E> {
        NewtonError::Singular {
            best: self.point.clone(),
            residual: self.residual.amax(),
            evaluations: self.evaluations,
        }
    }

    fn not_converged(&self) -> NewtonError<E> {
        NewtonError::NotConverged {
            best: self.point.clone(),
            residual: self.residual.amax(),
            evaluations: self.evaluations,
        }
    }
}

/// The Newton step; `None` where the Jacobian is singular.
fn newton_step(slope: &DMatrix<f64>, residual: &DVector<f64>) -> Option<DVector<f64>> {
    let step = -slope.clone().lu().solve(residual)?;
    step.iter().all(|part| part.is_finite()).then_some(step)
}

fn clamp(mut point: DVector<f64>, bounds: &Bounds) -> DVector<f64> {
    for (index, part) in point.iter_mut().enumerate() {
        // Not f64::clamp, which would end the program on reversed bounds.
        *part = part.max(bounds.lower[index]).min(bounds.upper[index]);
    }
    point
}

#[cfg(test)]
mod tests;
