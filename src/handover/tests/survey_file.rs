//! The survey file: what is written is read, and nothing else is.
#![allow(clippy::unwrap_used, reason = "what cannot be made is a failed test")]

mod common;

use std::collections::BTreeMap;

use common::{parts, surveyed};
use handover::report::{self, Options};
use handover::{Elsewhere, FileError, Verdict, survey_file, verify, zip};
use proptest::prelude::*;

fn written() -> &'static [u8] {
    static WRITTEN: std::sync::OnceLock<Vec<u8>> = std::sync::OnceLock::new();
    WRITTEN.get_or_init(|| survey_file::write(&surveyed().log, &parts()).unwrap())
}

/// The file's parts, to be changed and packed again with everything a forger would mend.
fn unpacked() -> BTreeMap<String, Vec<u8>> {
    let files = zip::read(written()).unwrap();
    files
        .into_iter()
        .map(|(name, bytes)| (name.to_owned(), bytes.to_vec()))
        .collect()
}

fn named(files: &BTreeMap<String, Vec<u8>>, name: &str) -> String {
    let end = format!("/{name}");
    files.keys().find(|full| full.ends_with(&end)).unwrap().clone()
}

#[test]
fn how_answers_came_to_be_is_a_table_and_changes_no_figure() {
    use survey::{Command, ItemId, Subject, Way};
    use tape::Answer;

    let plain = surveyed();
    let file = survey_file::write(&plain.log, &parts()).unwrap();
    let cells = |file: &[u8], end: &str| -> Option<String> {
        let files = zip::read(file).unwrap();
        let found = files.iter().find(|(name, _)| name.ends_with(end));
        found.map(|(_, bytes)| String::from_utf8(bytes.to_vec()).unwrap())
    };
    assert_eq!(cells(&file, "/origins.csv"), None, "nothing to say");

    let mut it = surveyed();
    let serial = it.state.sample(false)[0].0.serial;
    it.author.looked = "Ash".to_owned();
    it.ask(Command::Answer {
        subject: Subject::Box(serial),
        question: "rest_alike".to_owned(),
        value: Answer::one("alike"),
    });
    it.author.looked = String::new();
    // A tape that was not drawn: nobody's look at it may reach a figure.
    let drawn = it.state.positions(serial);
    let position = (1..).find(|position| !drawn.contains(position)).unwrap();
    it.ask(Command::AnswerBy {
        subject: Subject::Item(ItemId { serial, position }),
        answers: vec![("hazard".to_owned(), Answer::many(["growth"]))],
        way: Way::SameAs(ItemId { serial, position: 1 }),
    });
    let told = survey_file::write(&it.log, &parts()).unwrap();
    assert!(verify(&told).holds());
    let origins = cells(&told, "/origins.csv").unwrap();
    assert!(
        origins.contains(",Ash,\r\n") || origins.contains(",Ash,\n"),
        "{origins}"
    );
    assert!(
        origins.contains(&format!(",,same as item {serial}/1")),
        "{origins}"
    );
    assert_eq!(cells(&told, "/figures.json"), cells(&file, "/figures.json"));
}

/// The shortest file with the shape of a JPEG, `n` pixels wide.
fn picture(n: u16) -> Vec<u8> {
    let [a, b] = n.to_be_bytes();
    let frame = [0xff, 0xc0, 0, 11, 8, 0, 9, a, b, 1, 1, 0x11, 0];
    let scan = [0xff, 0xda, 0, 8, 1, 1, 0, 0, 63, 0, 0x12, 0xff, 0xd9];
    [&[0xff, 0xd8][..], &frame, &scan].concat()
}

