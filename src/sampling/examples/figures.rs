//! The reference figures, to the last bit: every line a name and the bits of its numbers.
//!
//! Run at a desk it prints them. Compiled to Wasm it has nothing to print to: it leaves the same text in its memory, between
//! two marks, where `tests/reference/figures.mjs` finds it. `cargo xtask test` compares the two byte for byte, so that what the
//! reference checks show at a desk holds in the browser.

use sampling::agreement;
use sampling::column::Column;
use sampling::contrast;
use sampling::design::{BoxSample, Design, Draw, Status, StratumSample};
use sampling::estimate::{self, Estimate, Options, Share};
use sampling::interval::{Kind, Limits, binomial, hypergeometric};
use sampling::linear::Lonely;
use sampling::math;
use sampling::misclassification::{Accuracy, corrected};
use sampling::plan::allocation::{Rule, Stratum, allocate};
use sampling::plan::{Collection, Pace, precision_curve};
use sampling::programme::{Collections, Drawn};
use sampling::quantile::quantile;
use sampling::random::Stream;
use sampling::replicate::{Replicates, jackknife, rescaling_bootstrap};
use sampling::systematic;
use sampling::twophase::{self, Estimator, SecondPhase};
use sampling::unequal;
use std::collections::BTreeMap;
use std::fmt::Write as _;

fn main() {
    let mut text = Text::default();
    functions(&mut text);
    school_samples(&mut text);
    made_up_surveys(&mut text);
    programmes(&mut text);
    two_phases(&mut text);
    shelves(&mut text);
    planning(&mut text);
    proportional_to_size(&mut text);
    finish(text);
}

/// The lines so far.
#[derive(Default)]
struct Text(String);

impl Text {
    fn line(&mut self, name: &str, numbers: &[f64]) {
        self.0.push_str(name);
        for number in numbers {
            let _ = write!(self.0, " {:016x}", number.to_bits());
        }
        self.0.push('\n');
    }

    fn share(&mut self, name: &str, made: Result<Share, estimate::EstimateError>) {
        match made {
            Ok(s) => {
                let [low, high] = both(s.limits);
                let numbers = [
                    s.estimate,
                    s.se,
                    s.df,
                    s.deff,
                    s.effective_items,
                    s.known_items,
                    low,
                    high,
                ];
                // A number that is none may have other bits elsewhere, and means the same.
                self.line(name, &numbers.map(|x| if x.is_nan() { f64::NAN } else { x }));
            }
            Err(why) => self.line(&format!("{name}: {why}"), &[]),
        }
    }

    fn total(&mut self, name: &str, made: Result<Estimate, estimate::EstimateError>) {
        match made {
            Ok(t) => {
                let [low, high] = both(t.limits);
                self.line(name, &[t.estimate, t.se, t.df, low, high]);
            }
            Err(why) => self.line(&format!("{name}: {why}"), &[]),
        }
    }
}

fn both(limits: Option<Limits>) -> [f64; 2] {
    limits.map_or([-1.0, -1.0], |l| [l.low, l.high])
}

/// The functions of [`math`] at the places of the reference table and on a grid.
fn functions(text: &mut Text) {
    let table = include_str!("../../../tests/reference/data/special_functions.csv");
    for line in table.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let at = |i: usize| cells.get(i).and_then(|c| c.parse::<f64>().ok()).unwrap_or(0.5);
        let (a, b, x) = (at(1), at(2), at(3));
        let name = cells.first().copied().unwrap_or_default();
        let tails = math::beta_cdf(a.abs().max(0.01), b.abs().max(0.01), x.clamp(0.0, 1.0));
        let inside = x.clamp(1e-12, 1.0 - 1e-12);
        let numbers = [
            tails.lower,
            tails.upper,
            math::normal_cdf(x),
            math::normal_quantile(inside),
            math::t_cdf(x, a.abs().max(0.5)),
            math::t_quantile(inside, a.abs().max(0.5)),
            math::ln_gamma(a.abs().max(0.01)),
        ];
        text.line(name, &numbers);
    }
    for n in 1..=60u32 {
        for x in 0..=n {
            let (x, n) = (f64::from(x), f64::from(n));
            let limits = [
                binomial::wilson(x, n, 0.95),
                binomial::clopper_pearson(x, n, 0.9),
                binomial::jeffreys(x, n, 0.99),
            ];
            text.line("binomial", &limits.map(|l| [l.low, l.high]).concat());
        }
    }
    for frame in [20, 80, 400] {
        for x in 0..=10 {
            if let Some(l) = hypergeometric::limits(x, 10, frame, 0.95) {
                text.line("hypergeometric", &[l.least as f64, l.most as f64]);
            }
        }
    }
}

