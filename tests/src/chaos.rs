//! Aircraft as a careless or hostile hand would write them.
//!
//! [`damaged`] turns bytes into a text near one of the examples: fields scaled
//! a little or much, swapped, emptied, doubled or left out. [`walk`] takes any
//! text through the whole chain and says whether it kept its promises: no
//! panic, nothing in the answer that is not finite. Fuzz targets and property
//! tests share both, so what one finds the other can hold.

use serde_json::Value;
use sim_core::aircraft::{EXAMPLES, read_aircraft};
use sim_core::assess::{Question, assess};
use sim_core::flight::Record;
use sim_core::flight::debrief::debrief;
use sim_core::report::report;

/// How far a text got through the chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Not an aircraft at all.
    Unread,
    /// Read, but with findings.
    Unsound,
    /// Sound, but it does not fly: the error says why.
    Unflown,
    /// Assessed.
    Assessed,
}

/// Takes `text` through the chain.
///
/// # Panics
/// Where anything in the answer is not finite, or an error names no field:
/// that is the failure of the test.
pub fn walk(text: &str) -> Stage {
    let aircraft = match read_aircraft(text) {
        Ok(aircraft) => aircraft,
        Err(error) => {
            assert!(!error.to_string().is_empty());
            return Stage::Unread;
        }
    };
    let sound = match aircraft.check() {
        Ok(sound) => sound,
        Err(findings) => {
            assert!(!findings.is_empty(), "refused without a reason");
            assert!(findings.iter().all(|finding| !finding.field.is_empty()), "{findings:?}");
            return Stage::Unsound;
        }
    };
    match assess(&sound, &Question::default()) {
        Ok(assessment) => {
            let shown = format!("{assessment:?}");
            if let Some(place) = not_finite(&shown) {
                let start = place.saturating_sub(160);
                let around = shown.get(start..place + 20).unwrap_or_default();
                panic_with(&format!("not finite: ...{around}"));
            }
            assert!(report(&sound.name, &assessment).is_object());
            Stage::Assessed
        }
        Err(error) => {
            let words = error.to_string();
            assert!(words.contains(':') && !words.contains("NaN"), "{words}");
            Stage::Unflown
        }
    }
}

fn panic_with(message: &str) {
    assert!(message.is_empty(), "{message}");
}

/// Place of a number that is not finite in the debug form of a value.
fn not_finite(shown: &str) -> Option<usize> {
    let stands_alone = |place: usize, length: usize| {
        let letter = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
        !letter(shown[..place].chars().next_back())
            && shown[place + length..].starts_with([',', ' ', ']', '}', ')', '\n'])
    };
    ["NaN", "inf"].iter().find_map(|word| {
        shown
            .match_indices(word)
            .find(|(place, _)| stands_alone(*place, word.len()))
            .map(|(place, _)| place)
    })
}

/// Most changes to one aircraft.
const CHANGES_MAX: u8 = 6;

/// An example damaged as `bytes` say: which one, then changes of three bytes
/// and more.
pub fn damaged(bytes: &[u8]) -> String {
    let mut bytes = Bytes(bytes);
    let example = &EXAMPLES[bytes.next() as usize % EXAMPLES.len()];
    let mut value: Value = serde_json::from_str(example.text).unwrap_or_default();
    for _ in 0..=bytes.next() % CHANGES_MAX {
        let mut places = Vec::new();
        collect(&value, &mut String::new(), &mut places);
        // Mostly numbers: changes of the form rarely leave an aircraft.
        if bytes.next() % 8 != 0 {
            places.retain(|pointer| value.pointer(pointer).is_some_and(Value::is_number));
        }
        let index = usize::from(bytes.next()) << 8 | usize::from(bytes.next());
        let pointer = places[index % places.len()].clone();
        if let Some(target) = value.pointer_mut(&pointer) {
            damage(target, &mut bytes);
        }
    }
    value.to_string()
}

/// Bytes, then noughts for ever.
struct Bytes<'a>(&'a [u8]);

