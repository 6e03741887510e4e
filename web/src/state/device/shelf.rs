//! The aeroplanes kept on the device, each under a key of its own, so that two
//! tabs that keep different ones never write over each other.
//!
//! What is removed goes to another key and can be brought back. A text that
//! cannot be read is put aside as it is.

use super::{Refusal, read, remove, write};
use crate::state::Design;
use crate::state::file::{self, FileError};
use crate::text::shelf as words;

const AEROPLANE: &str = "fledge.aeroplane.";
const REMOVED: &str = "fledge.removed.";
const UNREADABLE: &str = "fledge.unreadable.";
/// The place of the aeroplane that was on the sheet last.
const LAST: &str = "fledge.last";
/// Where the first version kept its only design.
const ONLY_DESIGN: &str = "fledge.design";

/// Where an aeroplane stands on the shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place(String);

impl Place {
    /// A place that is empty, as good as surely.
    pub fn fresh() -> Self {
        let number = (js_sys::Math::random() * f64::from(u32::MAX)) as u32;
        Self(format!("{number:08x}"))
    }

    /// The place that a tab has remembered.
    pub fn of_name(name: &str) -> Option<Self> {
        let sound = name.len() == 8 && name.bytes().all(|b| b.is_ascii_hexdigit());
        sound.then(|| Self(name.to_owned()))
    }

    /// What a tab remembers it by.
    pub fn name(&self) -> &str {
        &self.0
    }

    /// The key of the text that stands here.
    pub fn key(&self) -> String {
        format!("{AEROPLANE}{}", self.0)
    }
}

/// An aeroplane on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Where it stands.
    pub place: Place,
    /// Its name.
    pub name: String,
}

fn entries(prefix: &str) -> Vec<Entry> {
    let entry = |name: String| {
        let text = read(&format!("{prefix}{name}"))?;
        let place = Place(name);
        let name = file::read(&text).ok()?.aircraft.name;
        Some(Entry { place, name })
    };
    let mut entries: Vec<Entry> = super::keys(prefix).into_iter().filter_map(entry).collect();
    entries.sort_by(|a, b| (&a.name, &a.place.0).cmp(&(&b.name, &b.place.0)));
    entries
}

/// The aeroplanes on the shelf, by name.
pub fn all() -> Vec<Entry> {
    entries(AEROPLANE)
}

/// Those that were removed and can be brought back, by name.
pub fn removed() -> Vec<Entry> {
    entries(REMOVED)
}

/// Names of the texts that could not be read.
pub fn unreadable() -> Vec<String> {
    let mut names = super::keys(UNREADABLE);
    names.sort();
    names
}

/// A text that could not be read.
pub fn unreadable_text(name: &str) -> Option<String> {
    read(&format!("{UNREADABLE}{name}"))
}

/// Throws a text away that could not be read.
pub fn discard_unreadable(name: &str) {
    remove(&format!("{UNREADABLE}{name}"));
}

/// The design at a place; nothing where it is empty. A text that cannot be
/// read is put aside.
pub fn take(place: &Place) -> Option<Result<Design, FileError>> {
    let text = read(&place.key())?;
    let design = file::read(&text);
    if design.is_err() {
        set_aside(&place.key(), &place.0, &text);
    }
    Some(design)
}

fn set_aside(key: &str, name: &str, text: &str) {
    // Where the memory is full, the text stays where it is; nothing is ever
    // written there, since its place is not given out again.
    if write(&format!("{UNREADABLE}{name}"), text).is_ok() {
        remove(key);
    }
}

/// The place that is said to have been on the sheet last.
pub fn last() -> Option<Place> {
    Place::of_name(&read(LAST)?)
}

/// Remembers which place is on the sheet.
pub fn remember(place: &Place) {
    // Writing costs far more than reading.
    if read(LAST).as_ref() != Some(&place.0) {
        // Forgotten where the memory is full: then another one opens first.
        let _ = write(LAST, &place.0);
    }
}

/// The only design that the first version kept, put on the shelf.
pub fn take_only_design() -> Option<Result<(Place, Design), FileError>> {
    let text = read(ONLY_DESIGN)?;
    let place = Place::fresh();
    Some(match file::read(&text) {
        Ok(design) => {
            if write(&place.key(), &text).is_ok() {
                remove(ONLY_DESIGN);
            }
            Ok((place, design))
        }
        Err(error) => {
            set_aside(ONLY_DESIGN, &place.0, &text);
            Err(error)
        }
    })
}

