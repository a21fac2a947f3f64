//! The site's WebAssembly modules: made smaller where the tool is there, freed of their names, named after their content.

use crate::{Outcome, digest, house, run};
use std::path::{Path, PathBuf};
use std::process::Command;
use wasmparser::{Parser, Payload};

/// What Rust's own default output for the browser uses, and no more: with all features on, wasm-opt writes modules that
/// today's browsers refuse.
const FEATURES: [&str; 6] = [
    "--enable-bulk-memory",
    "--enable-sign-ext",
    "--enable-nontrapping-float-to-int",
    "--enable-reference-types",
    "--enable-multivalue",
    "--enable-mutable-globals",
];

/// For size, and then as far as speed costs next to none: of many small functions fewer are left, and a browser takes a while for
/// each one that it meets.
const PASSES: [&[&str]; 2] = [&["-Oz"], &["-O3", "--shrink-level", "1"]];

/// Where the released modules are kept with their names, for `cargo xtask weight`.
pub(crate) fn named() -> Outcome<PathBuf> {
    Ok(house::target()?.join("named"))
}

/// Makes every module of a site smaller and names it after its content; a copy with names is kept aside.
pub(crate) fn shrink(site: &Path, optimiser: Option<&Path>) -> Outcome {
    let aside = named()?;
    // What an earlier build left there may be of a module that there is no more.
    if aside.exists() {
        std::fs::remove_dir_all(&aside)
            .map_err(|why| format!("{} cannot be removed: {why}", aside.display()))?;
    }
    for name in house::files_below(site)?
        .iter()
        .filter(|name| name.ends_with(".wasm"))
    {
        let path = site.join(name);
        if let Some(program) = optimiser {
            optimise(&path, program)?;
        }
        let whole = read(&path)?;
        house::write_below(&aside.join(format!("{}.wasm", stem(name))), &whole)?;
        house::write(&path, &without_names(&whole)?)?;
        name_after_content(site, name)?;
    }
    Ok(())
}

/// `field-0123456789abcdef_bg.wasm` and `labour_bg.wasm` by their first word.
pub(crate) fn stem(name: &str) -> &str {
    name.split(['-', '_', '.']).next().unwrap_or(name)
}

fn optimise(path: &Path, program: &Path) -> Outcome {
    let after = path.with_extension("tmp");
    for passes in PASSES {
        let mut command = Command::new("node");
        // -g keeps the names; they are taken out below.
        command.arg(program).args(passes).arg("-g").args(FEATURES);
        command.arg(path).arg("-o").arg(&after);
        run::quiet(&mut command, "wasm-opt")?;
        std::fs::rename(&after, path).map_err(|why| format!("wasm-opt left no file: {why}"))?;
    }
    Ok(())
}

/// A module without its custom sections: names, producers.
fn without_names(module: &[u8]) -> Outcome<Vec<u8>> {
    let bad = |why: wasmparser::BinaryReaderError| format!("wasm-opt made no module: {why}");
    let mut kept = module.get(..8).unwrap_or_default().to_vec();
    for payload in Parser::new(0).parse_all(module) {
        let payload = payload.map_err(bad)?;
        if let (Some((id, range)), false) =
            (payload.as_section(), matches!(payload, Payload::CustomSection(_)))
        {
            kept.push(id);
            leb128(&mut kept, range.len());
            kept.extend_from_slice(&module[range]);
        }
    }
    Ok(kept)
}

/// A number as WebAssembly writes it: seven bits a byte, the low ones first.
fn leb128(into: &mut Vec<u8>, mut number: usize) {
    loop {
        let low = (number & 0x7f).to_le_bytes()[0];
        number >>= 7;
        if number == 0 {
            return into.push(low);
        }
        into.push(low | 0x80);
    }
}

/// Names a file of the site after its content, wherever the page or a script speaks of it.
pub(crate) fn name_after_content(site: &Path, name: &str) -> Outcome {
    let bytes = read(&site.join(name))?;
    let ending = if name.ends_with(".wasm") {
        "_bg.wasm"
    } else {
        ".js"
    };
    let new_name = format!(
        "{}-{}{ending}",
        stem(name),
        &digest::hex(&digest::sha256(&bytes))[..16]
    );
    std::fs::rename(site.join(name), site.join(&new_name))
        .map_err(|why| format!("{new_name} cannot be put in place: {why}"))?;
    for other in house::files_below(site)?
        .iter()
        .filter(|other| other.ends_with(".js") || *other == "index.html")
    {
        let path = site.join(other);
        let text = house::read(&path)?;
        if text.contains(name) {
            house::write(&path, text.replace(name, &new_name).as_bytes())?;
        }
    }
    Ok(())
}

fn read(path: &Path) -> Outcome<Vec<u8>> {
    std::fs::read(path).map_err(|why| format!("{} cannot be read: {why}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn custom_sections_go_and_the_others_stay_as_they_were() {
        let start = *b"\0asm\x01\0\0\0";
        let types = [1, 4, 1, 0x60, 0, 0];
        let custom = [0, 5, 4, b'n', b'a', b'm', b'e'];
        let module = [&start[..], &custom, &types, &custom].concat();
        assert_eq!(without_names(&module).unwrap(), [&start[..], &types].concat());
        assert!(without_names(b"no module").is_err());
    }

    #[test]
    fn numbers_are_written_as_the_examples_of_the_standard() {
        // DWARF 4, figure 22: 2, 127, 128, 129 and 12857.
        let written = |number| {
            let mut bytes = Vec::new();
            leb128(&mut bytes, number);
            bytes
        };
        assert_eq!(written(2), [2]);
        assert_eq!(written(127), [127]);
        assert_eq!(written(128), [0x80, 1]);
        assert_eq!(written(129), [0x81, 1]);
        assert_eq!(written(12_857), [57 + 0x80, 100]);
    }

    #[test]
    fn a_module_is_known_by_its_first_word() {
        assert_eq!(stem("field-0123456789abcdef_bg.wasm"), "field");
        assert_eq!(stem("labour_bg.wasm"), "labour");
        assert_eq!(stem("labour.js"), "labour");
    }
}
