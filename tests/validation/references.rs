//! General-purpose libraries beside our mathematics and motion.
//!
//! Source: NumPy and SciPy, worked out by tests/references/make.py with the
//! versions that references.json states; the motion in other forms of the
//! equations than ours (rotation matrix and constant momentum; twelve scalar
//! equations in Euler angles) by DOP853 at 1e-12.
//! Compared: integration with and without air, eigenvalues, steps and matrix
//! exponentials of linear models, transfer functions, rotations, inertia,
//! normal quantiles, percentiles.
//! Tolerance: 1e-6 for the motion, whose steps are held to 1e-9 each and are
//! fewer than a thousand; 1e-12 of the size for what is worked out directly,
//! 1e-10 where a condition number of some hundreds stands between; 1e-7 for the
//! all but double root, which rounding moves by up to its square root. A sheet is
//! cut into eight strips, whose taper is left out: 2e-3 of the inertia.

use fledge_tests::airframes::Derivatives;
use fledge_tests::check_absolute;
use nalgebra::{Complex, DMatrix, Matrix3, Matrix4, UnitQuaternion, Vector3, Vector4};
use serde_json::{Value, json};
use sim_core::aircraft::{EXAMPLES, read_aircraft};
use sim_core::atmosphere::Atmosphere;
use sim_core::dynamics::{
    Air, AirState, Airframe, Controls, FlightState, IntegrateOptions, Motion, Trajectory, Wrench,
    integrate,
};
use sim_core::frames::{AirAngles, Euler, body_from_stability, body_from_wind};
use sim_core::handling::linear_step::step_response;
use sim_core::handling::transfer::TransferFunction;
use sim_core::mass::mass_properties;
use sim_core::math::{find_eigenvalues, phi_functions};
use sim_core::throws::sampling::{SamplePlan, interval};

fn references() -> Value {
    serde_json::from_str(include_str!("../references/references.json")).unwrap()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    list(value).iter().map(number).collect()
}

/// A matrix by rows, flattened.
fn rows(value: &Value) -> Vec<f64> {
    list(value).iter().flat_map(numbers).collect()
}

fn vector(value: &Value) -> Vector3<f64> {
    Vector3::from_column_slice(&numbers(value))
}

fn check_vector(what: &str, ours: Vector3<f64>, theirs: Vector3<f64>, absolute: f64) {
    check_absolute(what, (ours - theirs).norm(), 0.0, absolute);
}

/// Any rigid body, without air.
struct Body {
    mass_kg: f64,
    inertia_body: Matrix3<f64>,
}

impl Airframe for Body {
    fn mass_kg(&self) -> f64 {
        self.mass_kg
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        self.inertia_body
    }

    fn loads(&self, _: &AirState, _: &Controls) -> Wrench {
        Wrench::default()
    }
}

fn fly(body: &impl Airframe, start: &FlightState, controls: &Controls, air: &Air) -> Trajectory {
    let motion = Motion::new(body, air.density_kg_m3).unwrap();
    let rate = |_, state: &_| motion.state_rate(state, controls, air, &Wrench::default());
    integrate(rate, start, &IntegrateOptions::precise(10.0, 1.0)).unwrap()
}

/// Every sample within `1e-6` of the size of what is sampled.
fn check_flight(run: &Trajectory, samples: &Value) {
    assert_eq!(run.states.len(), list(samples).len());
    for (state, theirs) in run.states.iter().zip(list(samples)) {
        let velocity = vector(&theirs["velocity_body"]);
        let position = vector(&theirs["position_ned"]);
        let rates = vector(&theirs["rates_body"]);
        let attitude = Matrix3::from_row_slice(&rows(&theirs["ned_from_body"]));
        let turned = state.attitude.to_rotation_matrix().into_inner() - attitude;
        let size = 1.0 + position.norm();
        check_vector(
            "position, m of 1 m and the distance",
            state.position_ned / size,
            position / size,
            1e-6,
        );
        let size = 1.0 + velocity.norm();
        check_vector(
            "velocity, of 1 m/s and the speed",
            state.velocity_body / size,
            velocity / size,
            1e-6,
        );
        check_vector("rates, rad/s", state.rates_body, rates, 1e-6 * (1.0 + rates.norm()));
        check_absolute("attitude, rotation matrix", turned.norm(), 0.0, 1e-6);
    }
}

