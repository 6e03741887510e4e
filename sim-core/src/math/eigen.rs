//! Eigenvalues and eigenvectors of a real matrix: the only door to the Schur
//! decomposition.
//!
//! # Method
//! The matrix is balanced (Parlett and Reinsch), since ours mix m/s and rad;
//! the decomposition runs with a cap, since without one it was seen to hang
//! (nalgebra issues 611, 1291, 1528); eigenvalues are read off the quasi-
//! triangular factor. Right and left eigenvectors follow by inverse iteration
//! (Golub and Van Loan, Matrix Computations, section 7.6).
//!
//! # Limits
//! Of a repeated eigenvalue without a full set of eigenvectors one eigenvector
//! is returned more than once.

use nalgebra::linalg::{Schur, balancing};
use nalgebra::{Complex, DMatrix, DVector};
use thiserror::Error;

/// Cap on the decomposition's sweeps; the usual need is two or three per row.
const SWEEPS_PER_ROW: usize = 60;
/// Sub-diagonal entries below this share of their neighbours count as zero.
const DEFLATION_TOLERANCE: f64 = f64::EPSILON;
/// Distance of the inverse iteration's shift from the eigenvalue, relative to
/// the matrix norm: near enough to converge in one step, far enough to solve.
const SHIFT: f64 = 1e-10;
/// Where the decomposition stalls, as it does on roots of all the same size
/// (nalgebra pull request 1603), the origin is moved by this share of the norm.
const ORIGIN_SHIFT: f64 = 0.37;
/// Inverse iterations; each gains about ten digits at [`SHIFT`].
const INVERSE_ITERATIONS: usize = 3;
/// Largest entry taken, so that squares inside cannot overflow.
const ENTRY_MAX: f64 = 1e100;

/// Why no eigenvalues were found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum EigenError {
    /// The matrix has an entry that is not finite or beyond 1e100.
    #[error("the matrix has an entry that is not finite, in row {row}, column {column}")]
    NotFinite {
        /// Row of the entry, from 0.
        row: usize,
        /// Column of the entry, from 0.
        column: usize,
    },
    /// The matrix has more rows than columns or none.
    #[error("the matrix is not square: {rows} rows, {columns} columns")]
    NotSquare {
        /// Number of rows.
        rows: usize,
        /// Number of columns.
        columns: usize,
    },
    /// The decomposition did not finish within its cap.
    #[error("no eigenvalues after {sweeps} sweeps")]
    NotConverged {
        /// Sweeps done.
        sweeps: usize,
    },
}

/// An eigenvalue with its right and left eigenvector.
#[derive(Debug, Clone, PartialEq)]
pub struct Eigenpair {
    /// The eigenvalue.
    pub value: Complex<f64>,
    /// Right eigenvector `A x = value x`, of unit length.
    pub right: DVector<Complex<f64>>,
    /// Left eigenvector `y A = value y`, of unit length, not conjugated.
    pub left: DVector<Complex<f64>>,
}

impl Eigenpair {
    /// Share of each state in this mode, 0 to 1, the sum being 1.
    ///
    /// # Method
    /// Participation factors, the product of left and right component: they do
    /// not change with the units of the states (Perez-Arriaga, Verghese and
    /// Schweppe 1982, from memory). Sizes are taken and made to add up to 1.
    pub fn participation(&self) -> DVector<f64> {
        let sizes = self.right.zip_map(&self.left, |right, left| (right * left).norm());
        let total = sizes.sum();
        if total > 0.0 { sizes / total } else { sizes }
    }
}

/// Eigenvalues with eigenvectors of a real square matrix; the upper one of a
/// conjugate pair stands before the lower.
///
/// # Errors
/// A matrix that is not square or not finite, or no convergence.
pub fn find_eigenpairs(matrix: &DMatrix<f64>) -> Result<Vec<Eigenpair>, EigenError> {
    let (balanced, scale) = balance(matrix)?;
    let transposed = balanced.transpose();
    let size = balanced.norm();
    let pairs = solve(&balanced)?.into_iter().map(|value| {
        let right = eigenvector(&balanced, value, size);
        let left = eigenvector(&transposed, value, size);
        Eigenpair {
            value,
            right: right.zip_map(&scale, |part, factor| part * factor).normalize(),
            left: left.zip_map(&scale, |part, factor| part / factor).normalize(),
        }
    });
    Ok(pairs.collect())
}

/// Eigenvalues alone, in the same order.
///
/// # Errors
/// As for [`find_eigenpairs`].
pub fn find_eigenvalues(matrix: &DMatrix<f64>) -> Result<Vec<Complex<f64>>, EigenError> {
    solve(&balance(matrix)?.0)
}

