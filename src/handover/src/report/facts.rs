//! What a report is written from, gathered once: the log, its state, its figures, and what they are planned with.

use std::collections::BTreeMap;

use analysis::agreement::{self, OtherClass};
use analysis::change::{Change, change};
use analysis::figures::{Figure, Figures, Measure};
use analysis::outlook::{self, Summary};
use analysis::outside;
use analysis::plan::Plan;
use analysis::records::{self, ACTION_PREFIX, Basis};
use analysis::tables::WHOLE_BOX;
use analysis::takes::{LongTakes, long_takes};
use costing::{LearnedHours, Likely, Settings, Span};
use sha2::{Digest, Sha256};
use survey::frame::DrawStratum;
use survey::{Content, EntryId, Log, Serial, State, Subject};

use super::line::{Line, fig, w};
use super::met;
use super::numbers::as_given;
use super::options::Options;
use super::shape::spanned;
pub(super) use super::shape::{AMOUNT, COUNT, GIBI, PERCENT, POINTS, Shape, alone, percent, ranged};
use super::uncosted;
use crate::day::Day;
use crate::survey_file::Parts;

/// What all papers of a survey are made from, worked out once.
#[derive(Clone, Copy)]
pub(crate) struct Ground<'a> {
    pub(crate) log: &'a Log,
    pub(crate) state: &'a State,
    pub(crate) figures: &'a Figures,
    pub(crate) plan: &'a Plan,
}

/// What a report is written from.
pub(crate) struct Facts<'a> {
    pub(super) log: &'a Log,
    pub(super) state: &'a State,
    pub(super) figures: &'a Figures,
    pub(super) parts: &'a Parts,
    pub(super) options: Options,
    /// The assumptions, the scenarios and what was drawn of them.
    pub(super) plan: &'a Plan,
    /// Whether the log has a set of assumptions that this program cannot read.
    pub(super) assumptions_unread: bool,
    /// The simulation, or why there is none.
    pub(super) outlook: Result<Summary, String>,
    pub(super) likely: Option<Likely>,
    pub(super) long: Option<LongTakes>,
    /// The hours that the simulation was put right by.
    pub(super) learned_hours: Option<LearnedHours>,
    /// The earlier visit that the writer chose to be compared with.
    pub(super) earlier: Option<Earlier>,
    /// Boxes that answer for all their items at once with a yes, by the figure's id without its measure.
    whole: BTreeMap<String, usize>,
    /// The same of boxes that were judged to hold nothing, and so add nothing.
    empty: BTreeMap<String, usize>,
    /// Items that are in their class for a smell alone, by the same ids.
    by_smell: BTreeMap<String, usize>,
    /// In how many boxes each class was met.
    boxes_met: BTreeMap<&'static str, usize>,
    /// How the items divide into those of counted boxes and those judged from outside.
    judged: BTreeMap<String, Figure>,
    /// What items answered twice would be by the other answer.
    pub(super) other_class: Option<OtherClass>,
    strata: BTreeMap<String, String>,
}

/// An earlier visit to the same boxes, and what changed since.
pub(super) struct Earlier {
    /// Its survey.
    pub(super) survey: String,
    /// SHA-256 of its log.
    pub(super) digest: String,
    /// First and last day on which it looked at something.
    pub(super) days: Option<(Day, Day)>,
    /// What changed, or why that cannot be said.
    pub(super) made: Result<Change, String>,
}

impl Earlier {
    fn of(earlier: &Log, state: &State) -> Self {
        Self {
            survey: earlier.survey().to_string(),
            digest: digest(earlier),
            days: days(earlier),
            made: change(&State::fold(earlier), state).map_err(|why| why.to_string()),
        }
    }
}

