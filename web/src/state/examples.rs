//! The aeroplanes that the page can start from.

use sim_core::aircraft::{Aircraft, EXAMPLES, read_aircraft};

/// The examples, in the order of the picker; the page opens on the first.
pub fn all() -> Vec<Aircraft> {
    // The core's own tests read each of them, so none is ever left out here.
    EXAMPLES.iter().filter_map(|example| read_aircraft(example.text).ok()).collect()
}
