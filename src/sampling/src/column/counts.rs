//! How many rows of each box are yes, and how many are known: counted once, in sweeps over a whole column.

use crate::design::{ROWS, Runs};

/// Of each box of a design its rows that are 1, and those that are known; only where every known answer is 0 or 1.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Counts {
    /// Of each box.
    pub(crate) yes: Vec<u32>,
    /// Of each box; nothing where every row of every box is known.
    pub(crate) known: Option<Vec<u32>>,
}

impl Counts {
    /// Of answers in the boxes of `runs`.
    pub(super) fn of_answers(answers: &[Option<bool>], runs: &Runs) -> Self {
        // No branches: these loops read every answer there is.
        let unknown = answers
            .iter()
            .fold(0, |any, answer| any | u8::from(answer.is_none()));
        Self {
            yes: of_boxes(answers, runs, |answer| answer == Some(true)),
            known: (unknown > 0).then(|| of_boxes(answers, runs, |answer| answer.is_some())),
        }
    }

    /// The same of numbers, unless one is neither 0 nor 1.
    pub(super) fn of_numbers(answers: &[Option<f64>], runs: &Runs) -> Option<Self> {
        let one = 1.0f64.to_bits();
        let (mut other, mut unknown) = (0, 0);
        for answer in answers {
            let bits = answer.unwrap_or(0.0).to_bits();
            other |= u64::from(bits != one && bits != 0);
            unknown |= u64::from(answer.is_none());
        }
        (other == 0).then(|| Self {
            yes: of_boxes(answers, runs, |answer| answer.unwrap_or(0.0).to_bits() == one),
            known: (unknown > 0).then(|| of_boxes(answers, runs, |answer| answer.is_some())),
        })
    }

    /// The same with every unknown row a yes, or a no, in the boxes that are open to it; told of each box its rows and whether it is.
    pub(super) fn filled(&self, boxes: impl Iterator<Item = (usize, bool)>, yes: bool) -> Self {
        let (mut made, mut all) = (self.yes.clone(), true);
        let mut known = Vec::with_capacity(made.len());
        for (b, (rows, open)) in boxes.enumerate() {
            // Rows in memory are far fewer than 2^32.
            let rows = u32::try_from(rows).unwrap_or(u32::MAX);
            let own = self.known.as_ref().map_or(rows, |known| known[b]);
            if open && yes {
                made[b] += rows - own;
            }
            known.push(if open { rows } else { own });
            all &= open || own == rows;
        }
        Self {
            yes: made,
            known: (!all).then_some(known),
        }
    }

    /// Of box `b` of `rows` rows: how many are 1, and how many are known.
    pub(crate) fn of_box(&self, b: usize, rows: usize) -> (f64, f64) {
        let known = self
            .known
            .as_ref()
            .map_or(rows as f64, |known| f64::from(known[b]));
        (f64::from(self.yes[b]), known)
    }
}

/// Rows in a word.
const WORD: usize = 8;

/// How many answers in each box are so. A row is a byte, the running totals inside a word are one multiplication, and a box costs
/// one look-up, however long it is.
#[allow(
    clippy::cast_possible_truncation,
    reason = "a byte of a word, and rows in memory are far fewer than 2^32"
)]
fn of_boxes<T: Copy>(answers: &[T], runs: &Runs, is: impl Fn(T) -> bool) -> Vec<u32> {
    const EACH: u64 = 0x0101_0101_0101_0101;
    let mut counts = vec![0; runs.len()];
    let mut left = &mut counts[..];
    let (mut before_box, mut before_run) = (0u32, 0u32);
    let mut ones = [0u8; ROWS];
    // Of each row of a run how many before it are so; as long as a byte can tell apart.
    let mut running = [0u8; 256];
    // A box that ends with the last row ends in an empty run.
    for (own, ends) in answers.chunks(ROWS).chain([&answers[..0]]).zip(runs.each()) {
        for (one, answer) in ones.iter_mut().zip(own) {
            *one = u8::from(is(*answer));
        }
        let mut so_far = 0;
        let words = ones.as_chunks::<WORD>().0.iter();
        for (word, running) in words.zip(running[1..].as_chunks_mut::<WORD>().0) {
            let inside = u64::from_le_bytes(*word).wrapping_mul(EACH);
            *running = (inside + so_far * EACH).to_le_bytes();
            so_far += inside >> 56;
        }
        let (made, rest) = left.split_at_mut(ends.len());
        for (end, count) in ends.iter().zip(made) {
            let upto = before_run + u32::from(running[usize::from(*end)]);
            *count = upto - before_box;
            before_box = upto;
        }
        left = rest;
        before_run += so_far as u32;
    }
    counts
}

#[cfg(test)]
mod tests {
    use super::{Counts, of_boxes};
    use crate::design::Runs;

    #[test]
    fn what_is_filled_is_counted_as_if_it_had_been_answered() {
        let answers = [Some(true), None, None, Some(false), None, Some(true), Some(true)];
        let (ends, runs) = ([3, 5, 5, 7], runs(&[3, 5, 5, 7]));
        let counts = Counts::of_answers(&answers, &runs);
        for (open, yes) in [(true, true), (true, false), (false, true)] {
            // The second box is open to it or not.
            let is_open = |row: usize| open || !(3..5).contains(&row);
            let fill = |(row, answer): (usize, &Option<bool>)| answer.or(is_open(row).then_some(yes));
            let filled: Vec<Option<bool>> = answers.iter().enumerate().map(fill).collect();
            let boxes = ends
                .iter()
                .zip([0, 3, 5, 5])
                .map(|(end, start)| (end - start, is_open(start)));
            assert_eq!(counts.filled(boxes, yes), Counts::of_answers(&filled, &runs));
        }
    }

    #[test]
    fn boxes_of_any_length_are_counted() {
        let answers: Vec<bool> = (0..4960u32).map(|i| i * i % 7 < 3).collect();
        // Empty ones, one that spans several runs, and ends at a word's and a run's last row.
        let ends = [
            0, 0, 1, 8, 9, 16, 248, 248, 249, 1240, 4095, 4096, 4959, 4960, 4960,
        ];
        let mut start = 0;
        let plainly = ends.map(|end| {
            let own = &answers[core::mem::replace(&mut start, end)..end];
            u32::try_from(own.iter().filter(|yes| **yes).count()).unwrap()
        });
        assert_eq!(of_boxes(&answers, &runs(&ends), |yes| yes), plainly);
        assert_eq!(of_boxes(&[], &runs(&[0, 0]), |yes: bool| yes), [0, 0]);
        let full = vec![true; 500];
        assert_eq!(of_boxes(&full, &runs(&[248, 497, 500]), |yes| yes), [248, 249, 3]);
    }

    fn runs(ends: &[usize]) -> Runs {
        let mut made = Runs::default();
        ends.iter().for_each(|end| made.push(*end));
        made
    }
}
