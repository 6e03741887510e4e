//! Properties of the loads on any sound aircraft.
//!
//! An aircraft with a plane of symmetry answers a mirrored motion with the
//! mirrored load, to the last bit in symmetric flow. Where the datum or the
//! moment point lies is the builder's choice and changes nothing but the arm.
//! What is written is what is read.

use fledge_tests::check_absolute;
use nalgebra::Vector3;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sim_core::aero::{AeroModel, AeroOptions, DeviceDeflections};
use sim_core::aircraft::{
    Aircraft, EXAMPLES, MassStatement, Place, SoundAircraft, Spread, SurfaceRole, read_aircraft,
};
use sim_core::dynamics::{Aeroplane, AirState, Wrench};
use sim_core::mass::mass_properties;

/// An example with its shape changed.
fn aircraft() -> impl Strategy<Value = Aircraft> {
    let factor = || 0.6f64..1.6;
    (0..EXAMPLES.len(), [factor(), factor(), factor(), factor()], -4.0f64..8.0, -3.0f64..3.0)
        .prop_map(|(index, factors, dihedral_deg, incidence_deg)| {
            let mut aircraft = read_aircraft(EXAMPLES[index].text).unwrap();
            for (surface, factor) in aircraft.surfaces.iter_mut().zip(factors) {
                for panel in &mut surface.panels {
                    panel.span_m *= factor;
                    panel.tip_chord_m *= 0.5 + 0.5 * factor;
                    if surface.role == SurfaceRole::Wing {
                        panel.dihedral_deg = dihedral_deg;
                        panel.incidence_deg = incidence_deg;
                    }
                }
            }
            aircraft
        })
}

fn model(aircraft: &SoundAircraft, moment_point: Place) -> AeroModel {
    let options = AeroOptions {
        grid: Default::default(),
        airspeed_m_s: 12.0,
        kinematic_viscosity_m2_s: 1.46e-5,
        wake_alpha_rad: 0.03,
    };
    AeroModel::new(aircraft, moment_point, options).unwrap()
}

fn air(velocity_body: Vector3<f64>, rates_body: Vector3<f64>) -> AirState {
    AirState {
        velocity_body,
        rates_body,
        density_kg_m3: 1.225,
        kinematic_viscosity_m2_s: 1.46e-5,
        height_m: None,
    }
}

fn loads(model: &AeroModel, air: &AirState, deflections: &DeviceDeflections) -> Wrench {
    model.loads(air, deflections, &[])
}

fn velocities() -> impl Strategy<Value = Vector3<f64>> {
    [-5.0f64..25.0, -8.0f64..8.0, -12.0f64..12.0].prop_map(Vector3::from)
}

fn rates() -> impl Strategy<Value = Vector3<f64>> {
    [-3.0f64..3.0, -3.0f64..3.0, -3.0f64..3.0].prop_map(Vector3::from)
}

