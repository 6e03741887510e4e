//! What a flight says while it is flown, and what leads to it.

use sim_core::flight::debrief::StickAxis;
use sim_core::flight::{FlightError, Trims};

use crate::flight::{Function, Mode, Throws, View};

/// Heading of the panel that leads to the field.
pub const FLY_QUESTION: &str = "How does it fly?";
/// Under it.
pub const FLY_LEDE: &str = "Your aeroplane on a field, by the same numbers that gave the throws. Keys, a transmitter on USB, a game pad or two thumbs.";
/// Starts a free flight.
pub const FLY_IT: &str = "Fly it";
/// The list of lessons.
pub const LESSONS: &str = "Lessons";
/// Beside it.
pub const LESSONS_HINT: &str = "nine, each a minute or so";
/// The program flies a lesson.
pub const SHOW_ME: &str = "Show me";
/// The pilot flies a lesson.
pub const TRY_IT: &str = "Try it";
/// What a flight on the screen is not.
pub const NO_CLEARANCE: &str = "A flight on this screen clears nothing: the model is an estimate, the real one is glued and balanced by hand. What you learn here is which way to move the stick.";
/// Heading over the cautions.
pub const BEFORE_THE_REAL_ONE: &str = "Before the real one flies";
/// The flight's page.
pub const FLIGHT: &str = "Flight";
/// What the picture is, for those who cannot see it.
pub const FLIGHT_DESCRIPTION: &str = "The flight as a picture; the numbers above it say the same.";
/// Closes the page.
pub const LEAVE: &str = "Leave";
/// Time goes on.
pub const GO_ON: &str = "Go on";
/// Begins anew.
pub const AGAIN: &str = "Again";
/// Opens the choices.
pub const SETTINGS: &str = "Set up";
/// Closes the choices.
pub const CLOSE: &str = "Close";
/// Names of the readings.
pub const SPEED: &str = "Airspeed";
/// Height over the strip.
pub const HEIGHT: &str = "Height";
/// Climb rate.
pub const CLIMB: &str = "Climb";
/// Throttle stick.
pub const THROTTLE: &str = "Throttle";
/// Charge left.
pub const BATTERY: &str = "Pack";
/// Load factor.
pub const PULL: &str = "Pull";

/// A speed.
pub fn metres_a_second(speed_m_s: f64) -> String {
    format!("{speed_m_s:.1} m/s")
}

/// A climb, with its sign where it has one.
pub fn climb(speed_m_s: f64) -> String {
    if speed_m_s.abs() < 0.05 {
        return metres_a_second(0.0);
    }
    format!("{speed_m_s:+.1} m/s").replace('-', "\u{2212}")
}

/// A length on the field.
pub fn metres(length_m: f64) -> String {
    let decimals = if length_m.abs() < 10.0 { 1 } else { 0 };
    format!("{length_m:.decimals$} m").replace('-', "\u{2212}")
}

/// A load factor.
pub fn times_weight(load_factor: f64) -> String {
    format!("{load_factor:.1} g").replace('-', "\u{2212}")
}

/// Prompt before a start by hand.
pub fn throw_prompt(by_thumbs: bool) -> &'static str {
    if by_thumbs {
        "In your hand. Slide the throttle up by half or more, then throw."
    } else {
        "In your hand. Set half to full throttle (W), then throw."
    }
}

/// Throws it.
pub const THROW: &str = "Throw it (space bar)";
/// Prompt before a start from the strip.
pub fn take_off_prompt(by_thumbs: bool) -> &'static str {
    if by_thumbs {
        "On the strip. Slide the throttle up, steer by rudder, pull gently once it is quick."
    } else {
        "On the strip. Full throttle (W), steer by rudder, pull gently (\u{2193}) once it is quick."
    }
}

/// A model that is nearly out of sight.
pub const FAR_PROMPT: &str = "Far off: turn back while you can see which way it flies.";
/// A pack that is nearly empty.
pub const PACK_PROMPT: &str = "The pack is nearly empty: come in to land.";

/// What is left of a lesson, in whole seconds.
pub fn time_left(left_s: f64) -> String {
    format!("{left_s:.0} s left.")
}

/// While the wing has stalled.
pub const STALL_PROMPT: &str = "Stalled: push, let it pick up speed.";
/// While time stands.
pub const PAUSED: &str = "Paused";
/// While a record runs.
pub const REPLAYING: &str = "Replay";
/// Names of the gates.
pub const LEFT_STICK: &str = "Left stick";
/// Right one.
pub const RIGHT_STICK: &str = "Right stick";

/// Legend of the views.
pub const VIEW: &str = "Seen from";

