//! A whole flight: off the strip or out of the hand, once round, and down
//! again.
//!
//! A left-hand circuit: climb out north, downwind along a line west of the
//! strip, back to the strip's line south of it, down a straight slope, flare,
//! roll out. The legs grow with speed, so that large and small aircraft fly
//! alike.

use super::{Autopilot, STEPS_PER_LOOK, Sideways, Task, Upwards};
use crate::flight::radio::Sticks;
use crate::flight::session::{STEP_S, Session};
use crate::flight::snapshot::Phase;
use serde::Serialize;

/// Where in the flight it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Leg {
    /// On the strip or in the hand.
    Start,
    /// Climbing out.
    Climb,
    /// Turning to and flying the leg against the landing direction.
    Downwind,
    /// Turning back and coming down to the strip.
    Final,
    /// Rounding out.
    Flare,
    /// On the ground again.
    RollOut,
}

/// A circuit, from where the session stands.
#[derive(Debug, Clone)]
pub struct Circuit {
    pilot: Autopilot,
    leg: Leg,
    looks: usize,
    sticks: Sticks,
    plan: Plan,
}

/// Sizes and speeds of the circuit.
#[derive(Debug, Clone, Copy)]
struct Plan {
    height_m: f64,
    width_m: f64,
    approach_m_s: f64,
    rest_height_m: f64,
    /// Elevator stick of the last part of the roll.
    roll_out_stick: f64,
}

/// Slope of the approach, rad: 6 deg.
const SLOPE_RAD: f64 = 0.105;
/// Climb speed and approach speed over stall speed, and the share of the wind
/// that is added to the latter (common practice).
const CLIMB_OVER_STALL: f64 = 1.35;
const APPROACH_OVER_STALL: f64 = 1.35;
const WIND_SHARE: f64 = 0.3;
/// Height of the circuit in seconds of cruise; its half width likewise.
const HEIGHT_S: f64 = 2.2;
const WIDTH_S: f64 = 6.0;
/// The flare begins where the wheels are this many seconds of sink above ground.
const FLARE_S: f64 = 1.1;
/// Sink rate that is left on touching, m/s, once as slow as this over stall
/// speed; faster than that it is held off, or it would fly again.
const TOUCH_SINK_M_S: f64 = 0.25;
const TOUCH_OVER_STALL: f64 = 1.1;
const HELD_OFF_SINK_M_S: f64 = 0.08;
/// Height of the wheels that tells a bounce from rolling, and that from which
/// it has landed, m.
const BOUNCED_M: f64 = 0.15;
const LANDED_M: f64 = 0.06;
/// Rolling out, the stick comes back between these shares of stall speed: before
/// that it would lift off again, after it the tail wheel needs the weight.
const BACK_FROM: f64 = 1.05;
const BACK_TO: f64 = 0.8;
/// Time in which the throttle is opened on the strip, s (common practice).
const OPENING_S: f64 = 2.5;
/// Looks spent at full throttle before a throw: half a second.
const HOLD_LOOKS: usize = 25;

impl Circuit {
    /// A circuit for the session's aircraft.
    pub fn new(session: &Session, pilot: Autopilot) -> Self {
        let wind = session.options().wind.speed_m_s;
        let cruise = pilot.cruise_m_s();
        let stall = pilot.stall_m_s();
        let plan = Plan {
            height_m: HEIGHT_S * cruise,
            width_m: WIDTH_S * cruise,
            approach_m_s: (APPROACH_OVER_STALL * stall + WIND_SHARE * wind).min(1.2 * cruise),
            rest_height_m: lowest_m(session),
            roll_out_stick: if steered_by_tail(session) { 1.0 } else { 0.0 },
        };
        let leg = if session.phase() == Phase::Flying { Leg::Downwind } else { Leg::Start };
        Self { pilot, leg, looks: 0, sticks: Sticks::default(), plan }
    }

    /// Only the end of it, from in front of the strip.
    pub fn landing(session: &Session, pilot: Autopilot) -> Self {
        Self { leg: Leg::Final, ..Self::new(session, pilot) }
    }

    /// Where in the flight it is.
    pub fn leg(&self) -> Leg {
        self.leg
    }

    /// Moves the sticks as needed; to be called before every step.
    pub fn fly(&mut self, session: &mut Session) {
        if self.looks.is_multiple_of(STEPS_PER_LOOK) {
            self.next_leg(session);
            let task = self.task(session);
            self.sticks = self.pilot.sticks(session, &task);
        }
        self.looks += 1;
        session.set_sticks(self.sticks);
    }

