//! The lattice's grid: every surface cut into strips along the flow and every
//! strip into boxes.
//!
//! Only the right half and the surfaces in the plane of symmetry are kept; the
//! left half is the mirror image by construction, so a symmetric aircraft in
//! symmetric flow has exactly no side force. A free end is drawn in by a
//! quarter of a strip, which brings a few strips as close to the converged
//! result as many without it (Hough, J. Aircraft 10(5), 1973, from memory).
//!
//! Boxes are of equal chord with the vortex at a quarter and the control point
//! at three quarters of the box; that pair gives the exact lift and moment of
//! a flat strip in two dimensions (James, AIAA J. 10(8), 1972, from memory).

use nalgebra::{DMatrix, Vector3};

use super::chordwise;
use super::device::{Device, devices};
use super::joint::{Joints, Mitre, joints};
use super::piece::{Cut, Joint, Piece};
use super::vortex::{Core, SHEET_SHARE};
use crate::aircraft::outline::{PanelShape, panel_shapes};
use crate::aircraft::{Aircraft, Section, Surface, SurfaceRole};
use crate::math::sort_numbers;

/// How fine the grid is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GridOptions {
    /// Strips over the half span of the widest wing; other surfaces get as
    /// many as their span asks for, at least [`GridOptions::strips_min`].
    pub strips: usize,
    /// Least number of strips of half a surface. One in the plane of symmetry
    /// gets five for six: a fin is shorter than half the tailplane that it stands
    /// on, and the errors of both sides of a joint cancel where strips are alike.
    pub strips_min: usize,
    /// Boxes along each strip's chord.
    pub boxes: usize,
}

impl Default for GridOptions {
    fn default() -> Self {
        Self { strips: 12, strips_min: 6, boxes: 3 }
    }
}

/// Which part of the aircraft a strip belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Right half of a mirrored surface.
    Right,
    /// Surface in the plane of symmetry.
    Centre,
}

/// A chordwise line between two strips: where the trailing vortices start.
#[derive(Debug, Clone)]
pub struct Edge {
    /// Points of the boxes' vortices from front to rear, then the trailing
    /// edge, body axes, m.
    pub nodes: Vec<Vector3<f64>>,
    /// Quarter-chord point, body axes, m.
    pub quarter_chord: Vector3<f64>,
    /// Length from the quarter chord to the trailing edge, m.
    pub length_aft_m: f64,
    /// Surface that the edge belongs to.
    pub surface: usize,
    /// Width of the strips beside it, m.
    pub width_m: f64,
}

impl Edge {
    /// Unit vector along the chord towards the trailing edge.
    pub fn aft(&self) -> Vector3<f64> {
        let trailing_edge = self.nodes[self.nodes.len() - 1];
        (trailing_edge - self.quarter_chord).normalize()
    }

    /// Unit vector along which the wake leaves as a surface feels it that is
    /// joined this tightly: along the air at `along`, but along a joint's chord.
    pub fn leaving(&self, along: Vector3<f64>, closure: f64) -> Vector3<f64> {
        if closure == 0.0 {
            along
        } else if closure == 1.0 {
            self.aft()
        } else {
            along.lerp(&self.aft(), closure).normalize()
        }
    }
}

/// Share of a strip that a control surface covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hinged {
    /// Index into [`Grid::devices`].
    pub device: usize,
    /// Covered part of the strip's span, 0 to 1.
    pub cover: f64,
    /// Control chord over local chord in the middle of the covered part.
    pub chord_ratio: f64,
}

