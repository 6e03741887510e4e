//! What the form shows of the design, looked at again after each change.
//!
//! A memo for each value would be asked after every change, and all that rests
//! on it would be woken to find that nothing differs: some thousand times an
//! edit, for a form of some hundred fields. Here one effect looks at all values
//! and tells of those that differ.

use std::cell::RefCell;

use leptos::prelude::*;
use sim_core::aircraft::Aircraft;

use super::live::effect;
use super::{Sheet, units};

/// Looks at one value; whether anybody still shows it.
type Look = Box<dyn Fn() -> bool>;

thread_local! {
    static LOOKS: RefCell<Vec<Look>> = const { RefCell::new(Vec::new()) };
}

/// A value that is read again after each change of the design, of the texts as
/// typed, of the findings, of the marks of what is assumed and of the units,
/// until its present owner goes. What rests on it hears of it only where it
/// differs.
pub fn watched<T: PartialEq + Send + Sync + 'static>(
    read: impl Fn() -> T + 'static,
) -> RwSignal<T> {
    boxed_watched(Box::new(read))
}

/// Compiled once for every type of value.
#[inline(never)]
fn boxed_watched<T: PartialEq + Send + Sync + 'static>(read: Box<dyn Fn() -> T>) -> RwSignal<T> {
    let shown = RwSignal::new(untrack(&read));
    let look = move || {
        // What is read may have gone with its owner too.
        if shown.is_disposed() {
            return false;
        }
        let now = read();
        if shown.with_untracked(|shown| *shown != now) {
            shown.set(now);
        }
        true
    };
    LOOKS.with_borrow_mut(|looks| looks.push(Box::new(look)));
    shown
}

/// Looks at all values after each change; to be called once.
pub fn keep_watched(sheet: Sheet) {
    effect(move || {
        sheet.design.track();
        sheet.typed.track();
        sheet.findings.track();
        sheet.assumed.track();
        let _ = units::in_force();
        // Whoever hears of a difference acts later, so none is added meanwhile.
        untrack(|| LOOKS.with_borrow_mut(|looks| looks.retain(|look| look())));
    });
}

impl Sheet {
    /// Something of the aircraft, as [`watched`].
    pub fn watch<T: PartialEq + Send + Sync + 'static>(
        self,
        look: impl Fn(&Aircraft) -> T + 'static,
    ) -> RwSignal<T> {
        watched(move || self.with_aircraft_untracked(&look))
    }
}
