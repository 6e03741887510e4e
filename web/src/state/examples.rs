//! The aeroplanes that the page can start from.

use std::sync::LazyLock;

use sim_core::aircraft::{Aircraft, EXAMPLES, read_aircraft};

/// Read once: whether the present aeroplane is one of them is asked at each edit.
static ALL: LazyLock<Vec<Aircraft>> = LazyLock::new(|| {
    // The core's own tests read each of them, so none is ever left out here.
    EXAMPLES.iter().filter_map(|example| read_aircraft(example.text).ok()).collect()
});

/// The examples, in the order of the picker; the page opens on the first.
pub fn all() -> Vec<Aircraft> {
    ALL.clone()
}

/// Whether an aeroplane is an example as it stands.
pub fn holds(aircraft: &Aircraft) -> bool {
    ALL.iter().any(|example| example == aircraft)
}
