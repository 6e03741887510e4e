//! Writes what the tests compared, for the tables in the docs.
//!
//! Where the environment variable [`VARIABLE`] names a file, every check that
//! passes appends one line of JSON to it: the source file and the test that
//! made it, what was compared, both values and the tolerance. `cargo xtask
//! docs` sets the variable, runs the tests and turns the lines into pages; the
//! sentences on source and tolerance come from the head of the test's file. So
//! no table is kept by hand.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::fs::OpenOptions;
use std::io::Write;
use std::panic::Location;
use std::thread;

use serde_json::{Value, json};

/// Environment variable that names the file to append to.
pub const VARIABLE: &str = "FLEDGE_RECORD";

/// How far ours may be from theirs.
#[derive(Debug, Clone, Copy)]
pub enum Tolerance {
    /// As a fraction of theirs.
    Relative(f64),
    /// In the unit of the quantity.
    Absolute(f64),
}

/// One value held against another.
#[derive(Debug, Clone, Copy)]
pub struct Comparison<'a> {
    /// The quantity in words.
    pub what: &'a str,
    /// What we compute.
    pub ours: f64,
    /// What is published or exact.
    pub theirs: f64,
    /// How far ours may be from it.
    pub tolerance: Tolerance,
    /// Why it is further than that, where this is known and let be.
    pub miss: Option<&'a str>,
}

/// Records a comparison under the caller's file and test.
#[track_caller]
pub fn comparison(comparison: &Comparison) {
    if std::env::var_os(VARIABLE).is_none() {
        return;
    }
    let (kind, tolerance, scale) = match comparison.tolerance {
        Tolerance::Relative(value) => ("relative", value, comparison.theirs.abs()),
        Tolerance::Absolute(value) => ("absolute", value, 1.0),
    };
    // Sweeps make the same check a million times: only one that is nearer its
    // tolerance than those before is worth a line.
    let strain = (comparison.ours - comparison.theirs).abs() / (tolerance * scale);
    let place = (Location::caller().line(), comparison.what.to_owned());
    let worst = WORST.with_borrow_mut(|list| list.insert(place.clone(), strain));
    if let Some(worst) = worst.filter(|worst| strain <= *worst) {
        WORST.with_borrow_mut(|list| list.insert(place, worst));
        return;
    }
    write(json!({
        "what": comparison.what,
        "ours": comparison.ours,
        "theirs": comparison.theirs,
        "kind": kind,
        "tolerance": tolerance,
        "miss": comparison.miss,
    }));
}

/// Records one point of a curve for a plot in the docs: the value of `curve`
/// at `at`, on the plot called `plot`.
#[track_caller]
pub fn point(plot: &str, curve: &str, at: f64, value: f64) {
    write(json!({ "plot": plot, "curve": curve, "at": at, "value": value }));
}

thread_local! {
    /// Number of lines that this test has written. A test has a thread of its
    /// own, so the order within it is the order in its text.
    static ORDER: Cell<usize> = const { Cell::new(0) };

    /// Greatest share of its tolerance that a check has used up so far.
    static WORST: RefCell<BTreeMap<(u32, String), f64>> = const { RefCell::new(BTreeMap::new()) };
}

#[track_caller]
fn write(mut line: Value) {
    let Some(path) = std::env::var_os(VARIABLE) else { return };
    let caller = Location::caller();
    let order = ORDER.replace(ORDER.get() + 1);
    line["file"] = json!(caller.file());
    line["test"] = json!(thread::current().name());
    line["order"] = json!(order);
    // One call of write for a line: lines of several tests do not mix.
    let written = OpenOptions::new()
        .create(true)
        .append(true)
        .open(&path)
        .and_then(|mut file| file.write_all(format!("{line}\n").as_bytes()));
    assert!(written.is_ok(), "cannot record to {}: {written:?}", path.display());
}
