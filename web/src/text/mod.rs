//! Every sentence and word that the page shows, and how errors are put to the
//! builder. No other file of the page holds prose.

pub mod answer;
pub mod card;
pub mod caution;
pub mod debrief;
pub mod depth;
pub mod flight;
pub mod glossary;
pub mod kind;
pub mod label;
pub mod lessons;
pub mod linkage;
pub mod news;
pub mod power;
pub mod present;
pub mod question;
pub mod shelf;
pub mod spatial;
pub mod sureness;
pub mod throws;
pub mod tour;
pub mod whatif;
pub mod word;

use sim_core::aircraft::{Aircraft, Finding, MassStatement};

use crate::plot::figure::Figure;
use crate::state::file::FileError;
use crate::state::form::TextFault;
use crate::state::measure::{AREA, LENGTH, MASS, WING_LOADING, plain};
use crate::state::units::{self, Units};

/// Name of the tool.
pub const TOOL: &str = "Fledge";
/// The job in a line.
pub const TAGLINE: &str = "From the bench to the throws for a first flight";

/// How many measurements are still to be taken.
pub fn assumed(count: usize) -> String {
    match count {
        1 => "One value is usual, not measured yet.".to_owned(),
        _ => format!("{count} values are usual, not measured yet."),
    }
}

/// A weight on the drawing, with its place.
pub fn weight_mark(name: &str, aft_m: f64, up_m: f64) -> String {
    format!("{name}: {} behind the datum, {} above it", millimetres(aft_m), millimetres(up_m))
}

/// What is wrong with a number as typed.
pub fn text_fault(fault: TextFault, unit: &str) -> String {
    match fault {
        TextFault::Empty => "A number is needed here.".to_owned(),
        TextFault::NotANumber => "This is not a number. Write it as 12 or 12.5.".to_owned(),
        TextFault::OutOfRange { shown, min, max } => {
            format!("{} is outside {} to {} {unit}.", plain(shown, 3), plain(min, 3), plain(max, 3))
                .replace(" .", ".")
        }
    }
}

/// What a file calls its fields and its unit, and what they are called here.
const FILE_WORDS: [(&str, &str); 3] =
    [(" deg", "°"), ("throw_max_deg", "what the hinge allows"), ("high_rate_deg", "the high rate")];

/// A finding of the core in the words of the page.
pub fn message(message: &str) -> String {
    FILE_WORDS.iter().fold(message.to_owned(), |said, (file, page)| said.replace(file, page))
}

/// A finding beside a slider, which may move another value than that at fault.
pub fn beside_slider(place: &str, finding: &Finding) -> String {
    format!("{place} {}. {}", message(&finding.message), news::NO_NEW_ANSWERS)
}

/// A finding of the core, put beside its field.
pub fn finding(message: &str) -> String {
    let mut sentence = self::message(message);
    if let Some(first) = sentence.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    if !sentence.ends_with('.') {
        sentence.push('.');
    }
    sentence
}

/// How many faults the bench sheet has.
pub fn fault_count(count: usize) -> String {
    match count {
        1 => "One measurement needs a look before this can be computed again.".to_owned(),
        _ => format!("{count} measurements need a look before this can be computed again."),
    }
}

/// Where the measurements are sound but no flight comes of them.
pub const OBSTACLE: &str =
    "These measurements give no steady flight. What you see is the last answer there was.";

/// A file that is not a design.
pub fn file_not_read(error: &FileError) -> String {
    format!(
        "The file was not opened, and your design is as it was. {}",
        finding(&error.to_string())
    )
}

/// A link that carries no sound design.
pub fn link_not_read(error: &FileError) -> String {
    format!("The link could not be read. {}", finding(&error.to_string()))
}

/// A design kept on the device that is no longer understood.
pub fn kept_not_read(error: &FileError) -> String {
    format!(
        "The design kept on this device could not be read; its text is put aside, not lost. {}",
        finding(&error.to_string())
    )
}

/// The name of a report's file.
pub fn report_name(aircraft: &str, ending: &str) -> String {
    let name = file_name(aircraft);
    format!("{}-report.{ending}", name.trim_end_matches(".json"))
}

/// The name of an aeroplane's file.
pub fn file_name(aircraft: &str) -> String {
    let plain: String = aircraft
        .chars()
        .map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' })
        .collect();
    let plain = plain.trim_matches('-');
    format!("{}.json", if plain.is_empty() { "aeroplane" } else { plain })
}

/// Slides a part along the fuselage.
pub fn slide(part: &str) -> String {
    format!("Slide “{part}”, behind the datum")
}

