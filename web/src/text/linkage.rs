//! What drives a control surface and what is set in the radio, in words.

use sim_core::aircraft::{RodMaterial, Supports};
use sim_core::assess::{FlutterCaution, LinkageLoad, LinkageReport};
use sim_core::throws::holes::HolePair;
use sim_core::throws::linkage::Throws;

use super::answer::speed;
use super::card::load_case;
use super::{degrees, percent, seconds};
use crate::state::measure::plain;
use crate::state::rigging::{FINE_LENGTH, TORQUE};

pub const HIGH_NOW: &str = "High rate now, each way";
pub const LOW_NOW: &str = "Low rate now, each way";
pub const EXPO_NOW: &str = "Expo now";
pub const LOW_EXPO_NOW: &str = "Expo on low rate now";
pub const ARM: &str = "Servo arm, shaft to hole";
pub const HORN: &str = "Horn, hole above the hinge line";
pub const HORN_OFFSET: &str = "Horn, hole behind the hinge line";
pub const ROD_REACH: &str = "Pushrod, hole to hole";
pub const SHAFT: &str = "Servo shaft above the hinge line";
pub const ARM_LEAN: &str = "Arm leans to the horn by";
pub const HOLE_PLAY: &str = "Play in both holes together";
pub const STALL_TORQUE: &str = "Servo stops at";
pub const SPEED: &str = "Servo takes, for 60°";
pub const TRAVEL: &str = "Servo turns, each way";
pub const GEAR_PLAY: &str = "Play of the gear";
pub const MATERIAL: &str = "Pushrod is of";
pub const SUPPORTS: &str = "Its longest free stretch is";
pub const DIAMETER: &str = "Pushrod diameter";
pub const BORE: &str = "Bore of a tube, 0 if solid";
pub const ROD_LENGTH: &str = "Pushrod, whole length";
pub const FREE_LENGTH: &str = "Longest free stretch";
pub const BOW: &str = "Bent out of line by";

/// What pushrods are made of.
pub const MATERIALS: [(RodMaterial, &str); 8] = [
    (RodMaterial::Steel, "steel wire"),
    (RodMaterial::Carbon, "carbon"),
    (RodMaterial::GlassFibre, "glass fibre"),
    (RodMaterial::Bamboo, "bamboo"),
    (RodMaterial::Wood, "wood"),
    (RodMaterial::Aluminium, "aluminium"),
    (RodMaterial::Brass, "brass"),
    (RodMaterial::Plastic, "plastic"),
];
/// How the free stretch is held.
pub const SUPPORT_KINDS: [(Supports, &str); 3] = [
    (Supports::PinnedPinned, "between holes or clevises"),
    (Supports::PinnedFixed, "from a hole to a guide"),
    (Supports::FixedFixed, "between two guides"),
];

/// Heads the fields in the form.
pub const LINKAGE: &str = "Servo and linkage";
/// Beside it.
pub const NOT_ENTERED: &str = "not entered";
/// How it is measured.
pub const MEASURE_NOTE: &str = "Stick in the middle, surface neutral. Heights count from the hinge line towards the side to which the servo arm points.";
/// Buttons.
pub const ENTER_LINKAGE: &str = "Enter the linkage";
/// As above.
pub const REMOVE_LINKAGE: &str = "Remove the linkage";
/// As above.
pub const ENTER_SETTING: &str = "Enter the present throw";
/// As above.
pub const REMOVE_SETTING: &str = "Remove";
/// As above.
pub const ADD_LOW: &str = "Add a low rate";
/// As above.
pub const REMOVE_LOW: &str = "Remove the low rate";

/// The questions.
pub const QUESTION: &str = "Do servo and linkage bring it?";
/// As above.
pub const NOW_QUESTION: &str = "What do I have now?";
/// Where no linkage has been entered.
pub const NOTHING_ENTERED: &str = "Measure holes, pushrod and servo of a control surface. Then this says which holes to take, and whether the servo holds.";
/// Leads to the fields.
pub const TO_THE_BENCH: &str = "Enter a linkage on the bench";
/// Where no throw has been entered.
pub const NOW_LEDE: &str = "Enter what the radio does now, measured at the surface. You see what it will do in the air and how far to cut it.";

/// Title of the plot.
pub const PLOT: &str = "Surface, ° over the stick, %";
/// Unit across.
pub const PLOT_ACROSS: &str = "%";
/// Names of the curves.
pub const PLOT_CURVE: &str = "now";
/// As above.
pub const PLOT_BEST: &str = "best holes";
/// Readouts.
pub const FULL: &str = "At full travel";
/// As above.
pub const TRAVEL_TO_SET: &str = "Servo travel to set";
/// As above.
pub const PLAY: &str = "Play at the surface";
/// Head of the holes.
pub const HOLES: &str = "Best holes for the advised high rate";
/// Head of the loads.
pub const LOADS: &str = "Servo and pushrod under load";

/// Name of a linkage: its control and surface.
pub fn name(report: &LinkageReport) -> String {
    if report.control.to_ascii_lowercase().contains(&report.surface.to_ascii_lowercase()) {
        report.control.clone()
    } else {
        format!("{}, {}", report.control, report.surface)
    }
}

