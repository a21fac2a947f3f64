//! What does not agree once several devices' entries have met, in lines for a terminal: the same that the app's screen says.

use std::fmt::Write;

use analysis::agreement;
use survey::differ::{Differences, Look};
use survey::{Content, DeviceId, Entry, State, Subject};
use tape::Answer;

use crate::day::instant;
use crate::verify;

/// How many characters of an answer are shown: a watch-list is a whole table.
const SHOWN: usize = 80;

/// One line or more for each thing that does not agree; none where all does.
#[must_use]
pub fn lines(told: &Differences, state: &State) -> Vec<String> {
    let mut lines = Vec::new();
    for conflict in &told.conflicts {
        lines.push(format!(
            "{} of {} was answered differently:",
            question(&conflict.question),
            subject(conflict.subject, state)
        ));
        for (index, look) in conflict.looks.iter().enumerate() {
            let mut line = format!("  {}", said(look));
            if index == 0 {
                line.push_str(
                    " -- counts until one is chosen: its entry comes first, by a rule without clocks",
                );
            }
            lines.push(line);
        }
    }
    for settled in &told.settled {
        lines.push(format!(
            "{} of {} was answered differently, and {} chose {}",
            question(&settled.question),
            subject(settled.subject, state),
            named(&settled.choice.who),
            answer(&settled.choice.value)
        ));
    }
    for twins in &told.twins {
        let first = format!(
            "entry {} of {} is there in several versions, as after a restored backup; all are kept:",
            twins.id,
            named(&twins.who)
        );
        lines.push(first);
        lines.push(format!(
            "  {} -- counts, by a rule without clocks",
            entry(&twins.stands)
        ));
        lines.extend(twins.others.iter().map(|other| format!("  {}", entry(other))));
    }
    if !told.draws.is_empty() {
        let all_same = told.draws.iter().all(|draw| draw.same_boxes);
        lines.push(if all_same {
            "drawn on several devices, with the same seed from the same list: the same boxes, nothing is to be done".to_owned()
        } else {
            "drawn on several devices, and the boxes differ; agree on one draw before checking goes on:".to_owned()
        });
        for draw in &told.draws {
            let counts = if draw.in_force { " -- counts" } else { "" };
            lines.push(format!(
                "  {}, {}, seed {:?}, from {} boxes{counts}",
                named(&draw.who),
                time(draw.at_ms),
                draw.seed,
                draw.n_boxes
            ));
        }
    }
    for number in &told.walks {
        lines.push(format!(
            "round {number} was walked along the shelves on one device and as drawn on another: it counts as along the shelves"
        ));
    }
    lines.extend(told.faults.iter().map(verify::fault));
    for name in &told.names {
        let held = name.devices.iter().map(|(device, people)| {
            let people: Vec<&str> = people.iter().map(String::as_str).collect();
            format!("device {} ({})", short(*device), named(&people.join(", ")))
        });
        let held: Vec<String> = held.collect();
        lines.push(format!(
            "{} devices are called {:?}: {}",
            held.len(),
            name.name,
            held.join(", ")
        ));
    }
    if let Some(clocks) = &told.clocks {
        lines.push("the clocks cannot all be right; nothing rests on them, but the times above and in the report may be wrong:".to_owned());
        for clock in &clocks.devices {
            let (first, last) = (time(clock.first_ms), time(clock.last_ms));
            lines.push(format!("  {}: {first} to {last}", named(&clock.name)));
        }
        if clocks.n_backwards > 0 {
            lines.push(format!(
                "  {} entries are more than a day older than an entry they rest on",
                clocks.n_backwards
            ));
        }
    }
    lines.extend(twice(told));
    lines
}

/// What two people checked: counts, not estimates.
fn twice(told: &Differences) -> Vec<String> {
    let made = agreement::checked_twice(&told.repeats);
    if made.is_empty() {
        return Vec::new();
    }
    let same = told.repeats.iter().filter(|repeat| repeat.is_same()).count();
    let mut lines = vec![format!(
        "checked by two people: {} answers, {same} of them the same",
        told.repeats.len()
    )];
    for checked in made {
        let mut line = format!(
            "  {}: {} of {}",
            question(&checked.question),
            checked.n_same,
            checked.n
        );
        if let Some(ac1) = checked.ac1 {
            // Writing to a string cannot fail.
            let _ = write!(line, ", beyond chance (AC1) {ac1:.2}");
        }
        lines.push(line);
    }
    lines
}

fn question(key: &str) -> String {
    tape::question(key).map_or_else(|| format!("{key:?}"), |question| format!("{:?}", question.short))
}

fn subject(subject: Subject, state: &State) -> String {
    let label = match subject {
        Subject::Box(serial) => state.boxes.get(&serial).map(|listed| listed.label.trim()),
        Subject::Item(item) => state.boxes.get(&item.serial).map(|listed| listed.label.trim()),
        _ => None,
    };
    match label {
        Some(label) if !label.is_empty() => format!("{subject} ({label})"),
        _ => subject.to_string(),
    }
}

fn said(look: &Look) -> String {
    format!(
        "{}, {}: {}",
        named(&look.who),
        time(look.at_ms),
        answer(&look.value)
    )
}

fn entry(entry: &Entry) -> String {
    let what = match entry.content() {
        Content::Answer {
            subject,
            question: asked,
            value,
            ..
        } => format!("{} of {subject}: {}", question(asked), answer(value)),
        Content::Undo { of } => format!("{of} is undone"),
        Content::Photo { subject, .. } => format!("a photograph of {subject}"),
        _ => cut(&String::from_utf8_lossy(&entry.bytes)),
    };
    format!("{}: {what}", time(entry.at_ms))
}

/// An answer's keys, as the tables have them.
fn answer(value: &Answer) -> String {
    cut(&match value {
        Answer::One(key) => key.clone(),
        Answer::Many(keys) if keys.is_empty() => "none of them".to_owned(),
        Answer::Many(keys) => keys.iter().map(String::as_str).collect::<Vec<_>>().join(" "),
        Answer::Number(number) => number.to_string(),
        Answer::Text(text) => format!("{text:?}"),
        Answer::Counts(counts) => {
            let some = counts.iter().filter(|(_, n)| **n > 0);
            some.map(|(key, n)| format!("{key} {n}"))
                .collect::<Vec<_>>()
                .join(", ")
        }
    })
}

fn cut(text: &str) -> String {
    let mut shown: String = text.chars().take(SHOWN).collect();
    if shown.len() < text.len() {
        shown.push('…');
    }
    shown
}

fn named(who: &str) -> &str {
    if who.is_empty() {
        "somebody without a name"
    } else {
        who
    }
}

fn time(ms: u64) -> String {
    instant(ms).unwrap_or_else(|| "at no date that there is".to_owned())
}

/// The first digits of a device's id, enough to tell two apart.
fn short(device: DeviceId) -> String {
    device.to_string().chars().take(8).collect()
}
