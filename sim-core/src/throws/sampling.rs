//! How sure is a result, and which measurement should be repeated?
//!
//! Every measurement has a plausible error. Owen-scrambled Sobol points spread
//! errors evenly over all of them at once; the same seed and index always give
//! the same point, so workers can take slices of the indices in any order. A
//! result's interval is taken from its percentiles, and each input's share of
//! the variance from a regression of the ranks: exact for independent inputs
//! and a monotonic, additive result, and an honest remainder otherwise.
//!
//! References: A. B. Owen, "Scrambling Sobol' and Niederreiter-Xing points",
//! J. Complexity 14, 1998; A. Saltelli et al., "Global Sensitivity Analysis",
//! 2008, ch. 1 (both from memory).

use std::ops::Range;

use nalgebra::{DMatrix, DVector};
use serde::{Deserialize, Serialize};

use crate::math::{ascending_places, ordered_by, sort_numbers};

/// Most inputs that can vary at once.
pub const INPUTS_MAX: usize = 256;
/// Most samples in one plan.
pub const SAMPLES_MAX: usize = 1 << 16;

/// Which samples belong to a study.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct SamplePlan {
    inputs: usize,
    samples: usize,
    seed: u32,
}

/// Why a plan cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum SampleError {
    /// Too few or too many inputs.
    #[error("inputs: is {value}, allowed is 1 to {INPUTS_MAX}")]
    Inputs {
        /// Number asked for.
        value: usize,
    },
    /// Too few or too many samples.
    #[error("samples: is {value}, allowed is 1 to {SAMPLES_MAX}")]
    Samples {
        /// Number asked for.
        value: usize,
    },
}

impl SamplePlan {
    /// A plan of `samples` points in `inputs` dimensions; a power of two
    /// spreads best.
    ///
    /// # Errors
    /// [`SampleError`] for none or too many of either.
    #[inline]
    pub fn new(inputs: usize, samples: usize, seed: u32) -> Result<Self, SampleError> {
        if !(1..=INPUTS_MAX).contains(&inputs) {
            return Err(SampleError::Inputs { value: inputs });
        }
        if !(1..=SAMPLES_MAX).contains(&samples) {
            return Err(SampleError::Samples { value: samples });
        }
        Ok(Self { inputs, samples, seed })
    }

    /// Number of samples.
    #[inline]
    pub fn samples(&self) -> usize {
        self.samples
    }

    /// Number of inputs.
    #[inline]
    pub fn inputs(&self) -> usize {
        self.inputs
    }

    /// One sample: a standard normal number for each input. To be multiplied
    /// by each input's standard deviation. An index beyond the plan wraps.
    #[inline]
    pub fn standard_normals(&self, index: usize) -> Vec<f64> {
        let index = (index % self.samples) as u32;
        (0..self.inputs)
            .map(|input| {
                let uniform = f64::from(sobol_burley::sample(index, input as u32, self.seed));
                // The sequence has 24 bits; the middle of each step keeps
                // clear of 0 and 1 without moving the mean.
                standard_normal_quantile(uniform + HALF_STEP)
            })
            .collect()
    }

    /// Runs a slice of the samples, in order; workers take disjoint slices
    /// and the results are put together by index. The slice is cut to the plan.
    pub fn run<T>(&self, slice: Range<usize>, mut evaluate: impl FnMut(&[f64]) -> T) -> Vec<T> {
        (slice.start..slice.end.min(self.samples))
            .map(|index| evaluate(&self.standard_normals(index)))
            .collect()
    }
}

/// Half of the step between neighbouring values of the sequence.
const HALF_STEP: f64 = 0.5 / (1 << 24) as f64;

/// The number below which a standard normal variable falls with probability
/// `probability`, 0 and 1 excluded.
#[inline]
fn standard_normal_quantile(probability: f64) -> f64 {
    -std::f64::consts::SQRT_2 * statrs::function::erf::erfc_inv(2.0 * probability)
}