/// A survey in which photographs were taken, and the photographs.
fn photographed() -> (common::Surveyor, handover::Photos) {
    use survey::photo::{Photo, Shows, sha256};
    use survey::{Command, Subject};

    let mut it = surveyed();
    let serial = it.state.sample(false)[0].0.serial;
    let mut photos = handover::Photos::new();
    for (n, shows) in [(800, Shows::Label), (900, Shows::Damage), (1000, Shows::Other)] {
        let bytes = picture(n);
        let photo = Photo {
            sha256: sha256(&bytes),
            n_bytes: u32::try_from(bytes.len()).unwrap(),
            shows,
        };
        photos.insert(photo.sha256.clone(), bytes);
        it.ask(Command::AddPhoto {
            subject: Subject::Box(serial),
            photo,
        });
    }
    // The last is taken back, so it does not leave the device.
    it.ask(Command::UndoLast);
    (it, photos)
}

#[test]
fn photographs_go_along_and_come_back_and_what_was_taken_back_stays_behind() {
    let (it, photos) = photographed();
    let bytes = survey_file::write_with(&it.log, &parts(), &photos).unwrap();
    let opened = survey_file::read(&bytes).unwrap();
    assert_eq!(opened.log, it.log);
    let kept: Vec<&Vec<u8>> = opened.photos.values().collect();
    assert_eq!(kept.len(), 2);
    assert!(kept.contains(&&picture(800)) && kept.contains(&&picture(900)));
    assert!(verify(&bytes).holds());
    let again = survey_file::write_with(&opened.log, &opened.parts, &opened.photos).unwrap();
    assert_eq!(again, bytes);
    // The same in pieces, around photographs that were never at hand together.
    let elsewhere: Vec<Elsewhere> = photos
        .iter()
        .map(|(sha256, bytes)| Elsewhere::of(sha256.clone(), bytes))
        .collect();
    let pieces = survey_file::write_around(&it.log, &parts(), &elsewhere).unwrap();
    let (last, before) = pieces.split_last().unwrap();
    let joined = before.iter().zip(opened.photos.values());
    let mut joined: Vec<u8> = joined
        .flat_map(|(piece, photo)| [piece.as_slice(), photo].concat())
        .collect();
    joined.extend_from_slice(last);
    assert_eq!(joined, bytes);
    // A file without them is whole too, and says what is not there.
    let without = verify(&survey_file::write(&it.log, &parts()).unwrap());
    let said = without
        .checks
        .iter()
        .find(|check| check.name == "photos")
        .unwrap();
    assert_eq!(said.verdict, Verdict::NotMade);
    assert!(said.detail.contains("named by the log: 2"), "{}", said.detail);
}

/// A file as it is read where its photographs are left where they lie: the pieces around them, and what is said of them.
fn around(file: &[u8]) -> Option<(Vec<&[u8]>, Vec<handover::photos::Lying>)> {
    use handover::photos::{self, END_BYTES};

    let end = file.len().checked_sub(usize::try_from(END_BYTES).unwrap())?;
    let directory = photos::directory(&file[end..], file.len() as u64)?;
    let whole = |place: u64| usize::try_from(place).unwrap();
    let lying = photos::lying(file.get(whole(directory.start)..whole(directory.end))?)?;
    let (mut pieces, mut at) = (Vec::new(), 0);
    for photo in &lying {
        pieces.push(file.get(at..whole(photo.start))?);
        at = whole(photo.start) + whole(photo.photo.n_bytes.into());
    }
    pieces.push(file.get(at..)?);
    Some((pieces, lying))
}

#[test]
fn a_file_is_read_around_its_photographs_and_no_byte_of_it_is_free() {
    let (it, photos) = photographed();
    let bytes = survey_file::write_with(&it.log, &parts(), &photos).unwrap();
    let (pieces, lying) = around(&bytes).unwrap();
    let said: Vec<Elsewhere> = lying.iter().map(|lying| lying.photo.clone()).collect();
    assert_eq!(said.len(), 2);
    assert!(
        said.iter()
            .all(|photo| *photo == Elsewhere::of(photo.sha256.clone(), &photos[&photo.sha256]))
    );
    let opened = survey_file::read_around(&pieces, &said).unwrap();
    assert_eq!((&opened.log, opened.photos.len()), (&it.log, 0));

    let is_photo = |at: usize| {
        lying.iter().any(|lying| {
            let start = usize::try_from(lying.start).unwrap();
            (start..start + lying.photo.n_bytes as usize).contains(&at)
        })
    };
    let near = |at: usize| bytes.len() - at < 3_000 || at.is_multiple_of(4_099);
    let mut n_read = 0;
    for at in (0..bytes.len()).filter(|at| near(*at) && !is_photo(*at)) {
        let mut changed = bytes.clone();
        changed[at] ^= 0x11;
        let Some((pieces, lying)) = around(&changed) else {
            continue;
        };
        let said: Vec<Elsewhere> = lying.into_iter().map(|lying| lying.photo).collect();
        assert!(survey_file::read_around(&pieces, &said).is_err(), "byte {at}");
        n_read += 1;
    }
    assert!(n_read > 1_000, "only {n_read} changed files could be laid out");
}

