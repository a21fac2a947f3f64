//! The same sums once, with every assumption at its likely value and nothing drawn: what a spreadsheet can follow.

use crate::assumptions::Assumptions;
use crate::bootstrap::Factors;
use crate::collection::Collection;
use crate::outlook::Outlook;
use crate::range::Range;
use crate::simulate::{Settings, Simulation, SimulationError};
use crate::stratum::Shared;

/// What of a class is put in (cassettes) or threaded by hand (reels), in the whole collection.
#[derive(Clone, Debug, PartialEq)]
pub struct Pile {
    /// The class's key.
    pub class: String,
    /// Whether these are threaded by hand.
    pub by_hand: bool,
    /// Items.
    pub items: f64,
    /// Hours of sound.
    pub content_hours: f64,
    /// Hours a machine runs.
    pub machine_hours: f64,
    /// Hours of sound times channels at once.
    pub channel_hours: f64,
}

/// A collection at the sample's own estimate, and what follows from likely values.
#[derive(Clone, Debug, PartialEq)]
pub struct Likely {
    /// What the sums rest on: two piles a class, cassettes first.
    pub piles: Vec<Pile>,
    /// Every quantity by its id, as [`Outlook`] names them, in one draw.
    pub sums: Outlook,
}

impl Likely {
    /// A quantity; 0 for an id that there is not.
    #[must_use]
    pub fn sum(&self, id: &str) -> f64 {
        self.sums.draws(id).first().copied().unwrap_or(0.0)
    }
}

/// Sums with each assumption at its likely value, each item at the mean of its own range, and no other sample than the one
/// that was drawn.
///
/// Not the middle of the simulation's ranges: a mean of low, likely and high lies elsewhere than the likely value.
///
/// # Errors
/// See [`SimulationError`].
pub fn likely(collection: &Collection, assumptions: &Assumptions) -> Result<Likely, SimulationError> {
    let mut still = collection.clone();
    for stratum in &mut still.strata {
        for item in stratum.sampled.iter_mut().flat_map(|b| b.read.iter_mut()) {
            if let Some(playing) = &mut item.playing {
                playing.pass_hours = Range::exactly(playing.pass_hours.mean());
            }
        }
    }
    let mut simulation = Simulation::new(&still, assumptions, &Settings::default())?;
    let boxes = still.strata.iter().map(|s| s.sampled.len()).sum();
    let factors = Factors {
        boxes: vec![1.0; boxes],
        items: vec![1.0; still.items().count()],
    };
    let shared: Vec<Shared> = still.groups.iter().map(|_| Shared::none()).collect();
    let mut strata = simulation.strata(&factors, simulation.judged_at_likely(), &shared);
    simulation.put_right_at_likely(&mut strata);
    let mut piles = Vec::new();
    for (index, class) in still.classes.iter().enumerate() {
        for by_hand in [false, true] {
            let mut pile = Pile {
                class: class.key.clone(),
                by_hand,
                items: 0.0,
                content_hours: 0.0,
                machine_hours: 0.0,
                channel_hours: 0.0,
            };
            for by_class in &strata {
                let amounts = by_class[index][usize::from(by_hand)];
                pile.items += amounts.items;
                pile.content_hours += amounts.content;
                pile.machine_hours += amounts.machine;
                pile.channel_hours += amounts.channel;
            }
            piles.push(pile);
        }
    }
    simulation.at_likely(&strata);
    Ok(Likely {
        piles,
        sums: simulation.finish(),
    })
}

#[cfg(test)]
mod tests {
    use super::likely;
    use crate::{
        Assumptions, Class, Collection, Item, Playing, Range, SampledBox, Settings, Stratum, Value, simulate,
    };

    fn item(class: usize, by_hand: bool, hours: Range) -> Item {
        let playing = Playing {
            pass_hours: hours,
            slower: Range::of(0.5, 1.0, 2.0),
            passes: Range::of(1.0, 2.0, 4.0),
            tracks: Range::of(1.0, 2.0, 4.0),
            group: 0,
        };
        Item {
            class,
            by_hand,
            playing: Some(playing),
        }
    }

    fn collection() -> Collection {
        let class = |key: &str, repair| Class {
            key: key.to_owned(),
            clean: false,
            repair,
            specialist: false,
        };
        let sampled = |n: u64| SampledBox {
            n_items: Some(n),
            judged: false,
            read: vec![
                item(0, true, Range::of(0.2, 0.5, 1.0)),
                item(1, false, Range::exactly(0.75)),
            ],
        };
        Collection {
            classes: vec![class("bad", true), class("good", false)],
            groups: vec!["all".to_owned()],
            strata: vec![Stratum {
                key: "S1".to_owned(),
                n_boxes: 40,
                sampled: (2..12).map(sampled).collect(),
            }],
            learned: None,
        }
    }

    fn priced(range: Range) -> Assumptions {
        let value = Value {
            range,
            source: "quotation".to_owned(),
            date: "2031-05-02".to_owned(),
        };
        Assumptions {
            currency: "EUR".to_owned(),
            values: [("money.labour".to_owned(), value)].into(),
            ..Assumptions::default()
        }
    }

    #[test]
    fn the_sums_are_those_of_a_pencil() {
        let made = likely(&collection(), &priced(Range::of(20.0, 30.0, 100.0))).unwrap();
        // 65 items in 10 of 40 boxes: 260; each box's items stand half for each of the two read.
        let items: f64 = made.piles.iter().map(|pile| pile.items).sum();
        assert!((items - 260.0).abs() < 1e-9, "{items}");
        assert!((made.piles[1].items - 130.0).abs() < 1e-9);
        // Steps of a quarter, a half, a quarter: speed 1.125, passes 2.25.
        let hours = 130.0 * (1.7 / 3.0) * 1.125 * 2.25;
        assert!((made.piles[1].content_hours - hours).abs() < 1e-9);
        let money = made.sum("staff_hours") * 30.0;
        assert!((made.sum("cost.total") - money).abs() < 1e-9 && money > 0.0);
    }

    #[test]
    fn where_every_assumption_is_exact_the_simulation_lies_around_it() {
        let set = priced(Range::exactly(30.0));
        let settings = Settings {
            draws: 20_000,
            ..Settings::default()
        };
        let drawn = simulate(&collection(), &set, &settings).unwrap();
        let made = likely(&collection(), &set).unwrap();
        for id in ["items", "content_hours", "channel_hours", "machine_hours"] {
            let draws = drawn.draws(id);
            let n = 20_000.0;
            let mean = draws.iter().sum::<f64>() / n;
            let variance = draws.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / n;
            let apart = (mean - made.sum(id)).abs();
            // Four standard errors, and a thousandth for what the cut at 0 and the ratio of a resampled mean add.
            let allowed = 4.0 * (variance / n).sqrt() + 0.01 * made.sum(id);
            assert!(apart <= allowed, "{id}: {mean} and {}", made.sum(id));
        }
    }
}
