//! Which holes give the advised throw with the most servo travel?
//!
//! The more of its travel the servo uses, the finer its steps at the surface,
//! the less its gear play counts, and the less torque it needs. Every pair of
//! an arm hole and a horn hole is tried with the exact linkage; the servo
//! stays where it is and the pushrod is adjusted to neutral.

use serde::Serialize;

use super::linkage::{FourBar, LinkageError, Throws};
use crate::math::ordered_by;

/// One pair of holes and what it gives.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HolePair {
    /// Hole in the servo arm, m from the shaft.
    pub servo_arm_m: f64,
    /// Hole in the horn, m above the hinge line.
    pub horn_height_m: f64,
    /// Length to which the pushrod must be set, m.
    pub pushrod_m: f64,
    /// Surface angles at full servo travel.
    pub full_throws: Throws,
    /// Share of the servo's travel that the advised throw takes, the larger
    /// of both ways; 1 is all of it. Above 1 the throw is not reached; then
    /// it is the throw asked for over the throw there is.
    pub travel_used: f64,
    /// Whether the advised throw is reached both ways.
    pub reaches: bool,
}

/// Tries every pair of holes for a throw of `throw_rad` both ways, with a
/// servo that turns `travel_rad` both ways; best first. Pairs that pass a
/// dead centre are left out.
///
/// # Method
/// Pairs that reach the throw come first, those with the most travel used
/// first among them; then the others, nearest to reaching first.
#[inline]
pub fn rank_holes(
    present: &FourBar,
    arm_holes_m: &[f64],
    horn_holes_m: &[f64],
    throw_rad: f64,
    travel_rad: f64,
) -> Vec<HolePair> {
    let pairs: Vec<HolePair> = arm_holes_m
        .iter()
        .flat_map(|&arm| horn_holes_m.iter().map(move |&horn| (arm, horn)))
        .filter_map(|(arm, horn)| try_pair(present, arm, horn, throw_rad, travel_rad).ok())
        .collect();
    // Below zero those that reach.
    ordered_by(&pairs, |pair| if pair.reaches { -pair.travel_used } else { pair.travel_used })
}

/// What one pair of holes gives.
///
/// # Errors
/// [`LinkageError`] where a hole is out of range or the servo's travel passes
/// a dead centre.
#[inline]
pub fn try_pair(
    present: &FourBar,
    servo_arm_m: f64,
    horn_height_m: f64,
    throw_rad: f64,
    travel_rad: f64,
) -> Result<HolePair, LinkageError> {
    let bar = present.with_holes(servo_arm_m, horn_height_m)?;
    let full_throws = bar.throws(travel_rad)?;
    let short_by = (throw_rad / full_throws.push_rad).max(throw_rad / -full_throws.pull_rad);
    let reaches = short_by <= 1.0;
    let travel_used = if reaches {
        let push = bar.servo_angle(throw_rad)?.abs();
        push.max(bar.servo_angle(-throw_rad)?.abs()) / travel_rad
    } else {
        short_by
    };
    let pushrod_m = bar.pushrod_m();
    Ok(HolePair { servo_arm_m, horn_height_m, pushrod_m, full_throws, travel_used, reaches })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::throws::linkage::Linkage;

    fn bar() -> FourBar {
        Linkage {
            servo_arm_m: 0.010,
            horn_height_m: 0.015,
            horn_offset_m: 0.0,
            pushrod_m: 0.3,
            shaft_height_m: 0.005,
            arm_neutral_deg: 0.0,
        }
        .four_bar()
        .unwrap()
    }

    const ARM: [f64; 4] = [0.008, 0.010, 0.012, 0.014];
    const HORN: [f64; 4] = [0.010, 0.013, 0.016, 0.020];

    /// For a long pushrod the throw is nearly asin(arm/horn sin travel), so
    /// the best pair is the least ratio that is still enough. 20 deg with 45
    /// deg of travel needs sin 20/sin 45 = 0.484: of the ratios on offer
    /// 10/20 = 0.5 is the least above it.
    #[test]
    fn best_pair_is_the_least_ratio_that_suffices() {
        let pairs = rank_holes(&bar(), &ARM, &HORN, 20_f64.to_radians(), 45_f64.to_radians());
        assert!(pairs[0].reaches);
        assert_eq!((pairs[0].servo_arm_m, pairs[0].horn_height_m), (0.010, 0.020));
        assert!(pairs[0].travel_used > 0.9 && pairs[0].travel_used <= 1.0);
        // 14 on 10 mm passes its dead centre within the travel: left out.
        assert_eq!(pairs.len(), 15);
        assert!(!pairs.iter().any(|p| p.servo_arm_m == 0.014 && p.horn_height_m == 0.010));
    }

    #[test]
    fn where_none_reaches_the_nearest_comes_first() {
        let pairs = rank_holes(&bar(), &[0.008], &HORN[2..], 40_f64.to_radians(), 0.6);
        assert!(!pairs[0].reaches);
        assert_eq!(pairs[0].horn_height_m, 0.016);
        assert!(pairs[0].travel_used > 1.0);
    }

    /// An arm that stands askew turns the surface further one way than the
    /// other; the shorter way decides.
    #[test]
    fn both_ways_must_reach() {
        for arm_neutral_deg in [-25.0, 25.0] {
            let askew = Linkage {
                servo_arm_m: 0.010,
                horn_height_m: 0.015,
                horn_offset_m: 0.0,
                pushrod_m: 0.3,
                shaft_height_m: 0.005,
                arm_neutral_deg,
            };
            let bar = askew.four_bar().unwrap();
            let (short, long) = {
                let throws = bar.throws(0.7).unwrap();
                let (push, pull) = (throws.push_rad, -throws.pull_rad);
                (push.min(pull), push.max(pull))
            };
            assert!(long > 1.05 * short, "{short} {long}");
            let between = try_pair(&bar, 0.010, 0.015, 0.5 * (short + long), 0.7).unwrap();
            assert!(!between.reaches && between.travel_used > 1.0);
            let within = try_pair(&bar, 0.010, 0.015, 0.9 * short, 0.7).unwrap();
            let used = [1.0, -1.0].map(|way| bar.servo_angle(way * 0.9 * short).unwrap().abs());
            assert!(within.reaches);
            assert!((within.travel_used - used[0].max(used[1]) / 0.7).abs() < 1e-12);
        }
    }
}
