//! The program at the sticks: for tests, demonstrations and lessons.
//!
//! # Method
//! Cascaded loops. Inside, attitude is held by [`regulator`] gains of the
//! aircraft's linear model, weakened with dynamic pressure. Around it: a line
//! over ground asks for a course, a course for a bank; a height asks for a climb
//! angle, a climb angle for a pitch attitude; speed is held by the throttle, or
//! in a climb at full throttle and in the glide by pitch. It moves sticks through the radio
//! like a pilot, fifty times a second, and knows the state exactly, as a pilot
//! does not.

pub mod circuit;
mod regulator;
mod vertical;

use nalgebra::DMatrix;
use serde::{Deserialize, Serialize};

use super::radio::Sticks;
use super::session::{STEP_S, Session};
use super::snapshot::Phase;
use crate::assess::Assessment;
use crate::atmosphere::GRAVITY_M_S2;
use crate::frames::Euler;

/// Steps of the flight between two looks at the state: 20 ms.
pub const STEPS_PER_LOOK: usize = 5;
const LOOK_S: f64 = STEPS_PER_LOOK as f64 * STEP_S;

/// Where to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sideways {
    /// Hold a bank, right positive, rad.
    Bank(f64),
    /// Hold a course over ground, clockwise from north, rad.
    Course(f64),
    /// Follow a line over ground.
    Line {
        /// A point of the line, m north.
        north_m: f64,
        /// The same, m east.
        east_m: f64,
        /// Its course, rad.
        course_rad: f64,
    },
}

/// How high and how fast.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Upwards {
    /// Height by pitch, speed by throttle.
    Height {
        /// Height over the strip, m.
        height_m: f64,
        /// Airspeed, m/s.
        airspeed_m_s: f64,
    },
    /// Speed by pitch at a given throttle: climb or glide.
    Speed {
        /// Airspeed, m/s.
        airspeed_m_s: f64,
        /// Throttle, 0 to 1.
        throttle: f64,
    },
    /// A climb angle by pitch, speed by throttle.
    Path {
        /// Climb angle over ground, rad.
        climb_rad: f64,
        /// Airspeed, m/s.
        airspeed_m_s: f64,
    },
    /// A sink rate by pitch, throttle closed: the flare.
    Flare {
        /// Climb rate, m/s; negative.
        climb_rate_m_s: f64,
    },
    /// A pitch attitude at a given throttle.
    Pitch {
        /// Pitch, rad.
        pitch_rad: f64,
        /// Throttle, 0 to 1.
        throttle: f64,
    },
    /// The elevator stick held, at a given throttle.
    Stick {
        /// Pitch stick, -1 to 1.
        elevator: f64,
        /// Throttle, 0 to 1.
        throttle: f64,
    },
}

/// What is to be flown at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Task {
    /// Where to.
    pub sideways: Sideways,
    /// How high and how fast.
    pub upwards: Upwards,
}

/// Weights: errors and deflections that count as equally bad. Bank and pitch
/// errors of a dozen degrees are answered by about half of a usual throw.
const BANK_ERROR_RAD: f64 = 0.25;
const PITCH_ERROR_RAD: f64 = 0.15;
const SIDESLIP_ERROR_RAD: f64 = 0.3;
const RATE_ERROR_RAD_S: f64 = 2.5;
const DEFLECTION_RAD: f64 = 0.25;
/// Share of the attitude gain that works on the summed error, 1/s.
const BANK_SUM_1_S: f64 = 0.35;
const PITCH_SUM_1_S: f64 = 0.8;
/// Largest part that the sum may take, rad of deflection.
const SUM_MAX_RAD: f64 = 0.25;
/// Gains follow dynamic pressure between these.
const SCALE_RANGE: (f64, f64) = (0.35, 2.5);
/// Course error is taken out at this rate, 1/s.
const COURSE_1_S: f64 = 0.55;
/// A line is met as far ahead as is flown in this time, s.
const LINE_AHEAD_S: f64 = 3.5;
/// Largest angle to the line on the way back to it, rad.
const LINE_ANGLE_MAX_RAD: f64 = 1.2;
/// Steepest bank of the autopilot, rad, and near the ground.
const BANK_MAX_RAD: f64 = 0.6;
const BANK_LOW_RAD: f64 = 0.2;
const LOW_M: f64 = 2.5;

