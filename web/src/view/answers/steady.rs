//! 'Does it hold itself level?' Ordinary flight, and what the aeroplane does
//! with nobody at the sticks.

use leptos::prelude::*;
use sim_core::analysis::{Mode, ModeKind};
use sim_core::assess::Assessment;
use sim_core::handling::criteria::Level;

use super::{in_words, panel, readout};
use crate::state::Sheet;
use crate::state::compute::Outcome;
use crate::state::live::memo;
use crate::text::{self, answer, question, sureness, word};

pub fn steady(sheet: Sheet) -> impl IntoView {
    // The list is made anew only where motions come, go or change their level.
    let kinds = memo(move || {
        sheet.outcome.with(|o| {
            let assessment = o.assessment.as_ref();
            let modes = assessment.iter().flat_map(|a| modes(a).map(|mode| kind(mode, a)));
            modes.collect::<Vec<_>>()
        })
    });
    let list = move || {
        let one = |(index, (kind, level))| mode_view(sheet, index, kind, level);
        kinds.get().into_iter().enumerate().map(one).collect_view()
    };
    panel(
        "steady",
        question::STEADY,
        view! { {trim_view(sheet)} <ul class="modes">{list}</ul> {crate::view::whatif::mode_map(sheet)} },
    )
}

fn modes(assessment: &Assessment) -> impl Iterator<Item = &Mode> {
    assessment.modes.longitudinal.iter().chain(&assessment.modes.lateral)
}

/// What a motion is, and the worst level that it is rated at.
fn kind(mode: &Mode, assessment: &Assessment) -> (ModeKind, Option<Level>) {
    let ratings = assessment.ratings.iter();
    let own = ratings.filter(|rating| answer::concerns(rating.criterion, mode.kind));
    (mode.kind, own.map(|rating| rating.level).max())
}

fn trim_view(sheet: Sheet) -> impl IntoView {
    let powered =
        move |outcome: &Outcome| outcome.sound.as_ref().is_some_and(|a| !a.propulsion.is_empty());
    let has_motor = memo(move || sheet.outcome.with(|o| powered(o)));
    let lede = in_words(sheet, move |a, outcome| answer::flight(&a.trim, powered(outcome)));
    let stall = in_words(sheet, |a, _| answer::slowest(&a.stall));
    let throttle = in_words(sheet, |a, _| text::percent(a.trim.controls.throttle));
    let elevator = in_words(sheet, |a, _| answer::elevator(a));
    let shortfalls = memo(move || {
        sheet.outcome.with(|o| {
            let found = o.assessment.iter().flat_map(|a| &a.trim.shortfalls);
            found.map(answer::shortfall).collect::<Vec<_>>()
        })
    });
    let there = memo(move || sheet.outcome.with(|o| o.assessment.is_some()));
    move || {
        there.get().then(|| {
            view! {
                <p class="lede">{lede}</p>
                <dl class="readouts">
                    {readout(word::STALL_SPEED, stall, word::STALL_MEANING)}
                    {move || has_motor.get().then(|| {
                        readout(word::THROTTLE, throttle, word::THROTTLE_MEANING)
                    })}
                    {readout(word::ELEVATOR, elevator, word::ELEVATOR_MEANING)}
                </dl>
                {move || {
                    let all = shortfalls.get().into_iter();
                    all.map(|words| view! { <p class="conflict">{words}</p> }).collect_view()
                }}
            }
        })
    }
}

fn mode_view(sheet: Sheet, index: usize, kind: ModeKind, level: Option<Level>) -> impl IntoView {
    let (name, technical) = answer::mode_name(kind);
    let of = move |say: fn(&Mode) -> String| {
        in_words(sheet, move |a, _| modes(a).nth(index).map(say).unwrap_or_default())
    };
    view! {
        <li class="mode">
            <div class="mode-head">
                <span class="mode-name">{name}</span>
                <span class="mode-technical">{technical}</span>
                {level.map(level_sign)}
            </div>
            <p class="mode-course">{of(answer::mode_course)}</p>
            {mode_between(sheet, kind)}
            <p class="mode-meaning">{of(|mode| answer::mode_meaning(mode).to_string())}</p>
        </li>
    }
}

/// How sure a mode's course is, once that is known.
fn mode_between(sheet: Sheet, kind: ModeKind) -> impl IntoView {
    move || {
        let quantity = sureness::of_mode(kind)?;
        let spread = sheet.late.spread(quantity)?;
        Some(view! { <p class="between">{sureness::beside_mode(quantity, &spread.interval)}</p> })
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
