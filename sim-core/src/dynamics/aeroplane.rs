//! The whole aeroplane as the equations of motion see it: mass, surfaces and
//! bodies, propellers and their slipstreams.

use std::cell::RefCell;

use nalgebra::{Matrix3, Matrix6, Vector3};

use crate::aero::{AeroError, AeroModel, AeroOptions, DeviceDeflections, deflect, strip_mean};
use crate::aircraft::{Finding, Propulsion, SoundAircraft};
use crate::airframe::{AirState, Airframe, Controls, Wrench};
use crate::mass::{MassProperties, mass_properties};
use crate::power::{Mount, OperatingPoint, PowerError, PowerModel, StreamPlace};

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
