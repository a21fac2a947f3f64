//! A message as it stands in a Fluent file, as far as the texts use the language: placeables, `NUMBER`, references to
//! messages of the same file, and selectors by plural category, number or word.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use fluent_syntax::ast;
use fluent_syntax::parser;

/// A message of one language.
#[derive(Clone)]
pub(crate) struct Message {
    /// What it says.
    pub(crate) says: Vec<Piece>,
    /// The order of its variables, from the comment above it; in the source language only.
    order: Vec<String>,
}

/// A part of what a message says.
#[derive(Clone)]
pub(crate) enum Piece {
    /// As it stands.
    Text(String),
    /// A variable as it is given.
    Show(String),
    /// A variable as a number of the language.
    Number(String),
    /// One of several, by a variable; the last is the one for all the rest.
    Select(String, Vec<(Case, Vec<Piece>)>),
}

/// When a variant is taken.
#[derive(Clone, PartialEq, Eq)]
pub(crate) enum Case {
    /// A plural category of the language (Unicode CLDR): zero, one, two, few or many.
    Plural(String),
    /// Exactly that number.
    Exactly(String),
    /// Exactly that word.
    Word(String),
    /// Otherwise.
    Rest,
}

/// What a message is given.
pub(crate) struct Parameter {
    /// Its name.
    pub(crate) name: String,
    /// What kind it is of.
    pub(crate) kind: Kind,
}

/// The kind of what a message is given.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    /// Put in as it is.
    Shown,
    /// Decides between words.
    Word,
    /// Counted, and written as the language writes numbers.
    Number,
}

const PLURALS: [&str; 5] = ["zero", "one", "two", "few", "many"];

/// Reads a file; every fault names it.
pub(crate) fn read(file: &Path) -> Result<BTreeMap<String, Message>, Vec<String>> {
    let at = |what: &str| format!("{}: {what}", file.display());
    let text = std::fs::read_to_string(file).map_err(|e| vec![at(&e.to_string())])?;
    let resource = parser::parse(text.as_str()).map_err(|(_, errors)| {
        let said = errors.iter().map(|error| {
            let line = text[..error.pos.start.min(text.len())].lines().count();
            at(&format!("line {line}: {}", error.kind))
        });
        said.collect::<Vec<_>>()
    })?;
    let mut patterns = BTreeMap::new();
    let mut faults = Vec::new();
    for entry in &resource.body {
        match entry {
            ast::Entry::Message(message) if message.attributes.is_empty() => {
                let Some(pattern) = &message.value else { continue };
                let comment = message.comment.as_ref().map(|comment| comment.content.join(" "));
                if patterns.insert(message.id.name, (pattern, comment)).is_some() {
                    faults.push(at(&format!("{} stands there twice", message.id.name)));
                }
            }
            ast::Entry::Comment(_) | ast::Entry::GroupComment(_) | ast::Entry::ResourceComment(_) => {}
            ast::Entry::Message(message) => faults.push(at(&format!("{} has attributes", message.id.name))),
            ast::Entry::Term(term) => faults.push(at(&format!("-{}: terms are not used here", term.id.name))),
            ast::Entry::Junk { content } => faults.push(at(&format!("not understood: {content}"))),
        }
    }
    let mut messages = BTreeMap::new();
    for (key, (pattern, comment)) in &patterns {
        match pieces(pattern, &patterns, 0) {
            Ok(says) => {
                let order = comment.as_deref().map(order).unwrap_or_default();
                messages.insert((*key).to_owned(), Message { says, order });
            }
            Err(why) => faults.push(at(&format!("{key}: {why}"))),
        }
    }
    if faults.is_empty() {
        Ok(messages)
    } else {
        Err(faults)
    }
}

type Patterns<'a> = BTreeMap<&'a str, (&'a ast::Pattern<&'a str>, Option<String>)>;

fn pieces(pattern: &ast::Pattern<&str>, all: &Patterns<'_>, depth: usize) -> Result<Vec<Piece>, String> {
    if depth > 8 {
        return Err("refers to itself".to_owned());
    }
    let mut found = Vec::new();
    for element in &pattern.elements {
        match element {
            ast::PatternElement::TextElement { value } => found.push(Piece::Text((*value).to_owned())),
            ast::PatternElement::Placeable { expression } => found.extend(placed(expression, all, depth)?),
        }
    }
    Ok(found)
}

