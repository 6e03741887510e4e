//! The motor and its balance with a propeller of known coefficients.
//!
//! Source: closed forms of the three-constant motor, worked out independently
//! (Kt = 60 / (2 pi Kv); balance of Kt (I - I0) with CP rho n2 D5 / (2 pi) at
//! 12 V resting, R 0.07 ohm, I0 0.9 A, pack 0.030 ohm). Tolerance: 0.01 % for
//! the constant, 0.5 % for the operating points, as their CP is given to three
//! digits.

use std::f64::consts::PI;

use fledge_tests::check_relative;
use sim_core::aircraft::{Controller, Motor, Pack};
use sim_core::power::ElectricDrive;

fn drive(kv_rpm_per_v: f64) -> ElectricDrive {
    let motor = Motor { kv_rpm_per_v, resistance_ohm: 0.07, no_load_current_a: 0.9 };
    let controller = Controller { current_max_a: 30.0, resistance_ohm: 0.0 };
    let pack = Pack {
        cells: 3,
        capacity_ah: 2.2,
        cell_resistance_ohm: 0.010,
        cell_voltage_v: 4.0,
        current_max_a: None,
    };
    ElectricDrive::new(&motor, &controller, &pack).unwrap()
}

#[test]
fn torque_constant_follows_from_the_speed_constant() {
    check_relative("Kt at 1120 rpm/V", drive(1120.0).torque_constant_n_m_a, 0.008_526, 1e-4);
    check_relative("Kt at 1000 rpm/V", drive(1000.0).torque_constant_n_m_a, 0.009_549, 1e-4);
}

#[test]
fn balance_with_a_known_power_coefficient() {
    // CP, diameter, and then rpm, current, terminal voltage.
    let cases = [(0.0760, 0.2032, 11_052.0, 21.3, 11.36), (0.0851, 0.2286, 9748.0, 33.0, 11.01)];
    for (power_coefficient, diameter_m, rpm, current_a, voltage_v) in cases {
        let drive = drive(1120.0);
        let lacking = |turns: f64| {
            let torque =
                power_coefficient * 1.225 * turns.powi(2) * f64::powi(diameter_m, 5) / (2.0 * PI);
            torque - drive.torque_n_m(1.0, 2.0 * PI * turns)
        };
        let (mut low, mut high) = (0.0, 400.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if lacking(middle) < 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        let state = drive.state(1.0, 2.0 * PI * low);
        check_relative("rpm", 60.0 * low, rpm, 0.005);
        check_relative("current", state.motor_current_a, current_a, 0.005);
        check_relative("terminal voltage", state.pack_voltage_v, voltage_v, 0.005);
    }
}

#[test]
fn motor_efficiency_is_that_of_the_three_constants() {
    // eta = (1 - I0 / I) (1 - I R / V), V at the motor's terminals, full
    // throttle.
    let drive = drive(1120.0);
    for rotation in [600.0, 900.0, 1200.0] {
        let state = drive.state(1.0, rotation);
        let (current, voltage) = (state.motor_current_a, state.pack_voltage_v);
        let ours = drive.torque_n_m(1.0, rotation) * rotation / (current * voltage);
        let theirs = (1.0 - 0.9 / current) * (1.0 - current * 0.07 / voltage);
        // The no-load torque that fades below 100 rad/s leaves a few 1e-4.
        check_relative("motor efficiency", ours, theirs, 5e-4);
    }
}

/// Kirchhoff's laws of two motors alike on one pack: the pack carries twice the
/// current, and each motor feels it as twice the resistance.
#[test]
fn two_motors_on_one_pack_feel_twice_its_resistance() {
    let one = drive(1120.0);
    let pair = ElectricDrive { motors: 2.0, ..one };
    for (throttle, rotation) in [(1.0, 600.0), (0.7, 500.0), (1.0, 0.0)] {
        let state = pair.state(throttle, rotation);
        let drop = one.pack.resistance_ohm * 2.0 * state.pack_current_a;
        let voltage = one.pack.resting_voltage_v - drop;
        check_relative("voltage of the pack", state.pack_voltage_v, voltage, 1e-12);
        let back = one.torque_constant_n_m_a * rotation;
        let current = (throttle * voltage - back) / one.resistance_ohm;
        check_relative("current of each", state.motor_current_a, current, 1e-3);
        assert!(state.motor_current_a < one.state(throttle, rotation).motor_current_a);
    }
}

#[test]
fn part_throttle_keeps_power_between_pack_and_motor() {
    let drive = drive(1120.0);
    let state = drive.state(0.5, 400.0);
    let at_motor = 0.5 * state.pack_voltage_v * state.motor_current_a;
    let at_pack = state.pack_voltage_v * state.pack_current_a;
    check_relative("power through the controller", at_motor, at_pack, 1e-12);
    // The motor's own equation closes on that voltage.
    let back = drive.torque_constant_n_m_a * 400.0;
    let current = (0.5 * state.pack_voltage_v - back) / 0.07;
    check_relative("current at half throttle", state.motor_current_a, current, 1e-3);
}