#[test]
fn a_hostile_picture_is_refused_by_name_whatever_the_checksums_say() {
    let (it, photos) = photographed();
    let bytes = survey_file::write_with(&it.log, &parts(), &photos).unwrap();
    let whole: BTreeMap<String, Vec<u8>> = zip::read(&bytes)
        .unwrap()
        .into_iter()
        .map(|(name, bytes)| (name.to_owned(), bytes.to_vec()))
        .collect();
    let photo = whole
        .keys()
        .find(|name| name.contains("/photos/"))
        .unwrap()
        .clone();
    let base = photo.split_once('/').unwrap().0;
    let svg = b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>".to_vec();
    let exif = [
        &[0xff, 0xd8, 0xff, 0xe1, 0, 6, b'E', b'x', b'i', b'f'][..],
        &picture(800)[2..],
    ]
    .concat();
    let added = format!("{base}/data/photos/{}.jpg", sha256(&picture(7)));
    let cases = [
        (photo.clone(), svg, "not a JPEG"),
        (
            photo.clone(),
            vec![0xff; (2 << 20) + 1],
            "more than a photograph may have",
        ),
        (photo.clone(), picture(5000), "5000 by 9 pixels"),
        (photo.clone(), exif, "metadata"),
        (photo.clone(), picture(801), "SHA-256"),
        (added, picture(7), "names no such photograph"),
        (
            format!("{base}/data/photos/readme.html"),
            b"hello".to_vec(),
            "names no such photograph",
        ),
    ];
    for (name, bytes, why) in cases {
        let mut files = whole.clone();
        files.insert(name.clone(), bytes);
        let forged = mended(files);
        let error = survey_file::read(&forged).unwrap_err();
        let inside = name.split_once('/').unwrap().1;
        assert!(
            matches!(&error, FileError::BadPhoto { name, .. } if name == inside),
            "{error:?}"
        );
        assert!(error.to_string().contains(why), "{error}");
        let report = verify(&forged);
        let said = report.checks.iter().find(|check| check.name == "photos").unwrap();
        assert_eq!(said.verdict, Verdict::Fails);
        assert!(!report.holds());
    }
}

