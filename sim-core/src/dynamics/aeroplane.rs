//! The whole aeroplane as the equations of motion see it: mass, surfaces and
//! bodies, propellers and their slipstreams.

use std::cell::RefCell;

use nalgebra::{Matrix3, Vector3};

use super::airframe::{AirState, Airframe, Controls, Wrench};
use crate::aero::{AeroModel, DeviceDeflections, deflect};
use crate::mass::MassProperties;

/// An aeroplane ready to be trimmed and flown.
#[derive(Debug, Clone)]
pub struct Aeroplane {
    mass: MassProperties,
    aero: AeroModel,
    deflections: RefCell<DeviceDeflections>,
}

impl Aeroplane {
    /// Puts an aeroplane together. `aero` must be about the balance point of
    /// `mass`.
    pub fn new(mass: MassProperties, aero: AeroModel) -> Self {
        Self { mass, aero, deflections: RefCell::default() }
    }

    /// Mass, balance point and inertia.
    pub fn mass(&self) -> &MassProperties {
        &self.mass
    }

    /// Surfaces and bodies.
    pub fn aero(&self) -> &AeroModel {
        &self.aero
    }
}

impl Airframe for Aeroplane {
    fn mass_kg(&self) -> f64 {
        self.mass.mass_kg
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        self.mass.inertia_body
    }

    fn loads(&self, air: &AirState, controls: &Controls) -> Wrench {
        let deflections = &mut *self.deflections.borrow_mut();
        deflect(&self.aero.grid().devices, controls, deflections);
        self.aero.loads(air, deflections, |_| Vector3::zeros())
    }
}
