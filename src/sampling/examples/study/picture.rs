//! The study in a picture: a dot for every cell, a row for every method, a panel for every set.

use crate::cells::{Cell, Set};
use crate::methods::NAMES;
use crate::record::Record;
use crate::report::summary;
use std::fmt::Write as _;

const LEFT: f64 = 250.0;
const WIDTH: f64 = 620.0;
const ROW: f64 = 26.0;
const RIGHT: f64 = 150.0;
/// The least coverage that has a place of its own, in per cent; less is drawn at the edge.
const LEAST: f64 = 60.0;

fn x(coverage: f64) -> f64 {
    LEFT + WIDTH * (coverage.max(LEAST) - LEAST) / (100.0 - LEAST)
}

pub(crate) fn drawn(all: &[(&Cell, &Record)]) -> String {
    let panel = ROW * NAMES.len() as f64 + 62.0;
    let height = panel * Set::ALL.len() as f64 + 30.0;
    let width = LEFT + WIDTH + RIGHT;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" font-family=\"sans-serif\" \
         font-size=\"13\">\n<title>Coverage of limits that promise 95%, cell by cell</title>\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"white\"/>\n"
    );
    for (i, (set, title)) in Set::ALL.iter().enumerate() {
        let cells: Vec<(&Cell, &Record)> = all.iter().copied().filter(|(cell, _)| cell.set == *set).collect();
        one(&mut svg, panel * i as f64 + 30.0, title, &cells);
    }
    svg.push_str("</svg>\n");
    svg
}

fn one(svg: &mut String, top: f64, title: &str, cells: &[(&Cell, &Record)]) {
    let bottom = top + ROW * NAMES.len() as f64 + 8.0;
    let _ = writeln!(
        svg,
        "<text x=\"12\" y=\"{:.0}\" font-weight=\"bold\">{title} ({} cells)</text>",
        top - 4.0,
        cells.len()
    );
    let _ = writeln!(
        svg,
        "<text x=\"{:.0}\" y=\"{:.0}\" fill=\"#555\">mean, width</text>",
        LEFT + WIDTH + 16.0,
        top - 4.0
    );
    for mark in [60.0, 70.0, 80.0, 90.0, 95.0, 100.0] {
        let colour = if mark > 94.0 && mark < 96.0 {
            "#b00020"
        } else {
            "#ccc"
        };
        let at = x(mark);
        let _ = writeln!(
            svg,
            "<line x1=\"{at:.1}\" x2=\"{at:.1}\" y1=\"{top:.1}\" y2=\"{bottom:.1}\" stroke=\"{colour}\"/>\
             <text x=\"{at:.1}\" y=\"{:.1}\" text-anchor=\"middle\" fill=\"#555\">{mark:.0}{}</text>",
            bottom + 14.0,
            if mark <= LEAST { " or less" } else { "" }
        );
    }
    for (method, name) in NAMES.iter().enumerate() {
        let y = top + ROW * (method as f64 + 0.7);
        let _ = writeln!(
            svg,
            "<text x=\"{:.0}\" y=\"{:.1}\" text-anchor=\"end\">{name}</text>",
            LEFT - 14.0,
            y + 4.0
        );
        for (i, (_, record)) in cells.iter().enumerate() {
            // Dots of the same coverage are set a little apart.
            let off = ((i * 7) % 11) as f64 - 5.0;
            let _ = writeln!(
                svg,
                "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"2.6\" fill=\"#1f4e79\" fill-opacity=\"0.45\"/>",
                x(record.coverage(method)),
                y + off
            );
        }
        let s = summary(cells, method);
        let _ = writeln!(
            svg,
            "<line x1=\"{0:.1}\" x2=\"{0:.1}\" y1=\"{1:.1}\" y2=\"{2:.1}\" stroke=\"black\" stroke-width=\"2.5\"/>\
             <text x=\"{3:.0}\" y=\"{4:.1}\">{5:.1}, {6:.3}</text>",
            x(s.mean),
            y - 9.0,
            y + 9.0,
            LEFT + WIDTH + 16.0,
            y + 4.0,
            s.mean,
            s.width
        );
    }
}
