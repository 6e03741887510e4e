//! What full throttle does: the fastest level flight and the best climb.
//!
//! # Method
//! The rate of climb is the speed times the thrust beyond the drag over the weight
//! (Anderson, Aircraft Performance and Design, 1999, section 5.10; from memory). It
//! is read from steady flights, from the fastest level one down to the slowest. With
//! more thrust than weight there is no steady flight at all below the speed at which
//! thrust is weight and drag together: there the climb is upright, and the sweep
//! begins.

use super::conditions::Setup;
use super::performance::SWEEP_OVER_STALL;
use super::walk::Walk;
use crate::analysis::{Path, Shortfall, Trim};

/// Greatest level speed looked for over the stall speed.
const FASTEST_OVER_STALL: f64 = 12.0;
/// Growth of the speed from one trim to the next that starts from it.
const SPEED_STEP: f64 = 1.15;
/// Halvings of the greatest level speed: to a hundredth of a m/s.
const HALVINGS: usize = 12;
/// Climb that counts as upright, rad: 83 deg, 0.7 % short of it in rate of climb.
/// Upright itself no attitude is told apart from its rolls.
const UPRIGHT_RAD: f64 = 1.45;
/// Trims of the sweep.
const CLIMB_COUNT: usize = 10;

/// The airspeed at which full throttle just holds level flight; `None` where no
/// speed above the stall has that.
#[inline]
pub(super) fn fastest_level(walk: &Walk, setup: &Setup) -> Option<f64> {
    let mut near = walk.conditions.cruise_trim.clone();
    let mut climbs = |airspeed: f64| {
        let trim = setup.steady(airspeed, Path::Throttle(1.0), Some(&near)).ok()?;
        near = trim.clone();
        Some(trim.climb_rad > 0.0)
    };
    let stall = walk.stall.airspeed_m_s;
    let limit = FASTEST_OVER_STALL * stall;
    let (mut low, mut high) = (walk.conditions.cruise_trim.airspeed_m_s, limit);
    // In steps first, so that every trim starts near the last one.
    if climbs(low) == Some(false) {
        // Too weak for ordinary flight; slower takes less.
        while high > low {
            if low <= stall {
                return None;
            }
            high = low;
            low = (low / SPEED_STEP).max(stall);
            if climbs(low)? {
                break;
            }
        }
    } else {
        loop {
            high = SPEED_STEP * low;
            if high >= limit {
                return None;
            }
            match climbs(high) {
                Some(true) => low = high,
                Some(false) => break,
                // Too much thrust for a steady climb is a climb as well.
                None if high < 0.5 * limit => low = high,
                None => return None,
            }
        }
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        match climbs(middle) {
            Some(false) => high = middle,
            Some(true) | None => low = middle,
        }
    }
    Some(0.5 * (low + high))
}

/// Steady flights at full throttle from the slowest to the `fastest` level one, the
/// first of them upright where the thrust is there for that.
#[inline]
pub(super) fn climbs(walk: &Walk, setup: &Setup, fastest: Option<f64>) -> Vec<Trim> {
    let stall = walk.stall.airspeed_m_s;
    let slowest = SWEEP_OVER_STALL.0 * stall;
    let fastest = fastest.unwrap_or(SWEEP_OVER_STALL.1 * stall).max(slowest);
    let upright = upright(walk, setup, (slowest, fastest));
    let from = upright.as_ref().map_or(slowest, |trim| trim.airspeed_m_s);
    let mut near = walk.conditions.cruise_trim.clone();
    // The flattest climbs first: each is near the last one.
    let mut list = Vec::new();
    for i in 0..CLIMB_COUNT {
        let airspeed = fastest - (fastest - from) * i as f64 / (CLIMB_COUNT - 1) as f64;
        if let Ok(trim) = setup.steady(airspeed, Path::Throttle(1.0), Some(&near)) {
            near = trim.clone();
            list.push(trim);
        }
    }
    if upright.is_some() {
        // It stands at the end of the sweep already, or the sweep has missed it.
        list.retain(|trim| trim.airspeed_m_s > from);
    }
    list.extend(upright);
    list.reverse();
    list
}

/// The fastest upright climb between two airspeeds, m/s, that full throttle holds.
#[inline]
fn upright(walk: &Walk, setup: &Setup, (mut low, mut high): (f64, f64)) -> Option<Trim> {
    let holds = |airspeed: f64, near: &Trim| {
        let trim = setup.steady(airspeed, Path::Climb(UPRIGHT_RAD), Some(near)).ok()?;
        let short = |one: &Shortfall| matches!(one, Shortfall::Power { .. });
        (!trim.shortfalls.iter().any(short)).then_some(trim)
    };
    let mut found = holds(low, &walk.conditions.cruise_trim)?;
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        match holds(middle, &found) {
            Some(trim) => (low, found) = (middle, trim),
            None => high = middle,
        }
    }
    Some(found)
}
