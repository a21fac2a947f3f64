//! A compiler that can make WebAssembly: rustup's when it can fetch the target, Debian's otherwise.

use crate::{Outcome, apt, house, run};
use std::path::Path;
use std::process::Command;

pub(crate) const TARGET: &str = "wasm32-unknown-unknown";
/// The oldest compiler that the workspace builds with (its `rust-version`).
const OLDEST: (u32, u32) = (1, 95);
/// Leptos makes every view of one type instead of one of its own: a smaller app, and a quicker build.
const ONE_TYPE_OF_VIEW: &str = "--cfg erase_components";
const DEBIAN: [&str; 4] = ["rustc-web", "cargo-web", "rust-web-src", "rust-web-llvm"];
const DEBIAN_SOURCE: &str = "/usr/lib/rustlib/src/rust/library/std/Cargo.toml";

/// Which compiler builds the app.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Compiler {
    /// The one that runs us, with the standard library for Wasm beside it.
    Rustup,
    /// Debian's, which builds the standard library for Wasm from its own source.
    Debian,
}

/// Finds or installs a compiler for Wasm. Quick when there is one already.
pub(crate) fn ready() -> Outcome<Compiler> {
    // A person (or a test of this file's second half) may insist on Debian's compiler.
    let insists = std::env::var_os("QUARTERLIGHT_WASM").is_some_and(|word| word == "debian");
    if !insists && has_target() {
        return Ok(Compiler::Rustup);
    }
    if debian_is_complete() {
        return Ok(Compiler::Debian);
    }
    let mut reasons = Vec::new();
    if !insists {
        match by_rustup() {
            Ok(()) => return Ok(Compiler::Rustup),
            Err(why) => reasons.push(why),
        }
    }
    match by_debian() {
        Ok(()) => return Ok(Compiler::Debian),
        Err(why) => reasons.push(why),
    }
    Err(format!(
        "there is no compiler for {TARGET} here.\n- {}\nWhat to do: install Rust with rustup (any computer), or on \
         Debian 12 or later the packages {} and the lld that they ask for; then run this again.",
        reasons.join("\n- "),
        DEBIAN.join(", ")
    ))
}

/// The environment in which cargo, and Trunk above it, make Wasm with this compiler.
pub(crate) fn prepare(command: &mut Command, compiler: Compiler) -> Outcome {
    run::without_own_package(command);
    let tools = house::tools()?.join("bin");
    let path = std::env::var_os("PATH").unwrap_or_default();
    let mut folders = vec![tools];
    if compiler == Compiler::Debian {
        folders.push("/usr/bin".into());
        command
            .env("RUSTC", "/usr/bin/rustc")
            .env("RUSTDOC", "/usr/bin/rustdoc");
        command
            .env("RUSTC_BOOTSTRAP", "1")
            .env("CARGO_UNSTABLE_BUILD_STD", "std,panic_abort");
        command
            .env_remove("CARGO")
            .env_remove("RUSTUP_TOOLCHAIN")
            .env_remove("RUSTC_WRAPPER");
    }
    folders.extend(std::env::split_paths(&path));
    let joined = std::env::join_paths(folders).map_err(|why| format!("PATH cannot be extended: {why}"))?;
    // Two compilers in one target folder would throw away each other's work.
    command
        .env("PATH", joined)
        .env(
            "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS",
            flags(cargo_home().as_deref()),
        )
        .env("CARGO_TARGET_DIR", house::target()?.join("wasm"));
    Ok(())
}

/// Where cargo keeps the sources of crates, which the compiler writes into what can panic.
fn cargo_home() -> Option<String> {
    let home = std::env::var("CARGO_HOME");
    home.or_else(|_| std::env::var("HOME").map(|home| format!("{home}/.cargo")))
        .ok()
}

