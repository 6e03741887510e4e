//! All that the card for the first flight says.

use sim_core::aero::device::EdgeMotion;
use sim_core::aircraft::ControlRole;
use sim_core::assess::LoadCase;
use sim_core::assess::uncertainty::{Quantity, QuantitySpread};
use sim_core::card::{
    CardBalance, CardTrims, Caution, DirectionCheck, FlightStep, MaidenCard, StickInput,
};
use sim_core::power::outputs::PowerFinding;
use sim_core::throws::advice::ConflictKind;

use super::answer::{edge, mode_name, shortfall, speed, trim};
use super::throws::surface;
use super::{degrees, millimetres, percent, seconds};
use crate::state::measure::plain;

/// The card's name.
pub const CARD: &str = "Maiden card";
/// Opens it.
pub const OPEN: &str = "Card";
/// Opens it from the throws.
pub const OPEN_TO_PRINT: &str = "Print the maiden card";
/// Prints it.
pub const PRINT: &str = "Print";
/// Closes it.
pub const BACK: &str = "Back to the bench";
/// Beside the print button.
pub const PRINT_HINT: &str = "One page, A4 or Letter, black ink is enough.";
/// What is filled in by hand.
pub const BY_HAND: [&str; 3] = ["Date", "Field and wind", "Pilot, spotter"];
/// Heads of the sections.
pub const BALANCE: &str = "Balance";
/// As above.
pub const WEIGHTS: &str = "Weights";
/// As above.
pub const SPEEDS: &str = "Speeds and time";
/// As above.
pub const THROWS: &str = "Throws and rates, each way from neutral";
/// As above.
pub const TRIMS: &str = "Trims to preset";
/// As above.
pub const DIRECTIONS: &str = "Which way they move, seen from behind";
/// As above.
pub const ORDER: &str = "First flight, in this order";
/// As above.
pub const CAUTIONS: &str = "Look out";
/// As above.
pub const SURE: &str = "How sure is this?";
/// Heads of the table of throws.
pub const THROW_HEADS: [&str; 6] =
    ["Control", "High rate", "Low rate", "Dual rate", "Expo on high", "Expo on low"];
/// Head of the column of intervals.
pub const BETWEEN: &str = "High, 5–95 %";
/// How to measure and set.
pub const THROWS_NOTE: &str = "Lengths at the trailing edge, where the surface is widest. Dual rate: low of high. Expo softens around neutral: some radios call that negative. Move the stick and look.";
/// The foot of the card.
pub const FOOT: &str = "A prediction is not a clearance to fly. Computed by Fledge from bench measurements; have an experienced pilot look the model over and make the first flight theirs.";
/// What the drawing shows, for those who cannot see it.
pub const DRAWING: &str =
    "The aeroplane from above, from the left and from the front, with balance point and throws.";
/// Weights that have no line of their own.
pub const OTHER_WEIGHTS: &str = "other parts";
/// The sum.
pub const TOTAL: &str = "Ready to fly";

/// What every first flight must heed.
pub const GENERAL: [(&str, &str); 6] = [
    ("Propeller:", "off while setting up; then stay behind it, model held."),
    ("Lithium pack:", "never puffed or crashed, in last, out first, charged watched."),
    ("Failsafe and range:", "transmitter off, motor stops; range walk as the radio’s manual says."),
    ("Line of sight:", "eyes on the model; flying by camera only with a spotter."),
    ("People and airspace:", "nobody in front or below; land for any manned aircraft."),
    ("Local rules:", "height, registration, insurance; a club helps with all of it."),
];

/// Who flies how high up and how fast.
pub fn assumptions(skill: &str, altitude_m: f64, cruise_m_s: f64) -> String {
    format!(
        "Who flies: {skill}. Ordinary flight at {}, field {} m above the sea.",
        speed(cruise_m_s),
        plain(altitude_m, 0)
    )
}