fn placed(
    expression: &ast::Expression<&str>,
    all: &Patterns<'_>,
    depth: usize,
) -> Result<Vec<Piece>, String> {
    use ast::InlineExpression as Inline;
    let inline = match expression {
        ast::Expression::Inline(inline) => inline,
        ast::Expression::Select { selector, variants } => {
            let Inline::VariableReference { id } = selector else {
                return Err("a selector must be a variable".to_owned());
            };
            return select(id.name, variants, all, depth);
        }
    };
    match inline {
        Inline::StringLiteral { value } => Ok(vec![Piece::Text(unescaped(value))]),
        Inline::VariableReference { id } => Ok(vec![Piece::Show(id.name.to_owned())]),
        Inline::FunctionReference { id, arguments } if id.name == "NUMBER" => {
            match arguments.positional.as_slice() {
                [Inline::VariableReference { id }] => Ok(vec![Piece::Number(id.name.to_owned())]),
                _ => Err("NUMBER takes one variable".to_owned()),
            }
        }
        Inline::MessageReference { id, attribute: None } => match all.get(id.name) {
            Some((pattern, _)) => pieces(pattern, all, depth + 1),
            None => Err(format!("refers to {}, which is not there", id.name)),
        },
        Inline::Placeable { expression } => placed(expression, all, depth),
        _ => Err("has a placeable that is not used here".to_owned()),
    }
}

fn select(
    name: &str,
    variants: &[ast::Variant<&str>],
    all: &Patterns<'_>,
    depth: usize,
) -> Result<Vec<Piece>, String> {
    let mut cases = Vec::new();
    let mut rest = None;
    for variant in variants {
        let says = pieces(&variant.value, all, depth)?;
        let case = match &variant.key {
            _ if variant.default => {
                rest = Some((Case::Rest, says));
                continue;
            }
            ast::VariantKey::NumberLiteral { value } => Case::Exactly((*value).to_owned()),
            ast::VariantKey::Identifier { name } if PLURALS.contains(name) => {
                Case::Plural((*name).to_owned())
            }
            ast::VariantKey::Identifier { name } => Case::Word((*name).to_owned()),
        };
        cases.push((case, says));
    }
    // Exact numbers go before categories, whatever their order in the file.
    cases.sort_by_key(|(case, _)| matches!(case, Case::Plural(_)));
    cases.extend(rest);
    Ok(vec![Piece::Select(name.to_owned(), cases)])
}

/// Fluent's `\u201c`, which the parser leaves as it stands.
fn unescaped(text: &str) -> String {
    fluent_syntax::unicode::unescape_unicode_to_string(text).into_owned()
}

/// The variables a comment names: `# $place, $serial`.
fn order(comment: &str) -> Vec<String> {
    let words = comment.split(|c: char| !(c.is_ascii_alphanumeric() || c == '$' || c == '-' || c == '_'));
    words
        .filter_map(|word| word.strip_prefix('$'))
        .map(str::to_owned)
        .collect()
}

/// What the messages of one key in all languages are given; the source's comes first.
pub(crate) fn parameters(all: &[&Message]) -> Result<Vec<Parameter>, String> {
    let mut kinds: BTreeMap<String, Kind> = BTreeMap::new();
    let mut names: Vec<BTreeSet<String>> = Vec::new();
    for message in all {
        let mut own = BTreeMap::new();
        uses(&message.says, &mut own);
        names.push(own.keys().cloned().collect());
        for (name, kind) in own {
            let known = kinds.entry(name).or_insert(kind);
            *known = kind.max(*known);
        }
    }
    if names.iter().any(|own| own != &names[0]) {
        return Err("the languages do not use the same variables".to_owned());
    }
    let order: Vec<String> = match (all.first().map(|source| source.order.clone()), kinds.len()) {
        (Some(order), _) if !order.is_empty() => order,
        (_, 0 | 1) => kinds.keys().cloned().collect(),
        _ => return Err("name the variables in a comment above it, in the order they are given".to_owned()),
    };
    if order.iter().cloned().collect::<BTreeSet<_>>() != names[0] || order.len() != kinds.len() {
        return Err("the comment above it does not name its variables, each once".to_owned());
    }
    let found = order.into_iter().map(|name| Parameter {
        kind: kinds[&name],
        name,
    });
    Ok(found.collect())
}

fn uses(says: &[Piece], found: &mut BTreeMap<String, Kind>) {
    let mut note = |name: &str, kind: Kind| {
        let known = found.entry(name.to_owned()).or_insert(kind);
        *known = kind.max(*known);
    };
    for piece in says {
        match piece {
            Piece::Text(_) => {}
            Piece::Show(name) => note(name, Kind::Shown),
            Piece::Number(name) => note(name, Kind::Number),
            Piece::Select(name, cases) => {
                let by_word = cases.iter().any(|(case, _)| matches!(case, Case::Word(_)));
                note(name, if by_word { Kind::Word } else { Kind::Number });
            }
        }
    }
    for piece in says {
        if let Piece::Select(_, cases) = piece {
            for (_, says) in cases {
                uses(says, found);
            }
        }
    }
}
