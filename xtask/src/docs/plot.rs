//! The pictures of errors that shrink with finer grids.

use std::collections::BTreeMap;

use anyhow::Result;
use plotters::prelude::*;

/// Curves by name, each a list of points.
pub type Curves = BTreeMap<String, Vec<(f64, f64)>>;

/// Error over boxes, both by decades.
pub fn plot(name: &str, curves: &Curves) -> Result<String> {
    let points = || curves.values().flatten();
    let least = |pick: fn(&(f64, f64)) -> f64| points().map(pick).fold(f64::INFINITY, f64::min);
    let greatest = |pick: fn(&(f64, f64)) -> f64| points().map(pick).fold(0.0, f64::max);
    let across = (least(|p| p.0)..greatest(|p| p.0)).log_scale();
    let upward = (least(|p| p.1).max(1e-3)..greatest(|p| p.1)).log_scale();
    let mut text = String::new();
    {
        let area = SVGBackend::with_string(&mut text, (760, 460)).into_drawing_area();
        area.fill(&WHITE)?;
        let mut chart = ChartBuilder::on(&area)
            .caption(name, ("sans-serif", 18))
            .margin(12)
            .x_label_area_size(40)
            .y_label_area_size(60)
            .build_cartesian_2d(across, upward)?;
        chart
            .configure_mesh()
            .light_line_style(TRANSPARENT)
            .x_desc("boxes on both halves")
            .y_desc("distance from the finest grid, %")
            .draw()?;
        for (index, (curve, points)) in curves.iter().enumerate() {
            let colour = Palette99::pick(index).to_rgba();
            let floored = points.iter().map(|(x, y)| (*x, y.max(1e-3)));
            chart
                .draw_series(LineSeries::new(floored, colour.stroke_width(2)))?
                .label(curve)
                .legend(move |(x, y)| PathElement::new([(x, y), (x + 16, y)], colour));
        }
        chart.configure_series_labels().background_style(WHITE).border_style(BLACK).draw()?;
        area.present()?;
    }
    Ok(text)
}
