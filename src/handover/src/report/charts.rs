//! Pictures: one small drawing a row, between a label and the same in numbers, which is its text alternative.
//!
//! Drawn without words inside, so that they stretch from a phone to a printed page; lines and greys alone carry them.

use std::fmt::Write as _;

use super::line::{Line, fig};
use super::numbers::Unit;
use super::page::Page;

/// One row of a chart.
pub(super) struct Bar {
    pub(super) label: Line,
    pub(super) estimate: f64,
    pub(super) range: Option<(f64, f64)>,
    /// The same in numbers.
    pub(super) text: Line,
}

/// How a row is drawn.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Draw {
    /// A mark at the estimate and a line over its range.
    Interval,
    /// A bar up to the estimate and a line over its range.
    Bars,
}

/// A chart with its scale from 0; `id` and `after` are those of the number at the scale's end.
pub(super) fn chart(page: &mut Page, name: impl Into<Line>, id: &str, after: &str, how: Draw, bars: &[Bar]) {
    let ends = bars
        .iter()
        .map(|bar| bar.range.map_or(bar.estimate, |(_, high)| high));
    let most = ends.fold(0.0, f64::max);
    if bars.is_empty() || most <= 0.0 || !most.is_finite() {
        return;
    }
    let end = if after == "%" {
        nice(most).min(100.0).max(most)
    } else {
        nice(most)
    };
    page.within("p class=\"caption\"", &name.into());
    page.raw("<ul class=\"chart\">\n<li><span class=\"empty\"></span><span class=\"scale\">");
    let scale = |part: f64| {
        let unit = Unit::of(end * part, None, None, Unit::TENTH);
        fig(
            format!("chart.{id}.{}", if part > 0.0 { "end" } else { "start" }),
            format!("{}{after}", unit.shown(end * part)),
        )
    };
    for part in [0.0, 1.0] {
        page.raw("<span>");
        page.line(&scale(part));
        page.raw("</span>");
    }
    page.raw("</span><span class=\"empty\"></span></li>\n");
    for bar in bars {
        page.raw("<li><span>");
        page.line(&bar.label);
        page.raw("</span>");
        page.raw(&drawing(bar, end, how));
        page.raw("<span class=\"v\">");
        page.line(&bar.text);
        page.raw("</span></li>\n");
    }
    page.raw("</ul>\n");
}

fn drawing(bar: &Bar, end: f64, how: Draw) -> String {
    let at = |value: f64| (value / end).clamp(0.0, 1.0) * 1000.0;
    let mut svg =
        String::from("<svg viewBox=\"0 0 1000 20\" preserveAspectRatio=\"none\" aria-hidden=\"true\">");
    // Writing to a String cannot fail.
    for grid in [0, 250, 500, 750, 1000] {
        let _ = write!(
            svg,
            "<line class=\"g\" x1=\"{grid}\" x2=\"{grid}\" y1=\"0\" y2=\"20\"/>"
        );
    }
    let x = at(bar.estimate);
    if how == Draw::Bars {
        let _ = write!(
            svg,
            "<rect class=\"b\" x=\"0\" y=\"4\" width=\"{x:.1}\" height=\"12\"/>"
        );
    }
    if let Some((low, high)) = bar.range {
        let (low, high) = (at(low), at(high));
        let _ = write!(
            svg,
            "<line class=\"r\" x1=\"{low:.1}\" x2=\"{high:.1}\" y1=\"10\" y2=\"10\"/>"
        );
        for end in [low, high] {
            let _ = write!(
                svg,
                "<line class=\"r\" x1=\"{end:.1}\" x2=\"{end:.1}\" y1=\"6\" y2=\"14\"/>"
            );
        }
    }
    if how == Draw::Interval {
        let _ = write!(
            svg,
            "<line class=\"e\" x1=\"{x:.1}\" x2=\"{x:.1}\" y1=\"3\" y2=\"17\"/>"
        );
    }
    svg.push_str("</svg>");
    svg
}

/// The next of 1, 2, 5 times a power of ten.
fn nice(most: f64) -> f64 {
    let mut unit = 1.0;
    while unit * 10.0 < most {
        unit *= 10.0;
    }
    while unit > most {
        unit /= 10.0;
    }
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|by| by * unit)
        .find(|end| *end >= most)
        .unwrap_or(most)
}

#[cfg(test)]
mod tests {
    use super::nice;

    #[test]
    fn the_scale_ends_at_a_round_number() {
        for (most, end) in [
            (0.7, 1.0),
            (1.2, 2.0),
            (33.0, 50.0),
            (51.0, 100.0),
            (1_001.0, 2_000.0),
        ] {
            assert!((nice(most) - end).abs() < 1e-9, "{most}: {}", nice(most));
        }
    }
}
