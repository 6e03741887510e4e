//! The builder's questions, which head the answers.

/// Balance point, neutral point and window.
pub const BALANCE: &str = "Where does it balance?";
/// Rudder step.
pub const RUDDER: &str = "How does it answer the rudder?";
/// Cautions.
pub const BEFORE_FLIGHT: &str = "Before it flies";
/// Throws.
pub const THROWS: &str = "What throws do I set?";
/// Trim and modes.
pub const STEADY: &str = "Does it hold itself level?";
/// Uncertainty.
pub const SURENESS: &str = "How sure is this?";
/// Power train.
pub const POWER: &str = "What does the motor give?";
/// Elevator step.
pub const ELEVATOR: &str = "How does it answer the elevator?";
/// Aileron step.
pub const AILERON: &str = "How does it answer the ailerons?";