/// A pilot.
#[derive(Debug, Clone)]
pub struct Autopilot {
    /// Elevator per w, q, theta.
    pitch_gains: [f64; 3],
    /// Aileron and rudder per v, p, r, phi.
    bank_gains: [[f64; 4]; 2],
    cruise: Cruise,
    bank_sum: [f64; 2],
    /// Rudder that steering on the ground has summed, rad.
    steer_sum: f64,
    vertical: vertical::Vertical,
}

/// Ordinary flight, about which the gains hold.
#[derive(Debug, Clone, Copy)]
struct Cruise {
    airspeed_m_s: f64,
    stall_m_s: f64,
    pitch_rad: f64,
    alpha_rad: f64,
    alpha_max_rad: f64,
    elevator_rad: f64,
    aileron_rad: f64,
    rudder_rad: f64,
    throttle: f64,
    /// Throttle per climb angle at steady speed, 1/rad.
    throttle_per_climb: f64,
    /// Climb angle at ordinary speed for throttles 0, 1/8 ... 1, rad.
    climb_at_throttle: [f64; 9],
}

impl Autopilot {
    /// A pilot for the aircraft of a session.
    pub fn new(session: &Session, assessment: &Assessment) -> Self {
        let (radio, model) = (session.radio(), &assessment.linear);
        let speed = model.airspeed_m_s;
        let square = |error: f64| 1.0 / (error * error);
        let (a, b) = (model.longitudinal().a, model.longitudinal().b);
        let fast = DMatrix::from_fn(3, 3, |row, column| a[(row + 1, column + 1)]);
        let lift = DMatrix::from_fn(3, 1, |row, _| b[(row + 1, 0)]);
        let weights = [0.0, square(RATE_ERROR_RAD_S), square(PITCH_ERROR_RAD)];
        let pitch = regulator::gains(&fast, &lift, &weights, &[square(DEFLECTION_RAD)]);
        let lateral = model.lateral();
        let a = DMatrix::from_fn(4, 4, |row, column| lateral.a[(row, column)]);
        let inputs: Vec<usize> = [(1, radio.aileron), (2, radio.rudder)]
            .into_iter()
            .filter(|(_, channel)| channel.high.throw_rad > 0.0)
            .map(|(column, _)| column)
            .collect();
        let b = DMatrix::from_fn(4, inputs.len(), |row, column| lateral.b[(row, inputs[column])]);
        let weights = [
            square(SIDESLIP_ERROR_RAD * speed),
            square(RATE_ERROR_RAD_S),
            0.0,
            square(BANK_ERROR_RAD),
        ];
        let bank = regulator::gains(&a, &b, &weights, &vec![square(DEFLECTION_RAD); inputs.len()]);
        let mut bank_gains = [[0.0; 4]; 2];
        for (row, column) in inputs.iter().enumerate() {
            bank_gains[column - 1] = std::array::from_fn(|state| bank[(row, state)]);
        }
        Self {
            pitch_gains: std::array::from_fn(|state| pitch[(0, state)]),
            bank_gains,
            cruise: Cruise::new(session, assessment),
            bank_sum: [0.0; 2],
            steer_sum: 0.0,
            vertical: vertical::Vertical::default(),
        }
    }

    /// Airspeed of ordinary flight, m/s.
    pub fn cruise_m_s(&self) -> f64 {
        self.cruise.airspeed_m_s
    }

