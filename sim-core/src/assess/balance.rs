//! Where the aircraft balances, where its neutral point lies, and the window
//! in which the balance point should be.
//!
//! The neutral point is where a change of angle of attack changes no pitching
//! moment: behind the balance point by the static margin, -Cm_alpha/CL_alpha
//! chords (Etkin and Reid 1996, section 2.3, from memory). Slipstream moves it,
//! so both power states are computed and the nearer one binds.
//!
//! The rear end of the window keeps a least static margin. The front end is
//! where the elevator's whole throw just reaches the stall, or a margin beyond
//! which a model is only heavy to hold, whichever is nearer.

use serde::Serialize;

use crate::aircraft::{MassStatement, SoundAircraft};
use crate::analysis::{Derivatives, ReferenceSizes};
use crate::dynamics::Aeroplane;

use super::stall::Stall;

/// Least static margin of the window. Common practice: 5 to 15 % of the mean
/// chord.
const MARGIN_MIN: f64 = 0.06;
/// Greatest static margin of the window where the elevator does not bind.
const MARGIN_MAX: f64 = 0.18;
/// Share of the elevator's hinge limit that may be spent on reaching the
/// stall, so that some is left to flare with.
const ELEVATOR_SHARE: f64 = 0.8;

/// Where in the window the balance point is best for a first flight, from its front:
/// in the forward half, which forgives more. Estimate, 0.3 to 0.5.
const FIRST_FLIGHT_SHARE: f64 = 0.35;

/// Balance point, neutral point and window, m behind the datum.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Balance {
    /// Balance point.
    pub balance_point_aft_m: f64,
    /// Neutral point with power as in ordinary flight.
    pub neutral_point_aft_m: f64,
    /// Neutral point with the motor off.
    pub neutral_point_power_off_aft_m: f64,
    /// Static margin with power as in ordinary flight, over the mean chord.
    pub static_margin: f64,
    /// Static margin with the motor off.
    pub static_margin_power_off: f64,
    /// Front end of the window.
    pub window_front_aft_m: f64,
    /// Rear end of the window.
    pub window_rear_aft_m: f64,
    /// Where it should balance for the first flight: in the forward half of the
    /// window.
    pub first_flight_aft_m: f64,
    /// How far the heaviest part that can be moved would have to go to bring
    /// the balance point there, m aft positive.
    pub pack_shift_m: Option<f64>,
    /// Index of that part in the list of parts.
    pub pack_part: Option<usize>,
}

impl Balance {
    /// Whether it balances behind the window.
    pub fn is_tail_heavy(&self) -> bool {
        self.balance_point_aft_m > self.window_rear_aft_m
    }
}

/// Finds the balance.
pub fn balance(
    aeroplane: &Aeroplane,
    aircraft: &SoundAircraft,
    sizes: &ReferenceSizes,
    power_on: &Derivatives,
    power_off: &Derivatives,
    stall: &Stall,
) -> Balance {
    let margin = |d: &Derivatives| -d.by_alpha.pitching_moment / d.by_alpha.lift;
    let balance_point = aeroplane.mass().balance_point.aft_m;
    let neutral = |static_margin: f64| balance_point + static_margin * sizes.chord_m;
    let (static_margin, static_margin_power_off) = (margin(power_on), margin(power_off));
    let nearer = neutral(static_margin).min(neutral(static_margin_power_off));
    // Lengths on the aircraft, whatever chord its coefficients refer to.
    let chord_m = aircraft.wing_size().mean_aerodynamic_chord_m;
    let rear = nearer - MARGIN_MIN * chord_m;
    let by_margin = nearer - MARGIN_MAX * chord_m;
    // Moving the balance point forward by a chord adds the lift coefficient to
    // the nose-down moment, which the elevator has to bring up.
    let throw = elevator_limit_rad(aeroplane);
    let left = ELEVATOR_SHARE * throw + stall.elevator_to_stall_rad;
    let by_elevator = balance_point
        + left * stall.moment_per_elevator / stall.lift_coefficient_max * sizes.chord_m;
    let front = if throw > 0.0 { by_margin.max(by_elevator) } else { by_margin }.min(rear);
    let first_flight = front + FIRST_FLIGHT_SHARE * (rear - front);
    let pack = movable_part(aircraft);
    Balance {
        balance_point_aft_m: balance_point,
        neutral_point_aft_m: neutral(static_margin),
        neutral_point_power_off_aft_m: neutral(static_margin_power_off),
        static_margin,
        static_margin_power_off,
        window_front_aft_m: front,
        window_rear_aft_m: rear,
        first_flight_aft_m: first_flight,
        pack_shift_m: pack.map(|(_, mass_kg)| {
            (first_flight - balance_point) * aeroplane.mass().mass_kg / mass_kg
        }),
        pack_part: pack.map(|(index, _)| index),
    }
}

/// Hinge limit of the surfaces that act as elevator, rad; nothing without one.
pub(super) fn elevator_limit_rad(aeroplane: &Aeroplane) -> f64 {
    use crate::aircraft::ControlRole::{Elevator, Elevon, Ruddervator};
    aeroplane
        .aero()
        .grid()
        .devices
        .iter()
        .filter(|device| matches!(device.role, Elevator | Elevon | Ruddervator))
        .map(|device| device.throw_max_rad)
        .fold(0.0, f64::max)
}

/// The part that is slid to balance a model: the one named as pack or battery,
/// else none.
fn movable_part(aircraft: &SoundAircraft) -> Option<(usize, f64)> {
    let MassStatement::Parts(parts) = &aircraft.mass else { return None };
    parts
        .iter()
        .enumerate()
        .filter(|(_, part)| {
            let name = part.name.to_ascii_lowercase();
            ["pack", "battery", "lipo", "accu", "akku"].iter().any(|word| name.contains(word))
        })
        .map(|(index, part)| (index, crate::mass::part_mass_kg(part, &aircraft.surfaces)))
        .filter(|(_, mass_kg)| *mass_kg > 0.0)
        .max_by(|a, b| a.1.total_cmp(&b.1))
}