/// What a square of the drawing's paper stands for.
pub fn square(edge_m: f64) -> String {
    format!("One square is {}", millimetres(edge_m))
}

/// A share of a whole.
pub fn percent(share: f64) -> String {
    format!("{}\u{a0}%", plain(share * 100.0, 0))
}

/// A range of lengths.
pub fn from_to_millimetres(from_m: f64, to_m: f64) -> String {
    // Number and unit stay together where the line breaks.
    let to = millimetres(to_m).replace(' ', "\u{a0}");
    format!("{} to {to}", plain(LENGTH.shown(from_m), length_decimals()))
}

/// A mass, in grams or ounces.
pub fn grams(mass_kg: f64) -> String {
    MASS.in_words(mass_kg, 0, 2)
}

/// A length, in millimetres or inches.
pub fn millimetres(length_m: f64) -> String {
    LENGTH.in_words(length_m, 0, 2)
}

fn length_decimals() -> usize {
    if units::in_force() == Units::Inches { 2 } else { 0 }
}

/// An area of a surface.
pub fn area(area_m2: f64) -> String {
    AREA.in_words(area_m2, 1, 0)
}

/// Weight over wing area.
pub fn wing_loading(loading_kg_m2: f64) -> String {
    WING_LOADING.in_words(loading_kg_m2, 1, 1)
}

/// What the ruler of the balance counts in.
pub fn ruler_unit() -> String {
    format!("{} {}", LENGTH.unit(), word::BEHIND_LEADING_EDGE)
}

/// Where a finding lies, as a builder would say it: by the names of the parts
/// where they have one, else counted from one; the unit dropped.
pub fn place_in_words(aircraft: &Aircraft, path: &str) -> String {
    let mut surface = 0;
    let words: Vec<String> = path
        .split('.')
        .map(|step| {
            let (name, index) = match step.split_once('[') {
                Some((name, index)) => (name, index.trim_end_matches(']').parse::<usize>().ok()),
                None => (step, None),
            };
            let i = index.unwrap_or_default();
            let own = match (name, &aircraft.mass) {
                ("surfaces", _) => {
                    surface = i;
                    aircraft.surfaces.get(i).map(|own| &own.name)
                }
                ("controls", _) => {
                    aircraft.surfaces.get(surface).and_then(|s| s.controls.get(i)).map(|c| &c.name)
                }
                ("bodies", _) => aircraft.bodies.get(i).map(|own| &own.name),
                ("propulsion", _) => aircraft.propulsion.get(i).map(|own| &own.name),
                ("parts", MassStatement::Parts(parts)) => parts.get(i).map(|own| &own.name),
                _ => None,
            };
            if let (Some(own), Some(_)) = (own.filter(|own| !own.is_empty()), index) {
                return format!("“{own}”");
            }
            let mut name = name.to_owned();
            for unit in ["_kg_m2", "_rpm_per_v", "_m_s", "_deg", "_kg", "_ohm", "_ah", "_m", "_n"] {
                if let Some(bare) = name.strip_suffix(unit) {
                    name.truncate(bare.len());
                    break;
                }
            }
            let name = name.replace('_', " ").replace("panels", "panel");
            if index.is_some() { format!("{name} {}", i + 1) } else { name }
        })
        .collect();
    words.join(", ")
}

/// An angle given in rad.
pub fn degrees(angle_rad: f64, decimals: usize) -> String {
    format!("{}°", plain(angle_rad.to_degrees(), decimals).replace('-', "\u{2212}"))
}

/// What the curves of a figure come to at a place across.
pub fn reading(figure: &Figure, at: f64, values: &[(String, f64)]) -> String {
    let decimals = figure.upwards.decimals() + 1;
    let across = format!("{:.*}", figure.across.decimals() + 1, at);
    // Figures under each other share the lowest one's lettering.
    let unit = if figure.across_unit.is_empty() { "s" } else { &figure.across_unit };
    let values = values.iter().map(|(name, value)| format!("{name} {value:.decimals$}"));
    let all: Vec<String> = std::iter::once(format!("{across} {unit}")).chain(values).collect();
    all.join(", ").replace('-', "\u{2212}")
}

/// What reads a figure off.
pub fn read_off(title: &str) -> String {
    format!("{title}: read off with the arrow keys")
}

/// A time.
pub fn seconds(time_s: f64) -> String {
    let decimals = match time_s {
        t if t < 0.0995 => 2,
        t if t < 9.95 => 1,
        _ => 0,
    };
    format!("{time_s:.decimals$} s")
}
