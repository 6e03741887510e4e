//! Which tests come by which places, and what they make of a mutant there.

use std::collections::{BTreeSet, HashSet};
use std::fs;
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitStatus, Stdio};
use std::sync::Mutex;
use std::thread;
use std::time::Instant;

use anyhow::{Result, bail};

use crate::sites::Kind;

/// A mutant may take a test this many times as long as it took alone, and
/// [`CPU_SPARE_S`] more.
const CPU_RATIO: f64 = 8.0;
/// Processor seconds on top of that.
const CPU_SPARE_S: f64 = 3.0;
/// The signal at the end of the processor time, SIGXCPU.
const OUT_OF_TIME: i32 = 24;

/// A program that holds tests.
#[derive(Debug, Clone)]
pub struct Binary {
    /// Where it stands.
    pub path: PathBuf,
    /// The folder it runs in.
    pub folder: PathBuf,
}

/// One test.
#[derive(Debug)]
pub struct Test {
    binary: Binary,
    name: String,
    /// Time that it took by itself, noting what it came by, s.
    seconds: f64,
    /// Numbers of the sites that it came by.
    visits: HashSet<usize>,
}

/// What became of a mutant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// A test failed.
    Caught,
    /// A test did not come to an end.
    Endless,
    /// Every test that comes by passed.
    Missed,
    /// The quickest tests passed, and there was no time for the others.
    Unsettled,
    /// No test comes by.
    Unvisited,
}

impl Test {
    /// Its name with its modules.
    pub fn name(&self) -> &str {
        &self.name
    }
}

impl Fate {
    /// All.
    pub const ALL: [Self; 5] =
        [Self::Caught, Self::Endless, Self::Missed, Self::Unsettled, Self::Unvisited];

    /// The fate that is written so.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|fate| format!("{fate:?}") == name)
    }
}

/// Does the same with each item, `jobs` of them at once.
///
/// # Errors
/// The first one met; the other workers end their items.
pub fn each<T: Send>(
    jobs: usize,
    items: impl Iterator<Item = T> + Send,
    act: impl Fn(T) -> Result<()> + Sync,
) -> Result<()> {
    let waiting = Mutex::new(items);
    let work = || -> Result<()> {
        while let Some(item) = waiting.lock().ok().and_then(|mut items| items.next()) {
            act(item)?;
        }
        Ok(())
    };
    thread::scope(|scope| {
        let workers: Vec<_> = (0..jobs.max(1)).map(|_| scope.spawn(work)).collect();
        for worker in workers {
            worker.join().unwrap_or_else(|_| bail!("a worker failed"))?;
        }
        Ok(())
    })
}

/// Runs every test but those `known` by itself, notes what it comes by, and puts
/// the quickest first. One that fails without any mutant, such as a bound of time that noting exceeds,
/// is named and left out.
///
/// # Errors
/// A test that cannot be started.
pub fn record(binaries: &[Binary], copy: &Path, known: &BTreeSet<&str>) -> Result<Vec<Test>> {
    let mut names = Vec::new();
    for binary in binaries {
        let answer = Command::new(&binary.path).args(["--list", "--format", "terse"]).output()?;
        for line in String::from_utf8_lossy(&answer.stdout).lines() {
            let name = line.strip_suffix(": test").filter(|name| !known.contains(name));
            names.extend(name.map(|name| (binary, name.to_owned())));
        }
    }
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let tests = Mutex::new(Vec::new());
    each(cores, names.into_iter().enumerate(), |(number, (binary, name))| {
        let test = record_one(binary, name, &copy.join(format!("visits-{number}")))?;
        if let Ok(mut tests) = tests.lock() {
            tests.extend(test);
        }
        Ok(())
    })?;
    let mut tests = tests.into_inner().unwrap_or_default();
    tests.sort_by(|a: &Test, b: &Test| a.seconds.total_cmp(&b.seconds));
    let total: f64 = tests.iter().map(|test| test.seconds).sum();
    println!("{} tests, {total:.0} s one after the other", tests.len());
    for test in tests.iter().rev().take(12) {
        println!("{:7.1} s {}", test.seconds, test.name);
    }
    Ok(tests)
}

fn record_one(binary: &Binary, name: String, visits: &Path) -> Result<Option<Test>> {
    let start = Instant::now();
    let mut command = Command::new(&binary.path);
    let status = alone(&mut command, binary, &name)
        .env("FLEDGE_VISITS", visits)
        .stdout(Stdio::null())
        .status()?;
    if !status.success() {
        println!("left out, since it fails without any mutant: {name}");
        return Ok(None);
    }
    let seconds = start.elapsed().as_secs_f64();
    // A test that comes by nothing writes nothing.
    let text = fs::read_to_string(visits).unwrap_or_default();
    let visits = text.lines().filter_map(|line| line.parse().ok()).collect();
    Ok(Some(Test { binary: binary.clone(), name, seconds, visits }))
}

fn alone<'a>(command: &'a mut Command, binary: &Binary, name: &str) -> &'a mut Command {
    command
        .args(["--exact", name, "--test-threads", "1"])
        .current_dir(&binary.folder)
        .env("PROPTEST_MAX_SHRINK_ITERS", "0")
        .env("PROPTEST_DISABLE_FAILURE_PERSISTENCE", "1")
        .env("RUST_BACKTRACE", "0")
        .stderr(Stdio::null())
}

/// Runs the tests that come by a mutant's site, the quickest first, until one
/// fails or their times add up to `seconds`; its fate, and the test that told it.
///
/// # Errors
/// A test that cannot be started.
pub fn try_mutant(tests: &[Test], site: usize, kind: Kind, seconds: f64) -> Result<(Fate, String)> {
    let mutant = u32::try_from(4 * site)? + kind as u32;
    let mut fate = Fate::Unvisited;
    let mut spent = 0.0;
    for test in tests.iter().filter(|test| test.visits.contains(&site)) {
        spent += test.seconds;
        if spent > seconds {
            return Ok((Fate::Unsettled, String::new()));
        }
        let status = try_one(test, mutant)?;
        if status.signal() == Some(OUT_OF_TIME) {
            return Ok((Fate::Endless, test.name.clone()));
        }
        if !status.success() {
            return Ok((Fate::Caught, test.name.clone()));
        }
        fate = Fate::Missed;
    }
    Ok((fate, String::new()))
}

fn try_one(test: &Test, mutant: u32) -> Result<ExitStatus> {
    let cpu_s = (CPU_RATIO * test.seconds + CPU_SPARE_S).ceil();
    let mut command = Command::new("sh");
    command
        .arg("-c")
        .arg(format!("ulimit -t {cpu_s}; ulimit -v 8000000; exec \"$0\" \"$@\""))
        .arg(&test.binary.path);
    let status = alone(&mut command, &test.binary, &test.name)
        .env("FLEDGE_MUTANT", mutant.to_string())
        .stdout(Stdio::null())
        .status()?;
    Ok(status)
}
