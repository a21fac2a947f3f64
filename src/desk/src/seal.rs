//! `quarterlight seal` and `quarterlight unseal`: a survey file with a passphrase, in the format of age.

use std::path::PathBuf;
use std::process::ExitCode;

use handover::sealed::{self, Fresh};

use crate::{files, output};

/// Seal a file with a passphrase; any age program can open it. Without the passphrase it is lost for good
#[derive(clap::Args)]
pub(crate) struct SealArgs {
    /// The file
    file: PathBuf,
    /// The sealed file to write; it must not be there yet
    #[arg(short, long)]
    out: PathBuf,
}

/// Open a sealed file with its passphrase (--passphrase-file)
#[derive(clap::Args)]
pub(crate) struct UnsealArgs {
    /// The sealed file
    file: PathBuf,
    /// The file to write; it must not be there yet
    #[arg(short, long)]
    out: PathBuf,
}

/// Seals with the passphrase of `--passphrase-file`, or with one that is made and printed.
pub(crate) fn seal(args: &SealArgs) -> Result<ExitCode, String> {
    let bytes = files::raw_bytes(&args.file)?;
    if sealed::is_sealed(&bytes) {
        return Err(format!("{} is sealed already.", args.file.display()));
    }
    let (passphrase, is_made) = match files::passphrase()? {
        Some(passphrase) => (passphrase, false),
        None => (sealed::passphrase(random()?), true),
    };
    let fresh = Fresh {
        key: random()?,
        salt: random()?,
        nonce: random()?,
    };
    let sealed = sealed::seal(&bytes, &passphrase, &fresh).map_err(|error| error.to_string())?;
    files::write_new(&args.out, &sealed)?;
    if is_made {
        output::line(passphrase)?;
    }
    eprintln!(
        "{} is sealed. Without the passphrase nobody can open it again, and nobody can help: keep it somewhere else than the file.",
        args.out.display()
    );
    Ok(ExitCode::SUCCESS)
}

/// Writes what is in a sealed file.
pub(crate) fn unseal(args: &UnsealArgs) -> Result<ExitCode, String> {
    if !sealed::is_sealed(&files::raw_bytes(&args.file)?) {
        return Err(format!("{} is not sealed.", args.file.display()));
    }
    files::write_new(&args.out, &files::bytes(&args.file)?)?;
    Ok(ExitCode::SUCCESS)
}

fn random() -> Result<[u8; 16], String> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes).map_err(|error| format!("this computer gives no random numbers: {error}"))?;
    Ok(bytes)
}