/// An interval and its middle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Interval {
    /// Lower percentile.
    pub low: f64,
    /// Median.
    pub median: f64,
    /// Upper percentile.
    pub high: f64,
    /// How many samples gave a number.
    pub counted: usize,
    /// How many gave none (no trim, no mode, not finite).
    pub failed: usize,
}

/// Percentiles of the results: `share` is the part of all samples inside, 0.9
/// for 5 to 95 %. Results that are not numbers are counted, not used; `None`
/// where fewer than two are.
///
/// # Method
/// Linear between the ordered results (type 7 of Hyndman and Fan, The American
/// Statistician 50, 1996, from memory).
#[inline]
pub fn interval(results: &[f64], share: f64) -> Option<Interval> {
    let mut sorted: Vec<f64> = results.iter().copied().filter(|x| x.is_finite()).collect();
    if sorted.len() < 2 {
        return None;
    }
    sort_numbers(&mut sorted);
    let tail = 0.5 * (1.0 - share.clamp(0.0, 1.0));
    Some(Interval {
        low: percentile(&sorted, tail),
        median: percentile(&sorted, 0.5),
        high: percentile(&sorted, 1.0 - tail),
        counted: sorted.len(),
        failed: results.len() - sorted.len(),
    })
}

#[inline]
fn percentile(sorted: &[f64], probability: f64) -> f64 {
    let place = probability * (sorted.len() - 1) as f64;
    let below = (place.floor() as usize).min(sorted.len() - 1);
    let above = (below + 1).min(sorted.len() - 1);
    sorted[below] + (place - below as f64) * (sorted[above] - sorted[below])
}

/// How much of a result's spread comes from one input.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct InputShare {
    /// Number of the input in the plan.
    pub input: usize,
    /// Its share of the variance, 0 to 1.
    pub share: f64,
    /// Whether the result grows with the input.
    pub grows: bool,
}

/// Ranks the inputs of a plan by their share in the spread of results. Made
/// once for all results that come from the same samples.
///
/// # Method
/// Squared coefficients of a linear regression of the ranks, standardised.
/// Unlike plain rank correlations they do not take one input for another where
/// the sample's columns happen to be alike, as those of high Sobol dimensions
/// are in short sequences.
#[derive(Debug, Clone)]
pub struct Ranking {
    used: Vec<usize>,
    columns: Vec<Vec<f64>>,
    factors: Option<nalgebra::Cholesky<f64, nalgebra::Dyn>>,
}

impl Ranking {
    /// A ranking by those samples of `plan` that gave a result; `results` has
    /// one for each sample in order, no number where there is none.
    ///
    /// # Limits
    /// Ranks nothing with fewer than [`RANKING_SAMPLES_PER_INPUT`] results for
    /// each input, where a regression would fit noise.
    #[inline]
    pub fn new(plan: &SamplePlan, results: &[f64]) -> Self {
        let used = numbered(plan, results);
        if used.len() < RANKING_SAMPLES_PER_INPUT * plan.inputs {
            return Self { used, columns: Vec::new(), factors: None };
        }
        let samples: Vec<Vec<f64>> =
            used.iter().map(|&index| plan.standard_normals(index)).collect();
        let columns: Vec<Vec<f64>> = (0..plan.inputs)
            .map(|input| {
                standardised(&samples.iter().map(|sample| sample[input]).collect::<Vec<_>>())
            })
            .collect();
        let likeness =
            DMatrix::from_fn(plan.inputs, plan.inputs, |i, j| dot(&columns[i], &columns[j]));
        Self { used, columns, factors: likeness.cholesky() }
    }

    /// Whether `results` come from the samples that this ranking was made for.
    #[inline]
    pub fn fits(&self, plan: &SamplePlan, results: &[f64]) -> bool {
        numbered(plan, results) == self.used
    }

