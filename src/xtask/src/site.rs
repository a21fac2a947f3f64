//! The site: Trunk's build of the app, the practice survey, and the finishing step that makes both servable anywhere.

use crate::{Outcome, cut, finish, house, licences, run, second, tools, wasm};
use std::path::{Path, PathBuf};
use std::process::Command;

/// The site in its two strengths: as released, and quicker to build for the browser tests.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Release,
    Test,
}

impl Kind {
    pub(crate) fn chosen(test: bool) -> Self {
        if test { Self::Test } else { Self::Release }
    }

    pub(crate) fn profile(self) -> &'static str {
        match self {
            Self::Release => "app",
            Self::Test => "app-test",
        }
    }

    /// That of the second module, which is made for speed.
    pub(crate) fn profile_of_second(self) -> &'static str {
        match self {
            Self::Release => "app-labour",
            Self::Test => self.profile(),
        }
    }

    pub(crate) fn dist(self) -> Outcome<PathBuf> {
        Ok(house::target()?.join(match self {
            Self::Release => "dist",
            Self::Test => "dist-test",
        }))
    }
}

/// Builds the desk program, the practice survey and the app into a finished site.
pub(crate) fn build(kind: Kind) -> Outcome {
    let practice = practice(&desk(kind)?)?;
    let staged = house::target()?.join(format!("trunk-{}", kind.profile()));
    trunk(kind, &staged)?;
    cut::cut(kind, &staged)?;
    second::build(kind, &staged)?;
    let notices = licences::written()?;
    let optimiser = if kind == Kind::Release {
        tools::wasm_opt()?
    } else {
        None
    };
    if kind == Kind::Release && optimiser.is_none() {
        println!(
            "   no wasm-opt (it comes through node and npm): the app is a fifth larger, and works the same"
        );
    }
    let dist = kind.dist()?;
    let summary = finish::finish(
        &staged,
        &dist,
        &[("practice.zip", &practice), ("licences.txt", &notices)],
        kind,
        optimiser.as_deref(),
    )?;
    println!(
        "   {} files, {} KB in {}: version {}",
        summary.files,
        summary.bytes / 1024,
        dist.display(),
        summary.version
    );
    Ok(())
}

/// The desk program: as it is released, or, for the tests, as theirs have built it already.
pub(crate) fn desk(kind: Kind) -> Outcome<PathBuf> {
    println!("   building quarterlight, the desk program");
    let mut command = run::cargo()?;
    command.args(["build", "--locked", "--package", "desk"]);
    let folder = match kind {
        Kind::Release => {
            command.arg("--release");
            "release"
        }
        Kind::Test => "debug",
    };
    run::building(&mut command, "cargo build of the desk program")?;
    Ok(house::target()?.join(folder).join("quarterlight"))
}

/// The invented survey that stands one tap away in the app, made by the desk program.
fn practice(program: &Path) -> Outcome<PathBuf> {
    let out = house::target()?.join("practice");
    if out.exists() {
        std::fs::remove_dir_all(&out).map_err(|why| format!("{} cannot be removed: {why}", out.display()))?;
    }
    let mut command = Command::new(program);
    let words = "practice --boxes 412 --seed 7 --surveyed 1 --out";
    command.args(words.split(' ')).arg(&out);
    run::quiet(&mut command, "quarterlight practice")?;
    let file = out.join("survey.zip");
    if file.is_file() {
        Ok(file)
    } else {
        Err("quarterlight practice made no survey.zip.".to_string())
    }
}

fn trunk(kind: Kind, staged: &Path) -> Outcome {
    println!("   building the app for the browser (profile {})", kind.profile());
    let mut command = Command::new(house::tools()?.join("bin/trunk"));
    wasm::prepare(&mut command, wasm::ready()?)?;
    command
        .current_dir(house::root()?)
        .env("TRUNK_SKIP_VERSION_CHECK", "true")
        // Trunk panics when a build fails; its own trace would hide the compiler's words.
        .env("RUST_BACKTRACE", "0")
        .env_remove("NO_COLOR");
    command
        .args(["build", "--locked", "--cargo-profile", kind.profile(), "--dist"])
        .arg(staged);
    run::building(&mut command, "trunk build")
}
