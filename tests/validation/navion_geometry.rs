//! A whole aeroplane from its published outline: NAVION.
//!
//! Source: R. C. Nelson, Flight Stability and Automatic Control, 2nd ed. 1998,
//! App. B and worked examples, from memory: S 184 ft2, b 33.4 ft, c 5.7 ft,
//! V 176 ft/s at sea level. Fuselage outline, tail height and hinge lines are
//! our estimates, and the fin is the weakest item: the published area is
//! probably the fixed part only.
//!
//! Tolerances are the goals for whole aeroplanes, 10 % on lift and pitch and
//! 20 % in roll and yaw; where one is missed the cause is told and the miss held
//! where it is. The table's values hold power and slipstream, which the outline
//! does not tell: the book's own sum of the parts gives Cm_alpha -1.1.

use fledge_tests::{check_known_miss, check_relative};
use sim_core::aircraft::read_aircraft;
use sim_core::assess::{Assessment, Question, assess};

fn navion() -> Assessment {
    let aircraft = read_aircraft(include_str!("cases/navion.json")).unwrap().check().unwrap();
    let question = Question { airspeed_m_s: Some(53.64), ..Question::default() };
    assess(&aircraft, &question).unwrap()
}

const POWER: &str = "the table holds power and slipstream, the outline does not";
const BODY: &str = "the fin's area is known only as 0.64 to 1.16 m2 (1.16 taken), its load comes \
     to -0.165 of the -0.564 in CY_beta; the model's fuselage has three quarters of its potential \
     moment, but not the side force at its rear that goes with the lost quarter (about -0.05)";
const LOW_WING: &str = "how low the wing lies on the fuselage is an estimate; the part of the \
     fuselage is as large as the miss";

#[test]
fn longitudinal_derivatives() {
    let d = navion().derivatives;
    check_relative("CL", d.at_reference.lift, 0.41, 0.02);
    check_relative("CL_alpha", d.by_alpha.lift, 4.44, 0.10);
    check_known_miss("Cm_alpha", d.by_alpha.pitching_moment, -0.683, [0.10, 0.30], POWER);
    check_known_miss("Cm_q", d.by_pitch_rate.pitching_moment, -9.96, [0.20, 0.40], POWER);
    check_known_miss("Cm_alpha_dot", d.by_alpha_rate.pitching_moment, -4.36, [0.20, 0.40], POWER);
    check_known_miss("CD_alpha", d.by_alpha.drag, 0.33, [0.20, 0.50], POWER);
}

#[test]
fn lateral_derivatives() {
    let d = navion().derivatives;
    check_relative("Cl_p", d.by_roll_rate.rolling_moment, -0.41, 0.20);
    check_relative("Cl_r", d.by_yaw_rate.rolling_moment, 0.107, 0.20);
    check_known_miss("Cl_beta", d.by_beta.rolling_moment, -0.074, [0.20, 0.40], LOW_WING);
    check_known_miss("Cn_beta", d.by_beta.yawing_moment, 0.071, [0.20, 0.90], BODY);
    check_known_miss("CY_beta", d.by_beta.side_force, -0.564, [0.20, 0.80], BODY);
    check_known_miss("Cn_r", d.by_yaw_rate.yawing_moment, -0.125, [0.20, 0.40], BODY);
    check_known_miss("Cn_p", d.by_roll_rate.yawing_moment, -0.0575, [0.20, 0.50], POWER);
    check_known_miss("CY_rudder", d.by_rudder.side_force, 0.157, [0.20, 0.30], BODY);
    check_relative("Cn_rudder", d.by_rudder.yawing_moment, -0.072, 0.20);
    assert!(d.by_beta.yawing_moment > 0.0, "weathercock stable");
}

#[test]
fn motions() {
    use sim_core::analysis::ModeKind;
    let modes = navion().modes;
    let find = |kind| *modes.find(kind).unwrap();
    // Table modes: short period -2.51 +- 2.59j, phugoid -0.017 +- 0.213j, roll
    // -8.43. From an outline the derivatives are within 20 to 40 %, so are
    // these.
    let short = find(ModeKind::ShortPeriod);
    check_relative("short period", short.natural_frequency_rad_s, 3.61, 0.25);
    check_relative("short period damping", short.damping_ratio, 0.696, 0.25);
    check_relative("phugoid", find(ModeKind::Phugoid).natural_frequency_rad_s, 0.213, 0.10);
    check_relative("roll", find(ModeKind::Roll).real_1_s, -8.43, 0.20);
    assert!(find(ModeKind::DutchRoll).damping_ratio > 0.0);
}
