//! What the power train makes of the flight: speeds, climb, glide, time, and
//! what the throttle does to the trim.
//!
//! All from trims and load evaluations of the same aeroplane; about twice the
//! work of an assessment, so a function of its own. What is not reached (a
//! climb steeper than upright, a glider's thrust) is `None`.

use serde::{Deserialize, Serialize};

use super::conditions::Setup;
use super::manoeuvres::{Manoeuvre, manoeuvres};
use super::walk::Walk;
use super::{AssessError, Question, aeroplane};
use crate::aero::grid::GridOptions;
use crate::aircraft::{Aircraft, SoundAircraft};
use crate::analysis::{Path, Trim};
use crate::atmosphere::GRAVITY_M_S2;
use crate::dynamics::{Aeroplane, Airframe};
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
const SWEEP_OVER_STALL: (f64, f64) = (1.05, 2.6);
/// Trims of a sweep.
const SWEEP_COUNT: usize = 9;
/// Greatest level speed looked for over the stall speed.
const FASTEST_OVER_STALL: f64 = 8.0;
/// Halvings of the greatest level speed: to a hundredth of a m/s.
const HALVINGS: usize = 12;
/// Change of the thrust line for its effect, deg.
const TILT_DEG: f64 = 3.0;
/// Largest tilt that is suggested, deg. Common practice: thrust lines are set up
/// to 5 deg; where more would be needed, trim is the better means.
const TILT_SUGGESTED_MAX_DEG: f64 = 6.0;
/// Deflection for the power of a control, rad.
const DEFLECTION_RAD: f64 = 0.1;

/// One propulsion unit, a mirrored pair counted once.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct UnitPerformance {
    /// Place in the aircraft's list.
    pub unit: usize,
    /// Thrust at full throttle standing still, N, of one propeller.
    pub static_thrust_n: f64,
    /// Current through the motor then, A.
    pub static_current_a: f64,
    /// Power out of the pack then, W.
    pub static_power_w: f64,
    /// Margins of current and sag.
    pub findings: Vec<PowerFinding>,
    /// Current out of the pack in ordinary flight, A.
    pub cruise_current_a: f64,
    /// Flight time as in ordinary flight, s, a fifth of the charge kept back.
    pub flight_time_cruise_s: Option<f64>,
    /// Flight time flat out, s, a fifth kept back.
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

/// Thrust line now and where the throttle would not disturb the trim.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ThrustAngles {
    /// Present down-thrust of the first unit, deg.
    pub down_deg: f64,
    /// Down-thrust at which full throttle pitches no more than none, at the
    /// speed and angle of attack of ordinary flight, deg; `None` where that
    /// would be more than anyone tilts a motor.
    pub down_suggested_deg: Option<f64>,
    /// Present right thrust, deg.
    pub right_deg: f64,
    /// Right thrust at which full throttle yaws no more than none, deg.
    pub right_suggested_deg: Option<f64>,
}

