//! Curves of the power panel over the airspeed.

use leptos::prelude::*;
use sim_core::aircraft::Drive;
use sim_core::assess::{ControlPower, PowerStudy, TrimPoint};

use crate::plot::axis::Axis;
use crate::plot::figure::{Curve, Figure, Pen};
use crate::state::Sheet;
use crate::state::live::memo;
use crate::text::power as words;
use crate::view::figure::figure;

/// One of the figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plot {
    Thrust,
    Current,
    Throttle,
    Trim,
    Elevator,
    Rudder,
}

impl Plot {
    /// With a motor.
    pub const POWERED: &[Self] =
        &[Self::Thrust, Self::Current, Self::Throttle, Self::Trim, Self::Elevator, Self::Rudder];
    /// Without.
    pub const GLIDER: &[Self] = &[Self::Trim, Self::Elevator, Self::Rudder];
}

const HEIGHT_PX: f64 = 150.0;

/// A figure; nothing where there is nothing to draw.
pub fn curves(sheet: Sheet, plot: Plot) -> impl IntoView {
    let shown = memo(move || {
        let study = sheet.late.power.get()?;
        let limit_a = controller_limit_a(sheet);
        figure_of(&study.result, plot, limit_a)
    });
    let there = memo(move || shown.with(Option::is_some));
    move || {
        there.get().then(|| {
            let description = move || shown.with(|f| f.as_ref().map(describe).unwrap_or_default());
            figure(HEIGHT_PX, move || shown.get(), description)
        })
    }
}

/// What the first unit's controller bears.
fn controller_limit_a(sheet: Sheet) -> Option<f64> {
    sheet.outcome.with_untracked(|o| match o.sound.as_ref()?.propulsion.first()?.drive {
        Drive::Electric { controller, .. } => Some(controller.current_max_a),
        Drive::KnownThrust { .. } => None,
    })
}

fn figure_of(study: &PowerStudy, plot: Plot, limit_a: Option<f64>) -> Option<Figure> {
    let (title, curves) = match plot {
        Plot::Thrust => (words::THRUST_PLOT, thrust_curves(study, |p| p.thrust_n)),
        Plot::Current => {
            let mut list = thrust_curves(study, |p| p.motor_current_a);
            list.retain(|curve| curve.points.iter().any(|(_, current)| *current > 0.0));
            if let (Some(limit), Some(first)) = (limit_a, list.first()) {
                let points = first.points.iter().map(|(speed, _)| (*speed, limit)).collect();
                list.push(curve(words::CONTROLLER, Pen::Third, points));
            }
            (words::CURRENT_PLOT, list)
        }
        Plot::Throttle => {
            let share = |p: &TrimPoint| p.throttle * 100.0;
            (words::THROTTLE_PLOT, vec![trims(words::LEVEL, Pen::First, &study.level, share)])
        }
        Plot::Trim => {
            // Builders say how far the elevator is up.
            let up = |p: &TrimPoint| -p.elevator_rad.to_degrees();
            let curves = vec![
                trims(words::LEVEL, Pen::First, &study.level, up),
                trims(words::FULL, Pen::Second, &study.full_power, up),
                trims(words::OFF, Pen::Third, &study.glide, up),
            ];
            (words::TRIM_PLOT, curves)
        }
        Plot::Elevator => (words::ELEVATOR_PLOT, control_curves(study, |p| p.elevator_n_m_per_rad)),
        Plot::Rudder => (words::RUDDER_PLOT, control_curves(study, |p| p.rudder_n_m_per_rad)),
    };
    let curves: Vec<Curve> = curves.into_iter().filter(|c| c.points.len() > 1).collect();
    let points = || curves.iter().flat_map(|curve| curve.points.iter());
    let moves = points().any(|(_, value)| *value != 0.0);
    if !moves {
        return None;
    }
    Some(Figure {
        title: title.to_owned(),
        across_unit: words::SPEED_UNIT.to_owned(),
        across: Axis::around(points().map(|p| p.0), 5, 1.0),
        upwards: Axis::around(points().map(|p| p.1).chain([0.0]), 4, 0.0),
        curves,
    })
}

fn curve(name: &str, pen: Pen, points: Vec<(f64, f64)>) -> Curve {
    Curve { name: name.to_owned(), pen, points }
}

fn thrust_curves(
    study: &PowerStudy,
    value: fn(&sim_core::assess::ThrustPoint) -> f64,
) -> Vec<Curve> {
    let Some(unit) = study.units.first() else { return Vec::new() };
    let names = [(words::FULL, Pen::First), (words::HALF, Pen::Second)];
    unit.curves
        .iter()
        .zip(names)
        .map(|(own, (name, pen))| {
            let points = own.points.iter().map(|p| (p.airspeed_m_s, value(p))).collect();
            curve(name, pen, points)
        })
        .collect()
}

fn trims(name: &str, pen: Pen, list: &[TrimPoint], value: impl Fn(&TrimPoint) -> f64) -> Curve {
    // Beyond what control or power reach there is no such flight.
    let possible = list.iter().filter(|p| !p.short);
    curve(name, pen, possible.map(|p| (p.airspeed_m_s, value(p))).collect())
}

/// Moments per rad as moments per degree on a small model's scale.
fn control_curves(study: &PowerStudy, value: fn(&ControlPower) -> f64) -> Vec<Curve> {
    let of = |name, pen, list: &[ControlPower]| {
        let n_cm_per_deg = |p: &ControlPower| value(p) * 100.0 * 1f64.to_radians();
        curve(name, pen, list.iter().map(|p| (p.airspeed_m_s, n_cm_per_deg(p))).collect())
    };
    vec![
        of(words::FULL, Pen::First, &study.control_full),
        of(words::OFF, Pen::Second, &study.control_idle),
    ]
}

fn describe(figure: &Figure) -> String {
    let ends: Vec<(String, f64, f64)> = figure
        .curves
        .iter()
        .filter_map(|curve| {
            Some((curve.name.clone(), curve.points.first()?.1, curve.points.last()?.1))
        })
        .collect();
    words::curves(&figure.title, &ends, figure.across.min, figure.across.max)
}
