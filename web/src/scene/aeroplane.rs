//! The aeroplane as a paper model: folded panels, hinged surfaces that turn,
//! bodies as boxes and tubes, a propeller.
//!
//! All shapes start from `sim_core::aircraft::outline`, as the lattice does, so
//! that the picture shows what is computed. Coordinates are body axes from the
//! balance point, m. Thickness and camber are drawn with a few folds; for the
//! eye, not for the air.

mod parts;

use nalgebra::{Matrix4, Rotation3, Unit, Vector3};
use sim_core::aero::device::Device;
use sim_core::aero::grid::{Grid, GridOptions};
use sim_core::aero::{DeviceDeflections, deflect};
use sim_core::aircraft::outline::{PanelShape, Station, panel_shapes};
use sim_core::aircraft::{Aircraft, Section, SectionKind, Surface, SurfaceRole};
use sim_core::dynamics::Controls;
use sim_core::math::sort_numbers;

use super::mesh::{Mesh, Paint, Point, paint};

/// Colours of the paper model.
mod colour {
    use super::{Paint, paint};

    pub const PAPER: Paint = paint(0xfaf6ea);
    pub const BELOW: Paint = paint(0x3f729f);
    pub const CONTROL: Paint = paint(0xb9d2e6);
    pub const BAND: Paint = paint(0xc2492a);
    pub const BODY: Paint = paint(0xe9e1cc);
    pub const TUBE: Paint = paint(0x5b646c);
    pub const TYRE: Paint = paint(0x3a4046);
    pub const INK: Paint = paint(0x2c4a66);
    pub const BLADE: Paint = paint(0x6b4a2f);
}

/// How a part moves against the aeroplane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Joint {
    /// Not at all.
    Fixed,
    /// About a hinge.
    Hinge {
        /// A point of the hinge line.
        at: Point,
        /// Along the hinge, so that a turn in its sense is a positive
        /// deflection.
        axis: Unit<Point>,
        /// Index of the control surface in the order of the aircraft.
        device: usize,
        /// Whether it is the mirror image.
        left: bool,
    },
    /// With a propeller.
    Shaft {
        /// The hub.
        at: Point,
        /// Along the shaft, so that a turn in its sense is a positive turn.
        axis: Unit<Point>,
        /// Index of the propulsion unit.
        unit: usize,
    },
    /// Stands where the propeller sweeps; seen through.
    Disc {
        /// Index of the propulsion unit.
        unit: usize,
    },
}

/// A piece of the model.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Its shape, joint at rest.
    pub mesh: Mesh,
    /// How it moves.
    pub joint: Joint,
}

/// The whole model.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperModel {
    /// Its pieces.
    pub pieces: Vec<Piece>,
    /// The farthest point from the balance point, m.
    pub radius_m: f32,
    devices: Vec<Device>,
}

/// What the joints stand at.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Joints<'a> {
    /// Commands of the surfaces.
    pub controls: Controls,
    /// Turn of each propeller, rad.
    pub propeller_rad: &'a [f32],
}

impl PaperModel {
    /// Builds the model about `balance_point` (body axes from the datum, m).
    pub fn new(aircraft: &Aircraft, balance_point: Vector3<f64>) -> Self {
        let mut builder =
            Builder { origin: balance_point, pieces: Vec::new(), body: Mesh::default() };
        let mut device = 0;
        for surface in &aircraft.surfaces {
            builder.surface(surface, device);
            device += surface.controls.len();
        }
        for body in &aircraft.bodies {
            builder.body(body);
        }
        for (unit, propulsion) in aircraft.propulsion.iter().enumerate() {
            builder.propeller(propulsion, unit);
        }
        let mut pieces = vec![Piece { mesh: builder.body, joint: Joint::Fixed }];
        pieces.extend(builder.pieces);
        let radius_m = pieces
            .iter()
            .flat_map(|piece| piece.mesh.facets.chunks_exact(super::mesh::FLOATS_PER_CORNER))
            .map(|corner| Point::new(corner[0], corner[1], corner[2]).norm())
            .fold(0.1, f32::max);
        let devices = Grid::new(aircraft, balance_point, GridOptions::default()).devices;
        Self { pieces, radius_m, devices }
    }