/// Gives the aeroplane at a place another name.
///
/// # Errors
/// [`Refusal`]; then it has its old one.
pub fn rename(place: &Place, name: &str) -> Result<(), Refusal> {
    let Some(Ok(mut design)) = take(place) else { return Ok(()) };
    name.clone_into(&mut design.aircraft.name);
    write(&place.key(), &file::write(&design))
}

/// A name for a copy, which no aeroplane on the shelf has.
pub fn copy_name(name: &str) -> String {
    let others: Vec<String> = all().into_iter().map(|entry| entry.name).collect();
    words::copy_of(name, &others)
}

/// Puts a copy beside the aeroplane at a place.
///
/// # Errors
/// [`Refusal`]; then there is no copy.
pub fn duplicate(place: &Place) -> Result<(), Refusal> {
    let Some(Ok(mut design)) = take(place) else { return Ok(()) };
    design.aircraft.name = copy_name(&design.aircraft.name);
    write(&Place::fresh().key(), &file::write(&design))
}

/// Takes an aeroplane off the shelf; it can be brought back.
///
/// # Errors
/// [`Refusal`]; then it is still there.
pub fn put_away(place: &Place) -> Result<(), Refusal> {
    pass(&place.key(), &format!("{REMOVED}{}", place.0))
}

/// Puts an aeroplane that was removed back on the shelf.
///
/// # Errors
/// [`Refusal`]; then it is still among the removed.
pub fn bring_back(place: &Place) -> Result<(), Refusal> {
    pass(&format!("{REMOVED}{}", place.0), &place.key())
}

/// Throws an aeroplane away that was removed.
pub fn discard(place: &Place) {
    remove(&format!("{REMOVED}{}", place.0));
}

/// Moves a text. A full memory has room for it once, not twice.
fn pass(from: &str, to: &str) -> Result<(), Refusal> {
    let Some(text) = read(from) else { return Ok(()) };
    remove(from);
    write(to, &text).inspect_err(|_| {
        // It was there a moment ago, so there is room for it.
        let _ = write(from, &text);
    })
}

#[cfg(all(test, target_arch = "wasm32"))]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::examples;

    fn kept(name: &str) -> Place {
        let mut design = Design::from(examples::all().remove(0));
        name.clone_into(&mut design.aircraft.name);
        let place = Place::fresh();
        write(&place.key(), &file::write(&design)).unwrap();
        place
    }

    fn named(name: &str) -> Vec<Place> {
        all().into_iter().filter(|e| e.name == name).map(|e| e.place).collect()
    }

    #[wasm_bindgen_test]
    fn what_is_removed_comes_back_as_it_was() {
        let place = kept("comes back");
        let before = take(&place);
        put_away(&place).unwrap();
        assert_eq!(take(&place), None);
        assert!(removed().iter().any(|e| e.place == place && e.name == "comes back"));
        bring_back(&place).unwrap();
        assert_eq!(take(&place), before);
        put_away(&place).unwrap();
        discard(&place);
        assert!(!removed().iter().any(|e| e.place == place));
    }

    #[wasm_bindgen_test]
    fn a_copy_is_another_aeroplane() {
        let place = kept("original");
        duplicate(&place).unwrap();
        let copy = named("original, copy").remove(0);
        rename(&copy, "second").unwrap();
        assert_eq!(named("original"), std::slice::from_ref(&place));
        assert_eq!(named("second"), std::slice::from_ref(&copy));
        remove(&place.key());
        remove(&copy.key());
    }

    #[wasm_bindgen_test]
    fn a_text_that_cannot_be_read_is_put_aside_untouched() {
        let place = Place::fresh();
        let text = "{ half an aero";
        write(&place.key(), text).unwrap();
        assert!(matches!(take(&place), Some(Err(_))));
        assert_eq!(take(&place), None);
        assert!(unreadable().contains(&place.name().to_owned()));
        assert_eq!(unreadable_text(place.name()).as_deref(), Some(text));
        discard_unreadable(place.name());
        assert_eq!(unreadable_text(place.name()), None);
    }
}
