//! The colours of the style sheets: each in one place, legible in every scheme, and nothing bright in the cellar.
//!
//! Contrast and relative luminance as WCAG 2.2 defines them (success criteria 1.4.3, 1.4.6, 1.4.11).

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::collections::BTreeMap;

const TOKENS: &str = include_str!("../../../public/styles/tokens.css");
const PAGE: &str = include_str!("../../../public/index.html");
const MANIFEST: &str = include_str!("../../../public/manifest.webmanifest");
const OTHERS: [(&str, &str); 14] = [
    ("type", include_str!("../../../public/styles/type.css")),
    ("layout", include_str!("../../../public/styles/layout.css")),
    (
        "components",
        include_str!("../../../public/styles/components.css"),
    ),
    ("lines", include_str!("../../../public/styles/lines.css")),
    ("fields", include_str!("../../../public/styles/fields.css")),
    ("photos", include_str!("../../../public/styles/photos.css")),
    ("scribe", include_str!("../../../public/styles/scribe.css")),
    ("shelf", include_str!("../../../public/styles/shelf.css")),
    ("paper", include_str!("../../../public/styles/paper.css")),
    ("journeys", include_str!("../../../public/styles/journeys.css")),
    ("print", include_str!("../../../public/styles/print.css")),
    ("hands", include_str!("../../../public/styles/hands.css")),
    ("review", include_str!("../../../public/styles/review.css")),
    ("trap", include_str!("../../../public/trap.css")),
];
const SCHEMES: [&str; 4] = ["light", "dark", "cellar", "print"];

/// What is read on what.
const TEXT: [(&str, &str); 16] = [
    ("code-dark", "code-light"),
    ("ink", "paper"),
    ("ink", "sheet"),
    ("ink", "chosen"),
    ("ink", "note"),
    ("ink-soft", "paper"),
    ("ink-soft", "sheet"),
    ("ink-soft", "chosen"),
    ("ink-soft", "note"),
    ("deck-ink", "deck"),
    ("deck-soft", "deck"),
    ("action-ink", "action"),
    ("caution-ink", "caution"),
    ("stop-ink", "stop"),
    ("stop-ink", "paper"),
    ("draw", "paper"),
];
/// Marks, frames and what shows the focus, on what they stand on.
const SIGNS: [(&str, &str); 11] = [
    ("edge", "paper"),
    ("edge", "sheet"),
    ("tape", "paper"),
    ("tape", "sheet"),
    ("tape", "chosen"),
    ("action-edge", "paper"),
    ("action-edge", "sheet"),
    ("focus", "paper"),
    ("focus", "note"),
    ("deck-focus", "deck"),
    ("draw", "chosen"),
];

/// A colour by token and scheme.
fn colours() -> BTreeMap<(String, &'static str), [f64; 3]> {
    let mut found = BTreeMap::new();
    for line in TOKENS.lines() {
        let Some((name, values)) = line.trim().strip_prefix("--").and_then(|l| l.split_once(':')) else {
            continue;
        };
        for scheme in SCHEMES {
            if let Some((_, rest)) = values.split_once(&format!("var(--on-{scheme}, #")) {
                let hex = u32::from_str_radix(&rest[..6], 16).unwrap();
                let part = |shift: u32| f64::from((hex >> shift) & 255) / 255.0;
                found.insert((name.to_owned(), scheme), [part(16), part(8), part(0)]);
            }
        }
    }
    found
}

fn luminance(colour: [f64; 3]) -> f64 {
    let linear = colour.map(|c| {
        if c <= 0.04045 {
            c / 12.92
        } else {
            sampling::math::pow((c + 0.055) / 1.055, 2.4)
        }
    });
    0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
}

fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let (a, b) = (luminance(a) + 0.05, luminance(b) + 0.05);
    if a > b { a / b } else { b / a }
}

#[test]
fn the_measure_of_contrast_is_wcag_s() {
    // Worked values of the standard: black on white 21:1; #767676 on white is the lightest grey above 4.5:1.
    let grey = |n: f64| [n / 255.0; 3];
    assert!((contrast(grey(0.0), grey(255.0)) - 21.0).abs() < 1e-9);
    assert!(contrast(grey(118.0), grey(255.0)) > 4.5 && contrast(grey(119.0), grey(255.0)) < 4.5);
}

