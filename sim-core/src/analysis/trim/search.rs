//! The search behind [`solve_trim`](super::solve_trim): which quantities are
//! unknown, what the equations leave over, and what a solution means.

use nalgebra::{DMatrix, DVector};

use super::{ControlLimits, Lateral, Path, Shortfall, Surface, Trim, TrimError, TrimTask};
use crate::atmosphere::GRAVITY_M_S2;
use crate::dynamics::{Airframe, Controls, FlightState, Motion, MotionError, Wrench};
use crate::frames::{AirAngles, Euler};
use crate::math::{Bounds, NewtonError, NewtonOptions, NewtonSolution, solve_newton};

/// Deflections and climb short of these, rad, are not worth a word.
const SHORTFALL_MIN: f64 = 1e-6;
/// Angle of attack from which a search starts, rad: in the middle of flight.
const ALPHA_START: f64 = 0.06;
/// Throttle from which a search starts.
const THROTTLE_START: f64 = 0.5;

/// What a solved search leaves for a near one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Kept {
    sought: Vec<Unknown>,
    jacobian: DMatrix<f64>,
}

/// What the search may change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unknown {
    Alpha,
    Elevator,
    Throttle,
    Climb,
    Beta,
    Bank,
    TurnRate,
    Aileron,
    Rudder,
}

impl Unknown {
    /// Least and greatest value, greatest step, step for differences.
    ///
    /// The bounds enclose all flight that has a steady state; the steps keep
    /// Newton on one side of the stall; the differences are far above the
    /// rounding of the loads and far below the width of a stall.
    fn range(self) -> (f64, f64, f64, f64) {
        match self {
            Self::Alpha => (-0.6, 0.8, 0.1, 2e-3),
            Self::Beta => (-0.6, 0.6, 0.1, 2e-3),
            Self::Elevator | Self::Aileron | Self::Rudder => (-1.2, 1.2, 0.3, 5e-3),
            Self::Throttle => (0.0, 1.0, 0.4, 1e-2),
            Self::Climb => (-1.5, 1.5, 0.4, 1e-3),
            Self::Bank => (-1.4, 1.4, 0.3, 1e-3),
            Self::TurnRate => (-30.0, 30.0, 1.0, 1e-2),
        }
    }
}

/// Everything that describes a steady flight, sought or given.
#[derive(Debug, Clone, Copy)]
struct Flight {
    airspeed: f64,
    alpha: f64,
    beta: f64,
    bank: f64,
    climb: f64,
    turn_rate: f64,
    controls: Controls,
}

impl Flight {
    /// The flight from which the search starts.
    fn start(task: &TrimTask, near: Option<&Trim>) -> Self {
        let bank = task.turn_bank_rad.unwrap_or(0.0);
        let turn_rate = GRAVITY_M_S2 * bank.tan() / task.airspeed_m_s;
        let mut flight = Self {
            airspeed: task.airspeed_m_s,
            alpha: near.map_or(ALPHA_START, |trim| trim.alpha_rad),
            beta: 0.0,
            bank,
            climb: near.map_or(0.0, |trim| trim.climb_rad),
            turn_rate: if task.turn_bank_rad.is_some() { turn_rate } else { 0.0 },
            controls: near
                .map_or(Controls { throttle: THROTTLE_START, ..Controls::default() }, |trim| {
                    trim.controls
                }),
        };
        let was_turning = near.is_some_and(|trim| trim.turn_rate_rad_s != 0.0);
        if let Some(trim) = near.filter(|_| was_turning == task.turn_bank_rad.is_some()) {
            flight.beta = trim.beta_rad;
            flight.bank = task.turn_bank_rad.unwrap_or(trim.bank_rad);
        }
        match task.lateral {
            Lateral::Symmetric => {
                (flight.beta, flight.bank) = (0.0, 0.0);
                (flight.controls.aileron_rad, flight.controls.rudder_rad) = (0.0, 0.0);
            }
            Lateral::NoSideslip => flight.beta = task.sideslip_rad,
            Lateral::WingsLevel => flight.bank = 0.0,
            Lateral::RudderOnly => flight.controls.aileron_rad = 0.0,
            Lateral::AileronOnly => flight.controls.rudder_rad = 0.0,
        }
        flight.controls.flap_rad = task.flap_rad;
        flight
    }

