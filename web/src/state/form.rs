//! Fields of the form: each ties a place in the [`Aircraft`] to what is typed.
//!
//! A field knows its path in the form, see [`path_in_the_form`], its label, its unit
//! and limits, and how to read and write its value. What is typed is never
//! refused: [`Typed`] keeps the text as it stands, the aircraft takes the
//! number as soon as there is one.

use std::collections::BTreeMap;
use std::sync::Arc;

use sim_core::aircraft::Aircraft;
use sim_core::aircraft::limits::Limits;

use super::measure::{Measure, parse};

/// Texts as typed, by the path of their field, for fields that were typed in
/// since the aircraft last changed by other means.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Typed(BTreeMap<String, String>);

impl Typed {
    /// The text in a field as it was typed.
    pub fn get(&self, path: &str) -> Option<&str> {
        self.0.get(path).map(String::as_str)
    }

    /// Keeps a text as typed.
    pub fn keep(&mut self, path: &str, text: String) {
        self.0.insert(path.to_owned(), text);
    }

    /// Whether one of them is no number.
    pub fn has_unreadable(&self) -> bool {
        self.0.values().any(|text| parse(text).is_none())
    }

    /// Forgets one text, since its value was changed by other means.
    pub fn forget(&mut self, path: &str) {
        self.0.remove(path);
    }
}

type Read<V> = Arc<dyn Fn(&Aircraft) -> Option<V> + Send + Sync>;
type Write<V> = Arc<dyn Fn(&mut Aircraft, V) + Send + Sync>;

/// A value somewhere in the aircraft, with its path.
#[derive(Clone)]
pub struct Field<V> {
    /// Path in the form.
    pub path: String,
    /// What the builder reads beside it.
    pub label: &'static str,
    read: Read<V>,
    write: Write<V>,
}

impl<V> Field<V> {
    /// The value, or nothing where the place no longer exists.
    pub fn read(&self, aircraft: &Aircraft) -> Option<V> {
        (self.read)(aircraft)
    }

    /// Sets the value; without effect where the place no longer exists.
    pub fn write(&self, aircraft: &mut Aircraft, value: V) {
        (self.write)(aircraft, value);
    }
}

/// The path by which the form knows a field that a finding names. It leaves out
/// the way in which a thing is given (`electric`, `rod`), since the form shows
/// only one way at a time.
pub fn path_in_the_form(found: &str) -> String {
    let (mut steps, mut before) = (Vec::new(), "");
    for step in found.split('.') {
        let is_way = matches!(before, "drive" | "spread" | "material")
            || (before, step) == ("mass", "known");
        if !is_way {
            steps.push(step);
        }
        before = step;
    }
    steps.join(".")
}

/// A measured number.
#[derive(Clone)]
pub struct NumberField {
    /// Where it is.
    pub field: Field<f64>,
    /// Kind and unit of the number.
    pub measure: Measure,
    /// Allowed range, in the file's unit.
    pub limits: Limits,
}

/// What is wrong with the text of a number field by itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TextFault {
    /// Nothing is there though a number is needed.
    Empty,
    /// It is not a number.
    NotANumber,
    /// The number lies outside the limits, given in the shown unit.
    OutOfRange {
        /// The number as typed.
        shown: f64,
        /// Least allowed.
        min: f64,
        /// Greatest allowed.
        max: f64,
    },
}

impl NumberField {
    /// The text to show while nobody has typed: the value in the shown unit.
    pub fn show(&self, aircraft: &Aircraft) -> String {
        self.field.read(aircraft).map(|value| self.measure.show(value)).unwrap_or_default()
    }

    /// Takes a text as typed; changes the aircraft where it is a number.
    pub fn take(&self, text: &str, aircraft: &mut Aircraft) {
        if let Some(number) = parse(text) {
            self.field.write(aircraft, self.measure.read(number));
        }
    }

