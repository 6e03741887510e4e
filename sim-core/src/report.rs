//! The whole assessment as one JSON object with stable keys.
//!
//! This is what the `report` example prints and what the page exports. Keys
//! carry their unit; coefficients are non-dimensional, in stability axes, per
//! radian, with rates as p b/2V, q c/2V, r b/2V and alpha_dot c/2V, moments
//! about the balance point. The key list is documented in docs/report.md; a
//! key once printed keeps its name and meaning.

// All is `#[inline]`: compiled into who calls it, where the page asks for small
// code and not for speed.

use nalgebra::Matrix4;
use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::aircraft::{Place, SoundAircraft};
use crate::analysis::{Coefficients, Derivatives, Mode, SubModel, Trim};
use crate::assess::uncertainty::Uncertainty;
use crate::assess::{Assessment, MeasuredResponse, Performance, Stall, flight_point};
use crate::card::MaidenCard;
use crate::throws::advice::ThrowAdvice;

/// Version of the key list.
pub const REPORT_VERSION: u32 = 1;

/// The assessment of the aircraft called `name` as a JSON object.
#[inline]
pub fn report(name: &str, assessment: &Assessment) -> Value {
    let a = assessment;
    json!({
        "report_version": REPORT_VERSION,
        "aircraft": name,
        "conventions": "SI units; body axes x forward, y right, z down; ISO 1151: elevator positive trailing edge down, rudder positive trailing edge left (both the other way where they stand ahead of the balance point: positive is always nose down, nose left), aileron positive right one down",
        "air": numbers(&[
            ("density_kg_m3", a.atmosphere.density_kg_m3),
            ("temperature_k", a.atmosphere.temperature_k),
            ("kinematic_viscosity_m2_s", a.atmosphere.kinematic_viscosity_m2_s),
        ]),
        "reference": {
            "area_m2": a.reference.area_m2,
            "span_m": a.reference.span_m,
            "chord_m": a.reference.chord_m,
            "moment_point": place(&a.mass.balance_point),
        },
        "geometry": value(&a.geometry),
        "mass": {
            "mass_kg": a.mass.mass_kg,
            "balance_point": place(&a.mass.balance_point),
            "ixx_kg_m2": a.mass.inertia_body[(0, 0)],
            "iyy_kg_m2": a.mass.inertia_body[(1, 1)],
            "izz_kg_m2": a.mass.inertia_body[(2, 2)],
            "ixz_kg_m2": -a.mass.inertia_body[(0, 2)],
        },
        "neutral_point_aft_m": a.balance.neutral_point_aft_m,
        "neutral_point_power_off_aft_m": a.balance.neutral_point_power_off_aft_m,
        "static_margin": a.balance.static_margin,
        "static_margin_power_off": a.balance.static_margin_power_off,
        "balance_window": numbers(&[
            ("front_aft_m", a.balance.window_front_aft_m),
            ("rear_aft_m", a.balance.window_rear_aft_m),
        ]),
        "stall": stall(&a.stall),
        "trim": trim(&a.trim),
        "coefficients": coefficients(&a.derivatives.at_reference),
        "derivatives": derivatives(&a.derivatives),
        "derivatives_power_off": derivatives(&a.derivatives_power_off),
        "linear_model": {
            "states_longitudinal": ["u_m_s", "w_m_s", "q_rad_s", "theta_rad"],
            "states_lateral": ["v_m_s", "p_rad_s", "r_rad_s", "phi_rad"],
            "controls": ["elevator_rad", "aileron_rad", "rudder_rad", "flap_rad", "throttle"],
            "longitudinal": sub_model(&a.linear.longitudinal()),
            "lateral": sub_model(&a.linear.lateral()),
        },
        "modes": a.modes.longitudinal.iter().chain(&a.modes.lateral).map(mode).collect::<Vec<_>>(),
        "responses": a.responses.iter().map(response).collect::<Vec<_>>(),
        "throws": a.throws.iter().map(throw).collect::<Vec<_>>(),
        "ratings": value(&a.ratings),
        "derivatives_dimensional": value(&a.derivatives.dimensional(&flight_point(&a.trim), &a.reference)),
        "rudder_bank": value(&a.rudder_bank),
        "edges": value(&a.edges),
        "present": value(&a.present),
        "linkages": value(&a.linkages),
    })
}

