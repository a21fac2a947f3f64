//! The tables of the survey file: each is rows and, beside them, what every column means.

use analysis::figures::{Figure, Figures, Measure};
use analysis::records::{self, Basis};
use analysis::tables::{Kind, Status, Tables};
use survey::progress::Outcome;
use survey::{Content, Log, State, Subject};
use tape::Answer;

use crate::cells::{Cell, csv};
use crate::day;

/// A table as it leaves the device.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    /// Its name in the data package: lower case.
    pub(crate) name: &'static str,
    /// What a row is.
    pub(crate) about: &'static str,
    pub(crate) fields: Vec<Field>,
    /// The columns that tell rows apart; empty if none do.
    pub(crate) key: &'static [&'static str],
    pub(crate) bytes: Vec<u8>,
}

/// What a column holds.
#[derive(Debug, Clone)]
pub(crate) struct Field {
    pub(crate) name: String,
    pub(crate) holds: Holds,
    pub(crate) about: String,
}

/// The type of a column, as a Table Schema names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Holds {
    Text,
    /// One of these words.
    Word(&'static [&'static str]),
    /// 0 or 1.
    YesNo,
    Whole,
    Number,
    Instant,
}

impl Table {
    /// Its path below the payload's folder.
    pub(crate) fn path(&self) -> String {
        format!("tables/{}.csv", self.name)
    }

    /// How many rows it has below its header.
    pub(crate) fn n_rows(&self) -> usize {
        let mut rows = csv::Reader::from_reader(self.bytes.as_slice());
        rows.byte_records().flatten().count()
    }
}

/// Every table, in the order of the data package.
pub(crate) fn all(log: &Log, state: &State, figures: &Figures) -> Vec<Table> {
    let rows = records::items(state, Basis::Headline);
    let mut tables = vec![
        boxes(&rows),
        items(&rows),
        counts(state),
        observations(log, state),
        self::figures(figures),
    ];
    // Only where there is something to say: files of surveys without are what they always were.
    tables.extend(origins(log));
    tables.extend(photos(state));
    tables
}

/// The photographs that nobody has taken back.
fn photos(state: &State) -> Option<Table> {
    let fields = vec![
        field("entry", Holds::Text, "The entry of the log: writer and number"),
        field("subject", Holds::Text, "What it was taken of"),
        field(
            "shows",
            Holds::Word(&["label", "damage", "other"]),
            "What it is of",
        ),
        field(
            "sha256",
            Holds::Text,
            "Its SHA-256; the file is photos/<sha256>.jpg",
        ),
        field("bytes", Holds::Whole, "How many bytes it has"),
    ];
    let of = |taken: &survey::photo::Taken| {
        vec![
            Cell::text(taken.entry.to_string()),
            Cell::text(taken.subject.to_string()),
            Cell::text(taken.photo.shows.key()),
            Cell::text(taken.photo.sha256.clone()),
            Cell::Whole(taken.photo.n_bytes.into()),
        ]
    };
    let rows: Vec<_> = state.photos.iter().map(of).collect();
    let about = "Every photograph, one a row";
    (!rows.is_empty()).then(|| table("photos", about, &["entry"], fields, rows.into_iter()))
}

/// The answers that came to be in another way than by a look and a tap of the person who holds the device.
fn origins(log: &Log) -> Option<Table> {
    let fields = vec![
        field("entry", Holds::Text, "The answer's entry, as in observations"),
        field("looked", Holds::Text, "Who looked, if another than who tapped"),
        field(
            "by_way_of",
            Holds::Text,
            "quick look, same as another tape, read from a photo, typed from paper; empty: tapped one by one",
        ),
    ];
    let of = |entry: &survey::Entry| match entry.content() {
        Content::Answer { origin, .. } if !origin.is_plain() => Some(vec![
            Cell::text(entry.id.to_string()),
            Cell::text(origin.looked.clone()),
            Cell::text(origin.from.clone()),
        ]),
        _ => None,
    };
    let rows: Vec<_> = log.entries().filter_map(of).collect();
    let about = "How answers came to be, where that was not a look and a tap of one person";
    (!rows.is_empty()).then(|| table("origins", about, &["entry"], fields, rows.into_iter()))
}

fn field(name: &str, holds: Holds, about: &str) -> Field {
    Field {
        name: name.to_owned(),
        holds,
        about: about.to_owned(),
    }
}

fn table<'a>(
    name: &'static str,
    about: &'static str,
    key: &'static [&'static str],
    fields: Vec<Field>,
    rows: impl Iterator<Item = Vec<Cell<'a>>>,
) -> Table {
    let header: Vec<&str> = fields.iter().map(|field| field.name.as_str()).collect();
    let bytes = csv(&header, rows);
    Table {
        name,
        about,
        fields,
        key,
        bytes,
    }
}

