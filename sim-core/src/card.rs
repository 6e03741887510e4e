//! The card for the first flight: everything that one printed page says, as
//! plain data. Numbers and kinds only; the sentences are the page's.
//!
//! Nothing is computed here but what follows from the assessment by one line:
//! it is chosen, rounded by nobody, and put in the order of the first flight.

// What is `#[inline]` here is compiled into who calls it, where the page asks for
// small code and not for speed.

mod cautions;

pub use cautions::Caution;

use serde::Serialize;

use crate::aero::device::{CommandEdges, Device, EdgeMotion, devices};
use crate::aircraft::{ControlRole, SoundAircraft};
use crate::airframe::Controls;
use crate::assess::uncertainty::{Quantity, QuantitySpread, Uncertainty};
use crate::assess::{Assessment, Glide, Performance, duties};
use crate::throws::advice::ThrowAdvice;
use crate::throws::sensitivity::Duty;

/// The card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MaidenCard {
    /// Name of the aircraft.
    pub name: String,
    /// Ready-to-fly mass, kg.
    pub mass_kg: f64,
    /// Balance point and window, m behind the datum.
    pub balance: CardBalance,
    /// Weights and their places, in the order of the list; empty where the
    /// whole is given outright.
    pub weights: Vec<CardWeight>,
    /// Throws, rates and expo.
    pub throws: Vec<CardThrow>,
    /// Trims to preset for ordinary flight.
    pub trims: CardTrims,
    /// Expected speeds, m/s.
    pub speeds: CardSpeeds,
    /// The power train; `None` for a glider or where it was not asked for.
    pub power: Option<Performance>,
    /// Which way each control must go, checked on the ground.
    pub checks: Vec<DirectionCheck>,
    /// What to do, in this order.
    pub order: Vec<FlightStep>,
    /// What to look out for, gravest first.
    pub cautions: Vec<Caution>,
    /// Intervals; empty where uncertainty was not run.
    pub unsure: Vec<QuantitySpread>,
}

/// Balance point and window, m behind the datum.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CardBalance {
    /// Where it balances as built.
    pub present_aft_m: f64,
    /// Where it should balance for the first flight: in the forward half of
    /// the window.
    pub first_flight_aft_m: f64,
    /// Front of the window.
    pub front_aft_m: f64,
    /// Rear of the window.
    pub rear_aft_m: f64,
    /// Whether it lies inside.
    pub inside: bool,
    /// How far to slide the pack to get there, m aft.
    pub pack_shift_m: Option<f64>,
}

/// One weight.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CardWeight {
    /// The builder's name.
    pub name: String,
    /// Mass, both halves, kg.
    pub mass_kg: f64,
}

/// Throws of one channel; angles in deg, travels in mm, for a printed page.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CardThrow {
    /// What the channel is used for.
    pub duty: Duty,
    /// First control surface that it moves: place of the lifting surface in
    /// the aircraft's list, and of the control surface in that surface's.
    pub moves: Option<(usize, usize)>,
    /// High rate, deg each way.
    pub high_deg: f64,
    /// High rate at the trailing edge, mm.
    pub high_mm: f64,
    /// Low rate, deg each way.
    pub low_deg: f64,
    /// Low rate at the trailing edge, mm.
    pub low_mm: f64,
    /// Dual rate, per cent.
    pub low_percent: f64,
    /// Expo on high rate, per cent; positive softens the centre.
    pub expo_percent: f64,
    /// Expo on low rate, per cent.
    pub low_expo_percent: f64,
    /// 5 to 95 % of the high rate, deg, where uncertainty was run.
    pub high_between_deg: Option<(f64, f64)>,
    /// 5 to 95 % of the low rate, deg.
    pub low_between_deg: Option<(f64, f64)>,
}

/// Trims to preset, ISO 1151 signs, deg.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CardTrims {
    /// Elevator, positive nose down.
    pub elevator_deg: f64,
    /// Aileron, right one down positive.
    pub aileron_deg: f64,
    /// Rudder, positive nose left.
    pub rudder_deg: f64,
    /// Throttle of ordinary flight, 0 to 1.
    pub throttle: f64,
    /// Elevator to hold when power is opened in slow flight, deg.
    pub elevator_with_power_deg: Option<f64>,
    /// Where the trailing edges go at positive angles.
    pub edges: CommandEdges,
}

