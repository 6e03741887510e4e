//! Writes into the page's service worker what it is to keep.

use std::collections::hash_map::DefaultHasher;
use std::fs;
use std::hash::Hasher;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};

/// Stand in `web/offline.js` where the build's name and its files go.
const BUILD_PLACE: &str = "{build}";
const FILES_PLACE: &str = "/*{files}*/";

/// The worker's text for a build that consists of `files` below `dist`. The
/// build's name is taken from all that is in them: the same page, the same name.
pub fn worker(text: &str, dist: &Path, files: &[PathBuf]) -> Result<String> {
    // Starts from the same state each time, unlike the hasher of a HashMap.
    let mut hasher = DefaultHasher::new();
    let mut addresses = Vec::new();
    for file in files {
        let address = file.strip_prefix(dist)?.to_string_lossy().replace('\\', "/");
        // Licences go along with the page; nothing loads them.
        if address.ends_with(".txt") {
            continue;
        }
        hasher.write(address.as_bytes());
        hasher.write(&fs::read(file).with_context(|| file.display().to_string())?);
        // The page is asked for by its folder's address.
        let address = if address == "index.html" { "./".to_owned() } else { address };
        addresses.push(format!("\n  \"{address}\","));
    }
    Ok(text
        .replace(BUILD_PLACE, &format!("{:016x}", hasher.finish()))
        .replace(FILES_PLACE, &addresses.concat()))
}
