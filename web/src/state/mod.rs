//! What the page knows: one design, the texts as typed, and what was computed
//! from them. Everything on the screen is derived from here.
//!
//! All signals are made once, with the page, and live as long as it does.

pub mod compute;
pub mod device;
pub mod examples;
pub mod fields;
pub mod file;
pub mod form;
pub mod history;
pub mod late;
pub mod measure;

use std::sync::Arc;

use leptos::prelude::*;
use sim_core::aircraft::{Aircraft, Finding};
use sim_core::assess::Question;

use compute::Outcome;
use file::FileError;
use form::{ChoiceField, Field, NumberField, Typed};
use history::History;
use late::Late;

use crate::text;

/// All that the builder has said: what undo takes back and a file holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// The aeroplane as measured.
    pub aircraft: Aircraft,
    /// For whom, how fast and how high it flies.
    pub question: Question,
}

impl From<Aircraft> for Design {
    fn from(aircraft: Aircraft) -> Self {
        Self { aircraft, question: Question::default() }
    }
}

/// The signals of the page.
#[derive(Clone, Copy)]
pub struct Sheet {
    /// The one source of everything else.
    pub design: RwSignal<Design>,
    /// Texts as typed.
    pub typed: RwSignal<Typed>,
    /// Snapshots for undo and redo.
    pub history: RwSignal<History>,
    /// All faults of the aircraft.
    pub findings: Memo<Arc<Vec<Finding>>>,
    /// The last result that could be computed.
    pub outcome: RwSignal<Arc<Outcome>>,
    /// What takes longer than a frame, once it has come.
    pub late: Late,
    /// What the page has to tell.
    pub notice: RwSignal<Option<String>>,
    /// When the first change that is not yet drawn was made, ms.
    pub changed_at_ms: StoredValue<Option<f64>>,
}

impl Sheet {
    /// The signals of a page that opens on `design`.
    pub fn new(design: Design) -> Self {
        let outcome = RwSignal::new(Arc::new(Outcome::of(&design, None)));
        let design = RwSignal::new(design);
        Self {
            design,
            typed: RwSignal::new(Typed::default()),
            history: RwSignal::new(History::default()),
            findings: Memo::new(move |_| {
                Arc::new(design.with(|d| d.aircraft.clone().check().err().unwrap_or_default()))
            }),
            outcome,
            late: Late::new(),
            notice: RwSignal::new(None),
            changed_at_ms: StoredValue::new(None),
        }
    }

    /// Opens the design of the page's link, else the one kept on the device,
    /// else the first example. What could not be read is told.
    pub fn open() -> Option<Self> {
        let link = window().location().hash().ok().and_then(|hash| file::from_fragment(&hash));
        let kept = device::recall();
        let mut faults = Vec::new();
        let mut sound = |found: Option<Result<Design, FileError>>,
                         fault: fn(&FileError) -> String| {
            found?.map_err(|error| faults.push(fault(&error))).ok()
        };
        let link = sound(link, text::link_not_read);
        let kept = sound(kept, text::kept_not_read);
        let first = examples::all().into_iter().next().map(Design::from);
        let sheet = match link {
            // What was kept is one step back.
            Some(linked) => {
                let sheet = Self::new(linked);
                if let Some(kept) = kept {
                    sheet.history.update(|history| history.record("link", kept));
                }
                sheet
            }
            None => Self::new(kept.or(first)?),
        };
        if !faults.is_empty() {
            sheet.tell(&faults.join(" "));
        }
        Some(sheet)
    }

    /// Tells the builder something.
    pub fn tell(&self, notice: &str) {
        self.notice.set(Some(notice.to_owned()));
    }

    /// Puts a whole other design on the sheet.
    pub fn replace(&self, design: Design) {
        self.typed.set(Typed::default());
        self.change_design("replace", |present| *present = design);
        self.history.update(History::close_step);
    }

    /// Looks at the aircraft, and again whenever the design changes.
    pub fn with_aircraft<T>(&self, look: impl FnOnce(&Aircraft) -> T) -> T {
        self.design.with(|design| look(&design.aircraft))
    }

    /// Changes the design. Changes of the same `subject` one after another are
    /// taken back together.
    pub fn change_design(&self, subject: &str, change: impl FnOnce(&mut Design)) {
        let before = self.design.get_untracked();
        let mut after = before.clone();
        change(&mut after);
        if after == before {
            return;
        }
        self.history.update(|history| history.record(subject, before));
        self.put(after);
    }

    fn change(&self, subject: &str, change: impl FnOnce(&mut Aircraft)) {
        self.change_design(subject, |design| change(&mut design.aircraft));
    }

    fn put(&self, design: Design) {
        self.changed_at_ms.update_value(|time| *time = time.or_else(compute::now_ms));
        self.design.set(design);
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

    /// Adds or removes parts of the aircraft: what was typed no longer belongs
    /// to the same fields.
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

    fn step_through_history(&self, step: fn(&mut History, Design) -> Option<Design>) {
        let present = self.design.get_untracked();
        let other = self.history.try_update(|history| step(history, present)).flatten();
        if let Some(other) = other {
            self.typed.set(Typed::default());
            self.put(other);
        }
    }
}
