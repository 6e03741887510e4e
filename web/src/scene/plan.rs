//! The ground of the bench view: a building plan with its squares.

use super::mesh::{Mesh, Paint, Point, between};

/// Side of a square, m.
const SQUARE_M: f32 = 0.1;
/// Every so many squares a line is stronger.
const STRONG_EACH: i32 = 5;

/// Colours of the sheet, which follow it into the dark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    /// Paper.
    pub paper: Paint,
    /// Lines.
    pub line: Paint,
    /// Shadow on the paper.
    pub shadow: Paint,
}

impl Sheet {
    /// The sheet as the style sheet has it now.
    pub fn in_force() -> Self {
        let daylight = Self {
            paper: super::mesh::paint(0xfdfcf8),
            line: super::mesh::paint(0x9aa3a8),
            shadow: super::mesh::paint(0x1d2732),
        };
        let style = || {
            let window = web_sys::window()?;
            let root = window.document()?.document_element()?;
            window.get_computed_style(&root).ok()?
        };
        let Some(style) = style() else { return daylight };
        let read = |name: &str, otherwise: Paint| {
            let text = style.get_property_value(name).unwrap_or_default();
            let digits = text.trim().strip_prefix('#').filter(|digits| digits.len() == 6);
            digits
                .and_then(|digits| u32::from_str_radix(digits, 16).ok())
                .map_or(otherwise, super::mesh::paint)
        };
        let paper = read("--sheet", daylight.paper);
        let dark = paper.iter().sum::<f32>() < 1.5;
        Self {
            paper,
            line: read("--line", daylight.line),
            shadow: if dark { [0.0; 3] } else { daylight.shadow },
        }
    }
}

/// A sheet of squares under something of `radius_m`, at depth zero; its lines
/// fade towards the edge.
pub fn plan(sheet: &Sheet, radius_m: f32) -> Mesh {
    let mut mesh = Mesh::default();
    let square = SQUARE_M * (radius_m / 0.8).max(1.0).round();
    let count = ((2.6 * radius_m / square) as i32).clamp(4, 60);
    let reach = count as f32 * square;
    for i in -count..=count {
        let at = i as f32 * square;
        let strength = if i % STRONG_EACH == 0 { 0.75 } else { 0.3 };
        let half = (reach * reach - at * at).max(0.0).sqrt();
        let steps = 16;
        for k in 0..steps {
            let along = |k: i32| half * (2.0 * k as f32 / steps as f32 - 1.0);
            let (from, to) = (along(k), along(k + 1));
            let middle = (from + to) / 2.0;
            let out = (at * at + middle * middle).sqrt() / reach;
            let shown = strength * (1.0 - out * out).max(0.0);
            let paint = between(sheet.paper, sheet.line, shown);
            mesh.line(Point::new(at, from, 0.0), Point::new(at, to, 0.0), paint);
            mesh.line(Point::new(from, at, 0.0), Point::new(to, at, 0.0), paint);
        }
    }
    mesh
}
