//! Keeps the aeroplane on the sheet: after every change, and when the page goes
//! out of sight. Never over what another tab has kept meanwhile.
//!
//! Each tab remembers in its own history where its aeroplane stands, so that
//! reloading opens the same one, and Back the one before.

use leptos::ev;
use leptos::prelude::*;
use wasm_bindgen::JsValue;

use super::shelf::{self, Place};
use super::{Refusal, read, write};
use crate::state::{Design, Sheet, file};
use crate::text::{self, shelf as words};

/// What is known to stand on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Where.
    pub place: Place,
    /// The text there, as this tab wrote or read it last.
    pub text: String,
    /// The design that it stands for.
    pub design: Design,
}

impl Kept {
    /// What stands at a place, where it can be read.
    pub fn at(place: &Place) -> Option<Self> {
        let text = read(&place.key())?;
        let design = file::read(&text).ok()?;
        Some(Self { place: place.clone(), text, design })
    }
}

/// Whether the design on the sheet is safe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Safety {
    /// An example as it comes: nothing to keep yet.
    Untouched,
    /// It stands on the shelf.
    Kept,
    /// The device refused it.
    Refused(Refusal),
}

/// Keeps the present design, unless it is kept already.
pub fn keep(sheet: Sheet) {
    let design = sheet.design.get_untracked();
    let kept = sheet.kept.get_untracked();
    match &kept {
        Some(kept) if kept.design == design => return,
        None if sheet.untouched.with_value(|u| u.as_ref() == Some(&design)) => return,
        _ => {}
    }
    let text = file::write(&design);
    let before = kept.as_ref().map(|kept| kept.place.clone());
    let place = match kept {
        None => Place::fresh(),
        Some(kept) => match read(&kept.place.key()) {
            // Another tab has written here since: both are kept.
            Some(there) if there != kept.text && there != text => {
                sheet.kept.set(None);
                sheet.tell(words::CAME_BETWEEN);
                let name = shelf::copy_name(&design.aircraft.name);
                sheet.change_design("copy", |design| design.aircraft.name = name);
                return;
            }
            _ => kept.place,
        },
    };
    match write(&place.key(), &text) {
        Ok(()) => {
            // Noted when it was put on the sheet, unless it has just got its place.
            if before.as_ref() != Some(&place) {
                show_in_history(Some(&place), Step::Here);
                sheet.note_place(Some(place.clone()));
                sheet.keep_assumed(&place);
            }
            shelf::remember(&place);
            sheet.kept.set(Some(Kept { place, text, design }));
            set_safety(sheet, Safety::Kept);
        }
        Err(refusal) => set_safety(sheet, Safety::Refused(refusal)),
    }
}

fn set_safety(sheet: Sheet, safety: Safety) {
    if sheet.safety.get_untracked() != safety {
        sheet.safety.set(safety);
    }
}

/// Whether the history goes on or its present entry is written anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// A new entry, which Back leaves.
    Onward,
    /// The present entry.
    Here,
}

/// Notes in this tab's history which place is on the sheet.
pub fn show_in_history(place: Option<&Place>, step: Step) {
    let Ok(history) = window().history() else { return };
    let state = place.map_or(JsValue::NULL, |place| JsValue::from_str(place.name()));
    // A link's design now stands on the shelf, so the address need not carry it;
    // or reloading would put it over what was changed since.
    let location = window().location();
    let address = location.pathname().unwrap_or_default() + &location.search().unwrap_or_default();
    // Browsers refuse more than some hundred entries in half a minute; then Back
    // goes further than it should.
    let _ = match step {
        Step::Onward => history.push_state_with_url(&state, "", Some(&address)),
        Step::Here => history.replace_state_with_url(&state, "", Some(&address)),
    };
}

/// The place that this tab's present history entry notes.
pub fn place_in_history() -> Option<Place> {
    Place::of_name(&window().history().ok()?.state().ok()?.as_string()?)
}

/// Listens to other tabs, to Back and Forward, to links opened in this tab and
/// to the page going out of sight.
pub fn watch(sheet: Sheet) {
    let _ = window_event_listener(ev::storage, move |event| {
        let ours = sheet.kept.with_untracked(|k| k.as_ref().map(|k| k.place.key()));
        // Without a key all was cleared.
        if ours.is_some() && (event.key().is_none() || event.key() == ours) {
            follow_other_tab(sheet);
        }
    });
    let _ = window_event_listener(ev::popstate, move |_| {
        let noted = place_in_history();
        let ours = sheet.kept.with_untracked(|k| k.as_ref().map(|k| k.place.clone()));
        if let Some(noted) = noted
            && Some(&noted) != ours.as_ref()
        {
            keep(sheet);
            sheet.open_place(&noted, Step::Here);
        }
    });
    let _ = window_event_listener(ev::hashchange, move |_| take_link(sheet, fragment()));
    let _ = window_event_listener(ev::pagehide, move |_| keep(sheet));
    // The last event that phones send reliably.
    let _ = window_event_listener(ev::visibilitychange, move |_| keep(sheet));
}

/// What the page's address carries behind its `#`.
pub fn fragment() -> String {
    window().location().hash().unwrap_or_default()
}

/// Brings in the design of a link's fragment, if it carries one.
pub fn take_link(sheet: Sheet, fragment: String) {
    leptos::task::spawn_local(async move {
        match file::from_fragment(&fragment).await {
            Some(Ok(design)) => sheet.bring_in(design),
            Some(Err(error)) => sheet.tell(&text::link_not_read(&error)),
            None => {}
        }
    });
}

/// Another tab has changed what this one has on its sheet.
fn follow_other_tab(sheet: Sheet) {
    let Some(kept) = sheet.kept.get_untracked() else { return };
    // A change of this tab that is not kept yet comes first; keeping it finds
    // the other's.
    if sheet.design.with_untracked(|design| *design != kept.design) {
        return;
    }
    match Kept::at(&kept.place) {
        Some(now) if now.text == kept.text => {}
        Some(now) => {
            let design = now.design.clone();
            sheet.kept.set(Some(now));
            sheet.follow(design);
            sheet.tell(words::CHANGED_ELSEWHERE);
        }
        // The next change keeps it again.
        None => sheet.tell(words::REMOVED_ELSEWHERE),
    }
}