/// SHA-256 of a log's lines, in hexadecimal digits.
pub(super) fn digest(log: &Log) -> String {
    let digest = Sha256::digest(log.to_lines());
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// First and last day on which a box or an item was answered for, by the devices' clocks.
pub(super) fn days(log: &Log) -> Option<(Day, Day)> {
    let about_things = log.entries().filter(|entry| {
        matches!(
            entry.content(),
            Content::Answer {
                subject: Subject::Box(_) | Subject::Item(_),
                ..
            }
        )
    });
    let days: Vec<Day> = about_things
        .filter_map(|entry| Day::from_ms(entry.at_ms))
        .collect();
    Some((*days.iter().min()?, *days.iter().max()?))
}

impl<'a> Facts<'a> {
    pub(crate) fn new(ground: Ground<'a>, parts: &'a Parts, options: Options, earlier: Option<&Log>) -> Self {
        let Ground {
            log,
            state,
            figures,
            plan,
        } = ground;
        let said = state.answer(Subject::Survey, outlook::ASSUMPTIONS);
        let assumptions_unread = match said {
            Some(tape::Answer::Text(json)) => outlook::read(json).is_err(),
            Some(_) => true,
            None => false,
        };
        let summary = plan.summary().map_err(|error| error.to_string());
        let likely = costing::likely(&plan.collection, &plan.assumptions).ok();
        let storage = plan.assumptions.storage;
        let named = state
            .strata
            .iter()
            .map(|(key, name)| (key.to_string(), name.clone()))
            .chain([("late".to_owned(), "Boxes found after the draw".to_owned())]);
        let strata = named
            .map(|(key, name)| {
                let shown = if options.without_places && key != "late" {
                    format!("Stratum {key}")
                } else {
                    name
                };
                (key, shown)
            })
            .collect();
        Self {
            log,
            state,
            figures,
            parts,
            options,
            plan,
            assumptions_unread,
            outlook: summary,
            likely,
            long: long_takes(state, storage.rate_hz, storage.bits),
            learned_hours: plan.collection.learned,
            earlier: earlier.map(|earlier| Earlier::of(earlier, state)),
            whole: whole_boxes(state),
            empty: empty_boxes(state),
            by_smell: met::by_smell(state),
            boxes_met: met::boxes_met(state),
            judged: outside::judged(state),
            other_class: agreement::other_class(state, &survey::differ::repeats(log, state)),
            strata,
        }
    }

    /// Whether places, names and typed texts may be shown.
    pub(super) fn is_open(&self) -> bool {
        !self.options.without_places
    }

    pub(super) fn title(&self) -> &str {
        if self.is_open() && !self.state.title.is_empty() {
            &self.state.title
        } else {
            "A survey of magnetic audio tape"
        }
    }

    pub(super) fn figure(&self, id: &str) -> Option<&Figure> {
        self.figures.headline.get(id)
    }

    /// The strata that figures cover, in order: key and name.
    pub(super) fn strata(&self) -> Vec<(&str, &str)> {
        let keys = self.state.strata.keys().map(ToString::to_string);
        let all = keys.chain(["late".to_owned()]);
        all.filter(|key| self.figure(&format!("{key}.items.total")).is_some())
            .filter_map(|key| self.strata.get_key_value(&key))
            .map(|(key, name)| (key.as_str(), name.as_str()))
            .collect()
    }

    pub(super) fn stratum_name(&self, key: &str) -> String {
        self.strata.get(key).cloned().unwrap_or_else(|| key.to_owned())
    }

    pub(super) fn stratum_of(&self, serial: Serial) -> Option<DrawStratum> {
        self.state.draw.as_ref()?.stratum_of(serial)
    }

    /// A survey-wide text that somebody typed.
    pub(super) fn text(&self, question: &str) -> Option<&'a str> {
        match self.state.answer(Subject::Survey, question) {
            Some(tape::Answer::Text(text)) if !text.trim().is_empty() => Some(text.trim()),
            _ => None,
        }
    }

    /// Who wrote an entry, if they may be named and said who they are.
    pub(super) fn person(&self, entry: EntryId) -> Option<&'a str> {
        let writer = self.state.writers.get(&entry.writer)?;
        (self.is_open() && !writer.person.trim().is_empty()).then(|| writer.person.trim())
    }

    /// The day of an entry, by the clock of the device that wrote it.
    pub(super) fn day(&self, entry: EntryId) -> Option<Day> {
        Day::from_ms(self.log.entry(entry)?.at_ms)
    }

    /// An estimate with its interval: `9800 (9200 to 10 500)`, each number with its id; `0 (at most 140)` where none was
    /// seen, so that there is an upper limit alone; nothing where it was not made.
    pub(super) fn estimate(&self, id: &str, shape: Shape) -> Option<Line> {
        let figure = self.figure(id).or_else(|| self.judged.get(id))?;
        let (Some(low), Some(high)) = (figure.low, figure.high) else {
            return Some(ranged(id, figure.estimate, figure.low, figure.high, shape));
        };
        let is = |a: f64, b: f64| (a - b).abs() < f64::EPSILON;
        let none = is(figure.estimate, 0.0) && is(low, 0.0) && high > 0.0;
        let all = figure.measure == Measure::Share && is(figure.estimate, 1.0) && is(high, 1.0) && low < 1.0;
        if !(none || all) {
            return Some(ranged(id, figure.estimate, Some(low), Some(high), shape));
        }
        let [estimate, low_shown, high_shown] = shape.three(figure.estimate, low, high);
        let line = fig(id, estimate);
        Some(if none {
            line.w(" (at most ").fig(format!("{id}.high"), high_shown).w(")")
        } else {
            line.w(" (at least ").fig(format!("{id}.low"), low_shown).w(")")
        })
    }

    /// `, 1 not found or not opened, 1 out of scope`: what became of the drawn boxes that were neither counted nor stopped.
    pub(super) fn not_in_reach(&self) -> Line {
        let sample = &self.figures.sample;
        let told = [
            (
                "sample.n_not_reached",
                sample.n_not_reached,
                " not found or not opened",
            ),
            (
                "sample.n_out_of_scope",
                sample.n_out_of_scope,
                " out of scope or listed twice",
            ),
        ];
        let there = told.into_iter().filter(|(_, n, _)| *n > 0);
        there.fold(Line::default(), |line, (id, n, what)| {
            line.w(", ").n(id, n).w(what)
        })
    }

    /// In how many boxes a class was met, those no figure rests on among them.
    pub(super) fn boxes_met(&self, class: &str) -> usize {
        self.boxes_met.get(class).copied().unwrap_or(0)
    }

    /// A figure of [`outside::judged`].
    pub(super) fn judged(&self, id: &str) -> Option<&Figure> {
        self.judged.get(id)
    }

    /// About how many, of a figure of [`outside::judged`], without its interval: it says how far a judgement reaches, and the
    /// judgement has none.
    pub(super) fn judged_about(&self, id: &str) -> Option<Line> {
        let figure = self.judged(id)?;
        Some(alone(id, figure.estimate))
    }

    /// Drawn boxes that answer for all they hold, and those that would if they were not judged to hold nothing.
    pub(super) fn n_whole(&self, id: &str) -> (usize, usize) {
        let of = |all: &BTreeMap<String, usize>| all.get(id).copied().unwrap_or(0);
        (of(&self.whole), of(&self.empty))
    }

    /// A simulated quantity with its range; nothing where it was not made, or where no draw has any of it.
    pub(super) fn simulated(&self, id: &str, shape: Shape) -> Option<Line> {
        spanned(&format!("outlook.{id}"), self.span(id)?, shape)
    }

    /// The same for a cell of a table, which says in words why no draw has any of it.
    pub(super) fn simulated_or_why(&self, id: &str, shape: Shape) -> Option<Line> {
        self.span(id)?;
        let line = self.simulated(id, shape);
        Some(line.unwrap_or_else(|| w(uncosted::why(self, id))))
    }

    pub(super) fn span(&self, id: &str) -> Option<Span> {
        self.outlook.as_ref().ok()?.quantities.get(id).copied()
    }

    /// Seen of known, counted as they lay there, and boxes that were stopped and answer for all they hold.
    pub(super) fn seen(&self, id: &str) -> Line {
        self.told_seen(id, false)
    }

    /// The same with the number of boxes in which it was seen: boxes are what was drawn.
    pub(super) fn seen_in_boxes(&self, id: &str) -> Line {
        self.told_seen(id, true)
    }

    fn told_seen(&self, id: &str, with_boxes: bool) -> Line {
        let counts = self
            .figure(id)
            .and_then(|figure| figure.n_seen.zip(figure.n_known));
        let Some((seen, known)) = counts else {
            return Line::default();
        };
        let mut line = fig(format!("{id}.seen"), seen.to_string())
            .w(" of ")
            .fig(format!("{id}.known"), known.to_string());
        let bare = id.rsplit_once('.').map_or(id, |(bare, _)| bare);
        if let Some(n) = self.by_smell.get(bare) {
            line = line
                .w(" (")
                .n(format!("{id}.by_smell"), *n)
                .w(" of these by a musty smell alone)");
        }
        let boxes = self
            .figure(id)
            .and_then(|figure| figure.n_boxes)
            .filter(|n| *n > 0);
        if let (true, Some(n)) = (with_boxes, boxes) {
            let n = usize::try_from(n).unwrap_or(usize::MAX);
            line = line.w(", in ").of(format!("{id}.boxes"), n, "box", "boxes");
        }
        let (whole, empty) = self.n_whole(bare);
        if whole > 0 {
            line = line
                .w(", and ")
                .of(format!("{id}.whole_boxes"), whole, "stopped box", "stopped boxes");
        }
        if empty > 0 {
            line = line
                .w(", and ")
                .of(format!("{id}.empty_boxes"), empty, "stopped box", "stopped boxes")
                .w(" judged to hold none");
        }
        line
    }

    /// `95%`, the level of the figures' intervals.
    pub(super) fn level() -> Line {
        let level = analysis::figures::options().level;
        fig("level.figures", format!("{}%", as_given(level * 100.0)))
    }

    /// `90%`, the level of simulated ranges.
    pub(super) fn simulated_level() -> Line {
        let level = Settings::default().level;
        fig("level.outlook", format!("{}%", as_given(level * 100.0)))
    }
}

