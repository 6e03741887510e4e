//! Actuator disc, slipstream growth and the inclined propeller.
//!
//! Sources: disc theory (Rankine, Froude; closed forms); growth behind the
//! disc vi (1 + x / sqrt(x2 + R2)) (McCormick, Aerodynamics, Aeronautics and
//! Flight Mechanics, 1979, formula from memory); static figures from measured
//! CT and CP of the 8x6 and 9x6 inch propellers (Brandt and Selig, AIAA
//! 2011-1255, 2011); an inclined propeller as a fin of its projected side
//! area with an aspect ratio of 8 in the dynamic pressure at the disc (Ribner,
//! NACA Rep. 819, 1945, summary). Tolerances: closed forms 0.1 %, figures
//! rounded to three digits 1 %; the fin is a rule of thumb, 25 %.

use std::f64::consts::PI;

use fledge_tests::{check_absolute, check_relative};
use nalgebra::Vector3;
use sim_core::aircraft::{BladeStyle, Propeller, Rotation};
use sim_core::power::{Mount, OperatingPoint, PropellerTable, Slipstream, induced_velocity};

const DENSITY: f64 = 1.225;

fn area(diameter_m: f64) -> f64 {
    0.25 * PI * diameter_m * diameter_m
}

#[test]
fn induced_velocity_and_figure_of_merit_at_rest() {
    // Diameter, turns per second, CT, CP; thrust, induced velocity, figure of
    // merit.
    let cases = [
        (0.2032, 6700.0 / 60.0, 0.1181, 0.0760, 3.076, 6.22, 0.426),
        (0.2286, 5975.0 / 60.0, 0.1565, 0.0821, 5.192, 7.19, 0.602),
    ];
    for (diameter, turns, ct, cp, thrust, vi, merit) in cases {
        let ours = ct * DENSITY * turns * turns * f64::powi(diameter, 4);
        check_relative("thrust", ours, thrust, 0.01);
        let ours_vi = induced_velocity(ours, area(diameter), 0.0, DENSITY);
        check_relative("induced velocity", ours_vi, vi, 0.01);
        let power = cp * DENSITY * turns.powi(3) * f64::powi(diameter, 5);
        check_relative("figure of merit", ours * ours_vi / power, merit, 0.01);
    }
}

#[test]
fn slipstream_grows_behind_the_disc() {
    let (thrust_n, airspeed, diameter) = (2.0, 12.0, 0.2032);
    let radius = 0.5 * diameter;
    let vi = induced_velocity(thrust_n, area(diameter), airspeed, DENSITY);
    check_relative("induced velocity", vi, 1.8213, 1e-3);
    check_relative("ideal efficiency", 1.0 / (1.0 + vi / airspeed), 0.868, 1e-3);
    let point = OperatingPoint {
        thrust_n,
        axial_airspeed_m_s: airspeed,
        density_kg_m3: DENSITY,
        induced_velocity_m_s: vi,
        ..OperatingPoint::default()
    };
    let mount = Mount { hub_body: Vector3::zeros(), axis_body: Vector3::x(), rotation_sign: 1.0 };
    let stream = Slipstream::new(&point, &mount, radius, &Vector3::new(airspeed, 0.0, 0.0));
    for (behind, speed) in
        [(0.0, 13.82), (0.5, 14.64), (1.0, 15.11), (2.0, 15.45), (3.0, 15.55), (1e3, 15.64)]
    {
        // The air moves aft, along -x.
        let added = stream.velocity_body(&Vector3::new(-behind * radius, 0.0, 0.0));
        let what = format!("speed {behind} radii behind the disc");
        check_relative(&what, airspeed - added.x, speed, 1e-3);
        check_absolute("sideways speed", added.y.hypot(added.z), 0.0, 1e-12);
    }
}

#[test]
fn inclined_propeller_acts_like_a_fin() {
    // At the light loads of cruise, where the rule is meant: thrust from a
    // third of the static one down to nothing.
    let cases = [(BladeStyle::ThinElectric, 0.8, 0.95), (BladeStyle::SlowFlight, 0.7, 0.95)];
    for (style, from, to) in cases {
        let propeller = Propeller {
            diameter_m: 0.2286,
            pitch_m: 0.1714,
            blades: 2,
            style,
            rotation: Rotation::Clockwise,
        };
        let table = PropellerTable::new(&propeller).unwrap();
        let radius = table.radius_m();
        // Projected side area of both blades, half of it in the mean over a
        // turn: chord times sine of the blade angle, as measured in steps of
        // a fifth of the radius on a propeller of each family.
        let chord = match style {
            BladeStyle::ThinElectric => [0.136, 0.216, 0.221, 0.164, 0.0915],
            BladeStyle::SlowFlight => [0.112, 0.197, 0.249, 0.235, 0.145],
        };
        let side_area: f64 = (0..5)
            .map(|i| {
                let station = 0.1 + 0.2 * i as f64;
                let angle = (propeller.pitch_m / (2.0 * PI * station * radius)).atan();
                0.2 * chord[i] * angle.sin() * radius * radius
            })
            .sum();
        let slope = 2.0 * PI * 8.0 / (8.0 + 2.0);
        for advance_ratio in [from, 0.5 * (from + to), to] {
            let turns = 100.0;
            let airspeed = advance_ratio * turns * propeller.diameter_m;
            let loads = table.loads(2.0 * PI * turns, airspeed, DENSITY);
            let vi = induced_velocity(loads.thrust_n, area(2.0 * radius), airspeed, DENSITY);
            let fin = 0.5 * DENSITY * (airspeed + vi) * side_area * slope;
            let what = format!("side force of {style:?} at J {advance_ratio}");
            check_relative(&what, loads.side_force_n_s_per_m, fin, 0.25);
        }
    }
}
