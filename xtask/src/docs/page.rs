//! A page on what was checked: one line for each case, then each in full.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;

use anyhow::{Context, Result};

use super::comparison::{Comparison, Kind, significant};
use crate::workspace::Workspace;

/// One file of tests: its head, and of its checks under the same words the worst.
struct Case {
    file: String,
    title: String,
    /// Source, what is compared, why the tolerance is what it is.
    head: Vec<String>,
    rows: Vec<Comparison>,
}

impl Case {
    fn missed(&self) -> impl Iterator<Item = &Comparison> {
        self.rows.iter().filter(|row| row.miss.is_some())
    }

    /// How far half of the values lie off at the most, and the worst: of those
    /// with a relative tolerance, else of those with one in their unit.
    fn errors(&self) -> Option<(String, String)> {
        let of = |kind| {
            let rows = self.rows.iter().filter(move |row| row.kind == kind);
            let mut rows: Vec<&Comparison> = rows.collect();
            rows.sort_by(|a, b| a.error().abs().total_cmp(&b.error().abs()));
            rows
        };
        let relative = of(Kind::Relative);
        let rows = if relative.is_empty() { of(Kind::Absolute) } else { relative };
        let words = |row: &Comparison| {
            let error = if row.is_rounding() { 0.0 } else { row.error().abs() };
            row.in_words((error * 1e6).round() / 1e6)
        };
        Some((words(rows.get(rows.len() / 2)?), words(rows.last()?)))
    }
}

/// The page's text in Markdown.
pub fn page(
    workspace: &Workspace,
    opening: &str,
    comparisons: Vec<Comparison>,
    pictures: &[(String, String)],
) -> Result<String> {
    let cases = cases(workspace, comparisons)?;
    let mut text = opening.to_owned();
    writeln!(
        text,
        "\n{} comparisons in {} cases; {} of them miss their goal.",
        cases.iter().map(|case| case.rows.len()).sum::<usize>(),
        cases.len(),
        cases.iter().flat_map(Case::missed).count()
    )?;
    for (name, file) in pictures {
        writeln!(text, "\n![{name}]({file})")?;
    }
    overview(&mut text, &cases)?;
    for case in &cases {
        in_full(&mut text, case)?;
    }
    Ok(text)
}

fn cases(workspace: &Workspace, mut comparisons: Vec<Comparison>) -> Result<Vec<Case>> {
    comparisons.sort_by(|a, b| {
        let key = |c: &Comparison| (c.place.file.clone(), c.place.test.clone(), c.place.order);
        key(a).cmp(&key(b))
    });
    // First place of every kind of check, so that rows stand in the tests' order.
    let mut first: BTreeMap<(String, String, String), usize> = BTreeMap::new();
    let mut files: BTreeMap<String, BTreeMap<(String, usize), Comparison>> = BTreeMap::new();
    for comparison in comparisons {
        let test = comparison.place.test.clone().unwrap_or_default();
        let words = (comparison.place.file.clone(), test.clone(), comparison.what.clone());
        let order = *first.entry(words).or_insert(comparison.place.order);
        let rows = files.entry(comparison.place.file.clone()).or_default();
        let worst = rows.get(&(test.clone(), order)).map_or(-1.0, Comparison::strain);
        if comparison.strain() > worst {
            rows.insert((test, order), comparison);
        }
    }
    files
        .into_iter()
        .map(|(file, rows)| {
            let path = workspace.root().join(&file);
            let source = fs::read_to_string(path).with_context(|| file.clone())?;
            let (title, head) = head(&source);
            Ok(Case { file, title, head, rows: rows.into_values().collect() })
        })
        .collect()
}

/// The title and the rest of what the head of a test's file tells.
fn head(source: &str) -> (String, Vec<String>) {
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
    let lines = std::iter::once(rest).chain(head[blank..].iter().copied());
    (title.trim_end_matches('.').to_owned(), lines.map(str::to_owned).collect())
}

/// Longest title that is not cut.
const TITLE_MAX: usize = 90;

fn overview(text: &mut String, cases: &[Case]) -> Result<()> {
    writeln!(text, "\n| case | values | missed | half within | worst |\n|---|--:|--:|--:|--:|")?;
    for case in cases {
        let (half, worst) = case.errors().unwrap_or_default();
        let (title, count) = (case.title.replace('|', "/"), case.rows.len());
        let missed = case.missed().count();
        writeln!(text, "| {title} | {count} | {missed} | {half} | {worst} |")?;
    }
    Ok(())
}

/// One case: the head of its file, then its table, then what it misses.
fn in_full(text: &mut String, case: &Case) -> Result<()> {
    writeln!(text, "\n## {}\n\n`{}`", case.title, case.file)?;
    for line in &case.head {
        writeln!(text, "{line}")?;
    }
    writeln!(text, "\n| quantity | theirs | ours | error | tolerance |\n|---|--:|--:|--:|--:|")?;
    for row in &case.rows {
        let mut what = row.what.replace('|', "/");
        if row.miss.is_some() {
            what.push_str(" **missed**");
        }
        writeln!(
            text,
            "| {what} | {} | {} | {} | {} |",
            significant(row.theirs, 6),
            significant(row.shown(), 4),
            row.error_in_words(),
            row.in_words(row.tolerance)
        )?;
    }
    if case.missed().next().is_some() {
        writeln!(text, "\nMissed, and why:\n")?;
        for row in case.missed() {
            writeln!(text, "- {}: {}", row.what, row.miss.as_deref().unwrap_or_default())?;
        }
    }
    Ok(())
}
