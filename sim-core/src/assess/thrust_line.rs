//! Which way the motor should point, so that the throttle turns the nose no more
//! than none.
//!
//! # Method
//! The moments of pitch and yaw from no to full throttle, in the state of ordinary
//! flight, are brought to nothing by Newton in both tilts at once: each tilt moves
//! the slipstream over wing and tail, and with it both moments. The slopes are
//! central differences, so that the mirror image of an aeroplane gets the mirror
//! image of the answer; the flight is trimmed anew at every tilt, so that the
//! answer, once built, asks for nothing more.

use serde::{Deserialize, Serialize};

use super::conditions::Setup;
use super::flight_point;
use super::walk::Walk;
use crate::aircraft::Propulsion;
use crate::analysis::Trim;
use crate::dynamics::{Aeroplane, Airframe, Controls};

/// Half step of the tilts, deg.
const TILT_STEP_DEG: f64 = 1.0;
/// Rounds of Newton at most, and the step at which it ends, deg.
const ROUNDS: usize = 6;
const SETTLED_DEG: f64 = 0.01;
/// Furthest that the search goes from the datum line, deg.
const TILT_SEARCHED_MAX_DEG: f64 = 15.0;
/// Largest tilt that is suggested, deg. Common practice: thrust lines are set up
/// to 5 deg; where more would be needed, trim is the better means.
const TILT_SUGGESTED_MAX_DEG: f64 = 6.0;
/// A tilt of less effect than this share of the strongest one does nothing, as
/// turning both motors of a pair outwards.
const EFFECT_MIN: f64 = 1e-3;
/// What a moment may leave, as a tilt of the strongest effect, deg, and still be
/// nothing.
const NOTHING_LEFT_DEG: f64 = 0.1;

/// Thrust line now and where the throttle would not disturb the trim.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ThrustAngles {
    /// Present down-thrust of the first unit, deg.
    pub down_deg: f64,
    /// Down-thrust at which full throttle pitches no more than none, at the speed
    /// of ordinary flight and with the right thrust as suggested, deg; `None`
    /// where that would be more than anyone tilts a motor.
    pub down_suggested_deg: Option<f64>,
    /// Present right thrust, deg.
    pub right_deg: f64,
    /// Right thrust at which full throttle yaws no more than none, deg.
    pub right_suggested_deg: Option<f64>,
}

/// Finds the thrust line; `None` without a motor.
#[inline]
pub(super) fn thrust_angles(walk: &Walk) -> Option<ThrustAngles> {
    let first = walk.aircraft.propulsion.first()?;
    let present = [first.down_thrust_deg, first.right_thrust_deg];
    let mut search = Search { walk, present, aeroplane: walk.aeroplane.clone() };
    let start = search.effect(present, &walk.conditions.cruise_trim);
    let mut free =
        [0, 1].map(|axis| start.slope[axis][axis].abs() > EFFECT_MIN * start.strongest());
    // A tilt that would be too much stays as it is, the worse one first, of two alike
    // the downward one; the other is then sought for that.
    let mut found = search.level(free);
    for _ in free {
        let beyond = |axis: &usize| free[*axis] && found.0[*axis].abs() > TILT_SUGGESTED_MAX_DEG;
        let worst = (0..2)
            .rev()
            .filter(beyond)
            .max_by(|a, b| found.0[*a].abs().total_cmp(&found.0[*b].abs()));
        let Some(worst) = worst else { break };
        free[worst] = false;
        found = search.level(free);
    }
    let (tilt, left) = found;
    let nothing = NOTHING_LEFT_DEG * start.strongest();
    let suggested = |axis: usize| (left[axis].abs() <= nothing).then_some(tilt[axis]);
    Some(ThrustAngles {
        down_deg: present[0],
        down_suggested_deg: suggested(0),
        right_deg: present[1],
        right_suggested_deg: suggested(1),
    })
}

/// Moments of pitch and yaw that the throttle makes, N m, and their slopes by
/// either tilt, N m/deg: `slope[moment][tilt]`.
struct Effect {
    moment: [f64; 2],
    slope: [[f64; 2]; 2],
}