/// The samples of schools that the checks against R use.
fn school_samples(text: &mut Text) {
    let srs = include_str!("../../../tests/reference/data/api_srs.csv");
    let strat = include_str!("../../../tests/reference/data/api_strat.csv");
    let clus1 = include_str!("../../../tests/reference/data/api_clus1.csv");
    let clus2 = include_str!("../../../tests/reference/data/api_clus2.csv");
    schools(text, srs, None, "snum", "fpc", None);
    schools(text, strat, Some("stype"), "snum", "fpc", None);
    schools(text, clus1, None, "dnum", "fpc", None);
    schools(text, clus2, None, "dnum", "fpc1", Some("fpc2"));
}

fn schools(
    text: &mut Text,
    table: &str,
    stratum: Option<&str>,
    cluster: &str,
    fpc: &str,
    items: Option<&str>,
) {
    let mut lines = table.lines();
    let header: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let records: Vec<Vec<&str>> = lines.map(|line| line.split(',').collect()).collect();
    let cell = |row: usize, name: &str| {
        let at = header.iter().position(|h| *h == name);
        at.and_then(|at| records[row].get(at).copied())
            .unwrap_or_default()
    };
    let whole = |row: usize, name: &str| cell(row, name).parse::<u64>().unwrap_or(0);
    let mut strata: BTreeMap<&str, BTreeMap<u64, Vec<usize>>> = BTreeMap::new();
    for row in 0..records.len() {
        let key = stratum.map_or("", |name| cell(row, name));
        let boxes = strata.entry(key).or_default();
        boxes.entry(whole(row, cluster)).or_default().push(row);
    }
    let order: Vec<usize> = strata
        .values()
        .flat_map(|boxes| boxes.values().flatten().copied())
        .collect();
    let sampled = strata.iter().map(|(key, boxes)| StratumSample {
        key: (*key).to_owned(),
        frame_boxes: boxes.values().next().map_or(0, |rows| whole(rows[0], fpc)),
        frame_size: None,
        draw: Draw::Random,
        sample: boxes
            .iter()
            .map(|(id, rows)| BoxSample {
                id: id.to_string(),
                items: Some(items.map_or(rows.len() as u64, |name| whole(rows[0], name))),
                rows: rows.len(),
                ..BoxSample::default()
            })
            .collect(),
    });
    let Ok(design) = Design::new(sampled.collect()) else {
        return text.line("no such design", &[]);
    };
    let columns = ["api00", "enroll", "apistu", "wide", "noell"].map(|name| {
        let values = order
            .iter()
            .map(|row| cell(*row, name).parse::<f64>().ok())
            .collect();
        Column::of_rows(&design, values)
    });
    for column in columns.into_iter().flatten() {
        figures(text, &design, &column);
    }
}

/// Everything that is estimated of a column, by every interval and rule.
fn figures(text: &mut Text, design: &Design, column: &Column) {
    let parts = (0..design.strata().len())
        .map(|h| design.only(h))
        .chain([design.whole()]);
    for part in parts {
        let options = Options::default();
        text.share("mean", estimate::mean(&part, column, &options));
        text.total("total", estimate::total(&part, column, &options));
        text.total("items", estimate::items(&part, &options));
        for p in [0.25, 0.5, 0.9] {
            if let Ok(made) = quantile(&part, column, p, &options) {
                let [low, high] = both(made.limits);
                text.line("quantile", &[made.estimate, low, high]);
            }
        }
        for (_, lonely) in Lonely::NAMES {
            text.share(
                "mean",
                estimate::mean(&part, column, &Options { lonely, ..options }),
            );
        }
    }
}

