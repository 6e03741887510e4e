//! Short lessons with a goal that the record is held against.
//!
//! A [`Lesson`] is data: how it starts, how long it lasts, what is measured and
//! which values earn everything and nothing. [`Lesson::judge`] measures,
//! [`demonstration`] flies it by itself, [`comparison`] flies one manoeuvre with
//! two settings. Sizes go with the aircraft's speeds, so one lesson suits all.
//! Sentences are the interface's.

pub mod comparison;
pub mod demonstration;
mod measure;

// What is `#[inline]` here is compiled into who calls it, where the page asks for
// small code and not for speed.

use serde::{Deserialize, Serialize};

pub use measure::Measure;

use super::autopilot::Autopilot;
use super::contact::launch;
use super::radio::Sticks;
use super::record::Record;
use super::setup::{Gusts, SessionOptions, Start};
use super::snapshot::TimedEvent;
use crate::aircraft::{Launch, SoundAircraft};
use crate::assess::Assessment;
use crate::dynamics::{GRASS_ROUGHNESS_M, SteadyWind};

/// Which lesson, in the order of learning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LessonKey {
    /// Straight and level.
    HoldLevel,
    /// A full turn; the bank is set and then let be.
    GentleTurn,
    /// Flying towards oneself, where left and right are exchanged.
    TowardsYou,
    /// Up with power, down without.
    ClimbAndGlide,
    /// The program moves the throttle; the pilot keeps speed and wings.
    PowerChange,
    /// Take-off, once round, landing.
    Circuit,
    /// Slower until it lets go, and back to flight.
    StallAndRecovery,
    /// Along the strip with the wind across it.
    Crosswind,
    /// From the last leg to a stop.
    Landing,
}

impl LessonKey {
    /// All of them in the order of learning.
    pub const ALL: [Self; 9] = [
        Self::HoldLevel,
        Self::GentleTurn,
        Self::TowardsYou,
        Self::ClimbAndGlide,
        Self::PowerChange,
        Self::Circuit,
        Self::StallAndRecovery,
        Self::Crosswind,
        Self::Landing,
    ];

    /// The one after it; none after the last.
    pub fn next(self) -> Option<Self> {
        let mut later = Self::ALL.into_iter().skip_while(|key| *key != self);
        later.nth(1)
    }
}

/// One measurement with the values that earn everything and nothing; between
/// them the score falls in a straight line.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Goal {
    /// What is measured.
    pub measure: Measure,
    /// The value that earns 1, in the measure's unit.
    pub full: f64,
    /// The value that earns 0.
    pub none: f64,
}

/// A goal with what was reached.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ScorePart {
    /// The goal.
    pub goal: Goal,
    /// What was measured; `None` where there was nothing to measure, as a sink
    /// rate without a landing.
    pub value: Option<f64>,
    /// 0 to 1.
    pub score: f64,
}

/// A lesson's result.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Score {
    /// Mean of the parts, 0 to 1.
    pub total: f64,
    /// Whether it was flown to its end.
    pub whole: bool,
    /// Whether that is so and every part earned at least a third.
    pub passed: bool,
    /// The parts in the order of the goals.
    pub parts: Vec<ScorePart>,
}

/// Least score of every part of a lesson that is passed.
const PASS_SCORE: f64 = 1.0 / 3.0;

/// Share of its time that counts as all of it.
const WHOLE_SHARE: f64 = 0.95;

/// A lesson for one aircraft.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lesson {
    /// Which one.
    pub key: LessonKey,
    /// How the flight is set up.
    pub options: SessionOptions,
    /// Longest time, s.
    pub duration_s: f64,
    /// Whether coming to a stop or a crash ends it before.
    pub ends_on_ground: bool,
    /// What counts.
    pub goals: Vec<Goal>,
    /// Throttle that the program sets, as times (s) and values from then on;
    /// empty where it is the pilot's.
    pub throttle_course: Vec<(f64, f64)>,
    /// Height at the start, or of the circuit, m.
    pub height_m: f64,
    /// Airspeed of ordinary flight, m/s.
    pub cruise_m_s: f64,
    /// Stall speed, m/s.
    pub stall_m_s: f64,
}

