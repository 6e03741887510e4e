//! What is drawn, heard and told of a flight.

use nalgebra::{UnitQuaternion, Vector3};
use serde::Serialize;

use crate::dynamics::Controls;
use crate::frames::Euler;

/// What the aircraft is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// Held in the hand, to be released.
    InHand,
    /// On its wheels or belly, moving or not.
    OnGround,
    /// In the air.
    Flying,
    /// Broken; the flight is over.
    Crashed,
}

/// In which way a flight ended badly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Crash {
    /// Onto its wheels or belly too hard.
    HardLanding,
    /// A wing tip hit the ground.
    WingTip,
    /// Nose first.
    Nose,
    /// Tail first.
    Tail,
    /// Upside down on the ground.
    Inverted,
    /// The motion could not be computed any further.
    Lost,
}

/// Something that happened.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Event {
    /// Left the ground for good (half a second in the air), or the hand.
    TookOff {
        /// Airspeed, m/s.
        airspeed_m_s: f64,
        /// Distance of that place from the origin, m.
        roll_m: f64,
    },
    /// Touched the ground after a flight.
    Landed {
        /// Sink rate on touching, m/s.
        sink_m_s: f64,
        /// Speed over ground, m/s.
        ground_speed_m_s: f64,
        /// Bank on touching, rad.
        bank_rad: f64,
        /// North of the origin, m.
        north_m: f64,
        /// East of the origin, m.
        east_m: f64,
    },
    /// Came to rest on the ground.
    Stopped {
        /// North of the origin, m.
        north_m: f64,
        /// East of the origin, m.
        east_m: f64,
    },
    /// Broken.
    Crashed {
        /// How.
        how: Crash,
        /// Speed of the part towards the ground, m/s.
        impact_m_s: f64,
    },
    /// On three tenths of the wing the flow let go.
    Stalled {
        /// Airspeed, m/s.
        airspeed_m_s: f64,
    },
    /// Further away than a model can be seen (500 m).
    OutOfSight,
    /// The pack is down to what the controller keeps.
    PackEmpty,
}

/// Something that happened, and when.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TimedEvent {
    /// Time since the start, s.
    pub time_s: f64,
    /// What happened.
    pub event: Event,
}

/// What one strip of a surface does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StripSnapshot {
    /// Quarter-chord point from the balance point, body axes, m.
    pub quarter_chord_body: Vector3<f64>,
    /// Share of the flow that has let go, 0 to 1.
    pub stalled: f64,
}

/// The aircraft at one moment, between two steps.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Snapshot {
    /// Time since the start, s.
    pub time_s: f64,
    /// What it is about.
    pub phase: Phase,
    /// Balance point north, east, down of the strip's origin, m.
    pub position_ned: Vector3<f64>,
    /// Velocity over ground north, east, down, m/s.
    pub velocity_ned: Vector3<f64>,
    /// Rotation that takes body components to north, east, down.
    pub attitude: UnitQuaternion<f64>,
    /// Bank, pitch, heading.
    pub euler: Euler,
    /// Roll, pitch, yaw rate, body axes, rad/s.
    pub rates_body: Vector3<f64>,
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Angle of attack, rad.
    pub alpha_rad: f64,
    /// Sideslip, rad.
    pub beta_rad: f64,
    /// Height of the balance point over the strip, m.
    pub height_m: f64,
    /// Deflections as the surfaces have them, and the throttle as the motor
    /// follows it.
    pub controls: Controls,
    /// Rotation speed of each propeller, turns a minute.
    pub propeller_rpm: Vec<f64>,
    /// Current out of each pack, A.
    pub pack_current_a: Vec<f64>,
    /// Charge left in the emptiest pack, 0 to 1; 1 without a pack.
    pub charge: f64,
    /// Load factor along -z of the body, in weights.
    pub load_factor: f64,
    /// Share of the wing's area whose flow has let go, 0 to 1.
    pub stall_share: f64,
    /// Strips of all surfaces.
    pub strips: Vec<StripSnapshot>,
    /// Wind at the aircraft with its gusts, north, east, down, m/s.
    pub wind_ned: Vector3<f64>,
}
