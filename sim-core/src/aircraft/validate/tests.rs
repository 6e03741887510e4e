use serde_json::{Value, json};

use crate::aircraft::{
    Aircraft, ControlSetting, ControlSurface, Drive, EXAMPLES, Finding, KnownMass, MassStatement,
    Part, Place, Pushrod, RodMaterial, Spread, Supports, Surface, read_aircraft,
};

fn example(key: &str) -> Aircraft {
    read_aircraft(EXAMPLES.iter().find(|example| example.key == key).unwrap().text).unwrap()
}

fn trainer() -> Aircraft {
    example("trainer")
}

/// The faults of the trainer after a change.
fn faults(change: impl FnOnce(&mut Aircraft)) -> Vec<String> {
    let mut aircraft = trainer();
    change(&mut aircraft);
    aircraft.check().expect_err("a fault").iter().map(Finding::to_string).collect()
}

#[test]
fn lengths_and_counts_are_told_with_what_is_allowed() {
    let said = faults(|a| {
        a.format_version = 99;
        a.name = "é".repeat(81);
        a.propulsion[0].name.clear();
        a.propulsion[0].propeller.blades = 0;
        a.bodies = vec![a.bodies[0].clone(); 41];
        a.mass = MassStatement::Parts(Vec::new());
    });
    assert_eq!(
        said,
        [
            "bodies: has 41 bodies, allowed is 0 to 40 bodies",
            "format_version: is 99, allowed is 1",
            "mass.parts: has 0 parts, allowed is 1 to 200 parts",
            "name: has 81 characters, allowed is 1 to 80 characters",
            "propulsion[0].name: has 0 characters, allowed is 1 to 80 characters",
            "propulsion[0].propeller.blades: is 0 blades, allowed is 2 to 6 blades",
        ]
    );
    let known = MassStatement::Parts(vec![lump(Spread::Point {
        mass_kg: 1.0,
        at: Place::new(0.3, 0.0, 0.0),
    })]);
    let none = faults(|a| (a.surfaces, a.mass) = (Vec::new(), known));
    assert_eq!(none, ["surfaces: has 0 surfaces, allowed is 1 to 12 surfaces"]);
}

fn lump(spread: Spread) -> Part {
    Part { name: "lump".to_owned(), spread, mirrored: false }
}

/// Follows a path into the file.
fn follow<'a>(file: &'a Value, path: &str) -> Option<&'a Value> {
    file.pointer(&format!("/{}", path.replace(['.', '['], "/").replace(']', "")))
}

/// Every number of the file whose range is broken is named by the path that it
/// has in the file, whatever variants lie on the way.
#[test]
fn faults_name_the_paths_of_the_file() {
    let mut aircraft = trainer();
    let far = Place::new(99.0, 0.0, 0.0);
    let known_thrust = Drive::KnownThrust { static_thrust_n: -1.0, zero_thrust_airspeed_m_s: -1.0 };
    aircraft.propulsion.push(aircraft.propulsion[0].clone());
    aircraft.propulsion[1].drive = known_thrust;
    if let Drive::Electric { motor, .. } = &mut aircraft.propulsion[0].drive {
        motor.kv_rpm_per_v = -1.0;
    }
    aircraft.mass = MassStatement::Parts(vec![
        lump(Spread::Point { mass_kg: -1.0, at: far }),
        lump(Spread::Rod { mass_kg: -1.0, from: far, to: far }),
        lump(Spread::Block { mass_kg: -1.0, at: far, length_m: -1.0, width_m: 0.0, height_m: 0.0 }),
        lump(Spread::Sheet { surface: "wing".to_owned(), areal_density_kg_m2: -1.0 }),
    ]);
    let said = paths_found(aircraft);
    for path in [
        "propulsion[0].drive.electric.motor.kv_rpm_per_v",
        "propulsion[1].drive.known_thrust.static_thrust_n",
        "mass.parts[0].spread.point.at.aft_m",
        "mass.parts[1].spread.rod.from.aft_m",
        "mass.parts[2].spread.block.length_m",
        "mass.parts[3].spread.sheet.areal_density_kg_m2",
    ] {
        assert!(said.iter().any(|found| found == path), "{path}: {said:?}");
    }

    let mut aircraft = trainer();
    aircraft.mass = MassStatement::Known(KnownMass {
        mass_kg: -1.0,
        balance_point: far,
        ixx_kg_m2: 0.02,
        iyy_kg_m2: 0.03,
        izz_kg_m2: 0.04,
        ixz_kg_m2: 0.0,
    });
    let said = paths_found(aircraft);
    assert_eq!(said, ["mass.known.balance_point.aft_m", "mass.known.mass_kg"]);
}

/// The paths of all faults, each of which leads to something in the file.
fn paths_found(aircraft: Aircraft) -> Vec<String> {
    let file = serde_json::to_value(&aircraft).unwrap();
    let found: Vec<String> =
        aircraft.check().unwrap_err().into_iter().map(|finding| finding.field).collect();
    for path in &found {
        assert!(follow(&file, path).is_some(), "{path} is not in the file");
    }
    found
}