/// A strip of a surface along the flow.
#[derive(Debug, Clone)]
pub struct Strip {
    /// Surface that the strip belongs to, an index into the aircraft's list.
    pub surface: usize,
    /// Where the strip is.
    pub side: Side,
    /// Edge nearer the root, an index into [`Grid::edges`].
    pub inner_edge: usize,
    /// Edge nearer the tip.
    pub outer_edge: usize,
    /// Chord in the middle, m.
    pub chord_m: f64,
    /// Distance from the panel's inner end to the strip's, m.
    pub from_m: f64,
    /// Width of the lattice strip along the span, m.
    pub width_m: f64,
    /// Area that the strip stands for, with its share of a drawn-in tip, m2.
    pub area_m2: f64,
    /// Cosine of the quarter-chord sweep.
    pub cos_sweep: f64,
    /// Quarter-chord point in the middle, body axes from the moment point, m.
    pub quarter_chord: Vector3<f64>,
    /// Bound line along the quarter chord, inner to outer edge, m.
    pub bound: Vector3<f64>,
    /// Unit vector along the span, root to tip.
    pub span_direction: Vector3<f64>,
    /// Unit vector along the chord towards the trailing edge.
    pub aft: Vector3<f64>,
    /// Unit vector at right angles to the strip, up for a level wing.
    pub normal: Vector3<f64>,
    /// Control points of the boxes, front to rear.
    pub control_points: Vec<Vector3<f64>>,
    /// Points where the air that a swinging wake brings is worked out, body
    /// axes, m.
    pub swing_points: [Vector3<f64>; chordwise::PLACES],
    /// Control surfaces on the strip.
    pub hinged: Vec<Hinged>,
    /// Section of the strip.
    pub section: Section,
    /// Aspect ratio of the whole surface, both halves.
    pub surface_aspect_ratio: f64,
}

/// The whole grid: right-half strips first, then those in the plane of
/// symmetry.
#[derive(Debug, Clone)]
pub struct Grid {
    /// Strips, [`Side::Right`] first.
    pub strips: Vec<Strip>,
    /// Number of strips on the right half.
    pub right: usize,
    /// How tightly any two surfaces are joined.
    closures: DMatrix<f64>,
    /// Edges between strips.
    pub edges: Vec<Edge>,
    /// Control surfaces in the order of the aircraft's surfaces.
    pub devices: Vec<Device>,
    /// Boxes along each strip.
    pub boxes: usize,
}

/// At a joint edges lie on edges, and a core would make it leak. This little
/// one changes what is felt half a strip away by 1 in 600.
const JOINT_CORE: f64 = 0.02;

/// A piece of a panel shorter than this share of a strip is not cut off.
const PIECE_MIN: f64 = 0.05;

impl Grid {
    /// Core of a filament from an edge as felt on `strip`.
    pub fn core(&self, edge: &Edge, strip: &Strip) -> Core {
        if edge.surface == strip.surface {
            return Core::Line;
        }
        let closure = self.closure(edge.surface, strip.surface);
        // A vortex sheet has no concentrated strength, and a strip meets what its
        // whole width meets: the wider of the two counts. With less, forces come
        // and go with every strip that a foreplane's tip vortex passes over.
        let apart = SHEET_SHARE * edge.width_m.max(strip.width_m);
        Core::Sheet(apart + (JOINT_CORE * edge.width_m - apart) * closure)
    }

    /// How tightly two surfaces are joined, 0 not at all to 1.
    pub fn closure(&self, one: usize, other: usize) -> f64 {
        self.closures[(one, other)]
    }

    /// Cuts the surfaces into strips and boxes about `moment_point_body`, the
    /// point (body axes from the datum) that positions are measured from.
    pub fn new(aircraft: &Aircraft, moment_point_body: Vector3<f64>, options: GridOptions) -> Self {
        let shapes: Vec<Vec<PanelShape>> = aircraft.surfaces.iter().map(panel_shapes).collect();
        let lengths: Vec<f64> =
            shapes.iter().map(|list| list.iter().map(PanelShape::span_m).sum()).collect();
        let widest = aircraft
            .surfaces
            .iter()
            .zip(&lengths)
            .filter(|(surface, _)| surface.role == SurfaceRole::Wing)
            .map(|(_, length)| *length)
            .fold(f64::MIN_POSITIVE, f64::max);
        let joints = joints(aircraft, &shapes);
        let mut grid = Self {
            strips: Vec::new(),
            right: 0,
            closures: closures(&joints),
            edges: Vec::new(),
            devices: devices(aircraft, moment_point_body),
            boxes: options.boxes.max(1),
        };
        for side in [Side::Right, Side::Centre] {
            for (index, surface) in aircraft.surfaces.iter().enumerate() {
                if (side == Side::Right) != surface.mirrored {
                    continue;
                }
                let share = (options.strips as f64 * lengths[index] / widest).round() as usize;
                let least = match side {
                    Side::Right => options.strips_min,
                    Side::Centre => (5 * options.strips_min).div_ceil(6),
                };
                let count = share.clamp(least.max(1), options.strips.max(1));
                let joints = &joints[index];
                let cutter = Cutter { surface, index, side, moment_point_body, count, joints };
                cutter.cut(&shapes[index], lengths[index], &mut grid);
            }
            if side == Side::Right {
                grid.right = grid.strips.len();
            }
        }
        grid
    }
}