/// Expected speeds, m/s.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CardSpeeds {
    /// Stall.
    pub stall_m_s: f64,
    /// Approach: 1.3 times the stall (common practice).
    pub approach_m_s: f64,
    /// Flattest glide with the motor off.
    pub best_glide: Option<Glide>,
    /// Ordinary flight.
    pub cruise_m_s: f64,
    /// Greatest level speed.
    pub max_m_s: Option<f64>,
}

/// A control and where its trailing edges must go, seen from behind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct DirectionCheck {
    /// Stick input.
    pub stick: StickInput,
    /// The control that answers.
    pub control: ControlRole,
    /// Right or only half.
    pub right: EdgeMotion,
    /// Left half.
    pub left: EdgeMotion,
}

/// A stick moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StickInput {
    /// Elevator stick pulled.
    Pull,
    /// Aileron stick right.
    RollRight,
    /// Rudder stick right.
    YawRight,
}

impl StickInput {
    /// What it commands, ISO 1151 signs: a positive moment each.
    #[inline]
    fn command(self) -> Controls {
        let none = Controls::default();
        match self {
            Self::Pull => Controls { elevator_rad: -1.0, ..none },
            Self::RollRight => Controls { aileron_rad: -1.0, ..none },
            Self::YawRight => Controls { rudder_rad: -1.0, ..none },
        }
    }
}

/// A step of the first flight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FlightStep {
    /// Balance point measured with the pack in; moved into the window first.
    CheckBalance,
    /// Directions and throws checked, radio on low rate where it binds.
    CheckControls,
    /// Trims preset.
    PresetTrims,
    /// Range and failsafe checked.
    CheckLink,
    /// Static run at full throttle, current watched.
    RunPower,
    /// Rolled off or thrown into the wind with full power, wings level.
    TakeOff,
    /// Climbed to two mistakes' height.
    ClimbHigh,
    /// Throttle back to cruise, trimmed.
    TrimAtCruise,
    /// Glide tried at height: does it stall gently, and where.
    TryStall,
    /// Dive of a few seconds, hands off: pulls out by itself, or is it
    /// tail-heavy.
    TryDive,
    /// If it hunts in pitch or tightens in the dive, it is tail-heavy: keep
    /// the speed up, low rate, small stick, land fast and long.
    IfTailHeavy,
    /// Approach and landing with some power.
    Land,
}

impl MaidenCard {
    /// Puts the card together.
    #[inline]
    pub fn new(
        aircraft: &SoundAircraft,
        assessment: &Assessment,
        performance: Option<&Performance>,
        uncertainty: Option<&Uncertainty>,
    ) -> Self {
        let a = assessment;
        let controls = a.trim.controls;
        Self {
            name: aircraft.name.clone(),
            mass_kg: a.mass.mass_kg,
            balance: balance(a),
            weights: weights(aircraft),
            throws: a
                .throws
                .iter()
                .map(|advice| card_throw(aircraft, advice, uncertainty))
                .collect(),
            trims: CardTrims {
                elevator_deg: controls.elevator_rad.to_degrees(),
                aileron_deg: controls.aileron_rad.to_degrees(),
                rudder_deg: controls.rudder_rad.to_degrees(),
                throttle: controls.throttle,
                elevator_with_power_deg: performance
                    .and_then(|own| own.elevator_with_power_rad)
                    .map(f64::to_degrees),
                edges: a.edges,
            },
            speeds: CardSpeeds {
                stall_m_s: a.stall.airspeed_m_s,
                approach_m_s: 1.3 * a.stall.airspeed_m_s,
                best_glide: performance.and_then(|own| own.best_glide),
                cruise_m_s: a.trim.airspeed_m_s,
                max_m_s: performance.and_then(|own| own.max_level_airspeed_m_s),
            },
            power: performance.filter(|own| !own.units.is_empty()).cloned(),
            checks: checks(&devices(aircraft, a.mass.balance_point.to_body_axes())),
            order: order(!aircraft.propulsion.is_empty()),
            cautions: cautions::cautions(a, performance),
            unsure: uncertainty.map(|own| own.quantities.clone()).unwrap_or_default(),
        }
    }
}

