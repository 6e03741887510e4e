//! The copy of the sources that holds every mutant, and its tests.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

use crate::sites::{self, Site};
use crate::trial::Binary;

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
/// What stands among the physics for tests only.
const SUPPORT: [&str; 4] = ["throws/cases.rs", "power/samples.rs", "tests.rs", "tests/"];
/// Where in the copy the sources stand as they were found.
const PRISTINE: &str = "pristine";
/// Rounds of leaving out what the compiler refuses.
const ROUNDS_MAX: usize = 12;

/// Where each site's text stands in the changed file: first byte, the one behind
/// the last, number of the site.
type Places = BTreeMap<String, Vec<(usize, usize, usize)>>;

/// Copies what the tests need and finds the sites of the physics.
///
/// # Errors
/// Files that cannot be read or written, sources that are not Rust.
pub fn take(root: &Path, copy: &Path) -> Result<Vec<Site>> {
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
        let physics = |part: &&str| name == **part || name.starts_with(&format!("{part}/"));
        if PHYSICS.iter().any(physics) && !SUPPORT.iter().any(|part| name.contains(part)) {
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
    let twist = include_str!("twist.rs")
        .replace("SITES: usize = 0", &format!("SITES: usize = {}", sites.len()));
    fs::write(copy.join("sim-core/src/mutation.rs"), twist)?;
    Ok(places)
}

/// Builds the tests, leaving out sites of types that cannot be changed, and
/// returns the test binaries.
///
/// # Errors
/// A copy whose tests do not build even so.
pub fn build(copy: &Path, sites: &mut Vec<Site>) -> Result<Vec<Binary>> {
    for _ in 0..ROUNDS_MAX {
        let places = instrument(copy, sites)?;
        let refused = refused(copy, &places)?;
        if refused.is_empty() {
            let answer = cargo(copy)
                .args([
                    "test",
                    "--release",
                    "--no-run",
                    "-p",
                    "sim-core",
                    "-p",
                    "fledge-tests",
                    "--lib",
                ])
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
    command.current_dir(copy).env("CARGO_TARGET_DIR", copy.with_extension("build"));
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

fn binaries(copy: &Path, messages: &str) -> Result<Vec<Binary>> {
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
            // A later build may put its own in the same place.
            let kept = copy.join(name);
            fs::copy(path, &kept)?;
            found.push(Binary { path: kept, folder: copy.join(folder) });
        }
    }
    Ok(found)
}
