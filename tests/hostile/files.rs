//! Survey files: bombs, tricks with names, wrong sums, contents that a right sum covers.

use std::collections::BTreeMap;

use crate::packing::{packed, unpacked};
use crate::saved::saved;
use handover::{FileError, survey_file, verify, zip};

type Files = BTreeMap<String, Vec<u8>>;

/// A whole file as this version writes it.
fn whole() -> Vec<u8> {
    let opened = survey_file::read(&saved("formats/survey-1.zip")).unwrap();
    survey_file::write(&opened.log, &opened.parts).unwrap()
}

/// The refusal by name, or what was read.
fn refusal(bytes: &[u8]) -> String {
    match survey_file::read(bytes) {
        Ok(_) => "read".to_owned(),
        Err(error) => {
            let said = format!("{error:?}");
            said.split([' ', '{', '(']).next().unwrap_or_default().to_owned()
        }
    }
}

/// One entry's local header, contents and directory record, with these fields free to lie.
fn entry(name: &str, contents: &[u8], method: u16, declared: u32, at: u32) -> (Vec<u8>, Vec<u8>) {
    let shared: Vec<u8> = [
        &10u16.to_le_bytes()[..],
        &(1u16 << 11).to_le_bytes(),
        &method.to_le_bytes(),
        &[0; 2],
        &33u16.to_le_bytes(),
        &crc32fast::hash(contents).to_le_bytes(),
        &u32::try_from(contents.len()).unwrap().to_le_bytes(),
        &declared.to_le_bytes(),
        &u16::try_from(name.len()).unwrap().to_le_bytes(),
        &[0; 2],
    ]
    .concat();
    let local = [b"PK\x03\x04", shared.as_slice(), name.as_bytes(), contents].concat();
    let central = [
        b"PK\x01\x02",
        &788u16.to_le_bytes()[..],
        &shared,
        &[0; 6],
        &(0o100_644u32 << 16).to_le_bytes(),
        &at.to_le_bytes(),
        name.as_bytes(),
    ]
    .concat();
    (local, central)
}

fn archive(entries: &[(Vec<u8>, Vec<u8>)], count: u16) -> Vec<u8> {
    let local: Vec<u8> = entries.iter().flat_map(|(local, _)| local.clone()).collect();
    let central: Vec<u8> = entries.iter().flat_map(|(_, central)| central.clone()).collect();
    let sizes = [
        u32::try_from(central.len()).unwrap(),
        u32::try_from(local.len()).unwrap(),
    ];
    let end = [
        b"PK\x05\x06",
        &[0; 4][..],
        &count.to_le_bytes(),
        &count.to_le_bytes(),
        &sizes[0].to_le_bytes(),
        &sizes[1].to_le_bytes(),
        &[0; 2],
    ]
    .concat();
    [local, central, end].concat()
}

fn one(name: &str, contents: &[u8], method: u16, declared: u32) -> Vec<u8> {
    archive(&[entry(name, contents, method, declared, 0)], 1)
}

#[test]
fn an_archive_that_lies_is_refused() {
    let control = one("b/bagit.txt", b"x", 0, 1);
    assert!(
        zip::read(&control).is_ok(),
        "the control: an archive made here is read when it does not lie"
    );
    let same = [entry("b/x", b"one", 0, 3, 0), entry("b/x", b"two", 0, 3, 36)];
    let long = format!("b/{}", "x".repeat(zip::MAX_NAME_BYTES));
    let cases: Vec<(&str, Vec<u8>)> = vec![
        (
            "deflated: a bomb could be inside",
            one("b/x", &[0; 20], 8, u32::MAX),
        ),
        ("a method nobody has", one("b/x", &[0; 20], 99, 20)),
        ("stored, and said to be 4 GiB", one("b/x", &[0; 20], 0, u32::MAX)),
        (
            "stored, and said to be one byte longer",
            one("b/x", &[0; 20], 0, 21),
        ),
        ("stored, and said to be shorter", one("b/x", &[0; 20], 0, 19)),
        (
            "65535 files in the directory of one",
            archive(&[entry("b/x", b"", 0, 0, 0)], u16::MAX),
        ),
        (
            "no file in the directory of one",
            archive(&[entry("b/x", b"", 0, 0, 0)], 0),
        ),
        ("one name twice", archive(&same, 2)),
        ("climbs out", one("b/../../etc/x", b"", 0, 0)),
        ("absolute", one("/etc/x", b"", 0, 0)),
        ("another drive", one("C:/x", b"", 0, 0)),
        ("backslashes", one("b\\..\\x", b"", 0, 0)),
        ("an empty part", one("b//x", b"", 0, 0)),
        ("a NUL", one("b/x\0.txt", b"", 0, 0)),
        ("a line end, to forge a manifest line", one("b/x\ny", b"", 0, 0)),
        (
            "a percent sign, which manifests unfold",
            one("b/x%0Ay", b"", 0, 0),
        ),
        ("a folder", one("b/x/", b"", 0, 0)),
        ("a name longer than any", one(&long, b"", 0, 0)),
        ("nothing", Vec::new()),
        ("only an end", archive(&[], 0)),
        ("a picture", b"\x89PNG\r\n\x1a\n".to_vec()),
    ];
    for (what, bytes) in cases {
        assert!(zip::read(&bytes).is_err(), "{what}");
        assert_ne!(refusal(&bytes), "read", "{what}");
        assert!(!verify(&bytes).holds(), "{what}");
    }
}

