//! Breaks the physics, one term at a time, and counts what no test notices.
//!
//! A build for each mutant would take a minute; here one build holds them all
//! and an environment variable switches one on (`twist.rs`). The copy of the
//! sources lies in the target folder; nothing of the tree is touched. Every test
//! is first run by itself and tells which places it comes by (`trial.rs`): a
//! mutant meets only these, the quickest first.
//!
//!     cargo run --release --manifest-path mutation/Cargo.toml -- --minutes 60 [WORDS]
//!
//! Files whose path holds one of WORDS, or all physics. The sample takes the
//! files in turn, in an order that is always the same, so a short run is fair to
//! all files; a later one leaves out what stands in the results already. `--seconds`
//! bounds the tests that one mutant meets: one beyond is `Unsettled`. With `--again`
//! only what was not caught is tried, and with `--new` only by tests written since.

mod copy;
mod sites;
mod trial;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::Write;
use std::path::Path;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};
use sites::{Kind, Site};
use trial::{Fate, Test};

/// How many mutants of each part ended how.
type Tally = BTreeMap<String, BTreeMap<Fate, usize>>;

/// What is asked for.
struct Orders {
    minutes: u64,
    seconds: f64,
    jobs: usize,
    again: bool,
    new: bool,
    words: Vec<String>,
}

impl Orders {
    fn read() -> Result<Self> {
        let mut orders = Self {
            minutes: 60,
            seconds: f64::INFINITY,
            jobs: 1,
            again: false,
            new: false,
            words: Vec::new(),
        };
        let mut arguments = std::env::args().skip(1);
        while let Some(argument) = arguments.next() {
            let mut value = || arguments.next().unwrap_or_default();
            match argument.as_str() {
                "--minutes" => orders.minutes = value().parse().context("--minutes N")?,
                "--seconds" => orders.seconds = value().parse().context("--seconds N")?,
                "--jobs" => orders.jobs = value().parse().context("--jobs N")?,
                "--again" => orders.again = true,
                "--new" => (orders.again, orders.new) = (true, true),
                other if other.starts_with('-') => bail!("there is no option {other}"),
                word => orders.words.push(word.to_owned()),
            }
        }
        Ok(orders)
    }
}

fn main() -> Result<()> {
    let orders = Orders::read()?;
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().context("no folder above")?;
    let target = std::env::var_os("CARGO_TARGET_DIR");
    let copy = target.map_or_else(|| root.join("target"), Into::into).join("mutation");
    let mut sites = copy::take(root, &copy)?;
    let binaries = copy::build(&copy, &mut sites)?;
    println!(
        "{} sites, {} mutants",
        sites.len(),
        sites.iter().map(|s| s.kinds.len()).sum::<usize>()
    );
    let list = copy.with_extension("tests");
    let known = if orders.new { fs::read_to_string(&list)? } else { String::new() };
    let known: BTreeSet<&str> = known.lines().collect();
    let tests = trial::record(&binaries, &copy, &known)?;
    if !orders.new {
        fs::write(list, tests.iter().map(Test::name).collect::<Vec<_>>().join("\n"))?;
    }
    let results = copy.with_extension("csv");
    let before = fs::read_to_string(&results).unwrap_or_default();
    let chosen = choose(&sites, &orders, &before);
    println!("{} mutants to try", chosen.len());
    let results = if orders.again { copy.with_extension("again.csv") } else { results };
    run(&sites, &tests, chosen, &results, &orders)
}

/// What is to be tried after an earlier run: what does not stand in it, or again
/// what was not caught, wherever its line is by now.
fn choose(sites: &[Site], orders: &Orders, before: &str) -> Vec<(usize, Kind)> {
    let mut tried = BTreeSet::new();
    let mut left = BTreeSet::new();
    for line in before.lines() {
        let parts =
            line.split_once(';').and_then(|(fate, rest)| Some((fate, rest.rsplit_once(';')?)));
        let Some((fate, (name, _))) = parts else { continue };
        tried.insert(name.to_owned());
        if !matches!(Fate::named(fate), Some(Fate::Caught | Fate::Endless)) {
            left.insert(anywhere(name));
        }
    }
    let mut chosen = in_turn(sites, &orders.words);
    chosen.retain(|(site, kind)| {
        let name = name(&sites[*site], *kind);
        if orders.again { left.contains(&anywhere(&name)) } else { !tried.contains(&name) }
    });
    chosen
}

