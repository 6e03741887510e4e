//! Whole flights of the example aeroplanes.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod circuits;

use sim_core::aircraft::{EXAMPLES, SoundAircraft, read_aircraft};
use sim_core::assess::{Assessment, Question, assess};

/// An example with its assessment.
pub struct Ready {
    /// Short key.
    pub key: &'static str,
    /// The aircraft.
    pub aircraft: SoundAircraft,
    /// Its assessment.
    pub assessment: Assessment,
}

/// All examples, assessed.
pub fn examples() -> Vec<Ready> {
    EXAMPLES
        .iter()
        .map(|example| {
            let aircraft = read_aircraft(example.text).unwrap().check().unwrap();
            let assessment = assess(&aircraft, &Question::default()).unwrap();
            Ready { key: example.key, aircraft, assessment }
        })
        .collect()
}