/// What `sha256sum` prints.
fn sha256(bytes: &[u8]) -> String {
    use sha2::{Digest, Sha256};
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Mends every checksum and the oxum after a change.
fn mended(mut files: BTreeMap<String, Vec<u8>>) -> Vec<u8> {
    let base = files.keys().next().unwrap().split_once('/').unwrap().0.to_owned();
    let is_payload = |name: &str| name.starts_with(&format!("{base}/data/"));
    let inside = |name: &str| name[base.len() + 1..].to_owned();
    let list = |files: &BTreeMap<String, Vec<u8>>, which: &dyn Fn(&str) -> bool| {
        let lines = files.iter().filter(|(name, _)| which(name));
        lines
            .map(|(name, bytes)| format!("{}  {}\n", sha256(bytes), inside(name)))
            .collect::<String>()
            .into_bytes()
    };
    let payload: Vec<&Vec<u8>> = files
        .iter()
        .filter(|(name, _)| is_payload(name))
        .map(|(_, bytes)| bytes)
        .collect();
    let oxum = format!(
        "{}.{}",
        payload.iter().map(|b| b.len()).sum::<usize>(),
        payload.len()
    );
    let info = String::from_utf8(files[&format!("{base}/bag-info.txt")].clone()).unwrap();
    let lines = info.lines().map(|line| match line.split_once(": ") {
        Some(("Payload-Oxum", _)) => format!("Payload-Oxum: {oxum}\n"),
        _ => format!("{line}\n"),
    });
    files.insert(
        format!("{base}/bag-info.txt"),
        lines.collect::<String>().into_bytes(),
    );
    let manifest = list(&files, &is_payload);
    files.insert(format!("{base}/manifest-sha256.txt"), manifest);
    let tags = format!("{base}/tagmanifest-sha256.txt");
    let manifest = list(&files, &|name| !is_payload(name) && name != tags);
    files.insert(tags, manifest);
    zip::write(&files).unwrap()
}

fn verdicts(bytes: &[u8]) -> Vec<(&'static str, Verdict)> {
    verify(bytes)
        .checks
        .iter()
        .map(|check| (check.name, check.verdict))
        .collect()
}

fn failing(bytes: &[u8]) -> Vec<&'static str> {
    let failing = verdicts(bytes)
        .into_iter()
        .filter(|(_, verdict)| *verdict == Verdict::Fails);
    failing.map(|(name, _)| name).collect()
}

#[test]
fn a_survey_comes_back_as_it_was() {
    let log = surveyed().log;
    let opened = survey_file::read(written()).unwrap();
    assert_eq!(opened.log, log);
    assert_eq!(opened.parts, parts());
    assert_eq!(opened.problems, []);
    assert_eq!(survey_file::write(&opened.log, &opened.parts).unwrap(), written());
}

#[test]
fn a_file_as_written_holds_every_check() {
    let report = verify(written());
    assert!(
        report.checks.iter().all(|check| check.verdict == Verdict::Holds),
        "{report:#?}"
    );
    let names: Vec<_> = report.checks.iter().map(|check| check.name).collect();
    assert_eq!(
        names,
        [
            "packing",
            "checksums",
            "log",
            "frame",
            "draw",
            "tables",
            "figures",
            "photos",
            "rest"
        ]
    );
}

#[test]
fn a_survey_that_was_only_begun_is_a_file_too() {
    let mut it = common::Surveyor::new(1, survey::Log::new(survey::SurveyId([3; 16])));
    it.ask(survey::Command::Begin {
        title: "New".to_owned(),
        practice: false,
    });
    let bytes = survey_file::write(&it.log, &parts()).unwrap();
    assert_eq!(survey_file::read(&bytes).unwrap().log, it.log);
    assert!(verify(&bytes).holds());
}

#[test]
fn one_changed_byte_of_any_file_names_the_file() {
    let whole = written();
    for (name, content) in zip::read(whole).unwrap() {
        let start = content.as_ptr() as usize - whole.as_ptr() as usize;
        for at in [0, content.len() / 2, content.len() - 1] {
            let mut changed = whole.to_vec();
            changed[start + at] ^= 1;
            let name = name.split_once('/').unwrap().1.to_owned();
            assert_eq!(
                survey_file::read(&changed),
                Err(FileError::Changed { name: name.clone() })
            );
            let report = verify(&changed);
            assert!(!report.holds());
            assert!(report.checks[0].detail.contains(&name), "{:?}", report.checks[0]);
        }
    }
}

#[test]
fn a_changed_file_with_its_crc_mended_is_still_named() {
    for name in [
        "data/log.ndjson",
        "data/tables/boxes.csv",
        "bag-info.txt",
        "manifest-sha256.txt",
    ] {
        let mut files = unpacked();
        files.get_mut(&named(&files, name)).unwrap()[0] ^= 1;
        let bytes = zip::write(&files).unwrap();
        let name = name.to_owned();
        assert_eq!(survey_file::read(&bytes), Err(FileError::Changed { name }));
    }
}

