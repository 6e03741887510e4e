//! The house keeps its order: imports go down only, the core knows no browser,
//! clock, file or thread, and a file stays one idea long.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};

/// Modules of the core, from the lowest floor to the highest. Those on one floor
/// may use each other.
const FLOORS: [&[&str]; 11] = [
    &["math", "frames", "atmosphere"],
    &["aircraft"],
    &["airframe"],
    &["mass", "power", "aero"],
    &["dynamics"],
    &["analysis"],
    &["handling"],
    &["throws"],
    &["assess"],
    &["card", "report"],
    &["flight"],
];

/// What the core must not know, since then it would not be a function of its
/// arguments alone, or would not run in a browser.
const FOREIGN: [&str; 7] =
    ["std::fs", "std::time", "std::thread", "std::env", "std::net", "web_sys", "js_sys"];

/// A file longer than this holds more than one idea.
const LINES_MAX: usize = 540;

#[test]
fn imports_go_down_only() {
    let source = root().join("sim-core/src");
    for file in rust_files(&source) {
        let Some(floor) = floor_of(&module(&source, &file)) else { continue };
        for (number, line) in code(&file) {
            for used in modules_used(&line) {
                let below = floor_of(&used).is_none_or(|other| other <= floor);
                assert!(below, "{}:{number} looks up: {}", file.display(), line.trim());
            }
        }
    }
}

#[test]
fn the_core_is_a_function_of_its_arguments() {
    for file in rust_files(&root().join("sim-core/src")) {
        for (number, line) in code(&file) {
            let foreign = FOREIGN.iter().find(|word| line.contains(**word));
            assert!(foreign.is_none(), "{}:{number} uses {foreign:?}", file.display());
        }
    }
}

#[test]
fn every_module_of_the_core_has_its_floor() {
    let source = root().join("sim-core/src");
    for file in rust_files(&source) {
        let module = module(&source, &file);
        assert!(module == "lib" || floor_of(&module).is_some(), "{module} is on no floor");
    }
}

#[test]
fn files_are_one_idea_long() {
    for folder in ["sim-core", "web/src", "tests", "xtask"] {
        let files = rust_files(&root().join(folder));
        assert!(!files.is_empty(), "nothing in {folder}");
        for file in files {
            let lines = text(&file).lines().count();
            assert!(lines <= LINES_MAX, "{} has {lines} lines", file.display());
        }
    }
}

/// The lines of a file that are neither comments nor its unit tests, numbered.
fn code(file: &Path) -> Vec<(usize, String)> {
    let text = text(file);
    let lines = text.lines().take_while(|line| !line.starts_with("#[cfg(test)]"));
    lines
        .enumerate()
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
        .map(|(index, line)| (index + 1, line.to_owned()))
        .collect()
}

/// The modules of the core that a line names from its root.
fn modules_used(line: &str) -> Vec<String> {
    let letters = |text: &str| {
        text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>()
    };
    line.split("crate::").skip(1).map(letters).collect()
}

fn floor_of(module: &str) -> Option<usize> {
    FLOORS.iter().position(|floor| floor.contains(&module))
}

/// The module below the root that a file belongs to.
fn module(source: &Path, file: &Path) -> String {
    let first = file.strip_prefix(source).expect("a file of the core").iter().next();
    let name = first.expect("its name").to_string_lossy();
    name.trim_end_matches(".rs").to_owned()
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder of the workspace") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
    files
}

fn text(file: &Path) -> String {
    fs::read_to_string(file).expect("a text")
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}
