//! Every drawn box with what became of it.

use survey::Subject;
use survey::progress::{BoxStatus, Outcome};
use tape::Answer;

use super::facts::Facts;
use super::line::{Line, fig, said, w};
use super::page::Page;

/// Rows beyond this are counted, not listed: the record of the draw has them.
const MOST: usize = 400;

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    let state = facts.state;
    let Some(draw) = &state.draw else { return };
    let of_round = |round: u32| draw.round(round).into_iter().map(move |drawn| (round, drawn));
    let drawn: Vec<_> = state.rounds.keys().copied().flat_map(of_round).collect();
    let rows = drawn.iter().take(MOST).enumerate().map(|(at, (round, drawn))| {
        let id = format!("drawn.{}", at + 1);
        let number = if facts.is_open() {
            said(drawn.serial.to_string())
        } else {
            fig(id.clone(), (at + 1).to_string())
        };
        let status = state.box_status(drawn.serial);
        vec![
            number,
            said(facts.stratum_name(&drawn.stratum.to_string())),
            fig(format!("{id}.round"), round.to_string()),
            became(status),
            items(facts, drawn.serial, status, &id),
        ]
    });
    let rows: Vec<Vec<Line>> = rows.collect();
    page.grid(
        "Every drawn box, in the order of the rounds (nought: boxes found after the draw)",
        &["Box", "Stratum", "Round", "What became of it", "Items"].map(Line::from),
        &[2],
        &rows,
    );
    if drawn.len() > MOST {
        page.p(&w("And ")
            .n("drawn.more", drawn.len() - MOST)
            .w(" more boxes: see the record of the draw."));
    }
}

fn became(status: BoxStatus) -> Line {
    w(match status {
        BoxStatus::Finished(Outcome::Checked) => "opened and counted",
        BoxStatus::Finished(Outcome::Stopped) => "stopped for a hazard",
        BoxStatus::Finished(Outcome::Uncounted) => "opened, not counted",
        BoxStatus::Finished(Outcome::NotReached) => "not found or not opened",
        BoxStatus::Finished(Outcome::OutOfScope) => "out of scope or listed twice",
        _ => "not finished",
    })
}

/// How many items it holds, and how that is known.
fn items(facts: &Facts<'_>, serial: survey::Serial, status: BoxStatus, id: &str) -> Line {
    let BoxStatus::Finished(outcome) = status else {
        return Line::default();
    };
    match outcome {
        Outcome::Checked => match facts.state.n_items(serial) {
            Some(n) => {
                let looked = facts.state.positions(serial).len();
                fig(format!("{id}.items"), n.to_string())
                    .w(" counted, ")
                    .fig(format!("{id}.looked"), looked.to_string())
                    .w(" looked at")
            }
            None => Line::default(),
        },
        Outcome::Stopped | Outcome::Uncounted => {
            match facts.state.answer(Subject::Box(serial), "count_outside_guess") {
                Some(Answer::Number(n)) => {
                    fig(format!("{id}.items"), format!("{n:.0}")).w(" judged from outside")
                }
                _ => w("not known"),
            }
        }
        Outcome::NotReached => w("not known"),
        Outcome::OutOfScope => Line::default(),
    }
}