#[test]
fn a_body_thrown_without_air() {
    let theirs = &references()["tumbling"];
    let body = Body {
        mass_kg: number(&theirs["mass_kg"]),
        inertia_body: Matrix3::from_row_slice(&rows(&theirs["inertia_body"])),
    };
    let euler = numbers(&theirs["euler_bank_pitch_heading"]);
    let start = FlightState {
        position_ned: Vector3::zeros(),
        velocity_body: vector(&theirs["velocity_body"]),
        attitude: UnitQuaternion::from_euler_angles(euler[0], euler[1], euler[2]),
        rates_body: vector(&theirs["rates_body"]),
    };
    let air = Air::still(&Atmosphere::sea_level());
    check_flight(&fly(&body, &start, &Controls::default(), &air), &theirs["samples"]);
}

#[test]
fn ten_seconds_of_flight_in_wind() {
    let theirs = &references()["flying"];
    let k = |name: &str| number(&theirs["aircraft"][name]);
    let aircraft = Derivatives {
        mass_kg: k("mass_kg"),
        inertia_kg_m2: [k("ix"), k("iy"), k("iz"), k("ixz")],
        area_m2: k("area_m2"),
        span_m: k("span_m"),
        chord_m: k("chord_m"),
        thrust_max_n: k("thrust_max_n"),
        lift: k("lift"),
        lift_alpha: k("lift_alpha"),
        lift_q: k("lift_q"),
        lift_elevator: k("lift_elevator"),
        drag: k("drag"),
        induced: k("induced"),
        pitch: k("pitch"),
        pitch_alpha: k("pitch_alpha"),
        pitch_q: k("pitch_q"),
        pitch_elevator: k("pitch_elevator"),
        side_beta: k("side_beta"),
        side_rudder: k("side_rudder"),
        roll_beta: k("roll_beta"),
        roll_p: k("roll_p"),
        roll_r: k("roll_r"),
        roll_aileron: k("roll_aileron"),
        roll_rudder: k("roll_rudder"),
        yaw_beta: k("yaw_beta"),
        yaw_p: k("yaw_p"),
        yaw_r: k("yaw_r"),
        yaw_aileron: k("yaw_aileron"),
        yaw_rudder: k("yaw_rudder"),
        ..Derivatives::default()
    };
    let stick = |name: &str| number(&theirs["controls"][name]);
    let controls = Controls {
        elevator_rad: stick("elevator"),
        aileron_rad: stick("aileron"),
        rudder_rad: stick("rudder"),
        throttle: stick("throttle"),
        ..Controls::default()
    };
    let at = numbers(&theirs["start"]);
    let start = FlightState {
        position_ned: Vector3::from_column_slice(&at[..3]),
        velocity_body: Vector3::from_column_slice(&at[3..6]),
        attitude: UnitQuaternion::from_euler_angles(at[6], at[7], at[8]),
        rates_body: Vector3::from_column_slice(&at[9..]),
    };
    let density_kg_m3 = number(&theirs["density_kg_m3"]);
    let air = Air { density_kg_m3, ..Air::still(&Atmosphere::sea_level()) }
        .with_wind(vector(&theirs["wind_ned"]));
    check_flight(&fly(&aircraft, &start, &controls, &air), &theirs["samples"]);
}

/// Each of their roots is one of ours, and none is taken twice.
fn check_roots(matrix: &DMatrix<f64>, theirs: &Value, share: f64) {
    let mut ours = find_eigenvalues(matrix).unwrap();
    assert_eq!(ours.len(), list(theirs).len());
    for root in list(theirs).iter().map(numbers) {
        let root = Complex::new(root[0], root[1]);
        let distance = |value: &Complex<f64>| (value - root).norm();
        let nearest =
            (0..ours.len()).min_by(|a, b| distance(&ours[*a]).total_cmp(&distance(&ours[*b])));
        let found = ours.swap_remove(nearest.unwrap());
        check_absolute("root, of the matrix's size", distance(&found) / matrix.norm(), 0.0, share);
    }
}