/// Lines of the balance, lengths behind the leading edge at the root, which
/// lies `behind_m` behind the datum.
pub fn balance(balance: &CardBalance, behind_m: f64) -> Vec<(String, String)> {
    let at = |aft_m: f64| millimetres(aft_m - behind_m);
    let mut lines = vec![
        ("Aim for".to_owned(), at(balance.first_flight_aft_m)),
        (
            "Allowed".to_owned(),
            super::from_to_millimetres(
                balance.front_aft_m - behind_m,
                balance.rear_aft_m - behind_m,
            ),
        ),
        ("As built".to_owned(), at(balance.present_aft_m)),
    ];
    if let (false, Some(shift)) = (balance.inside, balance.pack_shift_m) {
        let way = if shift < 0.0 { "Pack forward" } else { "Pack back" };
        lines.push((way.to_owned(), millimetres(shift.abs())));
    }
    lines
}

/// From where the balance is measured.
pub const BALANCE_FROM: &str = "Behind the wing’s leading edge at the root, pack in, ready to fly.";

/// What the flight times reckon with.
pub const SPEEDS_NOTE: &str = "Flight times keep a fifth of the pack.";

/// Speeds, glide and time.
pub fn speeds(card: &MaidenCard) -> Vec<(&'static str, String)> {
    let own = &card.speeds;
    let mut lines =
        vec![("Stall", speed(own.stall_m_s)), ("Approach, not below", speed(own.approach_m_s))];
    if let Some(glide) = own.best_glide {
        let ratio = plain(glide.ratio, 0);
        lines.push(("Best glide", format!("{}, {ratio} : 1", speed(glide.airspeed_m_s))));
    }
    lines.push(("Ordinary flight", speed(own.cruise_m_s)));
    if let Some(fastest) = own.max_m_s {
        lines.push(("Fastest level", speed(fastest)));
    }
    let units = card.power.iter().flat_map(|power| &power.units);
    // The pack that is empty first ends the flight.
    let least = |times: Vec<f64>| times.into_iter().reduce(f64::min);
    let cruise = least(units.clone().filter_map(|unit| unit.flight_time_cruise_s).collect());
    let full = least(units.filter_map(|unit| unit.flight_time_full_s).collect());
    if let Some(time) = cruise {
        lines.push(("Flight time", minutes(time)));
    }
    if let Some(time) = full {
        lines.push(("Flight time, full power", minutes(time)));
    }
    if let Some(power) = &card.power {
        lines.push(("Static thrust of weight", percent(power.thrust_over_weight)));
    }
    lines
}

/// A flight time, down to the half minute that is there for sure.
fn minutes(time_s: f64) -> String {
    let halves = (time_s / 30.0).floor() / 2.0;
    if halves < 1.0 { seconds(time_s) } else { format!("{} min", plain(halves, 1)) }
}

/// The trims, one line each.
pub fn trims(trims: &CardTrims, has_aileron: bool, powered: bool) -> Vec<(&'static str, String)> {
    let elevator = |angle_deg: f64| trim(angle_deg, trims.edges.elevator);
    let mut lines = vec![("Elevator", elevator(trims.elevator_deg))];
    if has_aileron {
        let right_one = trim(trims.aileron_deg, EdgeMotion::Down);
        lines.push(("Aileron, right one", right_one));
    }
    lines.push(("Rudder", trim(trims.rudder_deg, trims.edges.rudder)));
    if powered {
        lines.push(("Throttle to hold height", percent(trims.throttle)));
    }
    if let Some(more) = trims.elevator_with_power_deg {
        lines.push(("Elevator change, full power", elevator(more)));
    }
    lines
}

/// A throw on the drawing: its name with the high rate, and the low rate.
pub fn throw_in_place(throw: &sim_core::card::CardThrow) -> [String; 2] {
    let rate = |deg: f64, mm: f64| format!("{}° · {}", plain(deg, 0), millimetres(mm * 1e-3));
    [
        format!("{} {}", surface(throw.duty), rate(throw.high_deg, throw.high_mm)),
        format!("low {}", rate(throw.low_deg, throw.low_mm)),
    ]
}

/// The balance point on the drawing.
pub fn balance_in_place(balance: &CardBalance, behind_m: f64) -> String {
    format!("balance {}", millimetres(balance.first_flight_aft_m - behind_m))
}

