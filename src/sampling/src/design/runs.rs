//! Where boxes end, laid out for sweeps over whole columns.

/// A column is swept in runs of so many rows: what is true of a row can be counted in a byte.
pub(crate) const ROWS: usize = 248;

/// The boxes of a design, run by run.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Runs {
    /// How many boxes end in each run. One that ends with the last row of a run ends at the first of the next.
    boxes: Vec<usize>,
    /// Of each box how many rows of its run come before its end.
    ends: Vec<u8>,
}

impl Runs {
    pub(super) fn reserve(&mut self, boxes: usize) {
        self.ends.reserve(boxes);
    }

    /// Another box, whose rows end before row `end`.
    #[allow(clippy::cast_possible_truncation, reason = "a remainder below 248")]
    pub(crate) fn push(&mut self, end: usize) {
        let run = end / ROWS;
        if self.boxes.len() <= run {
            self.boxes.resize(run + 1, 0);
        }
        self.boxes[run] += 1;
        self.ends.push((end % ROWS) as u8);
    }

    /// How many boxes there are.
    pub(crate) fn len(&self) -> usize {
        self.ends.len()
    }

    /// Of each run where the boxes that end in it end.
    pub(crate) fn each(&self) -> impl Iterator<Item = &[u8]> {
        let mut left = &self.ends[..];
        self.boxes.iter().map(move |boxes| {
            let (own, rest) = left.split_at(*boxes);
            left = rest;
            own
        })
    }
}
