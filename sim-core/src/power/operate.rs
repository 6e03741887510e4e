//! The balance of motor and propeller at a throttle and an airspeed.
//!
//! Motor torque falls, propeller torque rises with the rotation speed, so
//! their balance is bracketed between standstill and overspeed and found with
//! a capped search. Without throttle the propeller freewheels: the wind turns
//! it against the motor's no-load torque (no brake), and it drags.

use std::f64::consts::PI;

use super::bracket::find_root;
use super::disc::{induced_velocity, swirl};
use super::motor::{ElectricDrive, ElectricState};
use super::propeller::PropellerLoads;
use super::{PowerModel, Source};

/// The rotation speed is found to this share of its upper bound.
const ROTATION_TOLERANCE: f64 = 1e-12;
/// Doublings of the upper bound of the rotation speed.
const DOUBLINGS_MAX: usize = 40;
/// Least upper bound of the rotation speed, rad/s.
const ROTATION_BOUND_MIN: f64 = 1.0;
/// Airspeeds are taken within these, m/s, densities within these, kg/m3.
const AIRSPEED_RANGE: (f64, f64) = (-300.0, 300.0);
const DENSITY_RANGE: (f64, f64) = (0.05, 3.0);
/// Density at which a known thrust was stated, kg/m3.
const DENSITY_SEA_LEVEL: f64 = 1.225;
/// Share of the ideal (disc-theory) power in the shaft power of a drive of
/// which only the thrust is known: blade drag and swirl take the rest
/// (estimate, 0.75-0.9).
const KNOWN_THRUST_EFFICIENCY: f64 = 0.85;
/// Least speed of the air through the disc in the swirl, as a share of the
/// tip speed.
const THROUGH_MIN: f64 = 0.01;

/// A power train at work.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct OperatingPoint {
    /// Throttle, 0 to 1.
    pub throttle: f64,
    /// Airspeed along the shaft, m/s, positive flying forward.
    pub axial_airspeed_m_s: f64,
    /// Air density, kg/m3.
    pub density_kg_m3: f64,
    /// Rotation speed, rad/s, not negative; the sense is the mount's.
    pub rotation_rad_s: f64,
    /// Force along the shaft, N, positive forward; negative for a windmill.
    pub thrust_n: f64,
    /// Moment of the air against the rotation, N m; negative where the wind
    /// turns the propeller.
    pub torque_n_m: f64,
    /// Current through the motor, A; zero for a known thrust, as all electric
    /// values.
    pub motor_current_a: f64,
    /// Current out of the pack, A: the motor's times the throttle.
    pub pack_current_a: f64,
    /// Voltage at the pack's terminals, V.
    pub pack_voltage_v: f64,
    /// Power into the propeller, W.
    pub shaft_power_w: f64,
    /// Power out of the pack, W.
    pub electrical_power_w: f64,
    /// Thrust times airspeed over shaft power; zero where either is not
    /// positive.
    pub propeller_efficiency: f64,
    /// Thrust times airspeed over the pack's power; zero where either is not
    /// positive.
    pub efficiency: f64,
    /// Mean velocity that the propeller adds to the air at the disc, m/s,
    /// positive with the slipstream.
    pub induced_velocity_m_s: f64,
    /// Angular velocity of the air just behind the disc, rad/s, in the sense
    /// of the rotation.
    pub swirl_rad_s: f64,
    /// Side force against a sideways motion of the hub, N per m/s, with the
    /// sidewash that it makes.
    pub side_force_n_s_per_m: f64,
    /// Moment about that motion's direction, N m per m/s; see
    /// [`PropellerLoads::yaw_moment_n_s`].
    pub yaw_moment_n_s: f64,
}

impl OperatingPoint {
    /// Rotation speed in turns per second.
    pub fn turns_per_s(&self) -> f64 {
        self.rotation_rad_s / (2.0 * PI)
    }
}

impl PowerModel {
    /// The power train at a throttle (0..1), an airspeed along the shaft (m/s,
    /// positive flying forward) and an air density (kg/m3).
    ///
    /// # Limits
    /// Values outside 0..1, -300..300 m/s and 0.05..3 kg/m3 are taken as the
    /// nearer end; a value that is not a number as no throttle, no airspeed,
    /// sea level. The result is always finite.
    pub fn operate(
        &self,
        throttle: f64,
        axial_airspeed_m_s: f64,
        density_kg_m3: f64,
    ) -> OperatingPoint {
        let throttle = bounded(throttle, (0.0, 1.0), 0.0);
        let airspeed = bounded(axial_airspeed_m_s, AIRSPEED_RANGE, 0.0);
        let density = bounded(density_kg_m3, DENSITY_RANGE, DENSITY_SEA_LEVEL);
        match &self.source {
            Source::Electric(drive) => {
                let rotation = self.balance(drive, throttle, airspeed, density);
                let loads = self.propeller.loads(rotation, airspeed, density);
                let state = drive.state(throttle, rotation);
                self.point((throttle, airspeed, density), rotation, loads, state)
            }
            Source::KnownThrust { static_thrust_n, zero_thrust_airspeed_m_s } => {
                let left = (1.0 - airspeed / zero_thrust_airspeed_m_s).clamp(0.0, 1.0);
                let thrust = throttle * static_thrust_n * left * density / DENSITY_SEA_LEVEL;
                self.known_thrust(throttle, airspeed, density, thrust)
            }
        }
    }

