//! Reading an aircraft from text, and the schema of that text.

use serde::de::DeserializeOwned;

use super::Aircraft;

/// Why a text is not an aircraft.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadError {
    /// The text is too long to be an aircraft.
    #[error("file: is {bytes} bytes long, allowed is up to {limit} bytes")]
    TooLong {
        /// Length of the text.
        bytes: usize,
        /// Greatest length.
        limit: usize,
    },
    /// The text is not JSON, or a field has the wrong type or name.
    #[error("{field}: {message} (line {line}, column {column})")]
    NotUnderstood {
        /// Path of the field where reading stopped; `file` where there is none.
        field: String,
        /// What was found and what is allowed.
        message: String,
        /// Line of the text, from 1.
        line: usize,
        /// Column of the text, from 1.
        column: usize,
    },
}

impl ReadError {
    /// Line and column of the text where reading stopped.
    pub fn place(&self) -> (usize, usize) {
        match self {
            ReadError::TooLong { .. } => (0, 0),
            ReadError::NotUnderstood { line, column, .. } => (*line, *column),
        }
    }
}

/// Longest text that is read, in bytes. An aircraft takes some 10 kB.
pub const TEXT_LENGTH_MAX: usize = 1 << 20;

/// Reads an aircraft from JSON text; it is not yet checked.
///
/// # Errors
/// [`ReadError`] with the field and the place in the text.
// Compiled into who calls it, where the page asks for small code.
#[inline]
pub fn read_aircraft(text: &str) -> Result<Aircraft, ReadError> {
    read_json(text)
}

/// Reads what a file holds from JSON text, with or without the byte-order mark
/// that some editors put before it.
///
/// # Errors
/// [`ReadError`] with the field and the place in the text.
#[inline]
pub fn read_json<T: DeserializeOwned>(text: &str) -> Result<T, ReadError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > TEXT_LENGTH_MAX {
        return Err(ReadError::TooLong { bytes: text.len(), limit: TEXT_LENGTH_MAX });
    }
    serde_json::from_str(text).map_err(|error| not_understood(text, &error))
}

#[inline]
fn not_understood(text: &str, error: &serde_json::Error) -> ReadError {
    let (line, column) = (error.line(), error.column());
    let before: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    let end = before + column;
    ReadError::NotUnderstood {
        field: path_at(text, end),
        message: message_at(text, end, &error.to_string()),
        line,
        column,
    }
}

/// What the reader says of a place of the text, as our own messages put it.
#[inline]
fn message_at(text: &str, end: usize, said: &str) -> String {
    // It ends with the place in the text, which we print ourselves.
    let said = said.rfind(" at line ").map_or(said, |place| &said[..place]);
    let word = word_at(text, end);
    match said {
        "number out of range" => {
            format!("is {word}, allowed is a number of a size up to {:.1e}", f64::MAX)
        }
        "expected value" if !word.is_empty() => {
            format!(
                "is {word}, allowed is a number, a word in quotation marks, a list or an object"
            )
        }
        _ => {
            let found =
                said.strip_prefix("invalid type: ").or(said.strip_prefix("invalid value: "));
            match found.and_then(|found| found.split_once(", expected ")) {
                Some((found, wanted)) => format!("is {found}, allowed is {}", kind_of(wanted)),
                None => said.to_owned(),
            }
        }
    }
}

/// The word of the text that holds the byte before `end`, or its beginning.
#[inline]
fn word_at(text: &str, end: usize) -> String {
    let is_part = |c: char| !c.is_whitespace() && !"{}[],:\"".contains(c);
    let before = text.get(..end).unwrap_or_default();
    let start = before.trim_end_matches(is_part).len();
    // Nobody reads more of a number than this.
    text[start..].chars().take_while(|c| is_part(*c)).take(24).collect()
}

/// What the reader wants, without the names that it has in the code.
#[inline]
fn kind_of(wanted: &str) -> &str {
    match wanted {
        "f64" => "a number",
        "u8" => "a small whole number, without a sign",
        "u32" | "usize" => "a whole number, without a sign",
        _ if wanted.starts_with("struct ") => "an object in braces",
        _ => wanted,
    }
}

