//! The house's arrows: which crate may know which, what the core may never know, and where the browser may be touched.

use crate::{Outcome, house, run};
use std::collections::BTreeSet;
use std::path::Path;

/// Each crate, and those it may know. `acceptance` is the checks from outside, and may know all.
const MAY_KNOW: [(&str, &[&str]); 11] = [
    ("sampling", &[]),
    ("tape", &[]),
    ("survey", &["sampling", "tape"]),
    ("transfer", &["survey", "tape"]),
    ("costing", &["sampling"]),
    ("analysis", &["costing", "survey", "sampling", "tape"]),
    ("handover", &["analysis", "costing", "survey", "sampling", "tape"]),
    (
        "labour",
        &[
            "handover", "transfer", "analysis", "costing", "survey", "sampling", "tape",
        ],
    ),
    (
        "field",
        &[
            "labour", "handover", "transfer", "analysis", "costing", "survey", "sampling", "tape",
        ],
    ),
    (
        "desk",
        &["handover", "analysis", "costing", "survey", "sampling", "tape"],
    ),
    ("xtask", &[]),
];
const CORE: [&str; 7] = [
    "sampling", "tape", "survey", "transfer", "costing", "analysis", "handover",
];
/// Crates that bring a browser, a clock or randomness of their own; the core is handed all three.
const NOT_IN_CORE: [&str; 11] = [
    "leptos",
    "web-sys",
    "js-sys",
    "wasm-bindgen",
    "gloo-storage",
    "rexie",
    "idb",
    "getrandom",
    "rand",
    "chrono",
    "tokio",
];
const BROWSER_WORDS: [&str; 3] = ["JsValue", "web_sys", "spawn_local"];
/// Where the lint may be told to look away: the cutting attribute writes an import and an export; and this file names it.
const MAY_SAY_UNSAFE: [&str; 2] = ["field/src/parts/points.rs", "xtask/src/arrows.rs"];

pub(crate) fn command() -> Outcome {
    let mut faults = Vec::new();
    for (name, may_know) in MAY_KNOW {
        faults.extend(forbidden_arrows(
            name,
            may_know,
            &known_to(name, "normal,build,dev", Some("1"))?,
        ));
    }
    for name in CORE {
        faults.extend(forbidden_in_core(name, &known_to(name, "normal", None)?));
    }
    let field = house::root()?.join("src/field/src");
    for file in house::files_below(&field)?
        .iter()
        .filter(|file| file.ends_with(".rs"))
    {
        if !file.starts_with("capability/") {
            faults.extend(browser_words(file, &house::read(Path::new(&field.join(file)))?));
        }
    }
    let sources = house::root()?.join("src");
    for file in house::files_below(&sources)?
        .iter()
        .filter(|file| file.ends_with(".rs") && !MAY_SAY_UNSAFE.contains(&file.as_str()))
    {
        faults.extend(unsafe_words(file, &house::read(&sources.join(file))?));
    }
    if faults.is_empty() {
        println!(
            "   arrows: every crate knows only what it may; the browser is touched only in src/field/src/capability"
        );
        return Ok(());
    }
    Err(format!(
        "the house's rules are broken:\n- {}",
        faults.join("\n- ")
    ))
}

/// The packages that `name` depends on, by cargo's own account, for every platform.
fn known_to(name: &str, edges: &str, depth: Option<&str>) -> Outcome<BTreeSet<String>> {
    let mut command = run::cargo()?;
    command.args([
        "tree", "--locked", "--prefix", "none", "--format", "{p}", "--target", "all", "--edges", edges,
    ]);
    command.args(["--package", name]);
    if let Some(depth) = depth {
        command.args(["--depth", depth]);
    }
    let tree = run::answer(&mut command).ok_or(format!(
        "cargo tree says nothing about {name}: is Cargo.lock current?"
    ))?;
    let names = tree
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .filter(|known| *known != name);
    Ok(names.map(str::to_string).collect())
}

fn forbidden_arrows(name: &str, may_know: &[&str], known: &BTreeSet<String>) -> Vec<String> {
    let is_ours = |known: &str| known == "acceptance" || MAY_KNOW.iter().any(|(ours, _)| *ours == known);
    let forbidden = known
        .iter()
        .filter(|known| is_ours(known) && !may_know.contains(&known.as_str()));
    forbidden
        .map(|known| format!("{name} may not know {known}"))
        .collect()
}

fn forbidden_in_core(name: &str, known: &BTreeSet<String>) -> Vec<String> {
    let forbidden = NOT_IN_CORE
        .iter()
        .filter(|known_by_name| known.contains(**known_by_name));
    forbidden
        .map(|known| format!("{name} is core, and {known} is among what it depends on"))
        .collect()
}

/// Lines of a view's or a journey's source that touch the browser directly; comments may speak of it.
fn browser_words(file: &str, text: &str) -> Vec<String> {
    let mut faults = Vec::new();
    for (number, line) in text.lines().enumerate() {
        let code = line.split("//").next().unwrap_or("");
        let mut words = code.split(|c: char| !c.is_alphanumeric() && c != '_');
        if let Some(word) = words.find(|word| BROWSER_WORDS.contains(word)) {
            faults.push(format!(
                "src/field/src/{file}:{}: {word} belongs in src/field/src/capability",
                number + 1
            ));
        }
    }
    faults
}

/// Lines that would let unsafe code in: everywhere else the lint denies it.
fn unsafe_words(file: &str, text: &str) -> Vec<String> {
    let lines = text.lines().enumerate();
    let found = lines.filter(|(_, line)| {
        line.split("//")
            .next()
            .is_some_and(|code| code.contains("unsafe_code"))
    });
    found
        .map(|(number, _)| {
            format!(
                "src/{file}:{}: unsafe code is let in by {} alone",
                number + 1,
                MAY_SAY_UNSAFE[0]
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(names: &[&str]) -> BTreeSet<String> {
        names.iter().map(|name| (*name).to_string()).collect()
    }

    #[test]
    fn an_arrow_against_the_house_is_a_fault_and_one_along_it_is_none() {
        assert!(forbidden_arrows("survey", &["sampling", "tape"], &set(&["sampling", "serde"])).is_empty());
        let faults = forbidden_arrows("tape", &[], &set(&["sampling", "serde"]));
        assert_eq!(faults, ["tape may not know sampling"]);
        assert_eq!(
            forbidden_arrows("desk", &["survey"], &set(&["acceptance"])).len(),
            1
        );
    }

    #[test]
    fn a_browser_below_the_core_is_a_fault() {
        assert_eq!(forbidden_in_core("survey", &set(&["serde", "web-sys"])).len(), 1);
        assert!(forbidden_in_core("survey", &set(&["serde", "libm"])).is_empty());
    }

    #[test]
    fn letting_unsafe_in_is_found_in_code_and_not_in_comments() {
        assert_eq!(unsafe_words("a.rs", "#![allow(unsafe_code)]\nfn a() {}").len(), 1);
        assert!(unsafe_words("a.rs", "// unsafe_code is not let in\nlet safe = 1;").is_empty());
    }

    #[test]
    fn browser_words_are_found_in_code_and_not_in_comments() {
        assert_eq!(
            browser_words("a.rs", "use web_sys::Window;\nlet x: JsValue = y;").len(),
            2
        );
        assert!(
            browser_words(
                "a.rs",
                "// web_sys stays out\nlet my_web_sys_like = 1; // JsValue"
            )
            .is_empty()
        );
        assert_eq!(
            browser_words("a.rs", "leptos::task::spawn_local(async {})").len(),
            1
        );
    }
}
