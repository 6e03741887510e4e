//! Answers reach what is in sight within the frame of an edit, and the rest of
//! the page a little later, one pane after another, once the hand rests. What
//! is seen together so belongs to one design, and an edit costs what is seen.

use std::cell::RefCell;
use std::sync::Arc;

use leptos::prelude::*;

use super::compute::Outcome;
use super::late;

/// What a pane shows of the answers, by the steps that these take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Needs {
    /// Sizes, balance, steady flight and its small motions.
    Flight,
    /// The throws and linkages too.
    Throws,
    /// The answers to the sticks too.
    Motion,
    /// The same, a frame after all else.
    Picture,
}

/// The answers that a pane shows.
#[derive(Clone, Copy)]
pub struct Shown {
    /// Those that come at once.
    pub outcome: RwSignal<Arc<Outcome>>,
    /// Number of the design whose late results go with them.
    pub revision: RwSignal<u32>,
}

/// A part of the page with the answers that it shows.
struct Pane {
    number: u32,
    needs: Needs,
    shown: Shown,
    in_sight: bool,
}

thread_local! {
    static PANES: RefCell<Vec<Pane>> = const { RefCell::new(Vec::new()) };
    static NEXT: RefCell<u32> = const { RefCell::new(0) };
}

/// Adds a pane, taken to be in sight until [`set_in_sight`] says otherwise; its
/// number.
pub fn add(shown: Shown, needs: Needs) -> u32 {
    let number = NEXT.with_borrow_mut(|next| {
        *next += 1;
        *next
    });
    PANES.with_borrow_mut(|panes| panes.push(Pane { number, needs, shown, in_sight: true }));
    number
}

/// Removes a pane.
pub fn remove(number: u32) {
    PANES.with_borrow_mut(|panes| panes.retain(|pane| pane.number != number));
}

/// Notes whether a pane is in sight; one that comes into it catches up.
pub fn set_in_sight(number: u32, in_sight: bool, latest: &Arc<Outcome>) {
    let shown = PANES.with_borrow_mut(|panes| {
        let pane = panes.iter_mut().find(|pane| pane.number == number)?;
        pane.in_sight = in_sight;
        in_sight.then_some(pane.shown)
    });
    if let Some(shown) = shown {
        show(shown, latest);
    }
}

/// What the panes in sight need by the next frame.
pub fn most_needed() -> Needs {
    PANES.with_borrow(|panes| {
        let in_time = panes.iter().filter(|pane| pane.in_sight && pane.needs != Needs::Picture);
        in_time.map(|pane| pane.needs).max().unwrap_or(Needs::Flight)
    })
}

/// Shows the answers on all panes in sight but the pictures.
pub fn show_in_sight(latest: &Arc<Outcome>) {
    for shown in on_panes(|pane| pane.in_sight && pane.needs != Needs::Picture) {
        show(shown, latest);
    }
}

/// Shows all answers on what is in sight and does not show them yet.
pub fn show_pictures(latest: &Arc<Outcome>) {
    for shown in on_panes(|pane| pane.in_sight) {
        show(shown, latest);
    }
}

/// Shows the answers on one pane that shows earlier ones; whether there was any.
pub fn show_next(latest: &Arc<Outcome>) -> bool {
    on_panes(|_| true).into_iter().any(|shown| show(shown, latest))
}

fn on_panes(which: fn(&Pane) -> bool) -> Vec<Shown> {
    PANES.with_borrow(|panes| panes.iter().filter(|p| which(p)).map(|p| p.shown).collect())
}

/// Shows the answers, unless these or newer ones are there; whether they were not.
fn show(Shown { outcome, revision }: Shown, latest: &Arc<Outcome>) -> bool {
    let late = outcome.try_with_untracked(|shown| shown.number < latest.number) == Some(true);
    if late {
        outcome.try_set(Arc::clone(latest));
        let present = late::revision();
        if revision.try_get_untracked() != Some(present) {
            revision.try_set(present);
        }
    }
    late
}