    /// Rotation speed at which motor and propeller agree.
    fn balance(&self, drive: &ElectricDrive, throttle: f64, airspeed: f64, density: f64) -> f64 {
        let lacking = |rotation: f64| {
            self.propeller.loads(rotation, airspeed, density).torque_n_m
                - drive.torque_n_m(throttle, rotation)
        };
        self.rising_root(drive.idle_rotation_rad_s(throttle), lacking)
    }

    /// Root of a function of the rotation speed that is negative below it and
    /// positive above; zero where there is none.
    fn rising_root(&self, bound: f64, function: impl Fn(f64) -> f64) -> f64 {
        let low = (0.0, function(0.0));
        if low.1.is_nan() || low.1 >= 0.0 {
            return 0.0;
        }
        let mut bound = bound.max(ROTATION_BOUND_MIN);
        for _ in 0..DOUBLINGS_MAX {
            let high = (bound, function(bound));
            if high.1 > 0.0 {
                return find_root(function, low, high, ROTATION_TOLERANCE * bound);
            }
            bound *= 2.0;
        }
        0.0
    }

    /// A drive of which the thrust is known. It turns as fast as its propeller
    /// must to give that thrust; the shaft power is the ideal power over an
    /// assumed efficiency.
    fn known_thrust(
        &self,
        throttle: f64,
        airspeed: f64,
        density: f64,
        thrust: f64,
    ) -> OperatingPoint {
        let radius = self.propeller.radius_m();
        let excess =
            |rotation: f64| self.propeller.loads(rotation, airspeed, density).thrust_n - thrust;
        let rotation = self.rising_root(airspeed.abs() / radius, excess);
        let vi = induced_velocity(thrust, PI * radius * radius, airspeed, density);
        let power = (thrust * (airspeed + vi)).max(0.0) / KNOWN_THRUST_EFFICIENCY;
        let torque_n_m = power / rotation.max(ROTATION_BOUND_MIN);
        let table = self.propeller.loads(rotation, airspeed, density);
        let loads = PropellerLoads { thrust_n: thrust, torque_n_m, ..table };
        self.point((throttle, airspeed, density), rotation, loads, ElectricState::default())
    }

    fn point(
        &self,
        (throttle, axial_airspeed_m_s, density_kg_m3): (f64, f64, f64),
        rotation_rad_s: f64,
        loads: PropellerLoads,
        state: ElectricState,
    ) -> OperatingPoint {
        let PropellerLoads { thrust_n, torque_n_m, .. } = loads;
        let radius = self.propeller.radius_m();
        let area = PI * radius * radius;
        let vi = induced_velocity(thrust_n, area, axial_airspeed_m_s, density_kg_m3);
        let through = (axial_airspeed_m_s + vi)
            .abs()
            .max(THROUGH_MIN * (rotation_rad_s * radius).max(axial_airspeed_m_s.abs()))
            .max(THROUGH_MIN);
        let shaft_power_w = torque_n_m * rotation_rad_s;
        let electrical_power_w = state.pack_current_a * state.pack_voltage_v;
        let useful = thrust_n * axial_airspeed_m_s;
        let ratio = |power: f64| if useful > 0.0 && power > 0.0 { useful / power } else { 0.0 };
        // The side force sends the stream sideways: half of that is felt at
        // the disc, as with a wing's downwash.
        let mass_flow = density_kg_m3 * area * through;
        let side = loads.side_force_n_s_per_m;
        let relief = 1.0 / (1.0 + side.max(0.0) / (2.0 * mass_flow));
        OperatingPoint {
            throttle,
            axial_airspeed_m_s,
            density_kg_m3,
            rotation_rad_s,
            thrust_n,
            torque_n_m,
            motor_current_a: state.motor_current_a,
            pack_current_a: state.pack_current_a,
            pack_voltage_v: state.pack_voltage_v,
            shaft_power_w,
            electrical_power_w,
            propeller_efficiency: ratio(shaft_power_w),
            efficiency: ratio(electrical_power_w),
            induced_velocity_m_s: vi,
            swirl_rad_s: swirl(torque_n_m, radius, through, density_kg_m3),
            side_force_n_s_per_m: side * relief,
            yaw_moment_n_s: loads.yaw_moment_n_s * relief,
        }
    }
}

fn bounded(value: f64, (least, most): (f64, f64), otherwise: f64) -> f64 {
    if value.is_nan() { otherwise } else { value.clamp(least, most) }
}
