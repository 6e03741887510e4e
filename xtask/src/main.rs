//! The workspace's own commands, run as `cargo xtask COMMAND`.
//!
//! Each command fetches what it needs first ([`setup`]), so that a fresh
//! machine needs nothing but Rust: `serve` builds the page and serves it,
//! `test` is the whole gate and all that continuous integration calls.

mod bundle;
mod docs;
mod gate;
mod serve;
mod setup;
mod size;
mod workspace;

use std::process::ExitCode;

use anyhow::{Result, bail};
use lexopt::{Arg, ValueExt};

use workspace::Workspace;

const USAGE: &str = "\
Usage: cargo xtask COMMAND

  serve [--port N]   build the page and serve it on this machine (port 8080)
  build              build the page into dist/
  size               build the page and print what a visitor downloads
  test               format, lints, all tests, the page in a browser, its size
  docs [--check]     write the pages on validation and convergence from the tests";

enum Command {
    Serve { port: u16 },
    Build,
    Size,
    Test,
    Docs { check_only: bool },
    Help,
}

fn main() -> ExitCode {
    match parse().and_then(|command| carry_out(&command)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("xtask: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn parse() -> Result<Command> {
    let mut arguments = lexopt::Parser::from_env();
    let mut command = None;
    let mut port = 8080;
    let mut check_only = false;
    while let Some(argument) = arguments.next()? {
        match argument {
            Arg::Long("port") => port = arguments.value()?.parse()?,
            Arg::Long("check") => check_only = true,
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Help),
            Arg::Value(word) if command.is_none() => command = Some(word.string()?),
            other => bail!("{}\n\n{USAGE}", other.unexpected()),
        }
    }
    Ok(match command.as_deref() {
        Some("serve") => Command::Serve { port },
        Some("build") => Command::Build,
        Some("size") => Command::Size,
        Some("test") => Command::Test,
        Some("docs") => Command::Docs { check_only },
        Some("help") | None => Command::Help,
        Some(other) => bail!("there is no command '{other}'\n\n{USAGE}"),
    })
}

fn carry_out(command: &Command) -> Result<()> {
    match command {
        Command::Help => println!("{USAGE}"),
        Command::Build => {
            let workspace = Workspace::find()?;
            bundle::build(&workspace)?;
            println!("The page is in {}", workspace.dist().display());
        }
        Command::Serve { port } => {
            let workspace = Workspace::find()?;
            bundle::build(&workspace)?;
            let server = serve::Server::bind(&workspace.dist(), *port)?;
            println!("Fledge is at {}  (Ctrl+C ends it)", server.address());
            server.run()?;
        }
        Command::Size => {
            let workspace = Workspace::find()?;
            bundle::build(&workspace)?;
            size::check_budget(&workspace)?;
        }
        Command::Docs { check_only } => docs::make(&Workspace::find()?, *check_only)?,
        Command::Test => gate::run_all(&Workspace::find()?)?,
    }
    Ok(())
}