/// What the power makes of the flight.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Performance {
    /// Each unit.
    pub units: Vec<UnitPerformance>,
    /// Static thrust of all propellers over weight.
    pub thrust_over_weight: f64,
    /// Greatest level speed, m/s.
    pub max_level_airspeed_m_s: Option<f64>,
    /// Greatest rate of climb that a steady flight was found for, m/s; with
    /// more thrust than weight there is more than that.
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
pub fn performance(
    aircraft: &SoundAircraft,
    question: &Question,
) -> Result<Performance, AssessError> {
    let walk = Walk::new(aircraft, question, GridOptions::default())?;
    let cruise = &walk.conditions.cruise_trim;
    let setup = Setup::new(aircraft, &walk.aeroplane, cruise.air);
    let powered = walk.conditions.powered;
    let glides = sweep(&walk, &setup, Path::GLIDE);
    let climbs = if powered { sweep(&walk, &setup, Path::Throttle(1.0)) } else { Vec::new() };
    let best_climb = best(&setup, Path::Throttle(1.0), &climbs, |trim| Some(rate_of_climb(trim)));
    let fastest = if powered { fastest_level(&walk, &setup) } else { None };
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
        units: units(&walk, fastest.unwrap_or(cruise.airspeed_m_s)),
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

fn sweep(walk: &Walk, setup: &Setup, path: Path) -> Vec<Trim> {
    let mut near = walk.conditions.slow(false).unwrap_or(&walk.conditions.cruise_trim).clone();
    let mut list = Vec::new();
    for i in 0..SWEEP_COUNT {
        let share = i as f64 / (SWEEP_COUNT - 1) as f64;
        let over = SWEEP_OVER_STALL.0 + share * (SWEEP_OVER_STALL.1 - SWEEP_OVER_STALL.0);
        if let Ok(trim) = setup.steady(over * walk.stall.airspeed_m_s, path, Some(&near)) {
            near = trim.clone();
            list.push(trim);
        }
    }
    list
}

/// The trim of a sweep with the greatest merit, or the one at the top of the
/// parabola through it and its neighbours where that is better still.
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
fn summit_place([a, b, c]: [(f64, f64); 3]) -> Option<f64> {
    let slopes = [(b.1 - a.1) / (b.0 - a.0), (c.1 - b.1) / (c.0 - b.0)];
    let bend = (slopes[1] - slopes[0]) / (c.0 - a.0);
    let place = 0.5 * (a.0 + b.0) - 0.5 * slopes[0] / bend;
    (place > a.0 && place < c.0).then_some(place)
}

fn rate_of_climb(trim: &Trim) -> f64 {
    trim.airspeed_m_s * trim.climb_rad.sin()
}

fn glide(trim: &Trim) -> Option<Glide> {
    let ratio = -1.0 / trim.climb_rad.tan();
    (trim.climb_rad < 0.0 && ratio > 0.0).then(|| Glide {
        airspeed_m_s: trim.airspeed_m_s,
        ratio,
        sink_m_s: -rate_of_climb(trim),
    })
}

/// The airspeed at which full throttle just holds level flight.
fn fastest_level(walk: &Walk, setup: &Setup) -> Option<f64> {
    let mut near = walk.conditions.cruise_trim.clone();
    let mut low = near.airspeed_m_s;
    let mut climbs = |airspeed: f64| {
        let trim = setup.steady(airspeed, Path::Throttle(1.0), Some(&near)).ok()?;
        near = trim.clone();
        Some(trim.climb_rad > 0.0)
    };
    // Upwards in steps first, so that every trim starts near the last one.
    let limit = FASTEST_OVER_STALL * walk.stall.airspeed_m_s;
    let mut high = low;
    while high < limit {
        high = 1.15 * low.max(high);
        match climbs(high) {
            Some(true) => low = high,
            Some(false) => break,
            // Too much thrust for a steady climb is a climb as well.
            None if high < 0.5 * limit => low = high,
            None => return None,
        }
    }
    if high >= limit {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        match climbs(middle) {
            Some(false) => high = middle,
            Some(true) | None => low = middle,
        }
    }
    Some(0.5 * (low + high))
}

fn units(walk: &Walk, fastest_m_s: f64) -> Vec<UnitPerformance> {
    let cruise = &walk.conditions.cruise_trim;
    let density = cruise.air.density_kg_m3;
    let mut list: Vec<UnitPerformance> = Vec::new();
    for engine in walk.aeroplane.engines() {
        if list.iter().any(|seen| seen.unit == engine.unit) {
            continue;
        }
        let propulsion = &walk.aircraft.propulsion[engine.unit];
        // A mirrored pair drains its one pack twice as fast.
        let drain = if propulsion.mirrored { 2.0 } else { 1.0 };
        let at = |throttle, airspeed| engine.power.operate(throttle, airspeed, density);
        let (still, usual) = (at(1.0, 0.0), at(cruise.controls.throttle, cruise.airspeed_m_s));
        let time = |point| {
            engine.power.flight_time_s(point, CELL_END_V, RESERVE).map(|seconds| seconds / drain)
        };
        list.push(UnitPerformance {
            unit: engine.unit,
            static_thrust_n: still.thrust_n,
            static_current_a: still.motor_current_a,
            static_power_w: still.electrical_power_w,
            findings: engine.power.findings(propulsion, density),
            cruise_current_a: usual.pack_current_a,
            flight_time_cruise_s: time(&usual),
            flight_time_full_s: time(&at(1.0, fastest_m_s)),
        });
    }
    list
}

/// Tilts the thrust line both ways at once and draws a straight line: the
/// moments of pitch and yaw depend on one tilt each.
fn thrust_angles(walk: &Walk) -> Option<ThrustAngles> {
    let present = walk.aircraft.propulsion.first()?;
    let mut tilted: Aircraft = (**walk.aircraft).clone();
    // Away from the end of the allowed range.
    let step = |now: f64| if now > 0.0 { -TILT_DEG } else { TILT_DEG };
    let (down_step, right_step) = (step(present.down_thrust_deg), step(present.right_thrust_deg));
    for unit in &mut tilted.propulsion {
        unit.down_thrust_deg += down_step;
        unit.right_thrust_deg += right_step;
    }
    let tilted = tilted.check().ok()?;
    let tilted = aeroplane(&tilted, walk.question, GridOptions::default()).ok()?;
    let (now, then) = (throttle_moments(&walk.aeroplane, walk), throttle_moments(&tilted, walk));
    let suggested = |angle_deg: f64, step: f64, now: f64, then: f64| {
        let wanted = angle_deg - now * step / (then - now);
        (wanted.abs() <= TILT_SUGGESTED_MAX_DEG).then_some(wanted)
    };
    let (down_deg, right_deg) = (present.down_thrust_deg, present.right_thrust_deg);
    Some(ThrustAngles {
        down_deg,
        down_suggested_deg: suggested(down_deg, down_step, now.0, then.0),
        right_deg,
        right_suggested_deg: suggested(right_deg, right_step, now.1, then.1),
    })
}

/// Change of pitching and yawing moment from no to full throttle in the state
/// of ordinary flight, N m.
fn throttle_moments(aeroplane: &Aeroplane, walk: &Walk) -> (f64, f64) {
    let point = super::flight_point(&walk.conditions.cruise_trim);
    let at = |throttle: f64| {
        let controls = crate::dynamics::Controls { throttle, ..point.controls };
        aeroplane.loads(&point.air(), &controls).moment_body
    };
    let change = at(1.0) - at(0.0);
    (change.y, change.z)
}

fn control_power(walk: &Walk) -> Vec<ControlPower> {
    let trim = walk.conditions.slow(false).unwrap_or(&walk.conditions.cruise_trim);
    let throttles: &[f64] = if walk.conditions.powered { &[0.0, 0.5, 1.0] } else { &[0.0] };
    throttles.iter().map(|&throttle| control_power_at(walk, trim, throttle)).collect()
}

/// Power of the controls in the state of a trim, with another throttle.
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