/// Made-up surveys with everything that can happen to a box.
fn made_up_surveys(text: &mut Text) {
    for survey in 0..60 {
        let mut stream = Stream::new("figures", &format!("survey {survey}"));
        let Some((design, columns)) = made_up(&mut stream) else {
            text.line("no such design", &[]);
            continue;
        };
        let [condition, other, hours] = &columns;
        figures(text, &design, hours);
        for part in (0..design.strata().len())
            .map(|h| design.only(h))
            .chain([design.whole()])
        {
            for (_, interval) in Kind::NAMES {
                for level in [0.8, 0.95] {
                    let options = Options {
                        interval,
                        level,
                        ..Options::default()
                    };
                    text.share("share", estimate::share(&part, condition, &options));
                    text.total("count", estimate::count(&part, condition, &options));
                }
            }
            let options = Options::default();
            if let Ok(made) = estimate::bounds(&part, condition, &options) {
                let [low, high] = both(made.limits);
                text.line("bounds", &[made.low, made.high, low, high, made.unknown_share]);
            }
            if let Ok(made) = estimate::boxes_with(&part, condition, &options) {
                text.line("boxes", &[made.least as f64, made.most as f64]);
            }
            text.total(
                "domain",
                estimate::domain_total(&part, hours, condition, &options),
            );
            text.share("domain", estimate::domain_mean(&part, hours, condition, &options));
            let totals = [
                contrast::total_of(&part, condition),
                contrast::total_of(&part, other),
            ];
            text.total(
                "difference",
                contrast::difference(&part, &totals[0], &totals[1], &options),
            );
            if let Ok(share) = estimate::share(&part, condition, &options)
                && let Some(limits) = share.limits
            {
                let accuracy = Accuracy {
                    sensitivity: 0.9,
                    sensitivity_items: 40.0,
                    specificity: 0.95,
                    specificity_items: 90.0,
                };
                if let Some(c) = corrected(share.estimate, share.se, limits, &accuracy, 0.95) {
                    text.line(
                        "corrected",
                        &[c.estimate, c.raw, c.se, c.limits.low, c.limits.high],
                    );
                }
            }
            replicates(text, jackknife(&part), &part, hours);
            replicates(text, rescaling_bootstrap(&part, "7", 40), &part, hours);
        }
        let looks: Vec<Option<(usize, usize)>> = (0..design.rows())
            .map(|_| {
                let pick = |below, stream: &mut Stream| usize::try_from(stream.below(below)).unwrap_or(0);
                let first = pick(3, &mut stream);
                let second = if pick(4, &mut stream) == 0 {
                    pick(3, &mut stream)
                } else {
                    first
                };
                (pick(3, &mut stream) > 0).then_some((first, second))
            })
            .collect();
        if let Ok(Some(made)) = agreement::of_sample(&design.whole(), &looks, 3, Lonely::Average) {
            let or_none = |x: Option<f64>| x.unwrap_or(-1.0);
            text.line("agreement", &[made.observed, or_none(made.kappa), made.ac1]);
            text.line(
                "agreement",
                &[made.observed_se, or_none(made.kappa_se), made.ac1_se],
            );
        }
    }
}

fn replicates(
    text: &mut Text,
    made: Result<Replicates, sampling::linear::VarianceError>,
    part: &sampling::design::Part<'_>,
    column: &Column,
) {
    let Ok(made) = made else { return };
    let totals = sampling::linear::box_totals(
        part,
        |b| column.is_whole(part.design, b),
        |b, row| column.cell(part.design, b, row).value(),
    );
    text.line(&made.method, &[made.variance_of_total(part, &totals)]);
}

/// Answers of rows, or for whole boxes.
type Answers = Vec<Option<f64>>;

/// A survey of one to four strata: two conditions and a quantity.
fn made_up(stream: &mut Stream) -> Option<(Design, [Column; 3])> {
    let mut strata = Vec::new();
    let mut columns: [(Answers, Answers); 3] = Default::default();
    let share = [0.0, 0.02, 0.1, 0.4, 1.0][usize::try_from(stream.below(5)).ok()?];
    for h in 0..=stream.below(4) {
        let drawn = 2 + stream.below(9);
        let mut sample = Vec::new();
        for i in 0..drawn {
            let items = stream.below(26);
            let (status, counted, rows) = match stream.below(12) {
                0 if i > 1 => (Status::NotReached, None, 0),
                1 if i > 1 => (Status::Stopped, None, 0),
                2 => (Status::OutOfScope, None, 0),
                3 | 4 => (Status::Checked, Some(items), items.min(6)),
                _ => (Status::Checked, Some(items), items),
            };
            let own = share * 2.0 * stream.unit();
            for (c, (answers, whole)) in columns.iter_mut().enumerate() {
                let value = |stream: &mut Stream| match (stream.below(15), c) {
                    (0, _) => None,
                    (_, 2) => Some(0.1 + 3.0 * stream.unit()),
                    _ => Some(f64::from(u8::from(stream.unit() < own))),
                };
                answers.extend((0..rows).map(|_| value(stream)));
                whole.push((status == Status::Stopped && c == 0).then_some(1.0));
            }
            sample.push(BoxSample {
                id: format!("B{i}"),
                status,
                items: counted,
                rows: usize::try_from(rows).ok()?,
                size: None,
            });
        }
        strata.push(StratumSample {
            key: format!("S{h}"),
            frame_boxes: drawn + stream.below(50),
            frame_size: None,
            draw: Draw::Random,
            sample,
        });
    }
    let design = Design::new(strata).ok()?;
    let [a, b, c] = columns.map(|(rows, whole)| Column::new(&design, rows, whole).ok());
    Some((design, [a?, b?, c?]))
}