/// A mutant by file, line, kind and text.
fn name(site: &Site, kind: Kind) -> String {
    format!("{};{};{kind:?};{}", site.file, site.line, site.text.replace(';', ","))
}

/// A name without its line.
fn anywhere(name: &str) -> String {
    name.split(';').enumerate().filter(|(part, _)| *part != 1).map(|(_, text)| text).collect()
}

/// Tries the mutants, several at once if so ordered, until the time is over.
fn run(
    sites: &[Site],
    tests: &[Test],
    chosen: Vec<(usize, Kind)>,
    results: &Path,
    orders: &Orders,
) -> Result<()> {
    let start = Instant::now();
    let time = Duration::from_secs(60 * orders.minutes);
    let out = fs::OpenOptions::new().create(true).append(true).open(results)?;
    let done = Mutex::new((out, Tally::new()));
    let in_time = chosen.into_iter().take_while(|_| start.elapsed() < time);
    trial::each(orders.jobs, in_time, |(number, kind)| {
        let site = &sites[number];
        let (fate, by) = trial::try_mutant(tests, number, kind, orders.seconds)?;
        let line = format!("{fate:?};{};{by}", name(site, kind));
        if fate != Fate::Caught {
            println!("{line}");
        }
        let part = site.file.split('/').next().unwrap_or_default().to_owned();
        if let Ok(mut done) = done.lock() {
            writeln!(done.0, "{line}")?;
            *done.1.entry(part).or_default().entry(fate).or_default() += 1;
        }
        Ok(())
    })?;
    if let Ok(done) = done.lock() {
        print_table(&done.1);
    }
    println!("\nEvery mutant stands in {}", results.display());
    Ok(())
}

fn print_table(tally: &Tally) {
    println!("\n| part | mutants | caught | endless | missed | unsettled | unvisited |");
    println!("|---|--:|--:|--:|--:|--:|--:|");
    for (part, fates) in tally {
        let of = |fate| fates.get(&fate).copied().unwrap_or(0).to_string();
        let all = fates.values().sum::<usize>();
        let figures: Vec<String> = Fate::ALL.into_iter().map(of).collect();
        println!("| {part} | {all} | {} |", figures.join(" | "));
    }
}

/// Mutants in the order of the sample: the files in turn, within a file as a
/// fixed hash has them.
fn in_turn(sites: &[Site], words: &[String]) -> Vec<(usize, Kind)> {
    let mut files: BTreeMap<&str, Vec<(u64, usize, Kind)>> = BTreeMap::new();
    for (number, site) in sites.iter().enumerate() {
        if !words.is_empty() && !words.iter().any(|word| site.file.contains(word.as_str())) {
            continue;
        }
        for &kind in site.kinds {
            // By place in the file, so that other files do not move the order.
            let seed = (site.start as u64) << 2 | kind as u64;
            let hash = (seed ^ 0x9e37_79b9).wrapping_mul(0xbf58_476d_1ce4_e5b9).rotate_left(31);
            let hash = hash.wrapping_mul(0x94d0_49bb_1331_11eb);
            files.entry(&site.file).or_default().push((hash >> 8, number, kind));
        }
    }
    let mut order = Vec::new();
    for list in files.values_mut() {
        list.sort();
        order.extend(list.iter().enumerate().map(|(turn, (_, site, kind))| (turn, *site, *kind)));
    }
    order.sort();
    order.into_iter().map(|(_, site, kind)| (site, kind)).collect()
}