    /// What is wrong with a text by itself.
    pub fn fault(&self, text: &str) -> Option<TextFault> {
        if text.trim().is_empty() {
            return Some(TextFault::Empty);
        }
        let Some(shown) = parse(text) else { return Some(TextFault::NotANumber) };
        let (min, max) = self.measure.limits(self.limits);
        let inside = self.limits.contains(self.measure.read(shown));
        (!inside).then_some(TextFault::OutOfRange { shown, min, max })
    }
}

/// One of several kinds.
#[derive(Clone)]
pub struct ChoiceField {
    /// Where it is; the value is the index of the option.
    pub field: Field<usize>,
    /// The options in words.
    pub options: Vec<String>,
}

/// Something in the aircraft that has fields: a panel, a weight, a body.
#[derive(Clone)]
pub struct Item<T> {
    /// Path of the thing; its fields append their names.
    pub path: String,
    get: fn(&Aircraft, Index) -> Option<&T>,
    get_mut: fn(&mut Aircraft, Index) -> Option<&mut T>,
    index: Index,
}

/// Indices of a thing: of its list, and of a list inside the thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Index {
    /// In the outer list.
    pub outer: usize,
    /// In the inner list, where there is one.
    pub inner: usize,
}

impl<T: Clone + 'static> Item<T> {
    /// A thing by its path and the ways to reach it.
    pub fn new(
        path: String,
        index: Index,
        get: fn(&Aircraft, Index) -> Option<&T>,
        get_mut: fn(&mut Aircraft, Index) -> Option<&mut T>,
    ) -> Self {
        Self { path, get, get_mut, index }
    }

    /// The thing, where it still exists.
    pub fn of<'a>(&self, aircraft: &'a Aircraft) -> Option<&'a T> {
        (self.get)(aircraft, self.index)
    }

    /// A field by its name and a way to read and one to write it.
    pub fn field<V: 'static>(
        &self,
        name: &str,
        label: &'static str,
        read: impl Fn(&T) -> Option<V> + Send + Sync + 'static,
        write: impl Fn(&mut T, V) + Send + Sync + 'static,
    ) -> Field<V> {
        let (get, get_mut, index) = (self.get, self.get_mut, self.index);
        Field {
            path: if self.path.is_empty() {
                name.to_owned()
            } else {
                format!("{}.{name}", self.path)
            },
            label,
            read: Arc::new(move |aircraft| read(get(aircraft, index)?)),
            write: Arc::new(move |aircraft, value| {
                if let Some(item) = get_mut(aircraft, index) {
                    write(item, value);
                }
            }),
        }
    }

    /// A number that must be there; `leaf` finds it, unless the thing is of
    /// another kind.
    pub fn number(
        &self,
        name: &str,
        label: &'static str,
        measure: Measure,
        limits: Limits,
        leaf: fn(&mut T) -> Option<&mut f64>,
    ) -> NumberField {
        let field = self.field(
            name,
            label,
            // Things are small; a copy spares a second way of reaching the leaf.
            move |item| leaf(&mut item.clone()).copied(),
            move |item, value| {
                if let Some(place) = leaf(item) {
                    *place = value;
                }
            },
        );
        NumberField { field, measure, limits }
    }

    /// A name or note.
    pub fn text(
        &self,
        name: &str,
        label: &'static str,
        leaf: fn(&mut T) -> &mut String,
    ) -> Field<String> {
        self.field(
            name,
            label,
            move |item| Some(leaf(&mut item.clone()).clone()),
            move |item, value| *leaf(item) = value,
        )
    }

    /// A yes or no.
    pub fn flag(
        &self,
        name: &str,
        label: &'static str,
        leaf: fn(&mut T) -> &mut bool,
    ) -> Field<bool> {
        self.field(
            name,
            label,
            move |item| Some(*leaf(&mut item.clone())),
            move |item, value| *leaf(item) = value,
        )
    }

    /// One of the kinds in `kinds`, each with its name in words.
    pub fn choice<K: Copy + PartialEq + Send + Sync + 'static>(
        &self,
        name: &str,
        label: &'static str,
        kinds: &'static [(K, &'static str)],
        leaf: fn(&mut T) -> Option<&mut K>,
    ) -> ChoiceField {
        let field = self.field(
            name,
            label,
            move |item| {
                let kind = *leaf(&mut item.clone())?;
                kinds.iter().position(|(other, _)| *other == kind)
            },
            move |item, chosen: usize| {
                if let (Some(place), Some((kind, _))) = (leaf(item), kinds.get(chosen)) {
                    *place = *kind;
                }
            },
        );
        ChoiceField { field, options: kinds.iter().map(|(_, words)| (*words).to_owned()).collect() }
    }
}

