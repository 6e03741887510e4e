//! Exponential of a matrix and the functions that go with it, for stepping
//! linear motion exactly.
//!
//! # Method
//! `phi_0(Z) = exp(Z)`, `phi_k(Z) = Z phi_(k+1)(Z) + 1/k!`. The solution of
//! `x' = A x + g` after a step `h` with `g = g0 + g1 (t/h) + g2 (t/h)^2` is
//! `phi_0(hA) x + h (phi_1 g0 + phi_2 g1 + 2 phi_3 g2)`. Taylor's series on the
//! matrix halved until it is small, then doubled back (M. Hochbruck and A.
//! Ostermann, Exponential integrators, Acta Numerica 19, 2010; from memory).

use nalgebra::SMatrix;

/// Number of functions: `phi_0` to `phi_4`.
pub const PHI_COUNT: usize = 5;
/// The series is used up to this norm; 13 terms then leave 1e-17.
const NORM_MAX: f64 = 0.5;
const TERMS: u32 = 13;
/// Cap on halvings: a norm of a million.
const HALVINGS_MAX: u32 = 21;

/// The exponential of a matrix, `phi_0` alone; `None` where the matrix is not
/// finite or its norm is beyond a million.
///
/// The library's own is for matrices of any size and norm: twenty times the code.
pub fn exponential<const N: usize>(matrix: &SMatrix<f64, N, N>) -> Option<SMatrix<f64, N, N>> {
    let halvings = halvings(matrix.norm())?;
    let small = matrix / f64::from(halvings).exp2();
    let mut sum = SMatrix::<f64, N, N>::identity();
    for power in (1..=TERMS + PHI_COUNT as u32).rev() {
        sum = SMatrix::identity() + small * sum / f64::from(power);
    }
    for _ in 0..halvings {
        sum *= sum;
    }
    Some(sum)
}

/// How often a matrix of this norm is halved until the series is exact.
fn halvings(norm: f64) -> Option<u32> {
    let halvings = (norm / NORM_MAX).log2().ceil().max(0.0);
    (norm.is_finite() && halvings <= f64::from(HALVINGS_MAX)).then_some(halvings as u32)
}

/// `phi_0` to `phi_4` of a matrix; `None` where it is not finite or its norm is
/// beyond a million.
pub fn phi_functions<const N: usize>(
    matrix: &SMatrix<f64, N, N>,
) -> Option<[SMatrix<f64, N, N>; PHI_COUNT]> {
    let halvings = halvings(matrix.norm())?;
    let small = matrix / f64::from(halvings).exp2();
    let last = PHI_COUNT - 1;
    let mut phi = [SMatrix::<f64, N, N>::zeros(); PHI_COUNT];
    // Horner's scheme of the sum of Z^j / (j + 4)!.
    for power in (0..TERMS).rev() {
        phi[last] = small * phi[last] + SMatrix::identity() / factorial(power + last as u32);
    }
    for order in (0..last).rev() {
        phi[order] = small * phi[order + 1] + SMatrix::identity() / factorial(order as u32);
    }
    for _ in 0..halvings {
        phi = doubled(&phi);
    }
    Some(phi)
}

/// The functions of twice the matrix.
fn doubled<const N: usize>(
    phi: &[SMatrix<f64, N, N>; PHI_COUNT],
) -> [SMatrix<f64, N, N>; PHI_COUNT] {
    std::array::from_fn(|order| {
        let lower = (1..=order).map(|below| phi[below] / factorial((order - below) as u32));
        let sum = lower.fold(phi[0] * phi[order], |sum, part| sum + part);
        sum / f64::from(1u32 << order)
    })
}

fn factorial(number: u32) -> f64 {
    (1..=number).map(f64::from).product()
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{Matrix1, Matrix2};

    #[test]
    fn of_a_number_by_the_closed_forms() {
        for z in [-30.0f64, -2.0, -0.7, 1.5, 4.0] {
            let phi = phi_functions(&Matrix1::new(z)).unwrap();
            let exact = [
                z.exp(),
                (z.exp() - 1.0) / z,
                (z.exp() - 1.0 - z) / z.powi(2),
                (z.exp() - 1.0 - z - z * z / 2.0) / z.powi(3),
                (z.exp() - 1.0 - z - z * z / 2.0 - z.powi(3) / 6.0) / z.powi(4),
            ];
            for (ours, exact) in phi.iter().zip(exact) {
                assert!((ours[0] - exact).abs() < 1e-12 * (1.0 + exact.abs()), "at {z}");
            }
        }
    }

    #[test]
    fn of_a_rotation_and_of_nothing() {
        let turn = phi_functions(&Matrix2::new(0.0, -3.0, 3.0, 0.0)).unwrap()[0];
        let exact = Matrix2::new(3f64.cos(), -3f64.sin(), 3f64.sin(), 3f64.cos());
        assert!((turn - exact).norm() < 1e-13);
        let alone = exponential(&Matrix2::new(0.0, -3.0, 3.0, 0.0)).unwrap();
        assert!((alone - exact).norm() < 1e-13);
        assert_eq!(exponential(&Matrix2::zeros()), Some(Matrix2::identity()));
        let nothing = phi_functions(&Matrix2::zeros()).unwrap();
        for (order, phi) in nothing.iter().enumerate() {
            assert!((phi - Matrix2::identity() / factorial(order as u32)).norm() < 1e-15);
        }
    }

    #[test]
    fn refuses_what_cannot_be_stepped() {
        assert!(phi_functions(&Matrix1::new(f64::NAN)).is_none());
        assert!(exponential(&Matrix1::new(f64::INFINITY)).is_none());
        assert!(phi_functions(&Matrix1::new(1e9)).is_none());
    }
}
