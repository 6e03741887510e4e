//! 'Does it hold itself level?' Ordinary flight, and what the aeroplane does
//! with nobody at the sticks.

use leptos::prelude::*;
use sim_core::analysis::Mode;
use sim_core::assess::Assessment;
use sim_core::handling::criteria::Level;

use super::{of_assessment, panel, readout};
use crate::state::Sheet;
use crate::text::{self, answer, question, word};

pub fn steady(sheet: Sheet) -> impl IntoView {
    let trim = of_assessment(sheet, |assessment, outcome| {
        let powered = outcome.sound.as_ref().is_some_and(|a| !a.propulsion.is_empty());
        trim_view(assessment, powered)
    });
    let modes = of_assessment(sheet, |assessment, _| {
        let modes = assessment.modes.longitudinal.iter().chain(&assessment.modes.lateral);
        view! { <ul class="modes">{modes.map(|mode| mode_view(mode, assessment)).collect_view()}</ul> }
    });
    panel(
        "steady",
        question::STEADY,
        view! { {trim} {modes} {crate::view::whatif::mode_map(sheet)} },
    )
}

fn trim_view(assessment: &Assessment, powered: bool) -> impl IntoView + use<> {
    let trim = &assessment.trim;
    let shortfalls = trim
        .shortfalls
        .iter()
        .map(|shortfall| view! { <p class="conflict">{answer::shortfall(shortfall)}</p> })
        .collect_view();
    view! {
        <p class="lede">{answer::flight(trim, powered)}</p>
        <dl class="readouts">
            {readout(word::STALL_SPEED, answer::speed(assessment.stall.airspeed_m_s), word::STALL_MEANING)}
            {powered.then(|| readout(
                word::THROTTLE,
                text::percent(trim.controls.throttle),
                word::THROTTLE_MEANING,
            ))}
            {readout(word::ELEVATOR, answer::elevator(trim.controls.elevator_rad), word::ELEVATOR_MEANING)}
        </dl>
        {shortfalls}
    }
}

fn mode_view(mode: &Mode, assessment: &Assessment) -> impl IntoView + use<> {
    let (name, technical) = answer::mode_name(mode.kind);
    let level = assessment
        .ratings
        .iter()
        .filter(|rating| answer::concerns(rating.criterion, mode.kind))
        .map(|rating| rating.level)
        .max();
    view! {
        <li class="mode">
            <div class="mode-head">
                <span class="mode-name">{name}</span>
                <span class="mode-technical">{technical}</span>
                {level.map(level_sign)}
            </div>
            <p class="mode-course">{answer::mode_course(mode)}</p>
            <p class="mode-meaning">{answer::mode_meaning(mode)}</p>
        </li>
    }
}

/// A level as a bar of four cells and a word: never by colour alone.
fn level_sign(level: Level) -> impl IntoView {
    let filled = match level {
        Level::One => 4,
        Level::Two => 3,
        Level::Three => 2,
        Level::Worse => 1,
    };
    view! {
        <span class="level" class:level-low=filled <= 2>
            <svg width="34" height="10" aria-hidden="true">
                {(0..4).map(|i| view! {
                    <rect class:filled=i < filled x=i * 9 + 1 y="1" width="6" height="8" />
                }).collect_view()}
            </svg>
            {answer::level(level)}
        </span>
    }
}
