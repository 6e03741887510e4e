//! Every sentence and word that the page shows, and how errors are put to the
//! builder. No other file of the page holds prose.

pub mod answer;
pub mod caution;
pub mod flight;
pub mod glossary;
pub mod kind;
pub mod label;
pub mod lessons;
pub mod news;
pub mod question;
pub mod shelf;
pub mod throws;
pub mod tour;
pub mod word;

use crate::state::file::FileError;
use crate::state::form::TextFault;
use crate::state::measure::plain;

/// Name of the tool.
pub const TOOL: &str = "Fledge";
/// The job in a line.
pub const TAGLINE: &str = "From the bench to the throws for a first flight";

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

/// A finding of the core, put beside its field.
pub fn finding(message: &str) -> String {
    let mut sentence = message.to_owned();
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
    format!("one square is {}", millimetres(edge_m))
}

/// A share of a whole.
pub fn percent(share: f64) -> String {
    format!("{} %", plain(share * 100.0, 0))
}

/// A range of lengths.
pub fn from_to_millimetres(from_m: f64, to_m: f64) -> String {
    format!("{} to {}", plain(from_m * 1e3, 0), millimetres(to_m))
}

/// A mass.
pub fn grams(mass_kg: f64) -> String {
    format!("{} g", plain(mass_kg * 1e3, 0))
}

/// A length.
pub fn millimetres(length_m: f64) -> String {
    format!("{} mm", plain(length_m * 1e3, 0).replace('-', "\u{2212}"))
}

/// Where a finding lies, as a builder would say it: the parts of the path
/// counted from one, the unit dropped.
pub fn place_in_words(path: &str) -> String {
    let words: Vec<String> = path
        .split('.')
        .map(|step| {
            let (name, index) = match step.split_once('[') {
                Some((name, index)) => (name, index.trim_end_matches(']').parse::<usize>().ok()),
                None => (step, None),
            };
            let mut name = name.to_owned();
            for unit in ["_kg_m2", "_rpm_per_v", "_m_s", "_deg", "_kg", "_ohm", "_ah", "_m", "_n"] {
                if let Some(bare) = name.strip_suffix(unit) {
                    name.truncate(bare.len());
                    break;
                }
            }
            let name = name.replace('_', " ");
            match index {
                Some(index) => format!("{name} {}", index + 1),
                None => name,
            }
        })
        .collect();
    words.join(", ")
}

/// An angle given in rad.
pub fn degrees(angle_rad: f64, decimals: usize) -> String {
    format!("{}°", plain(angle_rad.to_degrees(), decimals).replace('-', "\u{2212}"))
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