#[test]
fn files_that_are_missing_or_added_are_named() {
    let mut files = unpacked();
    let gone = named(&files, "data/draw.json");
    files.remove(&gone);
    let name = "data/draw.json".to_owned();
    assert_eq!(
        survey_file::read(&zip::write(&files).unwrap()),
        Err(FileError::Missing { name })
    );
    let mut files = unpacked();
    files.insert(gone.replace("draw.json", "photo.jpg"), vec![1]);
    let name = "data/photo.jpg".to_owned();
    assert_eq!(
        survey_file::read(&zip::write(&files).unwrap()),
        Err(FileError::Unlisted { name })
    );
}

/// A forger who mends every checksum is found by what does not follow from the log.
#[test]
fn what_does_not_follow_from_the_log_fails_its_check() {
    for (name, from, to, check) in [
        (
            "data/figures.json",
            "\"estimate\": ",
            "\"estimate\": 1",
            "figures",
        ),
        ("data/draw.json", "\"n_items\": ", "\"n_items\": 1", "draw"),
        ("data/tables/boxes.csv", ",checked,", ",stopped,", "tables"),
        ("data/report.html", "<h2>Method", "<h2>Mathod", "rest"),
        ("data/recompute.R", "library(survey)", "library(survez)", "rest"),
    ] {
        let mut files = unpacked();
        let full = named(&files, name);
        let text = String::from_utf8(files[&full].clone()).unwrap();
        assert!(text.contains(from), "{name} has no {from}");
        files.insert(full, text.replacen(from, to, 1).into_bytes());
        let bytes = mended(files);
        assert!(
            survey_file::read(&bytes).is_ok(),
            "{name}: the log itself is whole"
        );
        assert_eq!(failing(&bytes), [check], "{name}");
    }
}

#[test]
fn a_wrong_figure_is_named_by_its_id() {
    let mut files = unpacked();
    let full = named(&files, "data/figures.json");
    let mut figures: serde_json::Value = serde_json::from_slice(&files[&full]).unwrap();
    figures["headline"]["items.total"]["estimate"] = 12.5.into();
    files.insert(full, serde_json::to_vec_pretty(&figures).unwrap());
    let report = verify(&mended(files));
    let check = report
        .checks
        .iter()
        .find(|check| check.name == "figures")
        .unwrap();
    assert_eq!(check.verdict, Verdict::Fails);
    assert!(
        check.detail.starts_with("figure items.total says {"),
        "{}",
        check.detail
    );
    assert!(check.detail.contains("12.5"), "{}", check.detail);
}

#[test]
fn an_entry_taken_out_of_the_log_is_a_gap() {
    let mut files = unpacked();
    let full = named(&files, "data/log.ndjson");
    let mut lines: Vec<&[u8]> = files[&full].split(|byte| *byte == b'\n').collect();
    lines.remove(lines.len() / 2);
    let shorter = lines.join(&b'\n');
    files.insert(full, shorter);
    assert_eq!(failing(&mended(files))[0], "log");
}

#[test]
fn a_line_that_is_no_entry_is_named_by_its_number() {
    let mut files = unpacked();
    let full = named(&files, "data/log.ndjson");
    let mut lines: Vec<&[u8]> = files[&full].split(|byte| *byte == b'\n').collect();
    lines[4] = b"{\"v\":1}";
    let other = lines.join(&b'\n');
    files.insert(full, other);
    let error = survey_file::read(&mended(files)).unwrap_err();
    assert!(matches!(error, FileError::BadLog { line: 5, .. }), "{error:?}");
}

#[test]
fn a_newer_format_is_said_to_be_newer() {
    let mut files = unpacked();
    let full = named(&files, "bag-info.txt");
    let info = String::from_utf8(files[&full].clone()).unwrap();
    files.insert(
        full,
        info.replace("Quarterlight-Format: 1\n", "Quarterlight-Format: 2\n")
            .into_bytes(),
    );
    let error = survey_file::read(&mended(files)).unwrap_err();
    assert_eq!(error, FileError::NewerFormat { found: 2, known: 1 });
}