    /// Stall speed, m/s.
    pub fn stall_m_s(&self) -> f64 {
        self.cruise.stall_m_s
    }

    /// Pitch attitude of ordinary flight, rad.
    pub fn cruise_pitch_rad(&self) -> f64 {
        self.cruise.pitch_rad
    }

    /// Throttle of ordinary flight.
    pub fn cruise_throttle(&self) -> f64 {
        self.cruise.throttle
    }

    /// The sticks that fly the task now; to be asked every
    /// [`STEPS_PER_LOOK`] steps.
    pub fn sticks(&mut self, session: &Session, task: &Task) -> Sticks {
        let (bank_rad, course_error) = self.bank_for(session, &task.sideways);
        let on_ground = session.phase() == Phase::OnGround;
        let (aileron_rad, rudder_rad) = if on_ground {
            self.bank_sum = [0.0; 2];
            self.steer(session, course_error)
        } else {
            self.steer_sum = 0.0;
            self.hold_bank(session, bank_rad)
        };
        let radio = session.radio();
        let (elevator, throttle) = self.upwards(session, &task.upwards);
        Sticks {
            elevator,
            aileron: radio.aileron.stick_for(aileron_rad),
            rudder: radio.rudder.stick_for(rudder_rad),
            flap: 0.0,
            throttle,
        }
        .within_gates()
    }

    /// Surfaces lose effect with dynamic pressure, so gains grow.
    fn scale(&self, airspeed_m_s: f64) -> f64 {
        let ratio = self.cruise.airspeed_m_s / airspeed_m_s.max(0.1);
        (ratio * ratio).clamp(SCALE_RANGE.0, SCALE_RANGE.1)
    }

    /// Bank, and the course error behind it, that a way asks for.
    fn bank_for(&self, session: &Session, way: &Sideways) -> (f64, f64) {
        let state = session.state();
        let velocity = state.velocity_ned();
        let ground_speed = velocity.xy().norm();
        let moves = ground_speed > 1.0 && session.phase() != Phase::OnGround;
        let heading = Euler::of_attitude(&state.attitude).heading_rad;
        let course = if moves { velocity.y.atan2(velocity.x) } else { heading };
        let wanted = match *way {
            Sideways::Bank(bank) => return (bank, 0.0),
            Sideways::Course(course) => course,
            Sideways::Line { north_m, east_m, course_rad } => {
                let (sin, cos) = course_rad.sin_cos();
                let (north, east) = (state.position_ned.x - north_m, state.position_ned.y - east_m);
                let right_of_line = east * cos - north * sin;
                let ahead = LINE_AHEAD_S * ground_speed.max(3.0);
                course_rad
                    - (right_of_line / ahead).atan().clamp(-LINE_ANGLE_MAX_RAD, LINE_ANGLE_MAX_RAD)
            }
        };
        let error = wrapped(wanted - course);
        let most = if session.state().height_m() < LOW_M { BANK_LOW_RAD } else { BANK_MAX_RAD };
        let turning = COURSE_1_S * error * ground_speed / GRAVITY_M_S2;
        (turning.atan().clamp(-most, most), error)
    }

    /// Aileron and rudder that hold a bank.
    fn hold_bank(&mut self, session: &Session, bank_rad: f64) -> (f64, f64) {
        let state = session.state();
        let euler = Euler::of_attitude(&state.attitude);
        let angles = session.air_angles();
        let speed = angles.airspeed_m_s.max(0.5 * self.cruise.stall_m_s);
        let turn = GRAVITY_M_S2 / speed * bank_rad.tan();
        let scale = self.scale(angles.airspeed_m_s);
        let error = [
            angles.velocity_body().y,
            state.rates_body.x + turn * euler.pitch_rad.sin(),
            state.rates_body.z - turn * bank_rad.cos(),
            wrapped(euler.bank_rad - bank_rad),
        ];
        let trims = [self.cruise.aileron_rad, self.cruise.rudder_rad];
        let asked: [f64; 2] = std::array::from_fn(|input| {
            let gains = &self.bank_gains[input];
            let sum = &mut self.bank_sum[input];
            *sum = (*sum - BANK_SUM_1_S * gains[3] * error[3].clamp(-0.3, 0.3) * LOOK_S)
                .clamp(-SUM_MAX_RAD, SUM_MAX_RAD);
            let feedback: f64 = gains.iter().zip(&error).map(|(gain, error)| gain * error).sum();
            trims[input] + *sum - scale * feedback
        });
        (asked[0], asked[1])
    }