/// What the compiler is told. Whoever builds the app need not tell where they live, and it is the same wherever that is.
fn flags(cargo_home: Option<&str>) -> String {
    match cargo_home {
        // Cargo takes the flags apart at spaces.
        Some(home) if !home.contains(char::is_whitespace) => {
            format!("{ONE_TYPE_OF_VIEW} --remap-path-prefix={home}/registry/src=crates")
        }
        _ => ONE_TYPE_OF_VIEW.to_string(),
    }
}

fn has_target() -> bool {
    let mut rustc = Command::new("rustc");
    let folder = run::answer(rustc.args(["--print", "target-libdir", "--target", TARGET]));
    let Some(folder) = folder else { return false };
    let Ok(mut entries) = std::fs::read_dir(folder.trim()) else {
        return false;
    };
    entries.any(|entry| entry.is_ok_and(|e| e.file_name().to_string_lossy().starts_with("libstd-")))
}

fn by_rustup() -> Outcome {
    if !run::is_there("rustup") {
        return Err("rustup is not installed.".to_string());
    }
    println!("   asking rustup for the target {TARGET} (20 MB)");
    run::quiet(
        Command::new("rustup").args(["target", "add", TARGET]),
        "rustup target add",
    )?;
    if has_target() {
        Ok(())
    } else {
        Err("rustup added the target, but rustc does not see it.".to_string())
    }
}

fn by_debian() -> Outcome {
    println!("   asking Debian for a compiler that builds {TARGET} (350 MB, two to four minutes)");
    apt::install(&DEBIAN, "the Wasm compiler")?;
    if let Some(lld) = lld_wanted() {
        apt::install(&[&lld], "the Wasm linker")?;
    }
    if debian_is_complete() {
        return Ok(());
    }
    let version = debian_version().map_or("no version".to_string(), |(a, b)| format!("version {a}.{b}"));
    Err(format!(
        "Debian's packages are in, but /usr/bin/rustc ({version}; {}.{} or later is wanted), its source \
         ({DEBIAN_SOURCE}) and its linker are not all there.",
        OLDEST.0, OLDEST.1
    ))
}

/// The package of the linker that Debian's `rust-lld` points to: its number moves with the compiler.
fn lld_wanted() -> Option<String> {
    let link = std::fs::read_link("/usr/bin/rust-lld").ok()?;
    let name = link.file_name()?.to_string_lossy().into_owned();
    let number = name.strip_prefix("lld-")?;
    (!number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())).then_some(name)
}

fn debian_is_complete() -> bool {
    debian_version().is_some_and(|version| version >= OLDEST)
        && Path::new("/usr/bin/cargo").is_file()
        && Path::new(DEBIAN_SOURCE).is_file()
        && Path::new("/usr/bin/rust-lld").exists()
}

fn debian_version() -> Option<(u32, u32)> {
    version_of(&run::answer(Command::new("/usr/bin/rustc").arg("--version"))?)
}

/// The first two numbers of `rustc 1.96.0 (...)`.
fn version_of(line: &str) -> Option<(u32, u32)> {
    let mut numbers = line.split_whitespace().nth(1)?.split('.');
    Some((numbers.next()?.parse().ok()?, numbers.next()?.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_somebody_lives_is_not_written_into_the_app() {
        let with = |home| flags(Some(home));
        assert_eq!(
            with("/home/ash/.cargo"),
            format!("{ONE_TYPE_OF_VIEW} --remap-path-prefix=/home/ash/.cargo/registry/src=crates")
        );
        assert_eq!(with("/home/ash and robin/.cargo"), ONE_TYPE_OF_VIEW);
        assert_eq!(flags(None), ONE_TYPE_OF_VIEW);
    }

    #[test]
    fn versions_are_compared_as_numbers() {
        assert_eq!(version_of("rustc 1.96.0 (ac68faa20 2026-05-25)"), Some((1, 96)));
        assert!(version_of("rustc 1.100.1").is_some_and(|v| v >= OLDEST));
        assert!(version_of("rustc 1.63.0").is_some_and(|v| v < OLDEST));
        assert_eq!(version_of("nonsense"), None);
    }
}
