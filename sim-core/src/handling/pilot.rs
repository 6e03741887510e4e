//! Who flies, and through what eyes: delays, margins and habits of the pilot.
//!
//! The human side of the loop comes from measured pilots (McRuer, Graham,
//! Krendel and Reisener, AFFDL-TR-65-15, 1965, from memory): an effective
//! delay of 0.2 to 0.4 s between seeing an error and the stick answering. How
//! far a hobby pilot moves the stick for an error seen is our estimate; it
//! ties loop gain to throw, and its spread is stated.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How practised the pilot is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Skill {
    /// First flights.
    Beginner,
    /// Flies alone, lands where intended.
    #[default]
    Practised,
    /// Flies quick models without thinking about the sticks.
    Expert,
}

/// How the aircraft is seen.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum View {
    /// By eye, from the ground.
    #[default]
    DirectSight,
    /// Through a camera on board.
    Camera {
        /// Delay from lens to eye, s; 0.02 to 0.05 is usual.
        delay_s: f64,
    },
}

/// The pilot for whom the throws are meant.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pilot {
    /// How practised the pilot is.
    #[serde(default)]
    pub skill: Skill,
    /// How the aircraft is seen.
    #[serde(default)]
    pub view: View,
}

/// Delay of control link and servo frame, s. Common practice: 0.01 to 0.03 s.
/// The servo's own slewing comes on top, from its speed.
pub const LINK_DELAY_S: f64 = 0.02;
/// Longest picture delay that is taken at its word, s; beyond it nobody flies.
pub const CAMERA_DELAY_S_MAX: f64 = 1.0;
/// Factor by which stick per error may be larger or smaller than stated.
pub const HABIT_SPREAD: f64 = 1.5;

/// Which motion the pilot holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LoopKind {
    /// Pitch attitude with the elevator.
    Pitch,
    /// Bank angle with the aileron, or with the rudder where there is none.
    Bank,
    /// Heading by commanding a bank angle.
    Heading,
}

impl Pilot {
    /// Effective delay (s) of eyes, head and hand, muscle lag included.
    /// Estimate from the measured 0.36 s of a pilot tracking a rate (0.3 s in
    /// Neal and Smith, AFFDL-TR-70-74, 1970), both from memory; ±0.05 s.
    pub fn human_delay_s(&self) -> f64 {
        match self.skill {
            Skill::Beginner => 0.34,
            Skill::Practised => 0.28,
            Skill::Expert => 0.22,
        }
    }

    /// Delay of the picture, s, between 0 and [`CAMERA_DELAY_S_MAX`].
    pub fn view_delay_s(&self) -> f64 {
        match self.view {
            View::Camera { delay_s } if delay_s.is_finite() => {
                delay_s.clamp(0.0, CAMERA_DELAY_S_MAX)
            }
            _ => 0.0,
        }
    }

    /// All delay (s) from error to deflection: picture, human, control link
    /// and `servo_delay_s` (a first-order lag counts with its time constant).
    pub fn total_delay_s(&self, servo_delay_s: f64) -> f64 {
        let servo = if servo_delay_s.is_finite() { servo_delay_s.max(0.0) } else { 0.0 };
        self.human_delay_s() + self.view_delay_s() + LINK_DELAY_S + servo
    }

    /// Longest lead time (s) with which the pilot anticipates. Estimate: a
    /// beginner reacts to what is seen, an expert to where it is going; trained
    /// pilots reach several seconds at the price of attention (from memory).
    pub fn lead_s_max(&self) -> f64 {
        match self.skill {
            Skill::Beginner => 0.1,
            Skill::Practised => 0.15,
            Skill::Expert => 0.4,
        }
    }

    /// Phase margin (rad) that the loop should keep. Estimate: 45 deg is the
    /// usual margin of design; a beginner needs more because the hand varies.
    pub fn phase_margin_rad(&self) -> f64 {
        match self.skill {
            Skill::Beginner => 48.0_f64.to_radians(),
            Skill::Practised => 45.0_f64.to_radians(),
            Skill::Expert => 40.0_f64.to_radians(),
        }
    }

    /// Error (rad) for which the pilot gives full stick. Estimate, within a
    /// factor of [`HABIT_SPREAD`]: chosen so that ordinary models come out at
    /// the throws of common practice, and that a beginner pushes the stick
    /// about twice as far as an expert for the same error.
    pub fn error_for_full_stick_rad(&self, kind: LoopKind) -> f64 {
        let degrees: f64 = match (kind, self.skill) {
            (LoopKind::Pitch, Skill::Beginner) => 32.0,
            (LoopKind::Pitch, Skill::Practised) => 40.0,
            (LoopKind::Pitch, Skill::Expert) => 55.0,
            (LoopKind::Bank, Skill::Beginner) => 55.0,
            (LoopKind::Bank, Skill::Practised) => 70.0,
            (LoopKind::Bank, Skill::Expert) => 100.0,
            (LoopKind::Heading, Skill::Beginner) => 60.0,
            (LoopKind::Heading, Skill::Practised) => 90.0,
            (LoopKind::Heading, Skill::Expert) => 120.0,
        };
        degrees.to_radians()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn default_is_practised_by_eye() {
        let pilot: Pilot = serde_json::from_str("{}").unwrap();
        assert_eq!(pilot, Pilot { skill: Skill::Practised, view: View::DirectSight });
        let text = r#"{"skill":"expert","view":{"camera":{"delay_s":0.04}}}"#;
        let camera: Pilot = serde_json::from_str(text).unwrap();
        assert!((camera.total_delay_s(0.03) - (0.22 + 0.04 + 0.02 + 0.03)).abs() < 1e-12);
    }

    #[test]
    fn skill_orders_every_quality() {
        let [a, b, c] = [Skill::Beginner, Skill::Practised, Skill::Expert]
            .map(|skill| Pilot { skill, view: View::DirectSight });
        for (less, more) in [(a, b), (b, c)] {
            assert!(less.human_delay_s() > more.human_delay_s());
            assert!(less.phase_margin_rad() > more.phase_margin_rad());
            assert!(less.lead_s_max() < more.lead_s_max());
            for kind in [LoopKind::Pitch, LoopKind::Bank, LoopKind::Heading] {
                assert!(less.error_for_full_stick_rad(kind) < more.error_for_full_stick_rad(kind));
            }
        }
    }

    #[test]
    fn bad_delays_do_not_spread() {
        let pilot = Pilot { skill: Skill::Expert, view: View::Camera { delay_s: f64::NAN } };
        assert!((pilot.total_delay_s(f64::INFINITY) - 0.24).abs() < 1e-12);
    }
}
