//! Writes the checked knowledge as Rust statics.

use std::fmt::Write as _;

use crate::schema::{Evidence, Knowledge, Question, finding_line, line};

pub(crate) fn statics(k: &Knowledge) -> String {
    let mut out = String::new();
    list(
        &mut out,
        "SOURCES",
        "Source",
        k.sources.iter().map(|(key, s)| {
            format!(
                "Source {{ key: {key:?}, text: {:?}, mark: {:?} }}",
                s.text, s.mark
            )
        }),
    );
    list(&mut out, "CARRIERS", "Carrier", k.carriers.iter().map(|c| {
        format!(
            "Carrier {{ key: {:?}, label: {:?}, icon: {:?}, family: Family::{}, checked: {}, told: {:?}, plays: {:?}, traps: {:?}, pbcore: {:?}, source: {:?} }}",
            c.key, c.label, c.icon, capital(&c.family), c.checked, c.told, c.plays, c.traps, c.pbcore, source(k, &c.source)
        )
    }));
    list(
        &mut out,
        "QUESTIONS",
        "Question",
        k.questions.iter().map(|q| question(k, q)),
    );
    list(
        &mut out,
        "CAUTIONS",
        "Caution",
        k.cautions.iter().map(|c| {
            format!(
                "Caution {{ key: {:?}, title: {:?}, text: {:?}, for_people: {}, source: {:?} }}",
                c.key,
                c.title,
                c.text,
                c.for_people,
                source(k, &c.source)
            )
        }),
    );
    for (name, entries) in [
        ("BOX_CAUTIONS", &k.box_cautions),
        ("ITEM_CAUTIONS", &k.item_cautions),
    ] {
        list(
            &mut out,
            name,
            "AtOnce",
            entries.iter().map(|b| {
                format!(
                    "AtOnce {{ when: {}, cautions: &{:?} }}",
                    when(std::slice::from_ref(&b.answers)),
                    b.cautions
                )
            }),
        );
    }
    list(&mut out, "FINDINGS", "FindingRule", k.findings.iter().map(|f| {
        format!(
            "FindingRule {{ key: {:?}, title: {:?}, group: {:?}, hazard: {}, heat: {}, meaning: {:?}, applies: {}, needs: &{:?}, cautions: &{:?}, next: &{:?}, source: {:?}, r#for: {}, against: {} }}",
            f.key, f.title, f.group, f.hazard, f.heat, f.meaning, when(&f.applies), f.needs, f.cautions, f.next,
            source(k, &f.source), evidence(&f.r#for), evidence(&f.against)
        )
    }));
    list(
        &mut out,
        "CONTRADICTIONS",
        "Contradiction",
        k.contradictions.iter().map(|c| {
            format!(
                "Contradiction {{ when: {}, findings: &{:?}, say: {:?}, source: {:?} }}",
                when(std::slice::from_ref(&c.answers)),
                c.findings,
                c.say,
                source(k, &c.source)
            )
        }),
    );
    list(&mut out, "ACTIONS", "ActionClass", k.actions.iter().map(|a| {
        let does = |work: &str| a.work.iter().any(|w| w == work);
        let work = format!(
            "Work {{ clean: {}, repair: {}, specialist: {} }}",
            does("clean"),
            does("repair"),
            does("specialist")
        );
        format!(
            "ActionClass {{ key: {:?}, label: {:?}, fits: {:?}, people: {:?}, handling: {:?}, plan: {:?}, money: {:?}, work: {work}, source: {:?}, when: {} }}",
            a.key, a.label, a.fits, a.people, a.handling, a.plan, a.money, source(k, &a.source), finding_when(&a.when)
        )
    }));
    list(
        &mut out,
        "CONDITIONS",
        "Condition",
        k.conditions.iter().map(|c| {
            format!(
                "Condition {{ key: {:?}, label: {:?}, source: {:?}, yes: {}, no: {} }}",
                c.key,
                c.label,
                source(k, &c.source),
                when(&c.yes),
                when(&c.no)
            )
        }),
    );
    amounts(&mut out, k);
    out
}

fn amounts(out: &mut String, k: &Knowledge) {
    let a = &k.amounts;
    list(
        out,
        "SPEEDS",
        "Speed",
        a.speed.iter().map(|s| {
            format!(
                "Speed {{ key: {:?}, inches: {:?}, source: {:?} }}",
                s.key,
                s.inches,
                source(k, &s.source)
            )
        }),
    );
    list(
        out,
        "CLASSES",
        "Class",
        a.class.iter().map(|c| {
            format!(
                "Class {{ key: {:?}, microns: {:?}, source: {:?} }}",
                c.key,
                c.microns,
                source(k, &c.source)
            )
        }),
    );
    list(out, "REELS", "Reel", a.reel.iter().map(|r| {
        format!(
            "Reel {{ size: {:?}, full_mm: {:?}, hub_mm: {:?}, feet: {:?}, class: {:?}, speeds: {:?}, passes: {:?}, source: {:?} }}",
            r.size, r.full_mm, r.hub_mm, r.feet, r.class, r.speeds, r.passes, source(k, &r.source)
        )
    }));
    list(
        out,
        "LAYOUTS",
        "Layout",
        a.layout.iter().map(|l| {
            format!(
                "Layout {{ key: {:?}, passes: {:?}, channels: {:?}, source: {:?} }}",
                l.key,
                l.passes,
                l.channels,
                source(k, &l.source)
            )
        }),
    );
    list(out, "SHELLS", "Shell", a.shell.iter().map(|s| {
        format!(
            "Shell {{ carrier: {:?}, size: {:?}, minutes: {:?}, passes: {:?}, channels: {:?}, source: {:?} }}",
            s.carrier, s.size, s.minutes, s.passes, s.channels, source(k, &s.source)
        )
    }));
}

fn list(out: &mut String, name: &str, kind: &str, entries: impl Iterator<Item = String>) {
    let _ = writeln!(out, "pub(crate) static {name}: &[{kind}] = &[");
    for entry in entries {
        let _ = writeln!(out, "    {entry},");
    }
    let _ = writeln!(out, "];");
}

fn question(k: &Knowledge, q: &Question) -> String {
    let kind = match q.kind.as_str() {
        "one" => "Kind::One".to_owned(),
        "many" => "Kind::Many".to_owned(),
        "counts" => "Kind::Counts".to_owned(),
        "text" => "Kind::Text".to_owned(),
        _ => format!(
            "Kind::Number {{ unit: {:?}, min: {:?}, max: {:?} }}",
            q.unit.as_deref().unwrap_or_default(),
            q.min.unwrap_or_default(),
            q.max.unwrap_or_default()
        ),
    };
    let choices: Vec<String> = q
        .choices
        .iter()
        .map(|c| {
            format!(
                "Choice {{ key: {:?}, label: {:?}, help: {:?}, only: {}, silent: {}, alone: {} }}",
                c.key,
                c.label,
                c.help,
                when(&c.only),
                c.silent,
                c.alone
            )
        })
        .collect();
    format!(
        "Question {{ key: {:?}, subject: Subject::{}, kind: {kind}, short: {:?}, long: {:?}, why: {:?}, how: {:?}, drawing: {:?}, choices: &[{}], source: {:?}, photo: {}, optional: {}, batch: {}, own_look: {}, when: {} }}",
        q.key,
        q.subject,
        q.short,
        q.long,
        q.why,
        q.how,
        q.drawing,
        choices.join(", "),
        source(k, &q.source),
        q.photo,
        q.optional,
        q.batch,
        q.own_look,
        when(&q.when)
    )
}

fn evidence(pieces: &[Evidence]) -> String {
    let parts: Vec<String> = pieces
        .iter()
        .map(|e| {
            format!(
                "Evidence {{ when: {}, weight: {}, say: {:?} }}",
                when(std::slice::from_ref(&e.answer)),
                e.weight,
                e.say
            )
        })
        .collect();
    format!("&[{}]", parts.join(", "))
}

fn when(lines: &[String]) -> String {
    let lines: Vec<String> = lines
        .iter()
        .filter_map(|l| line(l).ok())
        .map(|atoms| {
            let atoms: Vec<String> = atoms
                .iter()
                .map(|a| {
                    format!(
                        "Atom {{ question: {:?}, not: {}, answers: &{:?} }}",
                        a.question, a.not, a.answers
                    )
                })
                .collect();
            format!("&[{}]", atoms.join(", "))
        })
        .collect();
    format!("When(&[{}])", lines.join(", "))
}

fn finding_when(lines: &[String]) -> String {
    let lines: Vec<String> = lines
        .iter()
        .filter_map(|l| finding_line(l).ok())
        .map(|atoms| {
            let atoms: Vec<String> = atoms
                .iter()
                .map(|a| {
                    let strength = match a.strength.as_str() {
                        "likely" => "Likely",
                        "possible" => "Possible",
                        _ => "NoSign",
                    };
                    format!(
                        "FindingAtom {{ finding: {:?}, at_least: {}, strength: Strength::{strength} }}",
                        a.finding, a.at_least
                    )
                })
                .collect();
            format!("&[{}]", atoms.join(", "))
        })
        .collect();
    format!("&[{}]", lines.join(", "))
}

/// The sources as one readable line; a mark is added where the source was not read itself.
fn source(k: &Knowledge, keys: &[String]) -> String {
    let parts: Vec<String> = keys
        .iter()
        .filter_map(|key| k.sources.get(key))
        .map(|s| match s.mark.as_str() {
            "second_hand" => format!("{} (second-hand)", s.text),
            _ => s.text.clone(),
        })
        .collect();
    parts.join("; ")
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters
        .next()
        .map(|c| c.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
