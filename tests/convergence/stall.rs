//! The stall from coarse grids to fine ones, and the lift beyond it.
//!
//! Stall speed with the motor off, from the default grid and from one four
//! times as fine across the span. Tolerance: 1 %, which is 2 % of lift; nobody
//! measures a stall speed closer than to 3 %.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use fledge_tests::check_relative;
use sim_core::aero::grid::GridOptions;
use sim_core::aircraft::{EXAMPLES, SoundAircraft, read_aircraft};
use sim_core::analysis::{Coefficients, FlightPoint};
use sim_core::assess::{Question, aeroplane, find_stall, reference_sizes};
use sim_core::atmosphere::Atmosphere;
use sim_core::dynamics::{Aeroplane, Airframe, Controls};

fn finer(factor: usize) -> GridOptions {
    let usual = GridOptions::default();
    GridOptions {
        strips: factor * usual.strips,
        strips_min: factor * usual.strips_min,
        boxes: usual.boxes,
    }
}

fn examples() -> impl Iterator<Item = (&'static str, SoundAircraft)> {
    EXAMPLES
        .iter()
        .map(|example| (example.key, read_aircraft(example.text).unwrap().check().unwrap()))
}

#[test]
fn stall_speed() {
    let atmosphere = Atmosphere::sea_level();
    for (key, aircraft) in examples() {
        let sizes = reference_sizes(&aircraft);
        let [usual, fine] = [1, 4].map(|factor| {
            let aeroplane = aeroplane(&aircraft, &Question::default(), finer(factor)).unwrap();
            find_stall(&aeroplane, &sizes, &atmosphere, 0.5).unwrap().airspeed_m_s
        });
        check_relative(&format!("stall speed of {key}, m/s"), usual, fine, 0.01);
    }
}

fn lift(aeroplane: &Aeroplane, aircraft: &SoundAircraft, alpha_rad: f64, beta_rad: f64) -> f64 {
    let atmosphere = Atmosphere::sea_level();
    let point = FlightPoint {
        airspeed_m_s: 10.0,
        alpha_rad,
        beta_rad,
        density_kg_m3: atmosphere.density_kg_m3,
        kinematic_viscosity_m2_s: atmosphere.kinematic_viscosity_m2_s,
        controls: Controls::default(),
    };
    let wrench = aeroplane.loads(&point.air(), &point.controls);
    let sizes = reference_sizes(aircraft);
    Coefficients::of(&wrench, alpha_rad, point.dynamic_pressure_pa(), &sizes).lift
}

/// Through the stall in steps of a tenth of a degree, straight and in a
/// sideslip: from one step to the next the lift changes by no more than twice
/// what an ideal section gives, so it does not hop between two solutions; and
/// on the way down it is what it was on the way up.
#[test]
fn lift_passes_the_stall_without_jumps() {
    let step_rad = 0.1_f64.to_radians();
    let most = 2.0 * std::f64::consts::TAU * step_rad;
    let angle = |index: usize| -0.1 + step_rad * index as f64;
    for (key, aircraft) in examples() {
        for (factor, beta_rad) in [(1, 0.0), (1, 0.15), (4, 0.0)] {
            let grid = finer(factor);
            let aeroplane = aeroplane(&aircraft, &Question::default(), grid).unwrap();
            let at = |index| lift(&aeroplane, &aircraft, angle(index), beta_rad);
            let up: Vec<f64> = (0..400).map(at).collect();
            let mut down: Vec<f64> = (0..400).rev().map(at).collect();
            down.reverse();
            assert_eq!(up, down, "{key}");
            for (index, pair) in up.windows(2).enumerate() {
                let change = pair[1] - pair[0];
                let alpha_deg = angle(index).to_degrees();
                assert!(change.abs() < most, "{key}, {factor}: {change} at {alpha_deg} deg");
            }
        }
    }
}
