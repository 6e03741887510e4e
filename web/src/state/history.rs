//! Undo and redo by snapshots of the whole design, which is small.

use super::Design;

/// Designs before and after the present one.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct History {
    past: Vec<Design>,
    future: Vec<Design>,
    /// What the last step changed; more changes of it join that step.
    open_subject: Option<String>,
}

impl History {
    /// Remembers `before`, the design that a change of `subject` starts from.
    pub fn record(&mut self, subject: &str, before: Design) {
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
    pub fn undo(&mut self, present: Design) -> Option<Design> {
        self.close_step();
        let earlier = self.past.pop()?;
        self.future.push(present);
        Some(earlier)
    }

    /// The design after the step that was taken back last.
    pub fn redo(&mut self, present: Design) -> Option<Design> {
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

    fn named(name: &str) -> Design {
        let mut design = Design::from(examples::all().remove(0));
        design.aircraft.name = name.to_owned();
        design
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn keystrokes_in_one_field_are_one_step() {
        let mut history = History::default();
        history.record("span", named("a"));
        history.record("span", named("b"));
        history.record("chord", named("c"));
        assert_eq!(history.undo(named("d")).map(|d| d.aircraft.name).as_deref(), Some("c"));
        assert_eq!(history.undo(named("c")).map(|d| d.aircraft.name).as_deref(), Some("a"));
        assert_eq!(history.undo(named("a")), None);
        assert_eq!(history.redo(named("a")).map(|d| d.aircraft.name).as_deref(), Some("c"));
        assert_eq!(history.redo(named("c")).map(|d| d.aircraft.name).as_deref(), Some("d"));
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
