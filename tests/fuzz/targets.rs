//! What is fed: an importer each, with inputs to begin from and what must hold of whatever it takes.

use std::collections::BTreeMap;

use crate::packing::{packed, unpacked};
use crate::saved::saved;
use analysis::tables::{Options, Tables, estimate};
use handover::{boxlist, survey_file, verify, watchlist};
use survey::{Entry, Log, State};

/// Feeds an input, and says whether it was taken.
type Feed = Box<dyn Fn(&[u8]) -> bool>;

/// What an importer reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Text,
    /// Files in files, pictures, sealed and coded bytes.
    Container,
}

/// One importer.
pub(crate) struct Target {
    pub(crate) name: &'static str,
    pub(crate) kind: Kind,
    /// Inputs that are taken, to be spoilt.
    pub(crate) seeds: Vec<Vec<u8>>,
    /// Feeds it; whether the input was taken. Panics if what must hold does not.
    pub(crate) feed: Feed,
    /// How many inputs a short run feeds it: fewer where one takes long.
    pub(crate) cases: usize,
    /// How many the long run feeds it: over all texts ten million together, over all containers one.
    pub(crate) long: usize,
    /// How many times the longest one input may take.
    pub(crate) patience: u32,
}

/// Between two texts of one input.
const CUT: &[u8] = b"\n--8<--\n";

pub(crate) fn all() -> Vec<Target> {
    let file = survey();
    let (base, files) = unpacked(&file);
    let log = files["data/log.ndjson"].clone();
    let mut all = vec![
        survey_files(file),
        bags(base.clone(), files.clone()),
        bags_read(base, files.clone()),
        lines(&log),
        logs(&log),
        box_lists(),
        watch_lists(),
        estimates(),
    ];
    all.extend(crate::tables::all(&log));
    all.extend(crate::photographs::all());
    all.extend(crate::transfers::all(&log));
    all
}

/// A survey file as this version writes it.
fn survey() -> Vec<u8> {
    let opened = survey_file::read(&saved("formats/survey-1.zip")).unwrap();
    survey_file::write(&opened.log, &opened.parts).unwrap()
}

/// Any changed byte of a survey file is refused.
fn survey_files(file: Vec<u8>) -> Target {
    let original = file.clone();
    Target {
        name: "survey file",
        kind: Kind::Container,
        seeds: vec![file],
        feed: Box::new(move |bytes| {
            let taken = survey_file::read(bytes).is_ok();
            assert!(!taken || bytes == original, "a changed file was taken");
            taken
        }),
        cases: 150,
        long: 300_000,
        patience: 1,
    }
}

/// A file of the bag is spoilt and every checksum made right: the log decides alone, and `verify` says what differs.
fn bags(base: String, files: BTreeMap<String, Vec<u8>>) -> Target {
    let names: Vec<String> = files.keys().cloned().collect();
    let seeds = names
        .iter()
        .map(|name| [name.as_bytes(), CUT, &files[name]].concat())
        .collect();
    Target {
        name: "file of a bag, sums made right",
        kind: Kind::Container,
        seeds,
        feed: Box::new(move |bytes| {
            let Some((name, contents)) = cut(bytes) else {
                return false;
            };
            let name = String::from_utf8_lossy(name).into_owned();
            let unchanged = files.get(&name).is_some_and(|before| before == contents);
            let mut spoilt = files.clone();
            spoilt.insert(name.clone(), contents.to_vec());
            let Some(packed) = packed(&base, spoilt) else {
                return false;
            };
            let report = verify(&packed);
            let is_made_anew = matches!(name.as_str(), "manifest-sha256.txt" | "tagmanifest-sha256.txt");
            // What the bag says of itself beside its files (who to ask, say) is free.
            let is_free = is_made_anew || name == "bag-info.txt" || !name.starts_with("data/");
            assert!(
                unchanged || is_free || !report.holds(),
                "{name} was changed, and the file still holds"
            );
            survey_file::read(&packed).is_ok()
        }),
        cases: 40,
        long: 2_000,
        patience: 1,
    }
}

/// The same, read only: two hundred times as quick.
fn bags_read(base: String, files: BTreeMap<String, Vec<u8>>) -> Target {
    let log = files["data/log.ndjson"].clone();
    Target {
        name: "log in a bag, sums made right",
        kind: Kind::Container,
        seeds: vec![log],
        feed: Box::new(move |bytes| {
            let mut spoilt = files.clone();
            spoilt.insert("data/log.ndjson".to_owned(), bytes.to_vec());
            let read = packed(&base, spoilt).map(|packed| survey_file::read(&packed));
            let Some(Ok(opened)) = read else {
                return false;
            };
            assert_eq!(
                opened.log,
                Log::from_lines(bytes).unwrap(),
                "another log was read"
            );
            true
        }),
        cases: 100,
        long: 150_000,
        patience: 1,
    }
}

/// One line of a log: what is taken keeps its bytes.
fn lines(log: &[u8]) -> Target {
    let seeds = log
        .split(|byte| *byte == b'\n')
        .filter(|line| !line.is_empty())
        .map(<[u8]>::to_vec);
    Target {
        name: "line of a log",
        kind: Kind::Text,
        seeds: seeds.collect(),
        feed: Box::new(|bytes| match Entry::read(bytes) {
            Ok(entry) => {
                assert_eq!(entry.bytes, bytes, "an entry's bytes were changed");
                true
            }
            Err(_) => false,
        }),
        cases: 4_000,
        long: 4_000_000,
        patience: 1,
    }
}

