//! What the pictures in space say.

use sim_core::analysis::Channel;

use crate::scene::stage::Sight;

/// Heading of the panel with the model in space.
pub const SPATIAL: &str = "In space";
/// What the picture shows, for those who cannot see it.
pub const SPATIAL_DESCRIPTION: &str =
    "The aeroplane in space. Arrow keys turn it, plus and minus draw nearer and farther.";
/// Legend over what can be played.
pub const PLAYS: &str = "Show";
/// The aeroplane at rest.
pub const PLAY_REST: &str = "At rest";
/// The spread of the stall.
pub const PLAY_STALL: &str = "Stall";
/// Starts.
pub const PLAY: &str = "Play";
/// Stops.
pub const PAUSE: &str = "Pause";
/// The slider through time.
pub const PLACE_IN_TIME: &str = "Place in time";
/// How to turn the picture.
pub fn turn_it() -> String {
    format!(
        "Drag to turn, pinch or press + and \u{2212} for nearer and farther. One band marks the left tip, two the right. A square of the plan is {}, for a large aeroplane a multiple.",
        super::millimetres(0.1)
    )
}

/// A step of a control.
pub fn play_step(channel: Channel) -> &'static str {
    match channel {
        Channel::Elevator => "Elevator",
        Channel::Aileron => "Aileron",
        Channel::Rudder => "Rudder",
        Channel::Flap => "Flap",
        Channel::Throttle => "Throttle",
    }
}

fn signed_degrees(angle_rad: f64) -> String {
    let degrees = angle_rad.to_degrees().round();
    if degrees == 0.0 {
        "0°".to_owned()
    } else {
        format!("{degrees:+}°").replace('-', "\u{2212}")
    }
}

/// Where a response stands.
pub fn response_at(time_s: f64, bank_rad: f64, pitch_rad: f64, heading_rad: f64) -> String {
    format!(
        "{time_s:.1} s after the stick moved by the low rate, at half speed: bank {}, nose {}, heading {}.",
        signed_degrees(bank_rad),
        signed_degrees(pitch_rad),
        signed_degrees(heading_rad),
    )
}

/// Where the flow has gone.
pub fn stall_at(alpha_rad: f64, gone: Option<(f64, f64)>) -> String {
    let alpha = signed_degrees(alpha_rad);
    match gone {
        None => format!("Nose {alpha} to the flow: the flow stays on the whole wing."),
        Some((from, to)) => format!(
            "Nose {alpha} to the flow: hatched strips have stalled, between {:.0} and {:.0} % of each half of the wing (0 is the middle, 100 the tip).",
            from * 100.0,
            to * 100.0
        ),
    }
}

/// Why there is no picture.
pub fn sight(sight: &Sight) -> &'static str {
    match sight {
        Sight::Fine => "",
        Sight::Lost => {
            "The browser has taken the graphics card away for a moment. The picture comes back by itself; all numbers stay as they are."
        }
        Sight::None => {
            "This browser draws no pictures in space (it offers no WebGL2). Everything else on the page works; to fly, use a browser with WebGL2 switched on."
        }
    }
}
