//! What the page knows: one design, the texts as typed, and what was computed
//! from them. Everything on the screen is derived from here.
//!
//! All signals are made once, with the page, and live as long as it does.

pub mod assumed;
pub mod compute;
mod deflate;
pub mod device;
pub mod examples;
pub mod fields;
pub mod file;
pub mod form;
pub mod history;
pub mod late;
pub mod layout;
pub mod live;
pub mod measure;
pub mod panes;
pub mod parts;
pub mod pin;
pub mod rigging;
pub mod sweep;
pub mod units;
pub mod watch;

use std::sync::Arc;

use leptos::prelude::*;
use sim_core::aircraft::{Aircraft, Finding};
use sim_core::assess::Question;

use assumed::Assumed;
use compute::Outcome;
use device::keeping::{self, Kept, Safety, Step};
use device::shelf::{self, Place};
use form::{ChoiceField, Field, NumberField, Typed};
use history::{History, Moment};
use late::Late;
use pin::Pinned;

use crate::state::live::memo;
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
    /// What the device keeps of the aeroplane on the sheet.
    pub kept: RwSignal<Option<Kept>>,
    /// Whether the present design is safe there.
    pub safety: RwSignal<Safety>,
    /// The design as it came, while it is not to be kept: an example.
    pub untouched: StoredValue<Option<Design>>,
    /// Number of the aeroplane on the sheet among those that were opened.
    number: StoredValue<usize>,
    /// Where each of those stands on the device, if it does.
    opened: StoredValue<Vec<Option<Place>>>,
    /// Which values nobody has measured yet.
    pub assumed: RwSignal<Assumed>,
    /// The field that is being filled in, by its path.
    pub touched: RwSignal<Option<String>>,
    /// The baseline that changes are seen against.
    pub pinned: RwSignal<Option<Arc<Pinned>>>,
    /// What the page has to tell.
    pub notice: RwSignal<Option<String>>,
    /// When the first change that is not yet drawn was made, ms.
    pub changed_at_ms: StoredValue<Option<f64>>,
}

impl Sheet {
    /// The signals of a page that opens on `design`.
    pub fn new(design: Design) -> Self {
        let outcome = RwSignal::new(Arc::new(Outcome::of(&design, None)));
        let untouched = StoredValue::new(Some(design.clone()));
        let design = RwSignal::new(design);
        Self {
            design,
            typed: RwSignal::new(Typed::default()),
            history: RwSignal::new(History::default()),
            findings: memo(move || {
                let mut findings =
                    design.with(|d| d.aircraft.clone().check().err().unwrap_or_default());
                for finding in &mut findings {
                    finding.field = form::path_in_the_form(&finding.field);
                }
                Arc::new(findings)
            }),
            outcome,
            late: Late::new(),
            kept: RwSignal::new(None),
            safety: RwSignal::new(Safety::Untouched),
            untouched,
            number: StoredValue::new(0),
            opened: StoredValue::new(vec![None]),
            assumed: RwSignal::new(Assumed::default()),
            touched: RwSignal::new(None),
            pinned: RwSignal::new(None),
            notice: RwSignal::new(None),
            changed_at_ms: StoredValue::new(None),
        }
    }

    /// Opens the design of the page's link, else what this tab had open, else
    /// what was open last on this device, else the first example. What could
    /// not be read is told.
    pub fn open() -> Option<Self> {
        // Noting which aeroplane is on the sheet takes the link out of the address.
        let fragment = keeping::fragment();
        let mut faults = Vec::new();
        let mut found = None;
        for place in [keeping::place_in_history(), shelf::last()].into_iter().flatten() {
            found = found.or_else(|| match shelf::take(&place)? {
                Ok(_) => Kept::at(&place),
                Err(error) => {
                    faults.push(text::kept_not_read(&error));
                    None
                }
            });
        }
        let earlier = match shelf::take_only_design() {
            Some(Ok((place, _))) => Kept::at(&place),
            Some(Err(error)) => {
                faults.push(text::kept_not_read(&error));
                None
            }
            None => None,
        };
        let found = found.or(earlier).or_else(|| Kept::at(&shelf::all().into_iter().next()?.place));
        let first = || examples::all().into_iter().next().map(Design::from);
        let sheet = Self::new(found.as_ref().map(|k| k.design.clone()).or_else(first)?);
        if let Some(found) = found {
            sheet.stand_at(Some(found), Step::Here);
        }
        if !faults.is_empty() {
            sheet.tell(&faults.join(" "));
        }
        keeping::take_link(sheet, fragment);
        Some(sheet)
    }

    /// Opens a design that came by a link or a file: as an aeroplane of its
    /// own, unless it is kept already.
    pub fn bring_in(&self, design: Design) {
        let kept = shelf::all().into_iter().filter_map(|entry| Kept::at(&entry.place));
        match kept.into_iter().find(|kept| kept.design == design) {
            Some(kept) => self.open_place(&kept.place, Step::Here),
            None => {
                self.replace(design);
                self.untouched.set_value(None);
                keeping::keep(*self);
            }
        }
    }

    /// Opens the aeroplane at a place of the shelf.
    pub fn open_place(&self, place: &Place, step: Step) {
        match shelf::take(place) {
            Some(Ok(design)) => {
                self.turn_to(self.number_of(place), design);
                self.stand_at(Kept::at(place), step);
            }
            Some(Err(error)) => self.tell(&text::kept_not_read(&error)),
            None => {}
        }
    }

