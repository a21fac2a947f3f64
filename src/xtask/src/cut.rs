//! The page's module in parts: what a check needs is loaded first, and the rest when a screen asks for it.
//!
//! Trunk knows no parts. Its page is kept, and the module that it names is cut and bound anew.

use crate::site::Kind;
use crate::{Outcome, digest, house, modules, run, tools, wasm};
use std::path::Path;
use std::process::Command;

/// The script that fetches parts, as the cutting program names it.
const LINK: &str = "__wasm_split.js";

/// Cuts the module of Trunk's output in `staged` and puts its parts in its place.
pub(crate) fn cut(kind: Kind, staged: &Path) -> Outcome {
    println!("   cutting the app in parts");
    let whole = house::target()?
        .join("wasm")
        .join(wasm::TARGET)
        .join(kind.profile())
        .join("field.wasm");
    let bytes = std::fs::read(&whole).map_err(|why| format!("{} cannot be read: {why}", whole.display()))?;
    // What is made of the same bytes by the same programs has the same name, and nothing else has it.
    let made_of = [&bytes[..], tools::WASM_SPLIT.as_bytes()].concat();
    let mark = &digest::hex(&digest::sha256(&made_of))[..16];
    let name = format!("field-{mark}");
    let folder = house::target()?.join("cut").join(kind.profile());
    match std::fs::remove_dir_all(&folder) {
        Err(why) if why.kind() != std::io::ErrorKind::NotFound => {
            return Err(format!("{} cannot be removed: {why}", folder.display()));
        }
        _ => {}
    }
    let programs = house::tools()?.join("bin");
    let mut command = Command::new(programs.join("wasm-split-cli"));
    command
        .arg(&whole)
        .arg(&folder)
        .args(["--target", "web", "--out-name", &name]);
    run::quiet(&mut command, "the cutting of the app")?;
    let bound = folder.join("bound");
    let mut command = Command::new(programs.join("wasm-bindgen"));
    command.args(["--target", "web", "--no-typescript", "--keep-lld-exports"]);
    command.args(["--out-name", &name, "--out-dir"]);
    command.arg(&bound).arg(folder.join(format!("{name}.wasm")));
    run::quiet(&mut command, "wasm-bindgen of the first part")?;

    let link = format!("parts-{mark}.js");
    let script = house::read(&bound.join(format!("{name}.js")))?;
    put_page(staged, &name, &link)?;
    house::write(
        &staged.join(format!("{name}.js")),
        linked(&script, &link)?.as_bytes(),
    )?;
    copy(
        &bound.join(format!("{name}_bg.wasm")),
        &staged.join(format!("{name}_bg.wasm")),
    )?;
    house::write(&staged.join(&link), house::read(&folder.join(LINK))?.as_bytes())?;
    for file in house::files_below(&folder)? {
        if let Some(part) = part_name(&file) {
            copy(&folder.join(&file), &staged.join(&part))?;
            in_script(&staged.join(&link), &file, &part)?;
            modules::name_after_content(staged, &part)?;
        }
    }
    Ok(())
}

/// Names the new module in Trunk's page, and takes the old one away.
fn put_page(staged: &Path, name: &str, link: &str) -> Outcome {
    let path = staged.join("index.html");
    let mut page = house::read(&path)?;
    for old in house::files_below(staged)? {
        let is_module = old.starts_with("field-") && old.ends_with("_bg.wasm");
        if let (true, Some(stem)) = (is_module, old.strip_suffix("_bg.wasm")) {
            page = page.replace(stem, name);
            for gone in [old.clone(), format!("{stem}.js")] {
                std::fs::remove_file(staged.join(&gone))
                    .map_err(|why| format!("{gone} cannot be removed: {why}"))?;
            }
        }
    }
    if !page.contains(&format!("{name}_bg.wasm")) {
        return Err("Trunk's page names no module of the app.".to_string());
    }
    let ahead = format!("<link rel=\"modulepreload\" href=\"./{link}\"></head>");
    page = page.replacen("</head>", &ahead, 1);
    house::write(&path, page.as_bytes())
}

/// wasm-bindgen's script with the link script under its new name. The module itself goes on calling it by its old one.
fn linked(script: &str, link: &str) -> Outcome<String> {
    let linked = script.replace(&format!("from \"./{LINK}\""), &format!("from \"./{link}\""));
    if linked == script {
        return Err("the first part refers to no other.".to_string());
    }
    Ok(linked)
}

/// `split_after.wasm` is the part `after`, and `chunk_7.wasm` is what several share.
fn part_name(file: &str) -> Option<String> {
    let stem = file.strip_suffix(".wasm")?;
    if let Some(own) = stem.strip_prefix("split_") {
        return Some(format!("{own}.wasm"));
    }
    Some(format!("shared{}.wasm", stem.strip_prefix("chunk_")?))
}

fn in_script(path: &Path, old: &str, new: &str) -> Outcome {
    let script = house::read(path)?;
    house::write(
        path,
        script
            .replace(&format!("\"./{old}\""), &format!("\"./{new}\""))
            .as_bytes(),
    )
}

fn copy(from: &Path, to: &Path) -> Outcome {
    std::fs::copy(from, to)
        .map(|_| ())
        .map_err(|why| format!("{} cannot be copied: {why}", from.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_is_named_after_what_it_is() {
        assert_eq!(part_name("split_after.wasm").unwrap(), "after.wasm");
        assert_eq!(part_name("chunk_7.wasm").unwrap(), "shared7.wasm");
        assert_eq!(part_name("field-0123.wasm"), None);
        assert_eq!(part_name("bound/field-0123_bg.wasm"), None);
    }

    #[test]
    fn only_what_fetches_the_link_script_is_renamed() {
        let script = "import * as star from \"./__wasm_split.js\"\n\"./__wasm_split.js\": star";
        assert_eq!(
            linked(script, "parts-1.js").unwrap(),
            "import * as star from \"./parts-1.js\"\n\"./__wasm_split.js\": star"
        );
        assert!(linked("import nothing", "parts-1.js").is_err());
    }
}
