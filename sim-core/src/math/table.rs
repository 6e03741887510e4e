//! A smooth function of one variable through given points.
//!
//! # Method
//! Cubic Hermite pieces whose slopes keep every rise a rise and every fall a
//! fall, so that no wiggle invents a local maximum (F. N. Fritsch and R. E.
//! Carlson, SIAM J. Numer. Anal. 17, 1980; slopes by the weighted harmonic
//! mean of Fritsch and Butland 1984; both from memory). Value and slope are
//! continuous, which Newton and central differences need. Beyond the ends the
//! function goes on along its end slope.

use serde::Serialize;
use thiserror::Error;

/// Why the points make no table.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum TableError {
    /// Fewer than two points.
    #[error("a table needs two points, given are {points}")]
    TooShort {
        /// Points given.
        points: usize,
    },
    /// Point `index` is not finite.
    #[error("point {index} is not finite")]
    NotFinite {
        /// Index of the point, from 0.
        index: usize,
    },
    /// Point `index` is not to the right of the one before.
    #[error("point {index} does not rise")]
    NotRising {
        /// Index of the point, from 0.
        index: usize,
    },
}

/// A function with continuous slope through given points.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MonotoneTable {
    knots: Vec<Knot>,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
struct Knot {
    x: f64,
    y: f64,
    slope: f64,
}

impl MonotoneTable {
    /// A table through `(x, y)` points in rising order of `x`.
    ///
    /// # Errors
    /// Fewer than two points, one that is not finite, or `x` not rising.
    pub fn new(points: &[(f64, f64)]) -> Result<Self, TableError> {
        if points.len() < 2 {
            return Err(TableError::TooShort { points: points.len() });
        }
        if let Some(index) = points.iter().position(|(x, y)| !(x.is_finite() && y.is_finite())) {
            return Err(TableError::NotFinite { index });
        }
        if let Some(index) = points.windows(2).position(|pair| pair[1].0 <= pair[0].0) {
            return Err(TableError::NotRising { index: index + 1 });
        }
        let knots = points
            .iter()
            .enumerate()
            .map(|(index, &(x, y))| Knot { x, y, slope: slope_at(points, index) })
            .collect();
        Ok(Self { knots })
    }

    /// Least and greatest `x` of the points.
    pub fn range(&self) -> (f64, f64) {
        (self.knots[0].x, self.knots[self.knots.len() - 1].x)
    }

    /// The function at `x`.
    pub fn value(&self, x: f64) -> f64 {
        self.value_and_slope(x).0
    }

    /// The function and its slope at `x`.
    pub fn value_and_slope(&self, x: f64) -> (f64, f64) {
        let after = self.knots.partition_point(|knot| knot.x <= x);
        let end = self.knots.len();
        if after == 0 || after == end {
            let knot = self.knots[if after == 0 { 0 } else { end - 1 }];
            return (knot.y + knot.slope * (x - knot.x), knot.slope);
        }
        let (left, right) = (self.knots[after - 1], self.knots[after]);
        let width = right.x - left.x;
        let t = (x - left.x) / width;
        let chord = (right.y - left.y) / width;
        let bend = 3.0 * chord - 2.0 * left.slope - right.slope;
        let twist = left.slope + right.slope - 2.0 * chord;
        let value = left.y + width * t * (left.slope + t * (bend + t * twist));
        (value, left.slope + t * (2.0 * bend + 3.0 * t * twist))
    }
}

/// Slope at one point, from the chords beside it.
fn slope_at(points: &[(f64, f64)], index: usize) -> f64 {
    let chord = |left: usize| {
        let ((x0, y0), (x1, y1)) = (points[left], points[left + 1]);
        (x1 - x0, (y1 - y0) / (x1 - x0))
    };
    let last = points.len() - 1;
    if points.len() == 2 {
        return chord(0).1;
    }
    if index == 0 {
        return end_slope(chord(0), chord(1));
    }
    if index == last {
        return end_slope(chord(last - 1), chord(last - 2));
    }
    let ((width_left, left), (width_right, right)) = (chord(index - 1), chord(index));
    if left * right <= 0.0 {
        return 0.0;
    }
    let weight_left = 2.0 * width_right + width_left;
    let weight_right = width_right + 2.0 * width_left;
    (weight_left + weight_right) / (weight_left / left + weight_right / right)
}

/// Slope at an end from the parabola through three points, held to what keeps
/// the piece monotone.
fn end_slope((near_width, near): (f64, f64), (far_width, far): (f64, f64)) -> f64 {
    let slope = near + (near - far) * near_width / (near_width + far_width);
    if slope * near <= 0.0 {
        0.0
    } else if near * far <= 0.0 && slope.abs() > 3.0 * near.abs() {
        3.0 * near
    } else {
        slope
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn goes_through_its_points_and_never_overshoots() {
        let points = [(0.0, 0.0), (1.0, 0.0), (2.0, 1.0), (2.5, 1.0), (4.0, 5.0)];
        let table = MonotoneTable::new(&points).unwrap();
        for (x, y) in points {
            assert!((table.value(x) - y).abs() < 1e-14);
        }
        let samples: Vec<f64> = (0..400).map(|i| table.value(0.01 * f64::from(i))).collect();
        assert!(samples.windows(2).all(|pair| pair[1] >= pair[0] - 1e-14));
    }

    #[test]
    fn slope_is_the_derivative_and_is_continuous() {
        let points = [(-1.0, 2.0), (0.0, 0.5), (0.5, 0.7), (3.0, 4.0)];
        let table = MonotoneTable::new(&points).unwrap();
        for step in -30..80 {
            let x = 0.05 * f64::from(step) + 0.013;
            let h = 1e-6;
            let numeric = (table.value(x + h) - table.value(x - h)) / (2.0 * h);
            assert!((numeric - table.value_and_slope(x).1).abs() < 1e-6, "at {x}");
        }
        for (x, _) in points {
            let (before, after) = (table.value_and_slope(x - 1e-9).1, table.value_and_slope(x).1);
            assert!((before - after).abs() < 1e-7, "at {x}");
        }
    }

    #[test]
    fn third_order_on_a_smooth_rise() {
        let error = |count: i32| {
            let points: Vec<(f64, f64)> = (0..=count)
                .map(|i| f64::from(i) / f64::from(count))
                .map(|x| (x, x.exp()))
                .collect();
            let table = MonotoneTable::new(&points).unwrap();
            (0..1000)
                .map(|i| f64::from(i) / 1000.0)
                .map(|x| (table.value(x) - x.exp()).abs())
                .fold(0.0, f64::max)
        };
        // The slopes are of second order on equal spacing, so values of third.
        assert!(error(20) / error(40) > 7.0);
    }

    #[test]
    fn refuses_what_is_no_function() {
        assert_eq!(MonotoneTable::new(&[(0.0, 1.0)]), Err(TableError::TooShort { points: 1 }));
        assert_eq!(
            MonotoneTable::new(&[(0.0, 1.0), (0.0, 2.0)]),
            Err(TableError::NotRising { index: 1 })
        );
        assert_eq!(
            MonotoneTable::new(&[(0.0, 1.0), (1.0, f64::NAN)]),
            Err(TableError::NotFinite { index: 1 })
        );
    }
}
