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

use crate::aircraft::outline::{PanelShape, Station, panel_shapes};
use crate::aircraft::{Aircraft, ControlRole, Section, Surface, SurfaceRole};

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
        Self { strips: 10, strips_min: 4, boxes: 4 }
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
    /// Core radius towards other surfaces, m.
    pub core_m: f64,
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

/// A control surface as the lattice sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Device {
    /// Surface and control index in the aircraft.
    pub surface: usize,
    /// Control index on that surface.
    pub control: usize,
    /// What it does.
    pub role: ControlRole,
    /// Greatest deflection, rad.
    pub throw_max_rad: f64,
    /// Whether the gap is sealed.
    pub gap_sealed: bool,
    /// Sign that turns rudder (trailing edge left) into deflection of the
    /// right or centre part away from its normal.
    pub rudder_sign: f64,
    /// -1 for an elevator on a surface ahead of the moment point, where it must
    /// go up to bring the nose down; else 1.
    pub elevator_sign: f64,
}

/// The whole grid: right-half strips first, then those in the plane of
/// symmetry.
#[derive(Debug, Clone)]
pub struct Grid {
    /// Strips, [`Side::Right`] first.
    pub strips: Vec<Strip>,
    /// Number of strips on the right half.
    pub right: usize,
    /// Which surfaces are joined, by index.
    joined: Vec<Vec<bool>>,
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

/// At a joint the core is this much smaller, or the joint would leak; without
/// any, a leg that grazes a control point would spoil the whole solution.
const JOINT_CORE: f64 = 0.2;

/// A free end is drawn in by this share of a strip (Hough 1973).
const TIP_INSET: f64 = 0.25;

impl Grid {
    /// Core radius of a filament from an edge as felt on `surface`, m.
    pub fn core_m(&self, edge: &Edge, surface: usize) -> f64 {
        if edge.surface == surface {
            0.0
        } else if self.joined[edge.surface][surface] {
            edge.core_m * JOINT_CORE
        } else {
            edge.core_m
        }
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
            joined: joined(&shapes),
            edges: Vec::new(),
            devices: devices(aircraft, &shapes, moment_point_body),
            boxes: options.boxes.max(1),
        };
        for side in [Side::Right, Side::Centre] {
            for (index, surface) in aircraft.surfaces.iter().enumerate() {
                if (side == Side::Right) != surface.mirrored {
                    continue;
                }
                let share = (options.strips as f64 * lengths[index] / widest).round() as usize;
                let count = share.clamp(options.strips_min.max(1), options.strips.max(1));
                let free = free_ends(aircraft, &shapes, index, &grid.joined);
                let cutter = Cutter { surface, index, side, moment_point_body, count, free };
                cutter.cut(&shapes[index], lengths[index], &mut grid);
            }
            if side == Side::Right {
                grid.right = grid.strips.len();
            }
        }
        grid
    }
}

fn devices(
    aircraft: &Aircraft,
    shapes: &[Vec<PanelShape>],
    moment_point_body: Vector3<f64>,
) -> Vec<Device> {
    let mut list = Vec::new();
    for (surface_index, surface) in aircraft.surfaces.iter().enumerate() {
        // Towards +y the trailing edge goes right: rudder positive is left.
        let leaning: f64 = shapes[surface_index].iter().map(|p| p.normal().y * p.span_m()).sum();
        let ahead = surface.role != SurfaceRole::Wing
            && mean_quarter_chord_x(&shapes[surface_index]) > moment_point_body.x;
        for (control_index, control) in surface.controls.iter().enumerate() {
            list.push(Device {
                surface: surface_index,
                control: control_index,
                role: control.role,
                throw_max_rad: control.throw_max_deg.to_radians(),
                gap_sealed: control.gap_sealed,
                rudder_sign: if leaning < 0.0 { -1.0 } else { 1.0 },
                elevator_sign: if ahead { -1.0 } else { 1.0 },
            });
        }
    }
    list
}

fn mean_quarter_chord_x(shapes: &[PanelShape]) -> f64 {
    let area: f64 = shapes.iter().map(PanelShape::area_m2).sum();
    let moment: f64 = shapes.iter().map(|p| p.area_m2() * p.point(&p.station(0.5), 0.25).x).sum();
    moment / area
}

