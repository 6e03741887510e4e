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
    /// Angle of attack of the body at the greatest lift, rad.
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
/// Angles tried, rad: from a dive to well past the stall of any section.
const RANGE_RAD: (f64, f64) = (-0.10, 0.50);
/// Elevator for its derivatives, rad.
const ELEVATOR_STEP_RAD: f64 = 0.05;
/// How far the lift must fall from its greatest before the search ends.
const FALL_SHARE: f64 = 0.97;

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
    let (alpha_rad, lift, elevator_rad) = summit(&seen, best);
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
fn summit(seen: &[(f64, f64, f64)], best: usize) -> (f64, f64, f64) {
    let middle = seen[best];
    if best == 0 || best + 1 >= seen.len() {
        return middle;
    }
    let (before, after) = (seen[best - 1], seen[best + 1]);
    let bend = before.1 - 2.0 * middle.1 + after.1;
    if bend >= 0.0 {
        return middle;
    }
    let share = (0.5 * (before.1 - after.1) / bend).clamp(-0.5, 0.5);
    let along = |a: f64, b: f64, c: f64| b + 0.5 * share * (c - a);
    (
        along(before.0, middle.0, after.0),
        middle.1 - 0.25 * (before.1 - after.1) * share,
        along(before.2, middle.2, after.2),
    )
}

#[cfg(test)]
mod tests {
    use super::summit;

    #[test]
    fn the_summit_of_a_parabola_is_exact() {
        let at = |x: f64| (x, 1.0 - (x - 0.3).powi(2), 2.0 * x);
        let (x, y, slope) = summit(&[at(0.0), at(0.25), at(0.5)], 1);
        assert!((x - 0.3).abs() < 1e-12);
        assert!((y - 1.0).abs() < 1e-12);
        assert!((slope - 0.6).abs() < 1e-12);
    }
}
