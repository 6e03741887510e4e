//! The vortex lattice, solved once per geometry and kept as small operators.
//!
//! The boundary condition (no flow through the surface at each box's control
//! point) is linear in the circulations. Any motion of the aircraft enters a
//! strip as a velocity at right angles to it that is uniform, or grows in a
//! straight line along the chord with the body rates, or comes from a deflected
//! flap. So the matrix is factorised once and solved for those few patterns;
//! afterwards a flight state costs a few small matrix-vector products, whatever
//! the number of boxes.
//!
//! Left and right: half the sum and half the difference of the two sides are
//! solved for separately, which halves the size, keeps symmetry to the last
//! bit, and lets surfaces in the plane of symmetry take part in the difference
//! only.
//!
//! References: Katz and Plotkin, Low-Speed Aerodynamics, 2nd ed. 2001, ch. 12
//! (from memory). The reduction to strip patterns is our own arrangement.

use std::f64::consts::PI;

use nalgebra::{DMatrix, Vector3};

use super::AeroError;
use super::chordwise::{growing, shares};
use super::grid::Grid;
use super::hinge::box_rotations;
use super::influence::{Field, gathered_field};
use crate::aircraft::outline::mirror;
use crate::math::{RowBlocks, solve_in_place};

/// A flap pattern: one control surface on one strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlapColumn {
    /// Strip, an index into [`Grid::strips`].
    pub strip: usize,
    /// Device, an index into [`Grid::devices`].
    pub device: usize,
    /// Covered part of the strip.
    pub cover: f64,
    /// Control chord over local chord.
    pub chord_ratio: f64,
}

/// Operators of one parity: half the sum of left and right, or half the
/// difference (then with the strips in the plane of symmetry).
#[derive(Debug, Clone)]
pub struct Parity {
    /// Number of strips.
    pub strips: usize,
    /// Number of flap columns.
    pub flaps: usize,
    /// To the circulation of every strip (m2/s).
    pub circulation: Answer,
    /// To the circulation's first moment about the strip's quarter chord, aft
    /// positive (m3/s).
    pub moment: Answer,
    /// Induced velocity at the quarter-chord points of all right and centre
    /// strips (three rows each: x, y, z) per unit circulation.
    pub induced: RowBlocks,
}

/// What the air brings about on every strip of one parity, a row for each.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Per velocity along the normal that is uniform over a strip, m/s; then
    /// per roll, pitch and yaw rate, rad/s, as far as they make it grow along
    /// the chord aft of the quarter chord.
    pub by_pattern: RowBlocks,
    /// Per velocity through each flap, m/s.
    pub by_flap: RowBlocks,
    /// Per rad of wake angle of attack and per unit of this parity's
    /// circulation.
    pub by_wake_alpha: RowBlocks,
    /// Per rad of wake sideslip and per unit of the other parity's circulation.
    pub by_wake_beta: RowBlocks,
}

impl Answer {
    /// The answer to velocities through the boxes, one row per box, out of what
    /// a velocity through each box does.
    fn new(per_box: &RowBlocks, velocities: [&DMatrix<f64>; 4]) -> Result<Self, AeroError> {
        let answers = velocities.map(|list| per_box.times(list));
        if !answers.iter().all(RowBlocks::is_finite) {
            return Err(AeroError::Singular);
        }
        let [by_pattern, by_flap, by_wake_alpha, by_wake_beta] = answers;
        Ok(Self { by_pattern, by_flap, by_wake_alpha, by_wake_beta })
    }
}

/// The lattice of one geometry.
#[derive(Debug, Clone)]
pub struct Lattice {
    /// The grid.
    pub grid: Grid,
    /// Flap columns; those of right strips come first.
    pub flap_columns: Vec<FlapColumn>,
    /// Half the sum of left and right.
    pub symmetric: Parity,
    /// Half the difference, with the strips in the plane of symmetry.
    pub antisymmetric: Parity,
    /// Angle of attack of the body that the wake is laid at, rad.
    pub wake_alpha_rad: f64,
}

