//! The three-view: the aeroplane from above, from the left and from the front,
//! to one scale, laid out for the width at hand.
//!
//! Shapes come from `sim_core::aircraft::outline` in body axes from the datum
//! (x forward, y right, z down). Paper coordinates are CSS pixels, x to the
//! right, y down.

use std::fmt::Write;

use sim_core::aircraft::outline::{control_corners, panel_shapes};
use sim_core::aircraft::{Aircraft, Body, BodyKind};

/// A point in body axes from the datum, m.
pub type Point3 = [f64; 3];

/// What a shape is, so that the sheet of styles can tell them apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ink {
    /// Fuselage, boom, strut, wheel.
    Body,
    /// Lifting surface.
    Surface,
    /// Control surface.
    Control,
    /// Propeller disc.
    Propeller,
    /// Dimension line with its ticks.
    Dimension,
    /// Plane of symmetry and datum line.
    Centreline,
    /// Outline of the pinned baseline.
    Pinned,
}

/// All inks, in the order in which they are laid down.
pub const INKS: [Ink; 7] = [
    Ink::Centreline,
    Ink::Body,
    Ink::Surface,
    Ink::Control,
    Ink::Propeller,
    Ink::Pinned,
    Ink::Dimension,
];

/// What a word on the drawing is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lettering {
    /// A measured length.
    Dimension,
    /// Which side a view shows.
    ViewName,
}

/// A word at a place; its middle stands there.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// To the right, px.
    pub x: f64,
    /// Down, px.
    pub y: f64,
    /// What it says.
    pub text: String,
    /// What it is for.
    pub lettering: Lettering,
}

/// Which side of the aeroplane is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// From above, nose up.
    Above,
    /// From the left, nose to the left.
    Left,
    /// From the front.
    Front,
}

/// One view placed on the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    side: Side,
    /// Where the datum comes to lie, px.
    datum: (f64, f64),
    /// Pixels per metre.
    scale: f64,
}

impl View {
    /// Pixels per metre.
    pub fn scale(&self) -> f64 {
        self.scale
    }

    /// Where a point comes to lie on the paper, px.
    pub fn place(&self, point: Point3) -> (f64, f64) {
        let (right, down) = on_paper(self.side, point);
        (self.datum.0 + right * self.scale, self.datum.1 + down * self.scale)
    }
}

fn on_paper(side: Side, [x, y, z]: Point3) -> (f64, f64) {
    match side {
        Side::Above => (y, -x),
        Side::Left => (-x, z),
        Side::Front => (-y, z),
    }
}

/// The finished drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Width of the paper, px.
    pub width: f64,
    /// Height of the paper, px.
    pub height: f64,
    /// One path for each ink, in the notation of SVG.
    pub paths: Vec<(Ink, String)>,
    /// Lettering.
    pub labels: Vec<Label>,
    /// Length that a square of the paper stands for, m.
    pub square_m: f64,
    /// The view from above, to place marks in.
    pub above: View,
    /// The view from the left, to place marks in.
    pub left: View,
    /// The view from the front, to place marks in.
    pub front: View,
}

impl Drawing {
    /// The view from a side.
    pub fn view(&self, side: Side) -> View {
        match side {
            Side::Above => self.above,
            Side::Left => self.left,
            Side::Front => self.front,
        }
    }

    /// Edge of a square of the paper, px.
    pub fn square_px(&self) -> f64 {
        self.square_m * self.above.scale
    }
}

/// Words that the drawing needs.
pub struct Words<'a> {
    /// Names of the views from above, from the left, from the front.
    pub views: [&'a str; 3],
    /// Puts a length in m into words.
    pub length: fn(f64) -> String,
    /// The unit in which squares of the paper have a round edge, m.
    pub unit_m: f64,
}

/// Paper narrower than this has the views one below the other, px.
const NARROW_PX: f64 = 620.0;
/// Room around and between the views, px.
const MARGIN_PX: f64 = 16.0;
/// Room below a view for its dimension and its name, px.
const FOOT_PX: f64 = 58.0;
/// Tallest view from above on wide paper, px.
const HEIGHT_MAX_PX: f64 = 460.0;

