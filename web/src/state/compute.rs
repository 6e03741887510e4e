//! When to compute, and the time it takes until the result is drawn.
//!
//! A change is computed on the next animation frame, always from the newest
//! design; changes in between are never computed. The frame's work is measured
//! and left on the page for its tests.

use std::sync::Arc;

use leptos::prelude::*;
use sim_core::aircraft::{Aircraft, SoundAircraft};
use sim_core::mass::{MassProperties, mass_properties};

use super::Sheet;

/// What was computed from a design.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Outcome {
    /// The last design without faults.
    pub sound: Option<SoundAircraft>,
    /// Its mass, balance point and inertia.
    pub mass: Option<MassProperties>,
}

impl Outcome {
    /// Computes everything for one design.
    pub fn of(aircraft: &Aircraft) -> Self {
        let Ok(sound) = aircraft.clone().check() else { return Self::default() };
        let mass = mass_properties(&sound).ok();
        Self { sound: Some(sound), mass }
    }
}

/// Time since the page was opened, ms.
pub fn now_ms() -> Option<f64> {
    Some(window().performance()?.now())
}

/// Computes anew after each change of the design, once per frame at most.
pub fn keep_computed(sheet: Sheet) {
    let asked = StoredValue::new(false);
    Effect::new(move |earlier: Option<()>| {
        sheet.aircraft.track();
        // The page starts with its first design already computed.
        if earlier.is_none() || asked.get_value() {
            return;
        }
        asked.set_value(true);
        request_animation_frame(move || {
            asked.set_value(false);
            compute_now(sheet);
        });
    });
}

fn compute_now(sheet: Sheet) {
    let start = now_ms();
    let outcome = sheet.aircraft.with_untracked(Outcome::of);
    if outcome.sound.is_some() {
        sheet.outcome.set(Arc::new(outcome));
    }
    let changed_at = sheet.changed_at_ms.get_value();
    sheet.changed_at_ms.set_value(None);
    // Effects redraw in the microtasks that follow; a timeout runs after them.
    set_timeout(
        move || {
            let (Some(start), Some(changed_at), Some(end)) = (start, changed_at, now_ms()) else {
                return;
            };
            leave_figures(end - start, end - changed_at);
        },
        std::time::Duration::ZERO,
    );
}

/// Leaves the last update's figures on the page: `data-work-ms` from the start
/// of computing, `data-drawn-ms` from the change, both until all is drawn, and
/// `data-updates` how many there were.
fn leave_figures(work_ms: f64, drawn_ms: f64) {
    let Some(body) = document().body() else { return };
    let data = body.dataset();
    let count = data.get("updates").and_then(|n| n.parse::<u32>().ok()).unwrap_or(0);
    // Setting a data attribute fails only for names that are not one.
    let _ = data.set("workMs", &format!("{work_ms:.2}"));
    let _ = data.set("drawnMs", &format!("{drawn_ms:.2}"));
    let _ = data.set("updates", &(count + 1).to_string());
}
