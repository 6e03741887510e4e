//! `cargo xtask docs`: the pages that say what was checked, made from the tests.
//!
//! The tests run with `FLEDGE_RECORD` set and write down every comparison (see
//! `tests/src/record.rs`); the head of each test's file tells source and
//! tolerance. From both come `docs/validation.md`, `docs/convergence.md` and
//! the plots beside it. With `--check` nothing is written: it fails where the
//! pages in the tree are not those that would be written.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use plotters::prelude::*;
use serde::Deserialize;

use crate::workspace::{Workspace, run};

#[derive(Deserialize)]
struct Place {
    file: String,
    test: Option<String>,
    order: usize,
}

#[derive(Deserialize)]
struct Comparison {
    #[serde(flatten)]
    place: Place,
    what: String,
    ours: f64,
    theirs: f64,
    kind: Kind,
    tolerance: f64,
    miss: Option<String>,
}

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

#[derive(Deserialize, Clone, Copy, PartialEq)]
#[serde(rename_all = "lowercase")]
enum Kind {
    Relative,
    Absolute,
}

/// A row of a table: the worst of the checks of one test under the same words.
struct Row {
    worst: Comparison,
}

/// Curves by name, each a list of points.
type Curves = BTreeMap<String, Vec<(f64, f64)>>;

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
    let (mut comparisons, mut plots) = (Vec::new(), BTreeMap::<String, Curves>::new());
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
    let (convergence, validation): (Vec<_>, Vec<_>) =
        comparisons.into_iter().partition(|c| c.place.file.starts_with("tests/convergence"));
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

const VALIDATION: &str = "\
# What was checked against what

Published values and closed forms beside what Fledge computes. Nothing is tuned
to a case. `cargo xtask docs` writes this page from the tests, which hold every
line; do not edit it. A check that is made many times under one name is shown
once, where it is nearest its tolerance. Values are per radian unless said
otherwise; a tolerance without a per-cent sign is in the unit of the quantity.
";

const CONVERGENCE: &str = "\
# How fine the grid must be

`cargo xtask docs` writes this page and its plots from the tests; do not edit it.
";

fn page(
    workspace: &Workspace,
    opening: &str,
    comparisons: Vec<Comparison>,
    pictures: &[(String, String)],
) -> Result<String> {
    let mut cases: BTreeMap<String, BTreeMap<(String, usize), Row>> = BTreeMap::new();
    // First place of every kind of check, so that rows stand in the tests' order.
    let mut first: BTreeMap<(String, String, String), usize> = BTreeMap::new();
    let mut sorted = comparisons;
    sorted.sort_by(|a, b| {
        let key = |c: &Comparison| (c.place.file.clone(), c.place.test.clone(), c.place.order);
        key(a).cmp(&key(b))
    });
    for comparison in sorted {
        let test = comparison.place.test.clone().unwrap_or_default();
        let words = (comparison.place.file.clone(), test.clone(), comparison.what.clone());
        let order = *first.entry(words).or_insert(comparison.place.order);
        let rows = cases.entry(comparison.place.file.clone()).or_default();
        match rows.get_mut(&(test.clone(), order)) {
            None => {
                rows.insert((test, order), Row { worst: comparison });
            }
            Some(row) => {
                if comparison.strain() > row.worst.strain() {
                    row.worst = comparison;
                }
            }
        }
    }
    let mut text = opening.to_owned();
    let misses: Vec<&Row> =
        cases.values().flat_map(BTreeMap::values).filter(|row| row.worst.miss.is_some()).collect();
    writeln!(
        text,
        "\n{} comparisons in {} cases; {} of them miss their goal.",
        cases.values().map(BTreeMap::len).sum::<usize>(),
        cases.len(),
        misses.len()
    )?;
    for (name, file) in pictures {
        writeln!(text, "\n![{name}]({file})")?;
    }
    for (file, rows) in &cases {
        let source =
            fs::read_to_string(workspace.root().join(file)).with_context(|| file.clone())?;
        case(&mut text, file, &source, rows.values())?;
    }
    Ok(text)
}

