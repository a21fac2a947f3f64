//! `cargo xtask weight`: what a phone has to fetch, by file and by crate, and what grew since the table that is kept.

use crate::site::{self, Kind};
use crate::{Outcome, house, modules, run, second, tools};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use wasmparser::{KnownCustom, Name, Parser, Payload, TypeRef};

/// What the site weighed when somebody last kept it.
const KEPT: &str = "src/xtask/weight.tsv";
/// Crates that are named one by one.
const NAMED: usize = 20;
/// Prints name, bytes, gzip and brotli of each file; node has both compressors.
const SQUEEZE: &str = "
const [fs, zlib] = [require('fs'), require('zlib')];
const best = { params: { [zlib.constants.BROTLI_PARAM_QUALITY]: 11 } };
for (const name of fs.readFileSync(0, 'utf8').split('\\n').filter(Boolean)) {
  const bytes = fs.readFileSync(name);
  const sizes = [bytes, zlib.gzipSync(bytes, { level: 9 }), zlib.brotliCompressSync(bytes, best)];
  console.log([name, ...sizes.map((made) => made.length)].join('\\t'));
}";

/// Bytes as they are, by gzip and by brotli, both at their best.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Size {
    raw: u64,
    gzip: u64,
    brotli: u64,
}

impl Size {
    fn and(self, other: Self) -> Self {
        Self {
            raw: self.raw + other.raw,
            gzip: self.gzip + other.gzip,
            brotli: self.brotli + other.brotli,
        }
    }
}

pub(crate) fn command(is_built: bool, keep: bool) -> Outcome {
    if !run::is_there("node") {
        return Err("weighing needs node: its gzip and brotli are what is measured with.".to_string());
    }
    if !is_built {
        tools::setup()?;
        site::build(Kind::Release)?;
    }
    let dist = Kind::Release.dist()?;
    let sizes = sizes(&dist)?;
    let page = house::read(&dist.join("index.html"))?;
    let mut parts: BTreeMap<&str, Size> = BTreeMap::new();
    println!(
        "\n  {:<46} {:>10} {:>10} {:>10}",
        "bytes of each file", "raw", "gzip", "brotli"
    );
    for part in PARTS {
        let here = sizes.iter().filter(|(name, _)| part_of(name, &page) == part);
        for (name, size) in here {
            line(name, *size);
            let sum = parts.entry(part).or_default();
            *sum = sum.and(*size);
        }
        let sum = parts.get(part).copied().unwrap_or_default();
        line(&format!("= {part}"), sum);
    }
    for module in ["field", "labour"] {
        by_crate(module, &modules::named()?.join(format!("{module}.wasm")))?;
    }
    grown(&parts)?;
    if keep {
        let lines: String = parts
            .iter()
            .map(|(part, s)| format!("{part}\t{}\t{}\t{}\n", s.raw, s.gzip, s.brotli))
            .collect();
        house::write(&house::root()?.join(KEPT), lines.as_bytes())?;
        println!("  kept in {KEPT}");
    }
    Ok(())
}

const FIRST: &str = "first load";
const SECOND: &str = "second module";
const REST: &str = "fetched behind, for offline use";
const PARTS: [&str; 3] = [FIRST, SECOND, REST];

/// What the page itself refers to is loaded before anything is shown.
fn part_of(name: &str, page: &str) -> &'static str {
    let refers = ["href", "src"].iter().any(|attribute| {
        page.contains(&format!("{attribute}=\"./{name}\""))
            || page.contains(&format!("{attribute}=\"{name}\""))
    });
    if modules::stem(name) == modules::stem(second::SCRIPT) {
        SECOND
    } else if refers || name == "index.html" {
        FIRST
    } else {
        REST
    }
}

fn line(name: &str, size: Size) {
    println!(
        "  {name:<46} {:>10} {:>10} {:>10}",
        size.raw, size.gzip, size.brotli
    );
}

fn sizes(dist: &Path) -> Outcome<Vec<(String, Size)>> {
    let list = house::target()?.join("weight.txt");
    house::write(&list, house::files_below(dist)?.join("\n").as_bytes())?;
    let input =
        std::fs::File::open(&list).map_err(|why| format!("{} cannot be read: {why}", list.display()))?;
    let output = Command::new("node")
        .current_dir(dist)
        .args(["-e", SQUEEZE])
        .stdin(input)
        .output()
        .map_err(|why| format!("node cannot be started: {why}"))?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let read: Vec<(String, Size)> = text.lines().filter_map(size).collect();
    if read.is_empty() {
        return Err(format!("node said {}", String::from_utf8_lossy(&output.stderr)));
    }
    Ok(read)
}

/// `name`, and three numbers of bytes, between tabs.
fn size(line: &str) -> Option<(String, Size)> {
    let mut words = line.split('\t');
    let name = words.next()?.to_string();
    let mut number = || words.next()?.parse().ok();
    let size = Size {
        raw: number()?,
        gzip: number()?,
        brotli: number()?,
    };
    Some((name, size))
}

