//! What the motor gives, in sentences.

use sim_core::aero::device::{CommandEdges, EdgeMotion};
use sim_core::assess::{NextPropeller, ThrustAngles};
use sim_core::power::outputs::{Margin, PowerFinding};

use super::degrees;
use crate::state::measure::plain;

/// Where there is no motor.
pub const GLIDER: &str = "No motor is on the bench sheet.";
/// While nothing has come yet.
pub const COMING: &str = "Being worked out.";
/// Readouts.
pub const STATIC_THRUST: &str = "Thrust at rest";
/// As above.
pub const OF_WEIGHT: &str = "Thrust for weight";
/// As above.
pub const OF_WEIGHT_MEANING: &str = "over 1, it climbs straight up";
/// As above.
pub const LEVEL_THROTTLE: &str = "Throttle";
/// As above.
pub const TOP_SPEED: &str = "Flat out";
/// As above.
pub const TOP_SPEED_MEANING: &str = "in level flight";
/// As above.
pub const CLIMB: &str = "Climbs";
/// As above.
pub const TIME_CRUISE: &str = "Flies for";
/// As above.
pub const TIME_FULL: &str = "Flat out for";
/// As above.
pub const TIME_MEANING: &str = "a fifth of the charge kept back";
/// As above.
pub const GLIDE: &str = "Glides";
/// As above.
pub const SINK: &str = "Sinks";
/// As above.
pub const CURRENT: &str = "Current at rest";
/// Headings within the panel.
pub const LIMITS: &str = "Does the wiring bear it?";
/// As above.
pub const PROPELLER: &str = "Present propeller and one inch larger";
/// As above.
pub const THRUST_LINE: &str = "Thrust line";
/// As above.
pub const SPEEDS: &str = "Against speed";
/// Heads of the table of propellers.
pub const STANDING_STILL: &str = "Full throttle, standing still";
/// As above.
pub const PRESENT: &str = "Present";
/// As above.
pub const LARGER: &str = "Larger";
/// As above.
pub const THRUST: &str = "Thrust at rest";
/// As above.
pub const MOTOR_CURRENT: &str = "Motor current";
/// As above.
pub const PACK_POWER: &str = "Power from the pack";
/// Titles of figures.
pub const THRUST_PLOT: &str = "Thrust, N";
/// As above.
pub const CURRENT_PLOT: &str = "Motor current, A";
/// As above.
pub const TRIM_PLOT: &str = "Elevator to hold the speed, ° up";
/// As above.
pub const THROTTLE_PLOT: &str = "Throttle for level flight, %";
/// As above.
pub const ELEVATOR_PLOT: &str = "Elevator power, N cm for each degree";
/// As above.
pub const RUDDER_PLOT: &str = "Rudder power, N cm for each degree";
/// Names of curves.
pub const FULL: &str = "full";
/// As above.
pub const HALF: &str = "half";
/// As above.
pub const OFF: &str = "motor off";
/// As above.
pub const LEVEL: &str = "level";
/// As above.
pub const CONTROLLER: &str = "controller";
/// Unit of the axis across.
pub const SPEED_UNIT: &str = "m/s";

/// A force.
pub fn newtons(force_n: f64) -> String {
    format!("{} N", plain(force_n, 1).replace('-', "\u{2212}"))
}

/// A current.
pub fn amperes(current_a: f64) -> String {
    format!("{} A", plain(current_a, 1))
}

/// A power.
pub fn watts(power_w: f64) -> String {
    format!("{} W", plain(power_w, 0))
}

/// What each of so many propellers has.
pub fn each(value: String, propellers: u8) -> String {
    if propellers > 1 { format!("{propellers} × {value}") } else { value }
}

/// A rate of climb or sink.
pub fn climb(rate_m_s: f64) -> String {
    format!("{} m/s", plain(rate_m_s, 1))
}

/// At which airspeed.
pub fn at_speed(airspeed_m_s: f64) -> String {
    format!("at {} m/s", plain(airspeed_m_s, 1))
}

/// At which current.
pub fn at_current(current_a: f64) -> String {
    format!("at {} from the pack, {TIME_MEANING}", amperes(current_a))
}

/// A time in the air.
pub fn minutes(time_s: f64) -> String {
    let whole = (time_s / 60.0).floor();
    let rest = time_s - 60.0 * whole;
    if time_s >= 600.0 { format!("{whole:.0} min") } else { format!("{whole:.0} min {rest:.0} s") }
}

/// A glide ratio.
pub fn glide(ratio: f64) -> String {
    format!("{} : 1", plain(ratio, 1))
}

/// Whether a finding is a warning.
pub fn is_warning(finding: &PowerFinding) -> bool {
    match finding {
        PowerFinding::ControllerCurrent { margin, .. }
        | PowerFinding::PackCurrent { margin, .. } => *margin >= Margin::Brief,
        PowerFinding::CellSag { .. } => true,
    }
}

/// A margin of current, or a sag.
pub fn finding(finding: &PowerFinding) -> String {
    match finding {
        PowerFinding::ControllerCurrent { current_a, limit_a, margin } => {
            current("The controller", *current_a, *limit_a, *margin)
        }
        PowerFinding::PackCurrent { current_a, limit_a, margin } => {
            current("The pack", *current_a, *limit_a, *margin)
        }
        PowerFinding::CellSag { cell_voltage_v, limit_v } => format!(
            "At full throttle each cell sags to {} V, and below {} V it suffers. Take a larger pack or a smaller propeller.",
            plain(*cell_voltage_v, 2),
            plain(*limit_v, 1)
        ),
    }
}

