//! The baseline: a design set aside with its answer, so that every change is
//! seen against it.

use std::sync::Arc;

use leptos::prelude::*;
use sim_core::assess::Assessment;

use super::compute::Outcome;
use super::{Design, Sheet};

/// A design with its answer.
#[derive(Debug, PartialEq)]
pub struct Pinned {
    /// The design, always sound.
    pub design: Design,
    outcome: Arc<Outcome>,
}

impl Pinned {
    /// The answer to the design.
    pub fn assessment(&self) -> Option<&Assessment> {
        self.outcome.assessment.as_ref()
    }
}

impl Sheet {
    /// Pins what the answers stand for now; without effect where they are those
    /// of an earlier design.
    pub fn pin(&self) {
        let outcome = self.outcome.get_untracked();
        if outcome.stale {
            return;
        }
        let Some(sound) = outcome.sound.clone() else { return };
        let question = self.design.with_untracked(|design| design.question);
        let design = Design { aircraft: sound.into_inner(), question };
        self.pinned.set(Some(Arc::new(Pinned { design, outcome })));
    }

    /// Puts the pinned design back on the sheet; undo brings the present one.
    pub fn return_to_pinned(&self) {
        if let Some(pinned) = self.pinned.get_untracked() {
            self.replace(pinned.design.clone());
        }
    }
}
