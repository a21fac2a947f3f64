//! The files of an invented collection, written box by box: nothing is held but totals.

use std::collections::BTreeMap;
use std::io::Write;

use serde_json::{Value, json};
use survey::Serial;
use tape::{Answer, Answers};

use super::scenario::{self, GROUPS, PLACES};
use super::truth::{Collection, Fate, Item, TrueBox};
use super::walk::Visit;

/// The header of the list of boxes, as the app imports it.
const LIST_HEADER: &str = "place,label,group,full,items";

/// The true totals of boxes and items.
#[derive(Default)]
struct Totals {
    boxes: u64,
    fates: BTreeMap<&'static str, u64>,
    items: u64,
    video_other: u64,
    largest_box: u64,
    carriers: BTreeMap<&'static str, u64>,
    conditions: BTreeMap<&'static str, u64>,
    seconds: u64,
    /// What somebody would know who had asked everything about every item that can be reached: yes, no, not known.
    census: BTreeMap<&'static str, [u64; 3]>,
}

/// Where the files go.
pub(super) struct Files<'a> {
    pub(super) list: &'a mut dyn Write,
    /// Every box and item; nothing where only totals are wanted.
    pub(super) truth: Option<&'a mut dyn Write>,
    pub(super) summary: &'a mut dyn Write,
}

/// Writes the list of boxes, the truth and its totals.
pub(super) fn collection(collection: Collection, files: Files<'_>) -> std::io::Result<()> {
    let Files {
        list,
        mut truth,
        summary,
    } = files;
    writeln!(list, "{LIST_HEADER}")?;
    if let Some(truth) = &mut truth {
        head(collection, truth)?;
    }
    let mut totals = [(); GROUPS.len()].map(|()| Totals::default());
    for of in collection.boxes() {
        list_line(&of, list)?;
        let totals = &mut totals[PLACES[of.place].group];
        totals.add(&of);
        if let Some(truth) = &mut truth {
            let visit = collection.visit(&of, |_| true);
            totals.add_census(&visit);
            box_line(collection, &of, &visit, truth)?;
        }
    }
    if let Some(truth) = &mut truth {
        writeln!(truth, "]}}")?;
    }
    let mut all = Totals::default();
    for of_group in &totals {
        all.merge(of_group);
    }
    let by_group: BTreeMap<&str, Value> = GROUPS
        .iter()
        .copied()
        .zip(totals.iter().map(Totals::value))
        .collect();
    let mut value = all.value();
    value["seed"] = json!(collection.seed);
    value["absent"] = json!(scenario::ABSENT);
    value["by_group"] = json!(by_group);
    serde_json::to_writer_pretty(&mut *summary, &value)?;
    writeln!(summary)?;
    Ok(())
}

fn list_line(of: &TrueBox, list: &mut dyn Write) -> std::io::Result<()> {
    let place = &PLACES[of.place];
    let items = of.listed_items.map_or(String::new(), |n| n.to_string());
    let [name, label, group] = [place.name, &of.label, GROUPS[place.group]].map(quoted);
    writeln!(list, "{name},{label},{group},{},{items}", of.quarters)
}

/// A CSV field by RFC 4180.
fn quoted(field: &str) -> String {
    if field.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", field.replace('"', "\"\""))
    } else {
        field.to_owned()
    }
}

fn head(collection: Collection, truth: &mut dyn Write) -> std::io::Result<()> {
    let counts = scenario::apportion(collection.n_boxes);
    let places = PLACES
        .iter()
        .zip(counts)
        .map(|(place, n_boxes)| json!({"place": place.name, "group": GROUPS[place.group], "boxes": n_boxes}));
    let rates = scenario::RATES.iter().map(|(question, cant_tell, slip)| {
        (
            (*question).to_owned(),
            json!({"cant_tell_per_mille": cant_tell, "slip_per_mille": slip}),
        )
    });
    let head = json!({
        "title": scenario::TITLE,
        "seed": collection.seed,
        "n_boxes": collection.n_boxes,
        "places": places.collect::<Vec<_>>(),
        "rates": rates.collect::<serde_json::Map<_, _>>(),
    });
    let text = head.to_string();
    let open = text.strip_suffix('}').unwrap_or(&text);
    writeln!(truth, "{open},\"boxes\":[")
}

