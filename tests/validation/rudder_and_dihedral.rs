//! Rudder, dihedral and bank on the rudder-elevator examples.
//!
//! Theory: without dihedral the rudder banks only through yaw rate (the outer
//! wing is faster), late; dihedral turns the sideslip into roll at once, and
//! carries the spiral from diverging towards neutral and beyond (Etkin and
//! Reid 1996, sections 5.5 and 6.7, from memory).

use sim_core::aircraft::{Aircraft, EXAMPLES, SurfaceRole, read_aircraft};
use sim_core::analysis::{Channel, Input, ModeKind, ResponseOptions, measure, step_response};
use sim_core::assess::{Assessment, Question, aeroplane, assess};

fn with_dihedral(key: &str, dihedral_deg: f64) -> Aircraft {
    let example = EXAMPLES.iter().find(|example| example.key == key).unwrap();
    let mut aircraft = read_aircraft(example.text).unwrap();
    for surface in aircraft.surfaces.iter_mut().filter(|s| s.role == SurfaceRole::Wing) {
        for panel in &mut surface.panels {
            panel.dihedral_deg = dihedral_deg;
        }
    }
    aircraft
}

fn assessed(aircraft: &Aircraft) -> Assessment {
    assess(&aircraft.clone().check().unwrap(), &Question::default()).unwrap()
}

/// Bank one second after 5 degrees of right rudder, less the bank after as much
/// left rudder, halved: what the propeller does to the aircraft drops out.
fn bank_after_rudder_rad(aircraft: &Aircraft) -> f64 {
    let sound = aircraft.clone().check().unwrap();
    let question = Question::default();
    let trim = assess(&sound, &question).unwrap().trim;
    let aeroplane = aeroplane(&sound, &question, Default::default()).unwrap();
    let bank = |deflection: f64| {
        let options = ResponseOptions {
            duration_s: 1.2,
            ..ResponseOptions::step(Channel::Rudder, Input::Deflection(deflection))
        };
        measure(&step_response(&aeroplane, &trim, &options).unwrap())
            .bank_at_one_second_rad
            .unwrap()
    };
    let rudder = 5f64.to_radians();
    // ISO 1151: right rudder is negative.
    0.5 * (bank(-rudder) - bank(rudder))
}

#[test]
fn dihedral_about_doubles_the_bank_that_the_rudder_brings() {
    for key in ["trainer", "pylon_pusher"] {
        let flat = bank_after_rudder_rad(&with_dihedral(key, 0.0));
        let raised = bank_after_rudder_rad(&with_dihedral(key, 6.0));
        println!("{key}: {:.1} and {:.1} deg", flat.to_degrees(), raised.to_degrees());
        assert!(flat > 0.0, "{key}: some bank comes through yaw rate");
        let ratio = raised / flat;
        assert!((1.5..3.5).contains(&ratio), "{key}: about doubles, is {ratio}");
    }
}

#[test]
fn the_spiral_passes_from_diverging_towards_neutral() {
    for key in ["trainer", "pylon_pusher"] {
        let spiral = |dihedral_deg| {
            let modes = assessed(&with_dihedral(key, dihedral_deg)).modes;
            modes.find(ModeKind::Spiral).unwrap().real_1_s
        };
        let roots = [spiral(0.0), spiral(2.0), spiral(4.0), spiral(6.0)];
        println!("{key}: {roots:?}");
        assert!(roots[0] > 0.0, "{key}: flat it diverges");
        assert!(roots.windows(2).all(|pair| pair[1] < pair[0]), "{key}: dihedral helps");
        assert!(roots[3] < 0.1 * roots[0], "{key}: with 6 deg it is neutral or better");
    }
}

#[test]
fn signs_are_right_in_every_axis() {
    for example in EXAMPLES {
        let a = assessed(&read_aircraft(example.text).unwrap());
        let d = &a.derivatives;
        let key = example.key;
        assert!(d.by_alpha.lift > 0.0 && d.by_alpha.pitching_moment < 0.0, "{key} pitch");
        assert!(d.by_pitch_rate.pitching_moment < 0.0, "{key} pitch damping");
        assert!(d.by_elevator.lift > 0.0 && d.by_elevator.pitching_moment < 0.0, "{key} elevator");
        assert!(d.by_beta.side_force < 0.0, "{key} side force");
        assert!(d.by_beta.rolling_moment < 0.0, "{key} dihedral effect");
        assert!(d.by_beta.yawing_moment > 0.0, "{key} weathercock");
        assert!(d.by_roll_rate.rolling_moment < 0.0, "{key} roll damping");
        assert!(d.by_yaw_rate.yawing_moment < 0.0, "{key} yaw damping");
        assert!(d.by_yaw_rate.rolling_moment > 0.0, "{key} roll by yaw rate");
        assert!(d.by_rudder.side_force > 0.0 && d.by_rudder.yawing_moment < 0.0, "{key} rudder");
        for measured in &a.responses {
            let m = &measured.metrics;
            let right_way = match measured.response.channel {
                Channel::Elevator => m.peak_pitch_rate_rad_s,
                Channel::Aileron => m.peak_roll_rate_rad_s,
                _ => m.peak_yaw_rate_rad_s,
            };
            assert!(right_way > 0.0, "{key}: a stick step turns the way it asks");
        }
        if key == "sport" {
            assert!(d.by_aileron.rolling_moment < 0.0, "aileron");
        }
    }
}
