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
mod look;

use self::begin::{built, charges_as_measured, check_options, rudder_throw_rad, wing_shares};
use self::flying::CONTACT_PARTS;
use super::contact::{ContactPoint, contact_points, reach_m};
use super::debrief::StickAxis;
use super::radio::{Radio, Sticks};
use super::record::{Record, SAMPLE_RATE_HZ};
use super::setup::{FlightError, SessionOptions, Start};
use super::snapshot::{Event, Phase, TimedEvent};
use super::trims::{ClickSizes, TrimCorrection, Trims};
use crate::aero::grid::GridOptions;
use crate::aircraft::SoundAircraft;
use crate::analysis::Trim;
use crate::assess::{Assessment, Question, aeroplane};
use crate::atmosphere::GRAVITY_M_S2;
use crate::dynamics::{
    Aeroplane, Air, AirState, Airframe, Controls, FlightState, RigidBody, Turbulence, Wrench,
};
use crate::frames::AirAngles;

/// The fixed step, s.
pub const STEP_S: f64 = 0.004;
/// Most time that one call of [`Session::advance`] makes up for, s; a page that
/// slept for longer goes on from where it was.
pub const CATCH_UP_MAX_S: f64 = 0.25;
const STEPS_PER_SAMPLE: u64 = (1.0 / (STEP_S * SAMPLE_RATE_HZ)) as u64;
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
    click_sizes: ClickSizes,
    trims: Trims,
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
        let radio = Radio::advised(&assessment.throws, &assessment.trim);
        let click_sizes = ClickSizes::of(&radio);
        let mut session = Self {
            reach_m: reach_m(&points),
            wing_shares: wing_shares(aircraft, &aeroplane),
            rudder_throw_rad: rudder_throw_rad(aircraft),
            radio,
            click_sizes,
            trims: Trims::centred(&click_sizes),
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

    /// Begins anew; sticks and trims centred, record and events forgotten, radio
    /// kept.
    ///
    /// # Errors
    /// Options without meaning; the flight then stays as it was.
    pub fn restart(&mut self, options: SessionOptions) -> Result<(), FlightError> {
        check_options(&options)?;
        self.options = options;
        self.still_air.ground_m = options.ground_effect.then_some(0.0);
        self.sticks = Sticks::default();
        self.trims = Trims::centred(&self.click_sizes);
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

    /// Moves a trim lever by some clicks, as far as it goes.
    pub fn click_trim(&mut self, axis: StickAxis, clicks: i32) {
        self.trims.click(axis, clicks);
    }

    /// The trim levers.
    pub fn trims(&self) -> &Trims {
        &self.trims
    }

    /// What trim levers that are out of the middle say about the aeroplane.
    pub fn trim_corrections(&self, assessment: &Assessment) -> Vec<TrimCorrection> {
        self.click_sizes.corrections(&self.trims, assessment)
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
