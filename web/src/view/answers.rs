//! The answers, each under the builder's own question.

use leptos::prelude::*;

use sim_core::aircraft::SurfaceRole;

use super::slider::slider;
use crate::state::{Sheet, fields};
use crate::text::{self, caution, question, word};

pub fn answers(sheet: Sheet) -> impl IntoView {
    view! {
        <div class="answers" id="answers">
            {faults(sheet)}
            <section class="panel" aria-labelledby="balance-heading">
                <h2 id="balance-heading">{question::BALANCE}</h2>
            </section>
            <section class="panel" aria-labelledby="rudder-heading">
                <h2 id="rudder-heading">{question::RUDDER}</h2>
                {dihedral_slider(sheet)}
            </section>
            {cautions()}
        </div>
    }
}

/// Range of the dihedral slider, degrees each side.
const DIHEDRAL_RANGE_DEG: (f64, f64) = (0.0, 15.0);

/// Moves the dihedral of the wing's outermost panel, the one that a builder
/// bends.
fn dihedral_slider(sheet: Sheet) -> impl IntoView {
    let outer_panel = Memo::new(move |_| {
        sheet.aircraft.with(|a| {
            let wing = a.surfaces.iter().position(|s| s.role == SurfaceRole::Wing)?;
            Some((wing, a.surfaces[wing].panels.len().checked_sub(1)?))
        })
    });
    move || {
        let (wing, panel) = outer_panel.get()?;
        let field = fields::dihedral(wing, panel);
        Some(slider(sheet, field, word::DIHEDRAL_SLIDER, DIHEDRAL_RANGE_DEG))
    }
}

/// Says that the results are those of an earlier state, and why.
fn faults(sheet: Sheet) -> impl IntoView {
    move || {
        let findings = sheet.findings.get();
        (!findings.is_empty()).then(|| {
            view! {
                <section class="faults" role="status">
                    <p>{text::fault_count(findings.len())}</p>
                    <ul>
                        {findings.iter().map(|finding| view! {
                            <li>
                                <a href=format!("#{}", super::field::element_id(&finding.field))>
                                    {text::place_in_words(&finding.field)}
                                </a>
                                " " {finding.message.clone()}
                            </li>
                        }).collect_view()}
                    </ul>
                </section>
            }
        })
    }
}

fn cautions() -> impl IntoView {
    view! {
        <section class="panel cautions" aria-labelledby="cautions-heading">
            <h2 id="cautions-heading">{question::BEFORE_FLIGHT}</h2>
            <ul>
                {caution::ALL.into_iter().map(|(head, words)| view! {
                    <li><strong>{head}</strong> " " {words}</li>
                }).collect_view()}
            </ul>
        </section>
    }
}
