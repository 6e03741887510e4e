//! Answers reach what is in sight within the frame of an edit, and the rest of
//! the page a little later, one pane after another, once the hand rests. What
//! is seen together so belongs to one design, and an edit costs what is seen.

use std::cell::RefCell;
use std::sync::Arc;

use leptos::prelude::*;

use super::compute::Outcome;

/// A part of the page with the answers that it shows.
struct Pane {
    number: u32,
    outcome: RwSignal<Arc<Outcome>>,
    in_sight: bool,
}

thread_local! {
    static PANES: RefCell<Vec<Pane>> = const { RefCell::new(Vec::new()) };
    static NEXT: RefCell<u32> = const { RefCell::new(0) };
}

/// Adds a pane, taken to be in sight until [`set_in_sight`] says otherwise; its
/// number.
pub fn add(outcome: RwSignal<Arc<Outcome>>) -> u32 {
    let number = NEXT.with_borrow_mut(|next| {
        *next += 1;
        *next
    });
    PANES.with_borrow_mut(|panes| panes.push(Pane { number, outcome, in_sight: true }));
    number
}

/// Removes a pane.
pub fn remove(number: u32) {
    PANES.with_borrow_mut(|panes| panes.retain(|pane| pane.number != number));
}

/// Notes whether a pane is in sight; one that comes into it catches up.
pub fn set_in_sight(number: u32, in_sight: bool, latest: &Arc<Outcome>) {
    let outcome = PANES.with_borrow_mut(|panes| {
        let pane = panes.iter_mut().find(|pane| pane.number == number)?;
        pane.in_sight = in_sight;
        in_sight.then_some(pane.outcome)
    });
    if let Some(outcome) = outcome {
        show(outcome, latest);
    }
}

/// Shows the answers on all panes in sight.
pub fn show_in_sight(latest: &Arc<Outcome>) {
    for outcome in outcomes(|pane| pane.in_sight) {
        show(outcome, latest);
    }
}

/// Shows the answers on one pane that shows earlier ones; whether there was any.
pub fn show_next(latest: &Arc<Outcome>) -> bool {
    outcomes(|_| true).into_iter().any(|outcome| show(outcome, latest))
}

fn outcomes(which: fn(&Pane) -> bool) -> Vec<RwSignal<Arc<Outcome>>> {
    PANES.with_borrow(|panes| panes.iter().filter(|p| which(p)).map(|p| p.outcome).collect())
}

/// Shows the answers, unless they are there already; whether they were not.
fn show(outcome: RwSignal<Arc<Outcome>>, latest: &Arc<Outcome>) -> bool {
    let shown = outcome.try_with_untracked(|shown| Arc::ptr_eq(shown, latest));
    let late = shown == Some(false);
    if late {
        outcome.try_set(Arc::clone(latest));
    }
    late
}