fn balance(matrix: &DMatrix<f64>) -> Result<(DMatrix<f64>, DVector<f64>), EigenError> {
    let (rows, columns) = matrix.shape();
    if rows != columns || rows == 0 {
        return Err(EigenError::NotSquare { rows, columns });
    }
    for (index, entry) in matrix.iter().enumerate() {
        if entry.is_nan() || entry.abs() > ENTRY_MAX {
            return Err(EigenError::NotFinite { row: index % rows, column: index / rows });
        }
    }
    let mut balanced = matrix.clone();
    let scale = balancing::balance_parlett_reinsch(&mut balanced);
    Ok((balanced, scale))
}

fn solve(balanced: &DMatrix<f64>) -> Result<Vec<Complex<f64>>, EigenError> {
    let sweeps = SWEEPS_PER_ROW * balanced.nrows();
    eigenvalues(balanced, 0.0, sweeps)
        .or_else(|| eigenvalues(balanced, ORIGIN_SHIFT * balanced.norm(), sweeps))
        .ok_or(EigenError::NotConverged { sweeps })
}

/// Eigenvalues with the origin moved by `origin`; `None` beyond the cap.
fn eigenvalues(matrix: &DMatrix<f64>, origin: f64, sweeps: usize) -> Option<Vec<Complex<f64>>> {
    let mut moved = matrix.clone();
    for row in 0..moved.nrows() {
        moved[(row, row)] += origin;
    }
    let (_, triangular) = Schur::try_new(moved, DEFLATION_TOLERANCE, sweeps)?.unpack();
    let values = quasi_triangular_eigenvalues(&triangular);
    Some(values.into_iter().map(|value| value - origin).collect())
}

/// Eigenvalues of a matrix that is upper triangular but for 2x2 blocks.
fn quasi_triangular_eigenvalues(triangular: &DMatrix<f64>) -> Vec<Complex<f64>> {
    let size = triangular.nrows();
    let mut values = Vec::with_capacity(size);
    let mut row = 0;
    while row < size {
        if row + 1 == size || triangular[(row + 1, row)] == 0.0 {
            values.push(Complex::new(triangular[(row, row)], 0.0));
            row += 1;
            continue;
        }
        let (upper, lower) = (triangular[(row, row)], triangular[(row + 1, row + 1)]);
        let mean = 0.5 * (upper + lower);
        let half = 0.5 * (upper - lower);
        let radicand = half * half + triangular[(row, row + 1)] * triangular[(row + 1, row)];
        let root = radicand.abs().sqrt();
        if radicand < 0.0 {
            values.push(Complex::new(mean, root));
            values.push(Complex::new(mean, -root));
        } else {
            values.push(Complex::new(mean + root, 0.0));
            values.push(Complex::new(mean - root, 0.0));
        }
        row += 2;
    }
    values
}

/// Unit vector that `matrix` stretches by `value`, by inverse iteration.
fn eigenvector(matrix: &DMatrix<f64>, value: Complex<f64>, size: f64) -> DVector<Complex<f64>> {
    let rows = matrix.nrows();
    // A start without symmetry, so that it is orthogonal to no eigenvector of
    // a matrix with structure.
    let mut vector =
        DVector::from_fn(rows, |row, _| Complex::new(1.0 / (1.3 + row as f64), 0.0)).normalize();
    // An exact shift would leave nothing to solve; a zero matrix has no size.
    let shift = value + Complex::new(SHIFT * size.max(f64::MIN_POSITIVE.sqrt()), 0.0);
    let shifted = DMatrix::from_fn(rows, rows, |row, column| {
        let diagonal = if row == column { shift } else { Complex::new(0.0, 0.0) };
        Complex::new(matrix[(row, column)], 0.0) - diagonal
    });
    let factors = shifted.lu();
    for _ in 0..INVERSE_ITERATIONS {
        let Some(next) = factors.solve(&vector) else { break };
        let length = next.norm();
        if !(length.is_finite() && length > 0.0) {
            break;
        }
        vector = next.unscale(length);
    }
    vector
}

#[cfg(test)]
mod tests {
    use super::*;

    fn residual(matrix: &DMatrix<f64>, pair: &Eigenpair) -> f64 {
        let complex = matrix.map(|entry| Complex::new(entry, 0.0));
        let right = &complex * &pair.right - &pair.right * pair.value;
        let left = complex.transpose() * &pair.left - &pair.left * pair.value;
        right.norm().max(left.norm())
    }

