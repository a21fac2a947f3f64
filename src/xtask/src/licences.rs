//! Whether every crate that goes into the app or the desk program may be shipped with it.

use crate::{Outcome, run};

/// Licences that ask for no more than their text to be kept.
const FINE: [&str; 14] = [
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "Zlib",
    "0BSD",
    "CC0-1.0",
    "MPL-2.0",
    "Unicode-3.0",
    "Unlicense",
];

pub(crate) fn command() -> Outcome {
    let mut command = run::cargo()?;
    command.args([
        "tree",
        "--locked",
        "--workspace",
        "--prefix",
        "none",
        "--format",
        "{p}|{l}",
        "--edges",
        "normal,build",
    ]);
    command.args(["--target", "all"]);
    let tree = run::answer(&mut command).ok_or("cargo tree gives no licences: is Cargo.lock current?")?;
    let mut faults: Vec<String> = Vec::new();
    let mut count = 0;
    for line in tree.lines() {
        let Some((package, licence)) = line.split_once('|') else {
            continue;
        };
        // A package that was listed in full above is marked, and judged there.
        let licence = licence.trim_end_matches(" (*)");
        count += 1;
        if !is_fine(licence) {
            faults.push(format!(
                "{package}: {}",
                if licence.is_empty() {
                    "no licence named"
                } else {
                    licence
                }
            ));
        }
    }
    faults.sort();
    faults.dedup();
    if count == 0 {
        return Err("cargo tree named no package.".to_string());
    }
    if faults.is_empty() {
        println!("   licences: every dependency may be shipped");
        return Ok(());
    }
    Err(format!(
        "these may not be shipped, or their licence has to be looked at:\n- {}",
        faults.join("\n- ")
    ))
}

/// Whether a licence expression can be satisfied by licences of the list: of `OR` one side, of `AND` both.
fn is_fine(expression: &str) -> bool {
    let plain = expression.replace(['(', ')'], " ").replace('/', " OR ");
    // Brackets only ever group an OR inside an AND in practice; taking every AND part's ORs apart covers that.
    let grouped = expression.contains('(');
    let all = |text: &str, between: &str, fine: fn(&str) -> bool| text.split(between).all(fine);
    let any = |text: &str, between: &str, fine: fn(&str) -> bool| text.split(between).any(fine);
    if grouped {
        all(&plain, " AND ", |part| part.split(" OR ").any(is_listed))
    } else {
        any(&plain, " OR ", |part| part.split(" AND ").all(is_listed))
    }
}

fn is_listed(licence: &str) -> bool {
    FINE.contains(&licence.trim())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn expressions_are_judged_by_their_parts() {
        for fine in [
            "MIT",
            "MIT OR Apache-2.0",
            "MIT/Apache-2.0",
            "GPL-3.0 OR MIT",
            "(MIT OR Apache-2.0) AND Unicode-3.0",
        ] {
            assert!(is_fine(fine), "{fine}");
        }
        for foul in [
            "",
            "GPL-3.0",
            "MIT AND GPL-3.0",
            "AGPL-3.0-only OR GPL-2.0",
            "(MIT OR Apache-2.0) AND GPL-2.0",
        ] {
            assert!(!is_fine(foul), "{foul}");
        }
    }
}
