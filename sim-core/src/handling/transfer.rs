//! Transfer functions of a linear model, for loops closed at a frequency.
//!
//! From `x' = A x + b u`, `y = c x` with four states to a ratio of polynomials
//! in s by the recursion of Faddeev and Leverrier, once; each frequency then
//! costs a few multiplications in place of a solve. Exact for four states up
//! to rounding: the recursion loses accuracy in large systems, which these are
//! not. Reference: any text on linear systems, such as Kailath, "Linear
//! Systems", 1980 (from memory).

use nalgebra::{Complex, Matrix4, Vector4};

/// A ratio of polynomials in s, coefficients from the constant upwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TransferFunction {
    /// Numerator, constant first.
    pub numerator: [f64; 6],
    /// Denominator, constant first.
    pub denominator: [f64; 6],
}

impl TransferFunction {
    /// From numerator and denominator, each with the constant first and at
    /// most six coefficients; further ones are refused by the type.
    pub fn new<const N: usize, const D: usize>(numerator: [f64; N], denominator: [f64; D]) -> Self {
        const { assert!(N <= 6 && D <= 6) };
        let mut result = Self { numerator: [0.0; 6], denominator: [0.0; 6] };
        result.numerator[..N].copy_from_slice(&numerator);
        result.denominator[..D].copy_from_slice(&denominator);
        result
    }

    /// From one input to one output of a model with four states.
    ///
    /// # Method
    /// (sI - A)^-1 = (sum of N_k s^(3-k)) / det(sI - A), N_0 = I,
    /// N_(k+1) = A N_k + a_k I, a_k = -trace(A N_k)/(k+1).
    pub fn from_state_space(a: &Matrix4<f64>, b: &Vector4<f64>, c: &Vector4<f64>) -> Self {
        let mut result = Self { numerator: [0.0; 6], denominator: [0.0; 6] };
        result.denominator[4] = 1.0;
        let mut n = Matrix4::identity();
        for k in 0..4 {
            result.numerator[3 - k] = c.dot(&(n * b));
            let product = a * n;
            let coefficient = -product.trace() / (k + 1) as f64;
            result.denominator[3 - k] = coefficient;
            n = product + Matrix4::identity() * coefficient;
        }
        result
    }

    /// The output integrated over time, such as heading from yaw rate; `None`
    /// where the denominator has no room for one more root.
    pub fn integrated(&self) -> Option<Self> {
        if self.denominator[5] != 0.0 {
            return None;
        }
        let mut result = *self;
        result.denominator.rotate_right(1);
        Some(result)
    }

    /// The output multiplied by `factor`.
    pub fn times(&self, factor: f64) -> Self {
        Self { numerator: self.numerator.map(|x| x * factor), denominator: self.denominator }
    }

    /// The complex gain at a frequency; not finite on a pole.
    pub fn at(&self, frequency_rad_s: f64) -> Complex<f64> {
        let s = Complex::new(0.0, frequency_rad_s);
        let horner = |coefficients: &[f64; 6]| {
            coefficients.iter().rev().fold(Complex::new(0.0, 0.0), |sum, &c| sum * s + c)
        };
        horner(&self.numerator) / horner(&self.denominator)
    }

    /// Whether every coefficient is finite and the gain is not identically 0.
    pub fn is_usable(&self) -> bool {
        let finite = |coefficients: &[f64; 6]| coefficients.iter().all(|c| c.is_finite());
        finite(&self.numerator)
            && finite(&self.denominator)
            && self.numerator.iter().any(|&c| c != 0.0)
            && self.denominator.iter().any(|&c| c != 0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Companion form: the coefficients can be read off by hand.
    /// y/u = (5 s + 3)/(s4 + 4 s3 + 3 s2 + 2 s + 1).
    #[test]
    fn companion_form_gives_its_own_coefficients() {
        #[rustfmt::skip]
        let a = Matrix4::new(
            0.0, 1.0, 0.0, 0.0,
            0.0, 0.0, 1.0, 0.0,
            0.0, 0.0, 0.0, 1.0,
            -1.0, -2.0, -3.0, -4.0,
        );
        let b = Vector4::new(0.0, 0.0, 0.0, 1.0);
        let c = Vector4::new(3.0, 5.0, 0.0, 0.0);
        let g = TransferFunction::from_state_space(&a, &b, &c);
        let expected = TransferFunction::new([3.0, 5.0], [1.0, 2.0, 3.0, 4.0, 1.0]);
        for (ours, theirs) in g.numerator.iter().zip(expected.numerator) {
            assert!((ours - theirs).abs() < 1e-12);
        }
        for (ours, theirs) in g.denominator.iter().zip(expected.denominator) {
            assert!((ours - theirs).abs() < 1e-12);
        }
    }

    #[test]
    fn agrees_with_solving_at_a_frequency() {
        #[rustfmt::skip]
        let a = Matrix4::new(
            -0.3, 0.2, -11.0, 9.8,
            -1.5, -9.0, 2.0, 0.1,
            1.2, -0.7, -1.5, 0.0,
            0.0, 1.0, 0.1, 0.0,
        );
        let b = Vector4::new(1.0, -2.0, 20.0, 0.0);
        let c = Vector4::new(0.0, 0.0, 0.0, 1.0);
        let g = TransferFunction::from_state_space(&a, &b, &c);
        for w in [0.1, 1.0, 7.0, 40.0] {
            let s = Complex::new(0.0, w);
            let matrix = Matrix4::identity() * s - a.map(|x| Complex::new(x, 0.0));
            let x = matrix.lu().solve(&b.map(|v| Complex::new(v, 0.0))).unwrap();
            assert!((x[3] - g.at(w)).norm() < 1e-10 * x[3].norm());
        }
    }

    #[test]
    fn integration_divides_by_s() {
        let g = TransferFunction::new([2.0], [1.0, 0.5]);
        let ratio = g.integrated().unwrap().at(3.0) / g.at(3.0);
        assert!((ratio - Complex::new(0.0, -1.0 / 3.0)).norm() < 1e-12);
        assert!(g.is_usable() && !g.times(0.0).is_usable());
        assert!(!TransferFunction::new([2.0], [0.0]).is_usable());
        assert!(TransferFunction::new([2.0; 6], [1.0; 6]).is_usable());
        assert!(!TransferFunction::new([2.0], [f64::NAN]).is_usable());
    }
}