impl Effect {
    #[inline]
    fn strongest(&self) -> f64 {
        self.slope.iter().flatten().fold(0.0, |most: f64, slope| most.max(slope.abs()))
    }

    /// Change of the free tilts that brings the moments of the same axes to
    /// nothing, deg.
    #[inline]
    fn newton_step(&self, free: [bool; 2]) -> [f64; 2] {
        let ([[pp, py], [yp, yy]], [pitch, yaw]) = (self.slope, self.moment);
        match free {
            [true, true] => {
                let determinant = pp * yy - py * yp;
                [(py * yaw - yy * pitch) / determinant, (yp * pitch - pp * yaw) / determinant]
            }
            [true, false] => [-pitch / pp, 0.0],
            [false, true] => [0.0, -yaw / yy],
            [false, false] => [0.0; 2],
        }
    }
}

/// The aeroplane with its motors turned.
struct Search<'a> {
    walk: &'a Walk,
    present: [f64; 2],
    aeroplane: Aeroplane,
}

impl Search<'_> {
    /// Turns all motors together: the first one to `tilt`, down and right, deg.
    #[inline]
    fn turn(&mut self, tilt: [f64; 2]) {
        let turned = |unit: &Propulsion| Propulsion {
            down_thrust_deg: unit.down_thrust_deg + tilt[0] - self.present[0],
            right_thrust_deg: unit.right_thrust_deg + tilt[1] - self.present[1],
            ..unit.clone()
        };
        let units: Vec<Propulsion> = self.walk.aircraft.propulsion.iter().map(turned).collect();
        self.aeroplane.tilt_propellers(&units);
    }

    /// The tilts at which the moments of the free axes are nothing, and the moments
    /// that are left there, N m.
    #[inline]
    fn level(&mut self, free: [bool; 2]) -> ([f64; 2], [f64; 2]) {
        let mut tilt = self.present;
        let mut trim = self.walk.conditions.cruise_trim.clone();
        let mut effect = self.effect(tilt, &trim);
        for _ in 0..ROUNDS {
            let step = effect.newton_step(free);
            for (tilt, step) in tilt.iter_mut().zip(step) {
                *tilt = (*tilt + step).clamp(-TILT_SEARCHED_MAX_DEG, TILT_SEARCHED_MAX_DEG);
            }
            trim = self.trimmed(tilt, trim);
            effect = self.effect(tilt, &trim);
            if step.iter().all(|step| step.abs() < SETTLED_DEG) {
                break;
            }
        }
        (tilt, effect.moment)
    }

    /// Ordinary flight with the motors so; as before where it has no balance.
    #[inline]
    fn trimmed(&mut self, tilt: [f64; 2], near: Trim) -> Trim {
        self.turn(tilt);
        let setup = Setup::new(&self.walk.aircraft, &self.aeroplane, near.air);
        setup.steady(near.airspeed_m_s, setup.usual_path(), Some(&near)).unwrap_or(near)
    }

    #[inline]
    fn effect(&mut self, tilt: [f64; 2], trim: &Trim) -> Effect {
        let [down, right] = tilt;
        let mut at = |down: f64, right: f64| {
            self.turn([down, right]);
            throttle_moments(&self.aeroplane, trim)
        };
        let h = TILT_STEP_DEG;
        let moment = at(down, right);
        let by_down = [at(down + h, right), at(down - h, right)];
        let by_right = [at(down, right + h), at(down, right - h)];
        let slope = |ends: &[[f64; 2]; 2], axis: usize| (ends[0][axis] - ends[1][axis]) / (2.0 * h);
        let slope = [0, 1].map(|axis| [slope(&by_down, axis), slope(&by_right, axis)]);
        Effect { moment, slope }
    }
}

/// Change of pitching and yawing moment from no to full throttle in the state of a
/// trim, N m.
#[inline]
fn throttle_moments(aeroplane: &Aeroplane, trim: &Trim) -> [f64; 2] {
    let point = flight_point(trim);
    let at = |throttle: f64| {
        let controls = Controls { throttle, ..point.controls };
        aeroplane.loads(&point.air(), &controls).moment_body
    };
    let change = at(1.0) - at(0.0);
    [change.y, change.z]
}
