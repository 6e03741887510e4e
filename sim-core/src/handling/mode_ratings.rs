//! All natural motions of an aircraft, each held against its limits.
//!
//! A motion is rated for what it is: an oscillation that has split into two
//! decaying roots counts as one damped beyond swinging, a growing root as a
//! divergence. An oscillation joined from roots of different modes has no
//! limits of its own in the specification; it gets those of the slower mode.

use crate::analysis::{Mode, ModeKind, Modes};

use super::criteria::{
    Oscillation, Rating, Task, rate_dutch_roll, rate_phugoid, rate_pitch_divergence,
    rate_roll_mode, rate_short_period, rate_spiral,
};

/// Rates every mode.
///
/// # Units
/// `load_factor_per_rad` is the load factor per angle of attack, g per rad;
/// `froude` comes from [`super::criteria::froude_number`].
#[inline]
pub fn rate_modes(modes: &Modes, load_factor_per_rad: f64, task: Task, froude: f64) -> Vec<Rating> {
    let mut ratings = Vec::new();
    for mode in modes.longitudinal.iter().chain(&modes.lateral) {
        let swing = Oscillation {
            frequency_rad_s: mode.natural_frequency_rad_s,
            damping: mode.damping_ratio,
        };
        match mode.kind {
            ModeKind::ShortPeriod => {
                ratings.extend(rate_short_period(swing, load_factor_per_rad, task, froude));
            }
            ModeKind::Phugoid | ModeKind::PitchPhugoidOscillation => {
                ratings.extend(rate_phugoid(swing, task, froude));
            }
            ModeKind::DutchRoll => ratings.extend(rate_dutch_roll(swing, task, froude)),
            ModeKind::Roll if mode.real_1_s < 0.0 => {
                ratings.extend(rate_roll_mode(-1.0 / mode.real_1_s, task, froude));
            }
            ModeKind::Roll | ModeKind::Spiral | ModeKind::RollSpiralOscillation => {
                ratings.extend(rate_spiral(mode.real_1_s, task, froude));
            }
            ModeKind::ShortPeriodRoot | ModeKind::PhugoidRoot if mode.is_growing() => {
                ratings.extend(rate_pitch_divergence(mode.real_1_s, task, froude));
            }
            ModeKind::DutchRollRoot if mode.is_growing() => {
                ratings.extend(rate_spiral(mode.real_1_s, task, froude));
            }
            // Decaying roots are rated as a pair below.
            ModeKind::ShortPeriodRoot | ModeKind::PhugoidRoot | ModeKind::DutchRollRoot => {}
        }
    }
    if let Some(pair) = decaying_pair(&modes.longitudinal, ModeKind::ShortPeriodRoot) {
        ratings.extend(rate_short_period(pair, load_factor_per_rad, task, froude));
    }
    if let Some(pair) = decaying_pair(&modes.longitudinal, ModeKind::PhugoidRoot) {
        ratings.extend(rate_phugoid(pair, task, froude));
    }
    if let Some(pair) = decaying_pair(&modes.lateral, ModeKind::DutchRollRoot) {
        ratings.extend(rate_dutch_roll(pair, task, froude));
    }
    ratings
}

#[inline]
fn decaying_pair(modes: &[Mode], kind: ModeKind) -> Option<Oscillation> {
    let mut roots = modes.iter().filter(|mode| mode.kind == kind).map(|mode| mode.real_1_s);
    let (first, second) = (roots.next()?, roots.next()?);
    if first < 0.0 && second < 0.0 { Oscillation::from_real_pair(first, second) } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::analysis::{ModePart, MotionVariable};
    use crate::handling::criteria::{Criterion, Level};

    fn mode(kind: ModeKind, real: f64, imaginary: f64) -> Mode {
        let part = ModePart {
            motion: MotionVariable::Pitch,
            magnitude: 1.0,
            phase_rad: 0.0,
            participation: 1.0,
        };
        let size = real.hypot(imaginary);
        Mode {
            kind,
            real_1_s: real,
            imaginary_rad_s: imaginary,
            natural_frequency_rad_s: size,
            damping_ratio: -real / size,
            period_s: None,
            time_to_half_or_double_s: None,
            parts: [part; 4],
        }
    }

    fn pitch_only(longitudinal: Vec<Mode>) -> Modes {
        Modes { longitudinal, lateral: Vec::new() }
    }

    fn level(ratings: &[Rating], criterion: Criterion) -> Option<Level> {
        ratings.iter().find(|rating| rating.criterion == criterion).map(|rating| rating.level)
    }

    #[test]
    fn classic_modes_get_their_criteria() {
        let longitudinal =
            vec![mode(ModeKind::ShortPeriod, -2.5, 2.5), mode(ModeKind::Phugoid, -0.02, 0.2)];
        let lateral = vec![
            mode(ModeKind::Roll, -8.0, 0.0),
            mode(ModeKind::Spiral, 0.2, 0.0),
            mode(ModeKind::DutchRoll, -0.5, 2.4),
        ];
        let ratings = rate_modes(&Modes { longitudinal, lateral }, 4.5, Task::Cruise, 1.0);
        assert_eq!(ratings.len(), 3 + 1 + 1 + 1 + 3);
        assert_eq!(level(&ratings, Criterion::ShortPeriodDamping), Some(Level::One));
        assert_eq!(level(&ratings, Criterion::PhugoidDamping), Some(Level::One));
        assert_eq!(level(&ratings, Criterion::RollTimeConstant), Some(Level::One));
        let roll = ratings.iter().find(|r| r.criterion == Criterion::RollTimeConstant).unwrap();
        assert!((roll.value - 1.0 / 8.0).abs() < 1e-12, "{roll:?}");
        // Doubles in 3.5 s, allowed are 4 s at the worst.
        assert_eq!(level(&ratings, Criterion::SpiralGrowth), Some(Level::Worse));
        assert_eq!(level(&ratings, Criterion::DutchRollDamping), Some(Level::One));
    }

    #[test]
    fn split_modes_are_rated_as_pairs_or_as_divergence() {
        let split = vec![
            mode(ModeKind::ShortPeriodRoot, -2.0, 0.0),
            mode(ModeKind::ShortPeriodRoot, -8.0, 0.0),
        ];
        let ratings = rate_modes(&pitch_only(split), 4.5, Task::Cruise, 1.0);
        let damping =
            ratings.iter().find(|r| r.criterion == Criterion::ShortPeriodDamping).unwrap();
        assert!((damping.value - 1.25).abs() < 1e-12);
        let tail_heavy = vec![
            mode(ModeKind::ShortPeriodRoot, 1.0, 0.0),
            mode(ModeKind::ShortPeriodRoot, -8.0, 0.0),
        ];
        let ratings = rate_modes(&pitch_only(tail_heavy), 4.5, Task::Cruise, 1.0);
        assert_eq!(level(&ratings, Criterion::PitchDivergence), Some(Level::Worse));
        assert_eq!(ratings.len(), 1);
    }
}