fn grown(parts: &BTreeMap<&str, Size>) -> Outcome {
    let path: PathBuf = house::root()?.join(KEPT);
    let Ok(kept) = std::fs::read_to_string(&path) else {
        println!("\n  nothing is kept yet to compare with: --keep keeps this");
        return Ok(());
    };
    println!("\n  since the kept table, brotli:");
    for (name, before) in kept.lines().filter_map(size) {
        let now = parts.get(name.as_str()).copied().unwrap_or_default();
        println!(
            "  {name:<46} {:>10} {:>+10}",
            now.brotli,
            now.brotli.cast_signed() - before.brotli.cast_signed()
        );
    }
    Ok(())
}

/// Bytes of code by crate, before any packing.
fn by_crate(module: &str, path: &Path) -> Outcome {
    let bytes = std::fs::read(path).map_err(|why| {
        format!(
            "{} cannot be read ({why}): build without --no-build.",
            path.display()
        )
    })?;
    let bad = |why: wasmparser::BinaryReaderError| format!("{} is no module: {why}", path.display());
    let (mut imported, mut bodies, mut data) = (0u32, Vec::new(), 0);
    let mut names: BTreeMap<u32, String> = BTreeMap::new();
    for payload in Parser::new(0).parse_all(&bytes) {
        match payload.map_err(bad)? {
            Payload::ImportSection(imports) => {
                for import in imports.into_imports() {
                    if matches!(import.map_err(bad)?.ty, TypeRef::Func(_)) {
                        imported += 1;
                    }
                }
            }
            Payload::CodeSectionEntry(body) => bodies.push(body.range().len()),
            Payload::DataSection(section) => data = section.range().len(),
            Payload::CustomSection(section) => {
                if let KnownCustom::Name(known) = section.as_known() {
                    for name in known {
                        if let Name::Function(functions) = name.map_err(bad)? {
                            for function in functions {
                                let function = function.map_err(bad)?;
                                names.insert(function.index, function.name.to_string());
                            }
                        }
                    }
                }
            }
            _ => {}
        }
    }
    let mut crates: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, size) in (imported..).zip(&bodies) {
        let of = names.get(&index).map_or("(no name)", |name| crate_of(name));
        *crates.entry(of).or_default() += size;
    }
    let mut sorted: Vec<(&str, usize)> = crates.into_iter().collect();
    sorted.sort_by_key(|(_, size)| std::cmp::Reverse(*size));
    let all: usize = bodies.iter().sum();
    println!("\n  {module}: {all} bytes of code by crate, {data} of data");
    for (name, size) in sorted.iter().take(NAMED) {
        println!("  {name:<46} {size:>10}");
    }
    let rest: usize = sorted.iter().skip(NAMED).map(|(_, size)| size).sum();
    println!("  {:<46} {rest:>10}", "all others");
    Ok(())
}

/// The crate that a function belongs to, by its name: `<alloc::vec::Vec<T> as core::fmt::Debug>::fmt` is alloc's. What a
/// crate's generic code is made for is not told apart.
fn crate_of(name: &str) -> &str {
    let start = name.trim_start_matches(['<', '&', '[', '(', '*']);
    let start = ["mut ", "dyn ", "const "]
        .iter()
        .fold(start, |rest, word| rest.strip_prefix(word).unwrap_or(rest));
    let end = start
        .find(|c: char| !c.is_alphanumeric() && c != '_')
        .unwrap_or(start.len());
    let (word, rest) = start.split_at(end);
    if rest.starts_with("::") || rest.starts_with('[') {
        return word;
    }
    // A primitive or a type parameter: the trait tells more.
    match rest.split_once(" as ") {
        Some((_, of)) => crate_of(of),
        None => "(no crate)",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_function_belongs_to_the_crate_its_name_begins_with() {
        assert_eq!(crate_of("survey::fold::Fold::finish::h0123"), "survey");
        assert_eq!(crate_of("<alloc::vec::Vec<T> as core::fmt::Debug>::fmt"), "alloc");
        assert_eq!(crate_of("<&mut serde_json::de::X as serde::Y>::z"), "serde_json");
        assert_eq!(crate_of("<T as serde_core::Y>::z"), "serde_core");
        assert_eq!(crate_of("core[0123]::fmt::write"), "core");
        assert_eq!(crate_of("memcpy"), "(no crate)");
    }

    #[test]
    fn what_the_page_refers_to_is_the_first_load() {
        let page = "<meta content=\"labour-1.js\"><link href=\"./a-1.css\"><script src=\"look.js\"></script>";
        assert_eq!(part_of("a-1.css", page), FIRST);
        assert_eq!(part_of("look.js", page), FIRST);
        assert_eq!(part_of("labour-1.js", page), SECOND);
        assert_eq!(part_of("labour-2_bg.wasm", page), SECOND);
        assert_eq!(part_of("practice.zip", page), REST);
    }

    #[test]
    fn the_kept_table_is_read_as_it_is_written() {
        let read = size("first load\t3\t2\t1").unwrap();
        let expected = Size {
            raw: 3,
            gzip: 2,
            brotli: 1,
        };
        assert_eq!(read, ("first load".to_string(), expected));
        assert_eq!(size("first load\tmuch"), None);
    }
}
