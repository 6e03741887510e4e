//! What the power train makes of the flight: speeds, climb, glide, time, and
//! what the throttle does to the trim.
//!
//! All from trims and load evaluations of the same aeroplane; about twice the
//! work of an assessment, so a function of its own. What is not reached (level
//! flight of a motor too weak, a glider's thrust) is `None`.

use serde::{Deserialize, Serialize};

use super::conditions::Setup;
use super::full_power::{climbs, fastest_level};
use super::manoeuvres::{Manoeuvre, manoeuvres};
use super::thrust_line::{ThrustAngles, thrust_angles};
use super::walk::Walk;
use super::{AssessError, Question};
use crate::aero::grid::GridOptions;
use crate::aircraft::SoundAircraft;
use crate::analysis::{Path, Shortfall, Trim};
use crate::atmosphere::GRAVITY_M_S2;
use crate::dynamics::Airframe;
use crate::power::OperatingPoint;
use crate::power::outputs::PowerFinding;

/// Resting voltage of a cell at which one lands, V (common practice).
const CELL_END_V: f64 = 3.6;
/// Charge kept back (common practice).
const RESERVE: f64 = 0.2;
/// Speeds of a sweep over the stall speed. Slower there is hardly a steady
/// flight. A wing of low drag has its best glide within (1.2 times the stall);
/// with much drag without lift, and a propeller that the wind no longer turns,
/// the glide gets a little flatter still towards the stall, where no one would
/// fly it: the answer is then the flattest glide that one can hold.
pub(super) const SWEEP_OVER_STALL: (f64, f64) = (1.05, 2.6);
/// Trims of a sweep.
const SWEEP_COUNT: usize = 9;
/// Deflection for the power of a control, rad.
const DEFLECTION_RAD: f64 = 0.1;

/// One propulsion unit, a mirrored pair counted once.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct UnitPerformance {
    /// Place in the aircraft's list.
    pub unit: usize,
    /// How many propellers alike it has, each with a motor, all on one pack.
    pub propellers: u8,
    /// Thrust at full throttle standing still, N, of one propeller.
    pub static_thrust_n: f64,
    /// Current through one motor then, A.
    pub static_current_a: f64,
    /// Power out of the pack then, W, for all motors.
    pub static_power_w: f64,
    /// Margins of current and sag.
    pub findings: Vec<PowerFinding>,
    /// Current out of the pack in ordinary flight, A, for all motors.
    pub cruise_current_a: f64,
    /// Flight time as in ordinary flight, s, a fifth of the charge kept back; `None`
    /// where the power does not do for that flight.
    pub flight_time_cruise_s: Option<f64>,
    /// Flight time flat out, s, a fifth kept back; `None` where no level flight is
    /// possible.
    pub flight_time_full_s: Option<f64>,
}

/// A glide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Glide {
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Distance over height.
    pub ratio: f64,
    /// Rate of sink, m/s.
    pub sink_m_s: f64,
}

/// Moments of the controls at one speed and throttle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ControlPower {
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Throttle, 0 to 1.
    pub throttle: f64,
    /// Pitching moment per elevator, as a size, N m/rad.
    pub elevator_n_m_per_rad: f64,
    /// Yawing moment per rudder, as a size, N m/rad.
    pub rudder_n_m_per_rad: f64,
}

/// What the power makes of the flight.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Performance {
    /// Each unit.
    pub units: Vec<UnitPerformance>,
    /// Static thrust of all propellers over weight.
    pub thrust_over_weight: f64,
    /// Greatest level speed, m/s; `None` where the power holds no level flight at
    /// all, or more than twelve times the stall speed.
    pub max_level_airspeed_m_s: Option<f64>,
    /// Greatest rate of climb, m/s; upright where the thrust is there for that.
    pub climb_m_s: Option<f64>,
    /// Airspeed of that climb, m/s.
    pub climb_airspeed_m_s: Option<f64>,
    /// Flattest glide, motor off, the propeller turned by the wind.
    pub best_glide: Option<Glide>,
    /// Slowest sink, the same.
    pub least_sink: Option<Glide>,
    /// Elevator in the steepest climb less that in the glide, slow flight, rad.
    pub elevator_with_power_rad: Option<f64>,
    /// The same of the rudder.
    pub rudder_with_power_rad: Option<f64>,
    /// Thrust line; `None` without a motor.
    pub thrust_angles: Option<ThrustAngles>,
    /// Power of the controls in slow flight without, with half and with full
    /// throttle.
    pub control_power: Vec<ControlPower>,
    /// A steady turn and a steady sideslip, where the controls for them exist.
    pub manoeuvres: Vec<Manoeuvre>,
}

