//! What a part of the money does: for those who may give a quarter, a half or three quarters of it.

use costing::{Bought, Rung, Span};

use super::board::currency;
use super::classes::named;
use super::facts::{COUNT, Facts, Shape, percent, ranged};
use super::line::{Line, fig, said, w};
use super::numbers::Unit;
use super::page::Page;

/// Names of the parts, in their order.
const NAMES: [(&str, &str); 4] = [
    ("quarter", "A quarter"),
    ("half", "Half"),
    ("three_quarters", "Three quarters"),
    ("all", "All of the mean"),
];
/// From this chance on a class is called finished.
const FINISHED: f64 = 0.95;

/// The steps; none where nothing has a price.
pub(super) fn rungs(facts: &Facts<'_>) -> Vec<Rung> {
    facts
        .plan
        .outlook
        .as_ref()
        .map(costing::Outlook::ladder)
        .unwrap_or_default()
}

/// The table: money, and what is done and left for it.
pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    let rungs = rungs(facts);
    if rungs.is_empty() {
        return;
    }
    page.element("h3", "What a part of the money does");
    page.p(&w(
        "The money goes to the most pressing class first, after what comes once whatever is done. An item of a class costs \
         what its mean item costs. All of the mean cost is not enough in every draw: the upper end of the range is.",
    ));
    let mut header = vec![
        w("Given these assumptions: mean and ")
            .add(Facts::simulated_level())
            .w(" range"),
    ];
    header.extend(NAMES.iter().map(|(_, name)| w(name)));
    let id = |at: usize, what: &str| format!("outlook.ladder.{}.{what}", NAMES[at].0);
    let each = |cell: &dyn Fn(usize, &Rung) -> Line| {
        rungs
            .iter()
            .enumerate()
            .map(|(at, rung)| cell(at, rung))
            .collect::<Vec<_>>()
    };
    let row = |label: Line, cells: Vec<Line>| [label].into_iter().chain(cells).collect::<Vec<_>>();
    let mut rows = vec![row(
        w("Money"),
        each(&|at, rung| {
            said(currency(facts))
                .w("\u{a0}")
                .add(money(&id(at, "money"), rung.money))
        }),
    )];
    for (place, class) in tape::actions().iter().enumerate() {
        let is_there = |rung: &Rung| {
            rung.bought.get(place).is_some_and(|_| {
                facts
                    .span(&format!("class.{}.items", class.key))
                    .is_some_and(|items| items.high >= 0.5)
            })
        };
        if !rungs.iter().all(is_there) {
            continue;
        }
        let cells = each(&|at, rung| done(&id(at, class.key), &rung.bought[place]));
        rows.push(row(w("Done of ").add(named(class)), cells));
    }
    rows.push(row(
        w("Items done in all"),
        each(&|at, rung| spanned(&id(at, "items"), rung.items, COUNT)),
    ));
    rows.push(row(
        w("Items left"),
        each(&|at, rung| spanned(&id(at, "left"), rung.left, COUNT)),
    ));
    rows.push(row(
        w("Draws in which it is enough for all"),
        each(&|at, rung| in_draws(&id(at, "chance"), rung.chance_of_all)),
    ));
    page.grid(
        "What a part of the mean cost does, in this order",
        &header,
        &[1, 2, 3, 4],
        &rows,
    );
}

/// In one sentence, for the page for those who decide.
pub(super) fn in_short(facts: &Facts<'_>) -> Option<Line> {
    let rungs = rungs(facts);
    let mut line = Line::default();
    for (at, rung) in rungs.iter().enumerate().take(3) {
        let (key, name) = NAMES[at];
        line = line
            .w(if at == 0 { "" } else { ", " })
            .w(&if at == 0 {
                name.to_owned()
            } else {
                name.to_lowercase()
            })
            .w(if at == 0 {
                " of that money does about "
            } else {
                " about "
            })
            .add(spanned(&format!("outlook.ladder.{key}.items"), rung.items, COUNT));
        if at == 0 {
            line = line.w(" tapes, most pressing first");
        }
    }
    (!line.is_empty()).then(|| line.w("."))
}

/// What is done of a class.
fn done(id: &str, bought: &Bought) -> Line {
    if bought.chance_of_all >= FINISHED {
        return w("all, in ")
            .add(percent(format!("{id}.all"), bought.chance_of_all))
            .w(" of the draws");
    }
    spanned(id, bought.items, COUNT)
}

fn in_draws(id: &str, chance: f64) -> Line {
    if chance > 0.0 {
        percent(id, chance)
    } else {
        fig(id, "none")
    }
}

fn money(id: &str, sum: f64) -> Line {
    fig(id, Unit::of(sum, None, None, Unit::ONE).shown(sum))
}

/// A simulated number with its range where the mean lies in it. Of what happens in few draws the mean can lie outside: then
/// it is said in words.
pub(super) fn spanned(id: &str, span: Span, shape: Shape) -> Line {
    let unit = Unit::of(span.mean, Some(span.low), Some(span.high), Unit::ONE);
    let is_nothing = unit.shown(span.high) == Unit::ONE.shown(0.0);
    if is_nothing {
        w("none in most draws")
    } else if span.mean > span.high {
        w("at most ")
            .fig(format!("{id}.high"), unit.shown(span.high))
            .w(" in most draws")
    } else {
        ranged(id, span.mean, Some(span.low), Some(span.high), shape)
    }
}
