//! 'How does it answer the elevator, the rudder?' Curves after a step of the
//! stick: the surface, the rates, the attitude.

use leptos::prelude::*;
use sim_core::aircraft::{ControlRole, SurfaceRole};
use sim_core::analysis::{Channel, StepResponse};
use sim_core::assess::{Assessment, MeasuredResponse};

use super::dihedral::bank_against_dihedral;
use super::{in_words, panel, readout};
use crate::plot::axis::Axis;
use crate::plot::figure::{Curve, Figure, Pen};
use crate::state::live::memo;
use crate::state::panes::Needs;
use crate::state::{Sheet, fields};
use crate::text::{self, answer, question, whatif, word};
use crate::view::figure::figure;
use crate::view::sight::pane_with;
use crate::view::slider::slider;

pub fn responses(sheet: Sheet) -> impl IntoView {
    let channels = memo(move || {
        sheet.outcome.with(|o| o.assessment.as_ref().map(Assessment::channels).unwrap_or_default())
    });
    move || channels.get().into_iter().map(|channel| response(sheet, channel)).collect_view()
}

fn find(assessment: &Assessment, channel: Channel) -> Option<&MeasuredResponse> {
    assessment.responses.iter().find(|r| r.response.channel == channel)
}

fn response(sheet: Sheet, channel: Channel) -> impl IntoView {
    let (key, question) = match channel {
        Channel::Aileron => ("aileron", question::AILERON),
        Channel::Rudder => ("rudder", question::RUDDER),
        Channel::Elevator | Channel::Flap | Channel::Throttle => ("elevator", question::ELEVATOR),
    };
    let sheet = pane_with(sheet, key, Needs::Motion);
    let curves = [Plot::Surface, Plot::Rates, Plot::Attitude]
        .map(|plot| curves(sheet, channel, plot))
        .into_iter()
        .collect_view();
    panel(
        key,
        question,
        view! {
            {numbers(sheet, channel)}
            {move || sheet.pinned.with(Option::is_some).then(|| view! {
                <p class="note">{whatif::GREY_IS_PINNED}</p>
            })}
            {curves}
            {(channel == Channel::Rudder).then(|| view! {
                {bank_against_dihedral(sheet)}
                {dihedral_slider(sheet)}
                {hinge_slider(sheet)}
                {crate::view::whatif::bank_by_dihedral(sheet)}
            })}
        },
    )
}

/// The numbers; their elements stay while the numbers change.
fn numbers(sheet: Sheet, channel: Channel) -> impl IntoView {
    let of = move |say: fn(&MeasuredResponse) -> String| {
        in_words(sheet, move |a, _| find(a, channel).map(say).unwrap_or_default())
    };
    let has_bank = memo(move || {
        sheet.outcome.with(|o| {
            let measured = o.assessment.as_ref().and_then(|a| find(a, channel));
            measured.is_some_and(|m| m.metrics.bank_at_one_second_rad.is_some())
        })
    });
    let bank = of(|m| text::degrees(m.metrics.bank_at_one_second_rad.unwrap_or_default(), 0));
    let bank = move || {
        let has_bank = has_bank.get();
        has_bank.then(|| readout(word::BANK_AFTER_SECOND, bank, word::BANK_AFTER_SECOND_MEANING))
    };
    let list = match channel {
        Channel::Elevator | Channel::Flap | Channel::Throttle => view! {
            {readout(word::PITCH_RATE, of(|m| rate(m.metrics.peak_pitch_rate_rad_s)), word::PEAK)}
            {readout(
                word::PULL,
                of(|m| answer::times_weight(1.0 + m.metrics.peak_load_factor_change)),
                word::PULL_MEANING,
            )}
        }
        .into_any(),
        Channel::Aileron => view! {
            {readout(word::ROLL_RATE, of(|m| rate(m.metrics.peak_roll_rate_rad_s)), word::PEAK)}
            {bank}
        }
        .into_any(),
        Channel::Rudder => view! {
            {bank}
            {readout(word::YAW_RATE, of(|m| rate(m.metrics.peak_yaw_rate_rad_s)), word::PEAK)}
            {readout(
                word::SIDESLIP,
                of(|m| text::degrees(m.metrics.peak_sideslip_rad.abs(), 0)),
                word::SIDESLIP_MEANING,
            )}
        }
        .into_any(),
    };
    let step = of(|m| answer::step(m.response.channel, m.response.input));
    let held = in_words(sheet, move |a, _| {
        let held = a.rudder_bank.as_ref().filter(|_| channel == Channel::Rudder);
        held.map(|bank| answer::held_rudder(&bank.held).to_string()).unwrap_or_default()
    });
    view! {
        <p class="lede">{step} " " {held}</p>
        <dl class="readouts">{list}</dl>
    }
}

fn rate(rate_rad_s: f64) -> String {
    format!("{}/s", text::degrees(rate_rad_s.abs(), 0))
}

/// One of the plots under each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Plot {
    Surface,
    Rates,
    Attitude,
}

fn curves(sheet: Sheet, channel: Channel, plot: Plot) -> impl IntoView {
    let shown = memo(move || {
        sheet.outcome.with(|o| {
            let measured = find(o.assessment.as_ref()?, channel)?;
            let pinned = sheet.pinned.get();
            let pinned = pinned.as_ref().and_then(|pinned| find(pinned.assessment()?, channel));
            Some(figure_of(&measured.response, pinned.map(|p| &p.response), plot))
        })
    });
    let description = move || shown.with(|f| f.as_ref().map(describe).unwrap_or_default());
    let height = match plot {
        Plot::Surface => 92.0,
        Plot::Rates => 136.0,
        Plot::Attitude => 154.0,
    };
    figure(height, move || shown.get(), description)
}