    fn along(mut self, path: Path) -> Self {
        match path {
            Path::Climb(climb) => self.climb = climb,
            Path::Throttle(throttle) => self.controls.throttle = throttle,
        }
        self
    }

    fn quantity(&mut self, unknown: Unknown) -> &mut f64 {
        match unknown {
            Unknown::Alpha => &mut self.alpha,
            Unknown::Elevator => &mut self.controls.elevator_rad,
            Unknown::Throttle => &mut self.controls.throttle,
            Unknown::Climb => &mut self.climb,
            Unknown::Beta => &mut self.beta,
            Unknown::Bank => &mut self.bank,
            Unknown::TurnRate => &mut self.turn_rate,
            Unknown::Aileron => &mut self.controls.aileron_rad,
            Unknown::Rudder => &mut self.controls.rudder_rad,
        }
    }

    fn with(mut self, sought: &[Unknown], values: &DVector<f64>) -> Self {
        for (unknown, value) in sought.iter().zip(values.iter()) {
            *self.quantity(*unknown) = *value;
        }
        self
    }

    fn values(mut self, sought: &[Unknown]) -> DVector<f64> {
        DVector::from_iterator(sought.len(), sought.iter().map(|&one| *self.quantity(one)))
    }

    /// Attitude, heading north: the pitch at which the path climbs as it must.
    fn euler(&self) -> Euler {
        let (sin_alpha, cos_alpha) = self.alpha.sin_cos();
        let (sin_beta, cos_beta) = self.beta.sin_cos();
        let (sin_phi, cos_phi) = self.bank.sin_cos();
        // sin(climb) = along sin(pitch) - across cos(pitch).
        let along = cos_alpha * cos_beta;
        let across = sin_phi * sin_beta + cos_phi * sin_alpha * cos_beta;
        let reach = along.hypot(across);
        let pitch_rad = across.atan2(along) + (self.climb.sin() / reach).clamp(-1.0, 1.0).asin();
        Euler { bank_rad: self.bank, pitch_rad, heading_rad: 0.0 }
    }

    fn state(&self) -> FlightState {
        let euler = self.euler();
        let angles =
            AirAngles { airspeed_m_s: self.airspeed, alpha_rad: self.alpha, beta_rad: self.beta };
        FlightState {
            position_ned: nalgebra::Vector3::zeros(),
            velocity_body: angles.velocity_body(),
            attitude: euler.ned_from_body(),
            rates_body: euler.turning(self.turn_rate),
        }
    }
}

/// Looks for the steady flight of `task`.
pub(super) fn run<A: Airframe + ?Sized>(
    airframe: &A,
    task: &TrimTask,
    near: Option<&Trim>,
) -> Result<Trim, TrimError> {
    check(task)?;
    let balance = Balance { motion: Motion::new(airframe, task.air.density_kg_m3)?, task };
    let start = Flight::start(task, near);
    let kept = near.and_then(|trim| trim.kept.as_ref());
    let sought = unknowns(task, task.path);
    let mut calls = 0;
    let error = match balance.search(task.path, start, kept, &mut calls) {
        Ok(flown) => return Ok(balance.conclude(flown, None, calls)),
        Err(error) => error,
    };
    // The throttle is at an end, or does nothing where it stands, as that of a
    // windmilling propeller: see what its ends give.
    let (ends, from) = match &error {
        NewtonError::AtBound { index, value, best, .. } if sought[*index] == Unknown::Throttle => {
            ([*value, 1.0 - *value], start.with(&sought, best))
        }
        NewtonError::Singular { .. } if sought.contains(&Unknown::Throttle) => ([1.0, 0.0], start),
        _ => return Err(balance.failure(error, &sought, calls)),
    };
    for end in ends {
        let Ok(flown) = balance.search(Path::Throttle(end), from, None, &mut calls) else {
            continue;
        };
        if let Some(shortfall) = balance.missing(&flown.flight, end) {
            return Ok(balance.conclude(flown, Some(shortfall), calls));
        }
        // More than enough at this end: the flight lies between the two.
        if let Ok(flown) = balance.search(task.path, flown.flight, None, &mut calls) {
            return Ok(balance.conclude(flown, None, calls));
        }
    }
    Err(balance.failure(error, &sought, calls))
}

