//! A plain vortex lattice of both halves, box by box and without any reduction,
//! for the tests to compare ours with.

use std::f64::consts::PI;

use nalgebra::{DMatrix, DVector, Vector3};

use crate::aero::chordwise::{PLACES, growing, shares};
use crate::aero::grid::{Edge, Grid, Strip};
use crate::aero::influence::wake_direction;
use crate::aero::vortex::{Core, half_line, segment};
use crate::aircraft::outline::mirror;

/// A strip in space: of the grid or the image of one.
pub struct PlainStrip<'a> {
    pub source: &'a Strip,
    pub image: bool,
    /// Edges at the horseshoe's beginning and end; the air turns about the bound
    /// line from the first to the last as a right hand's fingers do.
    edges: [&'a Edge; 2],
}

pub struct Plain<'a> {
    grid: &'a Grid,
    pub strips: Vec<PlainStrip<'a>>,
    /// To the circulation of every box from the air through it.
    inverse: DMatrix<f64>,
    alpha_rad: f64,
}

impl<'a> PlainStrip<'a> {
    pub fn place(&self, vector: Vector3<f64>) -> Vector3<f64> {
        if self.image { mirror(vector) } else { vector }
    }

    /// The bound line's ends at a quarter of the chord.
    pub fn quarter_chords(&self) -> [Vector3<f64>; 2] {
        self.edges.map(|edge| self.place(edge.quarter_chord))
    }

    pub fn edges(&self) -> [&'a Edge; 2] {
        self.edges
    }

    pub fn normal(&self) -> Vector3<f64> {
        self.place(self.source.normal)
    }

    pub fn aft(&self) -> Vector3<f64> {
        self.place(self.source.aft)
    }
}

impl<'a> Plain<'a> {
    /// The lattice of strips with these lift slopes over 2 pi, right half, plane of
    /// symmetry and left half in this order, its wake along the air at `alpha_rad`.
    pub fn new(grid: &'a Grid, slope_factors: &[f64], alpha_rad: f64) -> Self {
        let own = grid.strips.iter().map(|source| {
            let edges = [&grid.edges[source.inner_edge], &grid.edges[source.outer_edge]];
            PlainStrip { source, image: false, edges }
        });
        let images = grid.strips[..grid.right].iter().map(|source| {
            let edges = [&grid.edges[source.outer_edge], &grid.edges[source.inner_edge]];
            PlainStrip { source, image: true, edges }
        });
        let strips: Vec<_> = own.chain(images).collect();
        let count = strips.len() * grid.boxes;
        let mut plain = Self { grid, strips, inverse: DMatrix::zeros(count, count), alpha_rad };
        let matrix = DMatrix::from_fn(count, count, |row, column| {
            let (k, i) = (row / grid.boxes, row % grid.boxes);
            let (j, b) = (column / grid.boxes, column % grid.boxes);
            let strip = &plain.strips[k];
            let point = strip.place(strip.source.control_points[i]);
            let cos_sweep = (strip.source.width_m / strip.source.bound.norm()).min(1.0);
            let leak = if k == j {
                (1.0 / slope_factors[k] - 1.0) / (PI * strip.source.chord_m * cos_sweep)
            } else {
                0.0
            };
            leak - strip.normal().dot(&plain.of_box(j, b, point, strip.source))
        });
        plain.inverse = matrix.try_inverse().unwrap();
        plain
    }

    /// Direction in which an edge's wake leaves, as felt on `felt_by`.
    fn leaving(&self, strip: &PlainStrip, edge: &Edge, felt_by: &Strip) -> Vector3<f64> {
        let closure = self.grid.closure(edge.surface, felt_by.surface);
        let chord = strip.place(edge.nodes[self.grid.boxes] - edge.quarter_chord).normalize();
        let air = wake_direction(self.alpha_rad, 0.0);
        (air * (1.0 - closure) + chord * closure).normalize()
    }

    /// Velocity at a point on `felt_by` of the horseshoe of one box.
    fn of_box(
        &self,
        strip: usize,
        index: usize,
        point: Vector3<f64>,
        felt_by: &Strip,
    ) -> Vector3<f64> {
        let strip = &self.strips[strip];
        let legs = strip.edges.map(|edge| {
            let core = self.grid.core(edge, felt_by);
            let nodes: Vec<_> = edge.nodes[index..].iter().map(|node| strip.place(*node)).collect();
            let leaving = self.leaving(strip, edge, felt_by);
            let along: Vector3<f64> =
                nodes.windows(2).map(|ends| segment(point, ends[0], ends[1], core)).sum();
            along + half_line(point, nodes[nodes.len() - 1], leaving, core)
        });
        let [from, to] = strip.edges.map(|edge| strip.place(edge.nodes[index]));
        let core = self.grid.core(strip.edges[0], felt_by);
        segment(point, from, to, core) + legs[1] - legs[0]
    }

