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

use nalgebra::Vector3;

use super::device::{Device, devices};
use super::joint::{Joints, Mitre, joints};
use super::vortex::Core;
use crate::aircraft::outline::{PanelShape, panel_shapes};
use crate::aircraft::{Aircraft, Section, Surface, SurfaceRole};
use crate::math::sort_numbers;

/// How fine the grid is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GridOptions {
    /// Strips over the half span of the widest wing; other surfaces get as
    /// many as their span asks for, at least [`GridOptions::strips_min`].
    pub strips: usize,
    /// Least number of strips of a surface.
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
    /// How every surface ends, and what stands on it.
    joints: Vec<Joints>,
    /// Edges between strips.
    pub edges: Vec<Edge>,
    /// Control surfaces in the order of the aircraft's surfaces.
    pub devices: Vec<Device>,
    /// Boxes along each strip.
    pub boxes: usize,
}

/// Trailing legs spread over this share of a strip's width where they pass a
/// surface that theirs does not touch: a vortex sheet has no concentrated
/// strength, and half a strip to either side is the width that a leg stands
/// for.
const CORE_SHARE: f64 = 0.5;

/// At a joint edges lie on edges, and a core would make it leak. This little
/// one changes what is felt half a strip away by 1 in 600.
const JOINT_CORE: f64 = 0.02;

/// A free end is drawn in by this share of a strip (Hough 1973).
const TIP_INSET: f64 = 0.25;

/// A piece of a panel shorter than this share of a strip is not cut off.
const PIECE_MIN: f64 = 0.25;

impl Grid {
    /// Core of a filament from an edge as felt on `surface`.
    pub fn core(&self, edge: &Edge, surface: usize) -> Core {
        if edge.surface == surface {
            Core::Line
        } else if self.are_joined(edge.surface, surface) {
            Core::Sheet(JOINT_CORE * edge.width_m)
        } else {
            Core::Sheet(CORE_SHARE * edge.width_m)
        }
    }

    /// Whether an end of one of two surfaces stands on the other.
    pub fn are_joined(&self, one: usize, other: usize) -> bool {
        self.joints[one].joined.contains(&other)
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
        let mut grid = Self {
            strips: Vec::new(),
            right: 0,
            joints: joints(&aircraft.surfaces, &shapes),
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
                let count = share.clamp(options.strips_min.max(1), options.strips.max(1));
                let joints = grid.joints[index].clone();
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

/// A stretch of a panel between two joints.
struct Piece<'a> {
    shape: &'a PanelShape,
    from_m: f64,
    length_m: f64,
    /// Shares of a strip by which its ends are drawn in.
    insets: [f64; 2],
    /// Planes that its ends are drawn on to.
    mitres: [Option<Mitre>; 2],
}

/// Cuts one surface.
struct Cutter<'a> {
    surface: &'a Surface,
    index: usize,
    side: Side,
    moment_point_body: Vector3<f64>,
    count: usize,
    joints: Joints,
}

impl Cutter<'_> {
    fn cut(&self, shapes: &[PanelShape], length_m: f64, grid: &mut Grid) {
        let halves = if self.surface.mirrored { 2.0 } else { 1.0 };
        let area: f64 = shapes.iter().map(PanelShape::area_m2).sum();
        let aspect_ratio = halves * length_m * length_m / area;
        let [root, tip] = self.joints.ends;
        let mut start_m = 0.0;
        for (i, shape) in shapes.iter().enumerate() {
            let is_last = i + 1 == shapes.len();
            let bounds = self.bounds(start_m, shape.span_m(), length_m);
            let pieces = bounds.len() - 1;
            for (j, ends) in bounds.windows(2).enumerate() {
                let (is_first_piece, is_last_piece) = (j == 0, j + 1 == pieces);
                let inner = match i.checked_sub(1) {
                    Some(before) => Mitre::between(&shapes[before], shape),
                    None => root.mitre,
                };
                let outer = if is_last { tip.mitre } else { Mitre::between(shape, &shapes[i + 1]) };
                let piece = Piece {
                    shape,
                    from_m: ends[0],
                    length_m: ends[1] - ends[0],
                    insets: [
                        if i == 0 && is_first_piece && root.free { TIP_INSET } else { 0.0 },
                        if is_last && is_last_piece && tip.free { TIP_INSET } else { 0.0 },
                    ],
                    mitres: [inner.filter(|_| is_first_piece), outer.filter(|_| is_last_piece)],
                };
                let share = self.count as f64 * piece.length_m / length_m;
                let first = grid.strips.len();
                self.cut_piece(&piece, (share.round() as usize).max(1), grid);
                for strip in &mut grid.strips[first..] {
                    let middle = start_m + strip.from_m + 0.5 * strip.width_m;
                    let reach = [middle - 0.5 * strip.width_m, middle + 0.5 * strip.width_m];
                    strip.surface_aspect_ratio = aspect_ratio;
                    strip.hinged = self.hinged(&grid.devices, reach.map(|m| m / length_m));
                    strip.section = self.surface.panels[i].section;
                }
            }
            start_m += shape.span_m();
        }
    }

