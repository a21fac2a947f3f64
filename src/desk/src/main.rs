//! `quarterlight`: the same core at a desk. Each command is a module with its arguments and its `run`.
//!
//! Exit codes: 0 as asked; 1 the answer is no (a file that does not check out); 2 it could not be done.

mod answers;
mod estimate;
mod figures;
mod files;
mod findings;
mod handbook;
mod merge;
mod outlook;
mod output;
mod plan;
mod pool;
mod practice;
mod questions;
mod report;
mod verify;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

use handover::APP;

/// Surveys of magnetic tape, at a desk
#[derive(Parser)]
#[command(name = "quarterlight", version)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    Verify(verify::Args),
    Merge(merge::Args),
    Pool(pool::Args),
    Figures(figures::Args),
    Outlook(outlook::Args),
    Plan(plan::Args),
    Report(report::Args),
    Estimate(estimate::Args),
    Practice(practice::Args),
    Findings(findings::Args),
    Questions(questions::Args),
    Handbook(handbook::Args),
}

fn main() -> ExitCode {
    let done = match Cli::parse().command {
        Command::Verify(args) => verify::run(&args),
        Command::Merge(args) => merge::run(&args),
        Command::Pool(args) => pool::run(&args),
        Command::Figures(args) => figures::run(&args),
        Command::Outlook(args) => outlook::run(&args),
        Command::Plan(args) => plan::run(&args),
        Command::Report(args) => report::run(&args),
        Command::Estimate(args) => estimate::run(&args),
        Command::Practice(args) => practice::run(&args),
        Command::Findings(args) => findings::run(&args),
        Command::Questions(args) => questions::run(&args),
        Command::Handbook(args) => handbook::run(&args),
    };
    done.unwrap_or_else(|error| {
        eprintln!("quarterlight: {error}");
        ExitCode::from(2)
    })
}
