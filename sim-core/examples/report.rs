//! Prints the whole assessment of an aircraft file as one JSON object.
//!
//! `cargo run --release -p sim-core --example report -- FILE [--speed M/S]
//! [--altitude M] [--samples N]`; N samples add the uncertainty. FILE may be `-`
//! for standard input. A fault gives exit code 2 and one line for each fault on
//! standard error. The keys are documented in docs/report.md.

use std::io::{ErrorKind, Read, Write, stderr, stdout};
use std::process::ExitCode;
use std::str::FromStr;

use sim_core::aircraft::{Finding, read_aircraft};
use sim_core::assess::uncertainty::UncertaintyPlan;
use sim_core::assess::{Question, assess, bank_by_dihedral, performance, with_remedies};
use sim_core::report::{add_performance, add_uncertainty, report};
use sim_core::throws::sampling::SAMPLES_MAX;

/// Seed of the samples, so that a report can be made again.
const SEED: u32 = 1;

/// What the command line asks for.
struct Arguments {
    file: String,
    question: Question,
    samples: Option<usize>,
}

fn main() -> ExitCode {
    match run() {
        Ok(text) => print(&text),
        Err(faults) => {
            for fault in faults {
                // Whoever does not listen misses it; the exit code stands.
                let _ = writeln!(stderr(), "{fault}");
            }
            ExitCode::from(2)
        }
    }
}

/// A reader that has seen enough closes the pipe: no fault of ours.
fn print(text: &str) -> ExitCode {
    match writeln!(stdout(), "{text}").and_then(|()| stdout().flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            let _ = writeln!(stderr(), "report: cannot be written: {error}");
            ExitCode::FAILURE
        }
        _ => ExitCode::SUCCESS,
    }
}

fn run() -> Result<String, Vec<String>> {
    let arguments = arguments().map_err(one)?;
    let text = read(&arguments.file)
        .map_err(|error| one(format!("file: cannot read {}: {error}", arguments.file)))?;
    let aircraft = read_aircraft(&text)
        .map_err(one)?
        .check()
        .map_err(|findings| findings.iter().map(Finding::to_string).collect::<Vec<_>>())?;
    let question = &arguments.question;
    let mut assessment = assess(&aircraft, question).map_err(one)?;
    assessment.throws = with_remedies(&aircraft, question, &assessment.throws);
    let bank = bank_by_dihedral(&aircraft, question, &assessment);
    assessment.rudder_bank = bank.or(assessment.rudder_bank);
    let mut report = report(&aircraft.name, &assessment);
    let own = performance(&aircraft, question).map_err(one)?;
    add_performance(&mut report, &aircraft, &assessment, &own);
    if let Some(samples) = arguments.samples {
        let plan = UncertaintyPlan::new(&aircraft, question, samples, SEED).map_err(one)?;
        add_uncertainty(&mut report, &plan.summarise(&plan.run(0..plan.samples())));
    }
    serde_json::to_string_pretty(&report).map_err(|error| one(format!("report: {error}")))
}

/// A fault that stands alone; it names its field itself.
fn one(fault: impl std::fmt::Display) -> Vec<String> {
    vec![fault.to_string()]
}

fn read(file: &str) -> std::io::Result<String> {
    if file == "-" {
        let mut text = String::new();
        std::io::stdin().read_to_string(&mut text)?;
        Ok(text)
    } else {
        std::fs::read_to_string(file)
    }
}

fn arguments() -> Result<Arguments, String> {
    use lexopt::prelude::{Long, Value, ValueExt};
    let told = |error: lexopt::Error| format!("arguments: {error}");
    let mut parser = lexopt::Parser::from_env();
    let mut file = None;
    let mut question = Question::default();
    let (mut samples, mut altitude) = (None, None);
    while let Some(argument) = parser.next().map_err(told)? {
        match argument {
            Long("speed") if question.airspeed_m_s.is_none() => {
                question.airspeed_m_s = Some(number(&mut parser, "speed", "a number, m/s")?);
            }
            Long("samples") if samples.is_none() => {
                let allowed = format!("1 to {SAMPLES_MAX}");
                samples = Some(number(&mut parser, "samples", &allowed)?);
            }
            Long("altitude") if altitude.is_none() => {
                altitude = Some(number(&mut parser, "altitude", "a number, m")?);
            }
            Long(again @ ("speed" | "samples" | "altitude")) => {
                return Err(format!("--{again}: is given twice, allowed is once"));
            }
            Value(name) if file.is_none() => file = Some(name.string().map_err(told)?),
            other => return Err(told(other.unexpected())),
        }
    }
    question.altitude_m = altitude.unwrap_or(question.altitude_m);
    let file = file.ok_or("arguments: a FILE is needed, or - for standard input")?;
    Ok(Arguments { file, question, samples })
}

/// The value of an option.
fn number<T: FromStr>(
    parser: &mut lexopt::Parser,
    option: &str,
    allowed: &str,
) -> Result<T, String> {
    let given =
        parser.value().map_err(|_| format!("--{option}: has no value, allowed is {allowed}"))?;
    let given = given.to_string_lossy();
    given.parse().map_err(|_| format!("--{option}: is {given}, allowed is {allowed}"))
}
