//! Any bytes as the packed part of a link, and any text as its fragment.
#![no_main]

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use libfuzzer_sys::fuzz_target;
use sim_core::aircraft::Aircraft;
use sim_core::assess::Question;

// The page's own decoder, without the page.
#[path = "../../web/src/state/file.rs"]
mod file;

/// As in `web/src/state`.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    aircraft: Aircraft,
    question: Question,
}

impl From<Aircraft> for Design {
    fn from(aircraft: Aircraft) -> Self {
        Self { aircraft, question: Question::default() }
    }
}

fuzz_target!(|bytes: &[u8]| {
    let packed = format!("#design={}", URL_SAFE_NO_PAD.encode(bytes));
    let text = String::from_utf8_lossy(bytes);
    for fragment in [packed.as_str(), &text] {
        match file::from_fragment(fragment) {
            // What is read is what is sent on.
            Some(Ok(design)) => {
                assert_eq!(
                    file::from_fragment(&file::to_fragment(&design)),
                    Some(Ok(design.clone()))
                );
                assert_eq!(file::read(&file::write(&design)), Ok(design));
            }
            Some(Err(error)) => assert!(!error.to_string().is_empty()),
            None => {}
        }
    }
});
