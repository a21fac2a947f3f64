//! What a part of the money does: the steps between nothing and all of it, for those who may give a part.

use crate::outlook::{Bought, Outlook, Span, span};

/// The parts of the mean cost that are told, 0 to 1.
pub const LADDER: [f64; 4] = [0.25, 0.5, 0.75, 1.0];

/// What one part of the mean cost does.
#[derive(Clone, Debug, PartialEq)]
pub struct Rung {
    /// The part of the mean cost, 0 to 1.
    pub part: f64,
    /// That much money, in the set's currency.
    pub money: f64,
    /// Items done.
    pub items: Span,
    /// Items left.
    pub left: Span,
    /// The chance that all of it is done.
    pub chance_of_all: f64,
    /// What is done of each class, in the order of the collection's classes.
    pub bought: Vec<Bought>,
}

impl Outlook {
    /// What [`LADDER`] of the mean cost do, each as [`Outlook::buys`] spends it; nothing where nothing has a price.
    ///
    /// All of the mean is not all of the work: in about half of the draws the cost lies above its mean.
    #[must_use]
    pub fn ladder(&self) -> Vec<Rung> {
        let level = self.settings().level;
        let Some(cost) = self.range("cost.total").filter(|cost| cost.mean > 0.0) else {
            return Vec::new();
        };
        let all = self.draws("items");
        LADDER
            .into_iter()
            .filter_map(|part| {
                let money = part * cost.mean;
                let (bought, done) = self.spent(money);
                let left: Vec<f64> = all
                    .iter()
                    .zip(&done)
                    .map(|(all, done)| (all - done).max(0.0))
                    .collect();
                Some(Rung {
                    part,
                    money,
                    items: span(&done, level)?,
                    left: span(&left, level)?,
                    chance_of_all: self.chance_within("cost.total", money)?,
                    bought,
                })
            })
            .collect()
    }

    /// Mean and interval of several quantities added up, less others, draw by draw; nothing where one of them is missing.
    #[must_use]
    pub fn range_of(&self, plus: &[String], minus: &[String]) -> Option<Span> {
        let mut together = vec![0.0; self.n_draws()];
        for (ids, sign) in [(plus, 1.0), (minus, -1.0)] {
            for id in ids {
                let draws = self.draws(id);
                if draws.is_empty() {
                    return None;
                }
                together
                    .iter_mut()
                    .zip(draws)
                    .for_each(|(sum, draw)| *sum += sign * draw);
            }
        }
        span(&together, self.settings().level)
    }
}
