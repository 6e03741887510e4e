//! What a visitor downloads, against goal and ceiling.

use std::fs;

use anyhow::{Context, Result, bail};

use crate::workspace::{Workspace, files_below};

/// What everything that the first visit loads should weigh, compressed as a good
/// server would.
const GOAL_BYTES: usize = 700_000;
/// What it must not exceed; may only be lowered. What was tried, and what would
/// help: see DEVELOPERS.md.
const CEILING_BYTES: usize = 698_500;

/// Prints the compressed size of each file of the page.
///
/// # Errors
/// Fails where their sum is over the ceiling.
pub fn check_budget(workspace: &Workspace) -> Result<()> {
    let dist = workspace.dist();
    let files = files_below(&dist)?;
    println!("{:>10} {:>10}  file", "bytes", "brotli");
    let (mut plain, mut packed) = (0, 0);
    // Licences go along with the page; nothing loads them.
    for file in files.into_iter().filter(|file| file.extension() != Some("txt".as_ref())) {
        let bytes = fs::read(&file).with_context(|| file.display().to_string())?;
        let compressed = brotli_length(&bytes)?.min(bytes.len());
        let name = file.strip_prefix(&dist).unwrap_or(&file).display();
        println!("{:>10} {compressed:>10}  {name}", bytes.len());
        plain += bytes.len();
        packed += compressed;
    }
    println!("{plain:>10} {packed:>10}  in all, goal {GOAL_BYTES}, ceiling {CEILING_BYTES}");
    if packed > CEILING_BYTES {
        bail!("the page takes {packed} bytes compressed, its ceiling is {CEILING_BYTES}");
    }
    Ok(())
}

fn brotli_length(bytes: &[u8]) -> Result<usize> {
    let settings = brotli::enc::BrotliEncoderParams::default();
    let mut packed = Vec::new();
    brotli::BrotliCompress(&mut &bytes[..], &mut packed, &settings)?;
    Ok(packed.len())
}
