//! The aeroplanes that the page can start from.

use sim_core::aircraft::{Aircraft, read_aircraft};

/// Files of the examples; the page opens on the first.
const FILES: [&str; 1] = [include_str!("../../tests/data/trainer.json")];

/// The examples, in the order of the picker.
pub fn all() -> Vec<Aircraft> {
    // A test reads each of them, so none is ever left out here.
    FILES.iter().filter_map(|text| read_aircraft(text).ok()).collect()
}
