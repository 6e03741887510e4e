//! The two products that the lattice lives on: matrix times vector, and a
//! system of equations with many right-hand sides, on plain slices.
//!
//! Written out because a flight state costs a dozen of small products, which a
//! general library spends mostly on its generality: kept in blocks of rows they
//! run several times faster, natively and in the browser.

use nalgebra::DMatrix;

/// Rows of a block: as many sums as fit into the processor's registers.
const BLOCK: usize = 8;

/// A matrix kept in blocks of rows, a block column after column; the last block
/// is filled up with zeros.
#[derive(Debug, Clone, PartialEq)]
pub struct RowBlocks {
    rows: usize,
    columns: usize,
    entries: Vec<[f64; BLOCK]>,
}

impl RowBlocks {
    /// A matrix of zeros.
    pub fn zeros(rows: usize, columns: usize) -> Self {
        Self { rows, columns, entries: vec![[0.0; BLOCK]; rows.div_ceil(BLOCK) * columns] }
    }

    /// A matrix whose entry in a row and a column is `entry(row, column)`.
    pub fn from_fn(rows: usize, columns: usize, entry: impl Fn(usize, usize) -> f64) -> Self {
        let mut matrix = Self::zeros(rows, columns);
        for column in 0..columns {
            for row in 0..rows {
                *matrix.entry_mut(row, column) = entry(row, column);
            }
        }
        matrix
    }

    /// Number of columns.
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// One entry.
    pub fn entry(&self, row: usize, column: usize) -> f64 {
        self.entries[row / BLOCK * self.columns + column][row % BLOCK]
    }

    fn entry_mut(&mut self, row: usize, column: usize) -> &mut f64 {
        &mut self.entries[row / BLOCK * self.columns + column][row % BLOCK]
    }

    /// Whether all entries are finite.
    pub fn is_finite(&self) -> bool {
        self.entries.as_flattened().iter().all(|entry| entry.is_finite())
    }

    /// This matrix times another, which is stored column after column.
    pub fn times(&self, other: &DMatrix<f64>) -> Self {
        let mut product = Self::zeros(self.rows, other.ncols());
        let mut sum = vec![0.0; self.rows];
        for column in 0..other.ncols() {
            sum.fill(0.0);
            self.add_product(&mut sum, other.column(column).as_slice(), 1.0);
            for (row, entry) in sum.iter().enumerate() {
                *product.entry_mut(row, column) = *entry;
            }
        }
        product
    }

    /// Adds `factor` times this matrix times `vector` to `sum`; as many columns
    /// are taken as `vector` is long. Zeros at its beginning and end cost next
    /// to nothing.
    pub fn add_product(&self, sum: &mut [f64], vector: &[f64], factor: f64) {
        debug_assert!(sum.len() <= self.rows && vector.len() <= self.columns, "too small");
        let is_there = |part: &f64| *part != 0.0;
        let Some(first) = vector.iter().position(is_there) else { return };
        let end = vector.iter().rposition(is_there).map_or(first, |last| last + 1);
        let (pairs, odd) = vector[first..end].as_chunks::<2>();
        for (block, sum) in self.entries.chunks_exact(self.columns).zip(sum.chunks_mut(BLOCK)) {
            let (column_pairs, odd_columns) = block[first..end].as_chunks::<2>();
            let mut total = [0.0; BLOCK];
            for ([a, b], [p, q]) in column_pairs.iter().zip(pairs) {
                total = std::array::from_fn(|row| total[row] + (a[row] * p + b[row] * q));
            }
            for (a, p) in odd_columns.iter().zip(odd) {
                total = std::array::from_fn(|row| total[row] + a[row] * p);
            }
            if let Ok(sum) = <&mut [f64; BLOCK]>::try_from(&mut *sum) {
                *sum = std::array::from_fn(|row| sum[row] + factor * total[row]);
            } else {
                for (sum, total) in sum.iter_mut().zip(total) {
                    *sum += factor * total;
                }
            }
        }
    }
}

