//! How long the estimators take, on surveys that other programs are then given too: `cargo xtask bench` sets them side by side.
//!
//! `cargo run --release -p sampling --example bench -- OUT` writes, for 1,000, 10,000 and 100,000 items in boxes of twelve or
//! so, `OUT/SIZE-READ/items.csv` (a row an item: stratum, box, boxes in the stratum, items in the box, twenty conditions) and
//! `OUT/SIZE-READ/crate.csv` (condition, estimate, standard error), and prints `what,size-read,seconds`. Times start from answers in memory
//! and are the least of many runs.
#![allow(
    clippy::disallowed_methods,
    reason = "a program at a desk owns files and a clock"
)]

use sampling::column::Column;
use sampling::design::{BoxSample, Design, StratumSample};
use sampling::estimate::{self, Many, Options, Share};
use sampling::linear::box_totals;
use sampling::random::Stream;
use sampling::replicate::rescaling_bootstrap;
use std::fmt::Write as _;
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

const CONDITIONS: usize = 20;
const STRATA: usize = 6;

fn main() -> ExitCode {
    let Some(out) = std::env::args().nth(1) else {
        eprintln!("bench: name a folder");
        return ExitCode::FAILURE;
    };
    for items in [1_000, 10_000, 100_000] {
        for (read, name) in [(Read::Whole, "whole"), (Read::Half, "half")] {
            if let Err(why) = one_size(&Path::new(&out).join(format!("{items}-{name}")), items, read) {
                eprintln!("bench: {why}");
                return ExitCode::FAILURE;
            }
        }
    }
    ExitCode::SUCCESS
}

/// How much of a drawn box is read: one stage or two.
#[derive(Clone, Copy, PartialEq)]
enum Read {
    Whole,
    Half,
}

/// A survey as a program would hold it before any estimate.
struct Survey {
    strata: Vec<StratumSample>,
    answers: Vec<Vec<Option<bool>>>,
    /// The same as numbers.
    numbers: Vec<Vec<Option<f64>>>,
}

fn made_up(items: usize, read: Read) -> Survey {
    let mut stream = Stream::new("bench", &items.to_string());
    let mut strata: Vec<StratumSample> = (0..STRATA)
        .map(|h| StratumSample {
            key: format!("S{h}"),
            ..StratumSample::default()
        })
        .collect();
    let mut left = items;
    let mut boxes = 0;
    while left > 0 {
        let mut rows = usize::try_from(2 + stream.below(21)).unwrap_or(2).min(left);
        // A single item of a box's two has no variance, and R gives up there.
        if left - rows == 1 {
            rows += 1;
        }
        left -= rows;
        strata[boxes % STRATA].sample.push(BoxSample {
            id: format!("B{boxes}"),
            items: Some(if read == Read::Whole { rows } else { 2 * rows } as u64),
            rows,
            ..BoxSample::default()
        });
        boxes += 1;
    }
    for stratum in &mut strata {
        stratum.frame_boxes = 5 * stratum.sample.len() as u64;
    }
    let answers: Vec<Vec<Option<bool>>> = (0..CONDITIONS)
        .map(|c| condition(&strata, c, &mut stream))
        .collect();
    let number = |answer: &Option<bool>| answer.map(|yes| f64::from(u8::from(yes)));
    let numbers = answers
        .iter()
        .map(|own| own.iter().map(number).collect())
        .collect();
    Survey {
        strata,
        answers,
        numbers,
    }
}

/// Answers that are alike within a box (correlation 0.1), by Pólya's urn.
fn condition(strata: &[StratumSample], c: usize, stream: &mut Stream) -> Vec<Option<bool>> {
    let (share, size) = (0.02 + 0.02 * c as f64, 9.0);
    let mut answers = Vec::new();
    for sampled in strata.iter().flat_map(|s| &s.sample) {
        let mut yes = 0.0;
        for j in 0..sampled.rows {
            let is = stream.unit() < (share * size + yes) / (size + j as f64);
            yes += f64::from(u8::from(is));
            answers.push(Some(is));
        }
    }
    answers
}

fn one_size(folder: &Path, items: usize, read: Read) -> Result<(), String> {
    std::fs::create_dir_all(folder).map_err(|why| format!("{}: {why}", folder.display()))?;
    let survey = made_up(items, read);
    let save = |name: &str, text: String| {
        let path = folder.join(name);
        std::fs::write(&path, text).map_err(|why| format!("{}: {why}", path.display()))
    };
    save("items.csv", table(&survey))?;
    let mut figures = "condition,estimate,se\n".to_owned();
    let (_, _, shares) = together((survey.strata.clone(), survey.answers.clone()))?;
    for (c, made) in shares.iter().take(CONDITIONS).enumerate() {
        let _ = writeln!(figures, "c{},{},{}", c + 1, made.estimate, made.se);
    }
    save("crate.csv", figures)?;
    let name = if read == Read::Whole { "whole" } else { "half" };
    let items_read = format!("{items}-{name}");
    let answers = || (survey.strata.clone(), survey.answers.clone());
    let numbers = || (survey.strata.clone(), survey.numbers.clone());
    timed(
        "shares and errors, all and by stratum",
        &items_read,
        answers,
        together,
    )?;
    timed("as numbers, one column at a time", &items_read, numbers, |own| {
        estimates(own, false)
    })?;
    timed("the same with default limits", &items_read, numbers, |own| {
        estimates(own, true)
    })?;
    if items == 10_000 && read == Read::Whole {
        timed("bootstrap, 1000 replicates", &items_read, numbers, bootstrap)?;
    }
    Ok(())
}

