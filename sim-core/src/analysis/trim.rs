//! Steady flight: which attitude and which controls hold a given airspeed.
//!
//! # Method
//! The six equations of steady motion (or the three of the plane of symmetry)
//! are solved for angle of attack, elevator, throttle or climb angle, and as
//! many of sideslip, bank or turn rate, aileron and rudder as the equations
//! need, by damped Newton with a kept Jacobian. Attitude follows in closed form
//! from climb angle, flow angles and bank; a turn is steady about the vertical,
//! its body rates follow from turn rate and attitude (Stevens, Lewis and
//! Johnson 2016, section 3.6; from memory).
//!
//! # Limits
//! Beyond the stall there may be no steady state, or two: the one nearest to
//! the start is found, or none. Surfaces may go beyond their throw in the
//! solution, which is then said; the throttle may not.

mod held;
mod search;

pub use held::hold_lift;
use nalgebra::Vector3;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::dynamics::{Air, Airframe, Controls, FlightState, MotionError, Wrench};
use crate::frames::{AirAngles, Euler};

/// What holds the path.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Path {
    /// A given climb angle, rad; the throttle is sought. Zero is level.
    Climb(f64),
    /// A given throttle, 0 to 1; the climb angle is sought. Zero is a glide.
    Throttle(f64),
}

impl Path {
    /// Level flight.
    pub const LEVEL: Self = Self::Climb(0.0);
    /// Flight with the motor off.
    pub const GLIDE: Self = Self::Throttle(0.0);
}

/// What balances the lateral forces and moments.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Lateral {
    /// Nothing: the aircraft and its loads are taken as symmetric, and what is
    /// left over laterally is reported. Straight flight only.
    Symmetric,
    /// Aileron, rudder and bank (in a turn: turn rate); no sideslip but the
    /// task's.
    NoSideslip,
    /// Aileron, rudder and sideslip; wings level. Straight flight only.
    WingsLevel,
    /// Rudder, sideslip and bank (turn rate): no ailerons.
    RudderOnly,
    /// Aileron, sideslip and bank (turn rate): no rudder.
    AileronOnly,
}

impl Lateral {
    /// The way of balance for the surfaces that an aircraft has; without
    /// either, the aircraft is taken as symmetric.
    pub fn for_surfaces(has_aileron: bool, has_rudder: bool) -> Self {
        match (has_aileron, has_rudder) {
            (true, true) => Self::NoSideslip,
            (false, true) => Self::RudderOnly,
            (true, false) => Self::AileronOnly,
            (false, false) => Self::Symmetric,
        }
    }
}

/// Least and greatest deflections, each as the sign convention has it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ControlLimits {
    /// Elevator, rad.
    pub elevator_rad: (f64, f64),
    /// Aileron, rad.
    pub aileron_rad: (f64, f64),
    /// Rudder, rad.
    pub rudder_rad: (f64, f64),
}

impl Default for ControlLimits {
    /// 30 deg either way.
    fn default() -> Self {
        let throw = (-30f64.to_radians(), 30f64.to_radians());
        Self { elevator_rad: throw, aileron_rad: throw, rudder_rad: throw }
    }
}

/// The steady flight that is sought.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TrimTask {
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// What holds the path.
    pub path: Path,
    /// What balances the lateral loads.
    pub lateral: Lateral,
    /// Bank of a steady turn, right positive, rad; `None` is straight flight.
    pub turn_bank_rad: Option<f64>,
    /// Sideslip to be held where [`Lateral::NoSideslip`] balances, air from the
    /// right positive, rad; zero in ordinary flight.
    pub sideslip_rad: f64,
    /// Flap, rad.
    pub flap_rad: f64,
    /// The air; its wind is left out, since a steady wind changes nothing.
    pub air: Air,
    /// Throws against which the solution is held.
    pub limits: ControlLimits,
    /// Greatest residual: force over weight, and moment over weight times
    /// radius of gyration.
    pub tolerance: f64,
    /// Cap on load evaluations.
    pub load_calls_max: usize,
}

impl TrimTask {
    /// Straight level flight of a symmetric aircraft.
    pub fn level(airspeed_m_s: f64, air: Air) -> Self {
        Self {
            airspeed_m_s,
            path: Path::LEVEL,
            lateral: Lateral::Symmetric,
            turn_bank_rad: None,
            sideslip_rad: 0.0,
            flap_rad: 0.0,
            air,
            limits: ControlLimits::default(),
            tolerance: 1e-6,
            load_calls_max: 80,
        }
    }
}

/// A control that a [`Shortfall`] names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// Elevator.
    Elevator,
    /// Aileron.
    Aileron,
    /// Rudder.
    Rudder,
}

