//! One flight in real time.
//!
//! # Method
//! A fixed step of 4 ms with one evaluation of the air loads. They are
//! extrapolated to the middle of the step by the two-step method of Adams and
//! Bashforth; under the load so held, weight, gyroscopic moments and kinematics
//! are stepped by the midpoint method (second order throughout, so a roll mode
//! of 20 1/s is followed within `5/12 (0.08)^2`, 0.3 %). The method is stable
//! for damping up to one per step, 250 1/s (Hairer, Norsett and Wanner, Solving
//! Ordinary Differential Equations I, section III.1; from memory). While
//! something touches the ground, the step is cut in four, the contact forces
//! are taken anew in each by the semi-implicit method, the air loads are held.
//!
//! # Limits
//! Speed and rates are bounded where the loads' model has long ended: 150 m/s
//! (Mach 0.44) and 50 rad/s (eight turns a second, 0.2 rad a step). A
//! state that cannot be computed ends the flight as lost; none is ever stored.

mod begin;
mod flying;

use self::begin::{built, charges_as_measured, check_options, rudder_throw_rad, wing_shares};
use self::flying::CONTACT_PARTS;
use super::contact::{ContactPoint, contact_points, reach_m};
use super::radio::{Radio, Sticks};
use super::record::{Record, SAMPLE_RATE_HZ, Sample};
use super::setup::{FlightError, SessionOptions, Start};
use super::snapshot::{Event, Phase, Snapshot, StripSnapshot, TimedEvent};
use crate::aero::grid::GridOptions;
use crate::aircraft::SoundAircraft;
use crate::analysis::Trim;
use crate::assess::{Assessment, Question, aeroplane};
use crate::atmosphere::GRAVITY_M_S2;
use crate::dynamics::{
    Aeroplane, Air, AirState, Airframe, Controls, FlightState, RigidBody, Turbulence, Wrench,
};
use crate::frames::{AirAngles, Euler};

/// The fixed step, s.
pub const STEP_S: f64 = 0.004;
/// Most time that one call of [`Session::advance`] makes up for, s; a page that
/// slept for longer goes on from where it was.
pub const CATCH_UP_MAX_S: f64 = 0.25;
const STEPS_PER_SAMPLE: u64 = (1.0 / (STEP_S * SAMPLE_RATE_HZ)) as u64;
/// Share of the wing's area let go that counts as a stall.
const STALLED_SHARE: f64 = 0.3;
/// Most events that wait to be fetched; more are dropped.
const EVENTS_MAX: usize = 256;

/// A flight.
#[derive(Debug, Clone)]
pub struct Session {
    aeroplane: Aeroplane,
    body: RigidBody,
    points: Vec<ContactPoint>,
    reach_m: f64,
    /// Share of each strip in the wing's area; 0 for other surfaces.
    wing_shares: Vec<f64>,
    rudder_throw_rad: f64,
    still_air: Air,
    trim: Trim,
    /// Charge of each unit's pack at the start, 0 to 1.
    charges: Vec<f64>,
    options: SessionOptions,
    radio: Radio,
    sticks: Sticks,
    moving: Moving,
    record: Record,
    events: Vec<TimedEvent>,
}

/// What changes from step to step.
#[derive(Debug, Clone)]
struct Moving {
    steps: u64,
    waiting_s: f64,
    phase: Phase,
    state: FlightState,
    controls: Controls,
    air: Air,
    turbulence: Turbulence,
    /// Air loads of the step before; none after a start.
    loads_before: Option<Wrench>,
    /// All loads on the aircraft in the last step.
    loads: Wrench,
    /// Charge of each unit's pack, 0 to 1.
    charges: Vec<f64>,
    stall_share: f64,
    off_ground_s: f64,
    /// Airspeed and distance from the origin where the ground was last left.
    left_ground: (f64, f64),
    at_rest_s: f64,
    flown: bool,
    stopped: bool,
    stalled: bool,
    out_of_sight: bool,
    pack_low: bool,
}

