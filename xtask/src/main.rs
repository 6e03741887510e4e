//! The workspace's own commands, run as `cargo xtask COMMAND`.
//!
//! Each command fetches what it needs first ([`setup`]), so that a fresh
//! machine needs nothing but Rust: `serve` builds the page and serves it,
//! `test` is the whole gate and all that continuous integration calls.

#![cfg_attr(test, allow(clippy::unwrap_used, clippy::panic))]

mod arrange;
mod bundle;
mod docs;
mod gate;
mod glue;
mod instructions;
mod offline;
mod serve;
mod setup;
mod size;
mod trust;
mod workspace;

use std::process::ExitCode;

use anyhow::{Result, bail};
use lexopt::{Arg, ValueExt};

use bundle::{Finish, Offline};
use workspace::Workspace;

const USAGE: &str = "\
Usage: cargo xtask COMMAND

  serve [--port N]   build the page and serve it on this machine (port 8080)
  build              build the page into dist/
  pages [WORDS]      build the page and try it in a browser: the tests named so
  size               build the page and print what a visitor downloads
  test               format, lints, all tests, the page in a browser, its size
  instructions       count what assessing the examples takes, against a ceiling
  docs [--check]     write the pages on validation and convergence from the tests

With --draft, serve, build and pages build quickly rather than small.";

enum Command {
    Serve { port: u16, finish: Finish },
    Build { finish: Finish },
    Pages { words: Vec<String>, finish: Finish },
    Size,
    Instructions,
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
    let mut finish = Finish::Small;
    let mut words = Vec::new();
    while let Some(argument) = arguments.next()? {
        match argument {
            Arg::Long("port") => port = arguments.value()?.parse()?,
            Arg::Long("check") => check_only = true,
            Arg::Long("draft") => finish = Finish::Draft,
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Help),
            Arg::Value(word) if command.is_none() => command = Some(word.string()?),
            Arg::Value(word) if command.as_deref() == Some("pages") => words.push(word.string()?),
            other => bail!("{}\n\n{USAGE}", other.unexpected()),
        }
    }
    Ok(match command.as_deref() {
        Some("serve") => Command::Serve { port, finish },
        Some("build") => Command::Build { finish },
        Some("pages") => Command::Pages { words, finish },
        Some("size") => Command::Size,
        Some("instructions") => Command::Instructions,
        Some("test") => Command::Test,
        Some("docs") => Command::Docs { check_only },
        Some("help") | None => Command::Help,
        Some(other) => bail!("there is no command '{other}'\n\n{USAGE}"),
    })
}

fn carry_out(command: &Command) -> Result<()> {
    match command {
        Command::Help => println!("{USAGE}"),
        Command::Build { finish } => {
            let workspace = Workspace::find()?;
            bundle::build(&workspace, *finish, Offline::Kept)?;
            println!("The page is in {}", workspace.dist().display());
        }
        Command::Serve { port, finish } => {
            let workspace = Workspace::find()?;
            bundle::build(&workspace, *finish, Offline::Never)?;
            let server = serve::Server::bind(&workspace.dist(), *port)?;
            println!("Fledge is at {}  (Ctrl+C ends it)", server.address());
            server.run()?;
        }
        Command::Pages { words, finish } => {
            let workspace = Workspace::find()?;
            let browser = setup::ensure_browser()?;
            bundle::build(&workspace, *finish, Offline::Kept)?;
            gate::test_page(&workspace, &browser, words)?;
        }
        Command::Size => {
            let workspace = Workspace::find()?;
            bundle::build(&workspace, Finish::Small, Offline::Kept)?;
            size::check_budget(&workspace)?;
        }
        Command::Instructions => instructions::check(&Workspace::find()?)?,
        Command::Docs { check_only } => docs::make(&Workspace::find()?, *check_only)?,
        Command::Test => gate::run_all(&Workspace::find()?)?,
    }
    Ok(())
}
