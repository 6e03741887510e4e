//! Example aircraft of our own invention, to start from and to test on.

/// An example: a short key and the text of its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Example {
    /// Key for links and tests.
    pub key: &'static str,
    /// The file.
    pub text: &'static str,
}

/// All examples, the one that a newcomer meets first at the front.
pub const EXAMPLES: &[Example] = &[
    Example { key: "trainer", text: include_str!("../../aircraft/trainer.json") },
    Example { key: "pylon_pusher", text: include_str!("../../aircraft/pylon_pusher.json") },
    Example { key: "sport", text: include_str!("../../aircraft/sport.json") },
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::read_aircraft;

    #[test]
    fn every_example_is_sound() {
        for example in EXAMPLES {
            let aircraft = read_aircraft(example.text).unwrap();
            assert_eq!(aircraft.check().err(), None, "{}", example.key);
        }
    }
}
