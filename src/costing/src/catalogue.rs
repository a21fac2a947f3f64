//! What an assumption can be about: times, parts and prices, each with its unit. No price has a value of ours.

use crate::range::Range;

/// What an assumption's value is multiplied by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Driver {
    /// Items in scope.
    Items,
    /// Items of the classes that are cleaned first.
    ItemsToClean,
    /// Items of the classes that are repaired.
    ItemsToRepair,
    /// Items of the classes that a specialist assesses first.
    ItemsForSpecialist,
    /// Boxes of the frame.
    Boxes,
    /// Hours of sound.
    ContentHours,
    /// Hours that a machine runs.
    MachineHours,
    /// Hours of people.
    StaffHours,
    /// Gigabytes (10⁹ bytes) kept, all copies, times years.
    GigabyteYears,
    /// Once.
    Once,
    /// A percentage of what people's hours cost.
    PercentOfLabour,
    /// A percentage of everything before it.
    PercentOfAll,
}

/// What kind of value it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Minutes an item.
    Minutes,
    /// A part of 1.
    Part,
    /// What a number that somebody judged is multiplied by.
    Factor,
    /// Money, in the set's currency, by the driver; a percentage for the two drivers that say so.
    Money,
}

/// One thing to assume.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Entry {
    /// Key, in files and results.
    pub key: &'static str,
    /// What it is, in a planner's words.
    pub label: &'static str,
    /// What kind of value.
    pub kind: Kind,
    /// What the value is multiplied by.
    pub driver: Driver,
    /// The value unless the planner says otherwise; none for money.
    pub default: Option<Range>,
    /// Where that default comes from.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";

/// Key of what the items are multiplied by that somebody judged a box to hold without opening it.
pub(crate) const OUTSIDE: &str = "part.outside";

const fn time(key: &'static str, label: &'static str, low: f64, likely: f64, high: f64) -> Entry {
    Entry {
        key,
        label,
        kind: Kind::Minutes,
        driver: Driver::Items,
        default: Some(Range::of(low, likely, high)),
        source: PRACTICE,
    }
}

const fn part(
    key: &'static str,
    label: &'static str,
    driver: Driver,
    low: f64,
    likely: f64,
    high: f64,
) -> Entry {
    Entry {
        key,
        label,
        kind: Kind::Part,
        driver,
        default: Some(Range::of(low, likely, high)),
        source: PRACTICE,
    }
}

const fn money(key: &'static str, label: &'static str, driver: Driver) -> Entry {
    Entry {
        key,
        label,
        kind: Kind::Money,
        driver,
        default: None,
        source: "",
    }
}

/// Minutes of people's time for a splice, two to five, times the one to six splices of a repaired item, as low and high.
const REPAIR: Range = Range::of(2.0, 10.0, 30.0);

static CATALOGUE: [Entry; 33] = [
    time("time.setup_reel", "Setting up a reel", 10.0, 15.0, 20.0),
    time("time.setup_cassette", "Setting up a cassette", 5.0, 7.5, 10.0),
    time("time.metadata", "Describing an item", 10.0, 15.0, 20.0),
    Entry {
        driver: Driver::ItemsToRepair,
        default: Some(REPAIR),
        ..time(
            "time.repair",
            "Repairing splices and shells of an item that needs it",
            0.0,
            0.0,
            0.0,
        )
    },
    Entry {
        driver: Driver::ItemsToClean,
        default: None,
        source: "",
        ..time(
            "time.clean",
            "Cleaning an item that needs it, by people equipped for it",
            0.0,
            0.0,
            0.0,
        )
    },
    part(
        "part.attention_reel",
        "People's attention while a reel runs (1: somebody sits by it)",
        Driver::MachineHours,
        1.0,
        1.0,
        1.0,
    ),
    part(
        "part.attention_cassette",
        "People's attention while a cassette runs (under 1: several at once)",
        Driver::MachineHours,
        0.25,
        0.35,
        0.5,
    ),
    part(
        "part.checking",
        "Checking the files, as a part of the hours machines run",
        Driver::MachineHours,
        0.05,
        0.1,
        0.15,
    ),
    Entry {
        key: OUTSIDE,
        label: "Items really there for each one judged from outside",
        kind: Kind::Factor,
        driver: Driver::Items,
        // Even on both sides, so that what is planned for is on average what the sample says.
        default: Some(Range::of(0.5, 1.0, 1.5)),
        source: "half as few to half as many again: a judgement, no source",
    },
    money("money.selection", "Selecting and listing", Driver::Items),
    money("money.inspection", "Inspecting", Driver::Items),
    money("money.packing", "Packing, a box", Driver::Boxes),
    money("money.transport", "Transport both ways", Driver::Once),
    money("money.insurance", "Insurance", Driver::Once),
    money(
        "money.cleaning",
        "Cleaning and mould work by specialists",
        Driver::ItemsToClean,
    ),
    money("money.repair", "Splices and shells: parts", Driver::ItemsToRepair),
    money(
        "money.specialist",
        "Specialist assessment and treatment",
        Driver::ItemsForSpecialist,
    ),
    money("money.labour", "An hour of staff", Driver::StaffHours),
    money(
        "money.machine",
        "An hour of a machine: upkeep, heads, spares",
        Driver::MachineHours,
    ),
    money(
        "money.equipment",
        "Machines, converters, alignment tapes",
        Driver::Once,
    ),
    money(
        "money.transfer_bought",
        "Transfer bought outside, an hour of sound",
        Driver::ContentHours,
    ),
    money(
        "money.access",
        "Access copies, an hour of sound",
        Driver::ContentHours,
    ),
    money(
        "money.storage",
        "Storage, a gigabyte and year",
        Driver::GigabyteYears,
    ),
    money(
        "money.fixity",
        "Fixity checks, a gigabyte and year",
        Driver::GigabyteYears,
    ),
    money("money.rights", "Rights review", Driver::Items),
    money("money.rehousing", "Re-housing the originals", Driver::Items),
    money("money.space", "Rooms, power, protection", Driver::Once),
    money("money.training", "Training", Driver::Once),
    money("money.management", "Project management", Driver::Once),
    money(
        "money.oncost",
        "Staff oncost, % of labour",
        Driver::PercentOfLabour,
    ),
    money(
        "money.overhead",
        "Overheads, % of everything",
        Driver::PercentOfAll,
    ),
    money(
        "money.contingency",
        "Contingency, % of everything",
        Driver::PercentOfAll,
    ),
    money("money.tax", "Tax, % of everything", Driver::PercentOfAll),
];

/// Everything that can be assumed, in the order of the work.
///
/// ```
/// // No price is ours.
/// use costing::{Kind, catalogue};
/// assert!(catalogue().iter().all(|entry| entry.kind != Kind::Money || entry.default.is_none()));
/// ```
#[must_use]
pub fn catalogue() -> &'static [Entry] {
    &CATALOGUE
}
