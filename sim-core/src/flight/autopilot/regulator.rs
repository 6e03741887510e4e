//! Feedback gains from the aircraft's own linear model.
//!
//! # Method
//! The linear-quadratic regulator: of all constant gains the one that makes the
//! weighted sum of squared errors and squared deflections least. The model is
//! taken in steps of 20 ms and the Riccati equation iterated until it stands
//! (Stevens, Lewis and Johnson 2016, section 5.3 and 5.7; from memory). It suits
//! rudder-elevator and aileron models alike, since the model itself says what
//! the rudder does to the bank.

use nalgebra::{DMatrix, DVector};

/// Step of the discrete model, s.
const STEP_S: f64 = 0.02;
/// Cap on the iteration, and the relative change at which it stands. 3000 steps
/// are a minute of flight, longer than any mode that matters here.
const ITERATIONS_MAX: usize = 3000;
const TOLERANCE: f64 = 1e-9;

/// Gains `K` (inputs by states) of the law `input = -K error` for
/// `x' = a x + b u`, with weights of squared states and squared inputs. All zero
/// where there is no input or no finite solution.
pub(super) fn gains(
    a: &DMatrix<f64>,
    b: &DMatrix<f64>,
    state_weights: &[f64],
    input_weights: &[f64],
) -> DMatrix<f64> {
    let none = DMatrix::zeros(b.ncols(), a.ncols());
    if b.ncols() == 0 {
        return none;
    }
    let unit = DMatrix::identity(a.nrows(), a.ncols());
    let (first, second) = (a * STEP_S, product(a, a) * (0.5 * STEP_S * STEP_S));
    let step = &unit + &first + &second;
    let push = product(&(&unit * STEP_S + a * (0.5 * STEP_S * STEP_S)), b);
    let q = DMatrix::from_diagonal(&DVector::from_column_slice(state_weights)) * STEP_S;
    let r = DMatrix::from_diagonal(&DVector::from_column_slice(input_weights)) * STEP_S;
    let mut cost = q.clone();
    let mut law = none.clone();
    for _ in 0..ITERATIONS_MAX {
        let weighed = product(&push.transpose(), &cost);
        let Some(factors) = (&r + product(&weighed, &push)).cholesky() else { return none };
        law = factors.solve(&product(&weighed, &step));
        let rest = &step - product(&push, &law);
        let next = &q + product(&product(&step.transpose(), &cost), &rest);
        let change = (&next - &cost).norm();
        cost = 0.5 * (&next + next.transpose());
        if change.is_nan() || change <= TOLERANCE * cost.norm() {
            break;
        }
    }
    if law.iter().all(|gain| gain.is_finite()) { law } else { none }
}

/// Compiled once: written out at each place it would be half of the law's code.
#[inline(never)]
fn product(left: &DMatrix<f64>, right: &DMatrix<f64>) -> DMatrix<f64> {
    left * right
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The double integrator x'' = u with weights 1 on x and 1 on u has the
    /// gains 1 and sqrt(2) (any text; here by hand from the Riccati equation).
    #[test]
    fn double_integrator_has_its_known_gains() {
        let a = DMatrix::from_row_slice(2, 2, &[0.0, 1.0, 0.0, 0.0]);
        let b = DMatrix::from_row_slice(2, 1, &[0.0, 1.0]);
        let law = gains(&a, &b, &[1.0, 0.0], &[1.0]);
        // The step of 20 ms shifts them by about step times gain over two.
        assert!((law[(0, 0)] - 1.0).abs() < 0.02, "{law}");
        assert!((law[(0, 1)] - 2f64.sqrt()).abs() < 0.02, "{law}");
    }
}