#[cfg(test)]
mod tests {
    use sim_core::aircraft::Aircraft;
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::{examples, fields};

    fn example() -> Aircraft {
        examples::all().remove(0)
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn every_example_is_read_and_sound() {
        for aircraft in examples::all() {
            let name = aircraft.name.clone();
            assert!(aircraft.check().is_ok(), "{name}");
        }
        assert!(!examples::all().is_empty());
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn text_becomes_the_value_in_the_file() {
        let mut aircraft = example();
        let chord = &fields::panel_fields(0, 0, false)[1];
        chord.take("182,5", &mut aircraft);
        assert_eq!(aircraft.surfaces[0].panels[0].root_chord_m, 0.1825);
        chord.take("two", &mut aircraft);
        assert_eq!(aircraft.surfaces[0].panels[0].root_chord_m, 0.1825);
        assert_eq!(chord.show(&aircraft), "182.5");
    }

    /// The text that a field shows is taken back as the value that stands in
    /// the file, so that touching a field changes nothing.
    #[wasm_bindgen_test(unsupported = test)]
    fn taking_back_what_is_shown_changes_nothing() {
        let aircraft = example();
        for field in fields::number_fields(&aircraft) {
            let shown = field.show(&aircraft);
            let mut after = aircraft.clone();
            field.take(&shown, &mut after);
            let (old, new) = (field.field.read(&aircraft), field.field.read(&after));
            let (Some(old), Some(new)) = (old, new) else {
                panic!("{} is not there", field.field.path)
            };
            assert!((old - new).abs() <= 1e-9 * old.abs().max(1.0), "{}", field.field.path);
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn paths_in_the_form_leave_out_how_a_thing_is_given() {
        for (found, own) in [
            ("propulsion[0].drive.electric.pack.cells", "propulsion[0].drive.pack.cells"),
            ("mass.parts[3].spread.rod.from.aft_m", "mass.parts[3].spread.from.aft_m"),
            ("mass.known.mass_kg", "mass.mass_kg"),
            (
                "surfaces[0].panels[0].section.known.camber",
                "surfaces[0].panels[0].section.known.camber",
            ),
        ] {
            assert_eq!(path_in_the_form(found), own);
        }
    }

    /// The core reports a value out of range under the path that the field has,
    /// or the fault would stand beside no field.
    #[wasm_bindgen_test(unsupported = test)]
    fn findings_name_the_paths_of_the_fields() {
        let aircraft = example();
        for field in fields::number_fields(&aircraft) {
            let mut wrong = aircraft.clone();
            field.field.write(&mut wrong, field.limits.max * 2.0 + 1.0);
            let findings = wrong.check().expect_err(&field.field.path);
            assert!(
                findings.iter().any(|f| path_in_the_form(&f.field) == field.field.path),
                "{}: {findings:?}",
                field.field.path
            );
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn faults_of_the_text_come_in_the_shown_unit() {
        let chord = &fields::panel_fields(0, 0, false)[1];
        assert_eq!(chord.fault("180"), None);
        assert_eq!(chord.fault(" "), Some(TextFault::Empty));
        assert_eq!(chord.fault("wide"), Some(TextFault::NotANumber));
        let too_small = TextFault::OutOfRange { shown: 0.0, min: 1.0, max: 20_000.0 };
        assert_eq!(chord.fault("0"), Some(too_small));
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_field_of_something_removed_is_without_effect() {
        let mut aircraft = example();
        let beyond = fields::panel_fields(0, 7, false).remove(0);
        let before = aircraft.clone();
        beyond.take("100", &mut aircraft);
        assert_eq!(aircraft, before);
        assert_eq!(beyond.show(&aircraft), "");
    }
}
