//! Errors of reading among what would narrow a figure: they are in no range, so a repeat check has no place in the ranking.

use super::facts::Facts;
use super::line::{Line, w};

/// What a repeat check would tell, below the ranking.
pub(super) fn unranked(facts: &Facts<'_>) -> Line {
    let line = w("Not in this order: a repeat check. Errors of reading are not in these ranges. ");
    let Some(twice) = &facts.other_class else {
        return line.w(
            "Nothing was looked at or read twice, so what a repeat check would show is not known: a second person looks again at \
             the drawn items of some boxes, without seeing the first answers.",
        );
    };
    let line = line
        .w("Of ")
        .of("repeat.class.n", twice.n, "item", "items")
        .w(" answered twice ")
        .n("repeat.class.changed", twice.changed)
        .w(" would be in another class of what is to be done by the other answer");
    let line = match most(facts) {
        Some((question, n)) => line
            .w(", most by “")
            .said(question)
            .w("” (")
            .n("repeat.class.most", n)
            .w("): that is to be looked at again first"),
        None => line,
    };
    line.w(
        ". By how much that would narrow a range is not said: two readers can be wrong together, and only a reference reading \
         of some items shows how far.",
    )
}

/// The same as something to do.
pub(super) fn advice(facts: &Facts<'_>) -> Line {
    match (&facts.other_class, most(facts)) {
        (None, _) => w(
            "Let a second person look again at the drawn items of some boxes, without seeing the first answers: how far reading moves \
             these figures is not known.",
        ),
        (Some(_), Some((question, _))) => w("Look again at “")
            .said(question)
            .w("”: there a second answer changed most often what is to be done."),
        (Some(_), None) => Line::default(),
    }
}

/// The question whose second answer moves most items into another class.
fn most(facts: &Facts<'_>) -> Option<(&'static str, usize)> {
    let (key, n) = *facts.other_class.as_ref()?.by_question.first()?;
    Some((tape::question(key)?.short, n))
}
