//! What a cell's draws came to, and its file.

use crate::methods::{Answer, NAMES};

/// One method's counts.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Tally {
    /// Draws that gave limits.
    pub(crate) draws: f64,
    /// Draws whose limits hold the truth.
    pub(crate) covered: f64,
    /// Squares of the covered draws of each collection, for the Monte Carlo error.
    squares: f64,
    /// Draws whose limits lie under the truth.
    pub(crate) under: f64,
    /// Sum of widths.
    widths: f64,
}

/// A cell's counts.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Record {
    /// Collections made.
    collections: f64,
    draws: f64,
    /// Draws without an estimate.
    refused: f64,
    truths: f64,
    estimates: f64,
    /// Draws in which none or all were seen.
    extreme: f64,
    pub(crate) methods: Vec<Tally>,
}

impl Record {
    /// Adds a collection's draws.
    pub(crate) fn add(&mut self, truth: f64, answers: &[Result<Answer, String>]) {
        self.methods.resize(NAMES.len(), Tally::default());
        self.collections += 1.0;
        self.truths += truth;
        let mut covered = [0.0; NAMES.len()];
        for answer in answers {
            self.draws += 1.0;
            let Ok(answer) = answer else {
                self.refused += 1.0;
                continue;
            };
            self.estimates += answer.estimate;
            self.extreme += f64::from(u8::from(answer.estimate <= 0.0 || answer.estimate >= 1.0));
            for ((tally, limits), covered) in self.methods.iter_mut().zip(answer.limits).zip(&mut covered) {
                let Some(limits) = limits else { continue };
                // What is exact but for rounding holds the truth.
                let holds = limits.low <= truth + 1e-12 && truth <= limits.high + 1e-12;
                tally.draws += 1.0;
                *covered += f64::from(u8::from(holds));
                tally.under += f64::from(u8::from(limits.high + 1e-12 < truth));
                tally.widths += limits.high - limits.low;
            }
        }
        for (tally, covered) in self.methods.iter_mut().zip(covered) {
            tally.covered += covered;
            tally.squares += covered * covered;
        }
    }

    pub(crate) fn truth(&self) -> f64 {
        self.truths / self.collections
    }

    pub(crate) fn estimate(&self) -> f64 {
        self.estimates / (self.draws - self.refused)
    }

    /// Draws in which none or all were seen, in per cent.
    pub(crate) fn extreme(&self) -> f64 {
        100.0 * self.extreme / self.draws
    }

    /// Coverage of a method, in per cent.
    pub(crate) fn coverage(&self, method: usize) -> f64 {
        100.0 * self.methods[method].covered / self.methods[method].draws
    }

    /// The Monte Carlo standard error of that, from the differences between collections.
    pub(crate) fn error(&self, method: usize) -> f64 {
        let tally = &self.methods[method];
        let k = self.collections;
        let spread = (tally.squares - tally.covered * tally.covered / k) / (k - 1.0);
        100.0 * (spread.max(0.0) * k).sqrt() / tally.draws
    }

    /// Mean width of a method.
    pub(crate) fn width(&self, method: usize) -> f64 {
        self.methods[method].widths / self.methods[method].draws
    }

    /// The cell's file.
    pub(crate) fn write(&self, about: &str) -> String {
        let head = [
            self.collections,
            self.draws,
            self.refused,
            self.truths,
            self.estimates,
            self.extreme,
        ];
        let mut text = format!("{about}\n{}\n", joined(&head));
        for (tally, name) in self.methods.iter().zip(NAMES) {
            let numbers = [
                tally.draws,
                tally.covered,
                tally.squares,
                tally.under,
                tally.widths,
            ];
            text.push_str(&format!("{},{name:?}\n", joined(&numbers)));
        }
        text
    }

    /// Reads a file back, if it is about the same thing.
    pub(crate) fn read(text: &str, about: &str) -> Option<Self> {
        let mut lines = text.lines();
        if lines.next()? != about {
            return None;
        }
        let head = numbers(lines.next()?);
        let [collections, draws, refused, truths, estimates, extreme] = *head.as_slice() else {
            return None;
        };
        let mut made = Self {
            collections,
            draws,
            refused,
            truths,
            estimates,
            extreme,
            methods: Vec::new(),
        };
        for name in NAMES {
            let line = lines.next()?.strip_suffix(&format!(",{name:?}"))?;
            let [draws, covered, squares, under, widths] = *numbers(line).as_slice() else {
                return None;
            };
            made.methods.push(Tally {
                draws,
                covered,
                squares,
                under,
                widths,
            });
        }
        Some(made)
    }
}

fn joined(numbers: &[f64]) -> String {
    numbers.iter().map(f64::to_string).collect::<Vec<_>>().join(",")
}

fn numbers(line: &str) -> Vec<f64> {
    line.split(',').filter_map(|word| word.parse().ok()).collect()
}
