//! Lines of a log: refused with their number, or carried verbatim and told.

use survey::format::MAX_ENTRY_BYTES;
use survey::{EntryError, Log, State};

const SURVEY: &str = "0102030405060708090a0b0c0d0e0f10";
const WRITER: &str = "1112131415161718191a1b1c1d1e1f20";

fn line(rest: &str) -> String {
    format!(r#"{{"v":1,"survey":"{SURVEY}","writer":"{WRITER}",{rest}}}"#)
}

fn deep(open: &str, close: &str) -> String {
    line(&format!(
        r#""n":0,"kind":"begin","x":{}{}"#,
        open.repeat(100_000),
        close.repeat(100_000)
    ))
}

#[test]
fn what_is_no_entry_is_refused_with_its_line() {
    let good = line(r#""n":0,"at":1,"kind":"begin","title":"t","practice":false"#);
    assert!(Log::from_lines(good.as_bytes()).is_ok(), "the control");
    let other = good.replace(SURVEY, WRITER);
    let long = line(&format!(
        r#""n":0,"kind":"begin","title":"{}""#,
        "x".repeat(MAX_ENTRY_BYTES)
    ));
    let cases: Vec<(&str, Vec<u8>)> = vec![
        ("100,000 arrays deep", deep("[", "]").into()),
        ("100,000 objects deep", deep(r#"{"a":"#, "0}").into()),
        ("brackets that never close", line(&"[".repeat(200_000)).into()),
        ("a number below nothing", line(r#""n":-1,"kind":"begin""#).into()),
        (
            "a number past 64 bits",
            line(r#""n":18446744073709551616,"kind":"begin""#).into(),
        ),
        ("a number past all", line(r#""n":1e999,"kind":"begin""#).into()),
        (
            "a number that is a text",
            line(r#""n":"0","kind":"begin""#).into(),
        ),
        ("a key twice", line(r#""n":0,"n":1,"kind":"begin""#).into()),
        (
            "a writer that climbs",
            good.replace(WRITER, "../../../../etc/passwd").into(),
        ),
        ("a survey too short", good.replace(SURVEY, "01").into()),
        ("longer than any", long.into()),
        ("not UTF-8", [good.as_bytes(), b"\xff"].concat()),
        (
            "a carriage return inside",
            good.replace("begin", "be\rgin").into(),
        ),
        ("a NUL", good.replace("begin", "be\0gin").into()),
        ("another survey", other.into()),
        ("an array", b"[]".to_vec()),
        ("a text", b"\"x\"".to_vec()),
    ];
    for (what, bytes) in cases {
        let lines = [good.as_bytes(), b"\n", &bytes].concat();
        let Err((at, error)) = Log::from_lines(&lines) else {
            panic!("{what} was taken in");
        };
        assert_eq!(at, 2, "{what}: {error}");
        let said = error.to_string();
        assert!(said.len() < 400, "{what}: the message repeats what it was given");
    }
    assert!(matches!(
        Log::from_lines(b""),
        Err((1, EntryError::Unreadable(_)))
    ));
}

#[test]
fn what_is_an_entry_and_makes_no_sense_is_kept_and_told() {
    let cases = [
        (
            "a kind nobody knows",
            r#""n":0,"kind":"<img src=x onerror=alert(1)>""#,
        ),
        (
            "an answer about nothing",
            r#""n":0,"kind":"answer","of":"","q":"mould","a":{"one":"seen"}"#,
        ),
        (
            "an answer with the greatest number",
            r#""n":0,"kind":"answer","of":"survey","q":"hours","a":{"number":1.7976931348623157e308}"#,
        ),
        (
            "an answer past all numbers",
            r#""n":0,"kind":"answer","of":"survey","q":"hours","a":{"number":1e999}"#,
        ),
        (
            "counts past 32 bits",
            r#""n":0,"kind":"answer","of":"survey","q":"count","a":{"counts":{"reel_quarter":99999999999}}"#,
        ),
        (
            "an undo of itself",
            r#""n":0,"kind":"undo","of":"1112131415161718191a1b1c1d1e1f20.0""#,
        ),
        (
            "a draw from no list",
            r#""n":0,"kind":"roll","frame":"1112131415161718191a1b1c1d1e1f20.9","seed":"1","source":"dice","round_size":4294967295,"items_per_box":4294967295"#,
        ),
        (
            "a round of no draw",
            r#""n":0,"kind":"round","roll":"1112131415161718191a1b1c1d1e1f20.9","number":4294967295,"walk":"shelf""#,
        ),
        (
            "a closing of four thousand million boxes",
            r#""n":0,"kind":"close","upto":{"1112131415161718191a1b1c1d1e1f20":18446744073709551615},"n_boxes":4294967295,"digest":"""#,
        ),
        (
            "the last number there is",
            r#""n":18446744073709551615,"kind":"begin","title":"t","practice":false"#,
        ),
        (
            "a clock at the end of time",
            r#""n":0,"at":18446744073709551615,"kind":"begin","title":"t","practice":false"#,
        ),
    ];
    for (what, rest) in cases {
        let bytes = [line(rest), "\n".to_owned()].concat().into_bytes();
        let log = Log::from_lines(&bytes).unwrap_or_else(|error| panic!("{what}: {error:?}"));
        assert_eq!(log.to_lines(), bytes, "{what}: not one byte changed");
        let state = State::fold(&log);
        // Whatever it says, the figures are made and the file written without a panic.
        drop(analysis::figures::figures(&state));
        let parts = handover::Parts {
            date: handover::Day::from_ms(0).unwrap(),
            app: handover::APP.to_owned(),
            organization: None,
            contact: None,
        };
        let file = handover::survey_file::write(&log, &parts).unwrap();
        assert_eq!(handover::survey_file::read(&file).unwrap().log, log, "{what}");
    }
}
