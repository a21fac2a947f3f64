//! How much there is of a part of the collection, and what keeping it takes.

/// Amounts of one part of the collection.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Amounts {
    pub(crate) items: f64,
    pub(crate) content: f64,
    pub(crate) machine: f64,
    pub(crate) channel: f64,
}

impl Amounts {
    pub(crate) fn add(&mut self, other: Self, times: f64) {
        self.items += other.items * times;
        self.content += other.content * times;
        self.machine += other.machine * times;
        self.channel += other.channel * times;
    }
}

/// Amounts by class, of cassettes and of what is threaded by hand.
pub(crate) type ByClass = Vec<[Amounts; 2]>;

/// Gigabytes (10⁹ bytes) of one copy of the masters: rate × bits / 8 × channel-hours.
pub(crate) fn masters(amounts: &Amounts, storage: &crate::Storage) -> f64 {
    f64::from(storage.rate_hz) * f64::from(storage.bits) / 8.0 * 3600.0 * amounts.channel / 1e9
}

/// Gigabytes of all copies, with what is kept free for growth.
pub(crate) fn kept(amounts: &Amounts, storage: &crate::Storage) -> f64 {
    let access = f64::from(storage.access_kbit_s) * 1000.0 / 8.0 * 3600.0 * amounts.content / 1e9;
    (masters(amounts, storage) * f64::from(storage.copies) + access * f64::from(storage.access_copies))
        * (1.0 + storage.growth_percent / 100.0)
}

pub(crate) fn sum(by_class: &ByClass) -> Amounts {
    let mut total = Amounts::default();
    by_class.iter().for_each(|pair| total.add(sum_pair(pair), 1.0));
    total
}

/// Of several parts together.
pub(crate) fn sum_of(parts: &[ByClass]) -> Amounts {
    let mut total = Amounts::default();
    parts.iter().for_each(|by_class| total.add(sum(by_class), 1.0));
    total
}

pub(crate) fn sum_pair(pair: &[Amounts; 2]) -> Amounts {
    let mut total = pair[0];
    total.add(pair[1], 1.0);
    total
}

pub(crate) fn add(to: &mut ByClass, what: &ByClass, times: f64) {
    for (to, what) in to.iter_mut().zip(what) {
        to[0].add(what[0], times);
        to[1].add(what[1], times);
    }
}
