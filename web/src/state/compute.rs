//! When to compute, and the time it takes until the result is drawn.
//!
//! A change is computed at once, and drawn with the next frame wherever it is in
//! sight; throws and the answers to the sticks follow that frame unless they are.
//! Further changes before that frame wait for it, and of those only the newest is
//! computed. The rest of the page follows when the hand rests. Times are left on
//! the page for its tests: of the core alone, from the change until all that is
//! seen is drawn, and the same without the wait for the frame.

use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

use leptos::prelude::*;
use sim_core::aircraft::SoundAircraft;
use sim_core::assess::{AssessError, Assessment, Walk, begin};

use super::device::keeping;
use super::panes::Needs;
use super::{Design, Sheet, late, panes};

/// What was computed last.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Outcome {
    /// The last design without faults.
    pub sound: Option<SoundAircraft>,
    /// The last answer that there was.
    pub assessment: Option<Assessment>,
    /// Why the present design has no answer, though its measurements are sound.
    pub obstacle: Option<String>,
    /// Whether the answer is that of an earlier design.
    pub stale: bool,
    /// Tells these answers from all others, whether all of them are there or not.
    pub number: u32,
}

impl Outcome {
    /// Computes everything for one design; what has no answer keeps that of
    /// `earlier`.
    pub fn of(design: &Design, earlier: Option<&Self>) -> Self {
        let (begun, walk) = Self::begin(design, earlier);
        let Some(walk) = walk else { return begun };
        STEPS.into_iter().fold(begun, |begun, step| begun.after(step, &walk, earlier))
    }

    /// Computes what needs no throws, and gives the walk by which the rest is added,
    /// if there is anything to add.
    pub fn begin(design: &Design, earlier: Option<&Self>) -> (Self, Option<Walk>) {
        let Ok(sound) = design.aircraft.clone().check() else {
            let sound = earlier.and_then(|outcome| outcome.sound.clone());
            return (Self { sound, ..Self::without_answer(earlier) }, None);
        };
        match begin(&sound, &design.question) {
            Ok((assessment, walk)) => {
                let assessment = Some(assessment);
                let number = next_number();
                let begun =
                    Self { sound: Some(sound), assessment, obstacle: None, stale: false, number };
                (begun, Some(walk))
            }
            Err(error) => (Self::obstructed(Some(sound), earlier, &error), None),
        }
    }

    /// Adds what one step adds, unless one before found no answer.
    fn after(self, step: Step, walk: &Walk, earlier: Option<&Self>) -> Self {
        if self.stale {
            return self;
        }
        let Self { sound, assessment, number, .. } = self;
        match assessment.map(|begun| step(begun, walk)).transpose() {
            Ok(assessment) => Self { sound, assessment, obstacle: None, stale: false, number },
            Err(error) => Self::obstructed(sound, earlier, &error),
        }
    }

    fn obstructed(
        sound: Option<SoundAircraft>,
        earlier: Option<&Self>,
        error: &AssessError,
    ) -> Self {
        Self { sound, obstacle: Some(error.to_string()), ..Self::without_answer(earlier) }
    }

    fn without_answer(earlier: Option<&Self>) -> Self {
        let assessment = earlier.and_then(|outcome| outcome.assessment.clone());
        Self { sound: None, assessment, obstacle: None, stale: true, number: next_number() }
    }
}

/// Adds a part of the answers.
type Step = fn(Assessment, &Walk) -> Result<Assessment, AssessError>;

/// From the first part of the answers to all of them.
const STEPS: [Step; 2] = [Assessment::with_throws, Assessment::with_responses];

fn next_number() -> u32 {
    thread_local! {
        static LAST: Cell<u32> = const { Cell::new(0) };
    }
    LAST.set(LAST.get().wrapping_add(1));
    LAST.get()
}

/// Time since the page was opened, ms.
pub fn now_ms() -> Option<f64> {
    Some(window().performance()?.now())
}

/// Whether a frame is waited for, and whether there is something to compute then.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Turn {
    Free,
    Computed,
    Outdated,
}

/// Does something once the next frame has been drawn: the browser lays out and
/// paints before it turns to a timeout.
pub fn after_drawing(act: impl FnOnce() + 'static) {
    let act: Box<dyn FnOnce()> = Box::new(act);
    request_animation_frame(move || set_timeout(act, Duration::ZERO));
}

/// Computes anew after each change of the design, once per frame at most.
pub fn keep_computed(sheet: Sheet) {
    late::changed(sheet);
    let turn = StoredValue::new(Turn::Free);
    Effect::new(move |earlier: Option<()>| {
        sheet.design.track();
        // The page starts with its first design already computed.
        if earlier.is_none() {
            return;
        }
        match turn.get_value() {
            Turn::Free => take_turn(sheet, turn),
            Turn::Computed | Turn::Outdated => turn.set_value(Turn::Outdated),
        }
    });
}

/// Computes, and again with the next frame if there is a change by then.
fn take_turn(sheet: Sheet, turn: StoredValue<Turn>) {
    turn.set_value(Turn::Computed);
    untrack(|| compute_now(sheet));
    request_animation_frame(move || {
        let outdated = turn.get_value() == Turn::Outdated;
        turn.set_value(Turn::Free);
        if outdated {
            take_turn(sheet, turn);
        }
    });
}

/// Answers that lack something.
struct Begun {
    outcome: Outcome,
    walk: Walk,
    /// What is still to add.
    steps: &'static [Step],
}

