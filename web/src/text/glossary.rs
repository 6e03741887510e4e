//! Terms of the trade, each in a sentence or two for someone who has never met
//! it.

use super::word;

/// A term with what it means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Term {
    /// As it stands on the page.
    pub name: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

/// Where it would hang level.
pub const BALANCE_POINT: Term = Term {
    name: word::BALANCE_POINT,
    meaning: "Where the finished model, with its pack in, hangs level on two fingertips. Slide the pack to move it.",
};
/// Where the balance point may be.
pub const WINDOW: Term = Term {
    name: word::WINDOW,
    meaning: "Where the balance point may lie. Ahead of it the elevator runs out of power; behind it the model is too nervous to fly.",
};
/// How far it is ahead of the neutral point.
pub const STATIC_MARGIN: Term = Term {
    name: word::STATIC_MARGIN,
    meaning: "How far the balance point lies ahead of the neutral point, in parts of the wing's mean chord: the static margin. More of it makes the model calmer in pitch and slower to answer.",
};
/// Where steadiness ends.
pub const NEUTRAL_POINT: Term = Term {
    name: word::NEUTRAL_POINT,
    meaning: "Balanced here, the model would neither right itself after a gust nor tip further. The balance point must lie ahead of it.",
};
/// The stall.
pub const STALL_SPEED: Term = Term {
    name: word::STALL_SPEED,
    meaning: "Below this speed the air no longer follows the wing: it stalls, and drops the nose or a wing.",
};
/// The larger throw.
pub const HIGH_RATE: Term = Term {
    name: word::HIGH_RATE,
    meaning: "The throw with the radio's rate switch up: all that the model can use, for landing slowly and for getting out of trouble.",
};
/// The smaller throw.
pub const LOW_RATE: Term = Term {
    name: word::LOW_RATE,
    meaning: "The throw with the radio's rate switch down: gentle, for ordinary and for first flights.",
};
/// Their ratio.
pub const DUAL_RATE: Term = Term {
    name: word::DUAL_RATE,
    meaning: "The low rate in parts of the high rate. Radios call it dual rate and ask for it in per cent.",
};
/// The curve of the stick.
pub const EXPO: Term = Term {
    name: word::EXPO,
    meaning: "Bends the stick's line: less movement around the middle, the full throw still at the end. Zero is a straight line. Some radios want it with a minus.",
};

/// The term of a name that stands on the page, if it is explained.
pub fn of(name: &str) -> Option<Term> {
    const ALL: [Term; 5] = [BALANCE_POINT, WINDOW, STATIC_MARGIN, NEUTRAL_POINT, STALL_SPEED];
    ALL.into_iter().find(|term| term.name == name)
}
