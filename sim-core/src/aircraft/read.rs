//! Reading an aircraft from text, and the schema of that text.

use super::{Aircraft, Finding};

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

/// Longest text that is read, in bytes. An aircraft takes some 10 kB.
pub const TEXT_LENGTH_MAX: usize = 1 << 20;

/// Reads an aircraft from JSON text; it is not yet checked.
///
/// # Errors
/// [`ReadError`] with the field and the place in the text.
// Compiled into who calls it, where the page asks for small code.
#[inline]
pub fn read_aircraft(text: &str) -> Result<Aircraft, ReadError> {
    if text.len() > TEXT_LENGTH_MAX {
        return Err(ReadError::TooLong { bytes: text.len(), limit: TEXT_LENGTH_MAX });
    }
    serde_json::from_str(text).map_err(|error| ReadError::NotUnderstood {
        field: path_at(text, error.line(), error.column()),
        message: without_place(&error),
        line: error.line(),
        column: error.column(),
    })
}

/// Path of the field that the reader was in when it came to a place of the text,
/// such as `surfaces[0].panels[1].span_m`; `file` outside of all fields.
///
/// A crate that follows the path while reading wraps every type that is read:
/// 35 kB of the page's download for a message that is rarely needed.
#[inline]
fn path_at(text: &str, line: usize, column: usize) -> String {
    let before: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    let mut bytes = text.bytes().take(before + column);
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

impl From<ReadError> for Finding {
    fn from(error: ReadError) -> Self {
        match &error {
            ReadError::TooLong { .. } => Finding::new("file", error.to_string()),
            ReadError::NotUnderstood { field, message, line, column } => {
                Finding::new(field.clone(), format!("{message} (line {line}, column {column})"))
            }
        }
    }
}

/// What is wrong, without the place in the text: serde_json ends its message
/// with it, and we print it ourselves or not at all.
#[inline]
pub fn without_place(error: &serde_json::Error) -> String {
    let message = error.to_string();
    match message.rfind(" at line ") {
        Some(end) => message[..end].to_owned(),
        None => message,
    }
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
}
