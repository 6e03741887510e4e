//! The natural motions of an aircraft, named by their shapes.

use serde::Serialize;

/// Which natural motion a root belongs to.
///
/// Oscillations may split into two real roots or join with others; such
/// roots are named for what they are, not forced into the five classic modes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ModeKind {
    /// Pitching at nearly constant speed, as an oscillation.
    ShortPeriod,
    /// One of two real roots into which the short period has split.
    ShortPeriodRoot,
    /// Slow exchange of speed and height, as an oscillation.
    Phugoid,
    /// One of two real roots into which the phugoid has split.
    PhugoidRoot,
    /// An oscillation joined from one root each of short period and phugoid.
    PitchPhugoidOscillation,
    /// Decay of the roll rate.
    Roll,
    /// Slow bank and turn.
    Spiral,
    /// Yawing, sideslip and rolling as an oscillation.
    DutchRoll,
    /// One of two real roots into which the Dutch roll has split.
    DutchRollRoot,
    /// An oscillation joined from the roll and the spiral root.
    RollSpiralOscillation,
}

/// One state of a mode's shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Motion {
    /// Change of airspeed over airspeed.
    Speed,
    /// Angle of attack, rad.
    AngleOfAttack,
    /// Pitch rate over the size of the root, rad.
    PitchRate,
    /// Pitch attitude, rad.
    Pitch,
    /// Sideslip, rad.
    Sideslip,
    /// Roll rate over the size of the root, rad.
    RollRate,
    /// Yaw rate over the size of the root, rad.
    YawRate,
    /// Bank, rad.
    Bank,
}

/// How far and how early one state moves in a mode.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ModePart {
    /// The state.
    pub motion: Motion,
    /// Amplitude relative to the largest part's.
    pub magnitude: f64,
    /// Phase ahead of the largest part, rad, -pi to pi.
    pub phase_rad: f64,
    /// Share of the state in the mode, 0 to 1, independent of units.
    pub participation: f64,
}

/// One natural motion.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Mode {
    /// Which motion it is.
    pub kind: ModeKind,
    /// Real part of the root, 1/s; positive grows.
    pub real_1_s: f64,
    /// Imaginary part of the root, rad/s; zero or positive.
    pub imaginary_rad_s: f64,
    /// Size of the root, rad/s.
    pub natural_frequency_rad_s: f64,
    /// Damping ratio, -1 to 1; of a real root +1 or -1.
    pub damping_ratio: f64,
    /// Time of one swing, s; `None` of a real root.
    pub period_s: Option<f64>,
    /// Time until the amplitude has halved or doubled, s; `None` of a root
    /// that does neither.
    pub time_to_half_or_double_s: Option<f64>,
    /// Shape: the four states of its half of the motion, stability axes.
    pub parts: [ModePart; 4],
}

impl Mode {
    /// Whether the motion grows.
    pub fn is_growing(&self) -> bool {
        self.real_1_s > 0.0
    }
}
