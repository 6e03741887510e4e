//! The balance of motor and propeller at a throttle and an airspeed.
//!
//! Motor torque falls, propeller torque rises with the rotation speed, so
//! their balance is bracketed between standstill and overspeed and found with
//! a capped search. Without throttle the propeller freewheels: the wind turns
//! it against the motor's no-load torque (no brake), and it drags. Between
//! creeping and windmilling two balances can exist, as with real propellers;
//! the drag then steps by about a tenth at one airspeed.

use std::f64::consts::PI;

use super::bracket::find_rising_root;
use super::disc::{induced_velocity, swirl};
use super::motor::{ElectricDrive, ElectricState};
use super::propeller::PropellerLoads;
use super::{PowerModel, Source};

/// The rotation speed is found to this share of the first guess.
const ROTATION_TOLERANCE: f64 = 1e-10;
/// No propeller turns faster, rad/s (an ideal motor of the highest speed
/// constant on the largest pack stays below).
const ROTATION_MAX: f64 = 1e6;
/// First guess of the loaded over the unloaded rotation speed.
const USUAL_SHARE_OF_IDLE: f64 = 0.8;
/// First guess of the tip speed over the airspeed of a windmill.
const WINDMILL_TIP_RATIO: f64 = 2.5;
/// First guess of the tip speed of a full-size propeller, m/s.
const USUAL_TIP_SPEED: f64 = 150.0;
/// First step away from the guess, as a share of it, and at least, rad/s.
const FIRST_STEP_SHARE: f64 = 0.08;
const ROTATION_STEP_MIN: f64 = 0.1;
/// Slowest rotation by which a known power is divided, rad/s.
const ROTATION_MIN: f64 = 1.0;
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
    /// Current out of the pack for this motor, A: its own times the throttle.
    pub pack_current_a: f64,
    /// Voltage at the pack's terminals, V, all its motors at work.
    pub pack_voltage_v: f64,
    /// Power into the propeller, W.
    pub shaft_power_w: f64,
    /// Power out of the pack for this motor, W.
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

    /// A propeller without throttle that is held at `turn_rad_m`, its rotation for
    /// each metre along the shaft, whatever the airspeed; a drive of which only the
    /// thrust is known has no other.
    pub fn windmill(
        &self,
        turn_rad_m: f64,
        axial_airspeed_m_s: f64,
        density_kg_m3: f64,
    ) -> OperatingPoint {
        let Source::Electric(drive) = &self.source else {
            return self.operate(0.0, axial_airspeed_m_s, density_kg_m3);
        };
        let rotation = turn_rad_m * axial_airspeed_m_s.max(0.0);
        let loads = self.propeller.loads(rotation, axial_airspeed_m_s, density_kg_m3);
        let state = drive.state(0.0, rotation);
        self.point((0.0, axial_airspeed_m_s, density_kg_m3), rotation, loads, state)
    }

    /// Rotation speed at which motor and propeller agree; zero where the motor
    /// cannot turn the propeller forward.
    fn balance(&self, drive: &ElectricDrive, throttle: f64, airspeed: f64, density: f64) -> f64 {
        let lacking = |rotation: f64| {
            self.propeller.torque_n_m(rotation, airspeed, density)
                - drive.torque_n_m(throttle, rotation)
        };
        let windmill = WINDMILL_TIP_RATIO * airspeed.max(0.0) / self.propeller.radius_m();
        let idle = drive.idle_rotation_rad_s(throttle);
        let guess = (USUAL_SHARE_OF_IDLE * idle).max(windmill);
        rotation_where(lacking, guess)
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
        let rotation = rotation_where(excess, USUAL_TIP_SPEED / radius);
        let vi = induced_velocity(thrust, PI * radius * radius, airspeed, density);
        let power = (thrust * (airspeed + vi)).max(0.0) / KNOWN_THRUST_EFFICIENCY;
        let torque_n_m = power / rotation.max(ROTATION_MIN);
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

/// The rotation speed at which a function turns from negative to positive;
/// zero where it does not.
fn rotation_where(function: impl Fn(f64) -> f64, guess: f64) -> f64 {
    let step = FIRST_STEP_SHARE * guess + ROTATION_STEP_MIN;
    let tolerance = ROTATION_TOLERANCE * (guess + ROTATION_STEP_MIN);
    find_rising_root(function, guess, step, (0.0, ROTATION_MAX), tolerance).unwrap_or(0.0)
}

fn bounded(value: f64, (least, most): (f64, f64), otherwise: f64) -> f64 {
    if value.is_nan() { otherwise } else { value.clamp(least, most) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::power::samples;

    #[test]
    fn torque_of_motor_and_propeller_agree() {
        let model = samples::electric();
        let drive = model.electric().unwrap();
        for throttle in [0.15, 0.4, 0.7, 1.0] {
            for airspeed in [0.0, 5.0, 12.0, 25.0] {
                let point = model.operate(throttle, airspeed, 1.225);
                let motor = drive.torque_n_m(throttle, point.rotation_rad_s);
                assert!((motor - point.torque_n_m).abs() < 1e-9, "{throttle} {airspeed}");
                assert!(point.electrical_power_w >= point.shaft_power_w - 1e-9);
            }
        }
    }

    #[test]
    fn efficiency_is_useful_power_over_power_put_in() {
        let point = samples::electric().operate(0.8, 12.0, 1.225);
        let useful = point.thrust_n * 12.0;
        assert!(useful > 0.0);
        assert!((point.propeller_efficiency * point.shaft_power_w / useful - 1.0).abs() < 1e-12);
        assert!((point.efficiency * point.electrical_power_w / useful - 1.0).abs() < 1e-12);
        assert!(point.efficiency < point.propeller_efficiency && point.propeller_efficiency < 0.9);
        // Windmilling gives nothing.
        assert_eq!(samples::electric().operate(0.1, 25.0, 1.225).efficiency, 0.0);
    }

    #[test]
    fn thrust_rises_with_throttle_and_falls_with_airspeed() {
        let model = samples::electric();
        // From the throttle on that drives the propeller at all: below it a
        // faster windmill brakes harder.
        let mut last = -1.0;
        for step in 10..=50 {
            let thrust = model.operate(0.02 * f64::from(step), 8.0, 1.225).thrust_n;
            assert!(thrust > last);
            last = thrust;
        }
        for step in 9..40 {
            let thrust = model.operate(1.0, f64::from(step), 1.225).thrust_n;
            assert!(thrust < last);
            last = thrust;
        }
    }

    #[test]
    fn without_throttle_it_freewheels_and_drags() {
        let model = samples::electric();
        let point = model.operate(0.0, 12.0, 1.225);
        assert!(point.rotation_rad_s > 50.0 && point.thrust_n < 0.0);
        // The wind works against the no-load torque.
        let drive = model.electric().unwrap();
        let friction = drive.torque_constant_n_m_a * drive.no_load_current_a;
        assert!(-point.torque_n_m > 0.8 * friction && -point.torque_n_m < friction);
        assert_eq!(point.pack_current_a, 0.0);
        assert!(point.induced_velocity_m_s < 0.0);
        let still = model.operate(0.0, 0.0, 1.225);
        assert_eq!((still.thrust_n, still.rotation_rad_s), (0.0, 0.0));
    }

    /// No windmill takes more than 16/27 of the power in the wind through its
    /// disc (Betz 1920), and none holds it up by more than the pressure of the
    /// air on the whole disc (momentum theory with half the wind lost; Glauert
    /// 1935). Both from memory.
    #[test]
    fn a_windmill_keeps_within_what_the_wind_can_give() {
        let model = samples::electric();
        let radius = model.propeller().radius_m();
        for airspeed in (1..=40).map(f64::from) {
            let point = model.operate(0.0, airspeed, 1.225);
            let on_disc = 0.5 * 1.225 * airspeed * airspeed * PI * radius * radius;
            let drag = -point.thrust_n;
            assert!(drag > 0.0 && drag < on_disc, "{airspeed}: {drag} N of {on_disc} N");
            let taken = -point.torque_n_m * point.rotation_rad_s;
            assert!(taken < 16.0 / 27.0 * on_disc * airspeed, "{airspeed}: {taken} W");
        }
    }

    #[test]
    fn every_state_is_finite() {
        let wild = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -3.0, 0.0, 1e-9, 0.3, 1.0, 7.0];
        let mut airspeeds: Vec<f64> = (-50..=150).step_by(4).map(f64::from).collect();
        airspeeds.extend([f64::NAN, f64::INFINITY, -1e9, 1e-9, -1e-9]);
        for model in [samples::electric(), samples::known_thrust()] {
            for throttle in wild {
                for airspeed in &airspeeds {
                    for density in [0.3, 1.225, 1.5, 0.0, f64::NAN] {
                        let point = model.operate(throttle, *airspeed, density);
                        let finite = samples::numbers(&point).iter().all(|x| x.is_finite());
                        assert!(finite, "{throttle} {airspeed} {density}: {point:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn every_allowed_drive_is_finite() {
        use crate::aircraft::limits::{CELL_VOLTAGE, CURRENT, MOTOR_KV, RESISTANCE};
        use crate::aircraft::{Controller, Drive, Motor, Pack};
        let ends = |limits: crate::aircraft::limits::Limits| [limits.min, limits.max];
        for (kv_rpm_per_v, cells) in [(MOTOR_KV.min, 1), (MOTOR_KV.max, 24)] {
            for (resistance_ohm, cell_voltage_v) in
                ends(RESISTANCE).into_iter().zip(ends(CELL_VOLTAGE))
            {
                for no_load_current_a in ends(CURRENT) {
                    let mut unit = samples::propulsion();
                    unit.drive = Drive::Electric {
                        motor: Motor { kv_rpm_per_v, resistance_ohm, no_load_current_a },
                        controller: Controller { current_max_a: 30.0, resistance_ohm },
                        pack: Pack {
                            cells,
                            capacity_ah: 2.2,
                            cell_resistance_ohm: resistance_ohm,
                            cell_voltage_v,
                            current_max_a: None,
                        },
                    };
                    let model = PowerModel::new(&unit).unwrap();
                    for airspeed in [-50.0, 0.0, 12.0, 150.0] {
                        let point = model.operate(1.0, airspeed, 1.225);
                        let numbers = samples::numbers(&point);
                        assert!(numbers.iter().all(|x| x.is_finite()), "{point:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn is_smooth_enough_to_differentiate() {
        let model = samples::electric();
        for (throttle, airspeed) in [(0.3, 8.0), (0.6, 12.0), (1.0, 15.0)] {
            let slope = |h: f64| {
                let at = |v: f64| model.operate(throttle, v, 1.225).thrust_n;
                (at(airspeed + h) - at(airspeed - h)) / (2.0 * h)
            };
            let (coarse, fine) = (slope(1e-2), slope(1e-4));
            assert!((coarse - fine).abs() < 1e-3 * fine.abs(), "{coarse} {fine}");
        }
    }

    #[test]
    fn known_thrust_falls_in_a_straight_line() {
        let model = samples::known_thrust();
        for (throttle, airspeed, density, thrust) in [
            (1.0, 0.0, 1.225, 6.0),
            (1.0, 15.0, 1.225, 3.0),
            (0.5, 15.0, 1.225, 1.5),
            (1.0, 0.0, 0.6125, 3.0),
            (1.0, 40.0, 1.225, 0.0),
        ] {
            let point = model.operate(throttle, airspeed, density);
            assert!((point.thrust_n - thrust).abs() < 1e-12);
            let ideal = thrust * (airspeed + point.induced_velocity_m_s);
            let power = point.shaft_power_w * KNOWN_THRUST_EFFICIENCY;
            assert!((power - ideal).abs() < 1e-9 * (1.0 + ideal), "{power} {ideal}");
        }
    }

    /// Held at so much turn for each metre it turns in step with the airspeed, by
    /// the propeller's own loads; pushed backward it stands.
    #[test]
    fn a_held_windmill_turns_with_the_airspeed() {
        let model = samples::electric();
        for airspeed in [5.0, 14.0] {
            let point = model.windmill(30.0, airspeed, 1.1);
            assert!((point.rotation_rad_s - 30.0 * airspeed).abs() < 1e-12);
            let loads = model.propeller.loads(30.0 * airspeed, airspeed, 1.1);
            assert_eq!((point.thrust_n, point.torque_n_m), (loads.thrust_n, loads.torque_n_m));
        }
        assert_eq!(model.windmill(30.0, -5.0, 1.1).rotation_rad_s, 0.0);
    }

    /// A drive of which the thrust is known turns as fast as its propeller must.
    #[test]
    fn a_known_thrust_is_the_propellers_at_its_rotation() {
        let model = samples::known_thrust();
        for (throttle, airspeed) in [(1.0, 0.0), (0.6, 12.0), (0.2, 5.0)] {
            let point = model.operate(throttle, airspeed, 1.225);
            let loads = model.propeller.loads(point.rotation_rad_s, airspeed, 1.225);
            assert!((loads.thrust_n - point.thrust_n).abs() < 1e-6, "{throttle} {airspeed}");
        }
    }

    /// Momentum sideways: a disc that pushes the air aside is met by half of what
    /// the air leaves with, so a force F answers a sideways speed of 1 less
    /// F / (2 m), m the mass of air a second; the yawing moment with it. The swirl
    /// carries the torque by the same mass.
    #[test]
    fn side_force_and_swirl_belong_to_the_mass_of_air() {
        let model = samples::electric();
        let radius = model.propeller.radius_m();
        for (throttle, airspeed) in [(0.8, 12.0), (1.0, 4.0), (0.0, 15.0)] {
            let point = model.operate(throttle, airspeed, 1.2);
            let table = model.propeller.loads(point.rotation_rad_s, airspeed, 1.2);
            let mass_per_s = 1.2 * PI * radius * radius * (airspeed + point.induced_velocity_m_s);
            let left = 1.0 - point.side_force_n_s_per_m / (2.0 * mass_per_s);
            assert!(left > 0.3 && left < 0.999, "{left}");
            let close = |ours: f64, theirs: f64| assert!((ours / theirs - 1.0).abs() < 1e-9);
            close(point.side_force_n_s_per_m, table.side_force_n_s_per_m * left);
            close(point.yaw_moment_n_s, table.yaw_moment_n_s * left);
            let momentum = mass_per_s * 0.5 * radius * radius * point.swirl_rad_s;
            close(momentum, point.torque_n_m);
            // Three cells of 4 V and 0.01 ohm.
            let current = point.pack_current_a;
            let taken = (12.0 - 0.03 * current) * current;
            assert!((point.electrical_power_w - taken).abs() < 1e-9, "{point:?}");
        }
    }

    /// Where hardly any air passes the disc a hundredth of the tip speed or of the
    /// airspeed, whichever is more, passes for it.
    #[test]
    fn the_swirl_is_bounded_where_no_air_passes() {
        let model = samples::electric();
        let radius = model.propeller.radius_m();
        let mut bound = 0;
        for rotation in [0.0, 20.0, 500.0] {
            for step in 0..400 {
                let airspeed = -0.05 * f64::from(step);
                let loads = PropellerLoads { thrust_n: 3.0, torque_n_m: 0.1, ..Default::default() };
                let state = ElectricState::default();
                let point = model.point((1.0, airspeed, 1.225), rotation, loads, state);
                let passing = (airspeed + point.induced_velocity_m_s).abs();
                let least = 0.01 * airspeed.abs().max(rotation * radius);
                bound += usize::from(passing < least);
                let per_swirl = 1.225 * PI * radius.powi(4) * 0.5 * passing.max(least);
                assert!((point.swirl_rad_s * per_swirl / 0.1 - 1.0).abs() < 1e-9, "{airspeed}");
            }
        }
        assert!(bound > 3, "{bound}");
        // In still air at rest a hundredth of a metre a second is left.
        let loads = PropellerLoads { torque_n_m: 0.1, ..Default::default() };
        let point = model.point((0.0, 0.0, 1.225), 0.0, loads, ElectricState::default());
        let per_swirl = 1.225 * PI * radius.powi(4) * 0.5 * 0.01;
        assert!((point.swirl_rad_s * per_swirl / 0.1 - 1.0).abs() < 1e-9);
    }
}
