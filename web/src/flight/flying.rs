//! A flight on the screen: lets the core fly on by the time that has passed,
//! and draws what it says. No physics here.

mod pace;
mod paint;
pub mod pair;
mod shown;
mod throws;

use nalgebra::Vector3;
use sim_core::aircraft::{ControlRole, Launch, SoundAircraft};
use sim_core::assess::{Assessment, Question};
use sim_core::flight::debrief::StickAxis;
use sim_core::flight::lessons::comparison::Comparison;
use sim_core::flight::lessons::demonstration::Demonstration;
use sim_core::flight::lessons::{Lesson, Score};
use sim_core::flight::{Event, FlightError, Record, STEP_S, Session, TimedEvent, TrimCorrection};

use super::board::{Board, Errand, Readings, Stage};
use super::cameras::Cameras;
use super::hands::Hands;
use super::sound::Sound;
use super::sticks::pad::Order;
use crate::scene::aeroplane::{Joint, PaperModel};
use crate::scene::craft::Craft;
use crate::scene::field::PILOT_M;
use crate::scene::mesh::{FLOATS_PER_CORNER, Point};
use crate::scene::stage::wants_stillness;
use leptos::prelude::*;
use pace::Pace;
use paint::FieldOnCard;
use pair::Pair;
use shown::Shown;

/// A flight with all that belongs to it.
pub struct Flying {
    session: Session,
    assessment: Assessment,
    aircraft: SoundAircraft,
    craft: Craft,
    field: Option<FieldOnCard>,
    /// The pilot's hands.
    pub hands: Hands,
    cameras: Cameras,
    board: Board,
    lesson: Option<Lesson>,
    pair: Option<Pair>,
    shows: Option<Box<Demonstration>>,
    has_ailerons: bool,
    events: Vec<TimedEvent>,
    replay_s: f64,
    last_ms: Option<f64>,
    waiting_s: f64,
    over_since_s: Option<f64>,
    readings_ms: f64,
    pace: Pace,
    sound: Option<Sound>,
}

/// A page that slept for longer goes on from where it was, s.
const STEP_MAX_S: f64 = 0.25;
/// Time between two readings, ms.
const READINGS_MS: f64 = 120.0;
/// A flight that has ended is looked at for so long before the debrief, s.
const LINGER_S: f64 = 1.6;

impl Flying {
    /// Sets a flight up.
    ///
    /// # Errors
    /// Whatever the core says.
    pub fn new(
        aircraft: &SoundAircraft,
        question: &Question,
        assessment: &Assessment,
        board: Board,
    ) -> Result<Self, FlightError> {
        let (pair, session, craft) = match board.errand.get_untracked().comparison() {
            Some(key) => {
                let (pair, session, craft) = Pair::new(key, (aircraft, assessment), question)?;
                (Some(pair), session, craft)
            }
            None => {
                let options = board.day.get_untracked().options();
                let session = Session::new(aircraft, question, assessment, options)?;
                let origin = assessment.mass.balance_point.to_body_axes();
                (None, session, Craft::new(PaperModel::new(aircraft, origin)))
            }
        };
        let model = craft.model();
        let mut cameras = Cameras::new(board.view.get_untracked(), model.radius_m, nose(model));
        cameras.is_calm = wants_stillness();
        let has_ailerons = aircraft.surfaces.iter().flat_map(|s| &s.controls).any(|control| {
            matches!(
                control.role,
                ControlRole::Aileron | ControlRole::Elevon | ControlRole::Flaperon
            )
        });
        let mut flying = Self {
            session,
            assessment: assessment.clone(),
            aircraft: aircraft.clone(),
            craft,
            field: None,
            hands: Hands::from_device(),
            cameras,
            board,
            lesson: None,
            pair,
            shows: None,
            has_ailerons,
            events: Vec::new(),
            replay_s: 0.0,
            last_ms: None,
            waiting_s: 0.0,
            over_since_s: None,
            readings_ms: 0.0,
            pace: Pace::default(),
            sound: None,
        };
        flying.begin();
        Ok(flying)
    }

