//! What the page knows: one design, the texts as typed, and what was computed
//! from them. Everything on the screen is derived from here.
//!
//! All signals are made once, with the page, and live as long as it does.

pub mod compute;
pub mod examples;
pub mod fields;
pub mod form;
pub mod history;
pub mod measure;

use std::sync::Arc;

use leptos::prelude::*;
use sim_core::aircraft::{Aircraft, Finding};

use compute::Outcome;
use form::{ChoiceField, Field, NumberField, Typed};
use history::History;

/// The signals of the page.
#[derive(Clone, Copy)]
pub struct Sheet {
    /// The aeroplane as measured: the one source of everything else.
    pub aircraft: RwSignal<Aircraft>,
    /// Texts as typed.
    pub typed: RwSignal<Typed>,
    /// Snapshots for undo and redo.
    pub history: RwSignal<History>,
    /// All faults of the aircraft.
    pub findings: Memo<Arc<Vec<Finding>>>,
    /// The last result that could be computed.
    pub outcome: RwSignal<Arc<Outcome>>,
    /// When the first change that is not yet drawn was made, ms.
    pub changed_at_ms: StoredValue<Option<f64>>,
}

impl Sheet {
    /// The signals of a page that opens on `aircraft`.
    pub fn new(aircraft: Aircraft) -> Self {
        let outcome = RwSignal::new(Arc::new(Outcome::of(&aircraft)));
        let aircraft = RwSignal::new(aircraft);
        Self {
            aircraft,
            typed: RwSignal::new(Typed::default()),
            history: RwSignal::new(History::default()),
            findings: Memo::new(move |_| {
                Arc::new(aircraft.with(|a| a.clone().check().err().unwrap_or_default()))
            }),
            outcome,
            changed_at_ms: StoredValue::new(None),
        }
    }

    /// Changes the aircraft. Changes of the same `subject` one after another
    /// are taken back together.
    pub fn change(&self, subject: &str, change: impl FnOnce(&mut Aircraft)) {
        let before = self.aircraft.get_untracked();
        let mut after = before.clone();
        change(&mut after);
        if after == before {
            return;
        }
        self.history.update(|history| history.record(subject, before));
        self.put(after);
    }

    fn put(&self, aircraft: Aircraft) {
        self.changed_at_ms.update_value(|time| *time = time.or_else(compute::now_ms));
        self.aircraft.set(aircraft);
    }

    /// Takes a text typed into a number field.
    pub fn type_number(&self, field: &NumberField, text: String) {
        self.change(&field.field.path, |aircraft| field.take(&text, aircraft));
        self.typed.update(|typed| typed.keep(&field.field.path, text));
    }

    /// Sets a number by other means than typing, in the file's unit.
    pub fn set_number(&self, field: &NumberField, value: f64) {
        self.typed.update(|typed| typed.forget(&field.field.path));
        self.change(&field.field.path, |aircraft| field.field.write(aircraft, value));
    }

    /// Sets a name, a flag.
    pub fn set<V>(&self, field: &Field<V>, value: V) {
        self.change(&field.path, |aircraft| field.write(aircraft, value));
    }

    /// Chooses an option.
    pub fn choose(&self, field: &ChoiceField, option: usize) {
        self.set(&field.field, option);
    }

    /// Puts a whole other design on the sheet, or adds and removes parts of
    /// it: what was typed no longer belongs to the same fields.
    pub fn rearrange(&self, subject: &str, change: impl FnOnce(&mut Aircraft)) {
        self.typed.set(Typed::default());
        self.change(subject, change);
        self.history.update(History::close_step);
    }

    /// Takes back the last change.
    pub fn undo(&self) {
        self.step_through_history(History::undo);
    }

    /// Makes the change again that was taken back last.
    pub fn redo(&self) {
        self.step_through_history(History::redo);
    }

    fn step_through_history(&self, step: fn(&mut History, Aircraft) -> Option<Aircraft>) {
        let present = self.aircraft.get_untracked();
        let other = self.history.try_update(|history| step(history, present)).flatten();
        if let Some(other) = other {
            self.typed.set(Typed::default());
            self.put(other);
        }
    }
}
