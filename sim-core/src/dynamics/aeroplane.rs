//! The whole aeroplane as the equations of motion see it: mass, surfaces and
//! bodies, propellers and their slipstreams.

use std::cell::RefCell;

use nalgebra::{Matrix3, Matrix6, Vector3};

use crate::aero::{AeroError, AeroModel, AeroOptions, DeviceDeflections, deflect, strip_mean};
use crate::aircraft::{Finding, Propulsion, SoundAircraft};
use crate::airframe::{AirState, Airframe, Controls, Wrench};
use crate::mass::{MassProperties, mass_properties};
use crate::power::{Mount, OperatingPoint, PowerError, PowerModel, Slipstream, StreamPlace};

/// Why an aeroplane cannot be put together.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AeroplaneError {
    /// The parts weigh too little or too much.
    #[error(transparent)]
    Mass(#[from] Finding),
    /// The surfaces cannot be computed.
    #[error(transparent)]
    Aero(#[from] AeroError),
    /// A power train cannot be computed.
    #[error("propulsion[{unit}]: {source}")]
    Power {
        /// Index of the unit in the aircraft.
        unit: usize,
        /// What is wrong with it.
        source: PowerError,
    },
}

/// A propeller on its mount.
#[derive(Debug, Clone)]
pub struct Engine {
    /// Index of the unit in the aircraft's list.
    pub unit: usize,
    /// Where it sits, from the balance point.
    pub mount: Mount,
    /// Propeller, motor and pack.
    pub power: PowerModel,
    /// Where every strip feels the air, as the propeller sees it.
    strips: Vec<[StreamPlace; 3]>,
    /// What the propeller turns for each metre along its shaft where it is held to
    /// that without throttle, rad/m.
    held_rad_m: Option<f64>,
}

/// An aeroplane ready to be trimmed and flown.
#[derive(Debug, Clone)]
pub struct Aeroplane {
    mass: MassProperties,
    aero: AeroModel,
    engines: Vec<Engine>,
    scratch: RefCell<Scratch>,
}

#[derive(Debug, Clone, Default)]
struct Scratch {
    deflections: DeviceDeflections,
    /// Mean air that the propellers add over each strip, m/s.
    added_air: Vec<Vector3<f64>>,
}

impl Aeroplane {
    /// Puts an aeroplane together about its balance point.
    ///
    /// # Errors
    /// [`AeroplaneError`] names the field.
    pub fn new(aircraft: &SoundAircraft, options: AeroOptions) -> Result<Self, AeroplaneError> {
        let mass = mass_properties(aircraft)?;
        let aero = AeroModel::new(aircraft, mass.balance_point, options)?;
        let reference = mass.balance_point.to_body_axes();
        let mut engines = Vec::new();
        for (unit, propulsion) in aircraft.propulsion.iter().enumerate() {
            let power = PowerModel::new(propulsion)
                .map_err(|source| AeroplaneError::Power { unit, source })?;
            for mount in Mount::all(propulsion, reference) {
                let strips = places(&aero, &mount, &power);
                let power = power.clone();
                engines.push(Engine { unit, mount, power, strips, held_rad_m: None });
            }
        }
        Ok(Self { mass, aero, engines, scratch: RefCell::default() })
    }

    /// Mass, balance point and inertia.
    pub fn mass(&self) -> &MassProperties {
        &self.mass
    }

    /// Surfaces and bodies.
    pub fn aero(&self) -> &AeroModel {
        &self.aero
    }

    /// Propellers, a mirrored pair as two.
    pub fn engines(&self) -> &[Engine] {
        &self.engines
    }

    /// Sets the voltage without load of the packs of one unit, V.
    pub fn set_resting_voltage_v(&mut self, unit: usize, voltage_v: f64) {
        for engine in self.engines.iter_mut().filter(|engine| engine.unit == unit) {
            engine.power.set_resting_voltage_v(voltage_v);
        }
    }

    /// Tilts the propellers as `units`, in the order of the aircraft's, now say;
    /// nothing else of the units is read.
    pub fn tilt_propellers(&mut self, units: &[Propulsion]) {
        let reference = self.mass.balance_point.to_body_axes();
        let mounts = units.iter().flat_map(|unit| Mount::all(unit, reference));
        for (engine, mount) in self.engines.iter_mut().zip(mounts) {
            engine.strips = places(&self.aero, &mount, &engine.power);
            engine.mount = mount;
        }
    }

    /// Holds the propellers, as long as they have no throttle, to the turns for each
    /// metre that they make in `air`, or lets go of them. A free one may turn with the
    /// wind or all but stand, both in balance at one airspeed: small changes of flight
    /// about a state are not to go from one to the other.
    pub fn hold_windmills(&mut self, air: Option<&AirState>) {
        for engine in &mut self.engines {
            engine.held_rad_m = air.and_then(|air| {
                let free = engine.operate(air, 0.0).0;
                let forward = free.axial_airspeed_m_s > 0.0;
                forward.then(|| free.rotation_rad_s / free.axial_airspeed_m_s)
            });
        }
    }

    /// The same aeroplane with another mass of the same balance point.
    pub fn with_mass(mut self, mass_kg: f64) -> Self {
        self.mass.inertia_body *= mass_kg / self.mass.mass_kg;
        self.mass.mass_kg = mass_kg;
        self
    }

    /// Operating points of all propellers in a state of flight.
    pub fn operating_points(&self, air: &AirState, throttle: f64) -> Vec<OperatingPoint> {
        self.engines.iter().map(|engine| engine.operate(air, throttle).0).collect()
    }

    /// Slipstreams of all propellers in a state of flight, from the balance point.
    pub fn slipstreams(&self, air: &AirState, throttle: f64) -> Vec<Slipstream> {
        let of = |engine: &Engine| {
            let (point, velocity_hub) = engine.operate(air, throttle);
            engine.power.slipstream(&point, &engine.mount, &velocity_hub)
        };
        self.engines.iter().map(of).collect()
    }
}

/// Where every strip feels the air, as a propeller sees it.
fn places(aero: &AeroModel, mount: &Mount, power: &PowerModel) -> Vec<[StreamPlace; 3]> {
    let place = |point: Vector3<f64>| {
        let from_hub = point - mount.hub_body;
        StreamPlace::new(&from_hub, &mount.axis_body, power.propeller().radius_m())
    };
    aero.strip_points().map(|points| points.map(place)).collect()
}

impl Engine {
    /// Operating point and the hub's velocity relative to the air.
    fn operate(&self, air: &AirState, throttle: f64) -> (OperatingPoint, Vector3<f64>) {
        let velocity_hub = air.velocity_body + air.rates_body.cross(&self.mount.hub_body);
        let axial = PowerModel::axial_airspeed(&self.mount, &velocity_hub);
        let point = match self.held_rad_m {
            Some(turn) if throttle <= 0.0 => self.power.windmill(turn, axial, air.density_kg_m3),
            _ => self.power.operate(throttle, axial, air.density_kg_m3),
        };
        (point, velocity_hub)
    }
}

impl Airframe for Aeroplane {
    fn mass_kg(&self) -> f64 {
        self.mass.mass_kg
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        self.mass.inertia_body
    }

    fn added_mass(&self, density_kg_m3: f64) -> Matrix6<f64> {
        self.aero.added_mass(density_kg_m3)
    }

    fn loads(&self, air: &AirState, controls: &Controls) -> Wrench {
        let Scratch { deflections, added_air } = &mut *self.scratch.borrow_mut();
        added_air.clear();
        let mut wrench = Wrench::default();
        for engine in &self.engines {
            let (point, velocity_hub) = engine.operate(air, controls.throttle);
            let own = engine.power.loads(&point, &engine.mount, &velocity_hub, &air.rates_body);
            wrench = wrench + Wrench { force_body: own.force_body, moment_body: own.moment_body };
            let stream = engine.power.slipstream(&point, &engine.mount, &velocity_hub);
            added_air.resize(engine.strips.len(), Vector3::zeros());
            for (added, places) in added_air.iter_mut().zip(&engine.strips) {
                if places.iter().any(|place| stream.may_reach(place)) {
                    *added += strip_mean(places.each_ref().map(|place| stream.velocity_at(place)));
                }
            }
        }
        deflect(&self.aero.grid().devices, controls, deflections);
        wrench + self.aero.loads(air, deflections, added_air)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aero::grid::GridOptions;
    use crate::aircraft::{Aircraft, EXAMPLES, Place, read_aircraft};

    /// The trainer with its motor off the middle, and a second one like it.
    fn twin() -> Aircraft {
        let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
        let mut second = aircraft.propulsion[0].clone();
        second.name = "second".into();
        (second.hub, second.mirrored) = (Place::new(0.2, 0.2, 0.06), true);
        aircraft.propulsion.push(second);
        aircraft
    }

    fn aeroplane(aircraft: &Aircraft) -> Aeroplane {
        let options = AeroOptions {
            grid: GridOptions { strips: 4, strips_min: 3, boxes: 2 },
            airspeed_m_s: 12.0,
            kinematic_viscosity_m2_s: 1.5e-5,
            wake_alpha_rad: 0.03,
        };
        Aeroplane::new(&aircraft.clone().check().unwrap(), options).unwrap()
    }

    const AIR: AirState = AirState {
        velocity_body: Vector3::new(12.0, 0.7, 0.5),
        rates_body: Vector3::new(0.8, -0.9, 1.1),
        density_kg_m3: 1.2,
        kinematic_viscosity_m2_s: 1.5e-5,
        height_m: None,
    };

    /// The load is the propellers', each in the air that its hub meets, and the
    /// surfaces' in the air that all of them add, in the mean over each strip.
    #[test]
    fn the_load_is_that_of_the_propellers_and_of_what_stands_behind_them() {
        let aeroplane = aeroplane(&twin());
        assert_eq!(aeroplane.engines().len(), 3);
        let controls = Controls { throttle: 0.7, elevator_rad: -0.05, ..Controls::default() };
        let mut wanted = Wrench::default();
        let points: Vec<_> = aeroplane.aero().strip_points().collect();
        let mut added = vec![Vector3::zeros(); points.len()];
        for Engine { mount, power, .. } in aeroplane.engines() {
            let velocity_hub = AIR.velocity_body + AIR.rates_body.cross(&mount.hub_body);
            let axial = mount.axis_body.dot(&velocity_hub);
            let point = power.operate(0.7, axial, AIR.density_kg_m3);
            assert!(point.thrust_n > 0.1);
            let own = power.loads(&point, mount, &velocity_hub, &AIR.rates_body);
            wanted.force_body += own.force_body;
            wanted.moment_body += own.moment_body;
            let stream = power.slipstream(&point, mount, &velocity_hub);
            for (added, points) in added.iter_mut().zip(&points) {
                let felt = points.map(|point| stream.velocity_body(&point));
                *added += (felt[0] + felt[1]) * (5.0 / 18.0) + felt[2] * (8.0 / 18.0);
            }
        }
        assert!(added.iter().filter(|added| added.norm() > 0.5).count() > 3);
        let mut deflections = DeviceDeflections::default();
        deflect(&aeroplane.aero().grid().devices, &controls, &mut deflections);
        let surfaces = aeroplane.aero().loads(&AIR, &deflections, &added);
        wanted = wanted + surfaces;
        let found = aeroplane.loads(&AIR, &controls);
        assert!((found.force_body - wanted.force_body).norm() < 1e-10, "{found:?} {wanted:?}");
        assert!((found.moment_body - wanted.moment_body).norm() < 1e-10, "{found:?} {wanted:?}");
    }

    /// Held without throttle a propeller turns as it did in that air, for each metre
    /// along its shaft; with throttle, let go, or held in air from behind, freely.
    #[test]
    fn a_held_propeller_turns_with_the_way() {
        let mut aeroplane = aeroplane(&twin());
        let points = |aeroplane: &Aeroplane, air: &AirState, throttle: f64| {
            aeroplane.operating_points(air, throttle)
        };
        let slower = AirState { velocity_body: 0.8 * AIR.velocity_body, ..AIR };
        let (held_in, free) = (points(&aeroplane, &AIR, 0.0), points(&aeroplane, &slower, 0.0));
        let driven = points(&aeroplane, &slower, 0.5);
        aeroplane.hold_windmills(Some(&AIR));
        for (k, now) in points(&aeroplane, &slower, 0.0).iter().enumerate() {
            let turn = held_in[k].rotation_rad_s / held_in[k].axial_airspeed_m_s;
            let wanted = turn * free[k].axial_airspeed_m_s;
            assert!(wanted > 1.0 && (now.rotation_rad_s - wanted).abs() < 1e-9, "{now:?}");
            assert!((now.axial_airspeed_m_s - free[k].axial_airspeed_m_s).abs() < 1e-12);
        }
        assert_eq!(points(&aeroplane, &slower, 0.5), driven);
        let backwards = AirState { velocity_body: -AIR.velocity_body, ..AIR };
        for air in [Some(&backwards), None] {
            aeroplane.hold_windmills(air);
            assert_eq!(points(&aeroplane, &slower, 0.0), free);
        }
    }

    /// Loaded without moving the balance point: all of it grows alike.
    #[test]
    fn another_mass_of_the_same_shape_has_inertia_in_proportion() {
        let own = aeroplane(&twin());
        let (mass_kg, inertia) = (own.mass_kg(), own.inertia_body());
        let other = own.with_mass(1.5 * mass_kg);
        assert!((other.mass_kg() / mass_kg - 1.5).abs() < 1e-12);
        assert!((other.inertia_body() - 1.5 * inertia).norm() < 1e-12 * inertia.norm());
    }

    /// One unit's packs, whatever the others have.
    #[test]
    fn the_voltage_of_one_unit_is_set() {
        let mut aeroplane = aeroplane(&twin());
        let before = aeroplane.operating_points(&AIR, 1.0);
        aeroplane.set_resting_voltage_v(1, 9.0);
        let after = aeroplane.operating_points(&AIR, 1.0);
        assert_eq!(before[0], after[0]);
        assert!((1..3).all(|k| after[k].thrust_n < 0.9 * before[k].thrust_n));
    }

    /// Tilted afterwards as if it had been built so.
    #[test]
    fn tilted_propellers_blow_where_they_point() {
        let mut tilted = twin();
        let mut late = aeroplane(&tilted);
        tilted.propulsion[0].down_thrust_deg = 6.0;
        tilted.propulsion[1].right_thrust_deg = -4.0;
        late.tilt_propellers(&tilted.propulsion);
        let controls = Controls { throttle: 0.8, ..Controls::default() };
        assert_eq!(late.loads(&AIR, &controls), aeroplane(&tilted).loads(&AIR, &controls));
    }
}
