//! One manoeuvre, two settings: what dihedral, throw and propwash feel like.

use serde::{Deserialize, Serialize};

use crate::aircraft::{Aircraft, SoundAircraft, SurfaceRole};
use crate::assess::{Assessment, Question, assess};
use crate::flight::radio::{Radio, Sticks};
use crate::flight::record::{Record, Sample};
use crate::flight::session::Session;
use crate::flight::setup::{FlightError, SessionOptions, Start};

/// What is felt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ComparisonKey {
    /// A rudder pulse with more and with less dihedral.
    Dihedral,
    /// An elevator pulse with the advised throw and with twice that.
    Throw,
    /// A rudder pulse with full power and with none.
    Propwash,
}

impl ComparisonKey {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Dihedral, Self::Throw, Self::Propwash];
}

/// What one of the two flights differs in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Variant {
    /// Change of every wing panel's dihedral, deg.
    pub dihedral_change_deg: f64,
    /// Factor on all throws.
    pub throw_factor: f64,
    /// Throttle during the pulse; `None` leaves it as trimmed.
    pub throttle: Option<f64>,
}

impl Variant {
    const AS_IS: Self = Self { dihedral_change_deg: 0.0, throw_factor: 1.0, throttle: None };

    /// The aircraft of this variant, to be checked anew.
    #[inline]
    pub fn aircraft(&self, mut aircraft: Aircraft) -> Aircraft {
        for surface in &mut aircraft.surfaces {
            if surface.role == SurfaceRole::Wing {
                for panel in &mut surface.panels {
                    panel.dihedral_deg =
                        (panel.dihedral_deg + self.dihedral_change_deg).clamp(-80.0, 80.0);
                }
            }
        }
        aircraft
    }

    /// The radio of this variant: the throws of the aircraft as it is, so that
    /// both flights are flown with the same hand, and the variant's own trims.
    #[inline]
    pub fn radio(&self, as_is: Radio, own: &Radio) -> Radio {
        let mut radio = as_is.with_throws_times(self.throw_factor);
        radio.elevator.trim_rad = own.elevator.trim_rad;
        radio.aileron.trim_rad = own.aileron.trim_rad;
        radio.rudder.trim_rad = own.rudder.trim_rad;
        radio
    }
}

/// A manoeuvre flown twice from the same start.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Comparison {
    /// What is felt.
    pub key: ComparisonKey,
    /// The two settings.
    pub variants: [Variant; 2],
    /// How both flights are set up.
    pub options: SessionOptions,
    /// Length of each flight, s.
    pub duration_s: f64,
}

/// What a flight of a comparison came to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ComparisonNumbers {
    /// Greatest change of bank from the start, rad.
    pub bank_rad: f64,
    /// Bank one second after the pulse began, rad, less that at its start.
    pub bank_at_1_s_rad: f64,
    /// Greatest yaw rate, rad/s.
    pub yaw_rate_rad_s: f64,
    /// Greatest pitch rate, rad/s.
    pub pitch_rate_rad_s: f64,
    /// Greatest change of load factor from 1.
    pub load_factor_change: f64,
    /// Greatest change of height, m.
    pub height_change_m: f64,
}

/// The pulse begins after this time and lasts for so long, s.
const PULSE_FROM_S: f64 = 1.0;
const PULSE_S: f64 = 1.0;
/// Stick of the pulse.
const PULSE_STICK: f64 = 0.7;
/// Time after which both flights end, s.
const DURATION_S: f64 = 6.0;
/// Change of dihedral either way, deg.
const DIHEDRAL_CHANGE_DEG: f64 = 3.0;

