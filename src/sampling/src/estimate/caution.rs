//! When an interval rests on too little, or on something that it was not made for.

use crate::interval::blended::BoxAnswers;

/// Something to be said beside the limits of a share.
///
/// ```
/// # let sampling::example::Shelf { design, mould, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// use sampling::estimate::{self, Caution};
/// let share = estimate::share(&part, &mould, &options)?;
/// // Four boxes are few, and so are eight items, and so are two boxes with mould.
/// let said = [Caution::FewDegreesOfFreedom, Caution::FewEffectiveItems, Caution::FewTellingBoxes];
/// assert_eq!(share.cautions, said);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Fewer than 8 degrees of freedom: the variance itself is hardly known (the rule of the US National Center for Health
    /// Statistics, 2017, for review by a statistician).
    FewDegreesOfFreedom,
    /// Worth fewer than 30 independent items (the same rule, for not printing the share at all).
    FewEffectiveItems,
    /// Fewer than 3 boxes have the condition, or lack it: the width rests on the planning correlation.
    FewTellingBoxes,
    /// Every box has it in all items or in none: the sample tells of boxes, not of items, and the limits for boxes belong
    /// beside those of the share, which cover less than they say here.
    AllOrNothing,
}

impl Caution {
    /// A name that stays the same, for texts to be looked up by.
    ///
    /// ```
    /// use sampling::estimate::Caution;
    /// assert_eq!(Caution::AllOrNothing.name(), "all-or-nothing");
    /// ```
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::FewDegreesOfFreedom => "few-degrees-of-freedom",
            Self::FewEffectiveItems => "few-effective-items",
            Self::FewTellingBoxes => "few-telling-boxes",
            Self::AllOrNothing => "all-or-nothing",
        }
    }
}

/// The cautions of a share; none where everything was read.
pub(super) fn cautions(df: f64, effective_items: f64, answers: &[BoxAnswers]) -> Vec<Caution> {
    if answers.iter().all(|b| b.box_fraction * b.item_fraction >= 1.0) {
        return Vec::new();
    }
    let with = answers.iter().filter(|b| b.yes > 0).count();
    let without = answers.iter().filter(|b| b.yes < b.known).count();
    // A box with one known item is all or nothing by itself.
    let several = || answers.iter().filter(|b| b.known > 1);
    let wholly = several().filter(|b| b.yes == b.known).count();
    let all_or_nothing = wholly >= 2 && several().all(|b| b.yes == 0 || b.yes == b.known) && without > 0;
    let found = [
        (Caution::FewDegreesOfFreedom, df < 8.0),
        (Caution::FewEffectiveItems, effective_items < 30.0),
        (Caution::FewTellingBoxes, with.min(without) < 3),
        (Caution::AllOrNothing, all_or_nothing),
    ];
    found
        .into_iter()
        .filter(|(_, is)| *is)
        .map(|(caution, _)| caution)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{BoxAnswers, Caution, cautions};

    fn boxes(answers: &[(u64, u64)]) -> Vec<BoxAnswers> {
        let of = |(known, yes): &(u64, u64)| BoxAnswers {
            known: *known,
            yes: *yes,
            weight: 10.0,
            box_fraction: 0.1,
            item_fraction: 1.0,
        };
        answers.iter().map(of).collect()
    }

    #[test]
    fn each_is_said_where_it_holds() {
        let many = [
            (10, 3),
            (9, 1),
            (12, 5),
            (8, 0),
            (10, 2),
            (11, 4),
            (9, 0),
            (10, 1),
            (10, 6),
            (10, 2),
        ];
        assert!(cautions(9.0, 60.0, &boxes(&many)).is_empty());
        assert_eq!(cautions(7.0, 60.0, &boxes(&many)), [Caution::FewDegreesOfFreedom]);
        assert_eq!(cautions(9.0, 29.0, &boxes(&many)), [Caution::FewEffectiveItems]);
        let rare = [(10, 1), (9, 1), (12, 0), (8, 0), (10, 0), (11, 0)];
        assert_eq!(cautions(9.0, 60.0, &boxes(&rare)), [Caution::FewTellingBoxes]);
        let stark = [(10, 10), (9, 0), (12, 12), (8, 8), (1, 0), (11, 0), (7, 0)];
        assert_eq!(cautions(9.0, 60.0, &boxes(&stark)), [Caution::AllOrNothing]);
        let mut whole = boxes(&rare);
        whole.iter_mut().for_each(|b| b.box_fraction = 1.0);
        assert!(cautions(1.0, 1.0, &whole).is_empty());
    }
}