#[inline]
fn balance(a: &Assessment) -> CardBalance {
    let own = &a.balance;
    let (front_aft_m, rear_aft_m) = (own.window_front_aft_m, own.window_rear_aft_m);
    CardBalance {
        present_aft_m: own.balance_point_aft_m,
        first_flight_aft_m: own.first_flight_aft_m,
        front_aft_m,
        rear_aft_m,
        inside: (front_aft_m..=rear_aft_m).contains(&own.balance_point_aft_m),
        pack_shift_m: own.pack_shift_m,
    }
}

#[inline]
fn weights(aircraft: &SoundAircraft) -> Vec<CardWeight> {
    let crate::aircraft::MassStatement::Parts(parts) = &aircraft.mass else { return Vec::new() };
    parts
        .iter()
        .map(|part| CardWeight {
            name: part.name.clone(),
            mass_kg: crate::mass::part_mass_kg(part, &aircraft.surfaces),
        })
        .collect()
}

/// The first control surface that a channel moves.
#[inline]
fn moved_by(aircraft: &SoundAircraft, duty: Duty) -> Option<(usize, usize)> {
    let (_, roles) = duties(duty == Duty::Yaw).into_iter().find(|(own, _)| *own == duty)?;
    aircraft.surfaces.iter().enumerate().find_map(|(i, surface)| {
        let k = surface.controls.iter().position(|control| roles.contains(&control.role))?;
        Some((i, k))
    })
}

#[inline]
fn card_throw(
    aircraft: &SoundAircraft,
    advice: &ThrowAdvice,
    uncertainty: Option<&Uncertainty>,
) -> CardThrow {
    let between = |quantity| {
        let own = uncertainty?.quantities.iter().find(|one| one.quantity == quantity)?;
        Some((own.interval.low.to_degrees(), own.interval.high.to_degrees()))
    };
    CardThrow {
        duty: advice.duty,
        moves: moved_by(aircraft, advice.duty),
        high_deg: advice.high_rate_rad.to_degrees(),
        high_mm: 1e3 * advice.high_travel_m,
        low_deg: advice.low_rate_rad.to_degrees(),
        low_mm: 1e3 * advice.low_travel_m,
        low_percent: 100.0 * advice.low_share,
        expo_percent: 100.0 * advice.expo,
        low_expo_percent: 100.0 * advice.low_expo,
        high_between_deg: between(Quantity::HighRate(advice.duty)),
        low_between_deg: between(Quantity::LowRate(advice.duty)),
    }
}

/// Which way the trailing edges go, one entry for each stick and kind of
/// control that the aircraft has, and for each way where they differ.
#[inline]
fn checks(devices: &[Device]) -> Vec<DirectionCheck> {
    use ControlRole::{Aileron, Elevator, Elevon, Flap, Flaperon, Rudder, Ruddervator};
    use StickInput::{Pull, RollRight, YawRight};
    let mut list: Vec<DirectionCheck> = Vec::new();
    for device in devices {
        let sticks: &[StickInput] = match device.role {
            Elevator => &[Pull],
            Aileron | Flaperon => &[RollRight],
            Elevon => &[Pull, RollRight],
            Rudder => &[YawRight],
            Ruddervator => &[Pull, YawRight],
            Flap => &[],
        };
        for &stick in sticks {
            let [right, left] = device.edges(&stick.command());
            let check = DirectionCheck { stick, control: device.role, right, left };
            if !list.contains(&check) {
                list.push(check);
            }
        }
    }
    list
}

#[inline]
fn order(powered: bool) -> Vec<FlightStep> {
    use FlightStep::{
        CheckBalance, CheckControls, CheckLink, ClimbHigh, IfTailHeavy, Land, PresetTrims,
        RunPower, TakeOff, TrimAtCruise, TryDive, TryStall,
    };
    let all = [
        CheckBalance,
        CheckControls,
        PresetTrims,
        CheckLink,
        RunPower,
        TakeOff,
        ClimbHigh,
        TrimAtCruise,
        TryStall,
        TryDive,
        IfTailHeavy,
        Land,
    ];
    all.into_iter().filter(|step| powered || *step != RunPower).collect()
}