/// Four made-up surveys as one programme: all that there are, some of a list, some of nobody knows how many.
fn programmes(text: &mut Text) {
    for programme in 0..20 {
        let mut stream = Stream::new("figures", &format!("programme {programme}"));
        let surveys: Vec<(Design, [Column; 3])> = (0..4).filter_map(|_| made_up(&mut stream)).collect();
        let names = ["A", "B", "C", "D"];
        let named: Vec<(&str, &Design)> = names.into_iter().zip(surveys.iter().map(|s| &s.0)).collect();
        let column = |at: usize| surveys.iter().map(|s| &s.1[at]).collect::<Vec<_>>();
        for drawn in [Drawn::Of(4), Drawn::Of(9), Drawn::Unlisted] {
            let Ok(made) = Collections::new(named.clone(), drawn) else {
                return text.line("no such programme", &[]);
            };
            for (_, interval) in Kind::NAMES {
                let options = Options {
                    interval,
                    ..Options::default()
                };
                for (name, pooled) in [
                    ("items", made.items(&options)),
                    ("total", made.total(&column(2), &options)),
                    ("count", made.count(&column(0), &options)),
                    ("mean", made.mean(&column(2), &options)),
                    ("share", made.share(&column(1), &options)),
                ] {
                    match pooled {
                        Ok(pooled) => {
                            text.line(name, &[pooled.between, pooled.within]);
                            text.total(name, Ok(pooled.estimate));
                        }
                        Err(why) => text.line(&format!("{name}: {why}"), &[]),
                    }
                }
            }
        }
    }
}

/// Boxes of which some items are read again, by every estimator.
fn two_phases(text: &mut Text) {
    for survey in 0..40 {
        let mut stream = Stream::new("figures", &format!("two phases {survey}"));
        let sample = |stream: &mut Stream| {
            let boxes = 3 + stream.below(9);
            let of = |i| BoxSample {
                id: format!("B{i}"),
                items: Some(3 + i % 4),
                rows: 3,
                ..BoxSample::default()
            };
            StratumSample {
                key: format!("S{}", stream.below(1 << 40)),
                frame_boxes: boxes + stream.below(60),
                sample: (0..boxes).map(of).collect(),
                ..StratumSample::default()
            }
        };
        let strata = (0..=stream.below(3)).map(|_| sample(&mut stream)).collect();
        let Ok(design) = Design::new(strata) else {
            return text.line("no such design", &[]);
        };
        let rows = design.rows();
        let labels: Vec<f64> = (0..rows).map(|_| 20.0 + 70.0 * stream.unit()).collect();
        let found = labels.iter().map(|label| 1.1 * label + 9.0 * stream.unit());
        let found = Column::of_rows(&design, found.map(Some).collect());
        let flat: Vec<f64> = labels.iter().map(|label| 1.0 / label).collect();
        let column = |values: &[f64]| Column::of_rows(&design, values.iter().copied().map(Some).collect());
        let (Ok(found), Ok(labels), Ok(flat)) = (found, column(&labels), column(&flat)) else {
            return text.line("no such column", &[]);
        };
        let read: Vec<bool> = (0..rows).map(|row| row < 6 || stream.below(3) == 0).collect();
        let classes: Vec<usize> = (0..rows).map(|row| row % 3).collect();
        for second in [
            SecondPhase::new(&design, &read),
            SecondPhase::by_class(&design, &read, &classes),
        ] {
            let Ok(second) = second else {
                text.line("no such second phase", &[]);
                continue;
            };
            for by in [
                Estimator::Expansion,
                Estimator::Ratio(&labels),
                Estimator::Regression(&[&labels]),
                Estimator::Regression(&[&labels, &flat]),
            ] {
                for made in [
                    twophase::total(&second, &found, by, &Options::default()),
                    twophase::mean(&second, &found, by, &Options::default()),
                ] {
                    match made {
                        Ok(made) => {
                            text.line(&made.estimate.method, &[made.first, made.second]);
                            text.total("two phases", Ok(made.estimate));
                        }
                        Err(why) => text.line(&why.to_string(), &[]),
                    }
                }
            }
        }
    }
}

