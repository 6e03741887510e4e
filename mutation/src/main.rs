//! Breaks the physics, one term at a time, and counts what no test notices.
//!
//! A build for each mutant would take a minute; here one build holds them all
//! and an environment variable switches one on (`twist.rs`). The copy of the
//! sources lies in the target folder; nothing of the tree is touched.
//!
//!     cargo run --release --manifest-path mutation/Cargo.toml -- --minutes 60 [WORDS]
//!
//! Files whose path holds one of WORDS, or all physics; with `--again` only what
//! was missed before, to see whether a new test catches it. The sample takes the
//! files in turn, in an order that is always the same, so a short run is fair to
//! all files and a longer one goes on where a shorter one ended.

mod sites;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};
use sites::{Kind, Site};

/// What is physics; the rest of the core judges, words or records it.
const PHYSICS: [&str; 11] = [
    "math",
    "frames.rs",
    "atmosphere.rs",
    "airframe.rs",
    "mass.rs",
    "aero",
    "power",
    "dynamics",
    "analysis",
    "handling",
    "throws",
];
/// Processor seconds for one test binary: ten times the slowest without a mutant.
const CPU_S_MAX: u32 = 90;
/// The signal at the end of the processor time, SIGXCPU.
const OUT_OF_TIME: i32 = 24;
/// Where in the copy the sources stand as they were found.
const PRISTINE: &str = "pristine";
/// Rounds of leaving out what the compiler refuses.
const ROUNDS_MAX: usize = 12;

/// Where each site's text stands in the changed file: first byte, the one behind
/// the last, number of the site.
type Places = BTreeMap<String, Vec<(usize, usize, usize)>>;

fn main() -> Result<()> {
    let mut minutes = 60;
    let (mut skip, mut again) = (0, false);
    let mut words = Vec::new();
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        let mut number = || -> Result<u64> { Ok(arguments.next().unwrap_or_default().parse()?) };
        match argument.as_str() {
            "--minutes" => minutes = number().context("--minutes N")?,
            "--again" => again = true,
            "--skip" => skip = usize::try_from(number().context("--skip N")?)?,
            other if other.starts_with('-') => bail!("there is no option {other}"),
            word => words.push(word.to_owned()),
        }
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().context("no folder above")?;
    let copy = root.join("target").join("mutation");
    let mut found = copy_and_find(root, &copy)?;
    let tests = build(&copy, &mut found)?;
    println!(
        "{} sites, {} mutants",
        found.len(),
        found.iter().map(|s| s.kinds.len()).sum::<usize>()
    );
    let mut chosen = in_turn(&found, &words);
    let results = copy.with_extension("csv");
    if again {
        let before = fs::read_to_string(&results).context("nothing was tried before")?;
        let missed: BTreeSet<String> = before.lines().filter_map(missed_before).collect();
        chosen.retain(|(site, kind)| missed.contains(&name(&found[*site], *kind)));
    }
    chosen.drain(..skip.min(chosen.len()));
    let results = if again { copy.with_extension("again.csv") } else { results };
    run(&found, &tests, chosen, &results, Duration::from_secs(60 * minutes))
}

/// Copies what the tests need and finds the sites of the physics.
fn copy_and_find(root: &Path, copy: &Path) -> Result<Vec<Site>> {
    if copy.exists() {
        fs::remove_dir_all(copy)?;
    }
    for folder in ["sim-core", "tests", "docs"] {
        copy_folder(&root.join(folder), &copy.join(folder))?;
    }
    for file in ["Cargo.lock", "rust-toolchain.toml"] {
        fs::copy(root.join(file), copy.join(file))?;
    }
    let manifest = fs::read_to_string(root.join("Cargo.toml"))?;
    let members: String = manifest
        .lines()
        .map(|line| match line.split_once(" = ") {
            Some(("members" | "default-members", _)) => "",
            _ => line,
        })
        .map(|line| line.replace("exclude = [", "members = [\"sim-core\", \"tests\"]\nexclude = ["))
        .collect::<Vec<_>>()
        .join("\n");
    fs::write(copy.join("Cargo.toml"), members)?;
    // The tree may be worked on while this runs.
    let source = copy.join(PRISTINE);
    copy_folder(&copy.join("sim-core/src"), &source)?;
    let mut files = Vec::new();
    collect(&source, &mut files)?;
    files.sort();
    let mut found = Vec::new();
    for path in files {
        let name = path.strip_prefix(&source)?.to_string_lossy().replace('\\', "/");
        if PHYSICS.iter().any(|part| name == *part || name.starts_with(&format!("{part}/"))) {
            let text = fs::read_to_string(&path)?;
            found.extend(sites::find(&name, &text).with_context(|| name.clone())?);
        }
    }
    Ok(found)
}

fn copy_folder(from: &Path, to: &Path) -> Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy_folder(&entry.path(), &target)?;
        } else {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) -> Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, files)?;
        } else if path.extension().is_some_and(|end| end == "rs") {
            files.push(path);
        }
    }
    Ok(())
}