/// One case: the head of its file, then its table, then what it misses.
fn case<'a>(
    text: &mut String,
    file: &str,
    source: &str,
    rows: impl Iterator<Item = &'a Row> + Clone,
) -> Result<()> {
    let head: Vec<&str> = source
        .lines()
        .map_while(|line| line.strip_prefix("//!"))
        .map(|line| line.strip_prefix(' ').unwrap_or(line))
        .collect();
    let blank = head.iter().position(|line| line.is_empty()).unwrap_or(head.len());
    let opening = head[..blank].join(" ");
    // A long opening has its title before the colon.
    let (title, rest) = match opening.split_once(": ") {
        Some(parts) if opening.len() > TITLE_MAX => parts,
        _ => (opening.as_str(), ""),
    };
    writeln!(text, "\n## {}\n\n`{file}`\n{rest}", title.trim_end_matches('.'))?;
    for line in &head[blank..] {
        writeln!(text, "{line}")?;
    }
    writeln!(text, "\n| quantity | theirs | ours | error | tolerance |\n|---|--:|--:|--:|--:|")?;
    for row in rows.clone() {
        let worst = &row.worst;
        let mut what = worst.what.replace('|', "/");
        if worst.miss.is_some() {
            what.push_str(" **missed**");
        }
        writeln!(
            text,
            "| {what} | {} | {} | {} | {} |",
            significant(worst.theirs, 6),
            significant(worst.shown(), 4),
            worst.error_in_words(),
            worst.in_words(worst.tolerance)
        )?;
    }
    let missed: Vec<&Row> = rows.filter(|row| row.worst.miss.is_some()).collect();
    if !missed.is_empty() {
        writeln!(text, "\nMissed, and why:\n")?;
        for row in missed {
            let why = row.worst.miss.as_deref().unwrap_or_default();
            writeln!(text, "- {}: {why}", row.worst.what)?;
        }
    }
    Ok(())
}

/// Longest title that is not cut.
const TITLE_MAX: usize = 90;

/// Differences below this share are rounding, which machines do differently.
const ROUNDING: f64 = 1e-8;

impl Comparison {
    fn error(&self) -> f64 {
        match self.kind {
            Kind::Relative => (self.ours - self.theirs) / self.theirs.abs(),
            Kind::Absolute => self.ours - self.theirs,
        }
    }

    /// Error over tolerance.
    fn strain(&self) -> f64 {
        self.error().abs() / self.tolerance
    }

    fn is_rounding(&self) -> bool {
        (self.ours - self.theirs).abs() <= ROUNDING * self.theirs.abs().max(1e-3)
    }

    fn shown(&self) -> f64 {
        if self.is_rounding() { self.theirs } else { self.ours }
    }

    fn error_in_words(&self) -> String {
        if self.is_rounding() { "0".to_owned() } else { self.in_words(self.error()) }
    }

    fn in_words(&self, value: f64) -> String {
        match self.kind {
            Kind::Relative => format!("{} %", significant(100.0 * value, 2)),
            Kind::Absolute => significant(value, 2),
        }
    }
}

/// `value` with so many significant digits, without trailing noughts.
fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let power = value.abs().log10().floor() as i32;
    if !(-4..6).contains(&power) {
        return format!("{value:.*e}", digits.saturating_sub(1));
    }
    let decimals = (digits as i32 - 1 - power).max(0) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Error over boxes, both by decades.
fn plot(name: &str, curves: &Curves) -> Result<String> {
    let points = || curves.values().flatten();
    let least = |pick: fn(&(f64, f64)) -> f64| points().map(pick).fold(f64::INFINITY, f64::min);
    let greatest = |pick: fn(&(f64, f64)) -> f64| points().map(pick).fold(0.0, f64::max);
    let across = (least(|p| p.0)..greatest(|p| p.0)).log_scale();
    let upward = (least(|p| p.1).max(1e-3)..greatest(|p| p.1)).log_scale();
    let mut text = String::new();
    {
        let area = SVGBackend::with_string(&mut text, (760, 460)).into_drawing_area();
        area.fill(&WHITE)?;
        let mut chart = ChartBuilder::on(&area)
            .caption(name, ("sans-serif", 18))
            .margin(12)
            .x_label_area_size(40)
            .y_label_area_size(60)
            .build_cartesian_2d(across, upward)?;
        chart
            .configure_mesh()
            .light_line_style(TRANSPARENT)
            .x_desc("boxes on both halves")
            .y_desc("distance from the finest grid, %")
            .draw()?;
        for (index, (curve, points)) in curves.iter().enumerate() {
            let colour = Palette99::pick(index).to_rgba();
            let floored = points.iter().map(|(x, y)| (*x, y.max(1e-3)));
            chart
                .draw_series(LineSeries::new(floored, colour.stroke_width(2)))?
                .label(curve)
                .legend(move |(x, y)| PathElement::new([(x, y), (x + 16, y)], colour));
        }
        chart.configure_series_labels().background_style(WHITE).border_style(BLACK).draw()?;
        area.present()?;
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::{significant, tells_the_same};

    #[test]
    fn digits() {
        assert_eq!(significant(0.123_456, 3), "0.123");
        assert_eq!(significant(-12.0, 3), "-12");
        assert_eq!(significant(123_456.0, 3), "123456");
        assert_eq!(significant(1.789_4e-5, 3), "1.79e-5");
        assert_eq!(significant(0.0, 3), "0");
    }

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
