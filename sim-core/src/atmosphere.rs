//! The standard atmosphere, and the air of any other day.
//!
//! # Method
//! ISO 2533:1975 below 11 km: temperature falls by 6.5 K per km of geopotential
//! height, pressure follows from hydrostatic balance, density from the gas law,
//! viscosity from Sutherland's law. Constants from memory of the standard; the
//! results are checked against its table in `tests/validation/atmosphere.rs`.
//!
//! # Limits
//! Dry air. Geopotential and geometric height differ by 0.05 % at 3 km.

use serde::Serialize;
use thiserror::Error;

/// Standard acceleration of free fall, m/s2 (ISO 2533).
pub const GRAVITY_M_S2: f64 = 9.80665;
/// Standard temperature at sea level, K (ISO 2533).
pub const SEA_LEVEL_TEMPERATURE_K: f64 = 288.15;
/// Standard pressure at sea level, Pa (ISO 2533).
pub const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;
/// Fall of temperature with geopotential height, K/m (ISO 2533).
const LAPSE_K_M: f64 = 0.0065;
/// Gas constant of dry air, J/(kg K) (ISO 2533).
const GAS_CONSTANT_J_KG_K: f64 = 287.052_87;
/// Ratio of specific heats of air (ISO 2533).
const HEAT_RATIO: f64 = 1.4;
/// Sutherland's factor, kg/(m s K^1/2) (ISO 2533).
const SUTHERLAND_FACTOR: f64 = 1.458e-6;
/// Sutherland's temperature, K (ISO 2533).
const SUTHERLAND_TEMPERATURE_K: f64 = 110.4;
/// Heights over which the lapse rate holds, m.
const HEIGHT_RANGE_M: (f64, f64) = (-2000.0, 11_000.0);

/// Why there is no such air.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum AtmosphereError {
    /// The height lies outside the layer of constant lapse rate.
    #[error("altitude: is {height_m} m, allowed is -2000 to 11000 m")]
    Height {
        /// The height asked for, m.
        height_m: f64,
    },
    /// Temperature or pressure is not positive and finite.
    #[error("no air at {temperature_k} K and {pressure_pa} Pa")]
    Condition {
        /// Temperature asked for, K.
        temperature_k: f64,
        /// Pressure asked for, Pa.
        pressure_pa: f64,
    },
}

/// The state of the air at one place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Atmosphere {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Static pressure, Pa.
    pub pressure_pa: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Speed of sound, m/s.
    pub speed_of_sound_m_s: f64,
    /// Dynamic viscosity, Pa s.
    pub dynamic_viscosity_pa_s: f64,
    /// Kinematic viscosity, m2/s.
    pub kinematic_viscosity_m2_s: f64,
}

impl Atmosphere {
    /// Standard air at a geopotential height above mean sea level.
    ///
    /// # Errors
    /// A height outside -2000 to 11 000 m.
    pub fn standard(height_m: f64) -> Result<Self, AtmosphereError> {
        if !(HEIGHT_RANGE_M.0..=HEIGHT_RANGE_M.1).contains(&height_m) {
            return Err(AtmosphereError::Height { height_m });
        }
        let temperature_k = SEA_LEVEL_TEMPERATURE_K - LAPSE_K_M * height_m;
        let exponent = GRAVITY_M_S2 / (GAS_CONSTANT_J_KG_K * LAPSE_K_M);
        let ratio = temperature_k / SEA_LEVEL_TEMPERATURE_K;
        Self::measured(temperature_k, SEA_LEVEL_PRESSURE_PA * ratio.powf(exponent))
    }

    /// Standard air at mean sea level.
    pub fn sea_level() -> Self {
        Self::of_condition(SEA_LEVEL_TEMPERATURE_K, SEA_LEVEL_PRESSURE_PA)
    }

    /// Air of a measured temperature and static pressure.
    ///
    /// # Errors
    /// A temperature or pressure that is not positive and finite.
    pub fn measured(temperature_k: f64, pressure_pa: f64) -> Result<Self, AtmosphereError> {
        let sound = |value: f64| value.is_finite() && value > 0.0;
        if sound(temperature_k) && sound(pressure_pa) {
            Ok(Self::of_condition(temperature_k, pressure_pa))
        } else {
            Err(AtmosphereError::Condition { temperature_k, pressure_pa })
        }
    }

    fn of_condition(temperature_k: f64, pressure_pa: f64) -> Self {
        let density_kg_m3 = pressure_pa / (GAS_CONSTANT_J_KG_K * temperature_k);
        let dynamic_viscosity_pa_s = SUTHERLAND_FACTOR * temperature_k * temperature_k.sqrt()
            / (temperature_k + SUTHERLAND_TEMPERATURE_K);
        Self {
            temperature_k,
            pressure_pa,
            density_kg_m3,
            speed_of_sound_m_s: (HEAT_RATIO * GAS_CONSTANT_J_KG_K * temperature_k).sqrt(),
            dynamic_viscosity_pa_s,
            kinematic_viscosity_m2_s: dynamic_viscosity_pa_s / density_kg_m3,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refuses_heights_and_conditions_without_air() {
        assert!(Atmosphere::standard(20_000.0).is_err());
        assert!(Atmosphere::standard(f64::NAN).is_err());
        assert!(Atmosphere::measured(0.0, 101_325.0).is_err());
        assert!(Atmosphere::measured(300.0, f64::INFINITY).is_err());
    }

    #[test]
    fn hot_air_is_thinner_and_more_viscous() {
        let cold = Atmosphere::measured(273.15, SEA_LEVEL_PRESSURE_PA).unwrap();
        let hot = Atmosphere::measured(308.15, SEA_LEVEL_PRESSURE_PA).unwrap();
        assert!(hot.density_kg_m3 < cold.density_kg_m3);
        assert!(hot.kinematic_viscosity_m2_s > cold.kinematic_viscosity_m2_s);
    }
}
