//! Prints the whole assessment of an aircraft file as one JSON object.
//!
//! `cargo run --release -p sim-core --example report -- FILE [--speed M/S]
//! [--altitude M] [--samples N]`; N samples add the uncertainty. FILE may be `-` for standard input. A fault gives exit
//! code 2 and one line for each fault on standard error. The keys are
//! documented in docs/report.md.

use std::io::{ErrorKind, Read, Write, stderr, stdout};
use std::process::ExitCode;

use sim_core::aircraft::{Finding, read_aircraft};
use sim_core::assess::uncertainty::UncertaintyPlan;
use sim_core::assess::{
    AssessError, Question, assess, bank_by_dihedral, performance, with_remedies,
};
use sim_core::report::{add_performance, add_uncertainty, report};

/// Seed of the samples, so that a report can be made again.
const SEED: u32 = 1;

/// What the command line asks for.
struct Arguments {
    file: String,
    question: Question,
    samples: usize,
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

fn run() -> Result<String, Vec<Finding>> {
    let arguments =
        arguments().map_err(|message| vec![Finding::new("arguments", message.to_string())])?;
    let text = read(&arguments.file).map_err(|error| {
        vec![Finding::new("file", format!("cannot read {}: {error}", arguments.file))]
    })?;
    let aircraft = read_aircraft(&text).map_err(|error| vec![error.into()])?.check()?;
    let question = &arguments.question;
    let fault = |error: AssessError| vec![Finding::new("assessment", error.to_string())];
    let mut assessment = assess(&aircraft, question).map_err(fault)?;
    assessment.throws = with_remedies(&aircraft, question, &assessment.throws);
    let bank = bank_by_dihedral(&aircraft, question, &assessment);
    assessment.rudder_bank = bank.or(assessment.rudder_bank);
    let mut report = report(&aircraft.name, &assessment);
    let own = performance(&aircraft, question).map_err(fault)?;
    add_performance(&mut report, &aircraft, &assessment, &own);
    if arguments.samples > 0 {
        let plan = UncertaintyPlan::new(&aircraft, question, arguments.samples, SEED)
            .map_err(|error| vec![Finding::new("samples", error.to_string())])?;
        add_uncertainty(&mut report, &plan.summarise(&plan.run(0..plan.samples())));
    }
    serde_json::to_string_pretty(&report)
        .map_err(|error| vec![Finding::new("report", error.to_string())])
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

fn arguments() -> Result<Arguments, lexopt::Error> {
    use lexopt::prelude::{Long, Value, ValueExt};
    let mut parser = lexopt::Parser::from_env();
    let mut file = None;
    let mut question = Question::default();
    let mut samples = 0;
    while let Some(argument) = parser.next()? {
        match argument {
            Long("speed") => question.airspeed_m_s = Some(parser.value()?.parse()?),
            Long("samples") => samples = parser.value()?.parse()?,
            Long("altitude") => question.altitude_m = parser.value()?.parse()?,
            Value(name) if file.is_none() => file = Some(name.string()?),
            other => return Err(other.unexpected()),
        }
    }
    let file = file.ok_or("a FILE is needed, or - for standard input")?;
    Ok(Arguments { file, question, samples })
}
