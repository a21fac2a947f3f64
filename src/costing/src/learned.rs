//! What the first transfers taught of the hours, drawn with the rest.

use sampling::math::{normal_quantile, t_quantile};
use sampling::random::Stream;

use crate::amounts::{ByClass, sum_of};
use crate::bootstrap::{Factors, as_float};
use crate::collection::Collection;
use crate::simulate::Settings;
use crate::stratum::expected_hours;

/// Learned hours in the making of draws.
pub(crate) struct Learning {
    hours: f64,
    /// Relative standard deviation, widened for few transfers as the sample's part is for few boxes.
    spread: f64,
    /// Hours that the look makes expect of the sample as it was drawn.
    expected: f64,
    stream: Stream,
    pub(crate) cause: Option<usize>,
}

impl Learning {
    pub(crate) fn new(collection: &Collection, settings: &Settings, cause: Option<usize>) -> Option<Self> {
        let learned = collection.learned?;
        let boxes = collection.strata.iter().map(|s| s.sampled.len()).sum();
        let as_drawn = Factors {
            boxes: vec![1.0; boxes],
            items: vec![1.0; collection.items().count()],
        };
        let tail = 0.5 + settings.level / 2.0;
        let wider = if learned.n > 1 {
            t_quantile(tail, as_float(learned.n - 1)) / normal_quantile(tail)
        } else {
            1.0
        };
        Some(Self {
            hours: learned.hours,
            spread: if learned.hours > 0.0 {
                learned.sd / learned.hours * wider
            } else {
                0.0
            },
            expected: expected_hours(collection, &as_drawn, 1.0),
            stream: Stream::new(&settings.seed, "costing: first transfers"),
            cause,
        })
    }

    /// The relative deviation of one draw.
    pub(crate) fn draw(&mut self) -> f64 {
        // An end of the unit interval has no finite quantile.
        let u = self.stream.unit().clamp(1e-12, 1.0 - 1e-12);
        self.spread * normal_quantile(u)
    }

    /// Makes the hours of a draw those that were learned, moved as the draw of boxes moves what was expected. Machine and
    /// channel hours follow: a tape that plays longer runs longer. How hours lie among classes and strata stays.
    pub(crate) fn put_right(&self, strata: &mut [ByClass], expected: f64, deviation: f64) {
        let drawn = sum_of(strata).content;
        if self.expected <= 0.0 || drawn <= 0.0 {
            return;
        }
        let hours = (self.hours * expected / self.expected * (1.0 + deviation)).max(0.0);
        let times = hours / drawn;
        for amounts in strata.iter_mut().flatten().flatten() {
            amounts.content *= times;
            amounts.machine *= times;
            amounts.channel *= times;
        }
    }
}