fn check(task: &TrimTask) -> Result<(), TrimError> {
    let (power, allowed) = match task.path {
        Path::Climb(climb) => (("climb angle", climb), climb.abs() < 1.5),
        Path::Throttle(throttle) => (("throttle", throttle), (0.0..=1.0).contains(&throttle)),
    };
    let bank = task.turn_bank_rad.unwrap_or(0.0);
    let airspeed_allowed = task.airspeed_m_s.is_finite() && task.airspeed_m_s > 0.0;
    for ((quantity, value), allowed) in [
        (power, allowed),
        (("airspeed", task.airspeed_m_s), airspeed_allowed),
        (("bank of the turn", bank), bank.abs() < 1.5),
        (("sideslip", task.sideslip_rad), task.sideslip_rad.abs() < 0.6),
        (("flap", task.flap_rad), task.flap_rad.abs() < 1.6),
        (("tolerance", task.tolerance), task.tolerance > 0.0),
    ] {
        if !allowed {
            return Err(TrimError::Task { quantity, value });
        }
    }
    let cannot_turn = matches!(task.lateral, Lateral::Symmetric | Lateral::WingsLevel);
    if task.turn_bank_rad.is_some() && cannot_turn {
        return Err(TrimError::TurnUnbalanced);
    }
    Ok(())
}

/// As many unknowns as equations: three in the plane of symmetry, six in all.
fn unknowns(task: &TrimTask, path: Path) -> Vec<Unknown> {
    let power = if matches!(path, Path::Climb(_)) { Unknown::Throttle } else { Unknown::Climb };
    let tilt = if task.turn_bank_rad.is_some() { Unknown::TurnRate } else { Unknown::Bank };
    let mut sought = vec![Unknown::Alpha, Unknown::Elevator, power];
    match task.lateral {
        Lateral::Symmetric => {}
        Lateral::NoSideslip => sought.extend([Unknown::Aileron, Unknown::Rudder, tilt]),
        Lateral::WingsLevel => sought.extend([Unknown::Aileron, Unknown::Rudder, Unknown::Beta]),
        Lateral::RudderOnly => sought.extend([Unknown::Rudder, Unknown::Beta, tilt]),
        Lateral::AileronOnly => sought.extend([Unknown::Aileron, Unknown::Beta, tilt]),
    }
    sought
}

/// A flight that balances, with its loads.
struct Flown {
    flight: Flight,
    loads: Wrench,
    unbalanced: Wrench,
    kept: Option<Kept>,
}

/// The equations of steady flight for one aircraft and task.
struct Balance<'a, A: Airframe + ?Sized> {
    motion: Motion<'a, A>,
    task: &'a TrimTask,
}