/// Name of a view.
pub fn view(view: View) -> &'static str {
    match view {
        View::Ground => "the field (1)",
        View::Chase => "behind (2)",
        View::OnBoard => "its nose (3)",
    }
}

/// Name of a view on its button.
pub fn view_in_short(view: View) -> &'static str {
    match view {
        View::Ground => "From field",
        View::Chase => "Behind",
        View::OnBoard => "Nose",
    }
}

/// What the button of the views does.
pub fn switch_view(view: View) -> String {
    format!("{}: look from elsewhere", view_in_short(view))
}

/// Name of a set of throws on its button.
pub fn throws_in_short(throws: Throws) -> &'static str {
    match throws {
        Throws::Low => "Low rate",
        Throws::High => "High rate",
        Throws::Present => "As set",
        Throws::All => "All throw",
    }
}

/// What the button of the throws does.
pub fn switch_throws(throws: Throws) -> String {
    format!("{}: switch the throws", throws_in_short(throws))
}

/// Head of the choices.
pub const TIME_STANDS: &str = "Time stands while this sheet is open. The pack starts as full as the voltage of its cells on the bench says.";

/// Camera's tilt.
pub const TILT: &str = "Camera looks up";
/// Camera's pan.
pub const PAN: &str = "Camera looks right";
/// The link's delay.
pub const DELAY: &str = "Picture comes late by";

/// Whole degrees.
pub fn whole_degrees(angle_deg: f64) -> String {
    format!("{angle_deg:.0}°").replace('-', "\u{2212}")
}

/// Milliseconds.
pub fn milliseconds(time_ms: f64) -> String {
    format!("{time_ms:.0} ms")
}

/// Legend of the throws.
pub const THROWS: &str = "Throws (T)";
/// What they are.
pub fn throws_note(is_set: bool) -> String {
    let present =
        if is_set { " “as set now” is what your radio has by the sheet;" } else { "" };
    format!(
        "Low and high are the rates and expo advised for your pilot;{present} “all” is everything the hinges give, without expo. Switch in flight and feel the difference."
    )
}

/// Name of a set of throws.
pub fn throws(throws: Throws) -> &'static str {
    match throws {
        Throws::Low => "low rate",
        Throws::High => "high rate",
        Throws::Present => "as set now",
        Throws::All => "all",
    }
}

/// Legend of the start.
pub const START: &str = "Starts";
/// From the strip.
pub const FROM_STRIP: &str = "on the strip";
/// By hand.
pub const BY_HAND: &str = "by hand";
/// Wind.
pub const WIND: &str = "Wind";
/// Its direction.
pub const WIND_FROM: &str = "Wind comes";
/// Legend of the gusts.
pub const GUSTS: &str = "The wind is";
/// No gusts.
pub const STEADY: &str = "steady";
/// Gusts.
pub const GUSTY: &str = "gusty";

/// Where the wind comes from, seen along the strip.
pub fn wind_from(from_deg: f64) -> String {
    match from_deg.round() {
        0.0 => "from ahead".to_owned(),
        d if d.abs() >= 180.0 => "from behind".to_owned(),
        d if d > 0.0 => format!("{d:.0}° from the right"),
        d => format!("{:.0}° from the left", -d),
    }
}

/// Legend of the stick mode.
pub const MODE: &str = "Stick mode";

/// Number of a mode.
pub fn mode(mode: Mode) -> &'static str {
    match mode {
        Mode::One => "1",
        Mode::Two => "2",
        Mode::Three => "3",
        Mode::Four => "4",
    }
}

/// What a mode puts where.
pub fn mode_meaning(mode: Mode) -> &'static str {
    match mode {
        Mode::One => "Left: elevator and rudder. Right: throttle and aileron.",
        Mode::Two => "Left: throttle and rudder. Right: elevator and aileron.",
        Mode::Three => "Left: elevator and aileron. Right: throttle and rudder.",
        Mode::Four => "Left: throttle and aileron. Right: elevator and rudder.",
    }
}

/// Where the rudder of a model without ailerons is.
pub const RUDDER_APART: &str = "Leave the rudder on its own stick where there are no ailerons";
/// The sound.
pub const SOUND: &str = "Sound of the propeller (M)";
/// Heading of the keys.
pub const KEYS: &str = "Keys";
/// What each key does.
pub const KEY_LIST: [(&str, &str); 13] = [
    ("\u{2190} \u{2192}", "bank or turn"),
    ("\u{2193} \u{2191}", "pull (nose up), push (nose down)"),
    ("W S", "more, less throttle"),
    ("X", "throttle off"),
    ("A D", "rudder left, right"),
    ("I K", "trim nose up, nose down"),
    ("J L", "trim left, right"),
    ("Space", "throw it"),
    ("1 2 3", "seen from the field, behind, its nose"),
    ("T", "low rate, high rate, all"),
    ("P", "pause"),
    ("R", "again from the start"),
    ("Esc", "leave"),
];
/// Heading of the transmitter.
pub const TRANSMITTER: &str = "Transmitter or game pad";
/// Where none is seen.
pub const NO_TRANSMITTER: &str =
    "None is seen. Connect it and move a stick or press a button: browsers show it only then.";