impl Bytes<'_> {
    fn next(&mut self) -> u8 {
        match self.0 {
            [first, rest @ ..] => {
                self.0 = rest;
                *first
            }
            [] => 0,
        }
    }
}

/// Pointers to every value below `value`.
fn collect(value: &Value, pointer: &mut String, places: &mut Vec<String>) {
    let mut below = |key: &str, child: &Value, places: &mut Vec<String>| {
        let length = pointer.len();
        pointer.push('/');
        pointer.push_str(key);
        places.push(pointer.clone());
        collect(child, pointer, places);
        pointer.truncate(length);
    };
    match value {
        Value::Array(list) => {
            for (index, child) in list.iter().enumerate() {
                below(&index.to_string(), child, places);
            }
        }
        Value::Object(map) => {
            for (key, child) in map {
                below(key, child, places);
            }
        }
        _ => {}
    }
}

/// Factors from mild, which leaves most aircraft sound, to absurd.
const FACTORS: [f64; 20] = [
    0.5, 0.7, 0.8, 0.9, 0.95, 1.05, 1.1, 1.25, 1.5, 2.0, 3.0, 5.0, 10.0, 0.2, 0.1, 0.01, -1.0,
    -0.3, 1e3, 1e-3,
];

const NUMBERS: [f64; 16] = [
    0.0,
    -0.0,
    1.0,
    -1.0,
    90.0,
    -90.0,
    89.999,
    180.0,
    0.5,
    1e-3,
    1e-9,
    1e-300,
    1e9,
    1e300,
    -1e300,
    f64::MAX,
];

const WORDS: [&str; 14] = [
    "wing",
    "fin",
    "tailplane",
    "canard",
    "flat_sheet",
    "profile",
    "elevon",
    "ruddervator",
    "flaperon",
    "rudder",
    "pusher",
    "fuselage",
    "",
    "\u{202e}x",
];

fn damage(target: &mut Value, bytes: &mut Bytes) {
    let (kind, pick) = (bytes.next(), usize::from(bytes.next()));
    // A few changes are of another type.
    match kind {
        0..4 => return *target = Value::Null,
        4..8 => return *target = Value::from(WORDS[pick % WORDS.len()]),
        8..12 => return *target = Value::from(NUMBERS[pick % NUMBERS.len()]),
        _ => {}
    }
    match target {
        Value::Number(number) => {
            let old = number.as_f64().unwrap_or(0.0);
            *target = Value::from(match kind {
                12..40 => NUMBERS[pick % NUMBERS.len()],
                40..56 => old + (pick as f64 - 128.0) / 64.0,
                _ => old * FACTORS[pick % FACTORS.len()],
            });
        }
        Value::String(_) => *target = Value::from(WORDS[pick % WORDS.len()]),
        Value::Bool(old) => *old = !*old,
        Value::Array(list) if !list.is_empty() => {
            let index = pick % list.len();
            match kind % 4 {
                0 => list.clear(),
                1 => drop(list.remove(index)),
                _ => list.push(list[index].clone()),
            }
        }
        Value::Object(map) => {
            let keys: Vec<String> = map.keys().cloned().collect();
            if !keys.is_empty() {
                map.remove(&keys[pick % keys.len()]);
            }
        }
        Value::Array(_) | Value::Null => *target = Value::from(1.0),
    }
}

/// Takes `text` as the log of a flight: read, judged, written and read again.
/// Says whether it was one.
///
/// # Panics
/// Where an error says nothing, the debrief holds a number that is not finite,
/// or the log does not come back as it was.
pub fn walk_record(text: &str) -> bool {
    let record = match Record::from_csv(text) {
        Ok(record) => record,
        Err(error) => {
            assert!(!error.to_string().is_empty());
            return false;
        }
    };
    if let Some(looked_back) = debrief(&record) {
        let text = serde_json::to_string(&looked_back).unwrap_or_default();
        // JSON writes a number that is not finite as null.
        assert!(!text.is_empty() && !text.contains("null"), "{text}");
    }
    assert_eq!(Record::from_csv(&record.to_csv()), Ok(record));
    true
}