#[test]
fn every_text_is_legible_in_every_scheme() {
    let colours = colours();
    let mut faults = Vec::new();
    for scheme in SCHEMES {
        for (pairs, least) in [(&TEXT[..], 4.5), (&SIGNS[..], 3.0)] {
            for (front, ground) in pairs {
                let found = contrast(
                    colours[&((*front).to_owned(), scheme)],
                    colours[&((*ground).to_owned(), scheme)],
                );
                // What is read most is held to the higher mark, and so is everything in the cellar but quiet words.
                let least = if *front == "ink" { 7.0 } else { least };
                if found < least {
                    faults.push(format!(
                        "{scheme}: --{front} on --{ground} {found:.2}, not {least}"
                    ));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_cellar_has_no_white_no_bright_ground_and_only_warm_colours() {
    for ((name, scheme), colour) in colours() {
        if scheme != "cellar" {
            continue;
        }
        let [red, green, blue] = colour;
        assert!(
            red >= green && green >= blue,
            "--{name} is not between red and amber"
        );
        assert!(
            luminance(colour) < 0.55,
            "--{name} is bright: {:.2}",
            luminance(colour)
        );
        let is_ground = [
            "paper", "sheet", "chosen", "deck", "action", "note", "caution", "stop",
        ]
        .contains(&name.as_str());
        assert!(
            !is_ground || luminance(colour) < 0.02,
            "--{name} lights a whole area: {:.3}",
            luminance(colour)
        );
    }
}

#[test]
fn every_colour_stands_in_the_tokens_for_all_schemes_and_nowhere_else() {
    let colours = colours();
    let names: std::collections::BTreeSet<&String> = colours.keys().map(|(name, _)| name).collect();
    assert!(names.len() > 15, "the tokens were not understood");
    assert_eq!(
        colours.len(),
        names.len() * SCHEMES.len(),
        "a colour lacks a scheme"
    );
    for (sheet, text) in OTHERS {
        for line in text
            .lines()
            .filter(|line| line.contains(':') && line.trim_end().ends_with(';'))
        {
            let value = line.split_once(':').unwrap().1;
            assert!(
                !value.contains('#') && !value.contains("rgb") && !value.contains("hsl"),
                "{sheet}: {line}"
            );
        }
        for used in text.match_indices("var(--").map(|(at, _)| &text[at + 6..]) {
            let name = &used[..used.find([')', ',']).unwrap()];
            assert!(
                TOKENS.contains(&format!("--{name}:")),
                "{sheet} uses --{name}, which is no token"
            );
        }
    }
    for name in names {
        let used = OTHERS
            .iter()
            .any(|(_, text)| text.contains(&format!("var(--{name}")));
        assert!(used, "--{name} is not used");
    }
}

#[test]
fn the_styles_know_no_left_and_right() {
    // A script that runs from the right mirrors the page: only logical sides do that.
    let physical = [
        "left:",
        "right:",
        "margin-left",
        "margin-right",
        "padding-left",
        "padding-right",
        "border-left",
        "border-right",
        "text-align: left",
        "text-align: right",
    ];
    for (sheet, text) in OTHERS {
        for line in text.lines() {
            let line = line.trim_start();
            let is_physical = physical.iter().any(|word| line.starts_with(word));
            assert!(!is_physical, "{sheet}: {line}");
        }
    }
}

#[test]
fn the_page_and_the_manifest_name_the_paper_s_colour() {
    let value = |scheme: &str| {
        let line = TOKENS
            .lines()
            .find(|line| line.trim().starts_with("--paper:"))
            .unwrap();
        let at = line.find(&format!("--on-{scheme}, ")).unwrap() + format!("--on-{scheme}, ").len();
        &line[at..at + 7]
    };
    assert!(PAGE.contains(&format!(
        "(prefers-color-scheme: light)\" content=\"{}\"",
        value("light")
    )));
    assert!(PAGE.contains(&format!(
        "(prefers-color-scheme: dark)\" content=\"{}\"",
        value("dark")
    )));
    assert_eq!(MANIFEST.matches(value("light")).count(), 2);
}