impl Session {
    /// Sets a flight up.
    ///
    /// # Errors
    /// [`FlightError`] names what stands in the way.
    pub fn new(
        aircraft: &SoundAircraft,
        question: &Question,
        assessment: &Assessment,
        options: SessionOptions,
    ) -> Result<Self, FlightError> {
        check_options(&options)?;
        let aeroplane = aeroplane(aircraft, question, GridOptions::default()).map_err(built)?;
        let air = Air::still(&assessment.atmosphere);
        let body = RigidBody::new(&aeroplane, air.density_kg_m3)?;
        let points = contact_points(aircraft, &aeroplane, STEP_S / CONTACT_PARTS as f64);
        let still_air = Air { ground_m: options.ground_effect.then_some(0.0), ..air };
        let charges = charges_as_measured(&aeroplane);
        let mut session = Self {
            reach_m: reach_m(&points),
            wing_shares: wing_shares(aircraft, &aeroplane),
            rudder_throw_rad: rudder_throw_rad(aircraft),
            radio: Radio::advised(&assessment.throws, &assessment.trim),
            trim: assessment.trim.clone(),
            moving: Moving::new(&assessment.trim, still_air, charges.clone(), options.seed),
            charges,
            sticks: Sticks::default(),
            record: Record::default(),
            events: Vec::new(),
            aeroplane,
            body,
            points,
            still_air,
            options,
        };
        session.restart(options)?;
        Ok(session)
    }

    /// Begins anew; sticks centred, record and events forgotten, radio kept.
    ///
    /// # Errors
    /// Options without meaning; the flight then stays as it was.
    pub fn restart(&mut self, options: SessionOptions) -> Result<(), FlightError> {
        check_options(&options)?;
        self.options = options;
        self.still_air.ground_m = options.ground_effect.then_some(0.0);
        self.sticks = Sticks::default();
        self.record.clear();
        self.events.clear();
        self.moving = Moving::new(&self.trim, self.still_air, self.charges.clone(), options.seed);
        self.apply_charges();
        match options.start {
            Start::OnStrip => {
                self.moving.controls = Controls { throttle: 0.0, ..self.moving.controls };
                self.moving.phase = Phase::OnGround;
                self.moving.state = self.at_rest();
            }
            Start::HandLaunch => {
                self.moving.phase = Phase::InHand;
                self.moving.state = self.in_hand();
            }
            Start::InTheAir { north_m, east_m, height_m, heading_rad } => {
                self.sticks.throttle = self.trim.controls.throttle;
                self.moving.flown = true;
                self.moving.state = self.in_trim(north_m, east_m, height_m, heading_rad);
            }
        }
        self.renew_air(0.0);
        // What the strips do is known from the first sample on.
        self.moving.loads = self.aeroplane.loads(&self.met(), &self.moving.controls);
        self.sample();
        Ok(())
    }

    /// Moves the sticks.
    pub fn set_sticks(&mut self, sticks: Sticks) {
        self.sticks = sticks.within_gates();
    }

    /// The sticks as they are.
    pub fn sticks(&self) -> Sticks {
        self.sticks
    }

    /// Exchanges the radio's settings, also in flight.
    pub fn set_radio(&mut self, radio: Radio) {
        self.radio = radio;
    }

    /// The radio's settings.
    pub fn radio(&self) -> &Radio {
        &self.radio
    }

    /// Throws the aircraft; nothing happens unless it is in the hand.
    pub fn release(&mut self) {
        if self.moving.phase == Phase::InHand {
            self.moving.phase = Phase::Flying;
            self.moving.flown = true;
            let airspeed_m_s = self.air_angles().airspeed_m_s;
            self.tell(Event::TookOff { airspeed_m_s, roll_m: 0.0 });
        }
    }