/// Deflections of twelve devices and fewer.
fn angles() -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(-0.5f64..0.5, 12)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 48,
        rng_seed: RngSeed::Fixed(1909),
        ..ProptestConfig::default()
    })]

    #[test]
    fn mirrored_motion_mirrored_load(
        aircraft in aircraft(), velocity in velocities(), rates in rates(),
        right_rad in angles(), left_rad in angles(),
    ) {
        let Ok(sound) = aircraft.check() else { return Ok(()) };
        let model = model(&sound, Place::new(0.3, 0.0, 0.02));
        // A device in the plane of symmetry has a right part only, and its
        // mirrored deflection is the opposite one.
        let single: Vec<bool> = model
            .grid()
            .devices
            .iter()
            .map(|device| !sound.surfaces[device.surface].mirrored)
            .collect();
        let mirrored = |from: &[f64], own: &[f64]| -> Vec<f64> {
            single.iter().enumerate().map(|(i, single)| if *single { -own[i] } else { from[i] }).collect()
        };
        let image = DeviceDeflections {
            right_rad: mirrored(&left_rad, &right_rad),
            left_rad: mirrored(&right_rad, &left_rad),
        };
        let own = DeviceDeflections { right_rad, left_rad };
        let a = loads(&model, &air(velocity, rates), &own);
        let turned = Vector3::new(velocity.x, -velocity.y, velocity.z);
        let spun = Vector3::new(-rates.x, rates.y, -rates.z);
        let b = loads(&model, &air(turned, spun), &image);
        let force = 1e-3 + a.force_body.norm();
        let moment = 1e-3 + a.moment_body.norm();
        // Stalled strips are settled to 1e-5 rad, each side on its own path.
        for (axis, sign) in [1.0, -1.0, 1.0].iter().enumerate() {
            check_absolute("force", b.force_body[axis], sign * a.force_body[axis], 1e-3 * force);
            check_absolute("moment", b.moment_body[axis], -sign * a.moment_body[axis], 1e-3 * moment);
        }
    }

    #[test]
    fn symmetric_flow_has_no_side(
        aircraft in aircraft(), speed in 2.0f64..30.0, alpha in -3.0f64..3.0, pitch in -3.0f64..3.0,
    ) {
        let Ok(sound) = aircraft.check() else { return Ok(()) };
        let model = model(&sound, Place::new(0.3, 0.0, 0.02));
        let velocity = Vector3::new(alpha.cos(), 0.0, alpha.sin()) * speed;
        let air = air(velocity, Vector3::new(0.0, pitch, 0.0));
        let wrench = loads(&model, &air, &DeviceDeflections::default());
        let side = Vector3::new(wrench.force_body.y, wrench.moment_body.x, wrench.moment_body.z);
        // Backwards a fin stands at pi, whose sine is not quite nothing.
        let allowed = if velocity.x > 0.0 { 0.0 } else { 1e-15 * wrench.force_body.norm() };
        prop_assert!(side.amax() <= allowed, "{side:?} beside {:?}", wrench.force_body);
    }

    #[test]
    fn the_moment_point_is_only_an_arm(
        aircraft in aircraft(), velocity in velocities(), rates in rates(),
        at in [-0.5f64..0.5, -0.1f64..0.1, -0.2f64..0.2], sideways in any::<bool>(),
    ) {
        let Ok(sound) = aircraft.check() else { return Ok(()) };
        // Sideways with any rotation; otherwise without, since the wake follows
        // the air that the moment point meets.
        let (moved, rates) = if sideways {
            (Place::new(0.0, at[1], 0.0), rates)
        } else {
            (Place::new(at[0], at[1], at[2]), Vector3::zeros())
        };
        let datum = Place::default();
        let arm = moved.to_body_axes();
        let none = DeviceDeflections::default();
        let a = loads(&model(&sound, datum), &air(velocity, rates), &none);
        let b = loads(&model(&sound, moved), &air(velocity + rates.cross(&arm), rates), &none);
        let expected = a.moment_body - arm.cross(&a.force_body);
        let size = 1e-3 + a.force_body.norm();
        prop_assert!((a.force_body - b.force_body).norm() < 2e-3 * size, "{a:?} {b:?}");
        prop_assert!((expected - b.moment_body).norm() < 2e-3 * size, "{a:?} {b:?}");
    }

    #[test]
    fn the_datum_is_free(aircraft in aircraft(), shift in [-1.0f64..1.0, -0.5f64..0.5]) {
        let mut moved = aircraft.clone();
        let (aft, up) = (shift[0], shift[1]);
        let carry = |place: &mut Place| {
            place.aft_m += aft;
            place.up_m += up;
        };
        moved.surfaces.iter_mut().for_each(|surface| carry(&mut surface.root));
        for body in &mut moved.bodies {
            carry(&mut body.front);
            carry(&mut body.rear);
        }
        let here = Place::new(0.3, 0.0, 0.02);
        let mut there = here;
        carry(&mut there);
        let (Ok(aircraft), Ok(moved)) = (aircraft.check(), moved.check()) else { return Ok(()) };
        let air = air(Vector3::new(12.0, 1.0, 0.8), Vector3::new(0.3, -0.2, 0.1));
        let none = DeviceDeflections::default();
        let a = loads(&model(&aircraft, here), &air, &none);
        let b = loads(&model(&moved, there), &air, &none);
        prop_assert!((a.force_body - b.force_body).norm() < 1e-6 * a.force_body.norm());
        prop_assert!((a.moment_body - b.moment_body).norm() < 1e-6 * a.force_body.norm());
    }

    #[test]
    fn a_turning_aircraft_carries_its_propellers_along(
        index in 0..EXAMPLES.len(), velocity in velocities(), rates in rates(),
    ) {
        let sound = read_aircraft(EXAMPLES[index].text).unwrap().check().unwrap();
        let options = AeroOptions {
            grid: Default::default(),
            airspeed_m_s: 12.0,
            kinematic_viscosity_m2_s: 1.46e-5,
            wake_alpha_rad: 0.03,
        };
        let aeroplane = Aeroplane::new(&sound, options).unwrap();
        let turning = aeroplane.operating_points(&air(velocity, rates), 0.6);
        for (engine, point) in aeroplane.engines().iter().zip(turning) {
            // A point of a body moves at v + omega x r (Euler).
            let hub = velocity + rates.cross(&engine.mount.hub_body);
            let axial = hub.dot(&engine.mount.axis_body);
            let alone = engine.power.operate(0.6, axial, 1.225);
            prop_assert!((point.thrust_n - alone.thrust_n).abs() < 1e-9);
            prop_assert!((point.axial_airspeed_m_s - axial).abs() < 1e-12);
        }
    }

    #[test]
    fn what_is_written_is_read(aircraft in aircraft()) {
        let text = serde_json::to_string(&aircraft).unwrap();
        prop_assert_eq!(read_aircraft(&text).unwrap(), aircraft);
    }

    #[test]
    fn inertia_is_that_of_a_body(
        aircraft in aircraft(), masses in prop::collection::vec(1e-3f64..0.5, 40),
    ) {
        let mut aircraft = aircraft;
        if let MassStatement::Parts(parts) = &mut aircraft.mass {
            for (part, mass) in parts.iter_mut().zip(masses) {
                if let Spread::Point { mass_kg, .. } = &mut part.spread {
                    *mass_kg = mass;
                }
            }
        }
        let Ok(sound) = aircraft.check() else { return Ok(()) };
        let mass = mass_properties(&sound).unwrap();
        let principal = mass.inertia_body.symmetric_eigenvalues();
        prop_assert!(mass.mass_kg > 0.0 && principal.min() > 0.0);
        // No moment of inertia is greater than the two others together.
        prop_assert!(principal.max() <= (principal.sum() - principal.max()) * (1.0 + 1e-9));
    }
}
