//! Curves over a common axis, drawn on a canvas in the units of the page.
//!
//! The canvas has as many store pixels as the screen has for it. Lines of the
//! grid lie on whole ones, so that they are sharp on any screen.

use js_sys::Array;
use sim_core::math::ascending_places;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

use super::axis::Axis;
use super::palette::Palette;

/// How a curve is drawn. Each differs in stroke, not in colour alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pen {
    /// Strong blue line.
    First,
    /// Dashed red line.
    Second,
    /// Dotted soft line.
    Third,
    /// Thin grey line: what the first is compared with.
    PinnedFirst,
    /// Thin dashed grey line: what the second is compared with.
    PinnedSecond,
}

impl Pen {
    fn is_pinned(self) -> bool {
        matches!(self, Self::PinnedFirst | Self::PinnedSecond)
    }
}

/// A curve with the name that stands at its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Name, lettered beside the curve.
    pub name: String,
    /// Its stroke.
    pub pen: Pen,
    /// Points in the units of the axes, in order.
    pub points: Vec<(f64, f64)>,
}

/// Curves with their axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What is plotted upwards, with its unit; stands at the top left.
    pub title: String,
    /// Unit behind the last tick of the lower axis; empty for no lettering.
    pub across_unit: String,
    /// To the right.
    pub across: Axis,
    /// Upwards.
    pub upwards: Axis,
    /// The curves.
    pub curves: Vec<Curve>,
}

/// Sizes of the lettering and the margins, px of the page.
mod size {
    pub const LETTER: f64 = 13.0;
    /// A digit is narrower than this.
    pub const DIGIT: f64 = 8.0;
    pub const LEFT: f64 = 44.0;
    /// For the curves' names; the same for all figures, so that those under
    /// each other share their axis across.
    pub const RIGHT: f64 = 70.0;
    pub const TOP: f64 = 30.0;
    pub const BOTTOM: f64 = 22.0;
    pub const BOTTOM_BARE: f64 = 8.0;
    pub const STROKE: f64 = 2.0;
    pub const THIN_STROKE: f64 = 1.25;
}

/// Draws the figure over the whole of the canvas, which has `width` by
/// `height` px on the page and `density` store pixels for each of them.
/// Without effect where the browser gives no drawing context.
pub fn draw(
    figure: &Figure,
    canvas: &HtmlCanvasElement,
    (width, height): (f64, f64),
    density: f64,
    palette: &Palette,
) {
    let density = density.clamp(1.0, 4.0);
    let pen = canvas.get_context("2d").ok().flatten();
    let Some(pen) = pen.and_then(|pen| pen.dyn_into::<CanvasRenderingContext2d>().ok()) else {
        return;
    };
    let store = [width, height].map(|px| (px * density).round() as u32);
    if [canvas.width(), canvas.height()] == store {
        pen.clear_rect(0.0, 0.0, width + 1.0, height + 1.0);
    } else {
        // Makes its store anew and forgets scale and typeface, so only then.
        canvas.set_width(store[0]);
        canvas.set_height(store[1]);
        // Refused only for numbers that are none.
        let _ = pen.scale(density, density);
        pen.set_font(&format!("{}px {}", size::LETTER, palette.family));
    }
    Pencil { density, palette, pen, width, height }.draw(figure);
}

/// The value across that lies `x` px from the left of a figure `width` px wide,
/// kept within its axis.
pub fn across_at(figure: &Figure, x: f64, width: f64) -> f64 {
    let Axis { min, max, .. } = figure.across;
    let share = (x - size::LEFT) / (width - size::LEFT - size::RIGHT).max(1.0);
    min + (max - min) * share.clamp(0.0, 1.0)
}

/// Where a value across lies, px from the left.
pub fn x_of(figure: &Figure, across: f64, width: f64) -> f64 {
    let Axis { min, max, .. } = figure.across;
    size::LEFT + (width - size::LEFT - size::RIGHT) * (across - min) / (max - min)
}

/// What the curves come to at a value across: the name and the value of each
/// that reaches there, those that are compared with left out.
pub fn readings(figure: &Figure, across: f64) -> Vec<(String, f64)> {
    let of_curve = |curve: &Curve| {
        let pair = curve.points.windows(2).find(|p| p[0].0 <= across && across <= p[1].0)?;
        let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
        let share = if x1 > x0 { (across - x0) / (x1 - x0) } else { 0.0 };
        Some((curve.name.clone(), y0 + (y1 - y0) * share))
    };
    figure.curves.iter().filter(|c| !c.pen.is_pinned()).filter_map(of_curve).collect()
}