/// Least height of the degree axes, so that noise is not blown up.
const DEGREES_MIN: f64 = 4.0;

/// The curves of a plot, in the order of the pens.
fn lists(response: &StepResponse, plot: Plot) -> Vec<(&'static str, &Vec<f64>, Base)> {
    match plot {
        Plot::Surface => vec![(word::SURFACE_CURVE, &response.deflection, Base::StickSense)],
        Plot::Rates => match response.channel {
            Channel::Elevator | Channel::Flap | Channel::Throttle => {
                vec![(word::PITCH_CURVE, &response.pitch_rate_rad_s, Base::Change)]
            }
            Channel::Aileron | Channel::Rudder => vec![
                (word::ROLL_CURVE, &response.roll_rate_rad_s, Base::Change),
                (word::YAW_CURVE, &response.yaw_rate_rad_s, Base::Change),
            ],
        },
        Plot::Attitude => match response.channel {
            Channel::Elevator | Channel::Flap | Channel::Throttle => vec![
                (word::PITCH_CURVE, &response.pitch_rad, Base::Change),
                (word::ALPHA_CURVE, &response.alpha_rad, Base::Change),
            ],
            Channel::Aileron | Channel::Rudder => vec![
                (word::BANK_CURVE, &response.bank_rad, Base::Change),
                (word::SIDESLIP_CURVE, &response.beta_rad, Base::Change),
            ],
        },
    }
}

/// The plot of a response over that of the pinned one, which has no names.
fn figure_of(response: &StepResponse, pinned: Option<&StepResponse>, plot: Plot) -> Figure {
    let curve = |times: &[f64], (name, values, base): (&str, &Vec<f64>, Base), pen| Curve {
        name: name.to_owned(),
        pen,
        points: in_degrees(times, values, base),
    };
    let mut curves = Vec::new();
    if let Some(pinned) = pinned {
        let pens = [Pen::PinnedFirst, Pen::PinnedSecond];
        for ((_, values, base), pen) in lists(pinned, plot).into_iter().zip(pens) {
            curves.push(curve(&pinned.time_s, ("", values, base), pen));
        }
    }
    for (list, pen) in lists(response, plot).into_iter().zip([Pen::First, Pen::Second]) {
        curves.push(curve(&response.time_s, list, pen));
    }
    let values = curves.iter().flat_map(|c| c.points.iter().map(|p| p.1)).chain([0.0]);
    let (title, across_unit, ticks) = match plot {
        Plot::Surface => (word::SURFACE_PLOT, "", 2),
        Plot::Rates => (word::RATES_PLOT, "", 3),
        Plot::Attitude => (word::ATTITUDE_PLOT, "s", 4),
    };
    Figure {
        title: title.to_owned(),
        across_unit: across_unit.to_owned(),
        across: Axis::from_zero_to(response.time_s.last().copied().unwrap_or(0.0), 4),
        upwards: Axis::around(values, ticks, DEGREES_MIN),
        curves,
    }
}

/// What a curve counts from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Base {
    /// The trimmed value.
    Change,
    /// The trimmed place, positive where the stick asks for a positive moment,
    /// which is a negative deflection.
    StickSense,
}

fn in_degrees(times: &[f64], values: &[f64], base: Base) -> Vec<(f64, f64)> {
    let first = values.first().copied().unwrap_or(0.0);
    let sense = if base == Base::StickSense { -1.0 } else { 1.0 };
    times.iter().zip(values).map(|(t, v)| (*t, sense * (v - first).to_degrees())).collect()
}

fn describe(figure: &Figure) -> String {
    let last: Vec<(String, f64)> = figure
        .curves
        .iter()
        .filter(|curve| !curve.name.is_empty())
        .filter_map(|curve| Some((curve.name.clone(), curve.points.last()?.1)))
        .collect();
    answer::curve_description(&figure.title, &last, figure.across.max)
}

/// Range of the dihedral slider, degrees each side.
const DIHEDRAL_RANGE_DEG: (f64, f64) = (0.0, 15.0);

/// Moves the dihedral of the wing's outermost panel, the one that a builder
/// bends.
fn dihedral_slider(sheet: Sheet) -> impl IntoView {
    let outer_panel = memo(move || {
        sheet.with_aircraft(|a| {
            let wing = a.surfaces.iter().position(|s| s.role == SurfaceRole::Wing)?;
            Some((wing, a.surfaces[wing].panels.len().checked_sub(1)?))
        })
    });
    move || {
        let (wing, panel) = outer_panel.get()?;
        let field = fields::dihedral(wing, panel);
        Some(slider(sheet, field, word::DIHEDRAL_SLIDER.to_owned(), DIHEDRAL_RANGE_DEG))
    }
}

/// Range of the rudder slider, degrees each way.
const HINGE_RANGE_DEG: (f64, f64) = (5.0, 45.0);

/// Moves how far the rudder's hinge lets it go, which may be what binds.
fn hinge_slider(sheet: Sheet) -> impl IntoView {
    let rudder = memo(move || {
        sheet.with_aircraft(|a| {
            a.surfaces.iter().enumerate().find_map(|(i, surface)| {
                let is_rudder =
                    |role| matches!(role, ControlRole::Rudder | ControlRole::Ruddervator);
                let k = surface.controls.iter().position(|c| is_rudder(c.role))?;
                Some((i, k))
            })
        })
    });
    move || {
        let (surface, control) = rudder.get()?;
        let field = fields::throw_max(surface, control);
        Some(slider(sheet, field, word::HINGE_SLIDER.to_owned(), HINGE_RANGE_DEG))
    }
}