/// Shelves drawn systematically, by every rule.
fn shelves(text: &mut Text) {
    for shelf in 0..60usize {
        let mut stream = Stream::new("figures", &format!("shelf {shelf}"));
        let drawn = systematic::places(200, 2 + shelf % 20, stream.unit());
        for (name, rule) in systematic::Rule::NAMES {
            let boxes = |place: &usize| BoxSample {
                id: format!("{place}"),
                items: Some(2),
                rows: 2,
                ..BoxSample::default()
            };
            let stratum = StratumSample {
                frame_boxes: 200,
                draw: Draw::Systematic(rule),
                sample: drawn.iter().map(boxes).collect(),
                ..StratumSample::default()
            };
            let Ok(design) = Design::new(vec![stratum]) else {
                return text.line("no such shelf", &[]);
            };
            let values = (0..design.rows()).map(|_| Some(30.0 * stream.unit())).collect();
            if let Ok(column) = Column::of_rows(&design, values) {
                text.total(
                    name,
                    estimate::total(&design.whole(), &column, &Options::default()),
                );
                text.share(
                    name,
                    estimate::mean(&design.whole(), &column, &Options::default()),
                );
            }
        }
    }
}

fn planning(text: &mut Text) {
    for share in [0.01, 0.2, 0.5] {
        for correlation in [0.0, 0.1, 0.3] {
            let collection = Collection {
                share,
                correlation,
                ..Collection::default()
            };
            for point in precision_curve(&collection, &Pace::default(), 5, 120, 0.95) {
                let limits = point.limits;
                let numbers = [
                    point.hours,
                    limits.low,
                    limits.high,
                    point.half_width,
                    point.items_error,
                ];
                text.line("precision", &numbers);
            }
        }
    }
    let strata = [(120, 0.4, 5.0), (80, 0.9, 4.0), (400, 0.1, 9.0)].map(|(boxes, spread, cost)| Stratum {
        boxes,
        spread,
        cost,
    });
    for rule in [Rule::Proportional, Rule::Neyman, Rule::Cost] {
        let made: Vec<f64> = allocate(&strata, 60, rule, 2).iter().map(|n| *n as f64).collect();
        text.line("allocation", &made);
    }
}

fn proportional_to_size(text: &mut Text) {
    let mut stream = Stream::new("figures", "sizes");
    let sizes: Vec<f64> = (0..30).map(|_| 0.2 + stream.unit()).collect();
    if let Some(probabilities) = unequal::inclusion_probabilities(&sizes, 6) {
        text.line("inclusion", &probabilities);
    }
    let values: Vec<f64> = sizes
        .iter()
        .take(6)
        .map(|size| 3.0 * size + stream.unit())
        .collect();
    let all: f64 = sizes.iter().sum();
    let chances: Vec<f64> = sizes.iter().take(6).map(|size| size / all).collect();
    if let Some(made) = unequal::hansen_hurwitz(&values, &chances) {
        text.line("Hansen-Hurwitz", &[made.total, made.variance]);
    }
}

#[cfg(not(target_arch = "wasm32"))]
fn finish(text: Text) {
    print!("{}", text.0);
}

/// Leaves the text in memory for good; the marks are put together here alone, so that they are nowhere else in it.
#[cfg(target_arch = "wasm32")]
fn finish(text: Text) {
    let mut marked = String::with_capacity(text.0.len() + 64);
    for part in ["figures", "-begin\n", &text.0, "figures", "-end\n"] {
        marked.push_str(part);
    }
    std::hint::black_box(Box::leak(marked.into_boxed_str()));
}
