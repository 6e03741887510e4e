//! The slowest flight: greatest lift with the moments balanced.
//!
//! The angle of attack is raised in steps with the motor off. At each the
//! elevator that balances the pitching moment follows from its derivatives in
//! attached flow, and the lift is corrected for it. The greatest lift, with a
//! parabola through the three highest steps, gives the stall speed.

use serde::Serialize;

use super::AssessError;
use crate::analysis::{Coefficients, FlightPoint, ReferenceSizes};
use crate::atmosphere::{Atmosphere, GRAVITY_M_S2};
use crate::dynamics::{Aeroplane, Airframe, Controls};

/// The slowest steady flight with the motor off.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Stall {
    /// Stall speed in level flight, m/s.
    pub airspeed_m_s: f64,
    /// Angle of attack of the body at which that lift is all but reached, rad.
    pub alpha_rad: f64,
    /// Greatest trimmed lift coefficient.
    pub lift_coefficient_max: f64,
    /// Elevator that balances the moments there, rad.
    pub elevator_rad: f64,
    /// Lift per elevator in attached flow, per rad.
    pub lift_per_elevator: f64,
    /// Pitching moment per elevator in attached flow, per rad.
    pub moment_per_elevator: f64,
}

/// Step of the angle of attack, rad.
const STEP_RAD: f64 = 0.035;
/// Angles tried, rad: from a dive to past the stall of a wing as wide as long.
const RANGE_RAD: (f64, f64) = (-0.10, 0.74);
/// Elevator for its derivatives, rad.
const ELEVATOR_STEP_RAD: f64 = 0.05;
/// How far the lift must fall from its greatest before the search ends.
const FALL_SHARE: f64 = 0.97;
/// Share of the greatest lift at which the stall counts as reached: 3 % of
/// lift is 1.5 % of stall speed, less than anyone can measure.
const REACHED_SHARE: f64 = 0.97;

/// Finds the stall.
///
/// # Errors
/// [`AssessError::NoLift`] where no angle gives lift.
pub fn find_stall(
    aeroplane: &Aeroplane,
    sizes: &ReferenceSizes,
    atmosphere: &Atmosphere,
) -> Result<Stall, AssessError> {
    let weight = aeroplane.mass_kg() * GRAVITY_M_S2;
    let density = atmosphere.density_kg_m3;
    let airspeed = (2.0 * weight / (density * sizes.area_m2)).sqrt();
    let at = |alpha_rad: f64, elevator_rad: f64| {
        let point = FlightPoint {
            airspeed_m_s: airspeed,
            alpha_rad,
            beta_rad: 0.0,
            density_kg_m3: density,
            kinematic_viscosity_m2_s: atmosphere.kinematic_viscosity_m2_s,
            controls: Controls { elevator_rad, ..Controls::default() },
        };
        let wrench = aeroplane.loads(&point.air(), &point.controls);
        Coefficients::of(&wrench, alpha_rad, point.dynamic_pressure_pa(), sizes)
    };
    let (up, down) = (at(0.0, -ELEVATOR_STEP_RAD), at(0.0, ELEVATOR_STEP_RAD));
    let lift_per_elevator = (down.lift - up.lift) / (2.0 * ELEVATOR_STEP_RAD);
    let moment_per_elevator =
        (down.pitching_moment - up.pitching_moment) / (2.0 * ELEVATOR_STEP_RAD);
    let balancing = |moment: f64| {
        if moment_per_elevator.abs() > 1e-9 { -moment / moment_per_elevator } else { 0.0 }
    };
    let trimmed = |alpha_rad: f64| {
        let loads = at(alpha_rad, 0.0);
        let elevator_rad = balancing(loads.pitching_moment);
        (loads.lift + lift_per_elevator * elevator_rad, elevator_rad)
    };
    let mut seen: Vec<(f64, f64, f64)> = Vec::new();
    let mut best = 0;
    let steps = ((RANGE_RAD.1 - RANGE_RAD.0) / STEP_RAD) as usize;
    for i in 0..=steps {
        let alpha_rad = RANGE_RAD.0 + STEP_RAD * i as f64;
        let (lift, elevator_rad) = trimmed(alpha_rad);
        seen.push((alpha_rad, lift, elevator_rad));
        if lift > seen[best].1 {
            best = i;
        }
        if seen[best].1 > 0.0 && lift < FALL_SHARE * seen[best].1 {
            break;
        }
    }
    let lift = summit(&seen, best);
    let (alpha_rad, elevator_rad) = reached(&seen, best, lift);
    if lift.is_nan() || lift <= 0.0 {
        return Err(AssessError::NoLift {
            from_deg: RANGE_RAD.0.to_degrees(),
            to_deg: RANGE_RAD.1.to_degrees(),
        });
    }
    Ok(Stall {
        airspeed_m_s: airspeed / lift.sqrt(),
        alpha_rad,
        lift_coefficient_max: lift,
        elevator_rad,
        lift_per_elevator,
        moment_per_elevator,
    })
}

/// The top of the parabola through the highest point and its neighbours.
fn summit(seen: &[(f64, f64, f64)], best: usize) -> f64 {
    let middle = seen[best].1;
    if best == 0 || best + 1 >= seen.len() {
        return middle;
    }
    let (before, after) = (seen[best - 1].1, seen[best + 1].1);
    let bend = before - 2.0 * middle + after;
    if bend >= 0.0 {
        return middle;
    }
    let share = (0.5 * (before - after) / bend).clamp(-0.5, 0.5);
    middle - 0.25 * (before - after) * share
}

/// Angle of attack and elevator at which the lift has all but reached its
/// greatest value. Foam wings stall gently: along a top that is nearly flat the
/// place of the very highest point is a matter of chance.
fn reached(seen: &[(f64, f64, f64)], best: usize, greatest: f64) -> (f64, f64) {
    let wanted = REACHED_SHARE * greatest;
    let first = seen[..=best].iter().position(|point| point.1 >= wanted).unwrap_or(best);
    let here = seen[first];
    if first == 0 {
        return (here.0, here.2);
    }
    let before = seen[first - 1];
    let share = ((wanted - before.1) / (here.1 - before.1)).clamp(0.0, 1.0);
    (before.0 + share * (here.0 - before.0), before.2 + share * (here.2 - before.2))
}

#[cfg(test)]
mod tests {
    use super::{reached, summit};

    #[test]
    fn the_summit_of_a_parabola_is_exact_and_is_all_but_reached_before_it() {
        let at = |x: f64| (x, 1.0 - (x - 0.3).powi(2), 2.0 * x);
        let seen = [at(0.0), at(0.25), at(0.5)];
        assert!((summit(&seen, 1) - 1.0).abs() < 1e-12);
        let (x, slope) = reached(&seen, 1, 1.0);
        // Along the chord from (0, 0.91) to (0.25, 0.9975).
        assert!((x - 0.25 * (0.97 - 0.91) / 0.0875).abs() < 1e-12);
        assert!((slope - 2.0 * x).abs() < 1e-12);
    }
}
