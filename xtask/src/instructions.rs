//! How many instructions the chain takes, against a ceiling: unlike time, the
//! same on a busy machine as on an idle one.

use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::workspace::{Workspace, run};

/// Instructions for assessing every example once. Counted: 161 million with the
/// pinned compiler on x86-64; an eighth more is for other processors' mathematics
/// libraries and small changes. A change that needs more says why and raises it.
const CEILING: u64 = 181_000_000;

/// Counts the instructions of `chain_once` (of `tests`) under valgrind; where
/// that is not installed, says so and lets it be.
///
/// # Errors
/// Fails where there are more than the ceiling.
pub fn check(workspace: &Workspace) -> Result<()> {
    if !cfg!(target_arch = "x86_64") || Command::new("valgrind").arg("--version").output().is_err()
    {
        println!("not counted: needs valgrind (Debian: apt install valgrind) on x86-64");
        return Ok(());
    }
    // No example of the core's, which would be built with all that its tests and
    // benches need.
    let package = ["--package", "fledge-tests", "--bin", "chain_once"];
    run(workspace.cargo(["build", "--release"]).args(package))?;
    let folder = workspace.target().join("release");
    let answer = Command::new("valgrind")
        .arg("--tool=callgrind")
        .arg(format!("--callgrind-out-file={}", folder.join("chain_once.callgrind").display()))
        .arg(folder.join("chain_once"))
        .output()
        .context("valgrind")?;
    let text = String::from_utf8_lossy(&answer.stderr);
    if !answer.status.success() {
        bail!("the chain failed under valgrind:\n{text}");
    }
    let count = collected(&text).context("valgrind gave no count")?;
    println!("{:.1} million instructions for all examples", count as f64 / 1e6);
    if count > CEILING {
        bail!("{count} instructions, allowed are {CEILING}");
    }
    Ok(())
}

/// The count in callgrind's closing lines.
fn collected(text: &str) -> Option<u64> {
    let line = text.lines().find_map(|line| line.split_once("Collected : "))?;
    line.1.split_whitespace().next()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::collected;

    #[test]
    fn the_count_is_found_among_the_closing_lines() {
        let text = "==7== Events    : Ir\n==7== Collected : 237680053\n==7==\n";
        assert_eq!(collected(text), Some(237_680_053));
        assert_eq!(collected("==7== no count"), None);
    }
}