#[test]
fn eigenvalues() {
    let references = references();
    for case in list(&references["systems"]) {
        let matrix = DMatrix::from_row_slice(4, 4, &rows(&case["a"]));
        let share = if case["name"] == "nearly double root" { 1e-7 } else { 1e-12 };
        check_roots(&matrix, &case["roots"], share);
    }
    for case in list(&references["wider"]) {
        let a = rows(&case["a"]);
        let size = list(&case["a"]).len();
        check_roots(&DMatrix::from_row_slice(size, size, &a), &case["roots"], 1e-12);
    }
}

#[test]
fn steps_exponentials_and_gains_of_linear_models() {
    for case in list(&references()["systems"]) {
        let a = Matrix4::from_row_slice(&rows(&case["a"]));
        let b = Vector4::from_column_slice(&numbers(&case["b"]));
        let c = Vector4::from_column_slice(&numbers(&case["c"]));
        let ours = step_response(&a, &b, 5.0).unwrap();
        // Of the greatest answer, for each state: theirs have units of their own.
        let greatest = ours.iter().fold(Vector4::zeros(), |most, x| most.sup(&x.abs()));
        for sample in list(&case["step"]) {
            let index = (100.0 * number(&sample["time_s"])).round() as usize - 1;
            let theirs = Vector4::from_column_slice(&numbers(&sample["states"]));
            let error = (ours[index] - theirs).component_div(&greatest).amax();
            check_absolute("step, of the greatest answer", error, 0.0, 1e-10);
        }
        let phi = phi_functions(&(a / 4.0)).unwrap();
        for (ours, theirs) in phi.iter().zip(list(&case["phi_of_quarter"])) {
            let theirs = Matrix4::from_row_slice(&rows(theirs));
            let error = (ours - theirs).norm() / theirs.norm();
            check_absolute("phi functions, of their size", error, 0.0, 1e-10);
        }
        let transfer = TransferFunction::from_state_space(&a, &b, &c);
        for (at, gain) in
            numbers(&case["frequencies_rad_s"]).iter().zip(list(&case["gains"]).iter().map(numbers))
        {
            let theirs = Complex::new(gain[0], gain[1]);
            let error = (transfer.at(*at) - theirs).norm() / theirs.norm();
            check_absolute("gain at a frequency, of its size", error, 0.0, 1e-10);
        }
    }
}

#[test]
fn rotations() {
    let references = references();
    for case in list(&references["rotations"]["attitudes"]) {
        let angles = numbers(&case["bank_pitch_heading"]);
        let euler = Euler { bank_rad: angles[0], pitch_rad: angles[1], heading_rad: angles[2] };
        let attitude = euler.ned_from_body();
        let theirs = Matrix3::from_row_slice(&rows(&case["matrix"]));
        let error = (attitude.to_rotation_matrix().into_inner() - theirs).norm();
        check_absolute("rotation matrix from bank, pitch, heading", error, 0.0, 1e-14);
        let quaternion = Vector4::from_column_slice(&numbers(&case["quaternion_ijkw"]));
        // Both signs of a quaternion are one attitude.
        let sign = attitude.coords.dot(&quaternion).signum();
        let error = (attitude.coords - sign * quaternion).norm();
        check_absolute("quaternion", error, 0.0, 1e-14);
        let of_theirs = UnitQuaternion::from_matrix(&theirs);
        let back = Euler::of_attitude(&of_theirs);
        check_absolute("bank read from their matrix, rad", back.bank_rad, euler.bank_rad, 1e-9);
        check_absolute("pitch read from it, rad", back.pitch_rad, euler.pitch_rad, 1e-9);
        check_absolute("heading read from it, rad", back.heading_rad, euler.heading_rad, 1e-9);
    }
    for case in list(&references["rotations"]["winds"]) {
        let angles = numbers(&case["alpha_beta"]);
        let theirs = Matrix3::from_row_slice(&rows(&case["body_from_wind"]));
        let ours = body_from_wind(angles[0], angles[1]).into_inner();
        check_absolute("body from wind axes", (ours - theirs).norm(), 0.0, 1e-14);
        let stability = Matrix3::from_row_slice(&rows(&case["body_from_stability"]));
        let ours = body_from_stability(angles[0]).into_inner();
        check_absolute("body from stability axes", (ours - stability).norm(), 0.0, 1e-14);
        let back = AirAngles::of_velocity(&(7.0 * theirs.column(0)));
        check_absolute("angle of attack read from it, rad", back.alpha_rad, angles[0], 1e-12);
        check_absolute("sideslip read from it, rad", back.beta_rad, angles[1], 1e-12);
    }
}