    /// Flies on by a time as the wall clock has it, in whole steps; what is left
    /// over waits for the next call. Returns the number of steps.
    pub fn advance(&mut self, wall_time_s: f64) -> usize {
        let given =
            if wall_time_s.is_finite() { wall_time_s.clamp(0.0, CATCH_UP_MAX_S) } else { 0.0 };
        self.moving.waiting_s += given;
        let mut steps = 0;
        while self.moving.waiting_s >= STEP_S {
            self.moving.waiting_s -= STEP_S;
            self.step();
            steps += 1;
        }
        steps
    }

    /// Flies on by one step of [`STEP_S`].
    pub fn step(&mut self) {
        match self.moving.phase {
            Phase::Crashed => {}
            Phase::InHand => self.move_controls(),
            Phase::OnGround | Phase::Flying => self.fly(),
        }
        self.moving.steps += 1;
        if self.moving.steps.is_multiple_of(STEPS_PER_SAMPLE) {
            self.drain_packs();
            self.sample();
        }
    }

    /// Time since the start, s.
    pub fn time_s(&self) -> f64 {
        self.moving.steps as f64 * STEP_S
    }

    /// What the aircraft is about.
    pub fn phase(&self) -> Phase {
        self.moving.phase
    }

    /// Position, attitude and motion.
    pub fn state(&self) -> &FlightState {
        &self.moving.state
    }

    /// The record so far.
    pub fn record(&self) -> &Record {
        &self.record
    }

    /// Events since the last call.
    pub fn take_events(&mut self) -> Vec<TimedEvent> {
        std::mem::take(&mut self.events)
    }

    /// Points that can touch the ground, for drawing and tests.
    pub fn contact_points(&self) -> &[ContactPoint] {
        &self.points
    }

    /// The aeroplane that flies.
    pub fn aeroplane(&self) -> &Aeroplane {
        &self.aeroplane
    }

    /// Ordinary flight, which starts and trims are taken from.
    pub fn trim(&self) -> &Trim {
        &self.trim
    }

    /// How the flight was set up.
    pub fn options(&self) -> &SessionOptions {
        &self.options
    }

    /// Deflections and throttle as they are.
    pub fn controls(&self) -> &Controls {
        &self.moving.controls
    }

    /// Airspeed and flow angles at the balance point.
    pub fn air_angles(&self) -> AirAngles {
        AirAngles::of_velocity(&self.met().velocity_body)
    }

    /// Everything to be drawn, at the last step.
    pub fn snapshot(&self) -> Snapshot {
        self.snapshot_of(&self.moving.state)
    }

    /// Everything to be drawn, carried on by the time that waits for the next
    /// step: smooth at any frame rate.
    pub fn drawn(&self) -> Snapshot {
        let (state, ahead_s) = (&self.moving.state, self.moving.waiting_s);
        let moves = matches!(self.moving.phase, Phase::Flying | Phase::OnGround);
        let ahead_s = if moves { ahead_s } else { 0.0 };
        let turned = nalgebra::UnitQuaternion::from_scaled_axis(state.rates_body * ahead_s);
        self.snapshot_of(&FlightState {
            position_ned: state.position_ned + state.velocity_ned() * ahead_s,
            attitude: state.attitude * turned,
            ..*state
        })
    }

    fn snapshot_of(&self, state: &FlightState) -> Snapshot {
        let angles = self.air_angles();
        let strips = self.aeroplane.aero().strip_loads();
        let points = self.aeroplane.operating_points(&self.met(), self.throttle());
        Snapshot {
            time_s: self.time_s(),
            phase: self.moving.phase,
            position_ned: state.position_ned,
            velocity_ned: state.velocity_ned(),
            attitude: state.attitude,
            euler: Euler::of_attitude(&state.attitude),
            rates_body: state.rates_body,
            airspeed_m_s: angles.airspeed_m_s,
            alpha_rad: angles.alpha_rad,
            beta_rad: angles.beta_rad,
            height_m: state.height_m(),
            controls: self.moving.controls,
            propeller_rpm: points.iter().map(|point| 60.0 * point.turns_per_s()).collect(),
            pack_current_a: points.iter().map(|point| point.pack_current_a).collect(),
            charge: self.charge(),
            load_factor: self.load_factor(),
            stall_share: self.moving.stall_share,
            strips: strips
                .iter()
                .map(|strip| StripSnapshot {
                    quarter_chord_body: strip.quarter_chord,
                    stalled: 1.0 - strip.attached,
                })
                .collect(),
            wind_ned: self.moving.air.wind_ned,
        }
    }

