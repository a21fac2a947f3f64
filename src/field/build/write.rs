//! Writes the messages as Rust: a module a journey, a function a message.

use std::fmt::Write as _;

use crate::message::{Case, Kind, Parameter, Piece};
use crate::{Journeys, Parameters};

/// The whole module.
pub(crate) fn rust(
    languages: &[(String, Journeys)],
    parameters: &Parameters<'_>,
    untranslated: &[String],
) -> String {
    let mut out = String::new();
    let names: Vec<String> = languages.iter().map(|(code, _)| variant(code)).collect();
    let codes = languages.iter().map(|(code, _)| code.as_str());
    line(&mut out, "/// A language that the app has.");
    line(&mut out, "#[derive(Debug, Clone, Copy, PartialEq, Eq)]");
    line(&mut out, &format!("pub enum Language {{ {} }}", names.join(", ")));
    line(
        &mut out,
        &format!(
            "pub(super) const LANGUAGES: [(Language, &str); {}] = [",
            names.len()
        ),
    );
    for (name, code) in names.iter().zip(codes) {
        line(&mut out, &format!("    (Language::{name}, {code:?}),"));
    }
    line(&mut out, "];");
    line(&mut out, "#[cfg(test)]");
    line(
        &mut out,
        &format!("pub(super) const UNTRANSLATED: &[&str] = &{untranslated:?};"),
    );
    let Some((_, source)) = languages.first() else {
        return out;
    };
    for (journey, messages) in source {
        line(&mut out, &format!("pub(crate) mod {journey} {{"));
        line(
            &mut out,
            "    #[allow(unused_imports, reason = \"a file may need none of them\")]",
        );
        line(&mut out, "    use super::super::made;");
        for key in messages.keys() {
            let says: Vec<&[Piece]> = languages
                .iter()
                .filter_map(|(_, journeys)| journeys.get(journey)?.get(key))
                .map(|message| message.says.as_slice())
                .collect();
            let given = parameters.get(&(journey.as_str(), key.as_str()));
            function(&mut out, key, given.map_or(&[], Vec::as_slice), &names, &says);
        }
        line(&mut out, "}");
    }
    out
}

fn function(out: &mut String, key: &str, given: &[Parameter], names: &[String], says: &[&[Piece]]) {
    let name = rust_name(key);
    if given.is_empty() {
        let texts: Vec<String> = says.iter().map(|says| format!("{:?}", plain(says))).collect();
        line(
            out,
            &format!(
                "    pub(crate) fn {name}() -> &'static str {{ made::pick(&[{}]) }}",
                texts.join(", ")
            ),
        );
        return;
    }
    let list = |kind: fn(Kind) -> &'static str| {
        let all: Vec<String> = given
            .iter()
            .map(|one| format!("{}: {}", rust_name(&one.name), kind(one.kind)))
            .collect();
        all.join(", ")
    };
    let outer = list(|kind| match kind {
        Kind::Shown => "impl made::Display",
        Kind::Word => "&str",
        Kind::Number => "impl made::Number",
    });
    let inner = list(|kind| match kind {
        Kind::Shown => "&dyn made::Display",
        Kind::Word => "&str",
        Kind::Number => "f64",
    });
    let handed: Vec<String> = given
        .iter()
        .map(|one| match one.kind {
            Kind::Shown => format!("&{}", rust_name(&one.name)),
            Kind::Word => rust_name(&one.name),
            Kind::Number => format!("made::Number::number(&{})", rust_name(&one.name)),
        })
        .collect();
    line(out, &format!("    pub(crate) fn {name}({outer}) -> String {{"));
    line(out, &format!("        fn say({inner}) -> String {{"));
    line(out, "            let mut said = String::new();");
    line(out, "            match made::language() {");
    for (language, says) in names.iter().zip(says) {
        line(out, &format!("                made::Language::{language} => {{"));
        pieces(out, says, given, 20);
        line(out, "                }");
    }
    line(out, "            }");
    line(out, "            said");
    line(out, "        }");
    line(out, &format!("        say({})", handed.join(", ")));
    line(out, "    }");
}

fn pieces(out: &mut String, says: &[Piece], given: &[Parameter], indent: usize) {
    let is_number = |name: &str| {
        given
            .iter()
            .any(|one| one.name == name && one.kind == Kind::Number)
    };
    let pad = " ".repeat(indent);
    for piece in says {
        match piece {
            Piece::Text(text) => line(out, &format!("{pad}said += {text:?};")),
            Piece::Show(name) | Piece::Number(name) if is_number(name) => {
                line(out, &format!("{pad}said += &made::shown({});", rust_name(name)));
            }
            Piece::Show(name) | Piece::Number(name) => {
                line(out, &format!("{pad}made::put(&mut said, &{});", rust_name(name)));
            }
            Piece::Select(name, cases) => {
                let name = rust_name(name);
                let mut lead = String::new();
                for (case, says) in cases {
                    let test = match case {
                        Case::Plural(category) => format!("if made::is_plural({name}, {category:?}) "),
                        Case::Exactly(number) => format!("if made::is_exactly({name}, {number}_f64) "),
                        Case::Word(word) => format!("if {name} == {word:?} "),
                        Case::Rest => String::new(),
                    };
                    line(out, &format!("{pad}{lead}{test}{{"));
                    pieces(out, says, given, indent + 4);
                    "} else ".clone_into(&mut lead);
                }
                line(out, &format!("{pad}}}"));
            }
        }
    }
}

/// The text of a message that is given nothing.
fn plain(says: &[Piece]) -> String {
    let texts = says.iter().map(|piece| match piece {
        Piece::Text(text) => text.as_str(),
        Piece::Show(_) | Piece::Number(_) | Piece::Select(..) => "",
    });
    texts.collect()
}

/// `de` as `De`, `pt-BR` as `PtBR`.
fn variant(code: &str) -> String {
    let parts = code.split('-').map(|part| {
        let (first, rest) = part.split_at(part.len().min(1));
        first.to_uppercase() + rest
    });
    parts.collect()
}

fn rust_name(key: &str) -> String {
    key.replace('-', "_")
}

fn line(out: &mut String, text: &str) {
    // Writing to a string cannot fail.
    let _ = writeln!(out, "{text}");
}
