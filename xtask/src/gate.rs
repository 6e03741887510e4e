//! `cargo xtask test`: everything that must hold before a change is taken.

use std::env;
use std::process::Command;
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
            .cargo(["clippy", "--workspace", "--all-targets", "--all-features"])
            .args(DENY))
    })?;
    step("lints for WebAssembly", || {
        // The core's own tests bring dependencies that browsers have no use for.
        for (package, targets) in [("sim-core", vec!["--lib"]), ("web", vec!["--lib", "--tests"])] {
            let arguments = ["clippy", "--package", package, "--target", WASM_TARGET];
            run(workspace.cargo(arguments).args(targets).args(DENY))?;
        }
        Ok(())
    })?;
    step("native tests", || run(&mut workspace.cargo(["test", "--workspace"])))?;
    // Runs the published cases, optimised, and compares what they write down.
    step("published cases and their pages", || docs::make(workspace, true))?;
    step("instructions", || instructions::check(workspace))?;
    step("WebAssembly tests in the browser", || test_wasm(workspace, &browser))?;
    step("page", || bundle::build(workspace, Finish::Small, Offline::Kept))?;
    step("size", || size::check_budget(workspace))?;
    step("page in the browser", || test_page(workspace, &browser, &[]))
}

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

fn test_wasm(workspace: &Workspace, browser: &Browser) -> Result<()> {
    run(&mut workspace.cargo(["build", "--package", "wasm-runner"]))?;
    let runner =
        workspace.target().join("debug").join(format!("wasm-runner{}", env::consts::EXE_SUFFIX));
    run(workspace
        .cargo(["test", "--package", "web", "--lib", "--target", WASM_TARGET])
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
    let mut tests: Command = workspace.cargo(["test", "--package", "fledge-tests"]);
    tests.args(["--features", "browser", "--test", "browser"]);
    // One at a time, so that the times they print are not each other's.
    tests.args(["--", "--nocapture", "--test-threads=1"]).args(words);
    run(tests
        .env("FLEDGE_PAGE", address)
        .env("CHROME", &browser.chrome)
        .env("CHROMEDRIVER", &browser.driver))
}
