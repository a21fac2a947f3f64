//! Programs that a build or a test needs and that are kept under target/: nothing outside the project changes.

use crate::wasm::{self, Compiler};
use crate::{Outcome, apt, house, run};
use std::path::PathBuf;
use std::process::Command;

const TRUNK: &str = "0.21.14";
/// Cuts the page's module in parts.
pub(crate) const WASM_SPLIT: &str = "0.2.4";
const BINARYEN: &str = "132.0.0";
const AXE: &str = "4.14.1";
const PYTHON_PACKAGES: [&str; 11] = [
    "selenium==4.51.0",
    "pytest==9.1.1",
    "pytest-xdist==3.8.0",
    "bagit==1.9.0",
    "pyrage==1.4.0",
    "frictionless==5.21.0",
    "numpy==2.4.6",
    "scipy==1.17.1",
    "lxml==6.1.3",
    "openpyxl==3.1.5",
    "duckdb==2.0.1",
];

/// Everything that `cargo xtask build` needs, as a command of its own.
pub(crate) fn setup() -> Outcome {
    for_building().map(|_| ())
}

/// The Wasm compiler, Trunk, the wasm-bindgen that Cargo.lock asks for, and what cuts the module.
pub(crate) fn for_building() -> Outcome<Compiler> {
    let compiler = wasm::ready()?;
    cargo_install(
        "trunk",
        TRUNK,
        &["--locked", "--no-default-features", "--features", "rustls"],
        "3 to 5 minutes",
    )?;
    // Its own lock file is left aside: it may name versions that have since been withdrawn.
    cargo_install(
        "wasm-bindgen-cli",
        &wasm_bindgen_version()?,
        &[],
        "1 to 2 minutes",
    )?;
    cargo_install(
        "wasm_split_cli_support",
        WASM_SPLIT,
        &["--locked", "--features", "build-binary"],
        "1 to 2 minutes",
    )?;
    Ok(compiler)
}

/// The wasm-bindgen in Cargo.lock: the program that finishes the Wasm must be of exactly this version.
fn wasm_bindgen_version() -> Outcome<String> {
    let lock = house::read(&house::root()?.join("Cargo.lock"))?;
    locked_version(&lock, "wasm-bindgen")
        .ok_or("Cargo.lock names no wasm-bindgen: the app has none to build.".into())
}

fn locked_version(lock: &str, package: &str) -> Option<String> {
    let name = format!("name = \"{package}\"");
    let mut lines = lock.lines().skip_while(|line| **line != *name);
    lines.next()?;
    Some(
        lines
            .next()?
            .strip_prefix("version = \"")?
            .trim_end_matches('"')
            .to_string(),
    )
}

fn cargo_install(package: &str, version: &str, extra: &[&str], roughly: &str) -> Outcome {
    let tools = house::tools()?;
    let record = std::fs::read_to_string(tools.join(".crates.toml")).unwrap_or_default();
    if record.contains(&format!("\"{package} {version} (")) {
        return Ok(());
    }
    println!(
        "   building {package} {version} for this project, unoptimised: about {roughly} on two cores, once"
    );
    let mut command = run::cargo()?;
    // A target folder set for our own crates is none for a tool's; cargo install uses a temporary one.
    command
        .env_remove("CARGO_TARGET_DIR")
        .env("CARGO_PROFILE_DEV_DEBUG", "0");
    command.args(["install", package, "--version", version, "--debug", "--force"]);
    command.arg("--root").arg(&tools).args(extra);
    run::quiet(&mut command, &format!("cargo install {package}"))
}

/// `wasm-opt`, where node and npm can fetch it: a fifth less to download for every phone, but no build stops without.
pub(crate) fn wasm_opt() -> Outcome<Option<PathBuf>> {
    let folder = house::tools()?.join("node");
    let program = folder.join("node_modules/binaryen/bin/wasm-opt");
    if run::is_there("node") && npm_package("binaryen", BINARYEN).is_ok() && program.is_file() {
        return Ok(Some(program));
    }
    Ok(None)
}

/// The source of axe-core, the accessibility checker.
pub(crate) fn axe() -> Outcome {
    if !run::is_there("npm") {
        apt::install(&["nodejs", "npm"], "the accessibility checks")?;
    }
    npm_package("axe-core", AXE)
}