    #[test]
    fn companion_matrix_gives_the_roots_of_its_polynomial() {
        // (s + 1)(s + 2)(s^2 + 2 s + 5): roots -1, -2, -1 +- 2i.
        let matrix = DMatrix::from_row_slice(
            4,
            4,
            &[-5.0, -13.0, -19.0, -10.0, 1.0, 0., 0., 0., 0., 1.0, 0., 0., 0., 0., 1.0, 0.],
        );
        let pairs = find_eigenpairs(&matrix).unwrap();
        for wanted in [(-1.0, 0.0), (-2.0, 0.0), (-1.0, 2.0), (-1.0, -2.0)] {
            let wanted = Complex::new(wanted.0, wanted.1);
            assert!(pairs.iter().any(|pair| (pair.value - wanted).norm() < 1e-12), "{wanted}");
        }
        assert!(pairs.iter().all(|pair| residual(&matrix, pair) < 1e-9));
    }

    #[test]
    fn participation_does_not_depend_on_units() {
        let matrix = DMatrix::from_row_slice(3, 3, &[-1., 2., 0., -3., -1., 0.5, 0.2, 0., -7.]);
        let units = DMatrix::from_diagonal(&DVector::from_vec(vec![1000.0, 1.0, 0.01]));
        let other = &units * &matrix * units.clone().try_inverse().unwrap();
        let shares = |m: &DMatrix<f64>| -> Vec<DVector<f64>> {
            find_eigenpairs(m).unwrap().iter().map(Eigenpair::participation).collect()
        };
        for (one, two) in shares(&matrix).iter().zip(shares(&other)) {
            assert!((one - two).norm() < 1e-8);
        }
    }

    #[test]
    fn awkward_matrices_end() {
        for matrix in [
            DMatrix::zeros(4, 4),
            DMatrix::identity(5, 5),
            DMatrix::from_fn(4, 4, |row, column| if column == row + 1 { 1.0 } else { 0.0 }),
            DMatrix::from_fn(4, 4, |row, column| if (row + 1) % 4 == column { 1.0 } else { 0.0 }),
            DMatrix::from_element(1, 1, 3.0),
        ] {
            let pairs = find_eigenpairs(&matrix).unwrap();
            assert_eq!(pairs.len(), matrix.nrows());
            assert!(pairs.iter().all(|pair| pair.right.iter().all(|part| part.norm().is_finite())));
            // Multiple roots come out to a part of the digits.
            assert!(pairs.iter().all(|pair| residual(&matrix, pair) < 1e-7), "{matrix}");
        }
        // A turn of four things in a ring four times is no turn: fourth roots of one.
        let ring = DMatrix::from_fn(4, 4, |row, column| f64::from((row + 1) % 4 == column));
        for value in find_eigenvalues(&ring).unwrap() {
            assert!((value.powi(4) - 1.0).norm() < 1e-9, "{value}");
        }
    }

    #[test]
    fn refuses_what_is_no_matrix() {
        let mut matrix = DMatrix::zeros(3, 3);
        matrix[(1, 2)] = f64::NAN;
        assert_eq!(find_eigenpairs(&matrix), Err(EigenError::NotFinite { row: 1, column: 2 }));
        for huge in [1.01e100, -1.01e100, f64::NEG_INFINITY] {
            matrix[(1, 2)] = huge;
            assert_eq!(find_eigenvalues(&matrix), Err(EigenError::NotFinite { row: 1, column: 2 }));
        }
        matrix[(1, 2)] = 0.99e100;
        assert!(find_eigenvalues(&matrix).is_ok());
        assert!(matches!(
            find_eigenpairs(&DMatrix::zeros(2, 3)),
            Err(EigenError::NotSquare { .. })
        ));
    }

    /// By hand: 1 and -0.5 stand alone; the block 1 2, 3 2 has l2 - 3 l - 4 = 0,
    /// so 4 and -1; the block 1 -2, 2 3 has 2 +- i sqrt 3.
    #[test]
    fn blocks_of_two_hold_two_real_roots_or_a_pair() {
        let real = DMatrix::from_row_slice(
            4,
            4,
            &[1.0, 9.0, 9.0, 9.0, 0.0, 1.0, 2.0, 9.0, 0.0, 3.0, 2.0, 9.0, 0.0, 0.0, 0.0, -0.5],
        );
        let values = quasi_triangular_eigenvalues(&real);
        for (value, wanted) in values.iter().zip([1.0, 4.0, -1.0, -0.5]) {
            assert!((value - wanted).norm() < 1e-12, "{value} {wanted}");
        }
        let pair = DMatrix::from_row_slice(2, 2, &[1.0, -2.0, 2.0, 3.0]);
        let values = quasi_triangular_eigenvalues(&pair);
        assert!((values[0] - Complex::new(2.0, 3f64.sqrt())).norm() < 1e-12);
        assert!((values[1] - Complex::new(2.0, -3f64.sqrt())).norm() < 1e-12);
    }
}