/// Draws `aircraft` on paper of `width` px, over the outlines of `pinned`.
pub fn draw(aircraft: &Aircraft, pinned: Option<&Aircraft>, width: f64, words: &Words) -> Drawing {
    let mut shapes = shapes(aircraft);
    let faint = pinned.into_iter().flat_map(self::shapes);
    shapes.extend(faint.map(|shape| Shape { ink: Ink::Pinned, ..shape }));
    let boxes = [Side::Above, Side::Left, Side::Front].map(|side| bounds(side, &shapes));
    let (views, height) = lay_out(&boxes, width.max(200.0));
    let mut drawing = Drawing {
        width: width.max(200.0),
        height,
        paths: INKS.iter().map(|ink| (*ink, String::new())).collect(),
        labels: Vec::new(),
        square_m: round_square(views[0].scale * words.unit_m) * words.unit_m,
        above: views[0],
        left: views[1],
        front: views[2],
    };
    for shape in &shapes {
        for view in views.iter().filter(|view| shape.only.is_none_or(|side| side == view.side)) {
            let points: Vec<_> = shape.points.iter().map(|p| view.place(*p)).collect();
            add_path(&mut drawing, shape.ink, &points, true);
        }
    }
    let span_m = aircraft.wing_size().span_m;
    for (index, (view, bounds)) in views.iter().zip(&boxes).enumerate() {
        add_centreline(&mut drawing, view, bounds);
        add_foot(&mut drawing, view, bounds, span_m, words, words.views[index]);
    }
    drawing
}

/// Least edge of the paper's squares, px.
const SQUARE_MIN_PX: f64 = 11.0;

/// A round number of a unit that is `unit_px` long, whose square is neither
/// crowded nor wide on the paper.
fn round_square(unit_px: f64) -> f64 {
    let decades = [0.1, 1.0, 10.0, 100.0, 1e3, 1e4];
    let mut lengths =
        decades.into_iter().flat_map(|decade| [1.0, 2.0, 5.0].map(|step| step * decade));
    lengths.find(|length| length * unit_px >= SQUARE_MIN_PX).unwrap_or(1e5)
}

/// A closed polygon in space.
struct Shape {
    ink: Ink,
    /// The one view that shows it, or all of them.
    only: Option<Side>,
    points: Vec<Point3>,
}

fn shapes(aircraft: &Aircraft) -> Vec<Shape> {
    let mut shapes = Vec::new();
    let mut add = |ink, only, mirrored: bool, points: Vec<Point3>| {
        if mirrored {
            let points = points.iter().map(|[x, y, z]| [*x, -y, *z]).collect();
            shapes.push(Shape { ink, only, points });
        }
        shapes.push(Shape { ink, only, points });
    };
    for body in &aircraft.bodies {
        for (side, points) in body_outlines(body) {
            add(Ink::Body, Some(side), body.mirrored, points);
        }
    }
    for surface in &aircraft.surfaces {
        for panel in panel_shapes(surface) {
            add(Ink::Surface, None, surface.mirrored, panel.corners().map(Into::into).to_vec());
        }
        for control in 0..surface.controls.len() {
            for corners in control_corners(surface, control) {
                add(Ink::Control, None, surface.mirrored, corners.map(Into::into).to_vec());
            }
        }
    }
    for unit in &aircraft.propulsion {
        let hub = unit.hub.to_body_axes();
        let disc = disc(hub.into(), unit.propeller.diameter_m / 2.0);
        add(Ink::Propeller, None, unit.mirrored, disc);
    }
    shapes
}

/// Points on a circle.
const CIRCLE_POINTS: usize = 36;

/// A disc across the flight direction, seen as a line from above and the side.
fn disc([x, y, z]: Point3, radius: f64) -> Vec<Point3> {
    circle(radius).map(|(a, b)| [x, y + a, z + b]).collect()
}