/// Adds what takes longer than the assessment: `performance`, and the `card`.
#[inline]
pub fn add_performance(
    report: &mut Value,
    aircraft: &SoundAircraft,
    assessment: &Assessment,
    own: &Performance,
) {
    if let Value::Object(object) = report {
        object.insert("performance".to_owned(), value(own));
        let card = MaidenCard::new(aircraft, assessment, Some(own), None);
        object.insert("card".to_owned(), value(&card));
    }
}

/// Adds `uncertainty`.
pub fn add_uncertainty(report: &mut Value, uncertainty: &Uncertainty) {
    if let Value::Object(object) = report {
        object.insert("uncertainty".to_owned(), value(uncertainty));
    }
}

/// An object of numbers: a list and a loop, where the macro writes out each entry.
#[inline]
fn stall(stall: &Stall) -> Value {
    let mut object = numbers(&[
        ("airspeed_m_s", stall.airspeed_m_s),
        ("lift_coefficient_max", stall.lift_coefficient_max),
        ("angle_of_attack_rad", stall.alpha_rad),
        ("elevator_rad", stall.elevator_rad),
    ]);
    object["elevator_ends_it"] = json!(stall.elevator_ends_it);
    object
}

fn numbers(list: &[(&str, f64)]) -> Value {
    Value::Object(list.iter().map(|(key, number)| ((*key).to_owned(), json!(number))).collect())
}

/// A structure as written, read again: so all structures are compiled for the
/// writer of files alone.
#[inline]
fn value<T: Serialize>(structure: &T) -> Value {
    // Plain structures with text keys always become JSON, and JSON is a value.
    read_again(&serde_json::to_string_pretty(structure).unwrap_or_default())
}

#[inline]
fn read_again(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_default()
}

/// A report as a table of two columns, key and value, for spreadsheets: one
/// line for each number or word, its key the way to it (`throws.0.expo`).
///
/// # Method
/// RFC 4180: lines end in CR LF, a field that holds a comma, a quote or a line
/// end stands in quotes, quotes inside are doubled.
#[inline]
pub fn csv(report: &Value) -> String {
    let mut table = String::from("key,value\r\n");
    add_lines(&mut table, "", report);
    table
}

#[inline]
fn add_lines(table: &mut String, key: &str, value: &Value) {
    let below = |step: &str| if key.is_empty() { step.to_owned() } else { format!("{key}.{step}") };
    match value {
        Value::Object(object) => {
            for (step, inner) in object {
                add_lines(table, &below(step), inner);
            }
        }
        Value::Array(list) => {
            for (index, inner) in list.iter().enumerate() {
                add_lines(table, &below(&index.to_string()), inner);
            }
        }
        Value::Null => {}
        Value::String(text) => add_line(table, key, text),
        Value::Bool(_) | Value::Number(_) => add_line(table, key, &value.to_string()),
    }
}

#[inline]
fn add_line(table: &mut String, key: &str, value: &str) {
    let field = |text: &str| match text.contains([',', '"', '\n', '\r']) {
        true => format!("\"{}\"", text.replace('"', "\"\"")),
        false => text.to_owned(),
    };
    table.push_str(&format!("{},{}\r\n", field(key), field(value)));
}

#[inline]
fn place(place: &Place) -> Value {
    numbers(&[("aft_m", place.aft_m), ("right_m", place.right_m), ("up_m", place.up_m)])
}

