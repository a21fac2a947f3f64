//! `quarterlight`: the same core at a desk. Each command is a module with its arguments and its `run`.
//!
//! Exit codes: 0 as asked; 1 the answer is no (a file that does not check out); 2 it could not be done.
#![deny(
    clippy::print_stdout,
    reason = "a reader that has seen enough is no fault: `output` writes"
)]

mod answers;
mod beside;
mod change;
mod differ;
mod estimate;
mod figures;
mod files;
mod findings;
mod handbook;
mod learn;
mod merge;
mod outlook;
mod output;
mod plan;
mod pool;
mod practice;
mod questions;
mod report;
mod seal;
mod tables;
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
    /// A file whose first line is the passphrase of sealed files
    #[arg(long, global = true)]
    passphrase_file: Option<std::path::PathBuf>,
}

#[derive(Subcommand)]
enum Command {
    Verify(verify::Args),
    Merge(merge::Args),
    Seal(seal::SealArgs),
    Unseal(seal::UnsealArgs),
    Pool(pool::Args),
    Figures(figures::Args),
    Outlook(outlook::Args),
    Change(change::Args),
    Learn(learn::Args),
    Plan(plan::Args),
    Report(report::Args),
    Tables(tables::Args),
    Estimate(estimate::Args),
    Practice(practice::Args),
    Findings(findings::Args),
    Questions(questions::Args),
    Handbook(handbook::Args),
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    if let Some(path) = cli.passphrase_file {
        files::use_passphrase_file(path);
    }
    let done = match cli.command {
        Command::Verify(args) => verify::run(&args),
        Command::Merge(args) => merge::run(&args),
        Command::Seal(args) => seal::seal(&args),
        Command::Unseal(args) => seal::unseal(&args),
        Command::Pool(args) => pool::run(&args),
        Command::Figures(args) => figures::run(&args),
        Command::Outlook(args) => outlook::run(&args),
        Command::Change(args) => change::run(&args),
        Command::Learn(args) => learn::run(&args),
        Command::Plan(args) => plan::run(&args),
        Command::Report(args) => report::run(&args),
        Command::Tables(args) => tables::run(&args),
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
