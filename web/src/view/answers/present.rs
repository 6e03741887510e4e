//! 'What do I have now?' The throws that the radio is set to, what they will
//! do in the air, and how far to cut them, channel by channel.

use leptos::prelude::*;
use sim_core::aircraft::ControlRole;
use sim_core::assess::PresentChannel;
use sim_core::throws::advice::{Predicted, PresentAssessment, PresentThrow};
use sim_core::throws::sensitivity::Duty;

use super::{of_assessment, panel};
use crate::state::live::memo;
use crate::state::{Sheet, rigging as fields};
use crate::text::{linkage as words, present as said};
use crate::view::rigging::{button, numbers};

pub fn present(sheet: Sheet) -> AnyView {
    // Where each control is, with what of its radio has been entered.
    let controls = memo(move || {
        sheet.with_aircraft(|a| {
            let mut list = Vec::new();
            for (i, surface) in a.surfaces.iter().enumerate() {
                for (k, control) in surface.controls.iter().enumerate() {
                    if control.role != ControlRole::Flap {
                        list.push((i, k, fields::entered(a, i, k)));
                    }
                }
            }
            list
        })
    });
    let forms = move || {
        let one = |(i, k, entered)| form(sheet, (i, k), entered);
        controls.get().into_iter().map(one).collect_view()
    };
    let channels =
        of_assessment(sheet, |assessment, _| assessment.present.iter().map(channel).collect_view());
    let content = view! { <p class="lede">{words::NOW_LEDE}</p> {forms} {channels} };
    panel("present", words::NOW_QUESTION, content).into_any()
}

/// The fields of one control surface.
fn form(sheet: Sheet, place: (usize, usize), entered: Option<fields::Entered>) -> AnyView {
    let (i, k) = place;
    let name = sheet.design.with_untracked(|d| {
        crate::state::fields::control(i, k).of(&d.aircraft).map(|c| c.name.clone())
    });
    let change = move |change: fn(&mut sim_core::aircraft::ControlSurface)| {
        sheet.rearrange("setting", |a| fields::with_control(a, place, change));
    };
    let content = match entered {
        Some(entered) if entered.setting => {
            let low = if entered.low_rate {
                button(words::REMOVE_LOW, move || {
                    change(|c| {
                        if let Some(setting) = &mut c.setting {
                            setting.low_rate_deg = None;
                            setting.low_expo = 0.0;
                        }
                    });
                })
            } else {
                button(words::ADD_LOW, move || {
                    change(|c| {
                        if let Some(setting) = &mut c.setting {
                            setting.low_rate_deg = Some((0.7 * setting.high_rate_deg).round());
                        }
                    });
                })
            };
            view! {
                {numbers(sheet, fields::setting_fields(i, k, entered.low_rate))}
                <div class="present-buttons">
                    {low}
                    {button(words::REMOVE_SETTING, move || change(|c| c.setting = None))}
                </div>
            }
            .into_any()
        }
        _ => button(words::ENTER_SETTING, move || {
            change(|c| c.setting = Some(fields::first_setting(c.throw_max_deg)));
        }),
    };
    view! { <div class="present-form"><h3>{name}</h3>{content}</div> }.into_any()
}

/// What one channel does now.
fn channel(channel: &PresentChannel) -> AnyView {
    let low = channel.low.as_ref().zip(channel.low_assessed.as_ref());
    view! {
        <div class="present-channel">
            {rate(channel.duty, &channel.high, &channel.high_assessed, true)}
            {low.map(|(low, assessed)| rate(channel.duty, low, assessed, false))}
        </div>
    }
    .into_any()
}

fn rate(duty: Duty, present: &PresentThrow, assessed: &PresentAssessment, high: bool) -> AnyView {
    let rows = assessed.predicted.iter().map(|predicted| row(duty, predicted)).collect_view();
    let wrong = said::strictest(&assessed.exceeded)
        .into_iter()
        .map(said::exceeded)
        .chain(assessed.unmet.iter().map(said::unmet))
        .map(|words| view! { <li class="conflict">{words}</li> })
        .collect_view();
    view! {
        <p class="present-head">{said::head(duty, present, high)}</p>
        <p>{said::advice(assessed, high)}</p>
        <table class="present-table">
            <thead>
                <tr>
                    {said::heads(duty)
                        .into_iter()
                        .map(|head| view! { <th scope="col">{head}</th> })
                        .collect_view()}
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
        <ul class="linkage-list">{wrong}</ul>
    }
    .into_any()
}

fn row(duty: Duty, predicted: &Predicted) -> AnyView {
    let cells = said::row(duty, predicted).into_iter().map(|cell| view! { <td>{cell}</td> });
    view! { <tr>{cells.collect_view()}</tr> }.into_any()
}
