//! The conditions of flight in which an aircraft is judged, and how its trim
//! runs over the speeds.

use serde::Serialize;

use super::stall::Stall;
use super::{AssessError, CRUISE_OVER_STALL, Question};
use crate::aircraft::{ControlRole, SoundAircraft};
use crate::analysis::{ControlLimits, Lateral, Path, Trim, TrimTask, hold_lift, solve_trim};
use crate::dynamics::{Aeroplane, Air};
use crate::throws::sensitivity::{Condition, Phase};

/// Approach speed over stall speed.
const SLOW_OVER_STALL: f64 = 1.2;
/// Fast flight over ordinary flight. Common practice: a model dives to about
/// half as fast again as it cruises.
const FAST_OVER_CRUISE: f64 = 1.5;

/// Steepest climb in which handling is judged, rad: 30 deg. With more thrust
/// than weight the climb at full throttle would be upright, which nobody
/// flies steadily; the throttle is then what this climb takes. Estimate.
const CLIMB_RAD_MAX: f64 = std::f64::consts::FRAC_PI_6;

/// Trimmed flights at the speeds and throttles that matter.
#[derive(Debug, Clone, PartialEq)]
pub struct Conditions {
    /// Ordinary flight: level, or the glide without power.
    pub cruise_trim: Trim,
    /// Slow flight with the motor off and, where there is one, in the steepest
    /// climb; fast flight.
    pub others: Vec<(Condition, Trim)>,
    /// Ordinary flight as a condition.
    pub cruise: Condition,
    /// Whether there is a motor.
    pub powered: bool,
    /// Whether there are ailerons (or elevons, flaperons).
    pub has_aileron: bool,
    /// Whether there is a rudder (or ruddervators).
    pub has_rudder: bool,
}

impl Conditions {
    /// Trims the aircraft in every condition. A condition other than ordinary
    /// flight that has no balance is left out.
    ///
    /// # Errors
    /// Where ordinary flight has no balance.
    pub fn new(
        aircraft: &SoundAircraft,
        aeroplane: &Aeroplane,
        question: &Question,
        stall: &Stall,
        air: Air,
    ) -> Result<Self, AssessError> {
        let cruise_speed = question.airspeed_m_s.unwrap_or(CRUISE_OVER_STALL * stall.airspeed_m_s);
        if cruise_speed < stall.airspeed_m_s {
            return Err(below_stall(cruise_speed, stall.airspeed_m_s));
        }
        let powered = !aeroplane.engines().is_empty();
        let setup = Setup::new(aircraft, aeroplane, air);
        let cruise_trim = setup
            .steady(cruise_speed, setup.usual_path(), None)
            .or_else(|_| setup.steady(cruise_speed, Path::GLIDE, None))
            .or_else(|_| setup.lift_alone(cruise_speed))?;
        let condition = |phase, trim: &Trim| Condition {
            phase,
            airspeed_m_s: trim.airspeed_m_s,
            throttle: trim.controls.throttle,
        };
        let mut others = Vec::new();
        let slow = SLOW_OVER_STALL * stall.airspeed_m_s;
        let mut wanted = vec![(Phase::Slow, slow, Path::GLIDE)];
        if powered {
            wanted.push((Phase::Slow, slow, Path::Climb(CLIMB_RAD_MAX)));
        }
        wanted.push((Phase::Fast, FAST_OVER_CRUISE * cruise_speed, Path::GLIDE));
        for (phase, airspeed, path) in wanted {
            if let Ok(trim) = setup.steady(airspeed, path, Some(&cruise_trim)) {
                others.push((condition(phase, &trim), trim));
            }
        }
        Ok(Self {
            cruise: condition(Phase::Cruise, &cruise_trim),
            cruise_trim,
            others,
            powered,
            has_aileron: setup.has_aileron,
            has_rudder: setup.has_rudder,
        })
    }

    /// All trims, ordinary flight first.
    pub fn trims(&self) -> impl Iterator<Item = &Trim> {
        std::iter::once(&self.cruise_trim).chain(self.others.iter().map(|(_, trim)| trim))
    }

    /// The slow condition in the glide or in the steepest climb.
    pub fn slow(&self, climbing: bool) -> Option<&Trim> {
        self.others
            .iter()
            .find(|(condition, _)| {
                condition.phase == Phase::Slow && (condition.throttle > 0.0) == climbing
            })
            .map(|(_, trim)| trim)
    }
}

fn below_stall(value: f64, stall_m_s: f64) -> AssessError {
    let most = crate::aircraft::limits::AIRSPEED.max;
    let allowed = format!("{stall_m_s:.2} m/s, its stall speed with the motor off, to {most} m/s");
    AssessError::Airspeed { value, allowed }
}

/// Trim against airspeed.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct TrimSeries {
    /// Level flight where there is power; glides with the motor off.
    pub level: Vec<Trim>,
    /// Glides with the motor off.
    pub glide: Vec<Trim>,
    /// Full power.
    pub full_power: Vec<Trim>,
}