fn place(value: &Value) -> Value {
    let at = numbers(value);
    json!({ "aft_m": at[0], "right_m": at[1], "up_m": at[2] })
}

#[test]
fn inertia_of_parts() {
    let theirs = &references()["inertia"];
    let mut file: Value = serde_json::from_str(EXAMPLES[0].text).unwrap();
    let panel = &theirs["panel"];
    let mut shape = panel.clone();
    let sizes = shape.as_object_mut().unwrap();
    sizes.remove("root");
    sizes.remove("areal_density_kg_m2");
    let wing =
        json!({ "name": "wing", "role": "wing", "root": place(&panel["root"]), "panels": [shape] });
    file["surfaces"] = json!([wing]);
    let (rod, block, point) = (&theirs["rod"], &theirs["block"], &theirs["point"]);
    let edges = numbers(&block["edges"]);
    file["mass"] = json!({ "parts": [
        { "name": "spar", "mirrored": true, "spread": { "rod": {
            "mass_kg": rod["mass_kg"], "from": place(&rod["from"]), "to": place(&rod["to"]) } } },
        { "name": "pack", "spread": { "block": {
            "mass_kg": block["mass_kg"], "at": place(&block["at"]),
            "length_m": edges[0], "width_m": edges[1], "height_m": edges[2] } } },
        { "name": "servo", "spread": { "point": {
            "mass_kg": point["mass_kg"], "at": place(&point["at"]) } } },
        { "name": "foam", "spread": { "sheet": {
            "surface": "wing", "areal_density_kg_m2": panel["areal_density_kg_m2"] } } },
    ] });
    let aircraft = read_aircraft(&file.to_string()).unwrap().check().unwrap();
    let ours = mass_properties(&aircraft).unwrap();
    check_absolute("mass, kg", ours.mass_kg, number(&theirs["mass_kg"]), 1e-12);
    let centre = vector(&theirs["centre_body"]);
    // A strip's own taper moves its middle by a fraction of a millimetre.
    check_vector("balance point, m", ours.balance_point.to_body_axes(), centre, 5e-4);
    let tensor = Matrix3::from_row_slice(&rows(&theirs["inertia_body"]));
    let error = (ours.inertia_body - tensor).abs();
    check_absolute("inertia tensor, of its greatest", error.max() / tensor.max(), 0.0, 2e-3);
}

#[test]
fn quantiles_and_percentiles() {
    let theirs = &references()["statistics"];
    let quantiles = numbers(&theirs["quantiles"]);
    // Scrambled Sobol points have one in each of 64 equal shares, in each column.
    let plan = SamplePlan::new(6, 64, 42).unwrap();
    for input in 0..plan.inputs() {
        let mut column: Vec<f64> = plan.run(0..64, |sample| sample[input]);
        column.sort_by(f64::total_cmp);
        for (index, edge) in quantiles.iter().enumerate() {
            assert!(column[index] < *edge && *edge < column[index + 1], "{input}, {index}");
        }
    }
    let values = numbers(&theirs["values"]);
    let found = interval(&values, 0.9).unwrap();
    let percentiles = numbers(&theirs["percentiles_5_50_95"]);
    for (ours, theirs) in [found.low, found.median, found.high].iter().zip(percentiles) {
        check_absolute("percentile", *ours, theirs, 1e-12);
    }
}