fn box_line(
    collection: Collection,
    of: &TrueBox,
    visit: &Visit,
    truth: &mut dyn Write,
) -> std::io::Result<()> {
    let number = u32::try_from(of.row).unwrap_or(u32::MAX);
    let items = of.items.iter().enumerate().map(|(index, item)| {
        let conditions = item.conditions(of).into_iter().filter(|(_, holds)| *holds);
        json!({
            "position": index + 1,
            "carrier": item.carrier,
            "size": item.size,
            "decade": item.decade,
            "base": item.base,
            "length_class": item.length_class,
            "speed": item.speed,
            "tracks": item.tracks,
            "seconds": item.seconds,
            "conditions": conditions.map(|(key, _)| key).collect::<Vec<_>>(),
            "answers": visit.items.get(index).map(|answers| answers_value(answers)),
        })
    });
    let value = json!({
        "row": of.row,
        "serial": Serial { tag: 0, number }.to_string(),
        "place": PLACES[of.place].name,
        "group": GROUPS[PLACES[of.place].group],
        "label": of.label,
        "full": of.quarters,
        "listed_items": of.listed_items,
        "fate": fate(of.fate),
        "mould": of.mould,
        "vermin": of.vermin,
        "video_other": of.n_video,
        "answers": answers_value(&visit.answers),
        "items": items.collect::<Vec<_>>(),
    });
    let comma = if of.row == collection.n_boxes { "" } else { "," };
    writeln!(truth, "{value}{comma}")
}

fn fate(fate: Fate) -> &'static str {
    match fate {
        Fate::Opens => "opens",
        Fate::ListedTwice => "listed_twice",
        Fate::Missing => "missing",
        Fate::Locked => "locked",
        Fate::OutOfScope => "out_of_scope",
    }
}

/// Answers by question, each in the shape the log has it.
fn answers_value(answers: &[(&'static str, Answer)]) -> Value {
    let shaped = answers.iter().map(|(question, answer)| {
        let value = match answer {
            Answer::One(key) => json!({"one": key}),
            Answer::Many(keys) => json!({"many": keys}),
            Answer::Number(number) => json!({"number": number}),
            Answer::Text(text) => json!({"text": text}),
            Answer::Counts(counts) => json!({"counts": counts}),
        };
        ((*question).to_owned(), value)
    });
    Value::Object(shaped.collect())
}

impl Totals {
    fn add(&mut self, of: &TrueBox) {
        self.boxes += 1;
        *self.fates.entry(fate(of.fate)).or_insert(0) += 1;
        self.video_other += u64::from(of.n_video);
        let n_items = of.items.len() as u64;
        self.items += n_items;
        self.largest_box = self.largest_box.max(n_items);
        for item in &of.items {
            self.add_item(of, item);
        }
    }

    fn add_item(&mut self, of: &TrueBox, item: &Item) {
        *self.carriers.entry(item.carrier).or_insert(0) += 1;
        self.seconds += item.seconds;
        for (key, holds) in item.conditions(of) {
            *self.conditions.entry(key).or_insert(0) += u64::from(holds);
        }
    }

    fn add_census(&mut self, visit: &Visit) {
        let of_box: Answers = visit
            .answers
            .iter()
            .map(|(key, value)| ((*key).to_owned(), value.clone()))
            .collect();
        for answers in &visit.items {
            let of_item = answers
                .iter()
                .map(|(key, value)| ((*key).to_owned(), value.clone()))
                .collect();
            for (key, value) in tape::condition_values(&of_box, &of_item) {
                let at = match value {
                    Some(true) => 0,
                    Some(false) => 1,
                    None => 2,
                };
                self.census.entry(key).or_default()[at] += 1;
            }
        }
    }

    fn merge(&mut self, other: &Self) {
        let add = |into: &mut BTreeMap<&'static str, u64>, from: &BTreeMap<&'static str, u64>| {
            for (key, n) in from {
                *into.entry(key).or_insert(0) += n;
            }
        };
        self.boxes += other.boxes;
        self.items += other.items;
        self.video_other += other.video_other;
        self.largest_box = self.largest_box.max(other.largest_box);
        self.seconds += other.seconds;
        add(&mut self.fates, &other.fates);
        add(&mut self.carriers, &other.carriers);
        add(&mut self.conditions, &other.conditions);
        for (key, known) in &other.census {
            let into = self.census.entry(key).or_default();
            for (n, more) in into.iter_mut().zip(known) {
                *n += more;
            }
        }
    }

    fn value(&self) -> Value {
        let census = self.census.iter().map(|(key, [yes, no, unknown])| {
            (
                (*key).to_owned(),
                json!({"yes": yes, "no": no, "unknown": unknown}),
            )
        });
        json!({
            "boxes": self.boxes,
            "boxes_by_fate": self.fates,
            "items": self.items,
            "video_other": self.video_other,
            "largest_box": self.largest_box,
            "carriers": self.carriers,
            "conditions": self.conditions,
            "seconds": self.seconds,
            "hours": self.seconds / 3600,
            "census": Value::Object(census.collect()),
        })
    }
}