/// How a game pad's throttle works.
pub const THROTTLE_SPRINGS: &str =
    "Its throttle springs back to the middle: push for more, pull for less, let go to keep it.";
/// What a game pad's buttons do.
pub const PAD_BUTTONS: &str = "Its cross moves the trim levers. Of the four buttons on the right the lowest throws the aeroplane, the right one switches the throws, the top one the view; the one right of the middle pauses.";
/// Starts the calibration.
pub const CALIBRATE: &str = "Calibrate";
/// Ends it.
pub const CALIBRATED: &str = "Done";
/// While it runs.
pub const CALIBRATING: &str = "Move every stick to all its ends, throttle too, then let all of them rest in the middle and press Done.";
/// The axis that has moved most.
pub fn most_moved(index: usize) -> String {
    format!("Most moved so far: {}.", axis(index))
}

/// The other way round.
pub const REVERSED: &str = "reversed";

/// Name of what an axis moves.
pub fn function(function: Function) -> &'static str {
    match function {
        Function::Elevator => "Elevator",
        Function::Aileron => "Aileron",
        Function::Rudder => "Rudder",
        Function::Throttle => "Throttle",
    }
}

/// Name of an axis.
pub fn axis(index: usize) -> String {
    format!("axis {}", index + 1)
}

/// Why there is no flight.
pub fn refused(error: &FlightError) -> String {
    format!("This aeroplane cannot be flown as it stands. {}", super::finding(&error.to_string()))
}

/// The trim levers: the button that opens them, as they stand.
pub fn trim_in_short(trims: Option<&Trims>) -> String {
    let out = |axis: &StickAxis| trims.map_or(0, |trims| trims.of(*axis)) != 0;
    let moved: Vec<String> = StickAxis::ALL
        .into_iter()
        .filter(out)
        .filter_map(|axis| {
            Some(format!("{}{}", trim_arrow(axis, trims?.of(axis)), trims?.of(axis).abs()))
        })
        .collect();
    if moved.is_empty() { "Trim 0".to_owned() } else { format!("Trim {}", moved.join(" ")) }
}

fn trim_arrow(axis: StickAxis, clicks: i32) -> &'static str {
    match (axis, clicks > 0) {
        (StickAxis::Elevator, true) => "\u{2191}",
        (StickAxis::Elevator, false) => "\u{2193}",
        (StickAxis::Aileron, true) => "\u{2192}",
        (StickAxis::Aileron, false) => "\u{2190}",
        (StickAxis::Rudder, true) => "\u{21b7}",
        (StickAxis::Rudder, false) => "\u{21b6}",
    }
}

/// Heading of the levers.
pub const TRIM: &str = "Trim levers";
/// A click either way.
pub const TRIM_CLICKS: [[(&str, i32); 2]; 3] =
    [[("Down", -1), ("Up", 1)], [("Left", -1), ("Right", 1)], [("Left", -1), ("Right", 1)]];

/// Name of a lever's button.
pub fn trim_button(axis: StickAxis, way: &str) -> String {
    format!("{} trim, a click {}", super::debrief::stick(axis), way.to_lowercase())
}

/// Where a lever stands.
pub fn trim_clicks(axis: StickAxis, clicks: i32) -> String {
    let surface = super::debrief::stick(axis).to_lowercase();
    let way = match (axis, clicks > 0) {
        (StickAxis::Elevator, true) => "nose-up",
        (StickAxis::Elevator, false) => "nose-down",
        (_, true) => "right",
        (_, false) => "left",
    };
    match clicks.abs() {
        0 => format!("{surface} in the middle"),
        1 => format!("1 click of {way} {surface}"),
        n => format!("{n} clicks of {way} {surface}"),
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn what_neither_climbs_nor_sinks_has_no_sign() {
        let said = [0.0, -0.04, 0.04, 0.06, -1.26].map(climb);
        assert_eq!(said, ["0.0 m/s", "0.0 m/s", "0.0 m/s", "+0.1 m/s", "\u{2212}1.3 m/s"]);
    }
}