#[test]
fn a_rod_of_a_material_of_its_own_is_named_too() {
    let rod = Pushrod {
        material: RodMaterial::Other { youngs_modulus_pa: 1.0 },
        diameter_m: 0.002,
        inner_diameter_m: 0.0,
        length_m: 0.3,
        free_length_m: 0.1,
        supports: Supports::PinnedPinned,
        bow_m: 0.0,
    };
    let linkage =
        json!({ "geometry": { "servo_arm_m": 0.01, "horn_height_m": 0.01, "pushrod_m": 0.3 } });
    let mut aircraft = trainer();
    let control = &mut aircraft.surfaces[1].controls[0];
    control.linkage = Some(serde_json::from_value(linkage).unwrap());
    control.linkage.as_mut().unwrap().pushrod = Some(rod);
    assert_eq!(
        paths_found(aircraft),
        ["surfaces[1].controls[0].linkage.pushrod.material.other.youngs_modulus_pa"]
    );
}

/// The trainer's wing once more, after a change of it.
fn second_wing(change: impl FnOnce(&mut Surface)) -> Aircraft {
    let mut aircraft = trainer();
    let mut wing = aircraft.surfaces[0].clone();
    wing.name = "second".to_owned();
    change(&mut wing);
    aircraft.surfaces.push(wing);
    aircraft
}

#[test]
fn a_surface_laid_on_another_is_refused_and_one_above_it_is_not() {
    let faults = second_wing(|_| {}).check().unwrap_err();
    let aft = trainer().surfaces[0].root.aft_m;
    let field = format!("surfaces[{}].root.aft_m", trainer().surfaces.len());
    assert_eq!(
        faults.iter().map(Finding::to_string).collect::<Vec<_>>(),
        [format!(
            "{field}: is {aft} m, where the surface coincides with \"wing\"; allowed is each in a place of its own"
        )]
    );
    // A patch on the wing, whichever of the two stands first in the file.
    let patch = |s: &mut Surface| s.panels[0].span_m *= 0.4;
    assert!(second_wing(patch).check().is_err());
    let mut turned = second_wing(patch);
    turned.surfaces.reverse();
    assert!(turned.check().is_err());
    assert!(second_wing(|s| s.root.up_m += 0.02).check().is_ok());
    assert!(second_wing(|s| s.root.aft_m += 2.0).check().is_ok());
    assert!(second_wing(|s| s.panels[0].dihedral_deg += 30.0).check().is_ok());
}

/// A fin that goes through a tailplane has its middle on it.
#[test]
fn surfaces_that_cross_are_sound() {
    let mut aircraft = trainer();
    let tail = aircraft.surfaces.iter().position(|s| s.name == "tailplane").unwrap();
    let fin = aircraft.surfaces.iter().position(|s| s.name == "fin").unwrap();
    let root = aircraft.surfaces[tail].root;
    let half = aircraft.surfaces[fin].panels[0].span_m / 2.0;
    aircraft.surfaces[fin].root = Place { up_m: root.up_m - half, ..root };
    aircraft.surfaces[fin].panels[0].sweep_deg = 0.0;
    aircraft.check().unwrap();
}

#[test]
fn two_controls_of_a_surface_have_two_names() {
    let said = faults(|a| {
        let own = &mut a.surfaces[1].controls[0];
        own.to_span = 0.5;
        let again = ControlSurface { from_span: 0.5, to_span: 1.0, ..own.clone() };
        a.surfaces[1].controls.push(again);
    });
    let name = &trainer().surfaces[1].controls[0].name;
    assert_eq!(
        said,
        [format!(
            "surfaces[1].controls[1].name: is \"{name}\", which another control of this surface already has; allowed is a name of its own"
        )]
    );
    // Each surface names its controls for itself.
    let mut aircraft = trainer();
    let name = aircraft.surfaces[1].controls[0].name.clone();
    aircraft.surfaces[2].controls[0].name = name;
    aircraft.check().unwrap();
}

/// Of two controls on one trailing edge each needs a stretch of its own, whatever they
/// do; what differs by a rounding of the ruler is one beside the other.
#[test]
fn controls_do_not_share_a_trailing_edge() {
    let with = |from_span: f64| {
        move |a: &mut Aircraft| {
            let own = &mut a.surfaces[1].controls[0];
            own.to_span = 0.5;
            let name = "second".to_owned();
            let second = ControlSurface { name, from_span, to_span: 1.0, ..own.clone() };
            a.surfaces[1].controls.push(second);
        }
    };
    let name = &trainer().surfaces[1].controls[0].name;
    assert_eq!(
        faults(with(0.4)),
        [format!(
            "surfaces[1].controls[1].from_span: is 0.4 (to_span 1), which runs into \"{name}\" from 0 to 0.5; allowed is a stretch of the trailing edge of its own"
        )]
    );
    for beside in [0.4985, 0.5, 0.6] {
        let mut aircraft = trainer();
        with(beside)(&mut aircraft);
        aircraft.check().unwrap();
    }
}

#[test]
fn a_throw_beyond_the_hinge_is_refused() {
    let set = |high_rate_deg: f64| {
        move |a: &mut Aircraft| {
            let own = &mut a.surfaces[1].controls[0];
            own.throw_max_deg = 25.0;
            own.setting = Some(ControlSetting {
                high_rate_deg,
                low_rate_deg: None,
                expo: 0.0,
                low_expo: 0.0,
            });
        }
    };
    assert_eq!(
        faults(set(26.0)),
        [
            "surfaces[1].controls[0].setting.high_rate_deg: is 26 deg, allowed is up to throw_max_deg, which is 25 deg"
        ]
    );
    let mut aircraft = trainer();
    set(25.0)(&mut aircraft);
    aircraft.check().unwrap();
}
