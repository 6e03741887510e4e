//! Stability and control derivatives: what each small change does to the
//! forces and moments.
//!
//! Central differences of the very loads that fly the aeroplane, so they hold
//! slipstream, fuselage and sections. Non-dimensional, stability axes (x along
//! the undisturbed flight path), per radian; rates as p b/2V, q c/2V, r b/2V.
//! The throttle is held, so speed and slipstream effects are inside.
//!
//! Reference: Etkin and Reid, Dynamics of Flight, 3rd ed. 1996, section 4.12
//! and chapter 5 (definitions, from memory).

use nalgebra::{Matrix3, Vector3};
use serde::Serialize;

use crate::dynamics::{AirState, Airframe, Controls, Wrench};

/// Sizes that make loads non-dimensional.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ReferenceSizes {
    /// Area, m2.
    pub area_m2: f64,
    /// Span, m.
    pub span_m: f64,
    /// Chord, m.
    pub chord_m: f64,
}

/// Non-dimensional loads in stability axes.
///
/// Lift is positive upwards, drag backwards; side force, roll, pitch and yaw
/// along and about the stability axes y, x, y, z.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Coefficients {
    /// Lift coefficient.
    pub lift: f64,
    /// Drag coefficient, less thrust where a propeller turns.
    pub drag: f64,
    /// Side-force coefficient.
    pub side_force: f64,
    /// Rolling-moment coefficient, right wing down positive.
    pub rolling_moment: f64,
    /// Pitching-moment coefficient, nose up positive.
    pub pitching_moment: f64,
    /// Yawing-moment coefficient, nose right positive.
    pub yawing_moment: f64,
}

impl Coefficients {
    /// Coefficients of `wrench` at an angle of attack (of the stability axes)
    /// and a dynamic pressure.
    pub fn of(
        wrench: &Wrench,
        alpha_rad: f64,
        dynamic_pressure_pa: f64,
        sizes: &ReferenceSizes,
    ) -> Self {
        let stability = stability_from_body(alpha_rad);
        let force = stability * wrench.force_body / (dynamic_pressure_pa * sizes.area_m2);
        let moment = stability * wrench.moment_body / (dynamic_pressure_pa * sizes.area_m2);
        Self {
            lift: -force.z,
            drag: -force.x,
            side_force: force.y,
            rolling_moment: moment.x / sizes.span_m,
            pitching_moment: moment.y / sizes.chord_m,
            yawing_moment: moment.z / sizes.span_m,
        }
    }

    fn combine(a: &Self, b: &Self, operation: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            lift: operation(a.lift, b.lift),
            drag: operation(a.drag, b.drag),
            side_force: operation(a.side_force, b.side_force),
            rolling_moment: operation(a.rolling_moment, b.rolling_moment),
            pitching_moment: operation(a.pitching_moment, b.pitching_moment),
            yawing_moment: operation(a.yawing_moment, b.yawing_moment),
        }
    }
}

/// Rotation from body to stability axes at an angle of attack.
fn stability_from_body(alpha_rad: f64) -> Matrix3<f64> {
    let (sin, cos) = alpha_rad.sin_cos();
    Matrix3::new(cos, 0.0, sin, 0.0, 1.0, 0.0, -sin, 0.0, cos)
}

/// Derivatives of all six coefficients by everything that the loads depend on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Derivatives {
    /// The coefficients themselves at the reference state.
    pub at_reference: Coefficients,
    /// By relative speed change u/V, referred to the pressure as it changes: of
    /// rigid shapes in air that does not compress only what the propeller and the
    /// Reynolds number do (Etkin and Reid 1996, section 4.12, from memory).
    pub by_speed: Coefficients,
    /// By angle of attack, per rad; lift and drag across and along the air.
    pub by_alpha: Coefficients,
    /// By sideslip, per rad; positive when the air comes from the right.
    pub by_beta: Coefficients,
    /// By roll rate p b/2V.
    pub by_roll_rate: Coefficients,
    /// By pitch rate q c/2V.
    pub by_pitch_rate: Coefficients,
    /// By yaw rate r b/2V.
    pub by_yaw_rate: Coefficients,
    /// By rate of angle of attack, alpha-dot c/2V.
    pub by_alpha_rate: Coefficients,
    /// By elevator, per rad.
    pub by_elevator: Coefficients,
    /// By aileron, per rad.
    pub by_aileron: Coefficients,
    /// By rudder, per rad.
    pub by_rudder: Coefficients,
    /// By flap, per rad.
    pub by_flap: Coefficients,
}

/// What the loads are derived by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// Speed along the path.
    Speed,
    /// Angle of attack.
    Alpha,
    /// Sideslip.
    Beta,
    /// Roll rate.
    RollRate,
    /// Pitch rate.
    PitchRate,
    /// Yaw rate.
    YawRate,
    /// Rate of angle of attack.
    AlphaRate,
    /// Elevator.
    Elevator,
    /// Aileron.
    Aileron,
    /// Rudder.
    Rudder,
    /// Flap.
    Flap,
}

