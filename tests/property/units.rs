//! Units at the core's edges: what goes out in degrees or millimetres, or comes in
//! from a ruler's datum, is the same quantity.

use nalgebra::Vector3;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sim_core::aircraft::{EXAMPLES, Place, read_aircraft};
use sim_core::assess::{Question, assess};
use sim_core::report::report;
use sim_core::throws::linkage::{angle_of_travel_rad, travel_at_trailing_edge_m};

/// Half of the last place of a double, a few times over.
const ROUND_OFF: f64 = 1e-14;

proptest! {
    #![proptest_config(ProptestConfig {
        rng_seed: RngSeed::Fixed(2540),
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_place_comes_back_from_body_axes(place in [-5.0f64..5.0, -5.0f64..5.0, -5.0f64..5.0]) {
        let [aft_m, right_m, up_m] = place;
        let place = Place::new(aft_m, right_m, up_m);
        let body = place.to_body_axes();
        prop_assert_eq!(Place::from_body_axes(body), place);
        // x forward, y right, z down.
        prop_assert_eq!(body, Vector3::new(-aft_m, right_m, -up_m));
        prop_assert_eq!(place.mirrored().mirrored(), place);
    }

    #[test]
    fn degrees_of_a_file_come_back(
        dihedral_deg in -10.0f64..20.0, sweep_deg in -20.0f64..30.0, throw_max_deg in 5.0f64..60.0,
        index in 0..EXAMPLES.len(),
    ) {
        let mut aircraft = read_aircraft(EXAMPLES[index].text).unwrap();
        for surface in &mut aircraft.surfaces {
            for panel in &mut surface.panels {
                (panel.dihedral_deg, panel.sweep_deg) = (dihedral_deg, sweep_deg);
                panel.sweep_line = 0.0;
            }
            surface.controls.iter_mut().for_each(|control| control.throw_max_deg = throw_max_deg);
        }
        let grid = sim_core::aero::grid::Grid::new(&aircraft, Vector3::zeros(), Default::default());
        for device in &grid.devices {
            let degrees = device.throw_max_rad * 180.0 / std::f64::consts::PI;
            prop_assert!((degrees - throw_max_deg).abs() < ROUND_OFF * 180.0);
        }
        for strip in grid.strips.iter().filter(|strip| aircraft.surfaces[strip.surface].mirrored) {
            let rise = (-strip.span_direction.z).atan2(strip.span_direction.y).to_degrees();
            prop_assert!((rise - dihedral_deg).abs() < 1e-9, "{} {}", rise, dihedral_deg);
        }
    }

    #[test]
    fn travel_on_a_ruler_comes_back(angle_deg in -80.0f64..80.0, chord_m in 0.005f64..0.3) {
        let angle_rad = angle_deg.to_radians();
        let travel_m = travel_at_trailing_edge_m(chord_m, angle_rad);
        let back = angle_of_travel_rad(chord_m, travel_m).unwrap();
        prop_assert!((back.to_degrees() - angle_deg).abs() < 1e-9);
    }
}

/// The report tells throws in radians and, for a person, in degrees and
/// millimetres at the trailing edge: the same three times.
#[test]
fn the_report_tells_a_throw_once_in_three_units() {
    for example in EXAMPLES {
        let aircraft = read_aircraft(example.text).unwrap().check().unwrap();
        let assessment = assess(&aircraft, &Question::default()).unwrap();
        let report = report(example.key, &assessment);
        let throws = report["throws"].as_array().unwrap();
        assert_eq!(throws.len(), assessment.throws.len());
        for (throw, advice) in throws.iter().zip(&assessment.throws) {
            let number = |key: &str| throw[key].as_f64().unwrap();
            for (rate, travel_m) in [("high", advice.high_travel_m), ("low", advice.low_travel_m)] {
                let degrees = number(&format!("{rate}_rate_deg"));
                let radians = number(&format!("{rate}_rate_rad"));
                assert!((degrees * std::f64::consts::PI / 180.0 - radians).abs() < ROUND_OFF);
                let millimetres = number(&format!("{rate}_travel_mm"));
                assert!((millimetres / 1000.0 - travel_m).abs() < ROUND_OFF);
            }
        }
    }
}
