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
pub fn read_aircraft(text: &str) -> Result<Aircraft, ReadError> {
    if text.len() > TEXT_LENGTH_MAX {
        return Err(ReadError::TooLong { bytes: text.len(), limit: TEXT_LENGTH_MAX });
    }
    let mut reader = serde_json::Deserializer::from_str(text);
    let not_understood = |field: String, error: &serde_json::Error| ReadError::NotUnderstood {
        field: if field == "." || field == "?" { "file".to_owned() } else { field },
        message: without_place(error),
        line: error.line(),
        column: error.column(),
    };
    let aircraft: Aircraft = serde_path_to_error::deserialize(&mut reader)
        .map_err(|error| not_understood(error.path().to_string(), error.inner()))?;
    reader.end().map_err(|error| not_understood(".".to_owned(), &error))?;
    Ok(aircraft)
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

/// serde_json ends its message with the place, which we print ourselves.
fn without_place(error: &serde_json::Error) -> String {
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