impl<A: Airframe + ?Sized> Balance<'_, A> {
    /// Loads, and what they and the weight leave over in steady motion.
    fn leftover(&self, flight: &Flight) -> Result<(Wrench, Wrench), MotionError> {
        let state = flight.state();
        let air = self.task.air.with_wind(nalgebra::Vector3::zeros());
        let loads = self.motion.loads(&state, &flight.controls, &air)?;
        let mass = self.motion.mass_kg();
        let rates = &state.rates_body;
        let weight = mass * GRAVITY_M_S2 * flight.euler().down_body();
        let spin = rates.cross(&(self.motion.inertia_body() * rates));
        let unbalanced = Wrench {
            force_body: loads.force_body + weight - mass * rates.cross(&state.velocity_body),
            moment_body: loads.moment_body - spin,
        };
        Ok((loads, unbalanced))
    }

    /// The equations as pure numbers, longitudinal ones first.
    fn scaled(&self, unbalanced: &Wrench, count: usize) -> DVector<f64> {
        let mass = self.motion.mass_kg();
        let weight = mass * GRAVITY_M_S2;
        let inertia = self.motion.inertia_body();
        let force = unbalanced.force_body / weight;
        let moment = |axis: usize| {
            unbalanced.moment_body[axis] / (weight * (inertia[(axis, axis)] / mass).sqrt())
        };
        let all = [force.x, force.z, moment(1), force.y, moment(0), moment(2)];
        DVector::from_column_slice(&all[..count])
    }

    fn search(
        &self,
        path: Path,
        start: Flight,
        kept: Option<&Kept>,
        calls: &mut usize,
    ) -> Result<Flown, NewtonError<MotionError>> {
        let start = start.along(path);
        let sought = &unknowns(self.task, path)[..];
        let pick = |part: fn((f64, f64, f64, f64)) -> f64| {
            DVector::from_iterator(sought.len(), sought.iter().map(|one| part(one.range())))
        };
        let bounds = Bounds {
            lower: pick(|range| range.0),
            upper: pick(|range| range.1),
            step_max: pick(|range| range.2),
            difference: pick(|range| range.3),
        };
        let options = NewtonOptions {
            tolerance: self.task.tolerance,
            evaluations_max: self.task.load_calls_max.saturating_sub(*calls),
        };
        let mut balanced = None;
        let equations = |values: &DVector<f64>| {
            *calls += 1;
            let flight = start.with(sought, values);
            let (loads, unbalanced) = self.leftover(&flight)?;
            balanced = Some((flight, loads, unbalanced));
            Ok(self.scaled(&unbalanced, sought.len()))
        };
        let jacobian = kept.filter(|kept| kept.sought == sought).map(|kept| &kept.jacobian);
        let NewtonSolution { unknowns, jacobian, .. } =
            solve_newton(equations, start.values(sought), jacobian, &bounds, options)?;
        // The search ends on the point that it has evaluated last.
        let flight = start.with(sought, &unknowns);
        let (flight, loads, unbalanced) = match balanced {
            Some(last) => last,
            None => {
                let (loads, unbalanced) = self.leftover(&flight).map_err(NewtonError::Equations)?;
                (flight, loads, unbalanced)
            }
        };
        let kept = jacobian.map(|jacobian| Kept { sought: sought.to_vec(), jacobian });
        Ok(Flown { flight, loads, unbalanced, kept })
    }

    /// What is missing along the path with the throttle at an end; nothing if
    /// that end gives more than the path needs.
    fn missing(&self, flight: &Flight, throttle: f64) -> Option<Shortfall> {
        let Path::Climb(wanted) = self.task.path else { return None };
        let weight = self.motion.mass_kg() * GRAVITY_M_S2;
        let missing_n = weight * (wanted.sin() - flight.climb.sin());
        let climb_rad = flight.climb;
        if throttle > 0.5 {
            (missing_n > 0.0).then_some(Shortfall::Power { thrust_missing_n: missing_n, climb_rad })
        } else {
            (missing_n < 0.0).then_some(Shortfall::Drag { drag_missing_n: -missing_n, climb_rad })
        }
    }

    fn conclude(&self, flown: Flown, shortfall: Option<Shortfall>, load_calls: usize) -> Trim {
        let Flown { flight, loads, unbalanced, kept } = flown;
        let weight = self.motion.mass_kg() * GRAVITY_M_S2;
        let mut shortfalls: Vec<Shortfall> = shortfall.into_iter().collect();
        shortfalls.extend(beyond_throw(&flight.controls, &self.task.limits));
        let state = flight.state();
        Trim {
            airspeed_m_s: flight.airspeed,
            alpha_rad: flight.alpha,
            beta_rad: flight.beta,
            bank_rad: flight.bank,
            pitch_rad: flight.euler().pitch_rad,
            climb_rad: flight.climb,
            turn_rate_rad_s: flight.turn_rate,
            rates_body: state.rates_body,
            controls: flight.controls,
            loads,
            load_factor: -loads.force_body.z / weight,
            unbalanced,
            shortfalls,
            air: self.task.air.with_wind(nalgebra::Vector3::zeros()),
            load_calls,
            kept,
        }
    }

    fn failure(
        &self,
        error: NewtonError<MotionError>,
        sought: &[Unknown],
        load_calls: usize,
    ) -> TrimError {
        let (best, residual) = match error {
            NewtonError::Equations(cause) => return TrimError::Motion(cause),
            NewtonError::AtBound { best, residual, .. }
            | NewtonError::Singular { best, residual, .. }
            | NewtonError::NotConverged { best, residual, .. } => (best, residual),
        };
        let alpha = sought.iter().position(|&one| one == Unknown::Alpha).map(|index| best[index]);
        TrimError::NotConverged {
            airspeed_m_s: self.task.airspeed_m_s,
            alpha_rad: alpha.unwrap_or(0.0),
            residual,
            load_calls,
        }
    }
}