/// Writes the sites' calls into the copy. Returns, for each file, where each
/// site's text now stands.
fn instrument(copy: &Path, sites: &[Site]) -> Result<Places> {
    let mut places = BTreeMap::new();
    let files: BTreeSet<&str> = sites.iter().map(|site| site.file.as_str()).collect();
    for file in files {
        let text = fs::read_to_string(copy.join(PRISTINE).join(file))?;
        let mut inserts = Vec::new();
        for (number, site) in sites.iter().enumerate().filter(|(_, site)| site.file == file) {
            let length = site.end - site.start;
            // At one place: ends before beginnings, of ends the inner first, of
            // beginnings the outer first.
            inserts.push((
                site.start,
                1,
                usize::MAX - length,
                format!("crate::mutation::twist({number}, "),
                number,
            ));
            inserts.push((site.end, 0, length, ")".to_owned(), number));
        }
        inserts.sort();
        let mut out = String::new();
        let mut from = 0;
        let mut open = BTreeMap::new();
        let list: &mut Vec<(usize, usize, usize)> = places.entry(file.to_owned()).or_default();
        for (at, begins, _, insert, number) in inserts {
            out.push_str(&text[from..at]);
            from = at;
            if begins == 1 {
                open.insert(number, out.len());
                out.push_str(&insert);
            } else {
                out.push_str(&insert);
                list.push((open[&number], out.len(), number));
            }
        }
        out.push_str(&text[from..]);
        fs::write(copy.join("sim-core/src").join(file), out)?;
    }
    let mut library = fs::read_to_string(copy.join(PRISTINE).join("lib.rs"))?;
    // Calls put about whole arguments keep the parentheses that these had.
    library.insert_str(library.find("\npub mod").unwrap_or(0), "\n#![allow(unused_parens)]\n");
    library.push_str("\n#[allow(missing_docs, dead_code)]\npub mod mutation;\n");
    fs::write(copy.join("sim-core/src/lib.rs"), library)?;
    fs::write(copy.join("sim-core/src/mutation.rs"), include_str!("twist.rs"))?;
    Ok(places)
}

/// Builds the tests, leaving out sites of types that cannot be changed, and
/// returns the test binaries with the folders they run in.
fn build(copy: &Path, sites: &mut Vec<Site>) -> Result<Vec<(PathBuf, PathBuf)>> {
    for _ in 0..ROUNDS_MAX {
        let places = instrument(copy, sites)?;
        let refused = refused(copy, &places)?;
        if refused.is_empty() {
            let answer = cargo(copy)
                .args(["test", "--no-run", "-p", "sim-core", "-p", "fledge-tests", "--lib"])
                .args(["--test", "property", "--test", "validation"])
                .args(["--message-format", "json-render-diagnostics"])
                .stderr(Stdio::inherit())
                .output()?;
            if !answer.status.success() {
                bail!("the tests do not build");
            }
            return binaries(copy, &String::from_utf8_lossy(&answer.stdout));
        }
        println!("{} sites of other types left out", refused.len());
        let mut number = 0;
        sites.retain(|_| {
            number += 1;
            !refused.contains(&(number - 1))
        });
    }
    bail!("the copy still does not build")
}

fn cargo(copy: &Path) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or("cargo".into()));
    command.current_dir(copy).env("CARGO_INCREMENTAL", "1");
    if std::env::var_os("CARGO_TARGET_DIR").is_none() {
        command.env("CARGO_TARGET_DIR", copy.join("target"));
    }
    command
}

/// Numbers of the sites in which the compiler finds an error.
fn refused(copy: &Path, places: &Places) -> Result<BTreeSet<usize>> {
    let answer =
        cargo(copy).args(["check", "-p", "sim-core", "--message-format", "json"]).output()?;
    let text = String::from_utf8_lossy(&answer.stdout);
    let mut refused = BTreeSet::new();
    for line in text.lines() {
        let message: serde_json::Value = serde_json::from_str(line)?;
        let message = &message["message"];
        if message["level"] != "error" {
            continue;
        }
        for span in message["spans"].as_array().into_iter().flatten() {
            let name = span["file_name"].as_str().unwrap_or_default();
            let Some(file) = name.split_once("src/").map(|(_, file)| file) else { continue };
            let start = span["byte_start"].as_u64().unwrap_or(0) as usize;
            let end = span["byte_end"].as_u64().unwrap_or(0) as usize;
            // The innermost site around the fault.
            let around = places.get(file).into_iter().flatten();
            let innermost = around
                .filter(|(from, to, _)| *from <= start && end <= *to)
                .min_by_key(|(from, to, _)| to - from);
            refused.extend(innermost.map(|(_, _, number)| *number));
        }
    }
    if refused.is_empty() && !answer.status.success() {
        bail!("{}", String::from_utf8_lossy(&answer.stderr));
    }
    Ok(refused)
}