fn circle(radius: f64) -> impl Iterator<Item = (f64, f64)> {
    (0..CIRCLE_POINTS).map(move |i| {
        let angle = std::f64::consts::TAU * i as f64 / CIRCLE_POINTS as f64;
        (radius * angle.cos(), radius * angle.sin())
    })
}

/// A body's outline on each of the views.
fn body_outlines(body: &Body) -> [(Side, Vec<Point3>); 3] {
    let (front, rear) = (body.front.to_body_axes(), body.rear.to_body_axes());
    let middle = (front + rear) / 2.0;
    let (half_width, half_height) = (body.width_m / 2.0, body.height_m / 2.0);
    let across = |a: f64, b: f64| {
        SQUARE.map(|(p, q)| [middle.x, middle.y + p * a, middle.z + q * b]).to_vec()
    };
    match body.kind {
        BodyKind::Wheel => {
            let radius = (rear - front).norm() / 2.0;
            let lying =
                |(p, q): (f64, f64)| [middle.x + p * radius, middle.y + q * half_width, middle.z];
            let tyre = circle(radius).map(|(a, b)| [middle.x + a, middle.y, middle.z + b]);
            [
                (Side::Above, SQUARE.map(lying).to_vec()),
                (Side::Left, tyre.collect()),
                (Side::Front, across(half_width, radius)),
            ]
        }
        BodyKind::Strut => {
            // Its size across the flow is its width, along the flow its height.
            let ends = [(front, -1.0), (front, 1.0), (rear, 1.0), (rear, -1.0)];
            let blade = ends.map(|(p, sign)| [p.x + sign * half_height, p.y, p.z]).to_vec();
            let edge = ends.map(|(p, sign)| [p.x, p.y + sign * half_width, p.z]).to_vec();
            [(Side::Above, blade.clone()), (Side::Left, blade), (Side::Front, edge)]
        }
        BodyKind::Fuselage | BodyKind::BoxFuselage | BodyKind::Boom => {
            let outline = |sideways: f64, upright: f64| {
                let edge = |sign: f64| {
                    profile(body.kind).iter().map(move |(place, share)| {
                        let at = front + (rear - front) * *place;
                        [at.x, at.y + sign * share * sideways, at.z + sign * share * upright]
                    })
                };
                edge(1.0).chain(edge(-1.0).rev()).collect::<Vec<_>>()
            };
            [
                (Side::Above, outline(half_width, 0.0)),
                (Side::Left, outline(0.0, half_height)),
                (Side::Front, across(half_width, half_height)),
            ]
        }
    }
}

/// Corners of a square of two units' edge.
const SQUARE: [(f64, f64); 4] = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];

/// Half width over greatest half width at places along a body, front to rear.
/// Only for the drawing: the file states the greatest sizes alone.
fn profile(kind: BodyKind) -> &'static [(f64, f64)] {
    match kind {
        BodyKind::Fuselage => &[
            (0.0, 0.25),
            (0.03, 0.55),
            (0.1, 0.85),
            (0.2, 1.0),
            (0.5, 1.0),
            (0.8, 0.6),
            (1.0, 0.2),
        ],
        BodyKind::BoxFuselage => &[(0.0, 0.75), (0.15, 1.0), (0.5, 1.0), (1.0, 0.35)],
        _ => &[(0.0, 1.0), (1.0, 1.0)],
    }
}

/// Left, top, right and bottom of everything on one view, m from the datum.
#[derive(Debug, Clone, Copy)]
struct Bounds {
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
}

impl Bounds {
    fn width(&self) -> f64 {
        self.right - self.left
    }

    fn height(&self) -> f64 {
        self.bottom - self.top
    }
}

fn bounds(side: Side, shapes: &[Shape]) -> Bounds {
    let nothing = Bounds { left: 0.0, top: 0.0, right: 0.0, bottom: 0.0 };
    let seen = shapes.iter().filter(|shape| shape.only.is_none_or(|only| only == side));
    let points = seen.flat_map(|shape| &shape.points);
    points.fold(nothing, |b, point| {
        let (x, y) = on_paper(side, *point);
        Bounds {
            left: b.left.min(x),
            top: b.top.min(y),
            right: b.right.max(x),
            bottom: b.bottom.max(y),
        }
    })
}