fn beyond_throw(controls: &Controls, limits: &ControlLimits) -> Vec<Shortfall> {
    [
        (Surface::Elevator, controls.elevator_rad, limits.elevator_rad),
        (Surface::Aileron, controls.aileron_rad, limits.aileron_rad),
        (Surface::Rudder, controls.rudder_rad, limits.rudder_rad),
    ]
    .into_iter()
    .filter_map(|(surface, needed_rad, (least, most))| {
        let limit_rad = needed_rad.max(least).min(most);
        let beyond = (needed_rad - limit_rad).abs() > SHORTFALL_MIN;
        beyond.then_some(Shortfall::Deflection { surface, needed_rad, limit_rad })
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::atmosphere::Atmosphere;
    use crate::dynamics::{Air, AirState};
    use nalgebra::{Matrix3, Vector3};

    /// Gyration radii of 0.5, 1 and 2 m, no loads.
    struct Body;

    impl Airframe for Body {
        fn mass_kg(&self) -> f64 {
            2.0
        }

        fn inertia_body(&self) -> Matrix3<f64> {
            Matrix3::from_diagonal(&Vector3::new(0.5, 2.0, 8.0))
        }

        fn loads(&self, _: &AirState, _: &Controls) -> Wrench {
            Wrench::default()
        }
    }

    /// Force over weight, moment over weight times radius of gyration; what lies in
    /// the plane of symmetry first.
    #[test]
    fn what_is_left_over_is_told_in_weights() {
        let task = TrimTask::level(10.0, Air::still(&Atmosphere::sea_level()));
        let motion = Motion::new(&Body, task.air.density_kg_m3).unwrap();
        let balance = Balance { motion, task: &task };
        let weight = 2.0 * GRAVITY_M_S2;
        let unbalanced = Wrench {
            force_body: Vector3::new(0.1, -0.2, 0.3) * weight,
            moment_body: Vector3::new(0.4 * 0.5, 0.5, -0.6 * 2.0) * weight,
        };
        let found = balance.scaled(&unbalanced, 6);
        let wanted = DVector::from_column_slice(&[0.1, 0.3, 0.5, -0.2, 0.4, -0.6]);
        assert!((&found - &wanted).norm() < 1e-12, "{found}");
        assert_eq!(balance.scaled(&unbalanced, 3), found.rows(0, 3).into_owned());
    }
}