fn binaries(copy: &Path, messages: &str) -> Result<Vec<(PathBuf, PathBuf)>> {
    let mut found = Vec::new();
    for line in messages.lines() {
        let Ok(message) = serde_json::from_str::<serde_json::Value>(line) else { continue };
        let Some(path) = message["executable"].as_str() else { continue };
        let folder = if message["package_id"].as_str().unwrap_or_default().contains("sim-core") {
            "sim-core"
        } else {
            "tests"
        };
        // The library of the tests has none of its own.
        if message["target"]["name"] != "fledge_tests" {
            let name = path.rsplit('/').next().unwrap_or(path);
            // Another build may put its own in the same place.
            let kept = copy.join(name);
            fs::copy(path, &kept)?;
            found.push((kept, copy.join(folder)));
        }
    }
    // The quickest first: the core's own, published cases, properties.
    found.sort_by_key(|(path, folder)| {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        (!folder.ends_with("sim-core"), name.starts_with("property"), name)
    });
    Ok(found)
}

/// What became of a mutant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Fate {
    Caught,
    Endless,
    Missed,
}

/// A mutant by file, kind and text, whatever its line.
fn name(site: &Site, kind: Kind) -> String {
    format!("{};{kind:?};{}", site.file, site.text)
}

/// The name of a mutant of an earlier run, where it was missed.
fn missed_before(line: &str) -> Option<String> {
    let mut parts = line.strip_prefix("Missed;")?.split(';');
    let (file, _, kind, what) = (parts.next()?, parts.next()?, parts.next()?, parts.next()?);
    Some(format!("{file};{kind};{what}"))
}

fn run(
    sites: &[Site],
    tests: &[(PathBuf, PathBuf)],
    chosen: Vec<(usize, Kind)>,
    results: &Path,
    time: Duration,
) -> Result<()> {
    for (binary, folder) in tests {
        let start = Instant::now();
        let (fate, by) = try_one(binary, folder, u32::MAX - 1, "")?;
        println!("{}: {:.1} s", binary.display(), start.elapsed().as_secs_f64());
        if fate != Fate::Missed {
            bail!("without any mutant {by} fails");
        }
    }
    let start = Instant::now();
    let mut tally: BTreeMap<String, BTreeMap<Fate, usize>> = BTreeMap::new();
    let mut out = fs::OpenOptions::new().create(true).append(true).open(results)?;
    for (site, kind) in chosen {
        if start.elapsed() > time {
            break;
        }
        let mutant = u32::try_from(4 * site)? + kind as u32;
        let site = &sites[site];
        let (mut fate, mut by) = (Fate::Missed, String::new());
        // The tests that stand beside the code are the likeliest to notice.
        let near = beside(&site.file);
        let first = tests.iter().take(1).map(|test| (test, near.as_str()));
        for ((binary, folder), words) in first.chain(tests.iter().map(|test| (test, ""))) {
            (fate, by) = try_one(binary, folder, mutant, words)?;
            if fate != Fate::Missed {
                break;
            }
        }
        let line = format!("{fate:?};{};{};{kind:?};{};{by}", site.file, site.line, site.text);
        writeln!(out, "{line}")?;
        if fate != Fate::Caught {
            println!("{line}");
        }
        let part = site.file.split('/').next().unwrap_or_default().to_owned();
        *tally.entry(part).or_default().entry(fate).or_default() += 1;
    }
    println!("\n| part | mutants | caught | endless | missed |\n|---|--:|--:|--:|--:|");
    for (part, fates) in &tally {
        let of = |fate| fates.get(&fate).copied().unwrap_or(0);
        println!(
            "| {part} | {} | {} | {} | {} |",
            fates.values().sum::<usize>(),
            of(Fate::Caught),
            of(Fate::Endless),
            of(Fate::Missed)
        );
    }
    println!("\nEvery mutant stands in {}", results.display());
    Ok(())
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

/// What the names of the core's tests in a file's module and below begin with.
fn beside(file: &str) -> String {
    let module = file.trim_end_matches(".rs").trim_end_matches("/mod");
    module.replace('/', "::") + "::"
}

/// Runs the tests of one binary whose names hold `words` with one mutant; ends it
/// at the first test that fails.
fn try_one(binary: &Path, folder: &Path, mutant: u32, words: &str) -> Result<(Fate, String)> {
    let mut child = Command::new("sh")
        .arg("-c")
        .arg(format!("ulimit -t {CPU_S_MAX}; ulimit -v 8000000; exec \"$0\" \"$@\""))
        .arg(binary)
        .args((!words.is_empty()).then_some(words))
        .current_dir(folder)
        .env("FLEDGE_MUTANT", mutant.to_string())
        .env("PROPTEST_MAX_SHRINK_ITERS", "0")
        .env("RUST_BACKTRACE", "0")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()?;
    let stdout = child.stdout.take().context("no output")?;
    for line in BufReader::new(stdout).lines() {
        let line = line?;
        if let Some(test) = line.strip_suffix(" ... FAILED") {
            child.kill()?;
            child.wait()?;
            return Ok((Fate::Caught, test.trim_start_matches("test ").to_owned()));
        }
    }
    let status = child.wait()?;
    Ok(match (status.success(), status.code()) {
        (true, _) => (Fate::Missed, String::new()),
        (false, None) if status.signal() == Some(OUT_OF_TIME) => (Fate::Endless, String::new()),
        (false, _) => (Fate::Caught, "the process ended".to_owned()),
    })
}