/// A whole log: what is taken is folded, counted and written without a fault, and read back the same.
fn logs(log: &[u8]) -> Target {
    let parts = handover::Parts {
        date: handover::Day::from_ms(0).unwrap(),
        app: handover::APP.to_owned(),
        organization: None,
        contact: None,
    };
    Target {
        name: "log, its figures and its file",
        kind: Kind::Text,
        seeds: vec![log.to_vec()],
        feed: Box::new(move |bytes| {
            let Ok(log) = Log::from_lines(bytes) else {
                return false;
            };
            let again = Log::from_lines(&log.to_lines()).unwrap();
            assert_eq!(again, log, "a log is not what it writes");
            drop(State::fold(&log));
            let file = survey_file::write(&log, &parts).unwrap();
            assert_eq!(survey_file::read(&file).unwrap().log, log);
            true
        }),
        cases: 40,
        long: 20_000,
        patience: 1,
    }
}

fn box_lists() -> Target {
    let plain: &[u8] = b"place,label,group,full,items\nAttic,A 1,Upstairs,3,12\nAttic,A 2,Upstairs,,\nCellar,\"C, 1\",Below,4,\n";
    let german =
        b"\xef\xbb\xbfplace;label;full\r\nAttic;A 1;25%\r\nAttic;\"A \"\"2\"\"\";\r\n\r\n;;\r\n".to_vec();
    Target {
        name: "list of boxes",
        kind: Kind::Text,
        seeds: vec![plain.to_vec(), german],
        feed: Box::new(|bytes| match boxlist::read(bytes) {
            Ok(list) => {
                for listed in &list.boxes {
                    let texts = [
                        &listed.place,
                        &listed.label,
                        listed.group.as_ref().unwrap_or(&listed.place),
                    ];
                    assert!(texts.iter().all(|text| text.chars().count() <= boxlist::MAX_TEXT));
                    assert!(texts.iter().all(|text| !text.chars().any(char::is_control)));
                    assert!(!listed.place.is_empty());
                    assert!(listed.quarters.is_none_or(|quarters| (1..=4).contains(&quarters)));
                }
                true
            }
            Err(problems) => {
                assert!(
                    problems.count > 0
                        && !problems.named.is_empty()
                        && problems.named.len() <= boxlist::MAX_NAMED
                );
                false
            }
        }),
        cases: 2_000,
        long: 1_500_000,
        patience: 1,
    }
}

fn watch_lists() -> Target {
    let plain =
        b"name,behaviours,note,source\nBlue tin,sticky_binder,'=1+1,bench notes\n\"Grey, small\",,,x\n"
            .to_vec();
    Target {
        name: "watch-list",
        kind: Kind::Text,
        seeds: vec![plain],
        feed: Box::new(|bytes| match watchlist::read(bytes) {
            Ok(list) => {
                let written = watchlist::write(&list);
                assert_eq!(
                    watchlist::read(&written).as_ref(),
                    Ok(&list),
                    "a list is not what it writes"
                );
                true
            }
            Err(problems) => {
                assert!(problems.count > 0 && problems.named.len() <= watchlist::MAX_NAMED);
                false
            }
        }),
        cases: 2_000,
        long: 1_200_000,
        patience: 1,
    }
}

/// The two tables of a statistician: a number that comes out is a number.
fn estimates() -> Target {
    let boxes = "stratum,box_id,sampled,items_in_box,status,size\nS,1,1,3,checked,1\nS,2,1,2,checked,2\nS,3,0,,,3\nT,4,1,0,checked,1\nT,5,1,4,stopped,1\nT,6,0,,,1\n";
    let items = "stratum,box_id,item_id,mould,minutes\nS,1,1,0,12.5\nS,1,2,1,30\nS,2,1,,5\nT,5,*,1,\n";
    Target {
        name: "tables to estimate from",
        kind: Kind::Text,
        seeds: vec![[boxes.as_bytes(), CUT, items.as_bytes()].concat()],
        feed: Box::new(|bytes| {
            let Some((boxes, items)) = cut(bytes) else {
                return false;
            };
            let (Ok(boxes), Ok(items)) = (std::str::from_utf8(boxes), std::str::from_utf8(items)) else {
                return false;
            };
            let Ok(tables) = Tables::read(boxes, items) else {
                return false;
            };
            match estimate(&tables, &Options::default()) {
                Ok(found) => {
                    let written = format!("{found:?}");
                    assert!(numbers_are_numbers(&written), "no number: {written}");
                    true
                }
                Err(_) => false,
            }
        }),
        cases: 1_000,
        long: 1_000_000,
        patience: 1,
    }
}

/// Whether every number in what a value looks like to a programmer is one; what stands in quotes is a name.
fn numbers_are_numbers(written: &str) -> bool {
    let mut is_name = false;
    let mut bare = String::new();
    let mut signs = written.chars();
    while let Some(sign) = signs.next() {
        match sign {
            '"' => is_name = !is_name,
            '\\' => drop(signs.next()),
            _ if !is_name => bare.push(sign),
            _ => {}
        }
    }
    let mut words = bare.split(|sign: char| !sign.is_ascii_alphanumeric());
    words.all(|word| !matches!(word, "NaN" | "inf"))
}

#[test]
fn no_number_is_found_where_there_is_none_and_names_may_be_anything() {
    assert!(numbers_are_numbers("{\"inf \\\" NaN\": Some(0.5)}"));
    assert!(!numbers_are_numbers("{\"a\": Some(NaN)}"));
    assert!(!numbers_are_numbers("[-inf]"));
}

fn cut(bytes: &[u8]) -> Option<(&[u8], &[u8])> {
    let at = bytes.windows(CUT.len()).position(|window| window == CUT)?;
    Some((&bytes[..at], &bytes[at + CUT.len()..]))
}
