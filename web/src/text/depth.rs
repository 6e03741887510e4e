//! Behind each number: how it was found, and on what that rests.

use super::word;

/// The method behind a readout and its source.
pub struct Depth {
    /// How the number is found.
    pub method: &'static str,
    /// What that rests on.
    pub source: &'static str,
}

/// Where the method behind `name` is told; nothing for what explains itself.
pub fn of(name: &str) -> Option<Depth> {
    let (method, source) = match name {
        word::BALANCE_POINT => (
            "The sum of all weights times their places over the sum of the weights; foam counts by its area and weight per area.",
            "Statics. As good as the scale and the ruler: the list of weights is the whole input.",
        ),
        word::WINDOW => (
            "Rear end: six hundredths of the mean chord ahead of the neutral point, motor on or off, whichever is nearer. Front end: where four fifths of the elevator’s throw just reach the stall, or eighteen hundredths of the chord.",
            "Margins: common practice for models. Elevator at the stall: our lattice with the section’s own stall.",
        ),
        word::STATIC_MARGIN => (
            "How much the pitching moment changes for a change of lift, −Cmα/CLα, from small steps of the angle of attack in the vortex lattice of all surfaces together, fuselage and slipstream included.",
            "Etkin and Reid, Dynamics of Flight, section 2.3 (from memory). The table for an engineer has both derivatives.",
        ),
        word::STALL_SPEED => (
            "The lattice is followed strip by strip past the angle where each section stops lifting more; the stall counts as reached at 97 % of the greatest lift that can be trimmed.",
            "Section data by how the wing is made: published tests of plates and thin sections at model size.",
        ),
        word::THROTTLE | word::ELEVATOR => (
            "Throttle, elevator and angle of attack are solved for together until forces and moments balance, slipstream over the tail included.",
            "Propeller by blade-element momentum, motor by its constants, pack with its resistance; checked against measured propellers.",
        ),
        word::BANK_AFTER_SECOND
        | word::PITCH_RATE
        | word::ROLL_RATE
        | word::SIDESLIP
        | word::PULL => (
            "The stick goes to its low-rate throw and stays; the motion in six degrees of freedom follows from the same forces, with servo speed and the air that the wing drags along.",
            "Equations of motion as in Etkin and Reid, chapter 4 (from memory); integrated in steps of 0.04 s, within 2 % of a fine integration.",
        ),
        _ => return None,
    };
    Some(Depth { method, source })
}

/// Heads of the two parts.
pub const HOW: &str = "How";
/// As above.
pub const SOURCE: &str = "Rests on";
/// The engineer's panel.
pub const ENGINEER: &str = "For an engineer: derivatives, A and B, roots";
/// Opens it.
pub const SHOW: &str = "Show the tables";
/// Closes it.
pub const HIDE: &str = "Hide the tables";
/// What the tables refer to.
pub const CONVENTIONS: &str = "Ordinary flight, power as trimmed. Coefficients in stability axes, moments about the balance point, per radian; rates as pb/2V, qc/2V, rb/2V. ISO 1151: elevator positive trailing edge down, rudder positive trailing edge left (both the other way ahead of the balance point), aileron positive right one down.";
/// A table.
pub const NON_DIMENSIONAL: &str = "Non-dimensional derivatives";
/// A table.
pub const DIMENSIONAL: &str = "Dimensional: N and N m per m/s, rad or rad/s";
/// A table.
pub const LONGITUDINAL: &str = "Longitudinal A and B, body axes, in m, s, rad";
/// A table.
pub const LATERAL: &str = "Lateral A and B, body axes, in m, s, rad";
/// A table.
pub const ROOTS: &str = "Eigenvalues";
/// First column.
pub const BY: &str = "by";
/// States of the longitudinal motion.
pub const LONGITUDINAL_STATES: [&str; 4] = ["u", "w", "q", "θ"];
/// States of the lateral motion.
pub const LATERAL_STATES: [&str; 4] = ["v", "p", "r", "φ"];
/// Controls of the linear model.
pub const CONTROLS: [&str; 5] = ["δe", "δa", "δr", "δf", "throttle"];
/// Columns of the derivatives.
pub const COEFFICIENTS: [&str; 6] = ["CL", "CD", "CY", "Cl", "Cm", "Cn"];
/// Columns of the dimensional derivatives.
pub const LOADS: [&str; 6] = ["L", "D", "Y", "roll", "pitch", "yaw"];
/// Columns of the roots.
pub const ROOT_COLUMNS: [&str; 4] = ["real, 1/s", "imaginary, rad/s", "ω, rad/s", "ζ"];
/// Saves the report.
pub const SAVE_JSON: &str = "Save the report as JSON";
/// Saves the report.
pub const SAVE_CSV: &str = "Save the report as CSV";

/// The symbol of a cause.
pub fn cause(symbol: &str) -> &str {
    match symbol {
        "alpha" => "α",
        "beta" => "β",
        "alpha_dot" => "α̇",
        "elevator" => "δe",
        "aileron" => "δa",
        "rudder" => "δr",
        "flap" => "δf",
        other => other,
    }
}

/// Less than this is rounding where there should be nothing.
const NOTHING: f64 = 1e-12;

/// A number of a table: four digits that say something.
pub fn number(value: f64) -> String {
    let size = value.abs();
    let text = if size < NOTHING || !value.is_finite() {
        "0".to_owned()
    } else if !(1e-4..1e5).contains(&size) {
        format!("{value:.2e}")
    } else {
        let decimals = (3.0 - size.log10().floor()).clamp(0.0, 6.0) as usize;
        format!("{value:.decimals$}")
    };
    text.replace('-', "\u{2212}")
}