/// Both ways, and how uneven.
pub fn full(throws: &Throws) -> String {
    format!("{} / {}", degrees(throws.push_rad, 0), degrees(-throws.pull_rad, 0))
}

/// What the asymmetry means.
pub fn asymmetry(share: f64) -> String {
    let more = share.abs() / 2.0;
    if more < 0.01 {
        return "pushed / pulled: even".to_owned();
    }
    let way = if share > 0.0 { "pushing" } else { "pulling" };
    format!("pushed / pulled: {} more {way}, and less the other way", percent(more))
}

/// The servo travel for the high rate, with what that means.
pub fn travel_meaning(travel: f64) -> &'static str {
    match travel {
        t if t > 1.0 => {
            "of the whole: the advised high rate is not reached. Take a longer arm or a shorter horn."
        }
        t if t < 0.6 => {
            "of the whole, for the advised high rate. Much of the servo’s fineness is lost: take a shorter arm or a longer horn."
        }
        _ => "of the whole, for the advised high rate",
    }
}

/// Where the high rate is out of reach of the linkage.
pub const OUT_OF_REACH: &str = "out of reach";
/// What that means.
pub const OUT_OF_REACH_MEANING: &str =
    "The linkage locks before the advised high rate. Take a shorter arm or a longer horn.";

/// A pair of holes.
pub fn holes(pair: &HolePair) -> String {
    let length = |length_m: f64| FINE_LENGTH.in_words(length_m.abs(), 1, 2);
    let end = if pair.reaches {
        format!(
            "uses {} of the servo’s travel, which gives {}",
            percent(pair.travel_used),
            full(&pair.full_throws)
        )
    } else {
        format!("does not reach it, short by {}", percent(pair.travel_used - 1.0))
    };
    format!(
        "arm {}, horn {}, pushrod {}: {end}",
        length(pair.servo_arm_m),
        length(pair.horn_height_m),
        length(pair.pushrod_m)
    )
}

/// Lost throw that nobody notices, rad: a tenth of a degree.
const LOST_NOTHING_RAD: f64 = 0.0017;

/// A load in a sentence.
pub fn load(load: &LinkageLoad) -> String {
    let place = load_case(load.case);
    let torque = |n_m: f64| format!("{} {}", plain(TORQUE.shown(n_m), 2), TORQUE.unit());
    let head = format!(
        "{} at the surface {place}, deflected {}: {} about the hinge",
        speed(load.local_airspeed_m_s),
        degrees(load.deflection_rad, 0),
        torque(load.hinge_moment_n_m)
    );
    let Some(loaded) = &load.loaded else {
        return format!("{head}. The linkage does not reach this deflection.");
    };
    let time = loaded
        .travel_time_s
        .map_or("stalls on the way".to_owned(), |time| format!("there in {}", seconds(time)));
    let rod = if loaded.rod_force_n > 0.0 {
        format!(
            "pushrod pressed with {} N, {} of its buckling load",
            plain(loaded.rod_force_n, 1),
            percent(loaded.euler_share)
        )
    } else {
        format!("pushrod pulled with {} N", plain(-loaded.rod_force_n, 1))
    };
    let lost = match loaded.lost_rad {
        None => "it buckles".to_owned(),
        Some(lost) if lost < LOST_NOTHING_RAD => "it hardly gives".to_owned(),
        Some(lost) => format!("its give costs {}", degrees(lost, 1)),
    };
    format!(
        "{head}. Servo at {} of its stall torque, {time}; {rod}, {lost}.",
        percent(loaded.torque_share)
    )
}

/// Whether a load is more than common practice keeps to.
pub fn overloaded(load: &LinkageLoad) -> Option<&'static str> {
    let loaded = load.loaded.as_ref()?;
    if loaded.torque_share > 0.5 {
        Some(
            "More than half of the stall torque: a stronger servo, a shorter arm or a longer horn.",
        )
    } else if loaded.euler_share > 0.5 || loaded.lost_rad.is_none() {
        Some("Near buckling: support the pushrod in the middle, or take a stiffer one.")
    } else {
        None
    }
}

/// What the play does to the flight.
pub fn play(report: &LinkageReport) -> String {
    if let Some(share) = report.play_airspeed_share {
        return format!(
            "from stop to stop: trimmed speed wanders by up to {}",
            percent(share.min(9.99))
        );
    }
    match report.play_bank_rad {
        Some(bank) => format!(
            "from stop to stop: can bring {} of bank in a second by itself",
            degrees(bank, 0)
        ),
        None => "from stop to stop".to_owned(),
    }
}

/// Flutter by slack.
pub fn flutter(flutter: &FlutterCaution) -> String {
    let at = speed(flutter.airspeed_m_s);
    let (play, limit) = (degrees(flutter.play_rad, 1), degrees(flutter.play_limit_rad, 1));
    if flutter.exceeded {
        format!(
            "Flutter: {play} of play at {at}, where {limit} is borne. A light foam surface may start to flap and tear off. Take the play out before flying fast: tighter holes, stiffer pushrod, taut hinge."
        )
    } else {
        format!(
            "Flutter: {play} of play is borne at {at} (up to {limit}). Soft foam and loose hinges are not known here: hold the surface and shake it."
        )
    }
}