/// The words of a box's status, as the tables' contract has them.
pub(crate) fn status(status: Status) -> &'static str {
    match status {
        Status::Checked => "checked",
        Status::NotReached => "not_reached",
        Status::Stopped => "stopped",
        Status::OutOfScope => "out_of_scope",
    }
}

fn boxes(rows: &Tables) -> Table {
    const STATUS: Holds = Holds::Word(&["checked", "not_reached", "stopped", "out_of_scope"]);
    let fields = vec![
        field(
            "stratum",
            Holds::Text,
            "The stratum; late: boxes found after the draw",
        ),
        field("box_id", Holds::Text, "The box's serial"),
        field(
            "sampled",
            Holds::YesNo,
            "1: drawn, and in a round that the headline figures rest on",
        ),
        field(
            "items_in_box",
            Holds::Whole,
            "Items counted in a sampled box; of a stopped one, judged from outside",
        ),
        field("status", STATUS, "What became of a sampled box"),
        field("size", Holds::Number, "How full the box looks, in quarters"),
    ];
    let cells = rows.boxes.iter().map(|row| {
        let sampled = if row.sampled {
            Cell::text(status(row.status))
        } else {
            Cell::Nothing
        };
        vec![
            Cell::text(&row.stratum),
            Cell::text(&row.box_id),
            Cell::Whole(u64::from(row.sampled)),
            Cell::whole(row.items_in_box),
            sampled,
            Cell::number(row.size),
        ]
    });
    let about = "Every box that could be drawn, one a row";
    table("boxes", about, &["stratum", "box_id"], fields, cells)
}

fn items(rows: &Tables) -> Table {
    let mut fields = vec![
        field("stratum", Holds::Text, "The stratum of the box"),
        field("box_id", Holds::Text, "The box's serial"),
        field(
            "item_id",
            Holds::Text,
            "The item's position in the box, from 1; * answers for every item of the box",
        ),
    ];
    fields.extend(rows.columns.iter().map(|column| match column.kind {
        Kind::Condition => field(
            &column.name,
            Holds::YesNo,
            "A condition, or what is to be done (action_): 1 yes, 0 no, empty not known",
        ),
        Kind::Quantity => field(
            &column.name,
            Holds::Number,
            "A quantity of the item; empty: not known",
        ),
    }));
    let cells = rows.items.iter().map(|row| {
        let names = [&row.stratum, &row.box_id, &row.item_id].map(Cell::text);
        let values = row.values.iter().map(|value| Cell::number(*value));
        names.into_iter().chain(values).collect()
    });
    let about = "Every drawn item of a checked box, one a row; the rows of a box are a simple random sample of its items";
    table("items", about, &["stratum", "box_id", "item_id"], fields, cells)
}

fn counts(state: &State) -> Table {
    let fields = vec![
        field("stratum", Holds::Text, "The stratum of the box"),
        field("box_id", Holds::Text, "The box's serial"),
        field("carrier", Holds::Text, "The kind of carrier"),
        field("items", Holds::Whole, "How many of it were counted in the box"),
        field(
            "checked",
            Holds::YesNo,
            "1: items of this kind are checked; 0: tallied only",
        ),
    ];
    let mut sample = state.sample(false);
    sample.sort_by_key(|(drawn, _)| (drawn.stratum, drawn.serial));
    let counted = sample
        .into_iter()
        .filter(|(_, outcome)| *outcome == Outcome::Checked);
    let cells = counted.flat_map(|(drawn, _)| {
        let counts = match state.answer(Subject::Box(drawn.serial), "count") {
            Some(Answer::Counts(counts)) => counts.clone(),
            _ => std::collections::BTreeMap::default(),
        };
        counts
            .into_iter()
            .filter(|(_, n)| *n > 0)
            .map(move |(carrier, n)| {
                let checked = tape::carrier(&carrier).is_some_and(|known| known.checked);
                vec![
                    Cell::text(drawn.stratum.to_string()),
                    Cell::text(drawn.serial.to_string()),
                    Cell::text(carrier),
                    Cell::Whole(n.into()),
                    Cell::Whole(checked.into()),
                ]
            })
    });
    let about = "The count of every checked box by kind of carrier";
    table("counts", about, &["stratum", "box_id", "carrier"], fields, cells)
}

