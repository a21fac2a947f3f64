//! The report for people: one page that needs nothing else, runs nothing and says what it rests on.
//!
//! Made from the log wherever it is shown. The page inside a survey file is for those who have no other means; a reader
//! that has this program never opens it.

mod estimates;
mod numbers;
pub(crate) mod page;

use std::collections::BTreeMap;

use analysis::figures::{Figures, Sample};
use survey::{State, Subject};
use tape::Caution;

use crate::day;
use crate::draw_record::source;
use crate::survey_file::Parts;
use numbers::plural;
use page::Page;

/// The page.
#[must_use]
pub fn html(state: &State, figures: &Figures, parts: &Parts) -> String {
    let title = if state.title.is_empty() {
        "A survey"
    } else {
        &state.title
    };
    let mut page = Page::begun(title);
    if state.practice {
        page.note("Practice: this collection is invented.");
    }
    page.element("p", &format!("Written on {} by {}.", parts.date, parts.app));
    for sentence in estimates::headline(figures) {
        page.element("p", &sentence);
    }
    estimates::tables(&mut page, state, figures);
    missing(&mut page, &figures.sample);
    cautions(&mut page, state);
    method(&mut page, state, figures);
    draw(&mut page, state);
    problems(&mut page, state, figures);
    page.ended()
}

fn missing(page: &mut Page, sample: &Sample) {
    page.element("h2", "What was missing");
    let sentences = [
        (
            sample.n_stopped,
            "stopped for a hazard: what was seen counts, the rest is not assumed",
        ),
        (
            sample.n_not_reached,
            "not found or not opened: nothing is known of them",
        ),
        (
            sample.n_out_of_scope,
            "out of scope or listed twice: they hold nothing the survey is about",
        ),
    ];
    for (n, what) in sentences.iter().filter(|(n, _)| *n > 0) {
        page.element(
            "p",
            &format!("{}: {what}.", plural(*n, "drawn box", "drawn boxes")),
        );
    }
    if sentences.iter().all(|(n, _)| *n == 0) {
        page.element("p", "Every drawn box was opened and counted.");
    }
    if sample.n_finished > sample.n_sampled {
        let left_out = sample.n_finished - sample.n_sampled;
        let what = plural(left_out, "finished box", "finished boxes");
        page.element("p", &format!(
            "{what} of a half-done round stay out of these figures, for the order they were visited in was not random; \
             figures.csv has both."
        ));
    }
}

/// What the observations call for, each caution once with how many boxes and items called for it.
fn cautions(page: &mut Page, state: &State) {
    let mut called: BTreeMap<(bool, &str), (&'static Caution, usize)> = BTreeMap::new();
    for subject in state.subjects() {
        let cautions = match subject {
            Subject::Box(_) => tape::cautions_for_box(&state.answers(subject)),
            Subject::Item(item) => tape::cautions_for_item(&state.item_answers(item)),
            Subject::Survey | Subject::Stratum(_) | Subject::Place(_) => continue,
        };
        for caution in cautions {
            called
                .entry((!caution.for_people, caution.key))
                .or_insert((caution, 0))
                .1 += 1;
        }
    }
    page.element("h2", "Cautions");
    if called.is_empty() {
        page.element("p", "Nothing observed so far calls for a caution of its own.");
    }
    for (caution, n) in called.values() {
        let where_seen = plural(*n, "box or item", "boxes and items");
        page.element("h3", caution.title);
        page.element("p", &format!("{} ({where_seen})", caution.text));
    }
}

fn method(page: &mut Page, state: &State, figures: &Figures) {
    page.element("h2", "Method");
    page.element(
        "p",
        "Boxes were drawn at random without replacement within strata, and items at random within boxes where not all \
         were checked. Totals are expansion estimates; shares are ratios with linearised variance; both use the finite \
         population corrections of both stages. A box that holds nothing stays in the sample. What is not known is \
         left out of a share, and its part is shown beside it.",
    );
    let methods: std::collections::BTreeSet<&str> = figures
        .headline
        .values()
        .map(|figure| figure.method.as_str())
        .collect();
    if !methods.is_empty() {
        let methods: Vec<&str> = methods.into_iter().collect();
        page.element("p", &format!("Intervals by: {}.", methods.join("; ")));
    }
    let strata: Vec<String> = state
        .strata
        .iter()
        .map(|(key, name)| format!("{key} {name}"))
        .collect();
    page.element("p", &format!("Strata: {}.", strata.join("; ")));
}

fn draw(page: &mut Page, state: &State) {
    page.element("h2", "The draw");
    let Some(frame) = &state.frame else {
        page.element("p", "The list of boxes is still open; nothing was drawn.");
        return;
    };
    let n_boxes = plural(frame.boxes.len(), "box", "boxes");
    page.element(
        "p",
        &format!("The list was closed with {n_boxes}; a seed draws from a closed list only. Its digest:"),
    );
    page.element("code", &frame.digest);
    page.element(
        "p",
        "Every roll that was ever made is listed: that somebody rolled again cannot be prevented, only seen. Times are \
         by the device's clock.",
    );
    let rows: Vec<Vec<String>> = state
        .rolls
        .iter()
        .map(|roll| {
            let standing = if roll.in_force {
                "in force"
            } else {
                "replaced or undone"
            };
            let at = day::instant(roll.at_ms).unwrap_or_default();
            vec![
                roll.seed.clone(),
                source(roll.source).to_owned(),
                at,
                standing.to_owned(),
            ]
        })
        .collect();
    page.table("Rolls", &["Seed", "From", "At", ""], &rows);
}

fn problems(page: &mut Page, state: &State, figures: &Figures) {
    if state.faults.is_empty() && figures.problems.is_empty() {
        return;
    }
    page.element("h2", "What is left out, and what does not fit together");
    for fault in &state.faults {
        page.note(&crate::verify::fault(fault));
    }
    for problem in &figures.problems {
        page.note(&problem.to_string());
    }
}