    /// Where a panel is cut into pieces, m from its inner end: at its ends and
    /// where another surface stands on it.
    fn bounds(&self, start_m: f64, span_m: f64, length_m: f64) -> Vec<f64> {
        let least = PIECE_MIN * length_m / self.count as f64;
        let mut bounds = vec![0.0];
        let mut stands = self.joints.stands.clone();
        sort_numbers(&mut stands);
        for place in stands.iter().map(|along| along - start_m) {
            if place > bounds[bounds.len() - 1] + least && place < span_m - least {
                bounds.push(place);
            }
        }
        bounds.push(span_m);
        bounds
    }

    fn cut_piece(&self, piece: &Piece, count: usize, grid: &mut Grid) {
        let [inset_start, inset_end] = piece.insets;
        let width = piece.length_m / (count as f64 + inset_start + inset_end);
        let along = |k: usize| piece.from_m + (inset_start + k as f64) * width;
        let first_edge = grid.edges.len();
        for k in 0..=count {
            let mitre = match k {
                0 => piece.mitres[0],
                _ if k == count => piece.mitres[1],
                _ => None,
            };
            grid.edges.push(self.edge(piece.shape, along(k), mitre, width, grid.boxes));
        }
        for k in 0..count {
            let mut strip =
                self.strip(piece.shape, [along(k), along(k) + width], first_edge + k, grid);
            strip.area_m2 *= piece.length_m / (width * count as f64);
            grid.strips.push(strip);
        }
    }

    fn edge(
        &self,
        shape: &PanelShape,
        along_m: f64,
        mitre: Option<Mitre>,
        width_m: f64,
        boxes: usize,
    ) -> Edge {
        let station = shape.station(along_m / shape.span_m());
        let place = |fraction: f64| {
            let point = shape.point(&station, fraction);
            let drawn = mitre.map_or(point, |plane| plane.draw_on(point, &shape.span_direction));
            drawn - self.moment_point_body
        };
        let mut nodes: Vec<_> =
            (0..boxes).map(|i| place((i as f64 + 0.25) / boxes as f64)).collect();
        nodes.push(place(1.0));
        Edge {
            nodes,
            quarter_chord: place(0.25),
            length_aft_m: 0.75 * station.chord_m,
            surface: self.index,
            width_m,
        }
    }

