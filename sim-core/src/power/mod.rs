//! The power train: pack, controller, motor, propeller and slipstream.
//!
//! What does a throttle give at an airspeed: thrust, torque, current, and the
//! wind on the tail? [`PowerModel`] is built once from a measured
//! [`Propulsion`]; [`PowerModel::operate`] balances the torque of motor and
//! propeller. [`Mount`] says where the unit sits and which way it turns;
//! [`Slipstream`] is the air behind it, [`PowerModel::loads`] what it does to
//! the airframe. [`outputs`] holds what a builder asks: static thrust, flight
//! time, margins of current, one size larger.
//! The rotation is quasi-steady: a small propeller follows the throttle within
//! a tenth of a second (estimate), which is not modelled.

mod blade;
mod bracket;
mod disc;
mod element;
mod inclined;
mod motor;
mod mount;
mod operate;
pub mod outputs;
mod pack;
mod propeller;
#[cfg(test)]
mod samples;
mod section;
mod slipstream;

use thiserror::Error;

use crate::aircraft::{Drive, Propulsion};

pub use disc::induced_velocity;
pub use inclined::PropulsionLoads;
pub use motor::{ElectricDrive, ElectricState};
pub use mount::Mount;
pub use operate::OperatingPoint;
pub use pack::{PackLoad, PackModel, charge_at_rest, resting_cell_voltage};
pub use propeller::{PropellerLoads, PropellerTable};
pub use slipstream::{Slipstream, StreamPlace};

/// Why a power train cannot be computed.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum PowerError {
    /// A quantity must be a positive, finite number.
    #[error("{quantity} is {value}, it must be above zero")]
    NotPositive {
        /// Which quantity.
        quantity: &'static str,
        /// Its value, SI or as in the field's name.
        value: f64,
    },
    /// A quantity must not be negative, and finite.
    #[error("{quantity} is {value}, it must not be negative")]
    Negative {
        /// Which quantity.
        quantity: &'static str,
        /// Its value, SI or as in the field's name.
        value: f64,
    },
    /// Full throttle does not give the thrust asked for.
    #[error("thrust of {wanted_n} N is beyond reach, full throttle gives {most_n} N")]
    ThrustBeyondReach {
        /// Thrust asked for, N.
        wanted_n: f64,
        /// Thrust at full throttle, N.
        most_n: f64,
    },
    /// Even without throttle there is more thrust (less drag) than asked for.
    #[error("thrust of {wanted_n} N is below what no throttle gives, {least_n} N")]
    ThrustBelowReach {
        /// Thrust asked for, N.
        wanted_n: f64,
        /// Thrust at no throttle, N.
        least_n: f64,
    },
}

impl PowerError {
    fn positive(quantity: &'static str, value: f64) -> Result<f64, Self> {
        let sound = value.is_finite() && value > 0.0;
        if sound { Ok(value) } else { Err(Self::NotPositive { quantity, value }) }
    }

    fn not_negative(quantity: &'static str, value: f64) -> Result<f64, Self> {
        let sound = value.is_finite() && value >= 0.0;
        if sound { Ok(value) } else { Err(Self::Negative { quantity, value }) }
    }
}

/// One propeller with its drive, ready to be asked.
#[derive(Debug, Clone)]
pub struct PowerModel {
    propeller: PropellerTable,
    source: Source,
}

#[derive(Debug, Clone, Copy)]
enum Source {
    Electric(ElectricDrive),
    KnownThrust { static_thrust_n: f64, zero_thrust_airspeed_m_s: f64 },
}

impl PowerModel {
    /// Computes the propeller's table and joins it with its drive. A mirrored
    /// pair is two mounts of one model, both motors on the one pack: each is taken
    /// to draw what the other does.
    ///
    /// # Errors
    /// [`PowerError::NotPositive`], [`PowerError::Negative`] for a value that a
    /// checked aircraft cannot hold.
    pub fn new(propulsion: &Propulsion) -> Result<Self, PowerError> {
        let source = match &propulsion.drive {
            Drive::Electric { motor, controller, pack } => {
                let own = ElectricDrive::new(motor, controller, pack)?;
                let motors = f64::from(propulsion.propellers());
                Source::Electric(ElectricDrive { motors, ..own })
            }
            Drive::KnownThrust { static_thrust_n, zero_thrust_airspeed_m_s } => {
                Source::KnownThrust {
                    static_thrust_n: PowerError::not_negative("static thrust", *static_thrust_n)?,
                    zero_thrust_airspeed_m_s: PowerError::positive(
                        "airspeed without thrust",
                        *zero_thrust_airspeed_m_s,
                    )?,
                }
            }
        };
        Ok(Self { propeller: PropellerTable::new(&propulsion.propeller)?, source })
    }

    /// The propeller's table.
    pub fn propeller(&self) -> &PropellerTable {
        &self.propeller
    }

    /// Sets the pack's voltage without load, V, as it empties. Nothing happens
    /// without a pack, or for a value that is not positive and finite.
    pub fn set_resting_voltage_v(&mut self, voltage_v: f64) {
        if let Source::Electric(drive) = &mut self.source
            && voltage_v.is_finite()
            && voltage_v > 0.0
        {
            drive.pack.resting_voltage_v = voltage_v;
        }
    }

    /// Motor, controller and pack, where the drive is electric.
    pub fn electric(&self) -> Option<&ElectricDrive> {
        match &self.source {
            Source::Electric(drive) => Some(drive),
            Source::KnownThrust { .. } => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An unloaded motor turns in proportion to the voltage; what is no voltage
    /// leaves the pack as it is.
    #[test]
    fn a_voltage_that_is_set_is_the_packs() {
        let mut model = samples::electric();
        let resting = |model: &PowerModel| model.electric().unwrap().pack.resting_voltage_v;
        assert!((resting(&model) - 12.0).abs() < 1e-12);
        for refused in [0.0, -11.0, f64::NAN, f64::INFINITY] {
            model.set_resting_voltage_v(refused);
            assert!((resting(&model) - 12.0).abs() < 1e-12, "{refused}");
        }
        let fresh = model.operate(1.0, 0.0, 1.225).thrust_n;
        model.set_resting_voltage_v(10.5);
        assert_eq!(resting(&model), 10.5);
        assert!(model.operate(1.0, 0.0, 1.225).thrust_n < fresh);
        let mut known = samples::known_thrust();
        known.set_resting_voltage_v(10.5);
        assert!(known.electric().is_none());
    }

    #[test]
    fn quantities_are_checked_by_their_sign() {
        for (value, positive, not_negative) in [
            (1.0, true, true),
            (0.0, false, true),
            (-1.0, false, false),
            (f64::NAN, false, false),
            (f64::INFINITY, false, false),
        ] {
            assert_eq!(PowerError::positive("it", value).is_ok(), positive, "{value}");
            assert_eq!(PowerError::not_negative("it", value).is_ok(), not_negative, "{value}");
        }
    }
}
