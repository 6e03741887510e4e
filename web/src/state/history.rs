//! Undo and redo by snapshots of the whole design, which is small.

use super::Design;

/// A design with the aeroplane whose it is: opening another aeroplane is a step
/// like any other.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// The design.
    pub design: Design,
    /// Number of the aeroplane among those that this tab has opened.
    pub number: usize,
}

/// Designs before and after the present one.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct History {
    past: Vec<Moment>,
    future: Vec<Moment>,
    /// What the last step changed; more changes of it join that step.
    open_subject: Option<String>,
}

impl History {
    /// Remembers `before`, the design that a change of `subject` starts from.
    pub fn record(&mut self, subject: &str, before: Moment) {
        self.future.clear();
        if self.open_subject.as_deref() == Some(subject) {
            return;
        }
        self.open_subject = Some(subject.to_owned());
        self.past.push(before);
    }

    /// Ends the present step: the next change starts a new one.
    pub fn close_step(&mut self) {
        self.open_subject = None;
    }

    /// The design before the last step; `present` is kept for redo.
    pub fn undo(&mut self, present: Moment) -> Option<Moment> {
        self.close_step();
        let earlier = self.past.pop()?;
        self.future.push(present);
        Some(earlier)
    }

    /// The design after the step that was taken back last.
    pub fn redo(&mut self, present: Moment) -> Option<Moment> {
        self.close_step();
        let later = self.future.pop()?;
        self.past.push(present);
        Some(later)
    }

    /// Whether there is a step to take back.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// Whether there is a step to make again.
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::examples;

    fn named(name: &str) -> Moment {
        let mut design = Design::from(examples::all().remove(0));
        design.aircraft.name = name.to_owned();
        Moment { design, number: 0 }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn keystrokes_in_one_field_are_one_step() {
        let mut history = History::default();
        history.record("span", named("a"));
        history.record("span", named("b"));
        history.record("chord", named("c"));
        assert_eq!(history.undo(named("d")).map(|m| m.design.aircraft.name).as_deref(), Some("c"));
        assert_eq!(history.undo(named("c")).map(|m| m.design.aircraft.name).as_deref(), Some("a"));
        assert_eq!(history.undo(named("a")), None);
        assert_eq!(history.redo(named("a")).map(|m| m.design.aircraft.name).as_deref(), Some("c"));
        assert_eq!(history.redo(named("c")).map(|m| m.design.aircraft.name).as_deref(), Some("d"));
        assert!(!history.can_redo());
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_new_change_ends_what_could_be_made_again() {
        let mut history = History::default();
        history.record("span", named("a"));
        assert!(history.undo(named("b")).is_some());
        history.record("span", named("a"));
        assert!(history.can_undo() && !history.can_redo());
    }
}