/// Whether the root and the tip of a surface end in free air: not at the plane
/// of symmetry (for a mirrored surface) and not at another surface.
fn free_ends(
    aircraft: &Aircraft,
    shapes: &[Vec<PanelShape>],
    index: usize,
    joined: &[Vec<bool>],
) -> [bool; 2] {
    let (Some(first), Some(last)) = (shapes[index].first(), shapes[index].last()) else {
        return [true, true];
    };
    let on_axis = aircraft.surfaces[index].mirrored
        && first.inner.leading_edge.y.abs() < 0.02 * first.inner.chord_m;
    let touches = |station: &Station, shape: &PanelShape| {
        let others = shapes.iter().enumerate().filter(|(other, _)| joined[index][*other]);
        others.into_iter().any(|(_, list)| end_touches(station, shape, list))
    };
    [!on_axis && !touches(&first.inner, first), !touches(&last.outer, last)]
}

/// Which surfaces are joined: an end of one lies at the other.
fn joined(shapes: &[Vec<PanelShape>]) -> Vec<Vec<bool>> {
    let reaches = |a: usize, b: usize| match (shapes[a].first(), shapes[a].last()) {
        (Some(first), Some(last)) => {
            end_touches(&first.inner, first, &shapes[b])
                || end_touches(&last.outer, last, &shapes[b])
        }
        _ => false,
    };
    let count = shapes.len();
    (0..count)
        .map(|a| (0..count).map(|b| a != b && (reaches(a, b) || reaches(b, a))).collect())
        .collect()
}

fn end_touches(station: &Station, shape: &PanelShape, other: &[PanelShape]) -> bool {
    let end = shape.point(station, 0.25);
    other.iter().any(|panel| near_panel(panel, end, JOINT_SHARE * station.chord_m))
}

/// An end this close to another surface, as a share of its chord, is joined.
const JOINT_SHARE: f64 = 0.3;

fn near_panel(panel: &PanelShape, point: Vector3<f64>, within_m: f64) -> bool {
    let along = (point - panel.inner.leading_edge).dot(&panel.span_direction) / panel.span_m();
    let station = panel.station(along.clamp(0.0, 1.0));
    let behind = (point - station.leading_edge).dot(&panel.aft_direction(&station));
    let nearest = panel.point(&station, (behind / station.chord_m).clamp(0.0, 1.0));
    (point - nearest).norm() < within_m
}

/// Cuts one surface.
struct Cutter<'a> {
    surface: &'a Surface,
    index: usize,
    side: Side,
    moment_point_body: Vector3<f64>,
    count: usize,
    free: [bool; 2],
}

impl Cutter<'_> {
    fn cut(&self, shapes: &[PanelShape], length_m: f64, grid: &mut Grid) {
        let halves = if self.surface.mirrored { 2.0 } else { 1.0 };
        let area: f64 = shapes.iter().map(PanelShape::area_m2).sum();
        let aspect_ratio = halves * length_m * length_m / area;
        let mut start_m = 0.0;
        for (i, shape) in shapes.iter().enumerate() {
            let span = shape.span_m();
            let count = ((self.count as f64 * span / length_m).round() as usize).max(1);
            let inset_start = if i == 0 && self.free[0] { TIP_INSET } else { 0.0 };
            let inset_end = if i + 1 == shapes.len() && self.free[1] { TIP_INSET } else { 0.0 };
            let width = span / (count as f64 + inset_start + inset_end);
            let first_edge = grid.edges.len();
            for k in 0..=count {
                let fraction = (inset_start + k as f64) * width / span;
                let core = CORE_SHARE * width;
                grid.edges.push(self.edge(shape, &shape.station(fraction), core, grid.boxes));
            }
            for k in 0..count {
                let from = (inset_start + k as f64) * width;
                let mut strip = self.strip(shape, [from, from + width], first_edge + k, grid);
                strip.area_m2 *= span / (width * count as f64);
                strip.surface_aspect_ratio = aspect_ratio;
                strip.hinged = self.hinged(
                    &grid.devices,
                    [(start_m + from) / length_m, (start_m + from + width) / length_m],
                );
                strip.section = self.surface.panels[i].section;
                grid.strips.push(strip);
            }
            start_m += span;
        }
    }

    fn edge(&self, shape: &PanelShape, station: &Station, core_m: f64, boxes: usize) -> Edge {
        let place = |fraction: f64| shape.point(station, fraction) - self.moment_point_body;
        let mut nodes: Vec<_> =
            (0..boxes).map(|i| place((i as f64 + 0.25) / boxes as f64)).collect();
        nodes.push(place(1.0));
        Edge {
            nodes,
            quarter_chord: place(0.25),
            length_aft_m: 0.75 * station.chord_m,
            surface: self.index,
            core_m,
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
