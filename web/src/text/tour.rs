//! The first look round: what stands where, in five steps.

/// Offered at the first visit.
pub const INVITATION: &str = "New here? A look round takes a minute.";
/// Starts it.
pub const SHOW_ME: &str = "Show me round";
/// Declines it.
pub const NO_THANKS: &str = "No, thanks";
/// Goes on.
pub const NEXT: &str = "Next";
/// Goes back.
pub const BEFORE: &str = "Back";
/// Ends it.
pub const DONE: &str = "Done";
/// Leaves it.
pub const LEAVE: &str = "Leave";

/// Heads and texts of the steps.
pub const STEPS: [(&str, &str); 5] = [
    (
        "Start from one like yours",
        "Choose the example that looks most like yours. What you have already kept stays where it is.",
    ),
    (
        "Measure",
        "Type over what a ruler and a kitchen scale tell you. Nothing is refused; each change is kept, and Undo takes it back.",
    ),
    (
        "Look where it balances",
        "The first answer, and the most important one: the balance point has to lie inside the window.",
    ),
    (
        "Set the throws",
        "Say who flies: how far each surface should move follows from it, in degrees and by the ruler. Terms with a dotted line explain themselves.",
    ),
    (
        "Fly it here first",
        "The same numbers in the air: take a lesson, stall it high up, try the rudder. It costs no foam.",
    ),
];

/// Which step it is.
pub fn count(step: usize) -> String {
    format!("{} of {}", step + 1, STEPS.len())
}
