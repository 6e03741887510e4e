//! Which measurements nobody has taken yet: values that the page put there so
//! that something can be computed. They are marked until they are typed over.
//!
//! Each is kept with its value, so that undo, which may bring another aeroplane
//! back, leaves no marks on measured values.

use std::collections::BTreeMap;

use leptos::prelude::*;

use sim_core::aircraft::Aircraft;

use super::device::shelf::Place;
use super::fields::number_fields;
use super::measure::parse;
use super::{Sheet, device};

/// Paths of fields in the form, with their values.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Assumed(BTreeMap<String, f64>);

/// Where they are kept on the device, with the aeroplane's place behind it; the
/// first version had them for all aeroplanes together.
const KEY: &str = "fledge.assumed";

fn key(place: &Place) -> String {
    format!("{KEY}.{}", place.name())
}

impl Assumed {
    /// Those of the aeroplane at a place of the shelf.
    pub fn recall(place: &Place) -> Self {
        let kept = device::read(&key(place)).or_else(|| device::read(KEY));
        let lines = kept.iter().flat_map(|text| text.lines());
        Self(
            lines
                .filter_map(|line| {
                    let (path, value) = line.split_once('=')?;
                    Some((path.to_owned(), parse(value)?))
                })
                .collect(),
        )
    }

    /// Whether the value of a field is only assumed.
    pub fn holds(&self, path: &str, value: Option<f64>) -> bool {
        value.is_some() && self.0.get(path).copied() == value
    }

    /// Whether everything has been measured.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many values of an aircraft are only assumed.
    pub fn count(&self, aircraft: &Aircraft) -> usize {
        if self.is_empty() {
            return 0;
        }
        let fields = number_fields(aircraft);
        fields.iter().filter(|f| self.holds(&f.field.path, f.field.read(aircraft))).count()
    }

    /// The item at `index` of `list` is gone: those behind it move up.
    fn remove_item(&mut self, list: &str, index: usize) {
        let moved = self.0.iter().filter_map(|(path, value)| {
            let Some((number, rest)) =
                path.strip_prefix(list).and_then(|p| p.strip_prefix('[')?.split_once(']'))
            else {
                return Some((path.clone(), *value));
            };
            match number.parse::<usize>() {
                Ok(number) if number == index => None,
                Ok(number) if number > index => {
                    Some((format!("{list}[{}]{rest}", number - 1), *value))
                }
                _ => Some((path.clone(), *value)),
            }
        });
        self.0 = moved.collect();
    }
}

impl Sheet {
    /// Marks all numbers of the part whose path begins with `prefix` as not yet
    /// measured.
    pub fn assume(&self, prefix: &str) {
        let values: Vec<(String, f64)> = self.design.with_untracked(|design| {
            let fields = number_fields(&design.aircraft).into_iter();
            let own = fields.filter(|f| f.field.path.starts_with(prefix));
            own.filter_map(|f| Some((f.field.path.clone(), f.field.read(&design.aircraft)?)))
                .collect()
        });
        self.change_assumed(|assumed| assumed.0.extend(values));
    }

    /// A field has been measured.
    pub fn measured(&self, path: &str) {
        if self.assumed.with_untracked(|assumed| assumed.0.contains_key(path)) {
            self.change_assumed(|assumed| {
                assumed.0.remove(path);
            });
        }
    }

    /// An item of a list has been removed.
    pub fn forget_item(&self, list: &str, index: usize) {
        self.change_assumed(|assumed| assumed.remove_item(list, index));
    }

    fn change_assumed(&self, change: impl FnOnce(&mut Assumed)) {
        self.assumed.update(change);
        if let Some(kept) = self.kept.get_untracked() {
            self.keep_assumed(&kept.place);
        }
    }

    /// Keeps the marks beside the aeroplane that they belong to.
    pub fn keep_assumed(&self, place: &Place) {
        let text = self.assumed.with_untracked(|assumed| {
            let lines = assumed.0.iter().map(|(path, value)| format!("{path}={value}"));
            lines.collect::<Vec<_>>().join("\n")
        });
        // A full memory refuses; then the marks last as long as the page.
        let _ = device::write(&key(place), &text);
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn marks_move_up_with_their_items() {
        let paths = ["bodies[0].width_m", "bodies[1].width_m", "bodies[12].width_m", "name"];
        let mut assumed = Assumed(paths.map(|path| (path.to_owned(), 1.0)).into());
        assumed.remove_item("bodies", 1);
        let left: Vec<_> = assumed.0.keys().map(String::as_str).collect();
        assert_eq!(left, ["bodies[0].width_m", "bodies[11].width_m", "name"]);
    }
}