    fn next_leg(&mut self, session: &mut Session) {
        let place = session.state().position_ned;
        let height_m = session.state().height_m();
        let on_ground = session.phase() == Phase::OnGround;
        self.leg = match self.leg {
            Leg::Start if session.phase() == Phase::InHand => {
                if self.looks >= HOLD_LOOKS * STEPS_PER_LOOK {
                    session.release();
                }
                Leg::Start
            }
            Leg::Start if session.phase() == Phase::Flying => Leg::Climb,
            Leg::Climb if height_m > 0.8 * self.plan.height_m => Leg::Downwind,
            // Far enough behind the strip to meet the slope from below.
            Leg::Downwind
                if place.x < -self.slope_length_m() && place.y < -0.5 * self.plan.width_m =>
            {
                Leg::Final
            }
            Leg::Final if self.above_rest_m(session) < self.flare_height_m(session) => Leg::Flare,
            Leg::Final | Leg::Flare if on_ground && self.above_rest_m(session) < LANDED_M => {
                Leg::RollOut
            }
            // Thrown up by a gust or a bump: held off once more.
            Leg::RollOut
                if self.above_rest_m(session) > BOUNCED_M
                    && session.air_angles().airspeed_m_s > BACK_TO * self.pilot.stall_m_s() =>
            {
                Leg::Flare
            }
            same => same,
        };
    }

    fn task(&self, session: &Session) -> Task {
        let plan = &self.plan;
        let strip = Sideways::Line { north_m: 0.0, east_m: 0.0, course_rad: 0.0 };
        let (stall, cruise) = (self.pilot.stall_m_s(), self.pilot.cruise_m_s());
        match self.leg {
            Leg::Start => Task { sideways: strip, upwards: self.take_off(session) },
            Leg::Climb => {
                let airspeed_m_s = (CLIMB_OVER_STALL * stall).min(cruise);
                Task { sideways: strip, upwards: Upwards::Speed { airspeed_m_s, throttle: 1.0 } }
            }
            Leg::Downwind => Task {
                sideways: Sideways::Line {
                    north_m: 0.0,
                    east_m: -plan.width_m,
                    course_rad: std::f64::consts::PI,
                },
                upwards: Upwards::Height { height_m: plan.height_m, airspeed_m_s: cruise },
            },
            Leg::Final => Task { sideways: strip, upwards: self.descend(session) },
            Leg::Flare => {
                let above = self.above_rest_m(session).max(0.0);
                let slow = session.air_angles().airspeed_m_s < TOUCH_OVER_STALL * stall;
                let touch_m_s = if slow { TOUCH_SINK_M_S } else { HELD_OFF_SINK_M_S };
                let climb_rate_m_s = -(touch_m_s + above / FLARE_S);
                Task { sideways: strip, upwards: Upwards::Flare { climb_rate_m_s } }
            }
            Leg::RollOut => {
                let over_stall = session.air_angles().airspeed_m_s / stall;
                let back = ((BACK_FROM - over_stall) / (BACK_FROM - BACK_TO)).clamp(0.0, 1.0);
                let elevator = plan.roll_out_stick * back;
                Task { sideways: strip, upwards: Upwards::Stick { elevator, throttle: 0.0 } }
            }
        }
    }

    /// Rolling with the stick a little back, throttle opened slowly enough for the
    /// rudder to hold against what the propeller does; lifted off by pitch when
    /// fast enough. In the hand the motor runs.
    fn take_off(&self, session: &Session) -> Upwards {
        let fast = session.air_angles().airspeed_m_s > 1.15 * self.pilot.stall_m_s();
        let throttle = match session.phase() {
            Phase::InHand => 1.0,
            _ => (self.looks as f64 * STEP_S / OPENING_S).min(1.0),
        };
        if fast || session.phase() != Phase::OnGround {
            Upwards::Pitch { pitch_rad: self.pilot.cruise_pitch_rad() + 0.13, throttle }
        } else {
            Upwards::Stick { elevator: 0.15, throttle }
        }
    }

    /// Down the slope once on it, before that level. The slope ends on the
    /// ground at the origin.
    fn descend(&self, session: &Session) -> Upwards {
        let plan = &self.plan;
        let to_go_m = -session.state().position_ned.x;
        let slope_m = plan.rest_height_m + to_go_m.max(0.0) * SLOPE_RAD.tan();
        let airspeed_m_s = plan.approach_m_s;
        let height_m = session.state().height_m();
        if slope_m > plan.height_m && to_go_m > 0.0 {
            return Upwards::Height { height_m: plan.height_m, airspeed_m_s };
        }
        // Back to the slope within three seconds or so.
        let ground_speed = session.state().velocity_ned().xy().norm().max(2.0);
        let correction = 0.35 * (slope_m - height_m) / ground_speed;
        Upwards::Path { climb_rad: (-SLOPE_RAD + correction).clamp(-0.25, 0.1), airspeed_m_s }
    }

    fn slope_length_m(&self) -> f64 {
        (self.plan.height_m - self.plan.rest_height_m) / SLOPE_RAD.tan()
    }

    fn above_rest_m(&self, session: &Session) -> f64 {
        session.state().height_m() - self.plan.rest_height_m
    }

    fn flare_height_m(&self, session: &Session) -> f64 {
        let sink = session.state().velocity_ned().z.max(0.2);
        (FLARE_S * sink).clamp(0.2, 3.0)
    }
}

/// Height of the balance point over its lowest point with the nose level, m.
fn lowest_m(session: &Session) -> f64 {
    session.contact_points().iter().map(|point| point.position_body.z).fold(0.0, f64::max)
}

/// Whether the wheel that steers is behind, where a pulled stick presses it down.
fn steered_by_tail(session: &Session) -> bool {
    let mut points = session.contact_points().iter();
    points.any(|point| point.steering_rad != 0.0 && point.position_body.x < 0.0)
}