    fn strip(&self, shape: &PanelShape, along: [f64; 2], edge: usize, grid: &Grid) -> Strip {
        let width_m = along[1] - along[0];
        let middle = shape.station(0.5 * (along[0] + along[1]) / shape.span_m());
        let aft = shape.aft_direction(&middle);
        let (sin, cos) = middle.incidence_rad.sin_cos();
        let bound = grid.edges[edge + 1].quarter_chord - grid.edges[edge].quarter_chord;
        let place = |fraction: f64| shape.point(&middle, fraction) - self.moment_point_body;
        Strip {
            surface: self.index,
            side: self.side,
            inner_edge: edge,
            outer_edge: edge + 1,
            chord_m: middle.chord_m,
            from_m: along[0],
            width_m,
            area_m2: width_m * middle.chord_m,
            cos_sweep: (width_m / bound.norm()).min(1.0),
            quarter_chord: place(0.25),
            bound,
            span_direction: shape.span_direction,
            aft,
            normal: shape.normal() * cos - Vector3::x() * sin,
            control_points: (0..grid.boxes)
                .map(|i| place((i as f64 + 0.75) / grid.boxes as f64))
                .collect(),
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
mod tests {
    use super::*;
    use crate::aircraft::{ControlRole, ControlSurface, EXAMPLES, Panel, read_aircraft};

    /// The strips' shares of a control surface add up to it, and its chord is the
    /// mean of its ends', wherever it begins and ends between the strips.
    #[test]
    fn shares_of_a_control_surface_add_up() {
        let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
        let panel = Panel { span_m: 0.6, ..aircraft.surfaces[0].panels[0] };
        let wing = &mut aircraft.surfaces[0];
        wing.panels = vec![panel];
        let control = ControlSurface {
            name: "flap".into(),
            role: ControlRole::Flap,
            from_span: 0.0,
            to_span: 1.0,
            inner_chord: 0.2,
            outer_chord: 0.35,
            throw_max_deg: 30.0,
            gap_sealed: true,
            setting: None,
            linkage: None,
        };
        for (from_span, to_span) in [(0.31, 0.77), (0.1, 0.12), (0.45, 0.9)] {
            aircraft.surfaces[0].controls =
                vec![ControlSurface { from_span, to_span, ..control.clone() }];
            let grid = Grid::new(&aircraft, Vector3::zeros(), GridOptions::default());
            let device = grid.devices.iter().position(|device| device.surface == 0).unwrap();
            let (mut length, mut chord) = (0.0, 0.0);
            for strip in &grid.strips {
                for part in strip.hinged.iter().filter(|part| part.device == device) {
                    assert!(part.cover > 0.0 && part.cover <= 1.0);
                    length += part.cover * strip.width_m;
                    chord += part.cover * strip.width_m * part.chord_ratio;
                }
            }
            let wanted = (to_span - from_span) * 0.6;
            assert!((length - wanted).abs() < 1e-12, "{length} {wanted}");
            assert!((chord / length - 0.275).abs() < 1e-12, "{chord} {length}");
        }
    }

    /// Strips tile the surface: their areas are its area, and every strip's
    /// vortex and control points lie at a quarter and three quarters of a box.
    #[test]
    fn strips_tile_every_surface() {
        for example in EXAMPLES {
            let aircraft = read_aircraft(example.text).unwrap();
            let grid = Grid::new(&aircraft, Vector3::zeros(), GridOptions::default());
            for (index, surface) in aircraft.surfaces.iter().enumerate() {
                let shapes = panel_shapes(surface);
                let area: f64 = shapes.iter().map(PanelShape::area_m2).sum();
                let strips = grid.strips.iter().filter(|strip| strip.surface == index);
                let tiled: f64 = strips.map(|strip| strip.area_m2).sum();
                // A strip's area is width times middle chord; the ends of a
                // tapered one are drawn in.
                assert!((tiled / area - 1.0).abs() < 0.02, "{} {tiled} {area}", surface.name);
            }
            for strip in &grid.strips {
                let boxes = grid.boxes as f64;
                for (i, point) in strip.control_points.iter().enumerate() {
                    let aft_m = ((i as f64 + 0.75) / boxes - 0.25) * strip.chord_m;
                    let wanted = strip.quarter_chord + strip.aft * aft_m;
                    assert!((point - wanted).norm() < 1e-9, "{}", example.key);
                }
                assert!((strip.normal.dot(&strip.aft)).abs() < 1e-12);
                assert!((strip.normal.dot(&strip.span_direction)).abs() < 1e-12);
                assert!((strip.normal.norm() - 1.0).abs() < 1e-12);
            }
        }
    }
}