    /// Rudder that steers on the ground, aileron that holds the wings level.
    fn steer(&mut self, session: &Session, course_error: f64) -> (f64, f64) {
        let state = session.state();
        let bank = Euler::of_attitude(&state.attitude).bank_rad;
        self.steer_sum = (self.steer_sum + STEER_SUM_1_S * course_error * LOOK_S)
            .clamp(-SUM_MAX_RAD, SUM_MAX_RAD);
        let yaw = self.steer_sum + STEER_RAD_PER_RAD * course_error
            - STEER_RAD_PER_RAD_S * state.rates_body.z;
        // To the right is a negative deflection.
        let scale = self.scale(session.air_angles().airspeed_m_s);
        (
            self.cruise.aileron_rad - scale * self.bank_gains[0][3] * bank,
            self.cruise.rudder_rad - yaw,
        )
    }
}

/// Rudder per course error and yaw rate while rolling (estimate: a throw of
/// 25 deg is used up by an error of 15 deg), and per summed error, since a wind
/// from the side turns the nose all the time.
const STEER_RAD_PER_RAD: f64 = 1.6;
const STEER_RAD_PER_RAD_S: f64 = 0.3;
const STEER_SUM_1_S: f64 = 1.0;

/// The same angle between -pi and pi.
fn wrapped(angle_rad: f64) -> f64 {
    use std::f64::consts::PI;
    (angle_rad + PI).rem_euclid(2.0 * PI) - PI
}

impl Cruise {
    fn new(session: &Session, assessment: &Assessment) -> Self {
        let trim = &assessment.trim;
        let weight = assessment.mass.mass_kg * GRAVITY_M_S2;
        let met = trim.air.met_by(&trim.state());
        let thrust = |throttle: f64| -> f64 {
            let points = session.aeroplane().operating_points(&met, throttle);
            points.iter().map(|point| point.thrust_n).sum()
        };
        let spare = thrust(1.0) - thrust(trim.controls.throttle);
        let left = 1.0 - trim.controls.throttle;
        let throttle_per_climb = if spare > 0.05 * weight { left * weight / spare } else { 0.0 };
        Self {
            airspeed_m_s: trim.airspeed_m_s,
            stall_m_s: assessment.stall.airspeed_m_s,
            pitch_rad: trim.pitch_rad,
            alpha_rad: trim.alpha_rad,
            alpha_max_rad: assessment.stall.alpha_rad,
            elevator_rad: trim.controls.elevator_rad,
            aileron_rad: trim.controls.aileron_rad,
            rudder_rad: trim.controls.rudder_rad,
            throttle: trim.controls.throttle,
            throttle_per_climb,
            climb_at_throttle: std::array::from_fn(|step| {
                let more = thrust(step as f64 / 8.0) - thrust(trim.controls.throttle);
                (more / weight).clamp(-0.9, 0.9).asin()
            }),
        }
    }

    /// Climb angle at ordinary speed that a throttle brings, rad.
    fn climb_rad(&self, throttle: f64) -> f64 {
        let place = (throttle * 8.0).clamp(0.0, 8.0);
        let step = (place as usize).min(7);
        let (low, high) = (self.climb_at_throttle[step], self.climb_at_throttle[step + 1]);
        low + (place - step as f64) * (high - low)
    }
}
