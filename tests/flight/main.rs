//! Whole flights of the example aeroplanes.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod analysis;
mod circuits;
mod ground;
mod lessons;
mod trims;
mod wild;

use sim_core::aircraft::{EXAMPLES, SoundAircraft, read_aircraft};
use sim_core::assess::{Assessment, Question, assess};
use sim_core::flight::{Session, SessionOptions, Start};

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

impl Ready {
    /// A flight of this example.
    pub fn session(&self, options: SessionOptions) -> Session {
        Session::new(&self.aircraft, &Question::default(), &self.assessment, options).unwrap()
    }
}

/// In trim, a hundred metres up, still air, a pack that stays as it is.
pub fn in_the_air() -> SessionOptions {
    let start = Start::InTheAir { north_m: 0.0, east_m: 0.0, height_m: 100.0, heading_rad: 0.0 };
    SessionOptions { start, pack_empties: false, ..SessionOptions::default() }
}
