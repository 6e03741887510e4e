//! What every vortex of the grid does at a point, per unit circulation.
//!
//! Each box carries a horseshoe: a bound part at the box's quarter chord and
//! two legs that follow the surface to the trailing edge and then the air. The
//! air's direction is a stated one; how the field changes when the wake swings
//! with angle of attack and sideslip is returned beside it, to first order.
//! Swinging matters: a wake fixed to the body misses the part of the dihedral
//! effect that grows with lift, and misplaces the wake of a high-mounted wing
//! at the tail.

use nalgebra::Vector3;

use super::grid::{Grid, Strip};
use super::vortex::{Core, half_line, segment};

/// Half the swing over which the wake's derivative is taken, rad. Large enough
/// to be a mean over the angles that are flown, small against a radian.
const WAKE_SWING_RAD: f64 = 0.05;

/// Direction in which the air moves past the aircraft, body axes, for an angle
/// of attack and a sideslip (both rad).
pub fn wake_direction(alpha_rad: f64, beta_rad: f64) -> Vector3<f64> {
    let (sin_alpha, cos_alpha) = alpha_rad.sin_cos();
    let (sin_beta, cos_beta) = beta_rad.sin_cos();
    -Vector3::new(cos_alpha * cos_beta, sin_beta, sin_alpha * cos_beta)
}

/// Velocities at one point, per unit circulation, 1/m.
pub struct Field {
    /// Of every box: strip after strip, front to rear.
    pub boxes: Vec<Vector3<f64>>,
    /// Change of every strip's wake with angle of attack and with sideslip, per
    /// rad.
    pub swings: Vec<[Vector3<f64>; 2]>,
    legs: Vec<Vector3<f64>>,
    edge_swings: Vec<[Vector3<f64>; 2]>,
}

impl Field {
    /// Room for the field of `grid`.
    pub fn new(grid: &Grid) -> Self {
        let strips = grid.strips.len();
        Self {
            boxes: vec![Vector3::zeros(); strips * grid.boxes],
            swings: vec![[Vector3::zeros(); 2]; strips],
            legs: vec![Vector3::zeros(); grid.edges.len() * (grid.boxes + 1)],
            edge_swings: vec![[Vector3::zeros(); 2]; grid.edges.len()],
        }
    }

    /// Fills in the boxes' field of the first `strips` at `point`, which lies on
    /// strip `own`, with the wake along the air at `alpha_rad`.
    pub fn at(
        &mut self,
        grid: &Grid,
        strips: usize,
        point: Vector3<f64>,
        own: &Strip,
        alpha_rad: f64,
    ) {
        let rows = grid.boxes + 1;
        let along = wake_direction(alpha_rad, 0.0);
        let edges = grid.strips[..strips].last().map_or(0, |strip| strip.outer_edge + 1);
        for (index, edge) in grid.edges[..edges].iter().enumerate() {
            let core = grid.core(edge, own);
            let trailing_edge = edge.nodes[grid.boxes];
            let legs = &mut self.legs[index * rows..(index + 1) * rows];
            let closure = grid.closure(edge.surface, own.surface);
            let leaving = edge.leaving(along, closure);
            legs[grid.boxes] = half_line(point, trailing_edge, leaving, core);
            for i in (0..grid.boxes).rev() {
                legs[i] = legs[i + 1] + segment(point, edge.nodes[i], edge.nodes[i + 1], core);
            }
        }
        for (k, strip) in grid.strips[..strips].iter().enumerate() {
            let (inner, outer) = (&grid.edges[strip.inner_edge], &grid.edges[strip.outer_edge]);
            let core = grid.core(inner, own);
            for i in 0..grid.boxes {
                self.boxes[k * grid.boxes + i] =
                    segment(point, inner.nodes[i], outer.nodes[i], core)
                        + self.legs[strip.outer_edge * rows + i]
                        - self.legs[strip.inner_edge * rows + i];
            }
        }
    }

