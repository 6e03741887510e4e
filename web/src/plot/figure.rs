//! Curves over a common axis, drawn on a canvas.
//!
//! Plotters does the scaling and the strokes; grid and lettering are our own.
//! Its lettering measures words through elements styled in place, which the
//! page's policy forbids and which costs a layout each time. The canvas has at
//! least two store pixels for each pixel of the page: strokes stay sharp on
//! dense screens and smooth on others, since plotters counts in whole pixels.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters_canvas::CanvasBackend;
use web_sys::HtmlCanvasElement;

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
    let density = density.clamp(2.0, 4.0);
    let store = |px: f64| (px * density).round() as u32;
    // Setting the size clears the canvas.
    canvas.set_width(store(width));
    canvas.set_height(store(height));
    let Some(backend) = CanvasBackend::with_canvas_object(canvas.clone()) else { return };
    let pencil = Pencil { density, palette };
    // An error means that the context is lost; the next change draws anew.
    let _ = pencil.draw(figure, backend.into_drawing_area(), (width, height));
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
}

type Area = DrawingArea<CanvasBackend, plotters::coord::Shift>;
type DrawError = DrawingAreaErrorKind<<CanvasBackend as DrawingBackend>::ErrorType>;

impl Pencil<'_> {
    fn px(&self, page_px: f64) -> i32 {
        (page_px * self.density).round() as i32
    }

    fn draw(
        &self,
        figure: &Figure,
        area: Area,
        (width, height): (f64, f64),
    ) -> Result<(), DrawError> {
        let lettered = !figure.across_unit.is_empty();
        let bottom = if lettered { size::BOTTOM } else { size::BOTTOM_BARE };
        let (left, top) = (size::LEFT, size::TOP);
        let right = size::RIGHT;
        let (across, upwards) = (&figure.across, &figure.upwards);
        let mut chart = ChartBuilder::on(&area)
            .margin_left(self.px(left))
            .margin_right(self.px(right))
            .margin_top(self.px(top))
            .margin_bottom(self.px(bottom))
            .build_cartesian_2d(across.min..across.max, upwards.min..upwards.max)?;

        let x_px =
            |x: f64| left + (width - left - right) * (x - across.min) / (across.max - across.min);
        let y_px = |y: f64| {
            top + (height - top - bottom) * (upwards.max - y) / (upwards.max - upwards.min)
        };
        let line = |color: RGBColor, weight: f64| {
            ShapeStyle::from(color).stroke_width(self.px(weight).max(1) as u32)
        };
        let hair = line(self.palette.hair, 1.0);
        let zero = line(self.palette.soft, 1.0);
        for tick in across.ticks() {
            let ends = [(tick, upwards.min), (tick, upwards.max)];
            chart.draw_series(std::iter::once(PathElement::new(ends, hair)))?;
            if lettered {
                let words = format!("{tick:.*}", across.decimals());
                self.letter(&area, &words, x_px(tick), height - 2.0, HPos::Center, VPos::Bottom)?;
            }
        }
        for tick in upwards.ticks() {
            let ends = [(across.min, tick), (across.max, tick)];
            let style = if tick == 0.0 { zero } else { hair };
            chart.draw_series(std::iter::once(PathElement::new(ends, style)))?;
            let words = format!("{tick:.*}", upwards.decimals()).replace('-', "\u{2212}");
            self.letter(&area, &words, left - 6.0, y_px(tick), HPos::Right, VPos::Center)?;
        }
        if lettered {
            let (unit, x) = (&figure.across_unit, unit_x(across, x_px));
            self.letter(&area, unit, x, height - 2.0, HPos::Left, VPos::Bottom)?;
        }
        self.letter(&area, &figure.title, 0.0, 2.0, HPos::Left, VPos::Top)?;

        for curve in &figure.curves {
            self.stroke(&mut chart, figure, curve)?;
        }
        // What is compared with has no names of its own.
        let named: Vec<&Curve> = figure.curves.iter().filter(|c| !c.name.is_empty()).collect();
        for (curve, y) in named.iter().zip(name_heights(figure, &named, &y_px)) {
            let x = width - right + 6.0;
            self.letter_in(
                self.color(curve.pen),
                &area,
                &curve.name,
                (x, y),
                HPos::Left,
                VPos::Center,
            )?;
        }
        area.present()
    }

    fn color(&self, pen: Pen) -> RGBColor {
        match pen {
            Pen::First => self.palette.blue,
            Pen::Second => self.palette.red,
            Pen::Third => self.palette.soft,
            Pen::PinnedFirst | Pen::PinnedSecond => self.palette.soft,
        }
    }

    fn stroke(
        &self,
        chart: &mut ChartContext<
            '_,
            CanvasBackend,
            Cartesian2d<
                plotters::coord::types::RangedCoordf64,
                plotters::coord::types::RangedCoordf64,
            >,
        >,
        figure: &Figure,
        curve: &Curve,
    ) -> Result<(), DrawError> {
        let weight = if curve.pen.is_pinned() { size::THIN_STROKE } else { size::STROKE };
        let style =
            ShapeStyle::from(self.color(curve.pen)).stroke_width(self.px(weight).max(1) as u32);
        let (low, high) = (figure.upwards.min, figure.upwards.max);
        let points = curve
            .points
            .iter()
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .map(|(x, y)| (*x, y.clamp(low, high)));
        match curve.pen {
            Pen::First | Pen::PinnedFirst => chart.draw_series(LineSeries::new(points, style))?,
            Pen::Second | Pen::PinnedSecond | Pen::Third => {
                let (dash, gap) = if curve.pen == Pen::Third { (2.0, 3.0) } else { (7.0, 4.0) };
                let (dash, gap) = (self.px(dash) as u32, self.px(gap) as u32);
                chart.draw_series(DashedLineSeries::new(points, dash, gap, style))?
            }
        };
        Ok(())
    }

    fn letter(
        &self,
        area: &Area,
        words: &str,
        x: f64,
        y: f64,
        horizontal: HPos,
        vertical: VPos,
    ) -> Result<(), DrawError> {
        self.letter_in(self.palette.soft, area, words, (x, y), horizontal, vertical)
    }

    fn letter_in(
        &self,
        color: RGBColor,
        area: &Area,
        words: &str,
        (x, y): (f64, f64),
        horizontal: HPos,
        vertical: VPos,
    ) -> Result<(), DrawError> {
        let style = TextStyle::from((self.palette.family.as_str(), size::LETTER * self.density))
            .color(&color)
            .pos(Pos::new(horizontal, vertical));
        area.draw(&Text::new(words, (self.px(x), self.px(y)), style))
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
    let mut order: Vec<usize> = (0..heights.len()).collect();
    order.sort_by(|a, b| heights[*a].total_cmp(&heights[*b]));
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
            heights.sort_by(f64::total_cmp);
            assert!(heights.windows(2).all(|pair| pair[1] - pair[0] > size::LETTER), "{heights:?}");
            assert!(heights.iter().all(|h| *h <= 180.0), "{heights:?}");
        }
    }
}
