//! Where things are, and how other programs are run.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail};
use cargo_metadata::MetadataCommand;

/// The workspace's folders.
pub struct Workspace {
    root: PathBuf,
    target: PathBuf,
}

impl Workspace {
    /// Asks cargo where the workspace and its build folder are.
    pub fn find() -> Result<Self> {
        let manifest = Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml");
        let metadata = MetadataCommand::new()
            .manifest_path(manifest)
            .no_deps()
            .exec()
            .context("cargo metadata")?;
        Ok(Self {
            root: metadata.workspace_root.into_std_path_buf(),
            target: metadata.target_directory.into_std_path_buf(),
        })
    }

    /// The folder of the workspace's Cargo.toml.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Cargo's build folder.
    pub fn target(&self) -> &Path {
        &self.target
    }

    /// Where the built page goes.
    pub fn dist(&self) -> PathBuf {
        self.root.join("dist")
    }

    /// A cargo command that will run in the workspace's root.
    pub fn cargo<A: AsRef<OsStr>>(&self, arguments: impl IntoIterator<Item = A>) -> Command {
        let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        command.current_dir(&self.root).args(arguments);
        command
    }
}

/// Runs a command with our own output streams; an error names what failed.
pub fn run(command: &mut Command) -> Result<()> {
    let status = command.status().with_context(|| format!("could not start {command:?}"))?;
    if !status.success() {
        bail!("{command:?} ended with {status}");
    }
    Ok(())
}

/// All files below a folder, in order.
pub fn files_below(folder: &Path) -> Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).with_context(|| folder.display().to_string())? {
        let path = entry?.path();
        if path.is_dir() { files.extend(files_below(&path)?) } else { files.push(path) }
    }
    files.sort();
    Ok(files)
}
