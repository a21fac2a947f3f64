//! The shapes of the files in `knowledge`, and the small language of rules.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Source {
    pub(crate) text: String,
    pub(crate) mark: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Choice {
    pub(crate) key: String,
    pub(crate) label: String,
    pub(crate) help: String,
    #[serde(default)]
    pub(crate) only: Vec<String>,
    /// The answer tells nothing about the tape ("nobody knows").
    #[serde(default)]
    pub(crate) silent: bool,
    /// The answer goes with no other of the same question ("none").
    #[serde(default)]
    pub(crate) alone: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Question {
    pub(crate) key: String,
    pub(crate) kind: String,
    pub(crate) unit: Option<String>,
    pub(crate) min: Option<f64>,
    pub(crate) max: Option<f64>,
    pub(crate) short: String,
    pub(crate) long: String,
    pub(crate) why: String,
    pub(crate) how: String,
    pub(crate) drawing: String,
    #[serde(default)]
    pub(crate) photo: bool,
    #[serde(default)]
    pub(crate) optional: bool,
    /// The answer often holds for everything of one recordist or batch.
    #[serde(default)]
    pub(crate) batch: bool,
    /// Never taken over from another tape: each is looked at for this by itself.
    #[serde(default)]
    pub(crate) own_look: bool,
    /// Asked although the file's `only_while` does not hold.
    #[serde(default)]
    pub(crate) even_then: bool,
    #[serde(default)]
    pub(crate) when: Vec<String>,
    pub(crate) source: Vec<String>,
    #[serde(default)]
    pub(crate) choices: Vec<Choice>,
    pub(crate) choices_from: Option<String>,
    #[serde(skip)]
    pub(crate) subject: &'static str,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Carrier {
    pub(crate) key: String,
    pub(crate) label: String,
    pub(crate) icon: String,
    pub(crate) family: String,
    #[serde(default = "yes")]
    pub(crate) checked: bool,
    pub(crate) told: String,
    pub(crate) plays: String,
    pub(crate) traps: String,
    pub(crate) pbcore: Option<String>,
    pub(crate) source: Vec<String>,
}

fn yes() -> bool {
    true
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Caution {
    pub(crate) key: String,
    pub(crate) title: String,
    #[serde(default)]
    pub(crate) for_people: bool,
    pub(crate) text: String,
    pub(crate) source: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Evidence {
    pub(crate) answer: String,
    pub(crate) weight: u8,
    pub(crate) say: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Finding {
    pub(crate) key: String,
    pub(crate) title: String,
    pub(crate) group: String,
    #[serde(default)]
    pub(crate) hazard: bool,
    #[serde(default)]
    pub(crate) heat: bool,
    pub(crate) meaning: String,
    #[serde(default)]
    pub(crate) applies: Vec<String>,
    pub(crate) needs: Vec<String>,
    pub(crate) cautions: Vec<String>,
    pub(crate) next: Vec<String>,
    pub(crate) source: Vec<String>,
    pub(crate) r#for: Vec<Evidence>,
    #[serde(default)]
    pub(crate) against: Vec<Evidence>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Contradiction {
    pub(crate) answers: String,
    pub(crate) findings: Vec<String>,
    pub(crate) say: String,
    pub(crate) source: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Action {
    pub(crate) key: String,
    pub(crate) label: String,
    pub(crate) fits: String,
    #[serde(default)]
    pub(crate) when: Vec<String>,
    pub(crate) people: String,
    pub(crate) handling: String,
    pub(crate) plan: String,
    pub(crate) money: String,
    #[serde(default)]
    pub(crate) work: Vec<String>,
    pub(crate) source: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Condition {
    pub(crate) key: String,
    pub(crate) label: String,
    pub(crate) yes: Vec<String>,
    pub(crate) no: Vec<String>,
    pub(crate) source: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AtOnce {
    pub(crate) answers: String,
    pub(crate) cautions: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Speed {
    pub(crate) key: String,
    pub(crate) inches: f64,
    pub(crate) source: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Class {
    pub(crate) key: String,
    pub(crate) microns: [f64; 3],
    pub(crate) source: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Reel {
    pub(crate) size: String,
    pub(crate) full_mm: f64,
    pub(crate) hub_mm: f64,
    pub(crate) feet: [f64; 5],
    pub(crate) class: [String; 3],
    pub(crate) speeds: [String; 3],
    pub(crate) passes: [f64; 3],
    pub(crate) source: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Layout {
    pub(crate) key: String,
    pub(crate) passes: f64,
    pub(crate) channels: f64,
    pub(crate) source: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Shell {
    pub(crate) carrier: String,
    #[serde(default)]
    pub(crate) size: String,
    pub(crate) minutes: [f64; 3],
    pub(crate) passes: f64,
    pub(crate) channels: [f64; 3],
    pub(crate) source: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Amounts {
    pub(crate) speed: Vec<Speed>,
    pub(crate) class: Vec<Class>,
    pub(crate) reel: Vec<Reel>,
    pub(crate) layout: Vec<Layout>,
    pub(crate) shell: Vec<Shell>,
}

/// All that the folder holds.
pub(crate) struct Knowledge {
    pub(crate) sources: BTreeMap<String, Source>,
    pub(crate) questions: Vec<Question>,
    pub(crate) carriers: Vec<Carrier>,
    pub(crate) cautions: Vec<Caution>,
    pub(crate) box_cautions: Vec<AtOnce>,
    pub(crate) item_cautions: Vec<AtOnce>,
    pub(crate) findings: Vec<Finding>,
    pub(crate) contradictions: Vec<Contradiction>,
    pub(crate) actions: Vec<Action>,
    pub(crate) conditions: Vec<Condition>,
    pub(crate) amounts: Amounts,
}

impl Knowledge {
    pub(crate) fn read(folder: &Path) -> Result<Self, String> {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Questions {
            only_while: Option<String>,
            question: Vec<Question>,
        }
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Carriers {
            carrier: Vec<Carrier>,
        }
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Cautions {
            caution: Vec<Caution>,
            in_box: Vec<AtOnce>,
            on_item: Vec<AtOnce>,
        }
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Findings {
            finding: Vec<Finding>,
        }
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Contradictions {
            contradiction: Vec<Contradiction>,
        }
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Actions {
            action: Vec<Action>,
        }
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Conditions {
            condition: Vec<Condition>,
        }

        let carriers = file::<Carriers>(folder, "carriers.toml")?.carrier;
        let mut questions = Vec::new();
        for (name, subject) in [("box.toml", "Box"), ("item.toml", "Item")] {
            let Questions {
                only_while,
                question: list,
            } = file(folder, name)?;
            for mut question in list {
                question.subject = subject;
                if let Some(only_while) = only_while.as_ref().filter(|_| !question.even_then) {
                    question.when = with(&question.when, only_while);
                }
                if question.choices_from.as_deref() == Some("carriers") {
                    question.choices = carriers
                        .iter()
                        .filter(|c| c.key != "unknown")
                        .map(as_choice)
                        .collect();
                }
                questions.push(question);
            }
        }
        let cautions = file::<Cautions>(folder, "cautions.toml")?;
        Ok(Knowledge {
            sources: file(folder, "sources.toml")?,
            questions,
            carriers,
            cautions: cautions.caution,
            box_cautions: cautions.in_box,
            item_cautions: cautions.on_item,
            findings: file::<Findings>(folder, "findings.toml")?.finding,
            contradictions: file::<Contradictions>(folder, "contradictions.toml")?.contradiction,
            actions: file::<Actions>(folder, "actions.toml")?.action,
            conditions: file::<Conditions>(folder, "conditions.toml")?.condition,
            amounts: file(folder, "amounts.toml")?,
        })
    }
}

/// The lines with one more part each.
fn with(lines: &[String], part: &str) -> Vec<String> {
    match lines {
        [] => vec![part.to_owned()],
        _ => lines.iter().map(|line| format!("{line} & {part}")).collect(),
    }
}

fn as_choice(carrier: &Carrier) -> Choice {
    Choice {
        key: carrier.key.clone(),
        label: carrier.label.clone(),
        help: carrier.told.clone(),
        only: Vec::new(),
        silent: false,
        alone: false,
    }
}

fn file<T: serde::de::DeserializeOwned>(folder: &Path, name: &str) -> Result<T, String> {
    let path = folder.join(name);
    let text = std::fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
    toml::from_str(&text).map_err(|e| format!("{}: {}", path.display(), e.to_string().replace('\n', " ")))
}

/// One part of a rule: `question=a|b` or `question!=a|b`.
#[derive(Clone, PartialEq)]
pub(crate) struct Atom {
    pub(crate) question: String,
    pub(crate) not: bool,
    pub(crate) answers: Vec<String>,
}

/// One line of a rule: parts joined by `&`.
pub(crate) fn line(text: &str) -> Result<Vec<Atom>, String> {
    text.split('&').map(|part| atom(part.trim())).collect()
}

fn atom(text: &str) -> Result<Atom, String> {
    let (left, right) = text
        .split_once('=')
        .ok_or_else(|| format!("'{text}' is not of the form question=answer"))?;
    let (question, not) = match left.strip_suffix('!') {
        Some(q) => (q, true),
        None => (left, false),
    };
    Ok(Atom {
        question: question.trim().to_owned(),
        not,
        answers: right.split('|').map(|a| a.trim().to_owned()).collect(),
    })
}

/// One line of an action's rule: `finding>=strength` or `finding=strength`, joined by `&`.
pub(crate) struct FindingAtom {
    pub(crate) finding: String,
    pub(crate) at_least: bool,
    pub(crate) strength: String,
}

pub(crate) fn finding_line(text: &str) -> Result<Vec<FindingAtom>, String> {
    text.split('&')
        .map(|part| {
            let part = part.trim();
            let (finding, at_least, strength) = match part.split_once(">=") {
                Some((f, s)) => (f, true, s),
                None => {
                    let (f, s) = part
                        .split_once('=')
                        .ok_or_else(|| format!("'{part}' is not of the form finding>=strength"))?;
                    (f, false, s)
                }
            };
            Ok(FindingAtom {
                finding: finding.to_owned(),
                at_least,
                strength: strength.to_owned(),
            })
        })
        .collect()
}