impl Lesson {
    /// The lesson for an aircraft.
    #[inline]
    pub fn new(key: LessonKey, aircraft: &SoundAircraft, assessment: &Assessment) -> Self {
        let (cruise_m_s, stall_m_s) = (assessment.trim.airspeed_m_s, assessment.stall.airspeed_m_s);
        let height_m = HEIGHT_S * cruise_m_s;
        let cruise_throttle = assessment.trim.controls.throttle;
        let base = Setup { aircraft, cruise_m_s, height_m };
        let throttle_course = match key {
            LessonKey::PowerChange => {
                let more = (cruise_throttle + POWER_CHANGE).min(1.0);
                vec![(0.0, cruise_throttle), (6.0, more), (14.0, 0.0), (22.0, cruise_throttle)]
            }
            _ => Vec::new(),
        };
        Self {
            key,
            options: base.options(key),
            duration_s: duration_s(key),
            ends_on_ground: matches!(key, LessonKey::Circuit | LessonKey::Landing),
            goals: goals(key, cruise_m_s, stall_m_s, height_m),
            throttle_course,
            height_m,
            cruise_m_s,
            stall_m_s,
        }
    }

    /// The sticks as they reach the radio: the throttle is the program's where
    /// the lesson says so.
    pub fn guided(&self, time_s: f64, sticks: Sticks) -> Sticks {
        let set = self.throttle_course.iter().rev().find(|(from_s, _)| time_s >= *from_s);
        Sticks { throttle: set.map_or(sticks.throttle, |(_, throttle)| *throttle), ..sticks }
    }

    /// Holds a record and its events against the goals.
    #[inline]
    pub fn judge(&self, record: &Record, events: &[TimedEvent]) -> Score {
        let parts: Vec<ScorePart> = self
            .goals
            .iter()
            .map(|goal| {
                let value = goal.measure.of(self, record, events);
                let score = value.map_or(0.0, |value| {
                    ((value - goal.none) / (goal.full - goal.none)).clamp(0.0, 1.0)
                });
                ScorePart { goal: *goal, value, score }
            })
            .collect();
        let total = parts.iter().map(|part| part.score).sum::<f64>() / parts.len().max(1) as f64;
        let flown_s = record.last().map_or(0.0, |sample| f64::from(sample.time_s));
        // A landing shows in its goals; any other lesson takes its time.
        let whole = self.ends_on_ground || flown_s >= WHOLE_SHARE * self.duration_s;
        let passed = whole && parts.iter().all(|part| part.score >= PASS_SCORE);
        Score { total, whole, passed, parts }
    }

    /// A pilot that shows it.
    #[inline]
    pub fn demonstration(
        &self,
        session: &super::Session,
        assessment: &Assessment,
    ) -> demonstration::Demonstration {
        let pilot = Autopilot::new(session, assessment);
        demonstration::Demonstration::new(self, session, pilot)
    }
}

/// Throttle more than in level flight in the lesson on power.
const POWER_CHANGE: f64 = 0.35;
/// Height of the lessons in seconds of cruise: about 30 m.
const HEIGHT_S: f64 = 2.7;
/// Distance at which a flight towards oneself begins, seconds of cruise.
const TOWARDS_S: f64 = 14.0;
/// Where the landing lesson begins, seconds of cruise before the strip.
const FINAL_S: f64 = 12.0;
/// Slope on which it begins.
const FINAL_SLOPE: f64 = 0.1;

/// What the options of a lesson follow from.
struct Setup<'a> {
    aircraft: &'a SoundAircraft,
    cruise_m_s: f64,
    height_m: f64,
}

impl Setup<'_> {
    #[inline]
    fn options(&self, key: LessonKey) -> SessionOptions {
        use std::f64::consts::{FRAC_PI_2, PI};
        let air = |north_m, east_m, height_m, heading_rad| Start::InTheAir {
            north_m,
            east_m,
            height_m,
            heading_rad,
        };
        let level = air(0.0, 0.0, self.height_m, 0.0);
        let (start, wind_m_s, from_rad) = match key {
            LessonKey::HoldLevel | LessonKey::PowerChange | LessonKey::ClimbAndGlide => {
                (level, 1.5, 0.0)
            }
            LessonKey::GentleTurn => (level, 0.0, 0.0),
            LessonKey::TowardsYou => {
                (air(TOWARDS_S * self.cruise_m_s, 0.0, self.height_m, PI), 1.5, 0.0)
            }
            LessonKey::StallAndRecovery => (air(0.0, 0.0, 2.0 * self.height_m, 0.0), 0.0, 0.0),
            LessonKey::Crosswind => {
                (air(-FINAL_S * self.cruise_m_s, 0.0, 0.5 * self.height_m, 0.0), 3.0, FRAC_PI_2)
            }
            LessonKey::Landing => {
                let north_m = -FINAL_S * self.cruise_m_s;
                (air(north_m, 0.0, -north_m * FINAL_SLOPE, 0.0), 1.5, 0.0)
            }
            LessonKey::Circuit => match launch(self.aircraft) {
                Launch::Ground => (Start::OnStrip, 1.5, 0.0),
                Launch::Hand => (Start::HandLaunch, 1.5, 0.0),
            },
        };
        let wind = SteadyWind { speed_m_s: wind_m_s, from_rad, roughness_m: GRASS_ROUGHNESS_M };
        SessionOptions { start, wind, gusts: Gusts::WithWind, ..SessionOptions::default() }
    }
}