fn closures(joints: &[Joints]) -> DMatrix<f64> {
    let mut closures = DMatrix::zeros(joints.len(), joints.len());
    for (index, own) in joints.iter().enumerate() {
        for (other, closure) in &own.joined {
            closures[(index, *other)] = closure.max(closures[(index, *other)]);
        }
    }
    closures
}

/// Cuts one surface.
struct Cutter<'a> {
    surface: &'a Surface,
    index: usize,
    side: Side,
    moment_point_body: Vector3<f64>,
    count: usize,
    joints: &'a Joints,
}

impl Cutter<'_> {
    fn cut(&self, shapes: &[PanelShape], length_m: f64, grid: &mut Grid) {
        let halves = if self.surface.mirrored { 2.0 } else { 1.0 };
        let area: f64 = shapes.iter().map(PanelShape::area_m2).sum();
        let aspect_ratio = halves * length_m * length_m / area;
        let mut start_m = 0.0;
        for (i, shape) in shapes.iter().enumerate() {
            for cuts in self.cuts(shapes, i, start_m, length_m).windows(2) {
                let piece_m = cuts[1].true_m - cuts[0].true_m;
                let share = self.count as f64 * piece_m / length_m;
                let piece = Piece::new(shape, [cuts[0], cuts[1]], (share.round() as usize).max(1));
                let first = grid.strips.len();
                self.cut_piece(&piece, grid);
                for strip in &mut grid.strips[first..] {
                    let from_m = start_m + strip.from_m;
                    let reach = [from_m.max(0.0), (from_m + strip.width_m).min(length_m)];
                    strip.surface_aspect_ratio = aspect_ratio;
                    strip.hinged = self.hinged(&grid.devices, reach.map(|m| m / length_m));
                    strip.section = self.surface.panels[i].section;
                }
            }
            start_m += shape.span_m();
        }
    }

    /// Where panel `i`, `start_m` from the root, is cut: at its ends and where
    /// it meets another surface.
    fn cuts(&self, shapes: &[PanelShape], i: usize, start_m: f64, length_m: f64) -> Vec<Cut> {
        let least_m = PIECE_MIN * length_m / self.count as f64;
        let (shape, span_m) = (&shapes[i], shapes[i].span_m());
        let kink = |inner: &PanelShape, outer: &PanelShape, along_m: f64| {
            let joint = |mitre| Joint { mitre, along_m, closure: 1.0 };
            Cut::at(along_m, Mitre::between(inner, outer).map(joint))
        };
        let first = match i.checked_sub(1) {
            Some(before) => kink(&shapes[before], shape, 0.0),
            None => Cut::end(0.0, self.joints.tightest(f64::NEG_INFINITY, least_m), 0.0),
        };
        let last = match shapes.get(i + 1) {
            Some(after) => kink(shape, after, span_m),
            None => {
                Cut::end(span_m, self.joints.tightest(length_m - least_m, f64::INFINITY), start_m)
            }
        };
        let mut cuts = vec![first];
        let mut places: Vec<f64> = self.joints.crossings.iter().map(|c| c.along_m).collect();
        sort_numbers(&mut places);
        for place in places {
            let along_m = place - start_m;
            if along_m > cuts[cuts.len() - 1].true_m + least_m && along_m < span_m - least_m {
                let crossing = self.joints.tightest(place, place);
                cuts.push(Cut::at(along_m, crossing.and_then(|c| Joint::of(&c, start_m))));
            }
        }
        cuts.push(last);
        cuts
    }

    fn cut_piece(&self, piece: &Piece, grid: &mut Grid) {
        let first_edge = grid.edges.len();
        for k in 0..=piece.count {
            grid.edges.push(self.edge(piece, k, grid.boxes));
        }
        for k in 0..piece.count {
            let strip = self.strip(piece, k, first_edge + k, grid);
            grid.strips.push(strip);
        }
    }

    fn edge(&self, piece: &Piece, k: usize, boxes: usize) -> Edge {
        let station = piece.station(piece.along_m(k));
        let place = |fraction: f64| {
            let drawn = piece.shape.span_direction * piece.drawn_m(k, fraction);
            piece.shape.point(&station, fraction) + drawn - self.moment_point_body
        };
        let mut nodes: Vec<_> =
            (0..boxes).map(|i| place((i as f64 + 0.25) / boxes as f64)).collect();
        nodes.push(place(1.0));
        Edge {
            nodes,
            quarter_chord: place(0.25),
            length_aft_m: 0.75 * station.chord_m,
            surface: self.index,
            width_m: piece.width_m,
        }
    }

    fn strip(&self, piece: &Piece, k: usize, edge: usize, grid: &Grid) -> Strip {
        let (shape, width_m) = (piece.shape, piece.width_m);
        let middle = piece.station(0.5 * (piece.along_m(k) + piece.along_m(k + 1)));
        let (sin, cos) = middle.incidence_rad.sin_cos();
        let bound = grid.edges[edge + 1].quarter_chord - grid.edges[edge].quarter_chord;
        // Half-way between its edges, also where they are drawn on to a joint.
        let place = |fraction: f64| {
            let drawn = 0.5 * (piece.drawn_m(k, fraction) + piece.drawn_m(k + 1, fraction));
            shape.point(&middle, fraction) + shape.span_direction * drawn - self.moment_point_body
        };
        Strip {
            surface: self.index,
            side: self.side,
            inner_edge: edge,
            outer_edge: edge + 1,
            chord_m: middle.chord_m,
            from_m: piece.along_m(k),
            width_m,
            area_m2: piece.true_area_m2(k),
            cos_sweep: (width_m / bound.norm()).min(1.0),
            quarter_chord: place(0.25),
            bound,
            span_direction: shape.span_direction,
            aft: shape.aft_direction(&middle),
            normal: shape.normal() * cos - Vector3::x() * sin,
            control_points: (0..grid.boxes)
                .map(|i| place((i as f64 + 0.75) / grid.boxes as f64))
                .collect(),
            swing_points: chordwise::places().map(place),
            hinged: Vec::new(),
            section: Section::default(),
            surface_aspect_ratio: 1.0,
        }
    }

    fn hinged(&self, devices: &[Device], along: [f64; 2]) -> Vec<Hinged> {
        let mut list = Vec::new();
        for (device_index, device) in devices.iter().enumerate() {
            if device.surface != self.index {
                continue;
            }
            let control = &self.surface.controls[device.control];
            let (from, to) = (along[0].max(control.from_span), along[1].min(control.to_span));
            // The drawn-in end strip reaches to the true end.
            let cover = ((to - from) / (along[1] - along[0])).min(1.0);
            if cover <= 0.0 {
                continue;
            }
            let middle = 0.5 * (from + to);
            let share = (middle - control.from_span) / (control.to_span - control.from_span);
            let chord_ratio =
                control.inner_chord + (control.outer_chord - control.inner_chord) * share;
            list.push(Hinged { device: device_index, cover, chord_ratio });
        }
        list
    }
}

#[cfg(test)]
mod tests;
