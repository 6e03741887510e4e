//! Sees to it that what a command needs is there: Rust's WebAssembly target,
//! and for tests a Chromium with its driver.
//!
//! What may be fetched without asking is fetched. Where that is refused, one
//! line says what is missing and how to get it.

use std::env;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Result, bail};

use crate::workspace::{Workspace, run};

/// The target that browsers run.
pub const WASM_TARGET: &str = "wasm32-unknown-unknown";

/// Adds the WebAssembly target to the toolchain in use unless it has it.
pub fn ensure_wasm_target(workspace: &Workspace) -> Result<()> {
    if has_wasm_target(workspace) {
        return Ok(());
    }
    // Set by rustup for everything that it starts; without it there is no rustup.
    let Ok(toolchain) = env::var("RUSTUP_TOOLCHAIN") else {
        bail!(
            "this Rust has no {WASM_TARGET} target: install it with the means that Rust itself came by, or use rustup"
        );
    };
    println!("Adding the {WASM_TARGET} target to Rust {toolchain} ...");
    let mut rustup = Command::new("rustup");
    rustup.args(["target", "add", WASM_TARGET, "--toolchain", &toolchain]);
    if run(&mut rustup).is_err() || !has_wasm_target(workspace) {
        bail!(
            "the {WASM_TARGET} target is missing and rustup could not fetch it: connect to the internet and run 'rustup target add {WASM_TARGET} --toolchain {toolchain}'"
        );
    }
    Ok(())
}

fn has_wasm_target(workspace: &Workspace) -> bool {
    let answer = Command::new(env::var_os("RUSTC").unwrap_or_else(|| "rustc".into()))
        .current_dir(workspace.root())
        .args(["--print", "target-libdir", "--target", WASM_TARGET])
        .stderr(Stdio::null())
        .output();
    let Ok(answer) = answer else { return false };
    let folder = String::from_utf8_lossy(&answer.stdout);
    let Ok(files) = std::fs::read_dir(folder.trim()) else { return false };
    // The folder alone may be left over; the standard library must be in it.
    files.flatten().any(|file| file.file_name().to_string_lossy().starts_with("libstd-"))
}

/// A browser and the program that drives it.
pub struct Browser {
    /// The browser.
    pub chrome: PathBuf,
    /// Its WebDriver.
    pub driver: PathBuf,
}

/// Finds a Chromium and its driver; as root on Debian it installs them.
///
/// The variables CHROME and CHROMEDRIVER go before the search path.
pub fn ensure_browser() -> Result<Browser> {
    if let Some(browser) = find_browser() {
        return Ok(browser);
    }
    if find_on_path("apt-get").is_some() && is_root() {
        println!("Installing Chromium and its driver for the browser tests ...");
        // An old list of packages is no reason to give up; the next step tells.
        let _ = run(&mut apt(&["update", "--quiet"]));
        let _ = run(&mut apt(&[
            "install",
            "--yes",
            "--quiet",
            "--no-install-recommends",
            "chromium",
            "chromium-driver",
        ]));
        if let Some(browser) = find_browser() {
            return Ok(browser);
        }
    }
    bail!(
        "the browser tests need Chromium and chromedriver: on Debian 'apt-get install chromium chromium-driver', elsewhere install both and name them in CHROME and CHROMEDRIVER"
    )
}

fn find_browser() -> Option<Browser> {
    let named = |variable: &str| env::var_os(variable).map(PathBuf::from).filter(|p| p.is_file());
    let chrome = named("CHROME").or_else(|| {
        ["chromium", "chromium-browser", "google-chrome", "chrome"]
            .into_iter()
            .find_map(find_on_path)
    })?;
    let driver = named("CHROMEDRIVER").or_else(|| find_on_path("chromedriver"))?;
    Some(Browser { chrome, driver })
}

fn find_on_path(program: &str) -> Option<PathBuf> {
    let file = format!("{program}{}", env::consts::EXE_SUFFIX);
    env::split_paths(&env::var_os("PATH")?).map(|folder| folder.join(&file)).find(|p| p.is_file())
}

fn is_root() -> bool {
    Command::new("id").arg("-u").output().is_ok_and(|answer| answer.stdout.trim_ascii() == b"0")
}

fn apt(arguments: &[&str]) -> Command {
    let mut command = Command::new(Path::new("apt-get"));
    command.args(arguments).env("DEBIAN_FRONTEND", "noninteractive").stdin(Stdio::null());
    command
}