    /// Each input's share in the spread of `results`, largest first. What all
    /// shares leave up to 1 is interplay of inputs and noise of the ranking.
    /// Empty where there are too few.
    #[inline]
    pub fn shares(&self, results: &[f64]) -> Vec<InputShare> {
        let Some(factors) = &self.factors else { return Vec::new() };
        let outcome: Vec<f64> =
            self.used.iter().filter_map(|&index| results.get(index).copied()).collect();
        let outcome = standardised(&outcome);
        let with_outcome = DVector::from_iterator(
            self.columns.len(),
            self.columns.iter().map(|x| dot(x, &outcome)),
        );
        let coefficients = factors.solve(&with_outcome);
        let shares: Vec<InputShare> = coefficients
            .iter()
            .enumerate()
            .map(|(input, slope)| InputShare { input, share: slope * slope, grows: *slope > 0.0 })
            .collect();
        ordered_by(&shares, |own| -own.share)
    }
}

/// The samples of a plan that gave a number.
#[inline]
fn numbered(plan: &SamplePlan, results: &[f64]) -> Vec<usize> {
    (0..plan.samples.min(results.len())).filter(|&index| results[index].is_finite()).collect()
}

#[inline]
fn dot(x: &[f64], y: &[f64]) -> f64 {
    x.iter().zip(y).map(|(a, b)| a * b).sum()
}

/// Least number of results for each input of a ranking.
pub const RANKING_SAMPLES_PER_INPUT: usize = 2;

/// Ranks of the values less their mean, of unit length; zeros where all are
/// alike.
#[inline]
fn standardised(values: &[f64]) -> Vec<f64> {
    let ranks = ranks(values);
    let mean = ranks.iter().sum::<f64>() / ranks.len().max(1) as f64;
    let length = ranks.iter().map(|rank| (rank - mean).powi(2)).sum::<f64>().sqrt();
    let scale = if length > 0.0 { 1.0 / length } else { 0.0 };
    ranks.iter().map(|rank| (rank - mean) * scale).collect()
}

