//! How a number and its range are shown, one way everywhere.

use costing::Span;

use super::line::{Line, fig};
use super::numbers::Unit;

/// How a number is shown.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shape {
    times: f64,
    least: Unit,
    after: &'static str,
}

/// A whole number.
pub(super) const COUNT: Shape = Shape {
    times: 1.0,
    least: Unit::ONE,
    after: "",
};
/// A share as a percentage.
pub(super) const PERCENT: Shape = Shape {
    times: 100.0,
    least: Unit::TENTH,
    after: "%",
};
/// A difference of two shares.
pub(super) const POINTS: Shape = Shape {
    times: 100.0,
    least: Unit::TENTH,
    after: " points",
};
/// A quantity to a tenth at most.
pub(super) const AMOUNT: Shape = Shape {
    times: 1.0,
    least: Unit::TENTH,
    after: "",
};
/// Gigabytes as gibibytes.
pub(super) const GIBI: Shape = Shape {
    times: tape::storage::GIGABYTE / tape::storage::GIBIBYTE,
    least: Unit::TENTH,
    after: "",
};

impl Shape {
    /// The two ends of a range about 0, rounded alike.
    pub(super) fn all_shown(self, ends: [f64; 2]) -> [String; 2] {
        let [a, b] = ends.map(|end| end * self.times);
        let unit = Unit::of(a.max(b), Some(-a), Some(b), self.least);
        [a, b].map(|end| self.with_unit(&unit.shown(end)))
    }

    /// A number and the ends of its range, rounded alike.
    pub(super) fn three(self, estimate: f64, low: f64, high: f64) -> [String; 3] {
        let [estimate, low, high] = [estimate, low, high].map(|number| number * self.times);
        let unit = Unit::of(estimate, Some(low), Some(high), self.least);
        [estimate, low, high].map(|number| self.with_unit(&unit.shown(number)))
    }

    /// The shown digits with what stands after them: `1 point`, `2 points`.
    fn with_unit(self, shown: &str) -> String {
        let after = if shown == "1" && self.after == POINTS.after {
            " point"
        } else {
            self.after
        };
        format!("{shown}{after}")
    }
}

/// A number with its range, all rounded alike.
pub(super) fn ranged(id: &str, estimate: f64, low: Option<f64>, high: Option<f64>, shape: Shape) -> Line {
    let by = |number: f64| number * shape.times;
    let unit = Unit::of(by(estimate), low.map(by), high.map(by), shape.least);
    let shown = |number: f64| shape.with_unit(&unit.shown(by(number)));
    let line = fig(id, shown(estimate));
    match (low, high) {
        (Some(low), Some(high)) => line
            .w(" (")
            .fig(format!("{id}.low"), shown(low))
            .w(" to ")
            .fig(format!("{id}.high"), shown(high))
            .w(")"),
        _ => line.w(" (no interval)"),
    }
}

/// A simulated number with its range. Where nearly all draws have none of it the range is nought to nought and holds no mean,
/// so that is said instead; nothing of what no draw has any of, which is no number that is known: see [`super::uncosted`].
pub(super) fn spanned(id: &str, span: Span, shape: Shape) -> Option<Line> {
    if span.low < 0.0 || span.high > 0.0 {
        return Some(ranged(id, span.mean, Some(span.low), Some(span.high), shape));
    }
    let [mean, ..] = shape.three(span.mean, 0.0, 0.0);
    (span.mean > 0.0).then(|| fig(id, mean).w(" (none in most draws)"))
}

/// A number without a range, to three figures.
pub(super) fn alone(id: impl Into<String>, number: f64) -> Line {
    fig(id, Unit::of(number, None, None, Unit::ONE).shown(number))
}

/// A percentage by itself.
pub(super) fn percent(id: impl Into<String>, share: f64) -> Line {
    let unit = Unit::of(share * 100.0, None, None, Unit::TENTH);
    fig(id, format!("{}%", unit.shown(share * 100.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_point_is_one() {
        assert_eq!(POINTS.all_shown([0.011, 0.11]), ["1 point", "11 points"]);
        assert_eq!(POINTS.all_shown([0.02, 0.03]), ["2.0 points", "3.0 points"]);
    }

    #[test]
    fn a_range_that_holds_no_mean_is_told_in_words() {
        let of = |mean, high| {
            spanned(
                "x",
                Span {
                    mean,
                    low: 0.0,
                    median: 0.0,
                    high,
                },
                COUNT,
            )
            .map(|line| line.plain())
        };
        assert_eq!(of(3.0, 0.0).as_deref(), Some("3 (none in most draws)"));
        assert_eq!(of(3.0, 12.0).as_deref(), Some("3 (0 to 12)"));
        // What no draw has any of is no number that is known.
        assert_eq!(of(0.0, 0.0), None);
    }
}
