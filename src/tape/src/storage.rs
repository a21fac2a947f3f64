//! What transfers take: bytes of linear PCM, and people's hours.

use crate::playing::Amount;

/// Bytes in a gigabyte as storage is sold, 10⁹.
pub const GIGABYTE: f64 = 1e9;
/// Bytes in a gibibyte as some systems show it, 2³⁰.
pub const GIBIBYTE: f64 = 1_073_741_824.0;
/// The largest size that the 32-bit field of a WAV or BWF file can hold, in bytes: 2³² - 1.
pub const WAV_LIMIT: u64 = 4_294_967_295;

/// People's hours for an hour of sound: a well-documented tape in good order takes twice its length on average, and a
/// public broadcasters' working group held three times to be more realistic; faults and repairs add to that.
/// Source: IASA TC-04 §5.4.16.
pub const PERSON_HOURS_PER_HOUR: [f64; 2] = [2.0, 3.0];

/// A linear PCM format.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pcm {
    /// Samples a second.
    pub rate_hz: u32,
    /// Bits a sample: a multiple of 8.
    pub bits: u16,
    /// Channels of one file.
    pub channels: u16,
}

impl Pcm {
    /// Bytes a second: rate × bits / 8 × channels. Headers, under 0.1%, are left out.
    pub fn bytes_per_second(self) -> u64 {
        u64::from(self.rate_hz) * u64::from(self.bits) * u64::from(self.channels) / 8
    }

    /// Bytes of so many hours.
    pub fn bytes(self, hours: Amount) -> Amount {
        hours.times(Amount::exactly(as_float(self.bytes_per_second()) * 3600.0))
    }

    /// Minutes of the longest take that fits a file with a 32-bit size; longer takes need RF64, BW64 or splitting.
    /// Nothing for a format without bytes.
    pub fn longest_take_minutes(self) -> Option<f64> {
        let rate = self.bytes_per_second();
        (rate > 0).then(|| as_float(WAV_LIMIT) / as_float(rate) / 60.0)
    }
}

/// People's hours for so many hours of sound: from twice to three times, the latter taken as likely and as most.
pub fn person_hours(content: Amount) -> Amount {
    let [low, high] = PERSON_HOURS_PER_HOUR;
    content.times(Amount {
        low,
        likely: high,
        high,
    })
}

/// Exact below 2⁵³, which is far above any rate or limit here.
#[allow(clippy::cast_precision_loss, reason = "rates and limits are far below 2^53")]
fn as_float(n: u64) -> f64 {
    n as f64
}