#[test]
fn a_bag_that_lies_is_refused_by_name_though_every_checksum_holds() {
    let (base, files) = unpacked(&whole());
    let control = packed(&base, files.clone()).unwrap();
    assert_eq!(
        control,
        whole(),
        "the control: packed again unchanged it is the same file"
    );
    type Spoil = fn(&mut Files);
    let cases: Vec<(&str, &str, Spoil)> = vec![
        ("no log", "Missing", |files| drop(files.remove("data/log.ndjson"))),
        ("an empty log", "BadLog", |files| {
            put(files, "data/log.ndjson", b"");
        }),
        ("a log that is no JSON", "BadLog", |files| {
            put(files, "data/log.ndjson", b"hello\n");
        }),
        ("a log out of order", "NotCanonical", |files| {
            let log = files["data/log.ndjson"].clone();
            let mut lines: Vec<&[u8]> = log.split_inclusive(|byte| *byte == b'\n').collect();
            lines.reverse();
            put(files, "data/log.ndjson", &lines.concat());
        }),
        ("a log with a line twice", "NotCanonical", |files| {
            let log = files["data/log.ndjson"].clone();
            let first = log.split_inclusive(|byte| *byte == b'\n').next().unwrap();
            put(files, "data/log.ndjson", &[first, &log].concat());
        }),
        ("a log of another survey", "NotCanonical", |files| {
            let log = String::from_utf8(files["data/log.ndjson"].clone()).unwrap();
            let own = log[log.find("\"survey\":\"").unwrap() + 10..][..32].to_owned();
            put(
                files,
                "data/log.ndjson",
                log.replace(&own, &"ab".repeat(16)).as_bytes(),
            );
        }),
        ("of a format to come", "NewerFormat", |files| {
            label(files, "Quarterlight-Format", "2");
        }),
        ("of a format beyond counting", "BadTagFile", |files| {
            label(files, "Quarterlight-Format", "99999999999999999999");
        }),
        ("of no format", "BadTagFile", |files| {
            label(files, "Quarterlight-Format", "-1");
        }),
        ("of the 32nd of January", "BadTagFile", |files| {
            label(files, "Bagging-Date", "2026-01-32");
        }),
        ("another declaration", "Changed", |files| {
            put(files, "bagit.txt", b"BagIt-Version: 9.9\n");
        }),
        ("a file that makes others be fetched", "read", |files| {
            put(files, "fetch.txt", b"http://localhost/x 1 data/x\n");
        }),
    ];
    for (what, expected, spoil) in cases {
        let mut spoilt = files.clone();
        spoil(&mut spoilt);
        let bytes = packed(&base, spoilt).unwrap();
        assert_eq!(refusal(&bytes), expected, "{what}");
    }
}

#[test]
fn whatever_is_changed_beside_the_log_is_not_taken_in_and_verify_says_so() {
    let (base, files) = unpacked(&whole());
    let before = survey_file::read(&whole()).unwrap().log;
    for name in files
        .keys()
        .filter(|name| name.starts_with("data/") && *name != "data/log.ndjson")
    {
        let mut spoilt = files.clone();
        let script: &[u8] = b"<script>fetch('//elsewhere')</script>";
        spoilt.get_mut(name).unwrap().extend_from_slice(script);
        let bytes = packed(&base, spoilt).unwrap();
        assert_eq!(survey_file::read(&bytes).unwrap().log, before, "{name}");
        assert!(!verify(&bytes).holds(), "{name}");
    }
    let mut spoilt = files.clone();
    put(&mut spoilt, "data/photos/x.svg", b"<svg onload='alert(1)'/>");
    let bytes = packed(&base, spoilt).unwrap();
    assert!(!verify(&bytes).holds(), "a file that nothing in the log names");
}

#[test]
fn a_file_of_the_greatest_size_is_refused_before_it_is_looked_at() {
    let bytes = vec![b'P'; handover::MAX_FILE_BYTES + 1];
    assert!(matches!(
        survey_file::read(&bytes),
        Err(FileError::TooLarge { .. })
    ));
}

fn put(files: &mut Files, name: &str, contents: &[u8]) {
    files.insert(name.to_owned(), contents.to_vec());
}

fn label(files: &mut Files, name: &str, value: &str) {
    let info = String::from_utf8(files["bag-info.txt"].clone()).unwrap();
    let lines = info.lines().map(|line| match line.split_once(": ") {
        Some((label, _)) if label == name => format!("{name}: {value}\n"),
        _ => format!("{line}\n"),
    });
    let info: String = lines.collect();
    put(files, "bag-info.txt", info.as_bytes());
}