/// Places the three views; returns them with the height of the paper, px.
fn lay_out([above, left, front]: &[Bounds; 3], width: f64) -> ([View; 3], f64) {
    let place = |side, bounds: &Bounds, scale: f64, x: f64, y: f64| View {
        side,
        datum: (x - bounds.left * scale, y - bounds.top * scale),
        scale,
    };
    // Centred in a column that starts at `x` and is `room` wide.
    let centred = |side, bounds: &Bounds, scale: f64, x: f64, room: f64, y: f64| {
        place(side, bounds, scale, x + (room - bounds.width() * scale) / 2.0, y)
    };
    let smallest = 1e-3; // an aeroplane has some size
    if width < NARROW_PX {
        let room = width - 2.0 * MARGIN_PX;
        let scale = room / above.width().max(left.width()).max(front.width()).max(smallest);
        let mut y = MARGIN_PX;
        let views = [(Side::Above, above), (Side::Left, left), (Side::Front, front)].map(
            |(side, bounds)| {
                let view = centred(side, bounds, scale, MARGIN_PX, room, y);
                y += bounds.height() * scale + FOOT_PX;
                view
            },
        );
        return (views, y);
    }
    let second = left.width().max(front.width());
    let room = width - 4.0 * MARGIN_PX;
    let tallest = above.height().max(left.height() + front.height());
    let scale =
        (room / (above.width() + second).max(smallest)).min(HEIGHT_MAX_PX / tallest.max(smallest));
    // What is left over of the width goes between and beside the columns.
    let spare = (room - (above.width() + second) * scale) / 3.0;
    let first_x = MARGIN_PX + spare;
    let second_x = first_x + above.width() * scale + 2.0 * MARGIN_PX + spare;
    let stacked = (left.height() + front.height()) * scale + FOOT_PX;
    let tall = (above.height() * scale).max(stacked);
    let top = MARGIN_PX + (tall - above.height() * scale) / 2.0;
    let side_top = MARGIN_PX + (tall - stacked) / 2.0;
    let front_top = side_top + left.height() * scale + FOOT_PX;
    let views = [
        place(Side::Above, above, scale, first_x, top),
        centred(Side::Left, left, scale, second_x, second * scale, side_top),
        centred(Side::Front, front, scale, second_x, second * scale, front_top),
    ];
    (views, MARGIN_PX + tall + FOOT_PX)
}

fn add_path(drawing: &mut Drawing, ink: Ink, points: &[(f64, f64)], closed: bool) {
    let Some((_, path)) = drawing.paths.iter_mut().find(|(other, _)| *other == ink) else { return };
    for (index, (x, y)) in points.iter().enumerate() {
        let command = if index == 0 { 'M' } else { 'L' };
        // Writing to a string cannot fail.
        let _ = write!(path, "{command}{x:.1} {y:.1}");
    }
    if closed {
        path.push('Z');
    }
}

/// How far a centreline sticks out of the view, px.
const CENTRELINE_OUT_PX: f64 = 8.0;

/// The plane of symmetry, or seen from the side the line through the datum.
fn add_centreline(drawing: &mut Drawing, view: &View, bounds: &Bounds) {
    let (x, y) = view.datum;
    let ends = match view.side {
        Side::Left => [
            (x + bounds.left * view.scale - CENTRELINE_OUT_PX, y),
            (x + bounds.right * view.scale + CENTRELINE_OUT_PX, y),
        ],
        Side::Above | Side::Front => [
            (x, y + bounds.top * view.scale - CENTRELINE_OUT_PX),
            (x, y + bounds.bottom * view.scale + CENTRELINE_OUT_PX),
        ],
    };
    add_path(drawing, Ink::Centreline, &ends, false);
}

/// Distance of a dimension line from the view above it, px.
const DIMENSION_DROP_PX: f64 = 18.0;
/// Half length of the slanted ticks at its ends, px.
const TICK_PX: f64 = 4.0;

