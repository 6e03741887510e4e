//! Assesses each example aircraft once: something to count instructions of.

use std::hint::black_box;
use std::process::ExitCode;

use sim_core::aircraft::{EXAMPLES, read_aircraft};
use sim_core::assess::{Question, assess};

fn main() -> ExitCode {
    for example in EXAMPLES {
        let Some(aircraft) = read_aircraft(example.text).ok().and_then(|read| read.check().ok())
        else {
            return ExitCode::FAILURE;
        };
        if black_box(assess(&aircraft, &Question::default())).is_err() {
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}
