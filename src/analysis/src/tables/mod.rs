//! The two tables a statistician reads and writes: every box of the frame, and every drawn item.
//!
//! `boxes.csv`: `stratum,box_id,sampled,items_in_box[,status][,size]`. `items.csv`: `stratum,box_id,item_id,...`, any
//! further column a condition (only 0, 1 or nothing) or a quantity. An item called `*` answers for every item of its box.

mod check;
mod estimates;
#[cfg(test)]
mod tests;
mod text;

pub use check::{File, GREATEST_COUNT, Sample, TableError};
pub use estimates::{
    Bounds, BoxesWith, ConditionEstimates, DesignSummary, Estimates, EstimatesError, QuantityEstimates,
    ShareAndCount, ShareEstimate, StratumSummary, TotalAndMean, TotalEstimate, estimate, estimate_sample,
};
pub use sampling::estimate::Options;

pub(crate) use estimates::{estimate_columns, total_out};

/// What became of a sampled box.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Status {
    /// Opened and counted; its drawn items were looked at. A box that holds nothing is checked.
    #[default]
    Checked,
    /// Drawn, and nobody got to it (or it was not found, or could not be opened): nothing is known of it.
    NotReached,
    /// Work on it was stopped, for a hazard say: what is known of it counts, the rest is never assumed.
    Stopped,
    /// Holds nothing that the survey is about: an answer, with no items.
    OutOfScope,
}

/// One box of the frame.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BoxRow {
    /// The stratum's key.
    pub stratum: String,
    /// The box's identifier, unique within its stratum.
    pub box_id: String,
    /// Whether the box was drawn (in a round that counts).
    pub sampled: bool,
    /// Items in the box: known for every checked box, perhaps for a stopped one.
    pub items_in_box: Option<u64>,
    /// What became of it; [`Status::Checked`] for a box that was not sampled.
    pub status: Status,
    /// A known measure of the box (fullness, length), in any one unit.
    pub size: Option<f64>,
}

/// One drawn item, or an answer that holds for a whole box.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ItemRow {
    /// The stratum of its box.
    pub stratum: String,
    /// Its box.
    pub box_id: String,
    /// The item's identifier, unique in its box; [`WHOLE_BOX`] for an answer that holds for every item of the box.
    pub item_id: String,
    /// One value for each of [`Tables::columns`], in that order; a condition is 0 or 1; `None` is not known.
    pub values: Vec<Option<f64>>,
}

/// The `item_id` of an answer that holds for every item of a box.
pub const WHOLE_BOX: &str = "*";

/// What a column of the items table holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Yes or no: its share and its count are estimated.
    Condition,
    /// A number: its total and its mean are estimated.
    Quantity,
}

/// One column of the items table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its name, unique in the table.
    pub name: String,
    /// Whether it is read as a condition or as a quantity.
    pub kind: Kind,
}

/// Both tables, as they stand in the files.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tables {
    /// Every box of the frame.
    pub boxes: Vec<BoxRow>,
    /// Every drawn item, and the answers for whole boxes.
    pub items: Vec<ItemRow>,
    /// The columns of the items table after its three first.
    pub columns: Vec<Column>,
}