/// A row of the table of throws.
pub fn throw_row(throw: &sim_core::card::CardThrow) -> [String; 6] {
    let rate = |deg: f64, mm: f64| format!("{}° = {}", plain(deg, 0), millimetres(mm * 1e-3));
    let share = |number: f64| format!("{} %", plain(number, 0));
    // Number and unit stay together where a narrow column breaks the line.
    let together = |cell: String| cell.replace(' ', "\u{a0}").replace("=\u{a0}", "= ");
    [
        surface(throw.duty).to_owned(),
        rate(throw.high_deg, throw.high_mm),
        rate(throw.low_deg, throw.low_mm),
        share(throw.low_percent),
        share(throw.expo_percent),
        share(throw.low_expo_percent),
    ]
    .map(together)
}

/// An interval of angles in degrees.
pub fn between_degrees((low, high): (f64, f64)) -> String {
    format!("{}–{}°", plain(low, 0), plain(high, 0))
}

/// Which way a control must go.
pub fn direction(check: &DirectionCheck) -> String {
    let stick = match check.stick {
        StickInput::Pull => "Elevator stick back",
        StickInput::RollRight => "Aileron stick right",
        StickInput::YawRight => "Rudder stick right",
    };
    let control = match check.control {
        ControlRole::Elevator => "elevator",
        ControlRole::Rudder => "rudder",
        ControlRole::Aileron | ControlRole::Flaperon => "aileron",
        ControlRole::Elevon => "elevon",
        ControlRole::Ruddervator => "tail surface",
        ControlRole::Flap => "flap",
    };
    if check.right == check.left {
        format!("{stick}: {control} trailing edge {}", edge(check.right))
    } else {
        format!("{stick}: right {control} {}, left {}", edge(check.right), edge(check.left))
    }
}

/// A step of the first flight: what to do, in the present tense of a checklist.
pub fn step(step: FlightStep, card: &MaidenCard) -> String {
    let stall = speed(card.speeds.stall_m_s);
    match step {
        FlightStep::CheckBalance => {
            "Balance it with the pack in; not inside the window, not flown.".to_owned()
        }
        FlightStep::CheckControls => {
            "Radio on, propeller off: directions and throws with the ruler, start on low rate."
                .to_owned()
        }
        FlightStep::PresetTrims => "Preset the trims.".to_owned(),
        FlightStep::CheckLink => "Range walk, failsafe stops the motor.".to_owned(),
        FlightStep::RunPower => {
            "Full throttle for ten seconds, model held: no shaking, nothing hot.".to_owned()
        }
        FlightStep::TakeOff => {
            "Into the wind, full power, wings level, gentle climb; high rate at hand.".to_owned()
        }
        FlightStep::ClimbHigh => "Climb straight to two mistakes’ height: 50 m or more.".to_owned(),
        FlightStep::TrimAtCruise => {
            format!(
                "Throttle back to about {}, trim until it flies hands off.",
                percent(card.trims.throttle)
            )
        }
        FlightStep::TryStall => {
            format!("Throttle off, slow down level to the stall, near {stall}: does it drop a wing?")
        }
        FlightStep::TryDive => {
            "Shallow dive for two seconds, hands off: it should pull out slowly by itself."
                .to_owned()
        }
        FlightStep::IfTailHeavy => {
            "Tail-heavy (it hunts, tightens the dive or rears up): keep the speed up, low rate, tiny pitch inputs, wide turns, no stall tests; land at once, fast and flat, then move weight forward."
                .to_owned()
        }
        FlightStep::Land => {
            format!(
                "Land with the pack half full: long approach, some power, not below {}.",
                speed(card.speeds.approach_m_s)
            )
        }
    }
}