/// Path of the field that the reader was in when it came to a place of the text,
/// such as `surfaces[0].panels[1].span_m`; `file` outside of all fields.
///
/// A crate that follows the path while reading wraps every type that is read:
/// 35 kB of the page's download for a message that is rarely needed.
#[inline]
fn path_at(text: &str, end: usize) -> String {
    let mut bytes = text.bytes().take(end);
    let mut path: Vec<Step> = Vec::new();
    let mut key_follows = false;
    while let Some(byte) = bytes.next() {
        match byte {
            b'{' => path.push(Step::Key(Vec::new())),
            b'[' => path.push(Step::Index(0)),
            b'}' | b']' => {
                path.pop();
            }
            b',' => {
                if let Some(Step::Index(index)) = path.last_mut() {
                    *index += 1;
                }
            }
            b'"' => {
                let word = rest_of_word(&mut bytes);
                if let (true, Some(Step::Key(key))) = (key_follows, path.last_mut()) {
                    *key = word;
                }
            }
            _ => {}
        }
        if !byte.is_ascii_whitespace() {
            key_follows = matches!(byte, b'{' | b',') && matches!(path.last(), Some(Step::Key(_)));
        }
    }
    let mut words = String::new();
    for step in &path {
        match step {
            Step::Index(index) => words.push_str(&format!("[{index}]")),
            Step::Key(key) if key.is_empty() => {}
            Step::Key(key) => {
                if !words.is_empty() {
                    words.push('.');
                }
                words.push_str(&String::from_utf8_lossy(key));
            }
        }
    }
    if words.is_empty() { "file".to_owned() } else { words }
}

/// One step of a path into the text.
enum Step {
    Key(Vec<u8>),
    Index(usize),
}

/// The bytes up to the quotation mark that ends a word.
fn rest_of_word(bytes: &mut impl Iterator<Item = u8>) -> Vec<u8> {
    let mut word = Vec::new();
    while let Some(byte) = bytes.next() {
        match byte {
            b'"' => break,
            b'\\' => word.extend(bytes.next()),
            _ => word.push(byte),
        }
    }
    word
}

/// The JSON Schema of the aircraft file.
pub fn schema() -> serde_json::Value {
    schemars::schema_for!(Aircraft).to_value()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field_of(text: &str) -> String {
        match read_aircraft(text) {
            Err(ReadError::NotUnderstood { field, .. }) => field,
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn a_fault_names_the_field_it_stands_in() {
        for (text, field) in [
            ("", "file"),
            ("[1", "[0]"),
            ("{", "file"),
            (r#"{ "format_version": "one" }"#, "format_version"),
            (
                "{\n \"format_version\": 1, \"surfaces\": [\n { \"name\": \"a, \\\"b\", \"role\": 7 } ] }",
                "surfaces[0].role",
            ),
            (
                r#"{ "surfaces": [{ "panels": [{ "span_m": 1 }, { "span_m": [] }] }] }"#,
                "surfaces[0].panels[0]",
            ),
        ] {
            assert_eq!(field_of(text), field, "{text}");
        }
    }

    fn message_of(text: &str) -> String {
        read_aircraft(text).expect_err(text).to_string()
    }

    #[test]
    fn a_fault_says_what_stands_there_and_what_may() {
        let with_span = |span: &str| {
            message_of(&format!(
                r#"{{"surfaces": [{{"panels": [{{"span_m": {span}, "x": 1}}]}}]}}"#
            ))
        };
        for (given, shown, allowed) in [
            ("1e999", "1e999", "a number of a size up to 1.8e308"),
            ("-1e999", "-1e999", "a number of a size up to 1.8e308"),
            ("NaN", "NaN", "a number, a word"),
            ("-Infinity", "-Infinity", ""),
            ("\"600 mm\"", "string \"600 mm\"", "a number"),
            ("null", "null", "a number"),
        ] {
            let said = with_span(given);
            let start = format!("surfaces[0].panels[0].span_m: is {shown}, allowed is {allowed}");
            // Only a sign tells the reader that a number follows.
            let invalid = "surfaces[0].panels[0].span_m: invalid number";
            assert!(
                said.starts_with(&start) || given == "-Infinity" && said.starts_with(invalid),
                "{said}"
            );
            assert_eq!(said.matches("(line 1, column ").count(), 1, "{said}");
        }
        let long = with_span(&"9".repeat(500));
        assert!(long.len() < 200, "{long}");
        assert_eq!(
            message_of("é"),
            "file: is é, allowed is a number, a word in quotation marks, a list or an object (line 1, column 1)"
        );
    }

    #[test]
    fn a_byte_order_mark_is_no_part_of_the_text() {
        for example in crate::aircraft::EXAMPLES {
            let marked = format!("\u{feff}{}", example.text);
            assert_eq!(read_aircraft(&marked), read_aircraft(example.text));
            assert!(read_aircraft(&marked).is_ok());
        }
    }

    #[test]
    fn a_text_that_is_too_long_names_the_file_once() {
        let said = message_of(&" ".repeat(TEXT_LENGTH_MAX + 1));
        assert_eq!(said, "file: is 1048577 bytes long, allowed is up to 1048576 bytes");
    }
}
