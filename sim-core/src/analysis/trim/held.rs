//! Flight with the lift alone in balance, as in a wind tunnel: for an aircraft
//! that nothing can balance (no elevator, a speed that it cannot hold), so that
//! its derivatives can still be had. What is left over is told.

use nalgebra::Vector3;

use super::{Shortfall, Trim, TrimError, TrimTask};
use crate::atmosphere::GRAVITY_M_S2;
use crate::dynamics::{Airframe, Controls, Motion, Wrench};
use crate::frames::AirAngles;

/// Steps of the secant search at the most.
const STEPS_MAX: usize = 30;
/// Accepted difference of lift and weight over weight.
const TOLERANCE: f64 = 1e-6;
/// Greatest change of the angle of attack in one step, rad.
const STEP_MAX_RAD: f64 = 0.1;
/// Angles searched, rad.
const ALPHA_RANGE_RAD: (f64, f64) = (-0.6, 0.8);

/// Level flight at the task's airspeed with the lift equal to the weight, the
/// motor off and the controls at rest; drag and moments are left unbalanced.
///
/// # Errors
/// [`TrimError::NotConverged`] where no angle of attack carries the weight.
pub fn hold_lift<A: Airframe + ?Sized>(airframe: &A, task: &TrimTask) -> Result<Trim, TrimError> {
    let motion = Motion::new(airframe, task.air.density_kg_m3)?;
    let weight = motion.mass_kg() * GRAVITY_M_S2;
    let controls = Controls { flap_rad: task.flap_rad, ..Controls::default() };
    let state_at = |alpha_rad: f64| Trim {
        alpha_rad,
        pitch_rad: alpha_rad,
        airspeed_m_s: task.airspeed_m_s,
        controls,
        air: task.air,
        ..Trim::at_rest()
    };
    let lift_over_weight = |alpha_rad: f64| -> Result<(f64, Wrench), TrimError> {
        let loads = motion.loads(&state_at(alpha_rad).state(), &controls, &task.air)?;
        let (sin, cos) = alpha_rad.sin_cos();
        let lift = loads.force_body.x * sin - loads.force_body.z * cos;
        Ok((lift / weight - 1.0, loads))
    };
    let (mut alpha, mut other) = (0.05, 0.0);
    let mut missing = lift_over_weight(alpha)?;
    let mut missing_other = lift_over_weight(other)?.0;
    let mut load_calls = 2;
    while missing.0.abs() > TOLERANCE && load_calls < STEPS_MAX {
        let slope = (missing.0 - missing_other) / (alpha - other);
        let step = (-missing.0 / slope).clamp(-STEP_MAX_RAD, STEP_MAX_RAD);
        if !step.is_finite() || step == 0.0 {
            break;
        }
        (other, missing_other) = (alpha, missing.0);
        alpha = (alpha + step).clamp(ALPHA_RANGE_RAD.0, ALPHA_RANGE_RAD.1);
        missing = lift_over_weight(alpha)?;
        load_calls += 1;
    }
    if missing.0.abs() > TOLERANCE {
        return Err(TrimError::NotConverged {
            airspeed_m_s: task.airspeed_m_s,
            alpha_rad: alpha,
            residual: missing.0.abs(),
            load_calls,
        });
    }
    let loads = missing.1;
    let angles = AirAngles { airspeed_m_s: task.airspeed_m_s, alpha_rad: alpha, beta_rad: 0.0 };
    let along = angles.velocity_body().normalize();
    let gravity_body = Vector3::new(-alpha.sin(), 0.0, alpha.cos()) * weight;
    Ok(Trim {
        loads,
        load_factor: -loads.force_body.z / weight,
        unbalanced: Wrench {
            force_body: loads.force_body + gravity_body,
            moment_body: loads.moment_body,
        },
        shortfalls: vec![Shortfall::Unheld {
            drag_n: -loads.force_body.dot(&along),
            pitching_moment_n_m: loads.moment_body.y,
        }],
        load_calls,
        ..state_at(alpha)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::atmosphere::Atmosphere;
    use crate::dynamics::{Air, AirState};
    use nalgebra::Matrix3;

    /// A wing in a wind tunnel: lift 5 per rad, drag 0.05, no control.
    struct Wing;

    impl Airframe for Wing {
        fn mass_kg(&self) -> f64 {
            1.0
        }

        fn inertia_body(&self) -> Matrix3<f64> {
            Matrix3::identity()
        }

        fn loads(&self, air: &AirState, _: &Controls) -> Wrench {
            let v = air.velocity_body;
            let pressure_area = 0.5 * air.density_kg_m3 * v.norm_squared() * 0.3;
            let alpha = v.z.atan2(v.x);
            let along = v.normalize();
            let up = Vector3::new(along.z, 0.0, -along.x);
            Wrench {
                force_body: pressure_area * (up * 5.0 * alpha - along * 0.05),
                moment_body: Vector3::new(0.0, -0.1, 0.0),
            }
        }
    }

    #[test]
    fn the_lift_carries_the_weight_and_the_rest_is_told() {
        let task = TrimTask::level(10.0, Air::still(&Atmosphere::sea_level()));
        let trim = hold_lift(&Wing, &task).unwrap();
        let pressure_area = 0.5 * task.air.density_kg_m3 * 100.0 * 0.3;
        let expected = GRAVITY_M_S2 / (5.0 * pressure_area);
        assert!((trim.alpha_rad - expected).abs() < 1e-6);
        let Shortfall::Unheld { drag_n, pitching_moment_n_m } = trim.shortfalls[0] else {
            panic!("nothing told")
        };
        assert!((drag_n - 0.05 * pressure_area).abs() < 1e-9);
        assert_eq!(pitching_moment_n_m, -0.1);
        // Along body z: lift and drag turned by the angle of attack.
        let (sin, cos) = trim.alpha_rad.sin_cos();
        assert!((trim.load_factor - cos - sin * drag_n / GRAVITY_M_S2).abs() < 1e-6);
    }

    #[test]
    fn too_slow_is_an_error() {
        let task = TrimTask::level(1.0, Air::still(&Atmosphere::sea_level()));
        assert!(matches!(hold_lift(&Wing, &task), Err(TrimError::NotConverged { .. })));
    }

    /// Lift and weight cancel across the path; along it the drag is left, and the
    /// moment. Each look at the loads is counted.
    #[test]
    fn what_is_left_over_is_the_drag_along_the_path() {
        struct Counted(std::cell::Cell<usize>);
        impl Airframe for Counted {
            fn mass_kg(&self) -> f64 {
                Wing.mass_kg()
            }
            fn inertia_body(&self) -> Matrix3<f64> {
                Wing.inertia_body()
            }
            fn loads(&self, air: &AirState, controls: &Controls) -> Wrench {
                self.0.set(self.0.get() + 1);
                Wing.loads(air, controls)
            }
        }
        let counted = Counted(std::cell::Cell::new(0));
        let task = TrimTask::level(10.0, Air::still(&Atmosphere::sea_level()));
        let trim = hold_lift(&counted, &task).unwrap();
        assert_eq!(trim.load_calls, counted.0.get());
        let (sin, cos) = trim.alpha_rad.sin_cos();
        let drag = 0.05 * 0.5 * task.air.density_kg_m3 * 100.0 * 0.3;
        let wanted = Vector3::new(-drag * cos, 0.0, -drag * sin);
        let found = trim.unbalanced.force_body;
        assert!((found - wanted).norm() < 2e-5, "{found} {wanted}");
        assert_eq!(trim.unbalanced.moment_body, Vector3::new(0.0, -0.1, 0.0));
    }

    /// What is missing at the angle told is the residual.
    #[test]
    fn an_error_tells_how_much_lift_is_missing() {
        let task = TrimTask::level(2.0, Air::still(&Atmosphere::sea_level()));
        let Err(TrimError::NotConverged { alpha_rad, residual, .. }) = hold_lift(&Wing, &task)
        else {
            panic!("carried")
        };
        let lift = 0.5 * task.air.density_kg_m3 * 4.0 * 0.3 * 5.0 * alpha_rad;
        assert!((residual - (1.0 - lift / GRAVITY_M_S2).abs()).abs() < 1e-9, "{residual}");
    }
}
