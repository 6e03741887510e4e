//! A whole aeroplane from its outline: four-seat high-wing single.
//!
//! Source: J. Roskam, Airplane Flight Dynamics and Automatic Flight Controls,
//! App. B, airplane A, cruise at 220.1 ft/s and 5000 ft (table from memory; CL_q,
//! CL_elevator, CY_rudder, Cl_aileron and masses seen in a secondary copy).
//! Wing and weights as there; tail, fin and fuselage from memory of the
//! three-view, weak: a class exercise on the same aeroplane has 33 to 48 ft2 of
//! tailplane and 12 to 18 ft of arm, we have 39 ft2 and 15 ft.
//! Tolerances are the goals for whole aeroplanes, 10 % on lift and pitch and
//! 20 % in roll and yaw; where one is missed the cause is told and the miss
//! held where it is.

use fledge_tests::{check_known_miss, check_relative};
use sim_core::aircraft::read_aircraft;
use sim_core::analysis::Derivatives;
use sim_core::assess::{Question, assess};

const SUM_OF_PARTS: &str = "the table is below the wing alone (4.65 by Helmbold's formula with the \
     section's 6.0); wing and tailplane together give 5.1 by any method";
const TAIL: &str = "area and arm of the tailplane are from memory and scatter by a third among \
     sources: the table's Cm_elevator over CL_elevator is an arm of 12.8 ft, its Cm_q over CL_q one \
     of 15.6 ft";
const FIN: &str = "the arm of the fin is from memory, 15.6 ft: the side forces agree, and the \
     table's Cn_rudder over CY_rudder is an arm of 12.4 ft";
const WING_HEIGHT: &str = "the fuselage's section and the wing's height on it are from memory; rules \
     for what a high wing adds (-0.034) scatter by half of it, about as much as the miss";
const SLIPSTREAM: &str = "the table includes power, the outline does not";

fn single() -> Derivatives {
    let text = include_str!("cases/high_wing_single.json");
    let aircraft = read_aircraft(text).unwrap().check().unwrap();
    let question =
        Question { airspeed_m_s: Some(67.09), altitude_m: 1524.0, ..Question::default() };
    assess(&aircraft, &question).unwrap().derivatives
}

#[test]
fn lift_and_pitch() {
    let d = single();
    check_relative("CL", d.at_reference.lift, 0.307, 0.03);
    check_known_miss("CL_alpha", d.by_alpha.lift, 4.41, [0.10, 0.20], SUM_OF_PARTS);
    check_known_miss("Cm_alpha", d.by_alpha.pitching_moment, -0.613, [0.10, 2.5], TAIL);
    check_known_miss("Cm_q", d.by_pitch_rate.pitching_moment, -12.4, [0.10, 0.50], TAIL);
    check_known_miss("CL_elevator", d.by_elevator.lift, 0.43, [0.10, 0.25], TAIL);
    check_known_miss("Cm_elevator", d.by_elevator.pitching_moment, -1.122, [0.10, 0.45], TAIL);
}

#[test]
fn roll_and_yaw() {
    let d = single();
    check_relative("Cl_p", d.by_roll_rate.rolling_moment, -0.484, 0.20);
    check_relative("Cl_r", d.by_yaw_rate.rolling_moment, 0.0798, 0.20);
    check_relative("CY_beta", d.by_beta.side_force, -0.393, 0.20);
    check_relative("CY_rudder", d.by_rudder.side_force, 0.187, 0.20);
    check_relative("Cl_aileron", d.by_aileron.rolling_moment, -0.229, 0.20);
    check_known_miss("Cl_beta", d.by_beta.rolling_moment, -0.0923, [0.20, 0.25], WING_HEIGHT);
    check_known_miss("Cn_beta", d.by_beta.yawing_moment, 0.0587, [0.20, 1.3], FIN);
    check_known_miss("Cn_r", d.by_yaw_rate.yawing_moment, -0.0937, [0.20, 0.70], FIN);
    check_known_miss("Cn_rudder", d.by_rudder.yawing_moment, -0.0645, [0.20, 0.35], FIN);
    check_known_miss("Cn_p", d.by_roll_rate.yawing_moment, -0.0278, [0.20, 0.80], SLIPSTREAM);
}