impl Lattice {
    /// Builds and solves the lattice.
    ///
    /// `slope_factors` holds each strip's section lift slope over 2 pi; a slope
    /// below the ideal one acts as a leak in the boundary condition.
    /// `wake_alpha_rad` is the angle of attack about which the wake swings.
    ///
    /// # Errors
    /// [`AeroError::Singular`] where two surfaces coincide.
    pub fn new(grid: Grid, slope_factors: &[f64], wake_alpha_rad: f64) -> Result<Self, AeroError> {
        let flap_columns = flap_columns(&grid);
        let raw = Raw::new(&grid, wake_alpha_rad);
        let leak = leak(&grid, slope_factors);
        let solve = |symmetric: bool| parity(&grid, &raw, &leak, &flap_columns, symmetric);
        let (symmetric, antisymmetric) = (solve(true)?, solve(false)?);
        Ok(Self { grid, flap_columns, symmetric, antisymmetric, wake_alpha_rad })
    }

    /// Half the sum of left and right, half the difference.
    pub fn parities(&self) -> [&Parity; 2] {
        [&self.symmetric, &self.antisymmetric]
    }
}

fn flap_columns(grid: &Grid) -> Vec<FlapColumn> {
    let of_strip = |(strip, data): (usize, &super::grid::Strip)| -> Vec<FlapColumn> {
        data.hinged
            .iter()
            .map(|hinged| FlapColumn {
                strip,
                device: hinged.device,
                cover: hinged.cover,
                chord_ratio: hinged.chord_ratio,
            })
            .collect()
    };
    grid.strips.iter().enumerate().flat_map(of_strip).collect()
}

/// Extra normal velocity per unit circulation that a strip with less than the
/// ideal lift slope takes: (1/eta - 1) / (pi c cos(sweep)).
fn leak(grid: &Grid, slope_factors: &[f64]) -> Vec<f64> {
    grid.strips
        .iter()
        .zip(slope_factors)
        .map(|(strip, factor)| (1.0 / factor - 1.0) / (PI * strip.chord_m * strip.cos_sweep))
        .collect()
}

/// Influence matrices before they are put together by parity. Rows are control
/// points; `direct` is of the right and centre vortices, `image` of the right
/// ones' mirror images.
struct Raw {
    direct: DMatrix<f64>,
    image: DMatrix<f64>,
    /// Wake swing matrices by strip: alpha direct, alpha image, beta direct,
    /// beta image.
    swing: [DMatrix<f64>; 4],
    gathered_direct: DMatrix<f64>,
    gathered_image: DMatrix<f64>,
}

impl Raw {
    fn new(grid: &Grid, alpha_rad: f64) -> Self {
        let (strips, boxes) = (grid.strips.len(), grid.boxes);
        let count = strips * boxes;
        let by_strip = || DMatrix::zeros(count, strips);
        let mut raw = Self {
            direct: DMatrix::zeros(count, count),
            image: DMatrix::zeros(count, count),
            swing: [by_strip(), by_strip(), by_strip(), by_strip()],
            gathered_direct: DMatrix::zeros(3 * strips, strips),
            gathered_image: DMatrix::zeros(3 * strips, strips),
        };
        let mut field = Field::new(grid);
        let mut gathered = vec![Vector3::zeros(); strips];
        for (k, strip) in grid.strips.iter().enumerate() {
            for (i, point) in strip.control_points.iter().enumerate() {
                let row = k * boxes + i;
                field.at(grid, strips, *point, strip, alpha_rad);
                raw.fill(row, &field, strip.normal, strips, false);
                // The image's field is the mirror of the field at the mirrored
                // point, so its normal part is found with a mirrored normal. In
                // the plane of symmetry that is the same point.
                if point.y != 0.0 {
                    field.at(grid, grid.right, mirror(*point), strip, alpha_rad);
                }
                raw.fill(row, &field, mirror(strip.normal), grid.right, true);
            }
            for (place, point) in strip.swing_points.iter().enumerate() {
                let told: Vec<f64> = (0..boxes).map(|i| shares(i, boxes)[place]).collect();
                field.swing_at(grid, strips, *point, strip, alpha_rad);
                raw.add_swing(k, &told, &field.swings, strip.normal, false);
                if point.y != 0.0 {
                    field.swing_at(grid, grid.right, mirror(*point), strip, alpha_rad);
                }
                let of_right = &field.swings[..grid.right];
                raw.add_swing(k, &told, of_right, mirror(strip.normal), true);
            }
            let point = strip.quarter_chord;
            gathered_field(grid, point, k, false, alpha_rad, &mut gathered);
            set_rows(&mut raw.gathered_direct, 3 * k, gathered.iter().copied());
            let of_right = &mut gathered[..grid.right];
            if point.y != 0.0 {
                gathered_field(grid, mirror(point), k, true, alpha_rad, of_right);
            }
            set_rows(&mut raw.gathered_image, 3 * k, of_right.iter().copied().map(mirror));
        }
        raw
    }

