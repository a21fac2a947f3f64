//! Takes too long for a file whose size is a 32-bit number.

use survey::State;
use survey::id::ItemId;
use tape::storage::WAV_LIMIT;

use crate::figures::options;
use crate::records::{self, Basis};
use crate::tables::{self, Column, ConditionEstimates, Kind, WHOLE_BOX};

/// Items of which one pass, run at its likely playing time, fills a file beyond 2³² - 1 bytes.
#[derive(Clone, Debug, PartialEq)]
pub struct LongTakes {
    /// Items looked at with such a pass.
    pub n_seen: u64,
    /// Items looked at whose playing time can be said.
    pub n_known: u64,
    /// Share and number in the whole collection, like any condition's.
    pub estimates: ConditionEstimates,
}

/// How many items have a pass that a file of this rate cannot hold; nothing where no estimate can be made.
#[must_use]
pub fn long_takes(state: &State, rate_hz: u32, bits: u16) -> Option<LongTakes> {
    const NAME: &str = "long_take";
    let mut tables = records::items(state, Basis::Headline);
    tables.columns = vec![Column {
        name: NAME.to_owned(),
        kind: Kind::Condition,
    }];
    let (mut n_seen, mut n_known) = (0, 0);
    for row in &mut tables.items {
        let is_long = if row.item_id == WHOLE_BOX {
            None
        } else {
            row.box_id
                .parse()
                .ok()
                .zip(row.item_id.parse().ok())
                .and_then(|(serial, position)| is_long(state, ItemId { serial, position }, rate_hz, bits))
        };
        n_known += u64::from(is_long.is_some());
        n_seen += u64::from(is_long == Some(true));
        row.values = vec![is_long.map(|long| f64::from(u8::from(long)))];
    }
    let estimates = tables::estimate(&tables, &options())
        .ok()?
        .conditions
        .remove(NAME)?;
    Some(LongTakes {
        n_seen,
        n_known,
        estimates,
    })
}

fn is_long(state: &State, item: ItemId, rate_hz: u32, bits: u16) -> Option<bool> {
    let playing = tape::playing(&state.item_answers(item))?;
    let channels = playing.tracks.likely / playing.passes.likely;
    let bytes = f64::from(rate_hz) * f64::from(bits) / 8.0 * channels * playing.pass_hours.likely * 3600.0;
    #[allow(clippy::cast_precision_loss, reason = "2^32 - 1 is exact")]
    let limit = WAV_LIMIT as f64;
    Some(bytes > limit)
}