    fn met(&self) -> AirState {
        self.moving.air.met_by(&self.moving.state)
    }

    fn charge(&self) -> f64 {
        self.moving.charges.iter().copied().fold(1.0, f64::min)
    }

    /// The throttle that the motor follows; none from an empty pack or after a
    /// crash.
    fn throttle(&self) -> f64 {
        let runs = self.moving.phase != Phase::Crashed && self.charge() > 0.0;
        if runs { self.moving.controls.throttle } else { 0.0 }
    }

    fn load_factor(&self) -> f64 {
        let Moving { state, loads, air, .. } = &self.moving;
        let felt = self.body.acceleration(state, loads, air);
        felt.map_or(1.0, |acceleration| -acceleration.felt_body.z / GRAVITY_M_S2)
    }

    fn sample(&mut self) {
        let strips = self.aeroplane.aero().strip_loads();
        let let_go = strips.iter().zip(&self.wing_shares);
        self.moving.stall_share = let_go.map(|(strip, share)| (1.0 - strip.attached) * share).sum();
        let angles = self.air_angles();
        let stalled = self.moving.stall_share > STALLED_SHARE;
        if stalled && !self.moving.stalled && self.moving.phase == Phase::Flying {
            self.tell(Event::Stalled { airspeed_m_s: angles.airspeed_m_s });
        }
        self.moving.stalled = stalled;
        let state = &self.moving.state;
        let (euler, velocity) = (Euler::of_attitude(&state.attitude), state.velocity_ned());
        let (controls, sticks) = (&self.moving.controls, &self.sticks);
        self.record.push(Sample {
            time_s: self.time_s() as f32,
            stick_elevator: sticks.elevator as f32,
            stick_aileron: sticks.aileron as f32,
            stick_rudder: sticks.rudder as f32,
            stick_throttle: sticks.throttle as f32,
            elevator_rad: controls.elevator_rad as f32,
            aileron_rad: controls.aileron_rad as f32,
            rudder_rad: controls.rudder_rad as f32,
            roll_rate_rad_s: state.rates_body.x as f32,
            pitch_rate_rad_s: state.rates_body.y as f32,
            yaw_rate_rad_s: state.rates_body.z as f32,
            bank_rad: euler.bank_rad as f32,
            pitch_rad: euler.pitch_rad as f32,
            heading_rad: euler.heading_rad as f32,
            north_m: state.position_ned.x as f32,
            east_m: state.position_ned.y as f32,
            height_m: state.height_m() as f32,
            airspeed_m_s: angles.airspeed_m_s as f32,
            climb_rate_m_s: -velocity.z as f32,
            load_factor: self.load_factor() as f32,
            stall_share: self.moving.stall_share as f32,
            on_ground: f32::from(u8::from(self.moving.phase != Phase::Flying)),
        });
    }
}

impl Moving {
    fn new(trim: &Trim, air: Air, charges: Vec<f64>, seed: u64) -> Self {
        Self {
            steps: 0,
            waiting_s: 0.0,
            phase: Phase::Flying,
            state: trim.state(),
            controls: trim.controls,
            air,
            turbulence: Turbulence::new(seed),
            loads_before: None,
            loads: trim.loads,
            charges,
            stall_share: 0.0,
            off_ground_s: 0.0,
            left_ground: (0.0, 0.0),
            at_rest_s: 0.0,
            flown: false,
            stopped: false,
            stalled: false,
            out_of_sight: false,
            pack_low: false,
        }
    }
}