impl Comparison {
    /// The comparison from `height_m` over the strip.
    #[inline]
    pub fn new(key: ComparisonKey, height_m: f64) -> Self {
        let as_is = Variant::AS_IS;
        let variants = match key {
            ComparisonKey::Dihedral => [
                Variant { dihedral_change_deg: DIHEDRAL_CHANGE_DEG, ..as_is },
                Variant { dihedral_change_deg: -DIHEDRAL_CHANGE_DEG, ..as_is },
            ],
            ComparisonKey::Throw => [as_is, Variant { throw_factor: 2.0, ..as_is }],
            ComparisonKey::Propwash => {
                [Variant { throttle: Some(1.0), ..as_is }, Variant { throttle: Some(0.0), ..as_is }]
            }
        };
        let start = Start::InTheAir { north_m: 0.0, east_m: 0.0, height_m, heading_rad: 0.0 };
        let options = SessionOptions { start, ..SessionOptions::default() };
        Self { key, variants, options, duration_s: DURATION_S }
    }

    /// The flight of one of the two settings, ready to begin, with the aircraft of
    /// that setting.
    ///
    /// # Errors
    /// [`FlightError::Varied`] where the change leads out of the limits, else as
    /// [`Session::new`].
    #[inline]
    pub fn session(
        &self,
        variant: &Variant,
        as_is: (&SoundAircraft, &Assessment),
        question: &Question,
    ) -> Result<(Session, SoundAircraft), FlightError> {
        let (aircraft, assessment) = as_is;
        let hand = Radio::advised(&assessment.throws, &assessment.trim);
        let varied = variant.aircraft((**aircraft).clone());
        let varied = varied.check().map_err(|_| FlightError::Varied)?;
        let own = assess(&varied, question).map_err(|error| FlightError::Assess(error.into()))?;
        let mut session = Session::new(&varied, question, &own, self.options)?;
        session.set_radio(variant.radio(hand, session.radio()));
        Ok((session, varied))
    }

    /// The sticks of a pilot who flies a setting: the throttle is the setting's
    /// where it has one.
    #[inline]
    pub fn guided(&self, variant: &Variant, sticks: Sticks) -> Sticks {
        Sticks { throttle: variant.throttle.unwrap_or(sticks.throttle), ..sticks }
    }

    /// The sticks of the manoeuvre at a time; `throttle` is the trimmed one.
    #[inline]
    pub fn sticks(&self, variant: &Variant, time_s: f64, throttle: f64) -> Sticks {
        let pulse = (PULSE_FROM_S..PULSE_FROM_S + PULSE_S).contains(&time_s);
        let size = if pulse { PULSE_STICK } else { 0.0 };
        // Power is changed shortly before the pulse, so that the propeller has
        // its speed and the aircraft still has its own.
        let changed = variant.throttle.filter(|_| time_s >= PULSE_FROM_S - 0.4);
        let throttle = changed.unwrap_or(throttle);
        match self.key {
            ComparisonKey::Throw => Sticks { elevator: size, throttle, ..Sticks::default() },
            ComparisonKey::Dihedral | ComparisonKey::Propwash => {
                Sticks { rudder: size, throttle, ..Sticks::default() }
            }
        }
    }

    /// What a flight came to; `None` for an empty record.
    #[inline]
    pub fn numbers(&self, record: &Record) -> Option<ComparisonNumbers> {
        let first = *record.samples().next()?;
        let at = |time_s: f64| {
            record
                .samples()
                .find(|s| f64::from(s.time_s) >= time_s - 1e-6)
                .copied()
                .unwrap_or(first)
        };
        let most = |read: fn(&Sample) -> f32, from: f32| {
            record.samples().map(|s| f64::from((read(s) - from).abs())).fold(0.0, f64::max)
        };
        let banked = at(PULSE_FROM_S + 1.0).bank_rad - at(PULSE_FROM_S).bank_rad;
        Some(ComparisonNumbers {
            bank_rad: most(|s| s.bank_rad, first.bank_rad),
            bank_at_1_s_rad: f64::from(banked),
            yaw_rate_rad_s: most(|s| s.yaw_rate_rad_s, 0.0),
            pitch_rate_rad_s: most(|s| s.pitch_rate_rad_s, 0.0),
            load_factor_change: most(|s| s.load_factor, 1.0),
            height_change_m: most(|s| s.height_m, first.height_m),
        })
    }
}