/// A caution that this aeroplane calls for.
pub fn caution(caution: &Caution) -> String {
    match caution {
        Caution::TailHeavy { behind_m } => {
            format!("TAIL-HEAVY by {}: do not fly. Move weight forward.", millimetres(*behind_m))
        }
        Caution::WeightsInLine => "The weights all stand near the centreline: roll and its throws mean nothing until the wing’s own weight is on the list.".to_owned(),
        Caution::ShortWing => {
            "A short wing: how slowly it flies is known to a fifth at best. Land with speed.".to_owned()
        }
        Caution::NoseHeavy { ahead_m } => {
            format!(
                "Nose-heavy by {}: little elevator left for the landing.",
                millimetres(*ahead_m)
            )
        }
        Caution::NoWeathercock { motor_off_only } => {
            let when = if *motor_off_only { " with the motor off" } else { "" };
            format!("The nose does not follow the flight{when}: do not fly. Make the fin larger.")
        }
        Caution::Throws { duty, kind } => {
            let surface = surface(*duty);
            match kind {
                ConflictKind::AuthorityShort => {
                    format!("{surface}: less than a first flight may ask for.")
                }
                ConflictKind::LowRateTouchy => format!("{surface}: quick even on low rate."),
                ConflictKind::RateTooFine => {
                    format!("{surface}: too lively for any rate that can be set: do not fly.")
                }
                ConflictKind::HighRateTouchy | ConflictKind::HighRateStrong => {
                    format!("{surface}: touchy on high rate; only when needed.")
                }
            }
        }
        Caution::RunsOut(short) => shortfall(short),
        Caution::WeakThrust { thrust_over_weight } => format!(
            "Thrust is {} of the weight: weak for a hand launch.",
            percent(*thrust_over_weight)
        ),
        Caution::Power(finding) => power(finding),
        Caution::Grows { mode, doubles_s } => {
            let (name, technical) = mode_name(*mode);
            let doubles =
                doubles_s.map(|time| format!(", doubles in {}", seconds(time))).unwrap_or_default();
            format!("{name} ({technical}) grows by itself{doubles}.")
        }
        Caution::TrimWithPower { elevator_rad } => {
            let way = if *elevator_rad > 0.0 { "rears up" } else { "dives" };
            format!("Full power {way}: {} of elevator holds it.", degrees(elevator_rad.abs(), 0))
        }
        Caution::ServoTorque { duty, share, case } => format!(
            "{} servo: {} of its stall torque {}.",
            surface(*duty),
            percent(*share),
            load_case(*case)
        ),
        Caution::Pushrod { duty, share } => {
            format!(
                "{} pushrod: {} of its buckling load. Support it.",
                surface(*duty),
                percent(*share)
            )
        }
        Caution::Flutter { duty, play_rad } => format!(
            "{}: {} of play may start flutter. Take it out, or stay slow.",
            surface(*duty),
            degrees(*play_rad, 1)
        ),
    }
}

/// Where a linkage is loaded.
pub fn load_case(case: LoadCase) -> &'static str {
    match case {
        LoadCase::FastFlight => "in fast flight",
        LoadCase::Propwash => "at full power in slow flight",
    }
}

fn power(finding: &PowerFinding) -> String {
    let amperes = |current: f64| format!("{} A", plain(current, 0));
    match finding {
        PowerFinding::ControllerCurrent { current_a, limit_a, .. } => format!(
            "{} through a {} controller at full throttle: seconds only.",
            amperes(*current_a),
            amperes(*limit_a)
        ),
        PowerFinding::PackCurrent { current_a, limit_a, .. } => format!(
            "{} from a pack rated {}: it gets hot and sags.",
            amperes(*current_a),
            amperes(*limit_a)
        ),
        PowerFinding::CellSag { cell_voltage_v, .. } => {
            format!("Full throttle pulls a cell down to {} V.", plain(*cell_voltage_v, 1))
        }
    }
}

/// What the prediction is unsure of where no samples were run.
pub const UNSURE: &str = "Expect balance and steadiness within a tenth, dihedral and yaw effects and the throws within a fifth, the stall of a foam wing less well. Weigh, and measure the balance point, rather than trust sums.";

/// The quantities that were sampled, in a row.
pub fn sampled(spreads: &[String]) -> String {
    format!("Nine times in ten: {}. ", spreads.join(", "))
}

/// What is said of one quantity that was sampled; nothing for those that the
/// card gives elsewhere or a pilot does not know. `behind_m` is where the
/// leading edge at the root lies.
pub fn spread(spread: &QuantitySpread, behind_m: f64) -> Option<String> {
    let interval = &spread.interval;
    let length = || super::from_to_millimetres(interval.low - behind_m, interval.high - behind_m);
    let (name, range) = match spread.quantity {
        Quantity::BalancePoint => ("balance point", length()),
        Quantity::WindowFront => ("front of the window", length()),
        Quantity::WindowRear => ("rear of the window", length()),
        Quantity::StallSpeed => {
            ("stall", format!("{} to {}", plain(interval.low, 1), speed(interval.high)))
        }
        _ => return None,
    };
    Some(format!("{name} {range}"))
}
