//! The reference figures at a desk and compiled to Wasm: the same bits, or the first line that differs.

use crate::{Outcome, house, run, wasm};
use std::process::Command;

/// A program that says figures, at a desk on standard output and in Wasm in its memory.
struct Program {
    package: &'static str,
    /// What kind of target it is, and its name.
    target: [&'static str; 2],
    /// Where the Wasm lies under the profile's folder.
    file: &'static str,
    what: &'static str,
}

const PROGRAMS: [Program; 2] = [
    Program {
        package: "sampling",
        target: ["--example", "figures"],
        file: "examples/figures.wasm",
        what: "figures",
    },
    Program {
        package: "acceptance",
        target: ["--bin", "checks"],
        file: "checks.wasm",
        what: "figures of the reference checks",
    },
];

/// Builds each program twice, runs both, and compares what they say byte for byte.
pub(crate) fn command() -> Outcome {
    if !run::is_there("node") {
        return Err(
            "node is not installed: it runs the Wasm outside a browser (Debian: nodejs).".to_string(),
        );
    }
    for Program {
        package,
        target,
        file,
        what,
    } in PROGRAMS
    {
        let desk = said(
            run::cargo()?
                .args(["run", "--quiet", "--locked", "--package", package])
                .args(target),
            &format!("the {what} at a desk"),
        )?;
        let compiler = wasm::ready()?;
        let mut build = Command::new("cargo");
        wasm::prepare(&mut build, compiler)?;
        // The profile of the tested site, whose standard library is there already.
        build
            .current_dir(house::root()?)
            .args(["build", "--locked", "--package", package])
            .args(target)
            .args(["--profile", "app-test", "--target", wasm::TARGET]);
        run::quiet(&mut build, &format!("cargo build {package} for Wasm"))?;
        let program = house::target()?
            .join("wasm")
            .join(wasm::TARGET)
            .join("app-test")
            .join(file);
        let browser = said(
            Command::new("node")
                .arg(house::root()?.join("tests/reference/figures.mjs"))
                .arg(&program),
            &format!("the {what} in Wasm"),
        )?;
        let numbers = same(&desk, &browser)?;
        println!("   {numbers} {what} are the same to the last bit at a desk and in Wasm");
    }
    Ok(())
}

fn said(command: &mut Command, what: &str) -> Outcome<String> {
    run::answer(command).ok_or(format!(
        "{what}: the program did not end well; run it by hand to see why."
    ))
}

/// How many numbers both texts have, or the first line in which they differ.
fn same(desk: &str, browser: &str) -> Outcome<usize> {
    if desk.is_empty() {
        return Err("there are no figures to compare.".to_string());
    }
    if desk == browser {
        let numbers = |line: &str| line.split(' ').filter(|word| is_number(word)).count();
        return Ok(desk.lines().map(numbers).sum());
    }
    let (mut here, mut there) = (desk.lines(), browser.lines());
    for number in 1.. {
        match (here.next(), there.next()) {
            (Some(a), Some(b)) if a == b => {}
            (None, None) => break,
            (a, b) => {
                return Err(format!(
                    "line {number} of the figures differs.\nat a desk: {}\nin Wasm:   {}",
                    a.unwrap_or("nothing"),
                    b.unwrap_or("nothing")
                ));
            }
        }
    }
    Err("the figures differ in the ends of their lines.".to_string())
}

/// Sixteen hexadecimal digits.
fn is_number(word: &str) -> bool {
    word.len() == 16 && word.bytes().all(|b| b.is_ascii_hexdigit())
}

#[cfg(test)]
mod tests {
    use super::same;

    #[test]
    fn a_last_digit_is_a_difference_and_numbers_are_counted() {
        let text = "share 3fb0000000000000 3fb0000000000001\nnone: nothing is known\n";
        assert_eq!(same(text, text), Ok(2));
        let off = text.replace("1\n", "2\n");
        assert!(same(text, &off).is_err_and(|why| why.contains("line 1")));
        assert!(same(text, "").is_err_and(|why| why.contains("nothing")));
        assert!(same("", "").is_err());
    }
}