struct Pencil<'a> {
    density: f64,
    palette: &'a Palette,
    pen: CanvasRenderingContext2d,
    width: f64,
    height: f64,
}

impl Pencil<'_> {
    fn draw(&self, figure: &Figure) {
        let lettered = !figure.across_unit.is_empty();
        let (width, height) = (self.width, self.height);
        let bottom = height - if lettered { size::BOTTOM } else { size::BOTTOM_BARE };
        let right = width - size::RIGHT;
        let (across, upwards) = (&figure.across, &figure.upwards);
        let x_px = |x: f64| x_of(figure, x, width);
        let y_px = |y: f64| {
            let share = (upwards.max - y) / (upwards.max - upwards.min);
            size::TOP + (bottom - size::TOP) * share
        };
        self.pen.set_line_width(self.density.round() / self.density);
        self.pen.begin_path();
        self.lettering(&self.palette.soft, "center", "bottom");
        for tick in across.ticks() {
            let x = self.sharp(x_px(tick));
            self.follow(&[(x, size::TOP), (x, bottom)]);
            if lettered {
                let words = format!("{tick:.*}", across.decimals());
                self.letter(&words, x_px(tick), height - 2.0);
            }
        }
        let level = |tick| [size::LEFT, right].map(|x| (x, self.sharp(y_px(tick))));
        self.lettering(&self.palette.soft, "right", "middle");
        for tick in upwards.ticks() {
            self.follow(&level(tick));
            let words = format!("{tick:.*}", upwards.decimals()).replace('-', "\u{2212}");
            self.letter(&words, size::LEFT - 6.0, y_px(tick));
        }
        self.stroke(&self.palette.hair);
        if upwards.min <= 0.0 && upwards.max >= 0.0 {
            self.pen.begin_path();
            self.follow(&level(0.0));
            self.stroke(&self.palette.soft);
        }
        if lettered {
            self.lettering(&self.palette.soft, "left", "bottom");
            self.letter(&figure.across_unit, unit_x(across, x_px), height - 2.0);
        }
        self.lettering(&self.palette.soft, "left", "top");
        self.letter(&figure.title, 0.0, 2.0);

        for curve in &figure.curves {
            self.dash(curve.pen);
            self.pen.set_line_width(if curve.pen.is_pinned() {
                size::THIN_STROKE
            } else {
                size::STROKE
            });
            self.pen.begin_path();
            let points = curve.points.iter().filter(|(x, y)| x.is_finite() && y.is_finite());
            let on_page = |(x, y): &(f64, f64)| (x_px(*x), y_px(y.clamp(upwards.min, upwards.max)));
            self.follow(&points.map(on_page).collect::<Vec<_>>());
            self.stroke(self.color(curve.pen));
        }
        self.dash(Pen::First);
        // What is compared with has no names of its own.
        let named: Vec<&Curve> = figure.curves.iter().filter(|c| !c.name.is_empty()).collect();
        for (curve, y) in named.iter().zip(name_heights(figure, &named, &y_px)) {
            self.lettering(self.color(curve.pen), "left", "middle");
            self.letter(&curve.name, right + 6.0, y);
        }
    }

    /// The place nearest to `px` where a hair covers whole store pixels.
    fn sharp(&self, px: f64) -> f64 {
        let middle = self.density.round() / 2.0;
        ((px * self.density - middle).round() + middle) / self.density
    }

    fn color(&self, pen: Pen) -> &str {
        match pen {
            Pen::First => &self.palette.blue,
            Pen::Second => &self.palette.red,
            Pen::Third | Pen::PinnedFirst | Pen::PinnedSecond => &self.palette.soft,
        }
    }

    /// Takes up a pen's dashes, px; none is an unbroken line.
    fn dash(&self, pen: Pen) {
        let dashes = match pen {
            Pen::First | Pen::PinnedFirst => Array::new(),
            Pen::Second | Pen::PinnedSecond => Array::of2(&7.0.into(), &4.0.into()),
            Pen::Third => Array::of2(&2.0.into(), &3.0.into()),
        };
        // Refused only for what is no list of numbers.
        let _ = self.pen.set_line_dash(&dashes);
    }

    /// Adds a line to the present path.
    fn follow(&self, points: &[(f64, f64)]) {
        for (index, (x, y)) in points.iter().enumerate() {
            if index == 0 { self.pen.move_to(*x, *y) } else { self.pen.line_to(*x, *y) }
        }
    }

    fn stroke(&self, color: &str) {
        self.pen.set_stroke_style_str(color);
        self.pen.stroke();
    }

    /// How the letters that follow are drawn.
    fn lettering(&self, color: &str, align: &str, baseline: &str) {
        self.pen.set_fill_style_str(color);
        self.pen.set_text_align(align);
        self.pen.set_text_baseline(baseline);
    }

    fn letter(&self, words: &str, x: f64, y: f64) {
        // Refused only for places that are no numbers.
        let _ = self.pen.fill_text(words, x, y);
    }
}