/// A survey before any estimate, its answers as numbers.
type Numbers = (Vec<StratumSample>, Vec<Vec<Option<f64>>>);
/// Everything that was made, and the figures.
type Made = (Design, Vec<Column>, Vec<Share>);

/// Every condition, of the whole and of each stratum; the whole first.
fn together((strata, answers): (Vec<StratumSample>, Vec<Vec<Option<bool>>>)) -> Result<Made, String> {
    let design = Design::new(strata).map_err(|why| why.to_string())?;
    let column = |answers| Column::of_answers(&design, answers).map_err(|why| why.to_string());
    let columns: Vec<Column> = answers.into_iter().map(column).collect::<Result<_, _>>()?;
    let many = Many::new(&design, &columns.iter().collect::<Vec<_>>());
    let options = Options::default();
    let strata = (0..STRATA).map(|h| design.only(h));
    let all = [design.whole()].into_iter().chain(strata);
    let made = all
        .flat_map(|part| many.means(&part, &options))
        .map(|share| share.map_err(|why| why.to_string()))
        .collect::<Result<_, _>>()?;
    drop(many);
    Ok((design, columns, made))
}

/// The same, or shares with their limits, one column at a time.
fn estimates((strata, numbers): Numbers, limits: bool) -> Result<Made, String> {
    let design = Design::new(strata).map_err(|why| why.to_string())?;
    let columns = columns(numbers, &design)?;
    let options = Options::default();
    let mut made = Vec::new();
    for part in [design.whole()]
        .into_iter()
        .chain((0..STRATA).map(|h| design.only(h)))
    {
        for column in &columns {
            let share = if limits {
                estimate::share(&part, column, &options)
            } else {
                estimate::mean(&part, column, &options)
            };
            made.push(share.map_err(|why| why.to_string())?);
        }
    }
    Ok((design, columns, made))
}

fn columns(answers: Vec<Vec<Option<f64>>>, design: &Design) -> Result<Vec<Column>, String> {
    let column = |answers| Column::of_rows(design, answers);
    let all: Result<Vec<Column>, _> = answers.into_iter().map(column).collect();
    all.map_err(|why| why.to_string())
}

fn bootstrap((strata, numbers): Numbers) -> Result<(Design, Vec<f64>), String> {
    let design = Design::new(strata).map_err(|why| why.to_string())?;
    let part = design.whole();
    let replicates = rescaling_bootstrap(&part, "1", 1000).map_err(|why| why.to_string())?;
    let items = box_totals(&part, |_| false, |_, _| 1.0);
    let yes: Vec<_> = columns(numbers, &design)?
        .iter()
        .map(|column| box_totals(&part, |_| false, |b, row| column.cell(&design, b, row).value()))
        .collect();
    let variances = replicates.variances_of_ratios(&part, &yes, &items);
    Ok((design, variances))
}

/// Prints the least time of at least ten runs and two seconds, each on a copy of its own that is made before the clock starts: a run
/// that nothing interrupted is the processor time that the other programs tell. What one run made is given back when the
/// next one's copy is there, so that a run finds its memory as a program finds it that has worked for a while.
fn timed<G, M>(
    what: &str,
    items: &str,
    given: impl Fn() -> G,
    work: impl Fn(G) -> Result<M, String>,
) -> Result<(), String> {
    let began = Instant::now();
    let mut times = Vec::new();
    let mut last = None;
    while times.len() < 10 || began.elapsed().as_secs_f64() < 2.0 {
        let own = given();
        drop(last.take());
        let start = Instant::now();
        let made = work(own)?;
        times.push(start.elapsed().as_secs_f64());
        last = Some(made);
    }
    times.sort_by(f64::total_cmp);
    println!("{what},{items},{}", times[0]);
    Ok(())
}

fn table(survey: &Survey) -> String {
    let mut text = "stratum,box,N,M".to_owned();
    for c in 1..=CONDITIONS {
        let _ = write!(text, ",c{c}");
    }
    text.push('\n');
    let mut row = 0;
    for stratum in &survey.strata {
        for sampled in &stratum.sample {
            for _ in 0..sampled.rows {
                let _ = write!(
                    text,
                    "{},{},{},{}",
                    stratum.key,
                    sampled.id,
                    stratum.frame_boxes,
                    sampled.items.unwrap_or(0)
                );
                for answers in &survey.answers {
                    let _ = write!(text, ",{}", u8::from(answers[row] == Some(true)));
                }
                text.push('\n');
                row += 1;
            }
        }
    }
    text
}
