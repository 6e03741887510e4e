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
use sim_core::aero::{AeroModel, AeroOptions, DeviceDeflections, deflect};
use sim_core::aircraft::{
    Aircraft, ControlRole, EXAMPLES, MassStatement, Place, SoundAircraft, Spread, SurfaceRole,
    read_aircraft,
};
use sim_core::dynamics::{Aeroplane, AirState, Airframe, Controls, Wrench};
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

/// Whether a control surface is there to turn the aircraft about an axis.
fn moves(role: ControlRole, axis: usize) -> bool {
    use ControlRole::{Aileron, Elevator, Elevon, Flap, Flaperon, Rudder, Ruddervator};
    match role {
        Aileron | Flaperon => axis == 0,
        Elevon => axis < 2,
        Elevator => axis == 1,
        Ruddervator => axis > 0,
        Rudder => axis == 2,
        Flap => false,
    }
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
        right_rad in angles(), left_rad in angles(), height_m in prop::option::of(0.1f64..1.0),
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
        let near = |velocity, rates| AirState { height_m, ..air(velocity, rates) };
        let a = loads(&model, &near(velocity, rates), &own);
        let turned = Vector3::new(velocity.x, -velocity.y, velocity.z);
        let spun = Vector3::new(-rates.x, rates.y, -rates.z);
        let b = loads(&model, &near(turned, spun), &image);
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
    fn more_deflection_more_moment(
        index in 0..EXAMPLES.len(), airspeed in 9.0f64..20.0, alpha in 0.0f64..0.08,
        angles in [-0.3f64..0.3, -0.3f64..0.3],
    ) {
        let sound = read_aircraft(EXAMPLES[index].text).unwrap().check().unwrap();
        let aero = model(&sound, Place::new(0.3, 0.0, 0.02));
        let devices = &aero.grid().devices;
        let met = air(Vector3::new(alpha.cos(), 0.0, alpha.sin()) * airspeed, Vector3::zeros());
        // A positive deflection gives a negative moment (ISO 1151), and a
        // greater one a greater; a hundredth of a radian is told from none.
        let [less, more] = if angles[0] < angles[1] { angles } else { [angles[1], angles[0]] };
        prop_assume!(more - less > 0.01);
        let moment = |controls: Controls| {
            let mut deflections = DeviceDeflections::default();
            deflect(devices, &controls, &mut deflections);
            loads(&aero, &met, &deflections).moment_body
        };
        let gains = [
            moment(Controls { aileron_rad: more, ..Controls::default() })
                - moment(Controls { aileron_rad: less, ..Controls::default() }),
            moment(Controls { elevator_rad: more, ..Controls::default() })
                - moment(Controls { elevator_rad: less, ..Controls::default() }),
            moment(Controls { rudder_rad: more, ..Controls::default() })
                - moment(Controls { rudder_rad: less, ..Controls::default() }),
        ];
        for (axis, gain) in gains.iter().enumerate() {
            let driven = devices.iter().any(|device| moves(device.role, axis));
            prop_assert!(!driven || gain[axis] < 0.0, "{} axis {axis}: {gain:?}", EXAMPLES[index].key);
        }
    }

    #[test]
    fn lift_of_the_sections_is_the_lift_of_the_whole(
        alpha in -0.03f64..0.07, flap in -0.12f64..0.12, up in any::<bool>(),
    ) {
        // A long straight wing by itself, whole-span flap: each strip's section
        // lift times pressure and area, in small angles.
        let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
        aircraft.surfaces.truncate(1);
        aircraft.bodies.clear();
        let wing = &mut aircraft.surfaces[0];
        wing.panels.truncate(1);
        let panel = &mut wing.panels[0];
        (panel.span_m, panel.root_chord_m, panel.tip_chord_m) = (1.2, 0.2, 0.2);
        (panel.sweep_deg, panel.dihedral_deg, panel.twist_deg) = (0.0, 0.0, 0.0);
        wing.controls.truncate(1);
        if let Some(control) = wing.controls.first_mut() {
            (control.from_span, control.to_span) = (0.0, 1.0);
        }
        let Ok(sound) = aircraft.check() else { return Ok(()) };
        let model = model(&sound, Place::default());
        let flap = if up { flap } else { 0.0 };
        let both = DeviceDeflections { right_rad: vec![flap], left_rad: vec![flap] };
        let met = air(Vector3::new(alpha.cos(), 0.0, alpha.sin()) * 12.0, Vector3::zeros());
        let lift = -loads(&model, &met, &both).force_body.z;
        let grid = model.grid();
        let strips = grid.strips.iter().chain(&grid.strips[..grid.right]);
        let summed: f64 = model
            .strip_loads()
            .iter()
            .zip(strips)
            .map(|(load, strip)| 0.5 * 1.225 * load.airspeed_m_s.powi(2) * load.section_cl * strip.area_m2)
            .sum();
        let size = 0.5 * 1.225 * 144.0 * 0.48;
        prop_assert!((lift - summed).abs() < 0.02 * size, "{} {} {} {}", alpha, flap, lift, summed);
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

/// A file as the first version wrote it. It may never be changed: builders have
/// such files, and every later version must read them as the same aeroplane.
#[test]
fn a_file_of_the_first_version_is_read() {
    let text = include_str!("files/version_1.json");
    let aircraft = read_aircraft(text).unwrap();
    assert_eq!(aircraft.surfaces.len(), 3);
    assert_eq!(aircraft.surfaces[0].panels[0].span_m, 0.6);
    assert_eq!(aircraft.surfaces[1].controls[0].inner_chord, 0.3);
    // What the file leaves out is what was meant by it then.
    assert!(aircraft.surfaces[0].mirrored && !aircraft.surfaces[2].mirrored);
    assert_eq!(aircraft.surfaces[1].controls[0].to_span, 1.0);
    let sound = aircraft.check().unwrap();
    assert!(mass_properties(&sound).unwrap().mass_kg > 0.3);
}

/// Two propellers that are each other's image pull straight, and each as much as
/// the one that is drawn.
#[test]
fn mirrored_propellers_pull_straight() {
    let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
    let unit = &mut aircraft.propulsion[0];
    unit.mirrored = true;
    unit.hub.right_m = 0.25;
    let options = AeroOptions {
        grid: Default::default(),
        airspeed_m_s: 12.0,
        kinematic_viscosity_m2_s: 1.46e-5,
        wake_alpha_rad: 0.03,
    };
    let twin = Aeroplane::new(&aircraft.check().unwrap(), options).unwrap();
    let at_rest = air(Vector3::new(1e-3, 0.0, 0.0), Vector3::zeros());
    let still = twin.loads(&at_rest, &Controls { throttle: 1.0, ..Controls::default() });
    let thrust_n: f64 = twin.operating_points(&at_rest, 1.0).iter().map(|p| p.thrust_n).sum();
    // The slipstream drags at wing and tail: a part of the thrust, no more.
    assert!((still.force_body.x / thrust_n - 1.0).abs() < 0.3, "{still:?} {thrust_n}");
    for airspeed in [1e-3, 12.0] {
        let met = air(Vector3::new(airspeed, 0.0, 0.03 * airspeed), Vector3::zeros());
        let wrench = twin.loads(&met, &Controls { throttle: 0.8, ..Controls::default() });
        let side = Vector3::new(wrench.force_body.y, wrench.moment_body.x, wrench.moment_body.z);
        assert!(side.norm() < 1e-9 * wrench.force_body.norm(), "{airspeed}: {wrench:?}");
    }
}