impl Cause {
    /// The standard symbol, as in `CL_alpha` or `Cl_p`.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Speed => "u",
            Self::Alpha => "alpha",
            Self::Beta => "beta",
            Self::RollRate => "p",
            Self::PitchRate => "q",
            Self::YawRate => "r",
            Self::AlphaRate => "alpha_dot",
            Self::Elevator => "elevator",
            Self::Aileron => "aileron",
            Self::Rudder => "rudder",
            Self::Flap => "flap",
        }
    }
}

/// Forces and moments per unit of one cause, stability axes, about the balance
/// point. The unit of the cause is m/s of speed, rad of an angle, rad/s of a
/// rate.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LoadsPer {
    /// What they are derived by.
    pub cause: Cause,
    /// Lift, N.
    pub lift_n: f64,
    /// Drag, N.
    pub drag_n: f64,
    /// Side force, N.
    pub side_force_n: f64,
    /// Rolling moment, N m.
    pub rolling_moment_n_m: f64,
    /// Pitching moment, N m.
    pub pitching_moment_n_m: f64,
    /// Yawing moment, N m.
    pub yawing_moment_n_m: f64,
}

impl Derivatives {
    /// All causes with their non-dimensional derivatives, in the usual order.
    pub fn rows(&self) -> [(Cause, Coefficients); 11] {
        [
            (Cause::Speed, self.by_speed),
            (Cause::Alpha, self.by_alpha),
            (Cause::Beta, self.by_beta),
            (Cause::RollRate, self.by_roll_rate),
            (Cause::PitchRate, self.by_pitch_rate),
            (Cause::YawRate, self.by_yaw_rate),
            (Cause::AlphaRate, self.by_alpha_rate),
            (Cause::Elevator, self.by_elevator),
            (Cause::Aileron, self.by_aileron),
            (Cause::Rudder, self.by_rudder),
            (Cause::Flap, self.by_flap),
        ]
    }

    /// The dimensional derivatives at the flight point they were taken at.
    ///
    /// # Method
    /// Coefficients times dynamic pressure, area and, for moments, span or
    /// chord; rates times b/2V or c/2V, speed over V, where to `by_speed` comes
    /// twice the coefficient itself, what speed does through the pressure.
    pub fn dimensional(&self, point: &FlightPoint, sizes: &ReferenceSizes) -> [LoadsPer; 11] {
        let force = point.dynamic_pressure_pa() * sizes.area_m2;
        let per_rate = |length_m: f64| length_m / (2.0 * point.airspeed_m_s);
        self.rows().map(|(cause, c)| {
            let c = match cause {
                Cause::Speed => {
                    Coefficients::combine(&c, &self.at_reference, |c, own| c + 2.0 * own)
                }
                _ => c,
            };
            let per_unit = match cause {
                Cause::Speed => 1.0 / point.airspeed_m_s,
                Cause::RollRate | Cause::YawRate => per_rate(sizes.span_m),
                Cause::PitchRate | Cause::AlphaRate => per_rate(sizes.chord_m),
                Cause::Alpha
                | Cause::Beta
                | Cause::Elevator
                | Cause::Aileron
                | Cause::Rudder
                | Cause::Flap => 1.0,
            };
            let force = force * per_unit;
            LoadsPer {
                cause,
                lift_n: force * c.lift,
                drag_n: force * c.drag,
                side_force_n: force * c.side_force,
                rolling_moment_n_m: force * sizes.span_m * c.rolling_moment,
                pitching_moment_n_m: force * sizes.chord_m * c.pitching_moment,
                yawing_moment_n_m: force * sizes.span_m * c.yawing_moment,
            }
        })
    }
}

/// A state of straight flight about which derivatives are taken.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FlightPoint {
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Angle of attack of the body, rad.
    pub alpha_rad: f64,
    /// Sideslip, rad.
    pub beta_rad: f64,
    /// Density of the air, kg/m3.
    pub density_kg_m3: f64,
    /// Kinematic viscosity of the air, m2/s.
    pub kinematic_viscosity_m2_s: f64,
    /// Controls.
    pub controls: Controls,
}

impl FlightPoint {
    /// The state of the air at the point.
    pub fn air(&self) -> AirState {
        let (sin_alpha, cos_alpha) = self.alpha_rad.sin_cos();
        let (sin_beta, cos_beta) = self.beta_rad.sin_cos();
        AirState {
            velocity_body: Vector3::new(cos_alpha * cos_beta, sin_beta, sin_alpha * cos_beta)
                * self.airspeed_m_s,
            rates_body: Vector3::zeros(),
            density_kg_m3: self.density_kg_m3,
            kinematic_viscosity_m2_s: self.kinematic_viscosity_m2_s,
            height_m: None,
        }
    }