/// Where the unit stands behind the lower axis: clear of its last number.
fn unit_x(across: &Axis, x_px: impl Fn(f64) -> f64) -> f64 {
    let number_end = across.ticks().last().map_or(0.0, |tick| {
        let letters = format!("{tick:.*}", across.decimals()).len() as f64;
        x_px(tick) + 0.5 * letters * size::DIGIT
    });
    (number_end + 6.0).max(x_px(across.max) + 6.0)
}

/// Heights for the names beside the curves' ends, moved apart so that none
/// covers another.
fn name_heights(figure: &Figure, named: &[&Curve], y_px: &impl Fn(f64) -> f64) -> Vec<f64> {
    let at_end = |curve: &&Curve| {
        let last = curve.points.iter().rev().find(|(_, y)| y.is_finite()).map_or(0.0, |p| p.1);
        y_px(last.clamp(figure.upwards.min, figure.upwards.max))
    };
    let mut heights: Vec<f64> = named.iter().map(at_end).collect();
    let order = ascending_places(&heights);
    let lowest = y_px(figure.upwards.min);
    let line = size::LETTER + 2.0;
    for pair in order.windows(2) {
        heights[pair[1]] = heights[pair[1]].max(heights[pair[0]] + line);
    }
    // Pushed beyond the bottom: move back up, the lowest first.
    let mut limit = lowest;
    for index in order.into_iter().rev() {
        heights[index] = heights[index].min(limit);
        limit = heights[index] - line;
    }
    heights
}

#[cfg(test)]
mod tests {
    use sim_core::math::sort_numbers;
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    fn figure(ends: &[f64]) -> Figure {
        let curve = |end: &f64| Curve {
            name: "curve".into(),
            pen: Pen::First,
            points: vec![(0.0, 0.0), (1.0, *end)],
        };
        Figure {
            title: String::new(),
            across_unit: "s".into(),
            across: Axis::from_zero_to(1.0, 4),
            upwards: Axis::around([-1.0, 1.0], 4, 0.0),
            curves: ends.iter().map(curve).collect(),
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn reads_off_what_lies_between_two_points() {
        let mut figure = figure(&[0.5, -1.0]);
        figure.curves[1].pen = Pen::PinnedFirst;
        assert_eq!(readings(&figure, 0.5), [("curve".to_owned(), 0.25)]);
        assert_eq!(readings(&figure, 1.5), []);
        let width = 400.0;
        for across in [0.0, 0.3, 1.0] {
            let back = across_at(&figure, x_of(&figure, across, width), width);
            assert!((back - across).abs() < 1e-12);
        }
        assert_eq!(across_at(&figure, -50.0, width), 0.0);
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn the_unit_stands_clear_of_the_last_number() {
        for end in [1.0, 25.0, 120.0] {
            let axis = Axis::around([0.0, end], 5, 0.0);
            let letters = format!("{:.*}", axis.decimals(), axis.max).len() as f64;
            let x = unit_x(&axis, |value| 300.0 * value / axis.max);
            assert!(x - 300.0 > 0.5 * letters * size::DIGIT, "{end}: {x}");
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn names_of_curves_that_end_together_stand_apart() {
        for ends in [vec![0.0, 0.0, 0.0], vec![-1.0, -1.0, -1.0], vec![1.0, -1.0, f64::NAN]] {
            let figure = figure(&ends);
            let named: Vec<&Curve> = figure.curves.iter().collect();
            let mut heights = name_heights(&figure, &named, &|y| 100.0 - 80.0 * y);
            sort_numbers(&mut heights);
            assert!(heights.windows(2).all(|pair| pair[1] - pair[0] > size::LETTER), "{heights:?}");
            assert!(heights.iter().all(|h| *h <= 180.0), "{heights:?}");
        }
    }
}
