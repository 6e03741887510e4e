//! Two aeroplanes that differ in one setting: flown by the program side by side,
//! or by hand one after the other.

use sim_core::aircraft::SoundAircraft;
use sim_core::assess::{Assessment, Question};
use sim_core::flight::lessons::comparison::{Comparison, ComparisonKey};
use sim_core::flight::{FlightError, Record, Session};

use super::shown::Shown;
use crate::flight::board::Errand;
use crate::scene::aeroplane::PaperModel;
use crate::scene::craft::Craft;
use crate::scene::mesh::Point;

/// Height that both flights begin at, m.
pub const HEIGHT_M: f64 = 40.0;
/// The second aeroplane is drawn beside the first by so many of its radii.
const BESIDE_RADII: f32 = 2.4;

/// Moves both flights of a comparison by a step of its manoeuvre.
pub fn step(comparison: &Comparison, sessions: [&mut Session; 2]) {
    for (variant, session) in comparison.variants.iter().zip(sessions) {
        let throttle = session.trim().controls.throttle;
        session.set_sticks(comparison.sticks(variant, session.time_s(), throttle));
        session.step();
    }
}

/// What is flown of a comparison, and the aeroplane that is not the one flown by
/// hand.
pub struct Pair {
    pub comparison: Comparison,
    pub session: Session,
    pub craft: Craft,
    /// Which setting the flight itself has; the other one is here.
    at: usize,
    /// Which settings have been flown by hand.
    by_hand: [bool; 2],
    /// Whether both fly.
    pub both: bool,
}

impl Pair {
    /// The pair, and the flight and model of its first setting.
    ///
    /// # Errors
    /// Whatever the core says.
    pub fn new(
        key: ComparisonKey,
        as_is: (&SoundAircraft, &Assessment),
        question: &Question,
    ) -> Result<(Self, Session, Craft), FlightError> {
        let comparison = Comparison::new(key, HEIGHT_M);
        let ready = |which: usize| {
            let variant = &comparison.variants[which];
            let (session, aircraft) = comparison.session(variant, as_is, question)?;
            let origin = session.aeroplane().mass().balance_point.to_body_axes();
            Ok::<_, FlightError>((session, Craft::new(PaperModel::new(&aircraft, origin))))
        };
        let (first, first_craft) = ready(0)?;
        let (session, craft) = ready(1)?;
        let pair = Self { comparison, session, craft, at: 0, by_hand: [false; 2], both: false };
        Ok((pair, first, first_craft))
    }

    /// Begins an errand: puts the setting that it asks for into the flight.
    pub fn begin(&mut self, errand: Errand, session: &mut Session, craft: &mut Craft) {
        let which = if let Errand::Setting(_, which) = errand { which } else { 0 };
        if which != self.at {
            std::mem::swap(&mut self.session, session);
            std::mem::swap(&mut self.craft, craft);
            self.at = which;
        }
        self.both = matches!(errand, Errand::Both(_));
        if self.both {
            self.by_hand = [false; 2];
            // Options as they were, which have a meaning.
            let _ = self.session.restart(self.comparison.options);
        } else {
            self.by_hand[which] = true;
        }
    }

    /// Which setting the flight itself has.
    pub fn at(&self) -> usize {
        self.at
    }

    /// The records of both settings in their order, `own` being the flight's; none
    /// of a setting that was not flown.
    pub fn records(&self, own: &Record) -> [Option<Record>; 2] {
        std::array::from_fn(|which| {
            let record = if which == self.at { own } else { self.session.record() };
            (self.both || self.by_hand[which]).then(|| record.clone())
        })
    }

    /// Moves both by a step of the manoeuvre.
    pub fn step(&mut self, session: &mut Session) {
        step(&self.comparison, [session, &mut self.session]);
    }

    /// The second aeroplane where it is drawn: beside the first.
    pub fn drawn(&self, replay_s: Option<f64>) -> Option<Shown> {
        let shown = match replay_s {
            Some(at_s) => Shown::at(self.session.record(), at_s)?.0,
            None => Shown::of_snapshot(&self.session.drawn()),
        };
        Some(shown.moved(Point::y() * (BESIDE_RADII * self.craft.model().radius_m)))
    }
}