    /// The number of the aeroplane at a place; a new one where it has none.
    fn number_of(&self, place: &Place) -> usize {
        let known =
            self.opened.with_value(|all| all.iter().position(|p| p.as_ref() == Some(place)));
        known.unwrap_or_else(|| self.opened.with_value(Vec::len))
    }

    /// Notes what the device keeps of the aeroplane on the sheet.
    fn stand_at(&self, kept: Option<Kept>, step: Step) {
        let place = kept.as_ref().map(|k| k.place.clone());
        keeping::show_in_history(place.as_ref(), step);
        if let Some(place) = &place {
            shelf::remember(place);
        }
        self.safety.set(if kept.is_some() { Safety::Kept } else { Safety::Untouched });
        self.assumed.set(place.as_ref().map(Assumed::recall).unwrap_or_default());
        self.note_place(place);
        // What was never kept was never changed.
        self.untouched.set_value(kept.is_none().then(|| self.design.get_untracked()));
        self.kept.set(kept);
    }

    /// Notes where the aeroplane on the sheet stands on the device.
    pub fn note_place(&self, place: Option<Place>) {
        let number = self.number.get_value();
        self.opened.update_value(|all| {
            all.resize(all.len().max(number + 1), None);
            all[number] = place;
        });
    }

    /// Puts another aeroplane on the sheet, which can be taken back.
    fn turn_to(&self, number: usize, design: Design) {
        self.typed.set(Typed::default());
        let before = self.moment();
        self.history.update(|history| {
            history.close_step();
            history.record("aeroplane", before);
            history.close_step();
        });
        self.number.set_value(number);
        self.put(design);
    }

    fn moment(&self) -> Moment {
        Moment { design: self.design.get_untracked(), number: self.number.get_value() }
    }

    /// Takes over what another tab has made of the aeroplane on the sheet.
    pub fn follow(&self, design: Design) {
        self.typed.set(Typed::default());
        self.change_design("another tab", |present| *present = design);
    }

    /// Tells the builder something.
    pub fn tell(&self, notice: &str) {
        self.notice.set(Some(notice.to_owned()));
    }

    /// Puts another aeroplane on the sheet; the one before stays on the device
    /// as it is.
    pub fn replace(&self, design: Design) {
        keeping::keep(*self);
        self.turn_to(self.opened.with_value(Vec::len), design);
        self.stand_at(None, Step::Onward);
    }

    /// Puts the next aeroplane on the sheet after its own was removed.
    pub fn leave_removed(&self) {
        let next = shelf::all().into_iter().next();
        if let Some(entry) = next {
            self.open_place(&entry.place, Step::Here);
        } else if let Some(first) = examples::all().into_iter().next() {
            self.turn_to(self.opened.with_value(Vec::len), Design::from(first));
            self.stand_at(None, Step::Here);
        }
    }

    /// Looks at the aircraft, and again whenever the design changes.
    pub fn with_aircraft<T>(&self, look: impl FnOnce(&Aircraft) -> T) -> T {
        self.design.with(|design| look(&design.aircraft))
    }

    /// Looks at the aircraft as it is now, once.
    pub fn with_aircraft_untracked<T>(&self, look: impl FnOnce(&Aircraft) -> T) -> T {
        self.design.with_untracked(|design| look(&design.aircraft))
    }

    /// Changes the design. Changes of the same `subject` one after another are
    /// taken back together.
    pub fn change_design(&self, subject: &str, change: impl FnOnce(&mut Design)) {
        let before = self.design.get_untracked();
        let mut after = before.clone();
        change(&mut after);
        self.exchange(subject, before, after);
    }

    fn exchange(&self, subject: &str, before: Design, after: Design) {
        if after == before {
            return;
        }
        let before = Moment { design: before, number: self.number.get_value() };
        self.history.update(|history| history.record(subject, before));
        self.put(after);
    }

    /// Changes the aircraft, as [`Self::change_design`] does the design.
    pub fn change(&self, subject: &str, change: impl FnOnce(&mut Aircraft)) {
        self.change_design(subject, |design| change(&mut design.aircraft));
    }

    fn put(&self, design: Design) {
        self.changed_at_ms.update_value(|time| *time = time.or_else(compute::now_ms));
        self.design.set(design);
    }

    /// Takes a text typed into a number field.
    pub fn type_number(&self, field: &NumberField, text: String) {
        self.measured(&field.field.path);
        self.change(&field.field.path, |aircraft| field.take(&text, aircraft));
        self.typed.update(|typed| typed.keep(&field.field.path, text));
    }

    /// Sets a number by other means than typing, in the file's unit.
    pub fn set_number(&self, field: &NumberField, value: f64) {
        self.measured(&field.field.path);
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

    fn step_through_history(&self, step: fn(&mut History, Moment) -> Option<Moment>) {
        let present = self.moment();
        let Some(other) = self.history.try_update(|h| step(h, present)).flatten() else { return };
        self.typed.set(Typed::default());
        if other.number == self.number.get_value() {
            self.put(other.design);
            return;
        }
        keeping::keep(*self);
        self.number.set_value(other.number);
        let place = self.opened.with_value(|all| all.get(other.number).cloned().flatten());
        // As it stands there now: another tab may have gone on with it.
        let kept = place.as_ref().and_then(Kept::at);
        self.put(kept.as_ref().map_or(other.design, |kept| kept.design.clone()));
        self.stand_at(kept, Step::Here);
    }
}