#[inline]
fn duration_s(key: LessonKey) -> f64 {
    match key {
        LessonKey::HoldLevel => 20.0,
        LessonKey::GentleTurn => 30.0,
        LessonKey::TowardsYou => 1.2 * TOWARDS_S,
        LessonKey::ClimbAndGlide => 35.0,
        LessonKey::PowerChange => 28.0,
        LessonKey::Circuit => 180.0,
        LessonKey::StallAndRecovery => 25.0,
        LessonKey::Crosswind => 1.6 * FINAL_S,
        LessonKey::Landing => 60.0,
    }
}

/// Goals of every lesson. All limits are our own judgement of what a beginner
/// reaches after some tries.
#[inline]
fn goals(key: LessonKey, cruise_m_s: f64, stall_m_s: f64, height_m: f64) -> Vec<Goal> {
    use Measure as M;
    let goal = |measure, full, none| Goal { measure, full, none };
    let degrees = f64::to_radians;
    let share = |part: f64| part * height_m;
    match key {
        LessonKey::HoldLevel => vec![
            goal(M::HeightError, share(0.1), share(0.5)),
            goal(M::BankSize, degrees(6.0), degrees(25.0)),
            goal(M::HeadingDrift, degrees(15.0), degrees(90.0)),
        ],
        LessonKey::GentleTurn => vec![
            goal(M::TurnedThrough, degrees(340.0), degrees(90.0)),
            goal(M::BankGreatest, degrees(45.0), degrees(75.0)),
            goal(M::HeightError, share(0.15), share(0.6)),
            goal(M::HandsOffShare, 0.4, 0.0),
        ],
        LessonKey::TowardsYou => vec![
            goal(M::LineError, 0.6 * cruise_m_s, 4.0 * cruise_m_s),
            goal(M::WrongWayShare, 0.03, 0.3),
            goal(M::HeightError, share(0.2), share(0.7)),
        ],
        LessonKey::ClimbAndGlide => vec![
            goal(M::HeightGained, share(0.8), share(0.1)),
            goal(M::HeightAtEnd, share(1.2), share(2.5)),
            goal(M::SpeedLeast, 1.12 * stall_m_s, 0.95 * stall_m_s),
            goal(M::BankSize, degrees(8.0), degrees(30.0)),
        ],
        LessonKey::PowerChange => vec![
            goal(M::SpeedError, 0.12 * cruise_m_s, 0.4 * cruise_m_s),
            goal(M::SpeedLeast, 1.12 * stall_m_s, 0.95 * stall_m_s),
            goal(M::BankSize, degrees(8.0), degrees(30.0)),
        ],
        LessonKey::Circuit => vec![
            goal(M::TurnedThrough, degrees(330.0), degrees(120.0)),
            goal(M::SinkOnLanding, 1.2, 3.5),
            goal(M::StoppedOffLine, 5.0, 40.0),
            goal(M::StoppedOffOrigin, 40.0, 150.0),
        ],
        LessonKey::StallAndRecovery => vec![
            goal(M::StalledGreatest, 0.3, 0.05),
            goal(M::HeightLostInStall, share(0.35), share(1.2)),
            goal(M::StalledAtEnd, 0.05, 0.4),
            goal(M::BankGreatest, degrees(40.0), degrees(110.0)),
        ],
        LessonKey::Crosswind => vec![
            goal(M::LineError, 0.4 * cruise_m_s, 2.5 * cruise_m_s),
            goal(M::HeightError, share(0.15), share(0.5)),
            goal(M::SpeedLeast, 1.12 * stall_m_s, 0.95 * stall_m_s),
        ],
        LessonKey::Landing => vec![
            goal(M::SinkOnLanding, 1.2, 3.5),
            goal(M::BankOnLanding, degrees(6.0), degrees(25.0)),
            goal(M::StoppedOffLine, 3.0, 25.0),
            goal(M::StoppedOffOrigin, 30.0, 120.0),
        ],
    }
}
