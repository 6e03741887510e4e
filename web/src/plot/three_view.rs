//! The three-view: the aeroplane from above, from the left and from the front,
//! to one scale, laid out for the width at hand.
//!
//! Shapes come from `sim_core::aircraft::outline` in body axes from the datum
//! (x forward, y right, z down). Paper coordinates are CSS pixels, x to the
//! right, y down.

mod air;
mod layout;
mod shapes;

use std::fmt::Write;

use sim_core::aircraft::Aircraft;

pub use air::{LAYERS, layers};
pub use layout::{Point3, Side, View};

use layout::{Bounds, bounds, frame, lay_out};
use shapes::{Shape, shapes};

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
    /// What each view takes up of the paper: left, top, width, height, px.
    frames: [(f64, f64, f64, f64); 3],
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

    /// What the view from a side takes up of the paper: left, top, width,
    /// height, px.
    pub fn frame(&self, side: Side) -> (f64, f64, f64, f64) {
        match side {
            Side::Above => self.frames[0],
            Side::Left => self.frames[1],
            Side::Front => self.frames[2],
        }
    }

    /// Width and height of the paper on the page, px. The height goes in steps:
    /// while a slider moves, what lies below neither trembles nor needs to be
    /// painted anew.
    pub fn paper(&self) -> (f64, f64) {
        (self.width, (self.height / HEIGHT_STEP_PX).ceil() * HEIGHT_STEP_PX)
    }

    /// Edge of a square of the paper, px.
    pub fn square_px(&self) -> f64 {
        self.square_m * self.above.scale
    }
}

/// Step of the paper's height on the page, px.
const HEIGHT_STEP_PX: f64 = 64.0;

/// Words that the drawing needs.
pub struct Words<'a> {
    /// Names of the views from above, from the left, from the front.
    pub views: [&'a str; 3],
    /// Puts a length in m into words.
    pub length: fn(f64) -> String,
    /// The unit in which squares of the paper have a round edge, m.
    pub unit_m: f64,
}

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
        frames: [0, 1, 2].map(|index| frame(&views[index], &boxes[index])),
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

/// Distance of the dots of an outline, px: words are taller.
const DOT_PX: f64 = 6.0;

/// The outlines on a drawing of `aircraft`, as dots, px.
pub fn dots(aircraft: &Aircraft, drawing: &Drawing) -> Vec<(f64, f64)> {
    let views = [drawing.above, drawing.left, drawing.front];
    let mut dots = Vec::new();
    for shape in shapes(aircraft) {
        for view in views.iter().filter(|view| shape.only.is_none_or(|side| side == view.side)) {
            let Some(last) = shape.points.last() else { continue };
            let mut from = view.place(*last);
            for point in &shape.points {
                let to = view.place(*point);
                let (dx, dy) = (to.0 - from.0, to.1 - from.1);
                let steps = (dx.abs().max(dy.abs()) / DOT_PX).ceil();
                for step in 0..steps as u32 {
                    let share = f64::from(step) / steps;
                    dots.push((from.0 + dx * share, from.1 + dy * share));
                }
                from = to;
            }
        }
    }
    dots
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

fn add_path(drawing: &mut Drawing, ink: Ink, points: &[(f64, f64)], closed: bool) {
    let Some((_, path)) = drawing.paths.iter_mut().find(|(other, _)| *other == ink) else { return };
    for (index, point) in points.iter().enumerate() {
        add_point(path, index == 0, *point);
    }
    if closed {
        path.push('Z');
    }
}

/// Adds a point, the first of a line or the next.
fn add_point(path: &mut String, is_first: bool, (x, y): (f64, f64)) {
    let command = if is_first { 'M' } else { 'L' };
    // Writing to a string cannot fail.
    let _ = write!(path, "{command}{x:.1} {y:.1}");
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
    use crate::state::compute::Outcome;
    use crate::state::{Design, examples};

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

    /// The propellers' air and the swing of the controls belong to every powered
    /// example, and stay on the paper.
    #[wasm_bindgen_test(unsupported = test)]
    fn layers_lie_on_the_paper() {
        for aircraft in examples::all() {
            let powered = !aircraft.propulsion.is_empty();
            let outcome = Outcome::of(&Design::from(aircraft), None);
            let (sound, assessment) = (outcome.sound.unwrap(), outcome.assessment.unwrap());
            for width in [326.0, 1000.0, 2400.0] {
                let words = Words { views: [""; 3], length: |m| m.to_string(), unit_m: 1e-3 };
                let drawing = draw(&sound, None, width, &words);
                let [wash, thrust, swung, _] = layers(&sound, &assessment, &drawing, 17.0);
                assert_eq!(powered, !thrust.is_empty() && !wash.is_empty());
                assert!(!swung.is_empty());
                for (x, y) in points(&format!("{wash}{thrust}{swung}")) {
                    let inside = (0.0..=width).contains(&x) && (0.0..=drawing.height).contains(&y);
                    assert!(inside, "{x}, {y} on {width} by {}", drawing.height);
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