/// What runs out in a steady flight.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shortfall {
    /// A surface would have to go beyond its throw.
    Deflection {
        /// Which surface.
        surface: Surface,
        /// Deflection needed, rad.
        needed_rad: f64,
        /// Deflection at the end of the throw, rad.
        limit_rad: f64,
    },
    /// Full throttle does not hold the path: the state given is the one at
    /// full throttle, on a lower path.
    Power {
        /// Thrust missing along the path, N.
        thrust_missing_n: f64,
        /// Climb angle reached, rad.
        climb_rad: f64,
    },
    /// Nothing balances the aircraft; only its lift carries the weight.
    Unheld {
        /// Drag that no thrust or slope makes up for, N.
        drag_n: f64,
        /// Pitching moment that no elevator takes up, N m.
        pitching_moment_n_m: f64,
    },
    /// A motor at rest still gives too much: the state given is the one with
    /// the motor off, on a higher path.
    Drag {
        /// Drag missing along the path, N.
        drag_missing_n: f64,
        /// Climb angle reached, rad.
        climb_rad: f64,
    },
}

/// A steady flight.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trim {
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Angle of attack, rad.
    pub alpha_rad: f64,
    /// Sideslip, rad.
    pub beta_rad: f64,
    /// Bank, rad.
    pub bank_rad: f64,
    /// Pitch attitude, rad.
    pub pitch_rad: f64,
    /// Climb angle of the path, rad.
    pub climb_rad: f64,
    /// Turn rate about the vertical, right positive, rad/s.
    pub turn_rate_rad_s: f64,
    /// Body rates, rad/s.
    pub rates_body: Vector3<f64>,
    /// Deflections and throttle.
    pub controls: Controls,
    /// Air and propeller loads.
    pub loads: Wrench,
    /// Load factor: force of air and propeller along -z of the body over
    /// weight.
    pub load_factor: f64,
    /// Force and moment left over, in all six axes, weight included.
    pub unbalanced: Wrench,
    /// What runs out; empty where the flight is possible.
    pub shortfalls: Vec<Shortfall>,
    /// The air of the flight.
    pub air: Air,
    /// Load evaluations used.
    pub load_calls: usize,
    #[serde(skip)]
    kept: Option<search::Kept>,
}

impl Trim {
    /// Nothing yet: level, at rest, without loads; to be filled in.
    fn at_rest() -> Self {
        Self {
            airspeed_m_s: 0.0,
            alpha_rad: 0.0,
            beta_rad: 0.0,
            bank_rad: 0.0,
            pitch_rad: 0.0,
            climb_rad: 0.0,
            turn_rate_rad_s: 0.0,
            rates_body: Vector3::zeros(),
            controls: Controls::default(),
            loads: Wrench::default(),
            load_factor: 0.0,
            unbalanced: Wrench::default(),
            shortfalls: Vec::new(),
            air: Air::still(&crate::atmosphere::Atmosphere::sea_level()),
            load_calls: 0,
            kept: None,
        }
    }

    /// The state of motion, at the origin, heading north, in still air.
    pub fn state(&self) -> FlightState {
        let angles = AirAngles {
            airspeed_m_s: self.airspeed_m_s,
            alpha_rad: self.alpha_rad,
            beta_rad: self.beta_rad,
        };
        FlightState {
            position_ned: Vector3::zeros(),
            velocity_body: angles.velocity_body(),
            attitude: self.euler().ned_from_body(),
            rates_body: self.rates_body,
        }
    }

    /// Attitude, heading north.
    pub fn euler(&self) -> Euler {
        Euler { bank_rad: self.bank_rad, pitch_rad: self.pitch_rad, heading_rad: 0.0 }
    }

    /// Vertical speed, up positive, m/s.
    pub fn climb_rate_m_s(&self) -> f64 {
        self.airspeed_m_s * self.climb_rad.sin()
    }
}

/// Why no steady flight was found.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum TrimError {
    /// A number of the task has no meaning; its name is given.
    #[error("{quantity} is {value}")]
    Task {
        /// Which number.
        quantity: &'static str,
        /// Its value.
        value: f64,
    },
    /// A turn needs something to balance the lateral loads.
    #[error("a turn cannot be flown with the lateral loads left alone or the wings held level")]
    TurnUnbalanced,
    /// The equations of motion have failed.
    #[error(transparent)]
    Motion(#[from] MotionError),
    /// No balance found: most likely there is none, as below stalling speed.
    #[error(
        "no balance at {airspeed_m_s:.3} m/s: {residual:.2e} of weight left after {load_calls} calls"
    )]
    NotConverged {
        /// Airspeed, m/s.
        airspeed_m_s: f64,
        /// Angle of attack of the best attempt, rad.
        alpha_rad: f64,
        /// Force left over weight, or moment left over weight times radius of
        /// gyration, the greatest of them.
        residual: f64,
        /// Load evaluations used.
        load_calls: usize,
    },
}

/// The steady flight of `task`; a `near` one shortens the search.
///
/// # Errors
/// A task without meaning, loads that are not finite, or no balance. A control
/// or power that runs out is not an error, see [`Trim::shortfalls`].
pub fn solve_trim<A: Airframe + ?Sized>(
    airframe: &A,
    task: &TrimTask,
    near: Option<&Trim>,
) -> Result<Trim, TrimError> {
    search::run(airframe, task, near)
}

#[cfg(test)]
mod tests {
    use super::ControlLimits;

    #[test]
    fn throws_are_30_degrees_either_way() {
        let limits = ControlLimits::default();
        for (least, most) in [limits.elevator_rad, limits.aileron_rad, limits.rudder_rad] {
            assert!((most.to_degrees() - 30.0).abs() < 1e-12 && least == -most);
        }
    }
}
