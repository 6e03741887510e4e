//! The device's own memory: the design survives closing the page. What cannot
//! be read is put aside, never overwritten.

use leptos::prelude::*;
use web_sys::Storage;

use super::file::{self, FileError};
use super::{Design, Sheet};

/// Where the design is kept.
const DESIGN_KEY: &str = "fledge.design";
/// Where a text goes that could not be read.
const UNREADABLE_KEY: &str = "fledge.unreadable";

fn memory() -> Option<Storage> {
    // Browsers may refuse it, in private windows for one; then nothing is kept.
    window().local_storage().ok().flatten()
}

/// The design that was kept, if there is one.
pub fn recall() -> Option<Result<Design, FileError>> {
    let memory = memory()?;
    let text = memory.get_item(DESIGN_KEY).ok().flatten()?;
    let design = file::read(&text);
    if design.is_err() {
        // A full memory refuses; then the text stays where it is until the
        // next change.
        let _ = memory.set_item(UNREADABLE_KEY, &text);
    }
    Some(design)
}

/// Keeps the present design.
pub fn keep(sheet: Sheet) {
    let Some(memory) = memory() else { return };
    let text = sheet.design.with_untracked(file::write);
    // A full memory refuses; the design is still on the page and in its link.
    let _ = memory.set_item(DESIGN_KEY, &text);
}
