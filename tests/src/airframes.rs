//! Airframes simple enough that theory says how they move.

use nalgebra::{Matrix3, Matrix6, Rotation3, Vector3};
use sim_core::dynamics::{AirState, Airframe, Controls, Wrench};

/// A body without any air: only its own inertia moves it.
#[derive(Debug, Clone)]
pub struct Brick {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Moments of inertia about the body axes, kg m2.
    pub inertia_kg_m2: Vector3<f64>,
}

impl Airframe for Brick {
    fn mass_kg(&self) -> f64 {
        self.mass_kg
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        Matrix3::from_diagonal(&self.inertia_kg_m2)
    }

    fn loads(&self, _: &AirState, _: &Controls) -> Wrench {
        Wrench::default()
    }
}

/// A ball with a constant drag coefficient.
#[derive(Debug, Clone)]
pub struct Ball {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Drag coefficient times frontal area, m2.
    pub drag_area_m2: f64,
}

impl Airframe for Ball {
    fn mass_kg(&self) -> f64 {
        self.mass_kg
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        // A ball's inertia matters to none of the checks; 1e-4 kg m2 is a
        // tennis ball's order of size.
        1e-4 * Matrix3::identity()
    }

    fn loads(&self, air: &AirState, _: &Controls) -> Wrench {
        let factor = -0.5 * air.density_kg_m3 * self.drag_area_m2 * air.velocity_body.norm();
        Wrench { force_body: factor * air.velocity_body, moment_body: Vector3::zeros() }
    }
}

/// An aircraft by its published derivatives, per rad, rates made dimensionless
/// by `b/2V` and `c/2V`; thrust along the body x axis through the centre of
/// gravity, the same at every speed.
///
/// Lift, drag and side force are in stability axes, moments in body axes.
/// Signs are the source's, as published.
#[derive(Debug, Clone, Default)]
#[allow(missing_docs)]
pub struct Derivatives {
    pub mass_kg: f64,
    /// Ix, Iy, Iz, Ixz, kg m2.
    pub inertia_kg_m2: [f64; 4],
    pub area_m2: f64,
    pub span_m: f64,
    pub chord_m: f64,
    pub thrust_max_n: f64,
    /// Angle of attack at which the body x axis lies along the flight path.
    pub alpha_of_axis: f64,
    pub lift: f64,
    pub lift_alpha: f64,
    pub lift_q: f64,
    pub lift_elevator: f64,
    pub drag: f64,
    pub drag_alpha: f64,
    /// Drag per lift squared.
    pub induced: f64,
    pub pitch: f64,
    pub pitch_alpha: f64,
    pub pitch_alpha_rate: f64,
    pub pitch_q: f64,
    pub pitch_elevator: f64,
    pub side_beta: f64,
    pub side_rudder: f64,
    pub roll: f64,
    pub roll_beta: f64,
    pub roll_p: f64,
    pub roll_r: f64,
    pub roll_aileron: f64,
    pub roll_rudder: f64,
    pub yaw: f64,
    pub yaw_beta: f64,
    pub yaw_p: f64,
    pub yaw_r: f64,
    pub yaw_aileron: f64,
    pub yaw_rudder: f64,
}

impl Derivatives {
    /// Lift coefficient at an angle of attack measured from the body axis.
    pub fn lift_coefficient(&self, alpha_rad: f64, elevator_rad: f64) -> f64 {
        self.lift
            + self.lift_alpha * (alpha_rad + self.alpha_of_axis)
            + self.lift_elevator * elevator_rad
    }
}

impl Airframe for Derivatives {
    fn mass_kg(&self) -> f64 {
        self.mass_kg
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        let [ix, iy, iz, ixz] = self.inertia_kg_m2;
        Matrix3::new(ix, 0.0, -ixz, 0.0, iy, 0.0, -ixz, 0.0, iz)
    }