    /// Dynamic pressure, Pa.
    pub fn dynamic_pressure_pa(&self) -> f64 {
        0.5 * self.density_kg_m3 * self.airspeed_m_s * self.airspeed_m_s
    }
}

/// Half step in angles, rad: the loads are smooth over a third of a degree,
/// and round-off in a difference of this size is below 1e-10.
const ANGLE_STEP_RAD: f64 = 3e-3;
/// Half step in non-dimensional rates.
const RATE_STEP: f64 = 3e-3;
/// Half step in relative speed.
const SPEED_STEP: f64 = 3e-3;

/// Takes all derivatives at a flight point.
pub fn derivatives(
    airframe: &impl Airframe,
    point: &FlightPoint,
    sizes: &ReferenceSizes,
) -> Derivatives {
    let pressure = point.dynamic_pressure_pa();
    let coefficients = |air: &AirState, controls: &Controls| {
        Coefficients::of(&airframe.loads(air, controls), point.alpha_rad, pressure, sizes)
    };
    let difference = |plus: Coefficients, minus: Coefficients, step: f64| {
        Coefficients::combine(&plus, &minus, |a, b| (a - b) / (2.0 * step))
    };
    let at = |changed: FlightPoint| coefficients(&changed.air(), &changed.controls);
    // Lift and drag turn with the air; the moments' axes stay.
    let turned = |step: f64| {
        let changed = FlightPoint { alpha_rad: point.alpha_rad + step, ..*point };
        let wrench = airframe.loads(&changed.air(), &changed.controls);
        let along_air = Coefficients::of(&wrench, changed.alpha_rad, pressure, sizes);
        let moments = Coefficients::of(&wrench, point.alpha_rad, pressure, sizes);
        Coefficients { lift: along_air.lift, drag: along_air.drag, ..moments }
    };
    let by_point = |change: &dyn Fn(&mut FlightPoint, f64), step: f64| {
        let (mut plus, mut minus) = (*point, *point);
        change(&mut plus, step);
        change(&mut minus, -step);
        difference(at(plus), at(minus), step)
    };
    let stability = stability_from_body(point.alpha_rad);
    let by_rate = |axis: Vector3<f64>, length_m: f64| {
        let rate = stability.transpose() * axis * (2.0 * point.airspeed_m_s / length_m * RATE_STEP);
        let turning =
            |rates_body| coefficients(&AirState { rates_body, ..point.air() }, &point.controls);
        difference(turning(rate), turning(-rate), RATE_STEP)
    };
    let at_reference = at(*point);
    let with_pressure = by_point(&|p, step| p.airspeed_m_s *= 1.0 + step, SPEED_STEP);
    Derivatives {
        at_reference,
        by_speed: Coefficients::combine(&with_pressure, &at_reference, |c, own| c - 2.0 * own),
        by_alpha: difference(turned(ANGLE_STEP_RAD), turned(-ANGLE_STEP_RAD), ANGLE_STEP_RAD),
        by_beta: by_point(&|p, step| p.beta_rad += step, ANGLE_STEP_RAD),
        by_roll_rate: by_rate(Vector3::x(), sizes.span_m),
        by_pitch_rate: by_rate(Vector3::y(), sizes.chord_m),
        by_yaw_rate: by_rate(Vector3::z(), sizes.span_m),
        by_alpha_rate: by_alpha_rate(airframe, point, sizes),
        by_elevator: by_point(&|p, step| p.controls.elevator_rad += step, ANGLE_STEP_RAD),
        by_aileron: by_point(&|p, step| p.controls.aileron_rad += step, ANGLE_STEP_RAD),
        by_rudder: by_point(&|p, step| p.controls.rudder_rad += step, ANGLE_STEP_RAD),
        by_flap: by_point(&|p, step| p.controls.flap_rad += step, ANGLE_STEP_RAD),
    }
}

/// The unsteady part sits in the added mass: the force held back per vertical
/// acceleration, where w-dot is V alpha-dot.
fn by_alpha_rate(
    airframe: &impl Airframe,
    point: &FlightPoint,
    sizes: &ReferenceSizes,
) -> Coefficients {
    let added = airframe.added_mass(point.density_kg_m3);
    let (sin, cos) = point.alpha_rad.sin_cos();
    let acceleration = Vector3::new(-sin, 0.0, cos) * point.airspeed_m_s;
    let held_back = -(added.fixed_columns::<3>(0) * acceleration);
    let wrench = Wrench {
        force_body: held_back.fixed_rows::<3>(0).into_owned(),
        moment_body: held_back.fixed_rows::<3>(3).into_owned(),
    };
    let per_unit = 2.0 * point.airspeed_m_s / sizes.chord_m;
    let all = Coefficients::of(&wrench, point.alpha_rad, point.dynamic_pressure_pa(), sizes);
    Coefficients::combine(&all, &all, |a, _| a * per_unit)
}

#[cfg(test)]
mod tests;
