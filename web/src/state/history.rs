//! Undo and redo by snapshots of the whole design, which is small.

use sim_core::aircraft::Aircraft;

/// Designs before and after the present one.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct History {
    past: Vec<Aircraft>,
    future: Vec<Aircraft>,
    /// What the last step changed; more changes of it join that step.
    open_subject: Option<String>,
}

impl History {
    /// Remembers `before`, the design that a change of `subject` starts from.
    pub fn record(&mut self, subject: &str, before: Aircraft) {
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
    pub fn undo(&mut self, present: Aircraft) -> Option<Aircraft> {
        self.close_step();
        let earlier = self.past.pop()?;
        self.future.push(present);
        Some(earlier)
    }

    /// The design after the step that was taken back last.
    pub fn redo(&mut self, present: Aircraft) -> Option<Aircraft> {
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