/// Trims from just above the stall to twice ordinary flight in `count` steps.
/// Speeds without balance are left out.
pub fn trim_series(
    aircraft: &SoundAircraft,
    aeroplane: &Aeroplane,
    stall: &Stall,
    cruise: &Trim,
    count: usize,
) -> TrimSeries {
    let setup = Setup::new(aircraft, aeroplane, cruise.air);
    let (from, to) = (1.02 * stall.airspeed_m_s, 2.0 * cruise.airspeed_m_s);
    let along = |path: Path| -> Vec<Trim> {
        let mut near = cruise.clone();
        let mut list = Vec::new();
        for i in 0..count {
            let speed = from + (to - from) * i as f64 / count.saturating_sub(1).max(1) as f64;
            if let Ok(trim) = setup.steady(speed, path, Some(&near)) {
                near = trim.clone();
                list.push(trim);
            }
        }
        list
    };
    let powered = !aeroplane.engines().is_empty();
    TrimSeries {
        level: if powered { along(Path::LEVEL) } else { Vec::new() },
        glide: along(Path::GLIDE),
        full_power: if powered { along(Path::Throttle(1.0)) } else { Vec::new() },
    }
}

/// What stays the same over all trims of an aircraft.
pub(super) struct Setup<'a> {
    aeroplane: &'a Aeroplane,
    air: Air,
    limits: ControlLimits,
    has_aileron: bool,
    has_rudder: bool,
}

/// How far the elevator, ailerons and rudder turn.
pub(super) fn control_limits(aircraft: &SoundAircraft) -> ControlLimits {
    use ControlRole::{Aileron, Elevator, Elevon, Flaperon, Rudder, Ruddervator};
    let throw = |roles: &[ControlRole]| {
        let limit = aircraft
            .surfaces
            .iter()
            .flat_map(|surface| &surface.controls)
            .filter(|control| roles.contains(&control.role))
            .map(|control| control.throw_max_deg.to_radians())
            .fold(0.0, f64::max);
        (-limit, limit)
    };
    ControlLimits {
        elevator_rad: throw(&[Elevator, Elevon, Ruddervator]),
        aileron_rad: throw(&[Aileron, Elevon, Flaperon]),
        rudder_rad: throw(&[Rudder, Ruddervator]),
    }
}

impl<'a> Setup<'a> {
    pub fn new(aircraft: &SoundAircraft, aeroplane: &'a Aeroplane, air: Air) -> Self {
        let limits = control_limits(aircraft);
        Self {
            aeroplane,
            air,
            has_aileron: limits.aileron_rad.1 > 0.0,
            has_rudder: limits.rudder_rad.1 > 0.0,
            limits,
        }
    }

    /// What the aircraft has to balance lateral loads with.
    pub fn lateral(&self) -> Lateral {
        Lateral::for_surfaces(self.has_aileron, self.has_rudder)
    }

    /// Straight flight in the plane of symmetry.
    pub fn task(&self, airspeed_m_s: f64, path: Path) -> TrimTask {
        TrimTask { path, limits: self.limits, ..TrimTask::level(airspeed_m_s, self.air) }
    }

    pub fn usual_path(&self) -> Path {
        if self.aeroplane.engines().is_empty() { Path::GLIDE } else { Path::LEVEL }
    }

    /// The lift alone in balance, where there is no steady flight.
    fn lift_alone(&self, airspeed_m_s: f64) -> Result<Trim, AssessError> {
        let task = TrimTask { limits: self.limits, ..TrimTask::level(airspeed_m_s, self.air) };
        Ok(hold_lift(self.aeroplane, &task)?)
    }

    /// Steady flight, laterally balanced where a propeller or a balance point beside
    /// the plane of symmetry disturbs it; where that has no solution, in the plane
    /// of symmetry alone.
    pub fn steady(
        &self,
        airspeed_m_s: f64,
        path: Path,
        near: Option<&Trim>,
    ) -> Result<Trim, AssessError> {
        let balanced_alike = self.aeroplane.mass().balance_point.right_m == 0.0;
        let lateral = if self.aeroplane.engines().is_empty() && balanced_alike {
            Lateral::Symmetric
        } else {
            self.lateral()
        };
        let task = |lateral| TrimTask { lateral, ..self.task(airspeed_m_s, path) };
        let balanced = solve_trim(self.aeroplane, &task(lateral), near);
        match balanced {
            Err(_) if lateral != Lateral::Symmetric => {
                Ok(solve_trim(self.aeroplane, &task(Lateral::Symmetric), near)?)
            }
            other => Ok(other?),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::aircraft::{EXAMPLES, read_aircraft};
    use crate::assess::{AssessError, Question, assess};

    #[test]
    fn a_speed_below_the_stall_is_told_with_the_stall_speed() {
        let aircraft = read_aircraft(EXAMPLES[0].text).unwrap().check().unwrap();
        let at = |airspeed: f64| {
            assess(&aircraft, &Question { airspeed_m_s: Some(airspeed), ..Question::default() })
        };
        let stall = at(12.0).unwrap().stall.airspeed_m_s;
        let Err(AssessError::Airspeed { value, allowed }) = at(0.7 * stall) else {
            panic!("no fault named")
        };
        assert!((value - 0.7 * stall).abs() < 1e-12);
        // The sections' Reynolds numbers follow the speed asked for, and the
        // stall with them, a little.
        let told: f64 = allowed.split(' ').next().unwrap().parse().unwrap();
        assert!((told / stall - 1.0).abs() < 0.1, "{allowed}");
        assert!(allowed.contains("stall"));
    }
}
