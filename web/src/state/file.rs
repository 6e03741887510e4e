//! The design as text: for files, for the device's memory and for links.
//!
//! A file is a bare aircraft, as the report reads it, or an aircraft with the
//! question asked about it. A link carries the same text, deflated, in the
//! part of the address that no browser ever sends to a server.

use leptos::prelude::window;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sim_core::aircraft::{Aircraft, ReadError, read_aircraft, read_json};
use sim_core::assess::Question;

use super::{Design, deflate};

/// Longest text that a link may hold, bytes: what a file may have.
const TEXT_LENGTH_MAX: usize = 1 << 20;
/// Longest packed text that is unpacked at all, bytes, since a few may stand for
/// gigabytes. A design takes some two thousand.
const PACKED_LENGTH_MAX: usize = 1 << 16;

/// What precedes the packed design in a link's fragment.
const LINK_KEY: &str = "design=";

/// Why a text or a link holds no design.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FileError {
    /// The text is not an aircraft.
    #[error(transparent)]
    Aircraft(#[from] ReadError),
    /// The link is damaged or cut short.
    #[error("it is damaged or cut short")]
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
    aircraft: Aircraft,
    #[serde(default)]
    question: Option<Question>,
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
    let whole = match read_json::<Parts>(text) {
        Ok(Parts { aircraft, question }) => {
            return Ok(Design { aircraft, question: question.unwrap_or_default() });
        }
        Err(error) => error,
    };
    // What was read as the right one of the two got further.
    let further = |bare: ReadError| if whole.place() > bare.place() { whole } else { bare };
    Ok(Design::from(read_aircraft(text).map_err(further)?))
}

/// The fragment of a link that carries the design, without the `#`.
pub async fn to_fragment(design: &Design) -> String {
    // Without its blanks. Written for people alone, every structure of the file
    // is compiled for one writer, not for two.
    let text = serde_json::from_str::<Value>(&write(design)).unwrap_or_default().to_string();
    let packed = deflate::pack(text.as_bytes()).await;
    format!("{LINK_KEY}{}", encode(&packed.unwrap_or_default()))
}

/// Base 64 in letters that need no escape in a link, without padding (RFC 4648).
fn encode(bytes: &[u8]) -> String {
    // The browser takes bytes as the first 256 characters; none other occurs.
    let characters: String = bytes.iter().copied().map(char::from).collect();
    let letters = window().btoa(&characters).unwrap_or_default();
    letters.trim_end_matches('=').replace('+', "-").replace('/', "_")
}

fn decode(letters: &str) -> Option<Vec<u8>> {
    let letters = letters.trim_end_matches('=').replace('-', "+").replace('_', "/");
    let characters = window().atob(&letters).ok()?;
    characters.chars().map(|character| u8::try_from(character).ok()).collect()
}

/// The design that a link's fragment carries; nothing where it carries none.
pub async fn from_fragment(fragment: &str) -> Option<Result<Design, FileError>> {
    let packed = fragment.trim_start_matches('#').strip_prefix(LINK_KEY)?;
    Some(unpack(packed).await.ok_or(FileError::Link).and_then(|text| read(&text)))
}

async fn unpack(packed: &str) -> Option<String> {
    let bytes = decode(packed)?;
    if bytes.len() > PACKED_LENGTH_MAX {
        return None;
    }
    let text = String::from_utf8(deflate::unpack(&bytes).await?).ok()?;
    (text.len() <= TEXT_LENGTH_MAX).then_some(text)
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
    fn a_design_survives_a_file() {
        for design in designs() {
            assert_eq!(read(&write(&design)), Ok(design));
        }
    }

    #[wasm_bindgen_test]
    async fn a_design_survives_a_link() {
        for design in designs() {
            let fragment = to_fragment(&design).await;
            assert_eq!(from_fragment(&fragment).await, Some(Ok(design.clone())));
            assert_eq!(from_fragment(&format!("#{fragment}")).await, Some(Ok(design)));
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
    fn a_damaged_file_is_told_and_nothing_stops() {
        for text in ["", "{}", "[]", "null", r#"{"aircraft": {}}"#, r#"{"aircraft": 1e999}"#] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    /// A fault stands in a file as the page writes it, and in a bare aircraft.
    #[wasm_bindgen_test(unsupported = test)]
    fn a_fault_of_a_file_names_its_field() {
        let design = designs().remove(0);
        let bare = serde_json::to_string(&design.aircraft).unwrap();
        for (text, at) in [(write(&design), "aircraft."), (bare, "")] {
            let (before, rest) = text.split_once("\"span_m\":").unwrap();
            let (_, after) = rest.split_once(',').unwrap();
            for (given, shown) in [("1e999", "1e999"), ("\"long\"", "string \"long\"")] {
                let error = read(&format!("{before}\"span_m\":{given},{after}")).unwrap_err();
                let start =
                    format!("{at}surfaces[0].panels[0].span_m: is {shown}, allowed is a number");
                assert!(error.to_string().starts_with(&start), "{error}");
            }
        }
        let text = write(&design).replacen("\"altitude_m\":", "\"altitude_m\": \"low\", \"x\":", 1);
        let error = read(&text).unwrap_err().to_string();
        assert!(error.starts_with("question.altitude_m: is string \"low\""), "{error}");
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_byte_order_mark_is_no_part_of_a_file() {
        let design = designs().remove(0);
        assert_eq!(read(&format!("\u{feff}{}", write(&design))), Ok(design));
    }

    #[wasm_bindgen_test]
    async fn a_damaged_link_is_told_and_nothing_stops() {
        let fragment = to_fragment(&designs().remove(0)).await;
        for broken in ["design=", "design=%%%", "design=AAAA", &fragment[..fragment.len() / 2]] {
            assert!(matches!(from_fragment(broken).await, Some(Err(_))), "{broken}");
        }
        assert_eq!(from_fragment("bench").await, None);
        assert_eq!(from_fragment("").await, None);
    }

    /// Sixty million blanks take sixty thousand bytes.
    #[wasm_bindgen_test]
    async fn a_link_that_would_fill_the_memory_is_refused() {
        for length in [TEXT_LENGTH_MAX + 1, 1200 * PACKED_LENGTH_MAX] {
            let packed = deflate::pack(&vec![b' '; length]).await.unwrap();
            let fragment = format!("{LINK_KEY}{}", encode(&packed));
            assert_eq!(from_fragment(&fragment).await, Some(Err(FileError::Link)));
        }
    }

    /// Links spoilt byte by byte or cut anywhere: an answer, whatever it is.
    #[wasm_bindgen_test]
    async fn hostile_links_are_answered() {
        let design = designs().remove(1);
        let fragment = to_fragment(&design).await;
        for place in LINK_KEY.len()..fragment.len() {
            let mut spoilt = fragment.clone().into_bytes();
            spoilt[place] = b"A_-z9%"[place % 6];
            // A change may hit a letter of a name: then it is another design.
            assert!(from_fragment(&String::from_utf8(spoilt).unwrap()).await.is_some());
            let cut = from_fragment(&fragment[..place]).await.unwrap();
            assert!(cut.is_err() || cut == Ok(design.clone()), "cut at {place}");
        }
    }
}