/// Boxes that answer for all they hold, counted in the whole collection and by stratum.
fn whole_boxes(state: &State) -> BTreeMap<String, usize> {
    let tables = records::items(state, Basis::Headline);
    let mut whole = BTreeMap::new();
    let rows = tables.items.iter().filter(|row| row.item_id == WHOLE_BOX);
    for row in rows {
        for (column, value) in tables.columns.iter().zip(&row.values) {
            if value.is_some_and(|value| value > 0.5) {
                let id = match column.name.strip_prefix(ACTION_PREFIX) {
                    Some(class) => format!("action.{class}"),
                    None => format!("condition.{}", column.name),
                };
                *whole.entry(format!("{}.{id}", row.stratum)).or_insert(0) += 1;
                *whole.entry(id).or_insert(0) += 1;
            }
        }
    }
    whole
}

/// Boxes that were judged to hold nothing, by what they showed.
fn empty_boxes(state: &State) -> BTreeMap<String, usize> {
    let mut empty = BTreeMap::new();
    for found in outside::judged_empty(state) {
        for id in found.shown {
            *empty.entry(format!("{}.{id}", found.stratum)).or_insert(0) += 1;
            *empty.entry(id).or_insert(0) += 1;
        }
    }
    empty
}

/// `, given these assumptions (90% range)`: stands wherever a simulated figure does, for its level is not the figures'.
pub(super) fn given() -> Line {
    w(", given these assumptions (")
        .add(Facts::simulated_level())
        .w(" range)")
}