fn npm_package(package: &str, version: &str) -> Outcome {
    let folder = house::tools()?.join("node");
    let about = folder.join("node_modules").join(package).join("package.json");
    if std::fs::read_to_string(about).is_ok_and(|text| text.contains(&format!("\"version\": \"{version}\"")))
    {
        return Ok(());
    }
    if !run::is_there("npm") {
        return Err("npm is not installed.".to_string());
    }
    std::fs::create_dir_all(&folder).map_err(|why| format!("{} cannot be made: {why}", folder.display()))?;
    println!("   fetching {package} {version} from npm");
    let mut command = Command::new("npm");
    command.args([
        "install",
        "--no-audit",
        "--no-fund",
        "--ignore-scripts",
        "--no-save",
        "--no-package-lock",
    ]);
    // npm takes away what is not asked for again, so both are named each time one is there.
    command
        .arg("--prefix")
        .arg(&folder)
        .arg(format!("{package}@{version}"));
    for (other, its) in [("binaryen", BINARYEN), ("axe-core", AXE)] {
        if other != package && folder.join("node_modules").join(other).exists() {
            command.arg(format!("{other}@{its}"));
        }
    }
    run::quiet(&mut command, &format!("npm install {package}"))
}

/// A Python environment under target/ with what the browser tests and the outside validators need; gives its python.
pub(crate) fn python() -> Outcome<PathBuf> {
    let folder = house::target()?.join("venv");
    let python = folder.join("bin/python");
    let record = folder.join("quarterlight-packages.txt");
    let wanted = PYTHON_PACKAGES.join("\n");
    if python.is_file() && std::fs::read_to_string(&record).is_ok_and(|text| text == wanted) {
        return Ok(python);
    }
    if run::answer(Command::new("python3").args(["-c", "import ensurepip, venv"])).is_none() {
        apt::install(&["python3", "python3-venv"], "the Python tests")?;
    }
    println!("   making a Python environment in target/venv");
    run::quiet(
        Command::new("python3")
            .args(["-m", "venv", "--clear"])
            .arg(&folder),
        "python3 -m venv",
    )?;
    let mut pip = Command::new(&python);
    pip.args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check"])
        .args(PYTHON_PACKAGES);
    run::quiet(&mut pip, "pip install")?;
    house::write(&record, wanted.as_bytes())?;
    Ok(python)
}

/// What the tests run against besides our own programs: Debian's package, and a program that shows it is there.
const PARTS: [(&str, &[&str]); 10] = [
    ("chromium", &["chromium", "chromium-browser", "google-chrome"]),
    ("chromium-driver", &["chromedriver"]),
    ("webkit2gtk-driver", &["WebKitWebDriver"]),
    ("xvfb", &["Xvfb"]),
    ("r-base-core", &["Rscript"]),
    ("r-cran-survey", &["Rscript"]),
    ("r-cran-jsonlite", &["Rscript"]),
    ("strace", &["strace"]),
    ("apache2", &["apache2", "httpd"]),
    ("libreoffice-calc", &["soffice", "libreoffice"]),
];

/// Browsers, their drivers, R and a spreadsheet: the real parts that the tests run against.
pub(crate) fn for_testing() -> Outcome {
    if run::is_there("apt-get") {
        let packages: Vec<&str> = PARTS.iter().map(|(package, _)| *package).collect();
        return apt::install(&packages, "the tests");
    }
    let is_missing = |programs: &[&str]| !programs.iter().any(|program| run::is_there(program));
    let missing: Vec<&str> = PARTS
        .iter()
        .filter(|(_, names)| is_missing(names))
        .map(|(_, names)| names[0])
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    Err(format!(
        "the tests need programs that are not here: {}. This computer has no apt to fetch them with; install them (R with \
         its packages survey and jsonlite), then run this again.",
        missing.join(", ")
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_locked_version_is_that_of_the_package_itself() {
        let lock = "[[package]]\nname = \"wasm-bindgen-macro\"\nversion = \"9.9.9\"\n\n[[package]]\nname = \
                    \"wasm-bindgen\"\nversion = \"0.2.130\"\nsource = \"x\"\n";
        assert_eq!(locked_version(lock, "wasm-bindgen").as_deref(), Some("0.2.130"));
        assert_eq!(locked_version(lock, "leptos"), None);
    }
}