thread_local! {
    static BEGUN: RefCell<Option<Begun>> = const { RefCell::new(None) };
}

fn compute_now(sheet: Sheet) {
    let start = now_ms();
    let earlier = sheet.outcome.get_untracked();
    let (outcome, walk) =
        sheet.design.with_untracked(|design| Outcome::begin(design, Some(&earlier)));
    let outcome = match walk {
        Some(walk) => {
            BEGUN.set(Some(Begun { outcome, walk, steps: &STEPS }));
            go_on(sheet, panes::most_needed())
        }
        None => {
            BEGUN.set(None);
            let outcome = Arc::new(outcome);
            sheet.outcome.set(Arc::clone(&outcome));
            outcome
        }
    };
    let computed = now_ms();
    if !outcome.stale {
        late::outdate(sheet);
    }
    panes::show_in_sight(&outcome);
    let changed_at = sheet.changed_at_ms.get_value();
    sheet.changed_at_ms.set_value(None);
    // Effects redraw in the microtasks that follow; a timeout runs after them.
    let idle_from = Rc::new(Cell::new(None));
    let note = Rc::clone(&idle_from);
    set_timeout(move || note.set(now_ms()), Duration::ZERO);
    let waited = Rc::new(Cell::new(0.0));
    let note = Rc::clone(&waited);
    request_animation_frame(move || {
        let idle = now_ms().zip(idle_from.get()).map(|(now, from)| now - from);
        note.set(idle.unwrap_or(0.0));
    });
    after_drawing(move || {
        if let (Some(start), Some(computed), Some(changed_at), Some(end)) =
            (start, computed, changed_at, now_ms())
        {
            leave_figure("computeMs", computed - start);
            leave_figure("workMs", end - changed_at - waited.get());
            leave_figure("drawnMs", end - changed_at);
        }
        let outcome = go_on(sheet, Needs::Motion);
        panes::show_pictures(&outcome);
        set_timeout(move || catch_up(sheet, outcome), REST);
    });
}

/// Adds what is lacking to what a pane needs; the answers as far as that.
fn go_on(sheet: Sheet, needs: Needs) -> Arc<Outcome> {
    let earlier = sheet.outcome.get_untracked();
    let Some(mut begun) = BEGUN.take() else { return earlier };
    let left = STEPS.len().saturating_sub(needs as usize);
    while let [step, later @ ..] = begun.steps
        && later.len() >= left
    {
        begun.outcome = begun.outcome.after(*step, &begun.walk, Some(&earlier));
        begun.steps = later;
    }
    if begun.steps.is_empty() {
        let outcome = Arc::new(begun.outcome);
        sheet.outcome.set(Arc::clone(&outcome));
        return outcome;
    }
    let outcome = Arc::new(begun.outcome.clone());
    BEGUN.set(Some(begun));
    outcome
}

/// Rest after a change until what is out of sight follows, and the design is
/// kept: while a slider moves, all time is for what is seen.
const REST: Duration = Duration::from_millis(80);

/// Does what an edit leaves for later, a piece for each turn of the browser;
/// gives up once there are newer answers, which come here too.
fn catch_up(sheet: Sheet, outcome: Arc<Outcome>) {
    let newest = sheet.outcome.with_untracked(|newest| Arc::ptr_eq(newest, &outcome));
    if !newest || BEGUN.with_borrow(Option::is_some) {
        return;
    }
    if panes::show_next(&outcome) {
        set_timeout(move || catch_up(sheet, outcome), Duration::ZERO);
        return;
    }
    keeping::keep(sheet);
    late::changed(sheet);
    count_update();
}

/// Notes on the page, for its tests, how many changes have reached all of it.
fn count_update() {
    let Some(body) = document().body() else { return };
    let data = body.dataset();
    let count = data.get("updates").and_then(|n| n.parse::<u32>().ok()).unwrap_or(0);
    let _ = data.set("updates", &(count + 1).to_string());
}

/// Leaves one figure on the page as a data attribute.
pub fn leave_figure(name: &str, value: f64) {
    let Some(body) = document().body() else { return };
    // Setting a data attribute fails only for names that are not one.
    let _ = body.dataset().set(name, &format!("{value:.2}"));
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::examples;

    /// The core runs in the browser as it does natively: this test does both.
    #[wasm_bindgen_test(unsupported = test)]
    fn every_example_is_answered() {
        for aircraft in examples::all() {
            let name = aircraft.name.clone();
            let outcome = Outcome::of(&Design::from(aircraft), None);
            assert_eq!(outcome.obstacle, None, "{name}");
            assert!(!outcome.stale, "{name}");
            let assessment = outcome.assessment.unwrap();
            assert!(assessment.stall.airspeed_m_s > 1.0, "{name}");
            assert!(!assessment.throws.is_empty(), "{name}");
            assert_eq!(assessment.throws.len(), assessment.responses.len(), "{name}");
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_fault_keeps_the_earlier_answer_and_says_that_it_is_old() {
        let mut design = Design::from(examples::all().remove(0));
        let sound = Outcome::of(&design, None);
        design.aircraft.surfaces[0].panels[0].root_chord_m = 0.0;
        let faulty = Outcome::of(&design, Some(&sound));
        assert!(faulty.stale);
        assert_eq!(faulty.assessment, sound.assessment);
        assert_eq!(faulty.sound, sound.sound);
    }
}