    fn fill(
        &mut self,
        row: usize,
        field: &Field,
        normal: Vector3<f64>,
        strips: usize,
        image: bool,
    ) {
        let boxes = field.boxes.len() / field.swings.len();
        let matrix = if image { &mut self.image } else { &mut self.direct };
        for (column, velocity) in field.boxes.iter().take(strips * boxes).enumerate() {
            matrix[(row, column)] = normal.dot(velocity);
        }
    }

    /// Adds to what the boxes of a strip are told of the wakes' swing, when it
    /// changes the air at one place of the chord by `swings`.
    fn add_swing(
        &mut self,
        strip: usize,
        told: &[f64],
        swings: &[[Vector3<f64>; 2]],
        normal: Vector3<f64>,
        image: bool,
    ) {
        let [alpha, alpha_image, beta, beta_image] = &mut self.swing;
        let matrices = if image { [alpha_image, beta_image] } else { [alpha, beta] };
        let first = strip * told.len();
        for (angle, matrix) in matrices.into_iter().enumerate() {
            for (column, swing) in swings.iter().enumerate() {
                let through = normal.dot(&swing[angle]);
                for (row, share) in told.iter().enumerate() {
                    matrix[(first + row, column)] += share * through;
                }
            }
        }
    }
}

/// Writes velocities into three rows from `row`, a column for each.
fn set_rows(matrix: &mut DMatrix<f64>, row: usize, velocities: impl Iterator<Item = Vector3<f64>>) {
    for (column, velocity) in velocities.enumerate() {
        matrix.fixed_view_mut::<3, 1>(row, column).copy_from(&velocity);
    }
}

fn parity(
    grid: &Grid,
    raw: &Raw,
    leak: &[f64],
    flap_columns: &[FlapColumn],
    symmetric: bool,
) -> Result<Parity, AeroError> {
    let sign = if symmetric { 1.0 } else { -1.0 };
    let strips = if symmetric { grid.right } else { grid.strips.len() };
    let others = if symmetric { grid.strips.len() } else { grid.right };
    let boxes = grid.boxes;
    let count = strips * boxes;
    let flaps = flap_columns.iter().filter(|column| column.strip < strips).count();
    let both = |direct: &DMatrix<f64>, image: &DMatrix<f64>, columns: usize| {
        let shape = ((0, 0), (count, columns));
        let image = image.view(shape.0, shape.1);
        direct.view(shape.0, shape.1).zip_map(&image, |direct, image| direct + sign * image)
    };
    let mut matrix = both(&raw.direct, &raw.image, count);
    matrix.neg_mut();
    for (k, leak) in leak.iter().enumerate().take(strips) {
        matrix.view_mut((k * boxes, k * boxes), (boxes, boxes)).add_scalar_mut(*leak);
    }
    let swing_alpha = both(&raw.swing[0], &raw.swing[1], strips);
    // Sideslip's swing is mirrored with the opposite sign, so it carries one
    // parity into the other. A centre strip's field is its own image: its
    // image column is empty, and the direct one already is the whole.
    let swing_beta = both(&raw.swing[2], &raw.swing[3], others);
    let velocities = [
        &patterns(grid, strips, symmetric),
        &flap_patterns(grid, strips, &flap_columns[..flaps]),
        &swing_alpha,
        &swing_beta,
    ];
    let [circulation, moment] = answers_per_box(grid, strips, matrix)?;
    let (direct, image) = (&raw.gathered_direct, &raw.gathered_image);
    Ok(Parity {
        strips,
        flaps,
        circulation: Answer::new(&circulation, velocities)?,
        moment: Answer::new(&moment, velocities)?,
        induced: RowBlocks::from_fn(3 * grid.strips.len(), strips, |row, column| {
            direct[(row, column)] + sign * image[(row, column)]
        }),
    })
}