    /// Velocity at the quarter chord of strip `k` of a strip's whole circulation,
    /// gathered at its quarter chord: exp(-1/2) / 4 of the mean chord wide.
    pub fn gathered(&self, strip: usize, k: usize) -> Vector3<f64> {
        let felt = &self.strips[k];
        let (strip, own) = (&self.strips[strip], strip == k);
        let (point, felt_by) = (felt.place(felt.source.quarter_chord), felt.source);
        let legs = strip.edges.map(|edge| {
            let core = self.grid.core(edge, felt_by);
            let [quarter, rear] =
                [edge.quarter_chord, edge.nodes[self.grid.boxes]].map(|at| strip.place(at));
            let leaving = self.leaving(strip, edge, felt_by);
            segment(point, quarter, rear, core) + half_line(point, rear, leaving, core)
        });
        let gathered_m = (-0.5f64).exp() / 4.0 * 0.5 * (strip.source.chord_m + felt_by.chord_m);
        let core = match self.grid.core(strip.edges[0], felt_by) {
            Core::Sheet(radius_m) if radius_m > gathered_m => Core::Sheet(radius_m),
            _ => Core::Vortex(gathered_m),
        };
        let [from, to] = strip.quarter_chords();
        let bound = if own { Vector3::zeros() } else { segment(point, from, to, core) };
        bound + legs[1] - legs[0]
    }

    /// What the boxes are told of the air that comes, for each unit of these
    /// circulations of the strips, with the wakes' swing in angle of attack or in
    /// sideslip: its change over a tenth of a radian, by thin-aerofoil shares.
    pub fn swing(&self, circulation: &[f64], sideways: bool) -> DVector<f64> {
        let boxes = self.grid.boxes;
        let directions = [0.05, -0.05].map(|swing| match sideways {
            false => wake_direction(self.alpha_rad + swing, 0.0),
            true => wake_direction(self.alpha_rad, swing),
        });
        let mut told = DVector::zeros(self.strips.len() * boxes);
        for (k, felt) in self.strips.iter().enumerate() {
            for place in 0..PLACES {
                let point = felt.place(felt.source.swing_points[place]);
                let mut change = Vector3::zeros();
                for (strip, circulation) in self.strips.iter().zip(circulation) {
                    for (edge, sense) in strip.edges.into_iter().zip([-1.0, 1.0]) {
                        let closure = self.grid.closure(edge.surface, felt.source.surface);
                        let core = self.grid.core(edge, felt.source);
                        let rear = strip.place(edge.nodes[boxes]);
                        let [one, other] =
                            directions.map(|along| half_line(point, rear, along, core));
                        change += (one - other) * (sense * circulation * (1.0 - closure) / 0.1);
                    }
                }
                for i in 0..boxes {
                    told[k * boxes + i] += shares(i, boxes)[place] * felt.normal().dot(&change);
                }
            }
        }
        told
    }

    /// Air through every box: uniform over the strips, and by the body's rates
    /// that make it grow behind the quarter chord.
    pub fn through(&self, uniform_m_s: &[f64], rates: Vector3<f64>) -> DVector<f64> {
        let boxes = self.grid.boxes;
        DVector::from_fn(self.strips.len() * boxes, |row, _| {
            let strip = &self.strips[row / boxes];
            let behind_m = (growing(row % boxes, boxes) - 0.25) * strip.source.chord_m;
            let moving = rates.cross(&(strip.aft() * behind_m));
            uniform_m_s[row / boxes] - moving.dot(&strip.normal())
        })
    }

    /// Circulation of every strip, and its first moment behind the quarter chord.
    pub fn answer(&self, through: &DVector<f64>) -> [Vec<f64>; 2] {
        let boxes = self.grid.boxes;
        let circulation = &self.inverse * through;
        let of_strip = |weight: &dyn Fn(usize, f64) -> f64| -> Vec<f64> {
            let strips = self.strips.iter().enumerate();
            strips
                .map(|(k, strip)| {
                    (0..boxes)
                        .map(|i| circulation[k * boxes + i] * weight(i, strip.source.chord_m))
                        .sum()
                })
                .collect()
        };
        let arm = |i: usize, chord_m: f64| (i as f64 + 0.25) / boxes as f64 * chord_m;
        [
            of_strip(&|_, _| 1.0),
            of_strip(&|i, chord_m| arm(i, chord_m) - arm(0, chord_m) * boxes as f64),
        ]
    }
}