/// Below a view: its name, and from above the span, from the left the length.
/// Seen from the front the span would only be said again.
fn add_foot(
    drawing: &mut Drawing,
    view: &View,
    bounds: &Bounds,
    span_m: f64,
    words: &Words,
    name: &str,
) {
    let ends_m = match view.side {
        Side::Above => Some((-0.5 * span_m, 0.5 * span_m)),
        Side::Left => Some((bounds.left, bounds.right)),
        Side::Front => None,
    };
    let bottom = view.datum.1 + bounds.bottom * view.scale;
    let line = bottom + DIMENSION_DROP_PX;
    if let Some((left, right)) = ends_m {
        let on_paper = [left, right].map(|end| view.datum.0 + end * view.scale);
        add_path(drawing, Ink::Dimension, &on_paper.map(|end| (end, line)), false);
        for end in on_paper {
            add_path(drawing, Ink::Dimension, &[(end, bottom + 6.0), (end, line + 6.0)], false);
            let tick = [(end - TICK_PX, line + TICK_PX), (end + TICK_PX, line - TICK_PX)];
            add_path(drawing, Ink::Dimension, &tick, false);
        }
        drawing.labels.push(Label {
            x: (on_paper[0] + on_paper[1]) / 2.0,
            y: line,
            text: (words.length)(right - left),
            lettering: Lettering::Dimension,
        });
    }
    drawing.labels.push(Label {
        x: view.datum.0 + (bounds.left + bounds.right) / 2.0 * view.scale,
        y: if ends_m.is_some() { line + 21.0 } else { line },
        text: name.to_owned(),
        lettering: Lettering::ViewName,
    });
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::examples;

    fn draw_at(width: f64) -> Vec<Drawing> {
        let words =
            Words { views: ["above", "left", "front"], length: |m| m.to_string(), unit_m: 1e-3 };
        let all = examples::all();
        // Each over the outline of another, which must fit too.
        all.iter().map(|aircraft| draw(aircraft, all.last(), width, &words)).collect()
    }

    /// All coordinates of a path.
    fn points(path: &str) -> Vec<(f64, f64)> {
        let numbers = path.split(['M', 'L', 'Z']).filter(|pair| !pair.is_empty());
        numbers
            .map(|pair| {
                let (x, y) = pair.split_once(' ').unwrap();
                (x.parse().unwrap(), y.parse().unwrap())
            })
            .collect()
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn everything_lies_on_the_paper_at_any_width() {
        for width in [326.0, 619.0, 620.0, 1000.0, 2400.0] {
            for drawing in draw_at(width) {
                for (ink, path) in &drawing.paths {
                    for (x, y) in points(path) {
                        let inside =
                            (0.0..=width).contains(&x) && (0.0..=drawing.height).contains(&y);
                        assert!(inside, "{ink:?} at {x}, {y} on {width} by {}", drawing.height);
                    }
                }
            }
        }
    }

    /// One scale for all: a metre aft is as long from above as from the left.
    #[wasm_bindgen_test(unsupported = test)]
    fn views_share_their_scale_and_look_the_right_way() {
        for drawing in draw_at(1000.0) {
            let origin = [0.0, 0.0, 0.0];
            let aft = [-1.0, 0.0, 0.0];
            let from_above = drawing.above.place(aft).1 - drawing.above.place(origin).1;
            let from_left = drawing.left.place(aft).0 - drawing.left.place(origin).0;
            assert!(from_above > 0.0, "the nose points up");
            assert!((from_above - from_left).abs() < 1e-9);
            let right = drawing.above.place([0.0, 1.0, 0.0]).0 - drawing.above.place(origin).0;
            assert!((right - from_above).abs() < 1e-9, "the right wing lies on the right");
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn squares_are_round_lengths_of_a_fair_size() {
        for drawing in draw_at(358.0).into_iter().chain(draw_at(1000.0)) {
            let edge = drawing.square_px();
            assert!((SQUARE_MIN_PX..=2.5 * SQUARE_MIN_PX + 1e-9).contains(&edge), "{edge} px");
        }
    }
}