/// Works out the performance.
///
/// # Errors
/// As for [`super::assess`].
#[inline]
pub fn performance(
    aircraft: &SoundAircraft,
    question: &Question,
) -> Result<Performance, AssessError> {
    let walk = Walk::new(aircraft, question, GridOptions::default())?;
    let cruise = &walk.conditions.cruise_trim;
    let setup = Setup::new(aircraft, &walk.aeroplane, cruise.air);
    let powered = walk.conditions.powered;
    let glides = glides(&walk, &setup);
    let fastest = if powered { fastest_level(&walk, &setup) } else { None };
    let climbs = if powered { climbs(&walk, &setup, fastest) } else { Vec::new() };
    let best_climb = best(&setup, Path::Throttle(1.0), &climbs, |trim| Some(rate_of_climb(trim)));
    let best_glide = |merit: fn(&Glide) -> f64| {
        let merit = |trim: &Trim| glide(trim).as_ref().map(merit);
        best(&setup, Path::GLIDE, &glides, merit).as_ref().and_then(glide)
    };
    let between = |control: fn(&Trim) -> f64| {
        Some(control(walk.conditions.slow(true)?) - control(walk.conditions.slow(false)?))
    };
    let weight = walk.aeroplane.mass_kg() * GRAVITY_M_S2;
    let density = cruise.air.density_kg_m3;
    let thrust: f64 =
        walk.aeroplane.engines().iter().map(|one| one.power.static_thrust_n(density)).sum();
    Ok(Performance {
        units: units(&walk, fastest),
        thrust_over_weight: thrust / weight,
        max_level_airspeed_m_s: fastest,
        climb_m_s: best_climb.as_ref().map(rate_of_climb),
        climb_airspeed_m_s: best_climb.as_ref().map(|trim| trim.airspeed_m_s),
        best_glide: best_glide(|glide| glide.ratio),
        least_sink: best_glide(|glide| -glide.sink_m_s),
        elevator_with_power_rad: between(|trim| trim.controls.elevator_rad),
        rudder_with_power_rad: between(|trim| trim.controls.rudder_rad),
        thrust_angles: thrust_angles(&walk),
        control_power: control_power(&walk),
        manoeuvres: manoeuvres(&walk, &setup),
    })
}

#[inline]
fn glides(walk: &Walk, setup: &Setup) -> Vec<Trim> {
    let mut near = walk.conditions.slow(false).unwrap_or(&walk.conditions.cruise_trim).clone();
    let mut list = Vec::new();
    for i in 0..SWEEP_COUNT {
        let share = i as f64 / (SWEEP_COUNT - 1) as f64;
        let over = SWEEP_OVER_STALL.0 + share * (SWEEP_OVER_STALL.1 - SWEEP_OVER_STALL.0);
        if let Ok(trim) = setup.steady(over * walk.stall.airspeed_m_s, Path::GLIDE, Some(&near)) {
            near = trim.clone();
            list.push(trim);
        }
    }
    list
}

/// The trim of a sweep with the greatest merit, or the one at the top of the
/// parabola through it and its neighbours where that is better still.
#[inline]
fn best(
    setup: &Setup,
    path: Path,
    sweep: &[Trim],
    merit: impl Fn(&Trim) -> Option<f64>,
) -> Option<Trim> {
    let worth = |trim: &Trim| merit(trim).unwrap_or(f64::NEG_INFINITY);
    let (index, found) =
        sweep.iter().enumerate().max_by(|a, b| worth(a.1).total_cmp(&worth(b.1)))?;
    merit(found)?;
    let top = match sweep.get(index.saturating_sub(1)..index + 2) {
        Some([a, b, c]) if index > 0 => {
            summit_place([a, b, c].map(|trim| (trim.airspeed_m_s, worth(trim))))
        }
        _ => None,
    };
    let top = top.and_then(|airspeed| setup.steady(airspeed, path, Some(found)).ok());
    top.filter(|top| worth(top) > worth(found)).or_else(|| Some(found.clone()))
}

/// Where the parabola through three points, the middle one the highest, has its
/// top.
#[inline]
fn summit_place([a, b, c]: [(f64, f64); 3]) -> Option<f64> {
    let slopes = [(b.1 - a.1) / (b.0 - a.0), (c.1 - b.1) / (c.0 - b.0)];
    let bend = (slopes[1] - slopes[0]) / (c.0 - a.0);
    let place = 0.5 * (a.0 + b.0) - 0.5 * slopes[0] / bend;
    (place > a.0 && place < c.0).then_some(place)
}

