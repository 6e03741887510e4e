//! The program shows a lesson.

use super::{Lesson, LessonKey};
use crate::flight::autopilot::circuit::Circuit;
use crate::flight::autopilot::{Autopilot, STEPS_PER_LOOK, Sideways, Task, Upwards};
use crate::flight::radio::Sticks;
use crate::flight::session::Session;

/// A pilot that flies one lesson.
#[derive(Debug, Clone)]
pub struct Demonstration {
    lesson: Lesson,
    way: Way,
    sticks: Sticks,
    looks: usize,
    stalled: bool,
    /// When the climb was over, s.
    top_s: Option<f64>,
    cruise_throttle: f64,
}

#[derive(Debug, Clone)]
enum Way {
    Circuit(Box<Circuit>),
    Tasks(Box<Autopilot>),
}

/// Bank of the turn that is shown, rad.
const TURN_BANK_RAD: f64 = 0.45;
/// The turn begins after this time, s.
const TURN_FROM_S: f64 = 2.0;
/// Height of the climb over the starting one, throttle more than in level
/// flight, and time in which it is closed, s.
const CLIMB_TO: f64 = 1.85;
const CLIMB_THROTTLE: f64 = 0.3;
const CLOSING_S: f64 = 3.0;

impl Demonstration {
    #[inline]
    pub(super) fn new(lesson: &Lesson, session: &Session, pilot: Autopilot) -> Self {
        let cruise_throttle = pilot.cruise_throttle();
        let way = match lesson.key {
            LessonKey::Circuit => Way::Circuit(Box::new(Circuit::new(session, pilot))),
            LessonKey::Landing => Way::Circuit(Box::new(Circuit::landing(session, pilot))),
            _ => Way::Tasks(Box::new(pilot)),
        };
        Self {
            lesson: lesson.clone(),
            way,
            sticks: Sticks::default(),
            looks: 0,
            stalled: false,
            top_s: None,
            cruise_throttle,
        }
    }

    /// Moves the sticks as needed; to be called before every step.
    #[inline]
    pub fn fly(&mut self, session: &mut Session) {
        let task = self.task(session);
        match &mut self.way {
            Way::Circuit(circuit) => circuit.fly(session),
            Way::Tasks(pilot) => {
                if self.looks.is_multiple_of(STEPS_PER_LOOK) {
                    self.sticks = pilot.sticks(session, &task);
                }
                self.looks += 1;
                session.set_sticks(self.lesson.guided(session.time_s(), self.sticks));
            }
        }
    }

    /// What is to be flown now; not asked in a circuit.
    #[inline]
    fn task(&mut self, session: &Session) -> Task {
        let lesson = &self.lesson;
        let (cruise, stall) = (lesson.cruise_m_s, lesson.stall_m_s);
        let time_s = session.time_s();
        let level = |height_m| Upwards::Height { height_m, airspeed_m_s: cruise };
        let north = Sideways::Course(0.0);
        let strip = |course_rad| Sideways::Line { north_m: 0.0, east_m: 0.0, course_rad };
        match lesson.key {
            LessonKey::HoldLevel | LessonKey::Circuit | LessonKey::Landing => {
                Task { sideways: north, upwards: level(lesson.height_m) }
            }
            LessonKey::GentleTurn => {
                // A full circle at this bank, and no more.
                let rate = crate::atmosphere::GRAVITY_M_S2 / cruise * TURN_BANK_RAD.tan();
                let until_s = TURN_FROM_S + 2.0 * std::f64::consts::PI / rate;
                let turning = (TURN_FROM_S..until_s).contains(&time_s);
                let sideways = if turning { Sideways::Bank(TURN_BANK_RAD) } else { north };
                Task { sideways, upwards: level(lesson.height_m) }
            }
            LessonKey::TowardsYou => {
                let sideways = strip(std::f64::consts::PI);
                Task { sideways, upwards: level(lesson.height_m) }
            }
            LessonKey::Crosswind => {
                Task { sideways: strip(0.0), upwards: level(0.5 * lesson.height_m) }
            }
            LessonKey::ClimbAndGlide => {
                let height_m = session.state().height_m();
                if self.top_s.is_none() && height_m > CLIMB_TO * lesson.height_m {
                    self.top_s = Some(time_s);
                }
                let airspeed_m_s = 0.5 * (cruise + 1.4 * stall);
                let climbing = (self.cruise_throttle + CLIMB_THROTTLE).min(1.0);
                let upwards = match self.top_s {
                    // Down to where it began, then level.
                    Some(_) if height_m < lesson.height_m => level(lesson.height_m),
                    // The throttle is closed gently, so that the nose can follow.
                    Some(top_s) => {
                        let left = 1.0 - (time_s - top_s) / CLOSING_S;
                        let throttle = (climbing * left).max(0.0);
                        Upwards::Speed { airspeed_m_s, throttle }
                    }
                    None => Upwards::Speed { airspeed_m_s, throttle: climbing },
                };
                Task { sideways: north, upwards }
            }
            LessonKey::PowerChange => {
                let throttle = lesson.guided(time_s, Sticks::default()).throttle;
                Task { sideways: north, upwards: Upwards::Speed { airspeed_m_s: cruise, throttle } }
            }
            LessonKey::StallAndRecovery => {
                self.stalled |= time_s > 2.0 && self.lets_go(session);
                let upwards = if self.stalled {
                    Upwards::Speed { airspeed_m_s: 1.4 * stall, throttle: 0.9 }
                } else if time_s > 2.0 {
                    // Pulled briskly with some power on, since many a tail
                    // cannot stall its wing slowly.
                    let back = (0.4 * (time_s - 2.0)).min(1.0);
                    Upwards::Stick { elevator: back, throttle: self.cruise_throttle }
                } else {
                    level(2.0 * lesson.height_m)
                };
                Task { sideways: Sideways::Bank(0.0), upwards }
            }
        }
    }

    #[inline]
    fn lets_go(&self, session: &Session) -> bool {
        session.record().last().is_some_and(|sample| sample.stall_share > 0.3)
    }
}