    fn added_mass(&self, density_kg_m3: f64) -> Matrix6<f64> {
        // The pitching moment that lags the downwash is q S c Cm_alpha_dot
        // (alpha' c / 2V), with alpha' = w' / V: free of the airspeed.
        let mut matrix = Matrix6::zeros();
        let moment = 0.25 * density_kg_m3 * self.area_m2 * self.chord_m * self.chord_m;
        matrix[(4, 2)] = -moment * self.pitch_alpha_rate;
        matrix
    }

    fn loads(&self, air: &AirState, controls: &Controls) -> Wrench {
        let velocity = &air.velocity_body;
        let airspeed = velocity.norm();
        let alpha = velocity.z.atan2(velocity.x);
        let beta = (velocity.y / airspeed).asin();
        let pressure_area = 0.5 * air.density_kg_m3 * airspeed * airspeed * self.area_m2;
        let p = air.rates_body.x * self.span_m / (2.0 * airspeed);
        let q = air.rates_body.y * self.chord_m / (2.0 * airspeed);
        let r = air.rates_body.z * self.span_m / (2.0 * airspeed);
        let alpha_full = alpha + self.alpha_of_axis;
        let Controls { elevator_rad, aileron_rad, rudder_rad, throttle, .. } = *controls;
        let static_lift = self.lift_coefficient(alpha, elevator_rad);
        let lift = static_lift + self.lift_q * q;
        let drag = self.drag + self.drag_alpha * alpha + self.induced * static_lift * static_lift;
        let side = self.side_beta * beta + self.side_rudder * rudder_rad;
        let stability = Vector3::new(-drag, side, -lift);
        let body_from_stability = Rotation3::from_axis_angle(&Vector3::y_axis(), -alpha);
        let thrust = Vector3::new(throttle * self.thrust_max_n, 0.0, 0.0);
        let roll = self.roll
            + self.roll_beta * beta
            + self.roll_p * p
            + self.roll_r * r
            + self.roll_aileron * aileron_rad
            + self.roll_rudder * rudder_rad;
        let pitch = self.pitch
            + self.pitch_alpha * alpha_full
            + self.pitch_q * q
            + self.pitch_elevator * elevator_rad;
        let yaw = self.yaw
            + self.yaw_beta * beta
            + self.yaw_p * p
            + self.yaw_r * r
            + self.yaw_aileron * aileron_rad
            + self.yaw_rudder * rudder_rad;
        Wrench {
            force_body: pressure_area * (body_from_stability * stability) + thrust,
            moment_body: pressure_area
                * Vector3::new(self.span_m * roll, self.chord_m * pitch, self.span_m * yaw),
        }
    }
}

/// A small unmanned aircraft of 13.5 kg: R. W. Beard and T. W. McLain, Small
/// Unmanned Aircraft, 2012, appendix E, from memory.
pub fn small_uav() -> Derivatives {
    let (span_m, area_m2) = (2.8956, 0.55);
    let aspect_ratio = span_m * span_m / area_m2;
    Derivatives {
        mass_kg: 13.5,
        inertia_kg_m2: [0.8244, 1.135, 1.759, 0.1204],
        area_m2,
        span_m,
        chord_m: 0.18994,
        // The source's propeller model is not used: any thrust that suffices.
        thrust_max_n: 60.0,
        lift: 0.28,
        lift_alpha: 3.45,
        lift_elevator: -0.36,
        drag: 0.0437,
        induced: 1.0 / (std::f64::consts::PI * 0.9 * aspect_ratio),
        pitch: -0.02338,
        pitch_alpha: -0.38,
        pitch_q: -3.6,
        pitch_elevator: -0.5,
        side_beta: -0.98,
        side_rudder: -0.17,
        roll_beta: -0.12,
        roll_p: -0.26,
        roll_r: 0.14,
        roll_aileron: 0.08,
        roll_rudder: 0.105,
        yaw_beta: 0.25,
        yaw_p: 0.022,
        yaw_r: -0.35,
        yaw_aileron: 0.06,
        yaw_rudder: -0.032,
        ..Derivatives::default()
    }
}
