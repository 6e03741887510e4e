//! Linkage and pushrod against closed forms.
//!
//! Parallelogram and Freudenstein's equation (F. Freudenstein, 1955, from
//! memory) are exact for a plane four-bar; Euler's loads are worked by hand
//! from pi2 E I/(k L)2. Tolerances are rounding, or the digits printed.

use std::f64::consts::PI;

use fledge_tests::{check_absolute, check_relative};
use sim_core::throws::linkage::{Linkage, travel_at_trailing_edge_m};
use sim_core::throws::pushrod::{Pushrod, RodMaterial, Supports};

/// Arm and horn alike, pushrod as long as the base: surface follows the servo.
#[test]
fn parallelogram_copies_the_angle() {
    let linkage = Linkage {
        servo_arm_m: 0.015,
        horn_height_m: 0.015,
        horn_offset_m: 0.0,
        pushrod_m: 0.25,
        shaft_height_m: 0.0,
        arm_neutral_deg: 0.0,
    };
    let bar = linkage.four_bar().unwrap();
    for degrees in [-70.0_f64, -30.0, 12.0, 45.0, 80.0] {
        let servo = degrees.to_radians();
        check_absolute("angle", bar.surface_angle(servo).unwrap(), servo, 1e-12);
        check_absolute("ratio", bar.ratio(servo).unwrap(), 1.0, 1e-12);
        check_absolute("lever", bar.horn_lever_m(servo).unwrap(), 0.015 * servo.cos(), 1e-12);
    }
}

/// Arm 10 mm, horn 20 mm, pushrod 100 mm, level at neutral, servo 30 deg. By
/// hand: hole at (-95, 18.660) mm, distance to the hinge 96.815 mm, angle at
/// the hinge acos(-0.05857) = 93.357 deg from a direction of 168.887 deg:
/// the horn stands at 75.53 deg, turned by 14.47 deg.
#[test]
fn hand_worked_position() {
    let linkage = Linkage {
        servo_arm_m: 0.010,
        horn_height_m: 0.020,
        horn_offset_m: 0.0,
        pushrod_m: 0.100,
        shaft_height_m: 0.010,
        arm_neutral_deg: 0.0,
    };
    let bar = linkage.four_bar().unwrap();
    let surface = bar.surface_angle(30_f64.to_radians()).unwrap();
    check_absolute("surface, deg", surface.to_degrees(), 14.47, 0.01);
    check_relative("ratio at neutral", bar.ratio(0.0).unwrap(), 0.5, 1e-12);
}

/// Freudenstein: R1 cos(psi) - R2 cos(phi) + R3 = cos(phi - psi), with R1 =
/// d/a, R2 = d/b, R3 = (a2 + b2 + d2 - c2)/(2 a b), for input phi and output
/// psi from the line of centres, base d, input a, coupler c, output b.
#[test]
fn freudenstein_equation_holds() {
    let (a, b, c, rise, lean): (f64, f64, f64, f64, f64) = (0.012, 0.017, 0.08, 0.006, 0.2);
    let linkage = Linkage {
        servo_arm_m: a,
        horn_height_m: 0.016,
        horn_offset_m: (b * b - 0.016 * 0.016).sqrt(),
        pushrod_m: c,
        shaft_height_m: rise,
        arm_neutral_deg: lean.to_degrees(),
    };
    let bar = linkage.four_bar().unwrap();
    // Place of the shaft, from the neutral position: x rearwards, z up.
    let offset = linkage.horn_offset_m;
    let along = (c * c - (0.016 - rise - a * lean.cos()).powi(2)).sqrt();
    let (shaft_x, shaft_z) = (offset - along - a * lean.sin(), rise);
    let d = shaft_x.hypot(shaft_z);
    // The line of centres runs from shaft to hinge.
    let line = (-shaft_z).atan2(-shaft_x);
    let (r1, r2) = (d / a, d / b);
    let r3 = (a * a + b * b + d * d - c * c) / (2.0 * a * b);
    for servo in [-0.7, -0.2, 0.4, 0.9] {
        let surface = bar.surface_angle(servo).unwrap();
        let phi = (PI / 2.0 - lean - servo) - line;
        let psi = 0.016_f64.atan2(offset) - surface - line;
        check_absolute(
            "Freudenstein",
            r1 * psi.cos() - r2 * phi.cos() + r3,
            (phi - psi).cos(),
            1e-9,
        );
    }
}

/// 1 mm steel wire, 200 mm between holes: I = 4.9087e-14 m4, 2.422 N; held in
/// guides at both ends four times that. Carbon tube 4 on 2 mm, 500 mm, one end
/// guided: I = pi/64 (256 - 16)e-12 = 1.1781e-11 m4,
/// pi2 x 110e9 x 1.1781e-11/(0.6992 x 0.5)2 = 104.7 N.
#[test]
fn euler_loads() {
    let wire = Pushrod {
        material: RodMaterial::Steel,
        diameter_m: 0.001,
        inner_diameter_m: 0.0,
        length_m: 0.2,
        free_length_m: 0.2,
        supports: Supports::PinnedPinned,
        bow_m: 0.0,
    };
    check_absolute("wire", wire.euler_load_n(), 2.422, 5e-4);
    let guided = Pushrod { supports: Supports::FixedFixed, ..wire };
    check_relative("guided", guided.euler_load_n() / wire.euler_load_n(), 4.0, 1e-12);
    let tube = Pushrod {
        material: RodMaterial::Carbon,
        diameter_m: 0.004,
        inner_diameter_m: 0.002,
        length_m: 0.5,
        free_length_m: 0.5,
        supports: Supports::PinnedFixed,
        ..wire
    };
    check_absolute("tube", tube.euler_load_n(), 104.7, 0.1);
    // The wire's spring: E A/L = 200e9 x 7.854e-7/0.2.
    check_relative("spring", wire.axial_stiffness_n_m(), 785_398.0, 1e-5);
}

/// A bow of 2 mm at half of Euler's load doubles, and the chord of the half
/// sine wave shortens by pi2/(4 x 0.2) (16 - 4) x 1e-6 = 0.148 mm.
#[test]
fn bow_under_half_the_euler_load() {
    let wire = Pushrod {
        material: RodMaterial::Steel,
        diameter_m: 0.001,
        inner_diameter_m: 0.0,
        length_m: 0.2,
        free_length_m: 0.2,
        supports: Supports::PinnedPinned,
        bow_m: 0.002,
    };
    let force = 0.5 * wire.euler_load_n();
    let axial = force / wire.axial_stiffness_n_m();
    let by_bow = wire.shortening_m(force).unwrap() - axial;
    check_absolute("shortening, mm", 1e3 * by_bow, 0.14804, 1e-5);
}

/// 50 mm chord at 15 deg: 2 x 50 sin 7.5 deg = 13.05 mm.
#[test]
fn ruler_at_the_trailing_edge() {
    check_absolute("mm", 1e3 * travel_at_trailing_edge_m(0.050, 15_f64.to_radians()), 13.05, 0.005);
}
