//! The study's tables: every cell, and what they come to.

use crate::cells::{Cell, Set};
use crate::methods::NAMES;
use crate::picture;
use crate::record::Record;
use std::fmt::Write as _;
use std::path::Path;

/// What a method's cells of one set come to.
pub(crate) struct Summary {
    pub(crate) mean: f64,
    pub(crate) worst: f64,
    /// Monte Carlo standard error in the worst cell.
    worst_error: f64,
    /// Cells under the goal, and those under it by more than two Monte Carlo standard errors.
    below: usize,
    surely_below: usize,
    pub(crate) width: f64,
    /// Mean per cent of draws whose limits lie under the truth.
    under: f64,
}

pub(crate) fn summary(cells: &[(&Cell, &Record)], method: usize) -> Summary {
    // A method that speaks of some samples only is not judged by a handful of them.
    let cells: Vec<_> = cells
        .iter()
        .filter(|(_, record)| record.methods[method].draws >= 0.05 * record.methods[0].draws)
        .collect();
    let n = cells.len() as f64;
    let mut made = Summary {
        mean: 0.0,
        worst: f64::INFINITY,
        worst_error: 0.0,
        below: 0,
        surely_below: 0,
        width: 0.0,
        under: 0.0,
    };
    for (cell, record) in cells {
        let (coverage, error) = (record.coverage(method), record.error(method));
        made.mean += coverage / n;
        made.width += record.width(method) / n;
        made.under += 100.0 * record.methods[method].under / record.methods[method].draws / n;
        made.below += usize::from(coverage < cell.goal());
        made.surely_below += usize::from(coverage + 2.0 * error < cell.goal());
        if coverage < made.worst {
            (made.worst, made.worst_error) = (coverage, error);
        }
    }
    made
}

/// Writes `table.md`, `table.csv` and `picture.svg`, and prints the summary.
pub(crate) fn write(folder: &Path, cells: &[Cell], records: &[Record], draws: usize) -> Result<(), String> {
    let all: Vec<(&Cell, &Record)> = cells.iter().zip(records).collect();
    let of_set = |set: Set| {
        all.iter()
            .copied()
            .filter(|(cell, _)| cell.set == set)
            .collect::<Vec<_>>()
    };
    let mut text = head(draws);
    for (set, title) in Set::ALL {
        summary_table(&mut text, title, &of_set(set));
    }
    println!("\n{text}");
    for (set, title) in Set::ALL {
        cell_table(&mut text, title, &of_set(set));
    }
    let save = |name: &str, text: &str| {
        let path = folder.join(name);
        std::fs::write(&path, text).map_err(|why| format!("{}: {why}", path.display()))?;
        println!("{}", path.display());
        Ok::<(), String>(())
    };
    save("table.md", &text)?;
    save("table.csv", &csv(&all))?;
    save("picture.svg", &picture::drawn(&all))
}

fn head(draws: usize) -> String {
    format!(
        "# Coverage of limits that promise 95%\n\n{draws} draws a cell, ten from each of {} made-up collections, seed {}. \
         A cell of coverage 95% has a Monte Carlo standard error of about {:.1} points, or what its own collections show. \
         Goal: 92%, 93% in a cell of 10 boxes or more that served to choose by; \"surely\": by more than two standard errors. \
         \"Under\": the limits lie under the truth.\n",
        draws.div_ceil(crate::DRAWS),
        crate::SEED,
        100.0 * (0.95 * 0.05 / draws as f64).sqrt()
    )
}

fn summary_table(text: &mut String, title: &str, cells: &[(&Cell, &Record)]) {
    let _ = write!(
        text,
        "\n## {title} ({} cells)\n\n| interval | mean coverage | worst cell | below goal | surely | mean width | under |\n\
         |---|---|---|---|---|---|---|\n",
        cells.len()
    );
    for (method, name) in NAMES.iter().enumerate() {
        let s = summary(cells, method);
        if s.worst.is_infinite() {
            let _ = writeln!(text, "| {name} | – | – | – | – | – | – |");
            continue;
        }
        let _ = writeln!(
            text,
            "| {name} | {:.1} | {:.1} ± {:.1} | {} | {} | {:.3} | {:.1} |",
            s.mean, s.worst, s.worst_error, s.below, s.surely_below, s.width, s.under
        );
    }
}

fn cell_table(text: &mut String, title: &str, cells: &[(&Cell, &Record)]) {
    let _ = write!(
        text,
        "\n## Every cell {title}: coverage ± Monte Carlo error (width)\n\n| cell | truth | mean estimate | none or all seen % |"
    );
    for name in NAMES {
        let _ = write!(text, " {name} |");
    }
    text.push_str("\n|---|---|---|---|");
    text.push_str(&"---|".repeat(NAMES.len()));
    text.push('\n');
    for (cell, record) in cells {
        let _ = write!(
            text,
            "| {} | {:.4} | {:.4} | {:.0} |",
            cell.name(),
            record.truth(),
            record.estimate(),
            record.extreme()
        );
        for method in 0..NAMES.len() {
            let flag = if record.coverage(method) < cell.goal() {
                "**"
            } else {
                ""
            };
            let _ = write!(
                text,
                " {flag}{:.1}{flag} ± {:.1} ({:.3}) |",
                record.coverage(method),
                record.error(method),
                record.width(method)
            );
        }
        text.push('\n');
    }
}

fn csv(all: &[(&Cell, &Record)]) -> String {
    let mut text =
        "set,cell,interval,truth,mean_estimate,none_or_all_seen,draws,coverage,error,under,width\n"
            .to_owned();
    for (cell, record) in all {
        for (method, name) in NAMES.iter().enumerate() {
            let tally = &record.methods[method];
            let _ = writeln!(
                text,
                "\"{}\",\"{}\",\"{name}\",{:.6},{:.6},{:.2},{},{:.3},{:.3},{:.3},{:.6}",
                cell.set.title(),
                cell.name(),
                record.truth(),
                record.estimate(),
                record.extreme(),
                tally.draws,
                record.coverage(method),
                record.error(method),
                100.0 * tally.under / tally.draws,
                record.width(method)
            );
        }
    }
    text
}