/// Rank of each value, ties sharing their mean rank.
#[inline]
fn ranks(values: &[f64]) -> Vec<f64> {
    let order = ascending_places(values);
    let mut ranks = vec![0.0; values.len()];
    let mut start = 0;
    while start < order.len() {
        let tied =
            order[start..].iter().take_while(|&&i| values[i] == values[order[start]]).count();
        let mean = start as f64 + 0.5 * (tied - 1) as f64;
        for &index in &order[start..start + tied] {
            ranks[index] = mean;
        }
        start += tied;
    }
    ranks
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan() -> SamplePlan {
        SamplePlan::new(5, 256, 42).unwrap()
    }

    /// Tabulated: the 97.5 % point is 1.959964, the 95 % point 1.644854.
    #[test]
    fn quantiles_are_the_tabulated_ones() {
        for (probability, value) in [(0.5, 0.0), (0.975, 1.959_964), (0.05, -1.644_854)] {
            assert!((standard_normal_quantile(probability) - value).abs() < 1e-6);
        }
    }

    /// A sum of two inputs, 3 a + 4 b, has standard deviation 5, shares 0.36
    /// and 0.64, and its 5 to 95 % interval is ±1.645 times 5. The 5 % point of
    /// 256 random numbers scatters by sqrt(0.05 x 0.95/256)/0.103 = 0.13
    /// standard deviations, 8 % of itself; ours must do better than that.
    #[test]
    fn a_sum_gives_its_interval_and_shares() {
        let results = plan().run(0..256, |z| 3.0 * z[1] + 4.0 * z[3]);
        let band = interval(&results, 0.9).unwrap();
        assert!((band.high / 8.224 - 1.0).abs() < 0.08, "{band:?}");
        assert!((band.low / -8.224 - 1.0).abs() < 0.08, "{band:?}");
        assert!(band.median.abs() < 0.2);
        let shares = Ranking::new(&plan(), &results).shares(&results);
        assert_eq!((shares[0].input, shares[1].input), (3, 1));
        assert!((shares[0].share - 0.64).abs() < 0.05, "{shares:?}");
        assert!((shares[1].share - 0.36).abs() < 0.05, "{shares:?}");
        assert!(shares[2].share < 0.03);
        assert!(shares[0].grows);
    }

    #[test]
    fn slices_put_together_are_the_whole_and_seeds_differ() {
        let whole = plan().run(0..256, <[f64]>::to_vec);
        let mut parts = plan().run(0..100, <[f64]>::to_vec);
        parts.extend(plan().run(100..400, <[f64]>::to_vec));
        assert_eq!(whole, parts);
        let other = SamplePlan::new(5, 256, 43).unwrap();
        assert_ne!(whole[0], other.standard_normals(0));
    }

    /// Mean and variance of each column: evenly spread points are far nearer
    /// to 0 and 1 than the 1/16 of random ones.
    #[test]
    fn columns_are_standard_normal() {
        let wide = SamplePlan::new(40, 256, 7).unwrap();
        let samples = wide.run(0..256, <[f64]>::to_vec);
        for input in 0..40 {
            let mean = samples.iter().map(|s| s[input]).sum::<f64>() / 256.0;
            let square = samples.iter().map(|s| s[input].powi(2)).sum::<f64>() / 256.0;
            assert!(mean.abs() < 0.02, "input {input} mean {mean}");
            assert!((square - 1.0).abs() < 0.05, "input {input} variance {square}");
            assert!(samples.iter().all(|s| s[input].is_finite()));
        }
    }

    #[test]
    fn failures_are_counted_and_bounds_kept() {
        let band = interval(&[1.0, f64::NAN, 3.0, 2.0, f64::INFINITY], 1.0).unwrap();
        assert_eq!((band.low, band.median, band.high), (1.0, 2.0, 3.0));
        assert_eq!((band.counted, band.failed), (3, 2));
        assert_eq!(interval(&[1.0], 0.9), None);
        assert_eq!(SamplePlan::new(0, 4, 0), Err(SampleError::Inputs { value: 0 }));
        assert!(SamplePlan::new(4, SAMPLES_MAX + 1, 0).is_err());
        let flat = Ranking::new(&plan(), &[1.0; 256]).shares(&[1.0; 256]);
        assert!(flat.iter().all(|share| share.share == 0.0));
    }

    #[test]
    fn ties_share_their_rank() {
        assert_eq!(ranks(&[5.0, 1.0, 5.0]), vec![1.5, 0.0, 1.5]);
    }

    /// Linear between the ordered results: of 0 to 3 the 5 % point is 0.15.
    #[test]
    fn percentiles_lie_between_the_results() {
        let band = interval(&[3.0, 0.0, 2.0, 1.0], 0.9).unwrap();
        for (ours, theirs) in [(band.low, 0.15), (band.median, 1.5), (band.high, 2.85)] {
            assert!((ours - theirs).abs() < 1e-12, "{band:?}");
        }
    }

    /// A result that only tells above from below takes three quarters of its variance
    /// from the rank, the square of its correlation with an even spread.
    #[test]
    fn a_result_of_two_values_is_ranked_with_its_ties() {
        let results = plan().run(0..256, |z| f64::from(u8::from(z[2] < 0.0)));
        let shares = Ranking::new(&plan(), &results).shares(&results);
        assert_eq!((shares[0].input, shares[0].grows), (2, false));
        assert!((shares[0].share - 0.75).abs() < 0.02, "{shares:?}");
    }

    /// Two results for each input are enough, one less is not; another set of
    /// failures asks for another ranking.
    #[test]
    fn a_ranking_belongs_to_its_samples() {
        for (samples, ranked) in [(9, false), (10, true)] {
            let few = SamplePlan::new(5, samples, 42).unwrap();
            let results = few.run(0..samples, |z| z[0]);
            assert_eq!(!Ranking::new(&few, &results).shares(&results).is_empty(), ranked);
        }
        let mut results = plan().run(0..256, |z| z[0] + z[1]);
        let ranking = Ranking::new(&plan(), &results);
        assert!(ranking.fits(&plan(), &results));
        results[17] = f64::NAN;
        assert!(!ranking.fits(&plan(), &results));
    }
}