/// Velocities through the boxes, uniform over every strip, then by the rates of
/// roll, pitch and yaw that make the air grow along the chord.
///
/// Rolling and yawing air is opposite on the two sides, so it stands in half
/// their difference whole; pitching air is alike and stands in half their sum.
fn patterns(grid: &Grid, strips: usize, symmetric: bool) -> DMatrix<f64> {
    let boxes = grid.boxes;
    let mut patterns = DMatrix::zeros(strips * boxes, strips + 3);
    for (k, strip) in grid.strips.iter().take(strips).enumerate() {
        let per_rate = strip.aft.cross(&strip.normal) * -strip.chord_m;
        for i in 0..boxes {
            let row = k * boxes + i;
            patterns[(row, k)] = 1.0;
            let chords_aft = growing(i, boxes) - 0.25;
            for (axis, velocity) in per_rate.iter().enumerate() {
                if k >= grid.right || (axis == 1) == symmetric {
                    patterns[(row, strips + axis)] = velocity * chords_aft;
                }
            }
        }
    }
    patterns
}

/// Velocities through the boxes by each flap.
fn flap_patterns(grid: &Grid, strips: usize, flap_columns: &[FlapColumn]) -> DMatrix<f64> {
    let boxes = grid.boxes;
    let mut patterns = DMatrix::zeros(strips * boxes, flap_columns.len());
    for (column, flap) in flap_columns.iter().enumerate() {
        for (i, rotation) in box_rotations(boxes, flap.chord_ratio).iter().enumerate() {
            patterns[(flap.strip * boxes + i, column)] = rotation * flap.cover;
        }
    }
    patterns
}

/// What a velocity through each box, a column for each, does to the circulation
/// of every strip and to its moment.
///
/// Fewer of these are wanted than right-hand sides, so the transposed equations
/// are solved for them.
fn answers_per_box(
    grid: &Grid,
    strips: usize,
    mut matrix: DMatrix<f64>,
) -> Result<[RowBlocks; 2], AeroError> {
    let count = strips * grid.boxes;
    let mut answers = gathering(grid, strips);
    // Columns one after the other are the rows of the transpose.
    if !solve_in_place(matrix.as_mut_slice(), answers.as_mut_slice(), count) {
        return Err(AeroError::Singular);
    }
    Ok([0, strips].map(|first| {
        RowBlocks::from_fn(strips, count, |row, column| answers[(first + row, column)])
    }))
}

/// From the boxes' circulation, one column per box, to each strip's circulation
/// and its first moment about the quarter chord.
fn gathering(grid: &Grid, strips: usize) -> DMatrix<f64> {
    let boxes = grid.boxes;
    let mut gathering = DMatrix::zeros(2 * strips, strips * boxes);
    for k in 0..strips {
        for i in 0..boxes {
            let arm = ((i as f64 + 0.25) / boxes as f64 - 0.25) * grid.strips[k].chord_m;
            gathering[(k, k * boxes + i)] = 1.0;
            gathering[(strips + k, k * boxes + i)] = arm;
        }
    }
    gathering
}
