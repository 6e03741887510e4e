//! The design as text: for files, for the device's memory and for links.
//!
//! A file is a bare aircraft, as the report reads it, or an aircraft with the
//! question asked about it. A link carries the same text, deflated, in the
//! part of the address that no browser ever sends to a server.

use std::io::{Read, Write};

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use flate2::Compression;
use flate2::read::DeflateDecoder;
use flate2::write::DeflateEncoder;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sim_core::aircraft::{Aircraft, ReadError, read_aircraft};
use sim_core::assess::Question;

use super::Design;

/// Longest text that is unpacked from a link, bytes: what a file may have.
const TEXT_LENGTH_MAX: u64 = 1 << 20;

/// What precedes the packed design in a link's fragment.
const LINK_KEY: &str = "design=";

/// Why a text or a link holds no design.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FileError {
    /// The text is not an aircraft.
    #[error(transparent)]
    Aircraft(#[from] ReadError),
    /// The question is not understood.
    #[error("question: {0}")]
    Question(String),
    /// The link is damaged or cut short.
    #[error("link: is damaged or cut short")]
    Link,
}

#[derive(Serialize)]
struct Written<'a> {
    aircraft: &'a Aircraft,
    question: &'a Question,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Parts {
    aircraft: Value,
    #[serde(default)]
    question: Value,
}

/// The design as text.
pub fn write(design: &Design) -> String {
    let written = Written { aircraft: &design.aircraft, question: &design.question };
    // Plain structures with text keys always become JSON.
    serde_json::to_string_pretty(&written).unwrap_or_default()
}

/// The design of a text.
///
/// # Errors
/// [`FileError`] with the field and what is wrong with it.
pub fn read(text: &str) -> Result<Design, FileError> {
    let Ok(parts) = serde_json::from_str::<Parts>(text) else {
        return Ok(Design::from(read_aircraft(text)?));
    };
    let aircraft = read_aircraft(&parts.aircraft.to_string())?;
    let question = match parts.question {
        Value::Null => Question::default(),
        given => serde_json::from_value(given).map_err(|e| FileError::Question(e.to_string()))?,
    };
    Ok(Design { aircraft, question })
}

/// The fragment of a link that carries the design, without the `#`.
pub fn to_fragment(design: &Design) -> String {
    let written = Written { aircraft: &design.aircraft, question: &design.question };
    let text = serde_json::to_string(&written).unwrap_or_default();
    let mut packer = DeflateEncoder::new(Vec::new(), Compression::best());
    // Writing to memory cannot fail.
    let packed = packer.write_all(text.as_bytes()).and_then(|()| packer.finish());
    format!("{LINK_KEY}{}", URL_SAFE_NO_PAD.encode(packed.unwrap_or_default()))
}

/// The design that a link's fragment carries; nothing where it carries none.
pub fn from_fragment(fragment: &str) -> Option<Result<Design, FileError>> {
    let packed = fragment.trim_start_matches('#').strip_prefix(LINK_KEY)?;
    Some(unpack(packed).ok_or(FileError::Link).and_then(|text| read(&text)))
}

fn unpack(packed: &str) -> Option<String> {
    let bytes = URL_SAFE_NO_PAD.decode(packed.trim_end_matches('=')).ok()?;
    let mut text = String::new();
    // A few bytes may stand for gigabytes; no more is read than a file may have.
    DeflateDecoder::new(&bytes[..]).take(TEXT_LENGTH_MAX).read_to_string(&mut text).ok()?;
    Some(text)
}

#[cfg(test)]
mod tests {
    use sim_core::handling::pilot::Skill;
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::examples;

    fn designs() -> Vec<Design> {
        let mut designs: Vec<Design> = examples::all().into_iter().map(Design::from).collect();
        for design in &mut designs {
            design.question.pilot.skill = Skill::Beginner;
            design.question.altitude_m = 450.0;
        }
        designs
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_design_survives_file_and_link() {
        for design in designs() {
            assert_eq!(read(&write(&design)), Ok(design.clone()));
            let fragment = to_fragment(&design);
            assert_eq!(from_fragment(&fragment), Some(Ok(design.clone())));
            assert_eq!(from_fragment(&format!("#{fragment}")), Some(Ok(design)));
            assert!(fragment.len() < 4000, "a link of {} characters", fragment.len());
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_bare_aircraft_is_a_file_too() {
        for design in designs() {
            let text = serde_json::to_string(&design.aircraft).unwrap();
            assert_eq!(read(&text), Ok(Design::from(design.aircraft)));
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn damage_is_told_and_nothing_stops() {
        let fragment = to_fragment(&designs().remove(0));
        for broken in ["design=", "design=%%%", "design=AAAA", &fragment[..fragment.len() / 2]] {
            assert!(matches!(from_fragment(broken), Some(Err(_))), "{broken}");
        }
        assert_eq!(from_fragment("bench"), None);
        assert_eq!(from_fragment(""), None);
        for text in ["", "{}", "[]", "null", r#"{"aircraft": {}}"#, r#"{"aircraft": 1e999}"#] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    /// Links spoilt byte by byte, cut anywhere, or packed to burst: an answer,
    /// and at once.
    #[wasm_bindgen_test(unsupported = test)]
    fn hostile_links_are_answered() {
        let design = designs().remove(1);
        let fragment = to_fragment(&design);
        for place in LINK_KEY.len()..fragment.len() {
            let mut spoilt = fragment.clone().into_bytes();
            spoilt[place] = b"A_-z9%"[place % 6];
            // A change may hit a letter of a name: then it is another design.
            let _ = from_fragment(&String::from_utf8(spoilt).unwrap()).unwrap();
            let cut = from_fragment(&fragment[..place]).unwrap();
            assert!(cut.is_err() || cut == Ok(design.clone()), "cut at {place}");
        }
        // Some kilobytes that stand for sixteen megabytes.
        let mut packer = DeflateEncoder::new(Vec::new(), Compression::best());
        for _ in 0..1024 {
            packer.write_all(&[b'['; 16 * 1024]).unwrap();
        }
        let packed = URL_SAFE_NO_PAD.encode(packer.finish().unwrap());
        assert!(packed.len() < 1 << 16);
        assert!(from_fragment(&format!("{LINK_KEY}{packed}")).unwrap().is_err());
    }
}