#[inline]
fn rate_of_climb(trim: &Trim) -> f64 {
    trim.airspeed_m_s * trim.climb_rad.sin()
}

#[inline]
fn glide(trim: &Trim) -> Option<Glide> {
    let ratio = -1.0 / trim.climb_rad.tan();
    (trim.climb_rad < 0.0 && ratio > 0.0).then(|| Glide {
        airspeed_m_s: trim.airspeed_m_s,
        ratio,
        sink_m_s: -rate_of_climb(trim),
    })
}

#[inline]
fn units(walk: &Walk, fastest_m_s: Option<f64>) -> Vec<UnitPerformance> {
    let cruise = &walk.conditions.cruise_trim;
    let density = cruise.air.density_kg_m3;
    let short = |one: &Shortfall| matches!(one, Shortfall::Power { .. } | Shortfall::Unheld { .. });
    let held = !cruise.shortfalls.iter().any(short);
    let flat_out = fastest_m_s.or(held.then_some(cruise.airspeed_m_s));
    let mut list: Vec<UnitPerformance> = Vec::new();
    for engine in walk.aeroplane.engines() {
        if list.iter().any(|seen| seen.unit == engine.unit) {
            continue;
        }
        let propulsion = &walk.aircraft.propulsion[engine.unit];
        let propellers = propulsion.propellers();
        let all = f64::from(propellers);
        let at = |throttle, airspeed| engine.power.operate(throttle, airspeed, density);
        let (still, usual) = (at(1.0, 0.0), at(cruise.controls.throttle, cruise.airspeed_m_s));
        let time = |point: OperatingPoint| engine.power.flight_time_s(&point, CELL_END_V, RESERVE);
        list.push(UnitPerformance {
            unit: engine.unit,
            propellers,
            static_thrust_n: still.thrust_n,
            static_current_a: still.motor_current_a,
            static_power_w: all * still.electrical_power_w,
            findings: engine.power.findings(propulsion, density),
            cruise_current_a: all * usual.pack_current_a,
            flight_time_cruise_s: held.then(|| time(usual)).flatten(),
            flight_time_full_s: flat_out.and_then(|airspeed| time(at(1.0, airspeed))),
        });
    }
    list
}

#[inline]
fn control_power(walk: &Walk) -> Vec<ControlPower> {
    let trim = walk.conditions.slow(false).unwrap_or(&walk.conditions.cruise_trim);
    let throttles: &[f64] = if walk.conditions.powered { &[0.0, 0.5, 1.0] } else { &[0.0] };
    throttles.iter().map(|&throttle| control_power_at(walk, trim, throttle)).collect()
}

/// Power of the controls in the state of a trim, with another throttle.
#[inline]
pub(super) fn control_power_at(walk: &Walk, trim: &Trim, throttle: f64) -> ControlPower {
    let point = super::flight_point(trim);
    let moment = |elevator_rad: f64, rudder_rad: f64| {
        let mut controls = point.controls;
        controls.throttle = throttle;
        controls.elevator_rad += elevator_rad;
        controls.rudder_rad += rudder_rad;
        walk.aeroplane.loads(&point.air(), &controls).moment_body
    };
    let (e, r) = (DEFLECTION_RAD, DEFLECTION_RAD);
    ControlPower {
        airspeed_m_s: trim.airspeed_m_s,
        throttle,
        elevator_n_m_per_rad: (moment(e, 0.0).y - moment(-e, 0.0).y).abs() / (2.0 * e),
        rudder_n_m_per_rad: (moment(0.0, r).z - moment(0.0, -r).z).abs() / (2.0 * r),
    }
}

#[cfg(test)]
mod tests {
    use super::summit_place;

    #[test]
    fn the_top_of_a_parabola_is_found_from_uneven_points_and_not_beyond_them() {
        let at = |x: f64| (x, 2.0 - 3.0 * (x - 0.4).powi(2));
        let top = summit_place([at(0.0), at(0.3), at(1.0)]).unwrap();
        assert!((top - 0.4).abs() < 1e-12);
        assert_eq!(summit_place([(0.0, 1.0), (1.0, 1.0), (2.0, 1.0)]), None);
        assert_eq!(summit_place([(0.0, f64::NEG_INFINITY), (1.0, 1.0), (2.0, 0.0)]), None);
    }
}
