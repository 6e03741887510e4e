//! Root of one equation in one unknown, between two values of unlike sign.
//!
//! # Method
//! Interpolate, truncate, project (I. F. D. Oliveira and R. H. C. Takahashi,
//! ACM Trans. Math. Software 47(1), 2021; from memory): the secant's point,
//! moved a little towards the middle and kept so near to it that never more
//! than one evaluation is lost against bisection.
//! Own code because the libraries that bring bracketing (argmin) bring an
//! executor, observers and a random number generator with it.

use thiserror::Error;

/// Share of the bracket by which the secant's point is moved (k1 of the paper,
/// at its k2 = 2).
const TRUNCATION: f64 = 0.2;
/// Evaluations that may be lost against bisection (n0 of the paper).
const SLACK: f64 = 1.0;

/// When [`find_root`] is content.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RootOptions {
    /// Greatest error of the root, in the unknown's unit; positive.
    pub tolerance: f64,
    /// Greatest number of evaluations; bisection alone from 1 to 1e-12 takes
    /// about 40.
    pub evaluations_max: usize,
}

impl Default for RootOptions {
    fn default() -> Self {
        Self { tolerance: 1e-10, evaluations_max: 100 }
    }
}

/// Why no root was found.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum RootError {
    /// The function has the same sign at both ends.
    #[error("no change of sign: {at_lower} at {lower}, {at_upper} at {upper}")]
    NotBracketed {
        /// Lower end.
        lower: f64,
        /// Upper end.
        upper: f64,
        /// Value at the lower end.
        at_lower: f64,
        /// Value at the upper end.
        at_upper: f64,
    },
    /// The function or an end of the bracket is not finite.
    #[error("not finite at {at}")]
    NotFinite {
        /// Where.
        at: f64,
    },
    /// The cap was reached first.
    #[error("no root after {evaluations} evaluations, {width} wide about {best}")]
    NotConverged {
        /// Best estimate.
        best: f64,
        /// Width of the bracket about it.
        width: f64,
        /// Evaluations used.
        evaluations: usize,
    },
}

/// A root of `function` between `lower` and `upper`.
///
/// # Errors
/// No change of sign over the bracket, a value that is not finite, or the cap
/// reached.
pub fn find_root(
    mut function: impl FnMut(f64) -> f64,
    lower: f64,
    upper: f64,
    options: RootOptions,
) -> Result<f64, RootError> {
    let mut evaluate = |at: f64| {
        let value = function(at);
        if at.is_finite() && value.is_finite() {
            Ok(value)
        } else {
            Err(RootError::NotFinite { at })
        }
    };
    let (at_lower, at_upper) = (evaluate(lower)?, evaluate(upper)?);
    if at_lower * at_upper > 0.0 {
        return Err(RootError::NotBracketed { lower, upper, at_lower, at_upper });
    }
    if at_lower == 0.0 || at_upper == 0.0 {
        return Ok(if at_lower == 0.0 { lower } else { upper });
    }
    let tolerance = options.tolerance + 2.0 * f64::EPSILON * lower.abs().max(upper.abs());
    let bisections = ((upper - lower).abs() / (2.0 * tolerance)).log2().ceil().max(0.0);
    let truncation = TRUNCATION / (upper - lower).abs();
    // `left` is the end where the function is negative, `right` the other.
    let swap = at_lower > 0.0;
    let (mut left, mut at_left) = if swap { (upper, at_upper) } else { (lower, at_lower) };
    let (mut right, mut at_right) = if swap { (lower, at_lower) } else { (upper, at_upper) };
    let mut reach = tolerance * (bisections + SLACK).exp2();
    for _ in 2..=options.evaluations_max {
        let width = (right - left).abs();
        let middle = 0.5 * (left + right);
        if width <= 2.0 * tolerance {
            return Ok(middle);
        }
        let secant = (at_right * left - at_left * right) / (at_right - at_left);
        let towards = (middle - secant).signum();
        let shift = (truncation * width * width).min((middle - secant).abs());
        let trial = secant + towards * shift;
        let most = (reach - 0.5 * width).max(0.0);
        let next = if (trial - middle).abs() <= most { trial } else { middle - towards * most };
        let value = evaluate(next)?;
        match value.partial_cmp(&0.0) {
            Some(std::cmp::Ordering::Less) => (left, at_left) = (next, value),
            Some(std::cmp::Ordering::Greater) => (right, at_right) = (next, value),
            _ => return Ok(next),
        }
        reach *= 0.5;
    }
    Err(RootError::NotConverged {
        best: 0.5 * (left + right),
        width: (right - left).abs(),
        evaluations: options.evaluations_max,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_known_roots_with_few_evaluations() {
        let mut calls = 0;
        let root = find_root(
            |x| {
                calls += 1;
                x.cos() - x
            },
            0.0,
            1.5,
            RootOptions::default(),
        )
        .unwrap();
        // The fixed point of the cosine (Dottie's number).
        assert!((root - 0.739_085_133_215_160_6).abs() < 1e-10);
        assert!(calls < 14, "{calls}");
        let cube = find_root(|x| x * x * x, -1.0, 2.0, RootOptions::default()).unwrap();
        assert!(cube.abs() < 1e-9);
        let step =
            find_root(|x| if x < 0.3 { -1.0 } else { 5.0 }, 0.0, 1.0, RootOptions::default());
        assert!((step.unwrap() - 0.3).abs() < 1e-9);
    }

    #[test]
    fn a_root_at_an_end_counts() {
        assert_eq!(find_root(|x| x, 0.0, 1.0, RootOptions::default()), Ok(0.0));
        assert_eq!(find_root(|x| x - 1.0, 0.0, 1.0, RootOptions::default()), Ok(1.0));
    }

    #[test]
    fn says_why_not() {
        let options = RootOptions { tolerance: 1e-12, evaluations_max: 5 };
        assert!(matches!(
            find_root(|x| x * x + 1.0, -1.0, 1.0, options),
            Err(RootError::NotBracketed { .. })
        ));
        assert!(matches!(
            find_root(|_| f64::NAN, 0.0, 1.0, options),
            Err(RootError::NotFinite { .. })
        ));
        assert!(matches!(
            find_root(|x| x.powi(9) - 0.1, 0.0, 10.0, options),
            Err(RootError::NotConverged { .. })
        ));
    }
}
