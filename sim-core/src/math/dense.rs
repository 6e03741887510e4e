//! The two products that the lattice lives on: matrix times vector, and a
//! system of equations with many right-hand sides, on plain slices.
//!
//! Written out because a flight state costs a dozen of small products, which a
//! general library spends mostly on its generality: taken four columns at a
//! time they run several times faster, natively and in the browser.

use nalgebra::DMatrix;

/// Adds `factor` times the first rows of `matrix` times `vector` to `sum`; as
/// many rows as `sum` is long and as many columns as `vector`. Columns whose
/// entry is zero cost next to nothing.
pub fn add_product(sum: &mut [f64], matrix: &DMatrix<f64>, vector: &[f64], factor: f64) {
    let rows = matrix.nrows();
    let taken = sum.len();
    if rows == 0 || taken > rows || vector.len() > matrix.ncols() {
        debug_assert!(rows == 0 || vector.is_empty(), "the matrix is too small");
        return;
    }
    let blocks = matrix.as_slice().chunks(4 * rows);
    for (columns, parts) in blocks.zip(vector.chunks(4)) {
        if parts.iter().all(|part| *part == 0.0) {
            continue;
        }
        if let &[a, b, c, d] = parts {
            let [a, b, c, d] = [factor * a, factor * b, factor * c, factor * d];
            let (first, rest) = columns.split_at(rows);
            let (second, rest) = rest.split_at(rows);
            let (third, fourth) = rest.split_at(rows);
            let pairs = first.iter().zip(second).zip(third.iter().zip(fourth));
            for (sum, ((p, q), (r, s))) in sum.iter_mut().zip(pairs) {
                *sum += (a * p + b * q) + (c * r + d * s);
            }
        } else {
            for (column, part) in columns.chunks(rows).zip(parts) {
                let part = factor * part;
                for (sum, entry) in sum.iter_mut().zip(column) {
                    *sum += part * entry;
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
    fn products_agree_with_the_library_for_every_number_of_columns() {
        for columns in 0..10 {
            let matrix = matrix(7, columns);
            let vector: Vec<f64> = (0..columns).map(|i| (i % 3) as f64 - 0.5).collect();
            let expected = &matrix * nalgebra::DVector::from_column_slice(&vector) * 2.0;
            for taken in [4, 7] {
                let mut sum = vec![1.0; taken];
                add_product(&mut sum, &matrix, &vector, 2.0);
                for (own, theirs) in sum.iter().zip(expected.iter()) {
                    assert!((own - 1.0 - theirs).abs() < 1e-13);
                }
            }
        }
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