#[inline]
fn trim(trim: &Trim) -> Value {
    let mut object = numbers(&[
        ("airspeed_m_s", trim.airspeed_m_s),
        ("angle_of_attack_rad", trim.alpha_rad),
        ("sideslip_rad", trim.beta_rad),
        ("bank_rad", trim.bank_rad),
        ("pitch_rad", trim.pitch_rad),
        ("climb_rad", trim.climb_rad),
        ("elevator_rad", trim.controls.elevator_rad),
        ("aileron_rad", trim.controls.aileron_rad),
        ("rudder_rad", trim.controls.rudder_rad),
        ("throttle", trim.controls.throttle),
    ]);
    object["shortfalls"] = value(&trim.shortfalls);
    object
}

#[inline]
fn coefficients(c: &Coefficients) -> Value {
    numbers(&by_symbol(c))
}

#[inline]
fn by_symbol(c: &Coefficients) -> [(&'static str, f64); 6] {
    [
        ("CL", c.lift),
        ("CD", c.drag),
        ("CY", c.side_force),
        ("Cl", c.rolling_moment),
        ("Cm", c.pitching_moment),
        ("Cn", c.yawing_moment),
    ]
}

/// `CL_alpha`, `Cm_alpha`, ... for every coefficient and every cause.
#[inline]
fn derivatives(d: &Derivatives) -> Value {
    let mut object = Map::new();
    for (cause, c) in d.rows() {
        let cause = cause.symbol();
        for (effect, value) in by_symbol(&c) {
            object.insert(format!("{effect}_{cause}"), json!(value));
        }
    }
    Value::Object(object)
}

#[inline]
fn rows(matrix: &Matrix4<f64>) -> Vec<Vec<f64>> {
    matrix.row_iter().map(|row| row.iter().copied().collect()).collect()
}

#[inline]
fn sub_model(model: &SubModel) -> Value {
    let b: Vec<Vec<f64>> = model.b.row_iter().map(|row| row.iter().copied().collect()).collect();
    json!({ "a": rows(&model.a), "b": b })
}

#[inline]
fn mode(mode: &Mode) -> Value {
    json!({
        "name": value(&mode.kind),
        "real_1_s": mode.real_1_s,
        "imaginary_rad_s": mode.imaginary_rad_s,
        "natural_frequency_rad_s": mode.natural_frequency_rad_s,
        "damping_ratio": mode.damping_ratio,
        "period_s": mode.period_s,
        "growing": mode.is_growing(),
        "time_to_half_or_double_s": mode.time_to_half_or_double_s,
    })
}

#[inline]
fn response(measured: &MeasuredResponse) -> Value {
    json!({
        "channel": value(&measured.response.channel),
        "deflection_rad": measured.response.input,
        "metrics": value(&measured.metrics),
    })
}

#[inline]
fn throw(advice: &ThrowAdvice) -> Value {
    json!({
        "duty": value(&advice.duty),
        "high_rate_rad": advice.high_rate_rad,
        "high_rate_deg": advice.high_rate_rad.to_degrees(),
        "low_rate_rad": advice.low_rate_rad,
        "low_rate_deg": advice.low_rate_rad.to_degrees(),
        "low_share": advice.low_share,
        "expo": advice.expo,
        "low_expo": advice.low_expo,
        "high_travel_mm": 1e3 * advice.high_travel_m,
        "low_travel_mm": 1e3 * advice.low_travel_m,
        "high_binds": value(&advice.high_binds),
        "low_binds": value(&advice.low_binds),
        "conflict": value(&advice.conflict),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_holds_every_number_and_quotes_what_needs_it() {
        let report = json!({ "a": { "b": [1.5, null, true] }, "words": "so, \"so\"", "c": -2 });
        let table = csv(&report);
        let mut lines: Vec<&str> = table.split_terminator("\r\n").collect();
        assert_eq!(lines.remove(0), "key,value");
        lines.sort_unstable();
        assert_eq!(lines, ["a.b.0,1.5", "a.b.2,true", "c,-2", "words,\"so, \"\"so\"\"\""]);
    }
}
