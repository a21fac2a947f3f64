//! `quarterlight`: the same core at a desk. Each command is a module with its arguments and its `run`.
//!
//! Exit codes: 0 as asked; 1 the answer is no (a file that does not check out); 2 it could not be done.

mod estimate;
mod figures;
mod files;
mod merge;
mod practice;
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
    Figures(figures::Args),
    Estimate(estimate::Args),
    Practice(practice::Args),
}

fn main() -> ExitCode {
    let done = match Cli::parse().command {
        Command::Verify(args) => verify::run(&args),
        Command::Merge(args) => merge::run(&args),
        Command::Figures(args) => figures::run(&args),
        Command::Estimate(args) => estimate::run(&args),
        Command::Practice(args) => practice::run(&args),
    };
    done.unwrap_or_else(|error| {
        eprintln!("quarterlight: {error}");
        ExitCode::from(2)
    })
}