    /// Begins the errand anew.
    pub fn begin(&mut self) {
        let errand = self.board.errand.get_untracked();
        self.lesson = errand.lesson().map(|key| Lesson::new(key, &self.aircraft, &self.assessment));
        self.board.day.update(|day| day.seed += 1);
        if let Some(pair) = &mut self.pair {
            pair.begin(errand, &mut self.session, &mut self.craft);
        }
        let options = match (&self.lesson, &self.pair) {
            (Some(lesson), _) => lesson.options,
            (None, Some(pair)) => pair.comparison.options,
            (None, None) => self.board.day.get_untracked().options(),
        };
        if self.session.restart(options).is_err() {
            // Only options without meaning are refused, and ours have one.
            return;
        }
        self.set_throws();
        self.shows = match (errand, &self.lesson) {
            (Errand::Shown(_), Some(lesson)) => {
                Some(Box::new(lesson.demonstration(&self.session, &self.assessment)))
            }
            _ => None,
        };
        self.hands.rest(self.session.sticks().throttle);
        self.cameras.reset();
        self.pace = Pace::default();
        self.events.clear();
        self.over_since_s = None;
        self.waiting_s = 0.0;
        self.last_ms = None;
        // What was read off belongs to the flight before.
        self.readings_ms = 0.0;
        self.field_changes();
        self.board.stage.set(Stage::Under);
        self.board.paused.set(false);
    }

    fn field_changes(&mut self) {
        if let Some(field) = &mut self.field {
            field.wind_changed = true;
        }
    }

    /// Throws the aircraft, if it is in the hand.
    pub fn release(&mut self) {
        self.session.release();
    }

    /// Starts or ends the sound, after a press.
    pub fn set_sound(&mut self, on: bool) {
        let blades = self.aircraft.propulsion.first().map_or(2, |unit| unit.propeller.blades);
        self.sound = on.then(|| Sound::start(blades)).flatten();
    }

    /// Silences the sound until the next frame that runs.
    pub fn hush(&self) {
        if let Some(sound) = &self.sound {
            sound.hush();
        }
    }

    /// Points the camera in the nose.
    pub fn set_mount(&mut self, (tilt_deg, pan_deg, delay_ms): (f64, f64, f64)) {
        self.cameras.mount.tilt_rad = tilt_deg.to_radians() as f32;
        self.cameras.mount.pan_rad = pan_deg.to_radians() as f32;
        self.cameras.mount.delay_s = delay_ms / 1e3;
    }

    /// Moves a trim lever by some clicks. Where there are no ailerons the hand that
    /// would trim them trims the rudder.
    pub fn click_trim(&mut self, axis: StickAxis, clicks: i32) {
        let moves = self.session.trims().moves(axis);
        let axis = if axis == StickAxis::Aileron && !moves { StickAxis::Rudder } else { axis };
        self.session.click_trim(axis, clicks);
        self.readings_ms = 0.0;
    }

    /// Does what a button of the game pad asks for.
    fn obey(&mut self, order: Order) {
        match order {
            Order::Throw => self.release(),
            Order::SwitchThrows => self.board.change_throws(),
            Order::SwitchView => self.board.change_view(),
            Order::Pause => self.board.paused.update(|paused| *paused = !*paused),
            Order::Trim(axis, clicks) => self.click_trim(axis, clicks),
        }
    }

    /// What the trim levers say about the aeroplane.
    pub fn trim_corrections(&self) -> Vec<TrimCorrection> {
        self.session.trim_corrections(&self.assessment)
    }

    /// The comparison, with the records of both settings.
    pub fn compared(&self) -> Option<(Comparison, [Option<Record>; 2])> {
        let pair = self.pair.as_ref()?;
        Some((pair.comparison, pair.records(self.session.record())))
    }

    /// The record so far.
    pub fn record(&self) -> &Record {
        self.session.record()
    }

    /// The lesson, with what the flight was worth in it.
    pub fn judged(&self) -> Option<(Lesson, Score)> {
        let lesson = self.lesson.clone()?;
        let score = lesson.judge(self.session.record(), &self.events);
        Some((lesson, score))
    }

    /// How it came to an end badly, if it did.
    pub fn crash(&self) -> Option<Event> {
        let crashed = |event: &&TimedEvent| matches!(event.event, Event::Crashed { .. });
        self.events.iter().find(crashed).map(|event| event.event)
    }

    /// How the aircraft is launched.
    pub fn by_hand(aircraft: &SoundAircraft) -> bool {
        sim_core::flight::contact::launch(aircraft) == Launch::Hand
    }

    /// Runs the record again.
    pub fn replay(&mut self) {
        self.replay_s = 0.0;
        self.cameras.reset();
        self.board.stage.set(Stage::Replay);
        self.board.paused.set(false);
    }

    /// Ends the flight here and goes to the debrief.
    pub fn finish(&mut self) {
        self.board.stage.set(Stage::Over);
    }

