//! `cargo xtask test`: everything that must hold before a change is taken.

use std::env;
use std::thread;
use std::time::Instant;

use anyhow::{Context, Result, bail};

use crate::bundle::{Finish, Offline};
use crate::serve::Server;
use crate::setup::{Browser, WASM_TARGET, ensure_browser, ensure_wasm_target};
use crate::workspace::{Workspace, run};
use crate::{bundle, docs, instructions, size};

/// Runs the whole gate; stops at the first step that fails.
pub fn run_all(workspace: &Workspace) -> Result<()> {
    ensure_wasm_target(workspace)?;
    let browser = ensure_browser()?;

    step("format", || run(&mut workspace.cargo(["fmt", "--all", "--check"])))?;
    step("one nalgebra", || check_single_version(workspace, "nalgebra"))?;
    step("lints", || {
        run(workspace
            .cargo(["clippy", "--workspace", "--exclude", "web", "--all-features"])
            .args(ALL_TARGETS)
            .args(DENY))
    })?;
    // What the page stands on is linted with it.
    step("lints for WebAssembly", || {
        run(workspace
            .cargo(["clippy", "--package", "web", "--target", WASM_TARGET, "--lib", "--tests"])
            .args(DENY))
    })?;
    // The page is built beside what follows, since either often has work for one
    // core alone. Cargo keeps the results of each profile apart: no one waits.
    thread::scope(|scope| {
        let page = scope.spawn(|| bundle::build(workspace, Finish::Small, Offline::Kept));
        let record = docs::fresh_record(workspace)?;
        step("native tests", || {
            run(workspace.cargo(["test"]).args(NATIVE).env(docs::RECORD, &record))?;
            run(&mut workspace.cargo(["test", "--package", "xtask"]))
        })?;
        step("pages on validation", || docs::settle_all(workspace, &record, true))?;
        step("instructions", || instructions::check(workspace))?;
        step("WebAssembly tests", || build_wasm_tests(workspace))?;
        step("page", || page.join().unwrap_or_else(|_| bail!("it panicked")))
    })?;
    step("size", || size::check_budget(workspace))?;
    step("WebAssembly tests in the browser", || test_wasm(workspace, &browser))?;
    step("page in the browser", || test_page(workspace, &browser, &[]))
}

/// What is tested natively. The page is tested as what it is, WebAssembly:
/// building its framework natively as well would take minutes and show nothing
/// more. The features are those that its tests in the browser need: with others
/// cargo would compile a fifth of the dependencies a second time for these, the
/// core among them. For the same reason `xtask` is tested by itself, as it was built.
const NATIVE: [&str; 6] =
    ["--package", "sim-core", "--package", "fledge-tests", "--features", "fledge-tests/browser"];

/// All targets; the tests in the browser must be named, since `cargo test` alone
/// leaves them out.
const ALL_TARGETS: [&str; 7] =
    ["--lib", "--bins", "--tests", "--benches", "--examples", "--test", BROWSER_TESTS];
const BROWSER_TESTS: &str = "browser";

const DENY: [&str; 3] = ["--", "-D", "warnings"];

fn step(name: &str, work: impl FnOnce() -> Result<()>) -> Result<()> {
    println!("\n== {name}");
    let start = Instant::now();
    work().with_context(|| format!("{name} failed"))?;
    println!("== {name}: fine, {:.0} s", start.elapsed().as_secs_f64());
    Ok(())
}

/// Fails where two versions of `package` are linked: their types do not mix.
fn check_single_version(workspace: &Workspace, package: &str) -> Result<()> {
    let mut tree = workspace.cargo(["tree", "--workspace", "--depth", "0", "--invert", package]);
    let answer = tree.output().context("cargo tree")?;
    if !answer.status.success() {
        bail!(
            "there must be exactly one version of {package}:\n{}",
            String::from_utf8_lossy(&answer.stderr)
        );
    }
    Ok(())
}

const WASM_TESTS: [&str; 6] = ["test", "--package", "web", "--lib", "--target", WASM_TARGET];

fn build_wasm_tests(workspace: &Workspace) -> Result<()> {
    run(&mut workspace.cargo(["build", "--package", "wasm-runner"]))?;
    run(workspace.cargo(WASM_TESTS).arg("--no-run"))
}

fn test_wasm(workspace: &Workspace, browser: &Browser) -> Result<()> {
    let runner =
        workspace.target().join("debug").join(format!("wasm-runner{}", env::consts::EXE_SUFFIX));
    run(workspace
        .cargo(WASM_TESTS)
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", runner)
        .env("CHROMEDRIVER", &browser.driver))
}

/// Serves `dist/` on a free port for as long as the page's own tests run: those
/// whose names hold one of `words`, or all.
pub fn test_page(workspace: &Workspace, browser: &Browser, words: &[String]) -> Result<()> {
    let server = Server::bind(&workspace.dist(), 0)?;
    let address = server.address();
    // Ends with the process; a failure shows in the tests that find no page.
    thread::spawn(move || server.run());
    let test = |arguments: &[&str]| {
        run(workspace
            .cargo(["test"])
            .args(NATIVE)
            .args(["--test", BROWSER_TESTS, "--", "--nocapture"])
            .args(arguments)
            .args(words)
            .env("FLEDGE_PAGE", &address)
            .env("CHROME", &browser.chrome)
            .env("CHROMEDRIVER", &browser.driver))
    };
    if words.is_empty() {
        test(&["--test-threads=2", "--skip", TIMED])?;
        test(&["--test-threads=1", TIMED])
    } else {
        test(&["--test-threads=1"])
    }
}

/// In the name of each test that prints or compares times: it has the machine to
/// itself.
const TIMED: &str = "timed_";