    /// Where each piece stands against the aeroplane, in the order of
    /// `pieces`.
    pub fn placements(&self, joints: &Joints) -> Vec<Matrix4<f32>> {
        let mut turned = DeviceDeflections::default();
        deflect(&self.devices, &joints.controls, &mut turned);
        self.pieces
            .iter()
            .map(|piece| match piece.joint {
                Joint::Fixed | Joint::Disc { .. } => Matrix4::identity(),
                Joint::Hinge { at, axis, device, left } => {
                    let side = if left { &turned.left_rad } else { &turned.right_rad };
                    turn_about(at, axis, side.get(device).copied().unwrap_or(0.0) as f32)
                }
                Joint::Shaft { at, axis, unit } => {
                    turn_about(at, axis, joints.propeller_rad.get(unit).copied().unwrap_or(0.0))
                }
            })
            .collect()
    }
}

fn turn_about(at: Point, axis: Unit<Point>, angle_rad: f32) -> Matrix4<f32> {
    Matrix4::new_translation(&at)
        * Rotation3::from_axis_angle(&axis, angle_rad).to_homogeneous()
        * Matrix4::new_translation(&-at)
}

/// Folds of the upper and lower skin: chord fraction and half thickness over
/// the greatest half thickness. A sheet is as thick everywhere, what is folded
/// or shaped tapers.
const TAPERED: [(f64, f64); 6] =
    [(0.0, 0.0), (0.02, 0.42), (0.10, 0.82), (0.30, 1.0), (0.65, 0.66), (1.0, 0.04)];
const SHEET: [(f64, f64); 6] =
    [(0.0, 0.55), (0.02, 0.9), (0.10, 1.0), (0.30, 1.0), (0.65, 1.0), (1.0, 0.75)];

/// The tips of a wing carry bands, one on the left and two on the right, so
/// that the sides are told apart at a distance: from, to, of the half span.
const BAND_LEFT: [(f64, f64); 1] = [(0.80, 0.90)];
const BAND_RIGHT: [(f64, f64); 2] = [(0.74, 0.81), (0.87, 0.94)];

struct Builder {
    origin: Vector3<f64>,
    pieces: Vec<Piece>,
    body: Mesh,
}

/// Half a section's outline between two chord fractions, as a closed ring.
fn ring(
    shape: &PanelShape,
    station: &Station,
    section: &Section,
    (from, to): (f64, f64),
    place: impl Fn(Vector3<f64>) -> Point,
) -> Vec<Point> {
    let folds = match section.kind {
        SectionKind::FlatSheet | SectionKind::CamberedPlate => SHEET,
        _ => TAPERED,
    };
    let half = 0.5 * section.thickness;
    let thickness = |x: f64| {
        let above = folds.partition_point(|fold| fold.0 < x).clamp(1, folds.len() - 1);
        let ((x0, t0), (x1, t1)) = (folds[above - 1], folds[above]);
        half * (t0 + (t1 - t0) * ((x - x0) / (x1 - x0)).clamp(0.0, 1.0))
    };
    let mut fractions: Vec<f64> =
        folds.iter().map(|fold| fold.0).filter(|x| *x > from && *x < to).collect();
    fractions.insert(0, from);
    fractions.push(to);
    let camber = |x: f64| 4.0 * section.camber * x * (1.0 - x);
    let point = |x: f64, offset: f64| {
        place(shape.point(station, x) + shape.normal() * (station.chord_m * offset))
    };
    let upper = fractions.iter().map(|x| point(*x, camber(*x) + thickness(*x)));
    let lower = fractions.iter().rev().map(|x| point(*x, camber(*x) - thickness(*x)));
    upper.chain(lower).collect()
}