#[test]
fn another_version_compares_all_but_the_wording() {
    let mut older = parts();
    older.app = "quarterlight of another year".to_owned();
    let report = verify(&survey_file::write(&surveyed().log, &older).unwrap());
    assert!(report.holds());
    let last = report.checks.last().unwrap();
    assert_eq!((last.name, last.verdict), ("rest", Verdict::NotMade));
}

#[test]
fn no_names_are_given_away_beside_the_log() {
    let files = unpacked();
    let info = String::from_utf8(files[&named(&files, "bag-info.txt")].clone()).unwrap();
    assert!(!info.contains("Somebody"), "{info}");
    let for_outsiders = Options {
        without_places: true,
        ..Options::default()
    };
    let report = report::html(&surveyed().log, &parts(), &for_outsiders);
    assert!(!report.contains("Somebody"));
    let mut named_parts = parts();
    named_parts.contact = Some("A. Person\nPayload-Oxum: 1.1".to_owned());
    let bytes = survey_file::write(&surveyed().log, &named_parts).unwrap();
    let contact = survey_file::read(&bytes).unwrap().parts.contact;
    assert_eq!(
        contact.as_deref(),
        Some("A. Person Payload-Oxum: 1.1"),
        "one line, whatever was typed"
    );
}

#[test]
fn the_report_escapes_what_people_typed() {
    let files = unpacked();
    let report = String::from_utf8(files[&named(&files, "data/report.html")].clone()).unwrap();
    assert!(report.contains("<h1>Invented cellar &lt;1&gt;</h1>"));
    assert!(!report.contains("<script"));
    assert!(
        report.contains("sechs würfel") && report.contains("3 1 4 1 5"),
        "every roll is shown"
    );
}

#[test]
fn texts_that_look_like_formulas_are_guarded_in_tables_and_raw_in_the_log() {
    let files = unpacked();
    let observations =
        String::from_utf8(files[&named(&files, "data/tables/observations.csv")].clone()).unwrap();
    assert!(observations.contains(",'=1+1,"));
    let mut reader = csv::Reader::from_reader(observations.as_bytes());
    for row in reader.records() {
        assert!(
            row.unwrap()
                .iter()
                .all(|cell| !cell.starts_with(['=', '+', '-', '@', '\t', '\r']))
        );
    }
    let log = String::from_utf8(files[&named(&files, "data/log.ndjson")].clone()).unwrap();
    assert!(log.contains("\"=1+1\""));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn any_changed_byte_is_refused(at in any::<prop::sample::Index>(), change in 1u8..) {
        let mut changed = written().to_vec();
        let at = at.index(changed.len());
        changed[at] ^= change;
        let error = survey_file::read(&changed).unwrap_err();
        let expected = matches!(
            error,
            FileError::Changed { .. } | FileError::NotCanonical { .. } | FileError::Truncated | FileError::NotAZip
        );
        prop_assert!(expected, "{error:?}");
    }

    #[test]
    fn any_truncation_is_refused(at in any::<prop::sample::Index>()) {
        let at = at.index(written().len());
        let error = survey_file::read(&written()[..at]).unwrap_err();
        let expected = if at == 0 { FileError::NotAZip } else { FileError::Truncated };
        prop_assert_eq!(error, expected);
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        prop_assert!(survey_file::read(&bytes).is_err());
        let zip_like = [b"PK\x03\x04".as_slice(), &bytes, b"PK\x05\x06".as_slice(), &[0; 18]].concat();
        prop_assert!(survey_file::read(&zip_like).is_err());
    }

    /// Records of a real end with any numbers in them.
    #[test]
    fn no_directory_makes_it_panic(at in 0usize..22, value in any::<u8>(), cut in any::<prop::sample::Index>()) {
        let mut bytes = written().to_vec();
        let end = bytes.len() - 22;
        bytes[end + at] = value;
        let keep = cut.index(end);
        bytes.drain(keep..end);
        prop_assert!(survey_file::read(&bytes).is_err());
    }
}