fn observations(log: &Log, state: &State) -> Table {
    let fields = vec![
        field("entry", Holds::Text, "The entry of the log: writer and number"),
        field("subject", Holds::Text, "What the answer is about"),
        field("question", Holds::Text, "The question"),
        field(
            "answer",
            Holds::Text,
            "The answer; several choices or counts with spaces between them",
        ),
        field(
            "counts",
            Holds::YesNo,
            "1: stands; 0: undone, or another answer took its place",
        ),
        field("person", Holds::Text, "Who answered"),
        field("device", Holds::Text, "On which device"),
        field("at", Holds::Instant, "By the device's clock, UTC"),
    ];
    let cells = log.entries().filter_map(|entry| {
        let Content::Answer {
            subject,
            question,
            value,
            ..
        } = entry.content()
        else {
            return None;
        };
        let stands = state
            .heads(*subject, question)
            .iter()
            .any(|head| head.entry == entry.id);
        let writer = state.writers.get(&entry.id.writer);
        let of_writer = |text: Option<&String>| Cell::text(text.cloned().unwrap_or_default());
        Some(vec![
            Cell::text(entry.id.to_string()),
            Cell::text(subject.to_string()),
            Cell::text(question.clone()),
            Cell::text(answer(value)),
            Cell::Whole(u64::from(stands)),
            of_writer(writer.map(|writer| &writer.person)),
            of_writer(writer.map(|writer| &writer.device_name)),
            day::instant(entry.at_ms).map_or(Cell::Nothing, Cell::text),
        ])
    });
    let about = "Every answer ever given, one a row, by writer and number";
    table("observations", about, &["entry"], fields, cells)
}

fn answer(value: &Answer) -> String {
    match value {
        Answer::One(key) => key.clone(),
        Answer::Many(keys) => keys.iter().map(String::as_str).collect::<Vec<_>>().join(" "),
        Answer::Number(number) => number.to_string(),
        Answer::Text(text) => text.clone(),
        Answer::Counts(counts) => {
            let each = counts.iter().map(|(key, n)| format!("{key}={n}"));
            each.collect::<Vec<_>>().join(" ")
        }
    }
}

fn figures(figures: &Figures) -> Table {
    const BASIS: Holds = Holds::Word(&["headline", "every_finished"]);
    const MEASURE: Holds = Holds::Word(&["share", "count", "total", "mean"]);
    let fields = vec![
        field(
            "basis",
            BASIS,
            "headline: complete rounds; every_finished: every finished box, where that differs",
        ),
        field("id", Holds::Text, "The figure"),
        field("measure", MEASURE, "What kind of number it is"),
        field("estimate", Holds::Number, "The estimate"),
        field("se", Holds::Number, "Its standard error"),
        field("low", Holds::Number, "Lower limit"),
        field("high", Holds::Number, "Upper limit"),
        field("df", Holds::Number, "Degrees of freedom"),
        field("deff", Holds::Number, "Design effect"),
        field("method", Holds::Text, "The interval's method"),
        field("n_seen", Holds::Whole, "Items seen with the condition"),
        field("n_known", Holds::Whole, "Items for which it is known"),
        field(
            "n_boxes",
            Holds::Whole,
            "Boxes with at least one item seen with the condition",
        ),
        field(
            "cautions",
            Holds::Text,
            "What to mind beside the limits, by its name, with a space between",
        ),
        field(
            "unknown_share",
            Holds::Number,
            "The part of items for which it is not known",
        ),
        field("bound_low", Holds::Number, "If every unknown one were a no"),
        field("bound_high", Holds::Number, "If every unknown one were a yes"),
    ];
    let headline = figures
        .headline
        .iter()
        .map(|(id, figure)| ("headline", id, figure));
    let every = figures.every_finished.iter().flatten();
    let every = every.map(|(id, figure)| ("every_finished", id, figure));
    let cells = headline
        .chain(every)
        .map(|(basis, id, figure)| figure_row(basis, id, figure));
    table(
        "figures",
        "Every figure of the survey, one a row",
        &["basis", "id"],
        fields,
        cells,
    )
}

fn figure_row<'a>(basis: &'static str, id: &'a str, figure: &'a Figure) -> Vec<Cell<'a>> {
    let measure = match figure.measure {
        Measure::Share => "share",
        Measure::Count => "count",
        Measure::Total => "total",
        Measure::Mean => "mean",
    };
    vec![
        Cell::text(basis),
        Cell::text(id),
        Cell::text(measure),
        Cell::Number(figure.estimate),
        Cell::number(figure.se),
        Cell::number(figure.low),
        Cell::number(figure.high),
        Cell::number(figure.df),
        Cell::number(figure.deff),
        Cell::text(&figure.method),
        Cell::whole(figure.n_seen),
        Cell::whole(figure.n_known),
        Cell::whole(figure.n_boxes),
        Cell::Text(figure.cautions.join(" ").into()),
        Cell::number(figure.unknown_share),
        Cell::number(figure.bounds.map(|(low, _)| low)),
        Cell::number(figure.bounds.map(|(_, high)| high)),
    ]
}
