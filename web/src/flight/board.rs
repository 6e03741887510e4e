//! The signals between a flight and what stands around its picture.

use leptos::prelude::*;
use sim_core::dynamics::{GRASS_ROUGHNESS_M, SteadyWind};
use sim_core::flight::lessons::LessonKey;
use sim_core::flight::lessons::comparison::ComparisonKey;
use sim_core::flight::{Gusts, Phase, SessionOptions, Start, Trims};

use super::cameras::View;
use super::hands::Source;
use super::sticks::Gates;

/// What the pilot came for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Errand {
    /// To fly as they like.
    Free,
    /// To fly a lesson.
    Lesson(LessonKey),
    /// To watch the program fly a lesson.
    Shown(LessonKey),
    /// To watch the program fly one manoeuvre with two settings side by side.
    Both(ComparisonKey),
    /// To fly one of the two settings: 0 or 1.
    Setting(ComparisonKey, usize),
}

impl Errand {
    /// The lesson that it is about.
    pub fn lesson(self) -> Option<LessonKey> {
        match self {
            Self::Lesson(key) | Self::Shown(key) => Some(key),
            Self::Free | Self::Both(_) | Self::Setting(..) => None,
        }
    }

    /// The comparison that it is about.
    pub fn comparison(self) -> Option<ComparisonKey> {
        match self {
            Self::Both(key) | Self::Setting(key, _) => Some(key),
            Self::Free | Self::Lesson(_) | Self::Shown(_) => None,
        }
    }

    /// Whether the program flies.
    pub fn is_shown(self) -> bool {
        matches!(self, Self::Shown(_) | Self::Both(_))
    }

    /// The same comparison, flown by hand with the other setting.
    pub fn other_setting(self) -> Option<Self> {
        match self {
            Self::Setting(key, which) => Some(Self::Setting(key, 1 - which)),
            _ => None,
        }
    }
}

/// Which throws the radio has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Throws {
    /// Advised, low rate.
    #[default]
    Low,
    /// Advised, high rate.
    High,
    /// As set in the radio now, where the sheet says so.
    Present,
    /// All that the hinges give, without expo: what a radio out of its box does.
    All,
}

impl Throws {
    /// All that there are for an aircraft.
    pub fn each(is_set: bool) -> Vec<Self> {
        let present = is_set.then_some(Self::Present);
        [Self::Low, Self::High].into_iter().chain(present).chain([Self::All]).collect()
    }
}

/// How flights begin, and in what air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// Whether it starts in the hand, not on the strip.
    pub by_hand: bool,
    /// Wind at 20 ft, m/s.
    pub wind_m_s: f64,
    /// Where the wind comes from, clockwise from along the strip, rad.
    pub from_rad: f64,
    /// Whether it is gusty.
    pub gusty: bool,
    /// Counts the flights, so that no two have the same gusts.
    pub seed: u64,
}

impl Day {
    /// The options of a free flight on this day.
    pub fn options(&self) -> SessionOptions {
        SessionOptions {
            start: if self.by_hand { Start::HandLaunch } else { Start::OnStrip },
            wind: SteadyWind {
                speed_m_s: self.wind_m_s,
                from_rad: self.from_rad,
                roughness_m: GRASS_ROUGHNESS_M,
            },
            gusts: if self.gusty { Gusts::WithWind } else { Gusts::None },
            seed: self.seed,
            ..SessionOptions::default()
        }
    }
}

/// What is read off in flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readings {
    /// Time since the start, s.
    pub time_s: f64,
    /// What the aircraft is about.
    pub phase: Phase,
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Height over the strip, m.
    pub height_m: f64,
    /// Climb, m/s.
    pub climb_m_s: f64,
    /// Distance from the pilot, m.
    pub distance_m: f64,
    /// Throttle stick, 0 to 1.
    pub throttle: f64,
    /// Charge left, 0 to 1.
    pub charge: f64,
    /// Load factor, weights.
    pub load_factor: f64,
    /// Bank, rad.
    pub bank_rad: f64,
    /// Nose over the horizon, rad.
    pub pitch_rad: f64,
    /// Share of the wing that has let go.
    pub stall_share: f64,
    /// The sticks as they stand.
    pub gates: Gates,
    /// The trim levers as they stand.
    pub trims: Trims,
    /// Who flies.
    pub source: Source,
    /// Time left of a lesson, s.
    pub left_s: Option<f64>,
}

/// What is going on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// In flight or about to be.
    Under,
    /// Over: landed, broken, or time up.
    Over,
    /// A record runs again.
    Replay,
}

/// The signals.
#[derive(Clone, Copy)]
pub struct Board {
    /// What the pilot came for.
    pub errand: RwSignal<Errand>,
    /// What is going on.
    pub stage: RwSignal<Stage>,
    /// Whether the pilot lets time stand.
    pub paused: RwSignal<bool>,
    /// Whether the sheet of choices is open; time stands meanwhile, since nobody
    /// flies who reads.
    pub choosing: RwSignal<bool>,
    /// Whether the trim levers are shown.
    pub trimming: RwSignal<bool>,
    /// Where on the picture two aeroplanes side by side are, from its left upper
    /// corner, as shares of its sides.
    pub names_at: RwSignal<Option<[(f32, f32); 2]>>,
    /// Readings, some eight times a second.
    pub readings: RwSignal<Option<Readings>>,
    /// Where it is looked at from.
    pub view: RwSignal<View>,
    /// The radio's throws.
    pub throws: RwSignal<Throws>,
    /// Whether the sheet says what is set in the radio now.
    pub is_set: bool,
    /// Air and start.
    pub day: RwSignal<Day>,
    /// Whether the propeller is heard.
    pub sound: RwSignal<bool>,
    /// Camera in the nose: tilt deg, pan deg, delay ms.
    pub mount: RwSignal<(f64, f64, f64)>,
}

impl Board {
    /// Whether time goes on.
    pub fn runs(&self) -> bool {
        !self.paused.get_untracked() && !self.choosing.get_untracked()
    }

    /// The radio's next set of throws.
    pub fn change_throws(&self) {
        let each = Throws::each(self.is_set);
        self.throws.update(|throws| *throws = next_of(&each, throws));
    }

    /// The next place to look from.
    pub fn change_view(&self) {
        self.view.update(|view| *view = next_of(&View::ALL, view));
    }

    /// A board for an errand.
    pub fn new(errand: Errand, by_hand: bool, is_set: bool) -> Self {
        let day = Day { by_hand, wind_m_s: 0.0, from_rad: 0.0, gusty: false, seed: 1 };
        Self {
            errand: RwSignal::new(errand),
            stage: RwSignal::new(Stage::Under),
            paused: RwSignal::new(false),
            choosing: RwSignal::new(false),
            trimming: RwSignal::new(false),
            names_at: RwSignal::new(None),
            readings: RwSignal::new(None),
            // Two side by side are seen best from behind.
            view: RwSignal::new(if matches!(errand, Errand::Both(_)) {
                View::Chase
            } else {
                View::Ground
            }),
            throws: RwSignal::new(Throws::Low),
            is_set,
            day: RwSignal::new(day),
            sound: RwSignal::new(false),
            mount: RwSignal::new((8.0, 0.0, 0.0)),
        }
    }
}

/// The one after `current`, round and round.
fn next_of<T: Copy + PartialEq>(each: &[T], current: &T) -> T {
    let at = each.iter().position(|one| one == current).unwrap_or(0);
    each.get((at + 1) % each.len().max(1)).copied().unwrap_or(*current)
}
