//! Work for beside the page: what to compute, and what comes of it. As text,
//! since that is how page and worker talk; the page can do it too.

use std::ops::Range;

use serde::{Deserialize, Serialize};
use sim_core::aircraft::SoundAircraft;
use sim_core::assess::uncertainty::{SampleResult, Uncertainty, UncertaintyPlan};
use sim_core::assess::{
    Performance, PowerStudy, Question, assess, bank_by_dihedral, performance, power_study,
    with_remedies,
};
use sim_core::handling::rudder_bank::DihedralChange;
use sim_core::throws::advice::Remedy;
use sim_core::throws::sensitivity::Duty;

use crate::state::file;
use crate::state::sweep::{Look, Point};

/// Samples of a whole run; a power of two spreads best.
pub const SAMPLES: usize = 256;
/// The same errors every time: the same aeroplane gives the same intervals.
const SEED: u32 = 1;

/// One piece of work.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Task {
    /// Speeds, climb, glide, flight time.
    Performance,
    /// Curves over speed and throttle.
    Power,
    /// What would end a conflict of throws.
    Remedies,
    /// Bank by rudder with more and with less dihedral.
    Dihedral,
    /// Some of the samples.
    Samples(Range<usize>),
    /// Puts the samples together.
    Summary(Vec<SampleResult>),
    /// One value of a sweep.
    Sweep(Look),
}

/// A task with the design it is for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Errand {
    /// Number of the run, given back with the answer.
    pub run: u32,
    /// The design as in a file.
    pub design: String,
    /// What to do.
    pub task: Task,
}

/// What comes of a task.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Answer {
    /// Of [`Task::Performance`].
    Performance(Performance),
    /// Of [`Task::Power`].
    Power(PowerStudy),
    /// Of [`Task::Remedies`]: the changes for each channel in conflict.
    Remedies(Vec<(Duty, Vec<Remedy>)>),
    /// Of [`Task::Dihedral`].
    Dihedral(Vec<DihedralChange>),
    /// Of [`Task::Samples`].
    Samples(Vec<SampleResult>),
    /// Of [`Task::Summary`].
    Summary(Uncertainty),
    /// Of [`Task::Sweep`].
    Sweep(Option<Point>),
    /// The design has no such answer.
    Nothing,
}

/// An answer with the number of its run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reply {
    /// As in the errand.
    pub run: u32,
    /// The answer.
    pub answer: Answer,
}

/// Does what a text asks, and answers with a text; empty where the text is no
/// errand, which only a worker of another version of the page could be sent.
pub fn carry_out_text(text: &str) -> String {
    let Ok(errand) = serde_json::from_str::<Errand>(text) else { return String::new() };
    let answer = carry_out(&errand.design, &errand.task);
    let reply = Reply { run: errand.run, answer };
    // Plain structures always become JSON.
    serde_json::to_string(&reply).unwrap_or_default()
}

/// Does a task for a design.
pub fn carry_out(design: &str, task: &Task) -> Answer {
    answer(design, task).unwrap_or(Answer::Nothing)
}

fn answer(design: &str, task: &Task) -> Option<Answer> {
    let design = file::read(design).ok()?;
    if let Task::Sweep(look) = task {
        return Some(Answer::Sweep(look.point(design)));
    }
    let aircraft: SoundAircraft = design.aircraft.check().ok()?;
    let question: Question = design.question;
    let plan = || UncertaintyPlan::new(&aircraft, &question, SAMPLES, SEED).ok();
    Some(match task {
        Task::Performance => Answer::Performance(performance(&aircraft, &question).ok()?),
        Task::Power => Answer::Power(power_study(&aircraft, &question).ok()?),
        Task::Remedies => {
            let throws = assess(&aircraft, &question).ok()?.throws;
            let remedies = with_remedies(&aircraft, &question, &throws)
                .into_iter()
                .filter_map(|advice| Some((advice.duty, advice.conflict?.remedies)));
            Answer::Remedies(remedies.collect())
        }
        Task::Dihedral => {
            let assessment = assess(&aircraft, &question).ok()?;
            Answer::Dihedral(bank_by_dihedral(&aircraft, &question, &assessment)?.dihedral)
        }
        Task::Samples(slice) => Answer::Samples(plan()?.run(slice.clone())),
        Task::Summary(results) => Answer::Summary(plan()?.summarise(results)),
        // Answered above: it has an aircraft of its own.
        Task::Sweep(_) => return None,
    })
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::{Design, examples};

    fn ask(design: &str, task: Task) -> Answer {
        let errand = Errand { run: 7, design: design.to_owned(), task };
        let text = carry_out_text(&serde_json::to_string(&errand).unwrap());
        let reply: Reply = serde_json::from_str(&text).unwrap();
        assert_eq!(reply.run, 7);
        reply.answer
    }

    /// However the samples are shared out and in whatever order they come back
    /// as text, the result is the same to the last bit.
    #[wasm_bindgen_test(unsupported = test)]
    fn the_number_of_workers_changes_nothing() {
        let design = file::write(&Design::from(examples::all().remove(0)));
        let samples = |slices: &[Range<usize>]| {
            let mut all = Vec::new();
            for slice in slices {
                let Answer::Samples(part) = ask(&design, Task::Samples(slice.clone())) else {
                    panic!("samples were asked for")
                };
                all.extend(part);
            }
            ask(&design, Task::Summary(all))
        };
        let alone = samples(&[0..6, 6..12]);
        let shared = samples(&[8..12, 0..3, 3..8]);
        assert!(matches!(alone, Answer::Summary(_)));
        assert_eq!(alone, shared);
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn what_is_no_errand_or_no_aeroplane_is_answered_with_nothing() {
        assert_eq!(carry_out_text("{}"), "");
        assert_eq!(ask("{}", Task::Performance), Answer::Nothing);
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn every_example_has_its_performance_and_curves() {
        for aircraft in examples::all() {
            let design = file::write(&Design::from(aircraft));
            assert!(matches!(ask(&design, Task::Performance), Answer::Performance(_)));
            assert!(matches!(ask(&design, Task::Power), Answer::Power(_)));
            assert!(matches!(ask(&design, Task::Remedies), Answer::Remedies(_)));
        }
    }
}
