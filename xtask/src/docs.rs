//! `cargo xtask docs`: the pages that say what was checked, made from the tests.
//!
//! The tests run with `FLEDGE_RECORD` set and write down every comparison (see
//! `tests/src/record.rs`); the head of each test's file tells source and
//! tolerance. From both come `docs/validation.md`, `docs/convergence.md` and
//! the plots beside it. With `--check` nothing is written: it fails where the
//! pages in the tree are not those that would be written.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use serde::Deserialize;

use self::comparison::Comparison;
use self::page::page;
use self::plot::{Curves, plot};
use crate::workspace::{Workspace, run};

mod comparison;
mod page;
mod plot;

#[derive(Deserialize)]
struct Point {
    plot: String,
    curve: String,
    at: f64,
    value: f64,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Line {
    Comparison(Comparison),
    Point(Point),
}

/// Names the file that the tests append to, see `tests/src/record.rs`.
pub const RECORD: &str = "FLEDGE_RECORD";

/// Runs the tests and writes the pages, or compares them with those there are.
pub fn make(workspace: &Workspace, check_only: bool) -> Result<()> {
    let record = fresh_record(workspace)?;
    let tests = ["--test", "validation", "--test", "convergence"];
    run(workspace.cargo(["test", "-p", "fledge-tests"]).args(tests).env(RECORD, &record))?;
    settle_all(workspace, &record, check_only)
}

/// A file for the tests to append to that is not there yet.
pub fn fresh_record(workspace: &Workspace) -> Result<PathBuf> {
    let record = workspace.target().join("fledge-record.jsonl");
    if record.exists() {
        fs::remove_file(&record).context("old record")?;
    }
    Ok(record)
}

/// Writes the pages from what the tests recorded, or compares them with those
/// there are.
pub fn settle_all(workspace: &Workspace, record: &Path, check_only: bool) -> Result<()> {
    let text = fs::read_to_string(record).context("the tests recorded nothing")?;
    let (mut comparisons, mut plots) =
        (Vec::<Comparison>::new(), BTreeMap::<String, Curves>::new());
    for line in text.lines() {
        match serde_json::from_str(line).with_context(|| format!("record: {line}"))? {
            Line::Comparison(comparison) => comparisons.push(comparison),
            Line::Point(point) => plots
                .entry(point.plot)
                .or_default()
                .entry(point.curve)
                .or_default()
                .push((point.at, point.value)),
        }
    }
    // The other tests compare too, but not with anything published.
    let of = |folder: &str| -> Vec<Comparison> {
        comparisons.iter().filter(|c| c.place.file.starts_with(folder)).cloned().collect()
    };
    let (convergence, validation) = (of("tests/convergence"), of("tests/validation"));
    let mut pages =
        vec![("validation.md".to_owned(), page(workspace, VALIDATION, validation, &[])?)];
    let mut pictures = Vec::new();
    for (name, curves) in &mut plots {
        for points in curves.values_mut() {
            points.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        let file = format!("convergence-{}.svg", name.replace(' ', "-"));
        pages.push((file.clone(), plot(name, curves)?));
        pictures.push((name.clone(), file));
    }
    let text = page(workspace, CONVERGENCE, convergence, &pictures)?;
    pages.push(("convergence.md".to_owned(), text));
    let folder = workspace.root().join("docs");
    for (name, text) in pages {
        settle(&folder.join(name), &text, check_only)?;
    }
    Ok(())
}

fn settle(path: &Path, text: &str, check_only: bool) -> Result<()> {
    if !check_only {
        fs::create_dir_all(path.parent().unwrap_or(path))?;
        return fs::write(path, text).with_context(|| path.display().to_string());
    }
    match fs::read_to_string(path) {
        Ok(present) if tells_the_same(&present, text) => Ok(()),
        _ => bail!("{} is not up to date: run `cargo xtask docs`", path.display()),
    }
}

/// Whether two pages tell the same. Numbers may differ by one in their last place,
/// since the mathematics of another processor rounds otherwise.
fn tells_the_same(one: &str, other: &str) -> bool {
    let words = |page: &str| -> Vec<String> {
        let ends = |c: char| c.is_whitespace() || "|,()<>\"".contains(c);
        page.split(ends).filter(|word| !word.is_empty()).map(str::to_owned).collect()
    };
    let (one, other) = (words(one), words(other));
    one.len() == other.len() && one.iter().zip(&other).all(|(a, b)| a == b || nearly_equal(a, b))
}

fn nearly_equal(one: &str, other: &str) -> bool {
    let (Ok(a), Ok(b)) = (one.parse::<f64>(), other.parse::<f64>()) else { return false };
    // What is left of a difference of equals has no digits to compare.
    let room = last_place(one).max(last_place(other)).max(1e-9);
    (a - b).abs() <= 1.01 * room
}

/// What one more in the last digit of a number adds to it.
fn last_place(number: &str) -> f64 {
    let (digits, exponent) = number.split_once('e').unwrap_or((number, "0"));
    let decimals = digits.split_once('.').map_or(0, |(_, behind)| behind.len());
    10f64.powi(exponent.parse::<i32>().unwrap_or(0) - i32::try_from(decimals).unwrap_or(0))
}

/// Opens the page of published cases, which is also one of the app.
const VALIDATION: &str = "\
# How far can I trust this?

Fledge has not flown your aeroplane; it computes. How well you measured is told
by the range beside each answer. This page tells how well the method itself
does: published values and closed forms beside what Fledge computes. Nothing is
tuned to a case. Expect balance and steadiness within about a tenth, the effects
of dihedral, yaw and rudder within a fifth, the stall of a foam wing less well,
and no more than that. It is no clearance to fly.

The first table has one line for each case: how far half of its values lie from
the published ones, and how far the worst. Below it stands every value, with its
source and the reason for its tolerance; where a goal is missed it says so, and
why. Values are per radian unless said otherwise; a tolerance without a per-cent
sign is in the unit of the quantity. A check that is made many times under one
name is shown once, where it is nearest its tolerance. `cargo xtask docs` writes
this page from the tests, which hold every line; do not edit it.
";

const CONVERGENCE: &str = "\
# How fine the grid must be

`cargo xtask docs` writes this page and its plots from the tests; do not edit it.
";

#[cfg(test)]
mod tests {
    use super::tells_the_same;

    #[test]
    fn pages_may_differ_by_one_in_the_last_place_only() {
        let page = "| lift | 6.283 | -4.1e-5 % |";
        for (other, same) in [
            ("| lift | 6.284 | -4.2e-5 % |", true),
            ("| lift | 6.286 | -4.1e-5 % |", false),
            ("| drag | 6.283 | -4.1e-5 % |", false),
            ("| lift | 6.283 |", false),
        ] {
            assert_eq!(tells_the_same(page, other), same, "{other}");
        }
    }
}