    /// Fills in what the swing of the first `strips`' wakes changes at `point`,
    /// which lies on strip `own`, with the wake along the air at `alpha_rad`.
    pub fn swing_at(
        &mut self,
        grid: &Grid,
        strips: usize,
        point: Vector3<f64>,
        own: &Strip,
        alpha_rad: f64,
    ) {
        let swung = [
            wake_direction(alpha_rad + WAKE_SWING_RAD, 0.0),
            wake_direction(alpha_rad - WAKE_SWING_RAD, 0.0),
            wake_direction(alpha_rad, WAKE_SWING_RAD),
            wake_direction(alpha_rad, -WAKE_SWING_RAD),
        ];
        let edges = grid.strips[..strips].last().map_or(0, |strip| strip.outer_edge + 1);
        for (index, edge) in grid.edges[..edges].iter().enumerate() {
            // The wake leaves along a joint, whatever the air's direction: swung,
            // it would cut through what stands there.
            let closure = grid.closure(edge.surface, own.surface);
            if closure == 1.0 {
                self.edge_swings[index] = [Vector3::zeros(); 2];
                continue;
            }
            let (trailing_edge, core) = (edge.nodes[grid.boxes], grid.core(edge, own));
            let wake = |direction| half_line(point, trailing_edge, direction, core);
            let per_rad = (1.0 - closure) / (2.0 * WAKE_SWING_RAD);
            self.edge_swings[index] = [
                (wake(swung[0]) - wake(swung[1])) * per_rad,
                (wake(swung[2]) - wake(swung[3])) * per_rad,
            ];
        }
        for (strip, swing) in grid.strips[..strips].iter().zip(&mut self.swings) {
            let [inner, outer] = [strip.inner_edge, strip.outer_edge].map(|e| self.edge_swings[e]);
            *swing = [outer[0] - inner[0], outer[1] - inner[1]];
        }
    }
}

/// Core of a gathered bound vortex as felt by another, over the chord.
///
/// The bound vorticity really lies spread along the chord. Where the span has a
/// kink (dihedral, sweep, the foot of a fin), a vortex gathered into one line
/// would grow without limit towards it, and the load with every finer strip.
/// Two flat-plate loadings, sqrt((1 - x)/x) along their chords, act on each
/// other on average as at the distance exp(E ln|x1 - x2|); with x = (1 - cos
/// theta)/2 and ln|cos theta - cos phi| = -ln 2 - 2 sum cos(n theta)
/// cos(n phi)/n that is exp(-1/2)/4 of the chord. A core of this radius gives
/// the same integral along a kinked span.
const GATHERED_CORE: f64 = 0.151_632_66;

/// Velocities at `point`, on strip `own` of the grid, of the whole circulation of
/// the first strips, as many as `field` is long, gathered at their quarter chords,
/// per unit circulation, 1/m. The strip's own bound part is left out (`own_image`
/// false): a straight filament does nothing on itself.
pub fn gathered_field(
    grid: &Grid,
    point: Vector3<f64>,
    own: usize,
    own_image: bool,
    alpha_rad: f64,
    field: &mut [Vector3<f64>],
) {
    let along = wake_direction(alpha_rad, 0.0);
    let felt_by = &grid.strips[own];
    let leg = |edge: usize| {
        let edge = &grid.edges[edge];
        let core = grid.core(edge, felt_by);
        let trailing_edge = edge.nodes[grid.boxes];
        let leaving = edge.leaving(along, grid.closure(edge.surface, felt_by.surface));
        segment(point, edge.quarter_chord, trailing_edge, core)
            + half_line(point, trailing_edge, leaving, core)
    };
    for ((k, strip), field) in grid.strips.iter().enumerate().zip(field) {
        let (inner, outer) = (&grid.edges[strip.inner_edge], &grid.edges[strip.outer_edge]);
        let chord_m = 0.5 * (strip.chord_m + felt_by.chord_m);
        let gathered_m = GATHERED_CORE * chord_m;
        let core = match grid.core(inner, felt_by) {
            Core::Sheet(radius_m) if radius_m > gathered_m => Core::Sheet(radius_m),
            _ => Core::Vortex(gathered_m),
        };
        let bound = if k == own && !own_image {
            Vector3::zeros()
        } else {
            segment(point, inner.quarter_chord, outer.quarter_chord, core)
        };
        *field = bound + leg(strip.outer_edge) - leg(strip.inner_edge);
    }
}