impl Builder {
    fn place(&self, left: bool) -> impl Fn(Vector3<f64>) -> Point + use<> {
        let origin = self.origin;
        move |at: Vector3<f64>| {
            let at = if left { Vector3::new(at.x, -at.y, at.z) } else { at };
            (at - origin).cast::<f32>()
        }
    }

    fn surface(&mut self, surface: &Surface, first_device: usize) {
        self.half(surface, first_device, false);
        if surface.mirrored {
            self.half(surface, first_device, true);
        }
    }

    fn half(&mut self, surface: &Surface, first_device: usize, left: bool) {
        let whole: f64 = surface.panels.iter().map(|panel| panel.span_m).sum();
        let bands: &[(f64, f64)] = match (surface.role, left) {
            (SurfaceRole::Wing, true) => &BAND_LEFT,
            (SurfaceRole::Wing, false) => &BAND_RIGHT,
            _ => &[],
        };
        let mut cuts: Vec<f64> = bands
            .iter()
            .copied()
            .chain(surface.controls.iter().map(|c| (c.from_span, c.to_span)))
            .flat_map(|(from, to)| [from, to])
            .collect();
        let mut start = 0.0;
        let mut panels = Vec::new();
        for (shape, panel) in panel_shapes(surface).into_iter().zip(&surface.panels) {
            let end = start + panel.span_m / whole;
            cuts.extend([start, end]);
            panels.push((start, end, shape, panel.section));
            start = end;
        }
        sort_numbers(&mut cuts);
        cuts.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        for span in cuts.windows(2) {
            let (from, to) = (span[0], span[1]);
            let middle = 0.5 * (from + to);
            let Some((start, end, shape, section)) =
                panels.iter().find(|panel| middle > panel.0 && middle < panel.1)
            else {
                continue;
            };
            let station = |at: f64| shape.station(((at - start) / (end - start)).clamp(0.0, 1.0));
            let banded = bands.iter().any(|band| middle > band.0 && middle < band.1);
            let bay = Bay { shape, section, ends: [station(from), station(to)], left, banded };
            let control = surface
                .controls
                .iter()
                .position(|control| middle > control.from_span && middle < control.to_span);
            let Some(index) = control else {
                self.fixed(&bay, [1.0; 2]);
                continue;
            };
            let control = &surface.controls[index];
            let chord = |at: f64| {
                let share = (at - control.from_span) / (control.to_span - control.from_span);
                control.inner_chord + (control.outer_chord - control.inner_chord) * share
            };
            let cut = [1.0 - chord(from), 1.0 - chord(to)];
            if cut.iter().any(|cut| *cut > 0.02) {
                self.fixed(&bay, cut);
            }
            self.hinged(&bay, cut, first_device + index);
        }
    }

    fn fixed(&mut self, bay: &Bay, to: [f64; 2]) {
        let place = self.place(bay.left);
        let top = if bay.banded { colour::BAND } else { colour::PAPER };
        bay.fold(&mut self.body, [(0.0, to[0]), (0.0, to[1])], top, place);
    }

    fn hinged(&mut self, bay: &Bay, cut: [f64; 2], device: usize) {
        let place = self.place(bay.left);
        let mut mesh = Mesh::default();
        bay.fold(&mut mesh, [(cut[0], 1.0), (cut[1], 1.0)], colour::CONTROL, &place);
        // An all-moving surface turns about its quarter chord.
        let hinge = |end: usize| {
            let at = if cut[end] > 0.02 { cut[end] } else { 0.25 };
            place(bay.shape.point(&bay.ends[end], at))
        };
        let (inner, outer) = (hinge(0), hinge(1));
        // From inner to outer a turn lifts the trailing edge of a right half
        // away from the normal; the mirror image turns the other way.
        let along = if bay.left { inner - outer } else { outer - inner };
        let Some(axis) = Unit::try_new(along, 1e-9) else { return };
        self.pieces
            .push(Piece { mesh, joint: Joint::Hinge { at: inner, axis, device, left: bay.left } });
    }
}