/// Solves a square system by elimination with row pivots; both `matrix` and
/// `right` are stored row after row and overwritten, `right` by the solution.
/// Whether a pivot was found in every column.
pub fn solve_in_place(matrix: &mut [f64], right: &mut [f64], size: usize) -> bool {
    if size == 0 {
        return true;
    }
    let width = right.len() / size;
    for k in 0..size {
        let magnitude = |row: &usize| matrix[row * size + k].abs();
        let Some(pivot) = (k..size).max_by(|a, b| magnitude(a).total_cmp(&magnitude(b))) else {
            return false;
        };
        if matrix[pivot * size + k] == 0.0 || !matrix[pivot * size + k].is_finite() {
            return false;
        }
        swap_rows(matrix, size, k, pivot);
        swap_rows(right, width, k, pivot);
        let (above, below) = matrix.split_at_mut((k + 1) * size);
        let (right_above, right_below) = right.split_at_mut((k + 1) * width);
        let (row, right_row) = (&above[k * size..], &right_above[k * width..]);
        let inverse = 1.0 / row[k];
        for (other, right_other) in
            below.chunks_exact_mut(size).zip(right_below.chunks_exact_mut(width))
        {
            let share = other[k] * inverse;
            if share != 0.0 {
                subtract(&mut other[k + 1..], &row[k + 1..], share);
                subtract(right_other, right_row, share);
            }
        }
    }
    for k in (0..size).rev() {
        let (above, below) = right.split_at_mut((k + 1) * width);
        let row = &mut above[k * width..];
        let coefficients = &matrix[k * size..(k + 1) * size];
        for (solved, coefficient) in below.chunks_exact(width).zip(&coefficients[k + 1..]) {
            subtract(row, solved, *coefficient);
        }
        let inverse = 1.0 / coefficients[k];
        row.iter_mut().for_each(|entry| *entry *= inverse);
    }
    true
}

fn subtract(from: &mut [f64], row: &[f64], share: f64) {
    for (entry, part) in from.iter_mut().zip(row) {
        *entry -= share * part;
    }
}

fn swap_rows(rows: &mut [f64], width: usize, a: usize, b: usize) {
    if a != b {
        let (upper, lower) = rows.split_at_mut(b * width);
        upper[a * width..(a + 1) * width].swap_with_slice(&mut lower[..width]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A matrix without symmetry or order; its diagonal keeps a square one from
    /// being singular, though not from needing pivots.
    fn matrix(rows: usize, columns: usize) -> DMatrix<f64> {
        DMatrix::from_fn(rows, columns, |i, j| {
            let diagonal = if i == j { 0.9 } else { 0.0 };
            (((i + 1) * (2 * j + 3)) as f64).sin() + diagonal
        })
    }

    #[test]
    fn products_agree_with_the_library_whatever_the_size_and_the_zeros() {
        for (rows, columns) in [(1, 1), (7, 0), (7, 4), (8, 5), (17, 9), (24, 6)] {
            let matrix = matrix(rows, columns);
            let own = RowBlocks::from_fn(rows, columns, |i, j| matrix[(i, j)]);
            for zeros in 0..=columns {
                let entry = |i: usize| if i < zeros { 0.0 } else { (i % 3) as f64 - 1.0 };
                let vector: Vec<f64> = (0..columns).map(entry).collect();
                let expected = &matrix * nalgebra::DVector::from_column_slice(&vector) * 2.0;
                let mut sum = vec![1.0; rows];
                own.add_product(&mut sum, &vector, 2.0);
                for (own, theirs) in sum.iter().zip(expected.iter()) {
                    assert!((own - 1.0 - theirs).abs() < 1e-13);
                }
            }
        }
    }

    #[test]
    fn a_product_of_matrices_is_the_library_s() {
        let (left, right) = (matrix(10, 7), matrix(7, 5));
        let own = RowBlocks::from_fn(10, 7, |i, j| left[(i, j)]).times(&right);
        let expected = left * right;
        assert!(
            (0..10).all(|i| (0..5).all(|j| (own.entry(i, j) - expected[(i, j)]).abs() < 1e-13))
        );
    }

    #[test]
    fn a_solution_solves_and_a_singular_matrix_is_told() {
        for size in 1..12 {
            let (given, right) = (matrix(size, size).transpose(), matrix(3, size));
            // Columns of the transpose are rows.
            let (mut rows, mut solved) = (given.as_slice().to_vec(), right.as_slice().to_vec());
            assert!(solve_in_place(&mut rows, &mut solved, size));
            let left = given.transpose() * DMatrix::from_row_slice(size, 3, &solved);
            assert!((left - right.transpose()).amax() < 1e-9, "{size}");
        }
        assert!(!solve_in_place(&mut [1.0, 2.0, 2.0, 4.0], &mut [1.0, 1.0], 2));
        assert!(!solve_in_place(&mut [f64::NAN], &mut [1.0], 1));
    }
}
