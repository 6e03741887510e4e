//! What a flight needs to know before it begins.

use serde::{Deserialize, Serialize};

use crate::assess::AssessError;
use crate::dynamics::{Actuators, AeroplaneError, GRASS_ROUGHNESS_M, MotionError, SteadyWind};

/// Where and how a flight begins. The strip runs north through the origin; its
/// surface is at height 0.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Start {
    /// On the ground at the origin, heading along the strip, or lying on its
    /// belly where there are no wheels.
    OnStrip,
    /// Thrown from the shoulder at the origin, along the strip.
    HandLaunch,
    /// Trimmed in the air as computed for ordinary flight.
    InTheAir {
        /// North of the origin, m.
        north_m: f64,
        /// East of the origin, m.
        east_m: f64,
        /// Height over the strip, m.
        height_m: f64,
        /// Heading, clockwise from north, rad.
        heading_rad: f64,
    },
}

/// Turbulence that goes with the wind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Gusts {
    /// The wind is steady.
    #[default]
    None,
    /// As the steady wind and the height bring about.
    WithWind,
    /// The specification's light turbulence: as of 15 kt.
    Light,
    /// Moderate: as of 30 kt. Not model weather.
    Moderate,
}

impl Gusts {
    /// Wind at 20 ft that the gusts go with, m/s; `None` is no gusts.
    #[inline]
    pub(super) fn wind_m_s(self, steady_m_s: f64) -> Option<f64> {
        const KNOT_M_S: f64 = 1852.0 / 3600.0;
        match self {
            Self::None => None,
            Self::WithWind => Some(steady_m_s),
            Self::Light => Some(15.0 * KNOT_M_S),
            Self::Moderate => Some(30.0 * KNOT_M_S),
        }
    }
}

/// How a flight is set up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SessionOptions {
    /// Where it begins.
    pub start: Start,
    /// Steady wind with its gradient.
    pub wind: SteadyWind,
    /// Turbulence.
    pub gusts: Gusts,
    /// Seed of the turbulence; the same one gives the same flight.
    pub seed: u64,
    /// Servos and motor.
    pub actuators: Actuators,
    /// Whether the ground reduces the downwash.
    pub ground_effect: bool,
    /// Whether the pack empties.
    pub pack_empties: bool,
}

impl Default for SessionOptions {
    #[inline]
    fn default() -> Self {
        Self {
            start: Start::OnStrip,
            wind: SteadyWind::CALM,
            gusts: Gusts::None,
            seed: 1,
            actuators: Actuators::SMALL,
            ground_effect: true,
            pack_empties: true,
        }
    }
}

impl SessionOptions {
    /// A wind of `speed_m_s` at 20 ft from a heading over short grass, with the
    /// gusts that go with it.
    #[inline]
    pub fn in_wind(self, speed_m_s: f64, from_rad: f64) -> Self {
        let wind = SteadyWind { speed_m_s, from_rad, roughness_m: GRASS_ROUGHNESS_M };
        Self { wind, gusts: Gusts::WithWind, ..self }
    }
}

/// Why a flight cannot begin.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FlightError {
    /// The aircraft cannot be put together.
    #[error(transparent)]
    Aeroplane(#[from] AeroplaneError),
    /// The question has no answer.
    #[error(transparent)]
    Assess(Box<AssessError>),
    /// Mass and inertia move nothing real.
    #[error("motion: {0}")]
    Motion(#[from] MotionError),
    /// A changed aircraft lies outside what can be computed.
    #[error("with this change the aeroplane lies outside what can be computed")]
    Varied,
    /// A number of the options has no meaning; its name is given.
    #[error("{quantity}: is {value}, allowed is a finite number{range}")]
    Options {
        /// Which number.
        quantity: &'static str,
        /// Its value.
        value: f64,
        /// The range in words, with a leading blank, or nothing.
        range: &'static str,
    },
}
