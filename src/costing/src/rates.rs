//! One draw's assumptions, and the hours and money that amounts come to by them.

use crate::amounts::{Amounts, kept, sum_pair};
use crate::assumptions::Assumptions;
use crate::catalogue::{Driver, Entry, Kind, OUTSIDE, catalogue};
use crate::collection::Collection;
use crate::outlook::{Cause, Outlook};
use crate::range::Range;

/// An assumption that is drawn: catalogue's or own.
pub(crate) struct Line {
    pub(crate) id: String,
    /// Key or label.
    pub(crate) name: String,
    pub(crate) kind: Kind,
    pub(crate) driver: Driver,
    pub(crate) range: Range,
    /// Place among the outlook's causes; none where there is no doubt.
    pub(crate) cause: Option<usize>,
}

/// The tasks that people's hours are told apart by.
pub(crate) const TASKS: [&str; 6] = ["setup", "repair", "clean", "transfer", "checking", "metadata"];

/// The lines of a set: percentages of everything come last, whatever the order they were given in. What nothing of the collection
/// rests on is left out.
pub(crate) fn lines(collection: &Collection, assumptions: &Assumptions, outlook: &mut Outlook) -> Vec<Line> {
    let in_use = |entry: &&Entry| entry.key != OUTSIDE || collection.rests_on_judging();
    let of_catalogue = catalogue().iter().filter(in_use).filter_map(|entry| {
        let range = assumptions.range(entry.key)?;
        let id = entry.key.strip_prefix("money.").unwrap_or(entry.key).to_owned();
        Some((id, entry.key.to_owned(), entry.kind, entry.driver, range))
    });
    let own = assumptions.own.iter().enumerate().map(|(n, line)| {
        let id = format!("own.{}", n + 1);
        (id, line.label.clone(), Kind::Money, line.driver, line.value.range)
    });
    let mut all: Vec<_> = of_catalogue.chain(own).collect();
    let last = |driver: Driver| match driver {
        Driver::PercentOfAll => 2,
        Driver::PercentOfLabour => 1,
        _ => 0,
    };
    all.sort_by_key(|(_, _, _, driver, _)| last(*driver));
    all.into_iter()
        .map(|(id, name, kind, driver, range)| {
            let cause = (!range.is_exact()).then(|| outlook.cause(Cause::Assumption(name.clone())));
            Line {
                id,
                name,
                kind,
                driver,
                range,
                cause,
            }
        })
        .collect()
}

/// One draw's assumptions, added up by what they are multiplied by.
pub(crate) struct Rates {
    minutes: [f64; 5],
    attention: [f64; 2],
    checking: f64,
    per: [f64; 12],
    labour_by: f64,
    all_by: f64,
}

impl Rates {
    pub(crate) fn new(lines: &[Line], values: &[f64]) -> Self {
        let of = |id: &str| {
            let found = lines.iter().zip(values).find(|(line, _)| line.id == id);
            found.map_or(0.0, |(_, value)| *value)
        };
        let mut rates = Self {
            minutes: [
                of("time.setup_cassette"),
                of("time.setup_reel"),
                of("time.metadata"),
                of("time.repair"),
                of("time.clean"),
            ],
            attention: [of("part.attention_cassette"), of("part.attention_reel")],
            checking: of("part.checking"),
            per: [0.0; 12],
            labour_by: 1.0,
            all_by: 1.0,
        };
        for (line, value) in lines
            .iter()
            .zip(values)
            .filter(|(line, _)| line.kind == Kind::Money)
        {
            match line.driver {
                Driver::PercentOfLabour => rates.labour_by += value / 100.0,
                Driver::PercentOfAll => rates.all_by *= 1.0 + value / 100.0,
                driver => rates.per[driver as usize] += value,
            }
        }
        rates
    }

    fn price(&self, driver: Driver) -> f64 {
        self.per[driver as usize]
    }

    /// What does not depend on how much of the collection is done.
    pub(crate) fn fixed(&self, boxes: f64) -> f64 {
        (self.price(Driver::Once) + self.price(Driver::Boxes) * boxes) * self.all_by
    }

    /// People's hours by task, and money, of a class's amounts.
    pub(crate) fn class(
        &self,
        class: &crate::Class,
        amounts: &[Amounts; 2],
        storage: &crate::Storage,
    ) -> ([f64; TASKS.len()], f64) {
        let [setup_cassette, setup_reel, metadata, repair, clean] = self.minutes;
        let all = sum_pair(amounts);
        let flag = |holds: bool| f64::from(u8::from(holds));
        let hours = [
            (amounts[0].items * setup_cassette + amounts[1].items * setup_reel) / 60.0,
            flag(class.repair) * all.items * repair / 60.0,
            flag(class.clean) * all.items * clean / 60.0,
            amounts[0].machine * self.attention[0] + amounts[1].machine * self.attention[1],
            all.machine * self.checking,
            all.items * metadata / 60.0,
        ];
        let staff: f64 = hours.iter().sum();
        let money = self.price(Driver::Items) * all.items
            + flag(class.clean) * self.price(Driver::ItemsToClean) * all.items
            + flag(class.repair) * self.price(Driver::ItemsToRepair) * all.items
            + flag(class.specialist) * self.price(Driver::ItemsForSpecialist) * all.items
            + self.price(Driver::ContentHours) * all.content
            + self.price(Driver::MachineHours) * all.machine
            + self.price(Driver::StaffHours) * self.labour_by * staff
            + self.price(Driver::GigabyteYears) * kept(&all, storage) * storage.years;
        (hours, money * self.all_by)
    }

    /// Of a class's money, that which is spent before anything of it is copied: cleaning, by specialists and in people's
    /// hours, and specialists' assessment and treatment.
    pub(crate) fn before(&self, class: &crate::Class, amounts: &[Amounts; 2]) -> f64 {
        let items = sum_pair(amounts).items;
        let flag = |holds: bool| f64::from(u8::from(holds));
        let [.., minutes] = self.minutes;
        let an_hour = self.price(Driver::StaffHours) * self.labour_by;
        let clean = self.price(Driver::ItemsToClean) + minutes / 60.0 * an_hour;
        let specialist = self.price(Driver::ItemsForSpecialist);
        (flag(class.clean) * clean + flag(class.specialist) * specialist) * items * self.all_by
    }
}