    fn fly_on(&mut self, step_s: f64) {
        let mut sticks = self.hands.advance(step_s, self.has_ailerons);
        if let Some(pair) = self.pair.as_mut().filter(|pair| pair.both) {
            self.waiting_s += step_s;
            while self.waiting_s >= STEP_S {
                self.waiting_s -= STEP_S;
                pair.step(&mut self.session);
            }
        } else if let Some(pilot) = &mut self.shows {
            self.waiting_s += step_s;
            while self.waiting_s >= STEP_S {
                self.waiting_s -= STEP_S;
                pilot.fly(&mut self.session);
                self.session.step();
            }
        } else {
            if let Some(lesson) = &self.lesson {
                sticks = lesson.guided(self.session.time_s(), sticks);
            }
            if let Some(pair) = &self.pair {
                sticks = pair.comparison.guided(&pair.comparison.variants[pair.at()], sticks);
            }
            self.session.set_sticks(sticks);
            self.session.advance(step_s);
        }
        self.events.extend(self.session.take_events());
        self.look_for_the_end();
    }

    fn look_for_the_end(&mut self) {
        let time_s = self.session.time_s();
        let ended = |event: &TimedEvent| {
            matches!(event.event, Event::Crashed { .. } | Event::Stopped { .. })
        };
        let both = self.pair.as_ref().filter(|pair| pair.both);
        let duration_s = both.map(|pair| pair.comparison.duration_s);
        let duration_s = duration_s.or(self.lesson.as_ref().map(|lesson| lesson.duration_s));
        let time_is_up = duration_s.is_some_and(|duration_s| time_s >= duration_s);
        let flown = self
            .events
            .iter()
            .any(|e| matches!(e.event, Event::Landed { .. } | Event::Crashed { .. }));
        let ended = self.events.iter().any(ended) && flown;
        if time_is_up {
            self.board.stage.set(Stage::Over);
        } else if ended {
            let since = *self.over_since_s.get_or_insert(time_s);
            if time_s - since > LINGER_S {
                self.board.stage.set(Stage::Over);
            }
        }
    }

    /// What is drawn now.
    fn shown(&mut self, step_s: f64) -> Shown {
        if self.board.stage.get_untracked() == Stage::Replay {
            self.replay_s += step_s;
            if let Some((shown, ended)) = Shown::at(self.session.record(), self.replay_s) {
                if ended {
                    self.board.stage.set(Stage::Over);
                }
                return shown;
            }
        }
        Shown::of_snapshot(&self.session.drawn())
    }

    /// The second aeroplane, where two fly side by side.
    fn beside(&self) -> Option<Shown> {
        let replays = self.board.stage.get_untracked() == Stage::Replay;
        let pair = self.pair.as_ref().filter(|pair| pair.both)?;
        pair.drawn(replays.then_some(self.replay_s))
    }

    fn tell(&mut self, now_ms: f64, shown: &Shown) {
        if now_ms - self.readings_ms < READINGS_MS {
            return;
        }
        self.readings_ms = now_ms;
        let gates = self.hands.habits.mode.gates(&shown.sticks);
        let distance = Vector3::new(
            f64::from(shown.pose.at.x - PILOT_M.0),
            f64::from(shown.pose.at.y - PILOT_M.1),
            f64::from(shown.pose.at.z),
        );
        self.board.readings.set(Some(Readings {
            time_s: shown.time_s,
            phase: shown.phase,
            airspeed_m_s: shown.airspeed_m_s,
            height_m: f64::from(-shown.pose.at.z),
            climb_m_s: shown.climb_m_s,
            distance_m: distance.norm(),
            throttle: shown.sticks.throttle,
            charge: shown.charge,
            load_factor: shown.load_factor,
            bank_rad: shown.bank_rad,
            pitch_rad: shown.pitch_rad,
            stall_share: shown.stall_share,
            gates,
            trims: *self.session.trims(),
            source: self.hands.source,
            left_s: self.lesson.as_ref().map(|lesson| (lesson.duration_s - shown.time_s).max(0.0)),
        }));
    }
}

/// The foremost point of what does not move, a little above and ahead.
fn nose(model: &PaperModel) -> Point {
    let fixed = model.pieces.iter().filter(|piece| piece.joint == Joint::Fixed);
    let corners = fixed.flat_map(|piece| piece.mesh.facets.chunks_exact(FLOATS_PER_CORNER));
    let foremost = corners
        .map(|corner| Point::new(corner[0], corner[1], corner[2]))
        .filter(|corner| corner.y.abs() < 0.15 * model.radius_m)
        .max_by(|a, b| a.x.total_cmp(&b.x))
        .unwrap_or_default();
    Point::new(foremost.x + 0.01, 0.0, foremost.z - 0.02)
}