/// A stretch of a panel between two chords.
struct Bay<'a> {
    shape: &'a PanelShape,
    section: &'a Section,
    ends: [Station; 2],
    left: bool,
    banded: bool,
}

impl Bay<'_> {
    /// Folds the skin between two chord fractions at either end.
    fn fold(
        &self,
        mesh: &mut Mesh,
        chord: [(f64, f64); 2],
        top: Paint,
        place: impl Fn(Vector3<f64>) -> Point,
    ) {
        let inner = ring(self.shape, &self.ends[0], self.section, chord[0], &place);
        let outer = ring(self.shape, &self.ends[1], self.section, chord[1], &place);
        let count = inner.len().min(outer.len());
        // Upright panels show the same face on both sides.
        let upright = self.shape.span_direction.y.abs() < 0.5;
        let below = if upright { top } else { colour::BELOW };
        let skin = |i: usize| if i + 1 < count / 2 || i + 1 == count { top } else { below };
        let (from, to) = if self.left { (&outer, &inner) } else { (&inner, &outer) };
        mesh.skin_with(to, from, skin);
        mesh.cap(&inner, top);
        mesh.cap(&outer, top);
        let half = count / 2;
        for at in [0, half - 1] {
            mesh.line(inner[at], outer[at], colour::INK);
        }
        for outline in [&inner, &outer] {
            for pair in outline[..half].windows(2) {
                mesh.line(pair[0], pair[1], colour::INK);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use sim_core::aircraft::{EXAMPLES, read_aircraft};
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::super::mesh::FLOATS_PER_CORNER;
    use super::*;

    fn model(key: &str) -> (Aircraft, PaperModel) {
        let text = EXAMPLES.iter().find(|e| e.key == key).expect("an example").text;
        let aircraft = read_aircraft(text).expect("readable");
        let model = PaperModel::new(&aircraft, Vector3::zeros());
        (aircraft, model)
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn every_example_is_as_wide_as_its_wing_and_finite() {
        for example in EXAMPLES {
            let (aircraft, model) = model(example.key);
            let corners =
                model.pieces.iter().flat_map(|p| p.mesh.facets.chunks_exact(FLOATS_PER_CORNER));
            let (mut least, mut most) = (0f32, 0f32);
            for corner in corners {
                assert!(corner.iter().all(|x| x.is_finite()), "{}", example.key);
                least = least.min(corner[1]);
                most = most.max(corner[1]);
            }
            let span = aircraft.wing_size().span_m as f32;
            // Thickness of a dihedral tip leans inwards by a few mm.
            assert!((most - least - span).abs() < 0.02, "{}: {least} {most} {span}", example.key);
            assert!((most + least).abs() < 1e-5, "{} is lopsided", example.key);
        }
    }

    /// Lowest trailing-edge height (body z, down) of the pieces of a device.
    fn trailing_edge(model: &PaperModel, controls: Controls, left: bool) -> Point {
        let placements = model.placements(&Joints { controls, propeller_rad: &[] });
        let piece = |p: &Piece| matches!(p.joint, Joint::Hinge { left: l, .. } if l == left);
        let (i, piece) = model.pieces.iter().enumerate().find(|(_, p)| piece(p)).expect("a hinge");
        piece
            .mesh
            .facets
            .chunks_exact(FLOATS_PER_CORNER)
            .map(|c| nalgebra::Point3::new(c[0], c[1], c[2]))
            .min_by(|a, b| a.x.total_cmp(&b.x))
            .map(|p| placements[i].transform_point(&p).coords)
            .expect("corners")
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn elevator_goes_down_on_both_sides() {
        let (_, model) = model("pylon_pusher");
        let rest = Controls::default();
        let down = Controls { elevator_rad: 0.3, ..rest };
        for left in [false, true] {
            let moved = trailing_edge(&model, down, left) - trailing_edge(&model, rest, left);
            assert!(moved.z > 0.005, "left {left}: {moved}");
        }
    }
}
