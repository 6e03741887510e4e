//! How a flight begins: on the strip, in the hand, in the air.

use nalgebra::Vector3;

use super::super::contact::settle;
use super::super::setup::{FlightError, SessionOptions, Start};
use super::Session;
use crate::aircraft::{ControlRole, SoundAircraft, SurfaceRole};
use crate::assess::AssessError;
use crate::dynamics::{Aeroplane, FlightState};
use crate::frames::Euler;
use crate::power::charge_at_rest;

/// Height of the shoulder that throws, m, and speed of a good throw, m/s
/// (estimate, 6 to 10).
const THROW_HEIGHT_M: f64 = 1.8;
const THROW_SPEED_M_S: f64 = 8.0;
/// The throw points above the path of trimmed flight by this, rad.
const THROW_CLIMB_RAD: f64 = 0.12;

impl Session {
    /// Lying still on its wheels or belly at the origin.
    #[inline]
    pub(super) fn at_rest(&self) -> FlightState {
        settle(&self.points, &self.body, &self.still_air)
    }

    #[inline]
    pub(super) fn in_hand(&self) -> FlightState {
        let path = Euler { pitch_rad: self.trim.pitch_rad + THROW_CLIMB_RAD, ..Euler::default() };
        let airspeed = self.trim.airspeed_m_s.min(THROW_SPEED_M_S);
        let alpha = self.trim.alpha_rad;
        FlightState {
            position_ned: Vector3::new(0.0, 0.0, -THROW_HEIGHT_M),
            velocity_body: Vector3::new(alpha.cos(), 0.0, alpha.sin()) * airspeed,
            attitude: path.ned_from_body(),
            rates_body: Vector3::zeros(),
        }
    }

    #[inline]
    pub(super) fn in_trim(
        &self,
        north_m: f64,
        east_m: f64,
        height_m: f64,
        heading_rad: f64,
    ) -> FlightState {
        let trimmed = self.trim.state();
        let attitude = Euler { heading_rad, ..self.trim.euler() }.ned_from_body();
        let wind_ned = self.options.wind.at_height(height_m);
        FlightState {
            position_ned: Vector3::new(north_m, east_m, -height_m),
            velocity_body: trimmed.velocity_body + attitude.inverse_transform_vector(&wind_ned),
            attitude,
            rates_body: trimmed.rates_body,
        }
    }
}

/// Charge of each unit's pack by its resting voltage, 0 to 1; 1 without one.
#[inline]
pub(super) fn charges_as_measured(aeroplane: &Aeroplane) -> Vec<f64> {
    let engines = aeroplane.engines();
    let units = engines.iter().map(|engine| engine.unit + 1).max().unwrap_or(0);
    let mut charges = vec![1.0; units];
    for engine in engines {
        if let Some(drive) = engine.power.electric() {
            let pack = &drive.pack;
            charges[engine.unit] = charge_at_rest(pack.resting_voltage_v / pack.cells);
        }
    }
    charges
}

#[inline]
pub(super) fn built(error: AssessError) -> FlightError {
    match error {
        AssessError::Aeroplane(error) => FlightError::Aeroplane(error),
        other => FlightError::Assess(Box::new(other)),
    }
}

#[inline]
pub(super) fn check_options(options: &SessionOptions) -> Result<(), FlightError> {
    let finite = |quantity, value: f64, least: f64, most: f64, range| {
        if value >= least && value <= most {
            Ok(())
        } else {
            Err(FlightError::Options { quantity, value, range })
        }
    };
    finite("wind speed", options.wind.speed_m_s, 0.0, 30.0, " from 0 to 30 m/s")?;
    finite("wind direction", options.wind.from_rad, -10.0, 10.0, " from -10 to 10 rad")?;
    finite("roughness of the ground", options.wind.roughness_m, 1e-4, 1.0, " from 0.0001 to 1 m")?;
    if let Start::InTheAir { north_m, east_m, height_m, heading_rad } = options.start {
        finite("start north", north_m, -2000.0, 2000.0, " within 2000 m")?;
        finite("start east", east_m, -2000.0, 2000.0, " within 2000 m")?;
        finite("start height", height_m, 1.0, 2000.0, " from 1 to 2000 m")?;
        finite("start heading", heading_rad, -10.0, 10.0, " from -10 to 10 rad")?;
    }
    Ok(())
}

/// Share of every strip in the wing's area, in the order of the strip loads.
#[inline]
pub(super) fn wing_shares(aircraft: &SoundAircraft, aeroplane: &Aeroplane) -> Vec<f64> {
    let grid = aeroplane.aero().grid();
    let area = |strip: &crate::aero::grid::Strip| {
        let wing = aircraft.surfaces.get(strip.surface).map(|surface| surface.role);
        if wing == Some(SurfaceRole::Wing) { strip.area_m2 } else { 0.0 }
    };
    let mut shares: Vec<f64> = grid.strips.iter().map(area).collect();
    let images: Vec<f64> = shares[..grid.right].to_vec();
    shares.extend(images);
    let whole: f64 = shares.iter().sum();
    shares.iter().map(|share| share / whole.max(f64::MIN_POSITIVE)).collect()
}

/// Full throw of the rudder, which full steering goes with, rad.
#[inline]
pub(super) fn rudder_throw_rad(aircraft: &SoundAircraft) -> f64 {
    let is_rudder = |role| matches!(role, ControlRole::Rudder | ControlRole::Ruddervator);
    let throws = aircraft.surfaces.iter().flat_map(|surface| &surface.controls);
    let throw = throws.filter(|control| is_rudder(control.role)).map(|c| c.throw_max_deg);
    throw.fold(0.0, f64::max).max(1.0).to_radians()
}