fn current(what: &str, current_a: f64, limit_a: f64, margin: Margin) -> String {
    let verdict = match margin {
        Margin::Ample => "ample reserve.",
        Margin::Enough => "enough, with little in reserve.",
        Margin::Brief => {
            "too much for a run on the ground: only for seconds, until airspeed brings the current down."
        }
        Margin::Exceeded => {
            "far too much. It will overheat and may burn: take a smaller propeller or a stronger part before you run it."
        }
    };
    format!(
        "{what} bears {} and meets {} at full throttle, standing still: {verdict}",
        amperes(limit_a),
        amperes(current_a)
    )
}

/// What a larger propeller would change.
pub fn next_propeller(next: &NextPropeller) -> String {
    let more = |larger: f64, present: f64| plain((larger / present - 1.0) * 100.0, 0);
    let inches = plain(next.diameter_m / 0.0254, 1);
    let thrust = more(next.larger.thrust_n, next.present.thrust_n);
    if next.present.motor_current_a <= 0.0 {
        return format!("With {inches} inches it would pull {thrust} % more at the same power.");
    }
    let current = more(next.larger.motor_current_a, next.present.motor_current_a);
    let controller = match next.controller_margin {
        Some(Margin::Ample) => " The controller would still have ample reserve.",
        Some(Margin::Enough) => " The controller would bear it, with little in reserve.",
        Some(Margin::Brief) => " The controller would bear that for seconds only.",
        Some(Margin::Exceeded) => " That is too much for the controller.",
        None => "",
    };
    format!(
        "With {inches} inches and the same pitch it would pull {thrust} % more and draw {current} % more current.{controller}"
    )
}

/// Thrust line downwards.
pub fn down_thrust(angles: &ThrustAngles) -> String {
    thrust_line(angles.down_deg, angles.down_suggested_deg, "down", "up", "pitch the nose")
}

/// Thrust line to the right.
pub fn right_thrust(angles: &ThrustAngles) -> String {
    thrust_line(angles.right_deg, angles.right_suggested_deg, "right", "left", "swing the nose")
}

/// Least difference that is worth turning a motor, deg.
const TILT_WORTH_DEG: f64 = 0.75;

fn thrust_line(now: f64, suggested: Option<f64>, plus: &str, minus: &str, does: &str) -> String {
    let angle = |deg: f64| match plain(deg.abs(), 1) {
        zero if zero == "0" => format!("no tilt {plus}"),
        size => format!("{size}° {}", if deg > 0.0 { plus } else { minus }),
    };
    match suggested {
        None => format!(
            "Now {}. No tilt that makes sense keeps the throttle from trying to {does}: trim it, or mix it.",
            angle(now)
        ),
        Some(wanted) if (wanted - now).abs() < TILT_WORTH_DEG => {
            format!("Now {}: opening the throttle does not {does} much. Leave it.", angle(now))
        }
        Some(wanted) => format!(
            "Now {}. With {} the throttle would no longer {does} in ordinary flight.",
            angle(now),
            angle(wanted)
        ),
    }
}

/// What full power does to the elevator's trim.
pub fn elevator_with_power(change_rad: f64, edges: CommandEdges) -> String {
    trim_change("elevator", change_rad, edges.elevator)
}

/// The same of the rudder.
pub fn rudder_with_power(change_rad: f64, edges: CommandEdges) -> String {
    trim_change("rudder", change_rad, edges.rudder)
}

/// Trim changes below this are not noticed, rad: a quarter of a degree.
const TRIM_UNNOTICED_RAD: f64 = 0.0044;

fn trim_change(control: &str, change_rad: f64, positive: EdgeMotion) -> String {
    if change_rad.abs() < TRIM_UNNOTICED_RAD {
        return format!("Slow, from motor off to full power: the {control} stays where it is.");
    }
    format!(
        "Slow, from motor off to full power: {} {} on the {control}.",
        degrees(change_rad.abs(), 1),
        super::answer::edge(positive.at(change_rad))
    )
}

/// What a figure shows, for those who cannot see it.
pub fn curves(title: &str, ends: &[(String, f64, f64)], from: f64, to: f64) -> String {
    let values: Vec<String> = ends
        .iter()
        .map(|(name, first, last)| format!("{name} {} to {}", plain(*first, 1), plain(*last, 1)))
        .collect();
    format!("{title}, from {} to {} m/s: {}.", plain(from, 0), plain(to, 0), values.join("; "))
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn warnings_name_the_part_its_value_and_its_limit() {
        let over = PowerFinding::ControllerCurrent {
            current_a: 41.0,
            limit_a: 30.0,
            margin: Margin::Exceeded,
        };
        let words = finding(&over);
        for part in ["controller", "30 A", "41 A", "smaller propeller"] {
            assert!(words.contains(part), "{words}");
        }
        assert!(is_warning(&over));
        let fine =
            PowerFinding::PackCurrent { current_a: 10.0, limit_a: 30.0, margin: Margin::Ample };
        assert!(!is_warning(&fine));
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_thrust_line_that_is_right_is_left_alone() {
        let angles = |down_suggested_deg| ThrustAngles {
            down_deg: 2.0,
            down_suggested_deg,
            right_deg: 0.0,
            right_suggested_deg: Some(-2.0),
        };
        assert!(down_thrust(&angles(Some(2.3))).contains("Leave it"));
        assert!(down_thrust(&angles(Some(5.0))).contains("With 5° down"));
        assert!(down_thrust(&angles(None)).contains("trim it"));
        assert!(right_thrust(&angles(None)).contains("no tilt right. With 2° left"));
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn times_are_told_as_a_timer_would() {
        assert_eq!(minutes(95.0), "1 min 35 s");
        assert_eq!(minutes(754.0), "12 min");
    }
}
