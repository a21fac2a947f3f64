//! What the worker's half of the app takes at a desk for the questions that take longest: `speed SURVEY.zip`, milliseconds
//! by question. `tests/browser/measure_estimates.py` asks the released module the same in a browser.
#![allow(clippy::unwrap_used, reason = "a measuring that cannot be made has failed")]
#![allow(clippy::disallowed_methods, reason = "a desk has files and a clock")]

use std::collections::BTreeMap;
use std::time::Instant;

use handover::survey_file;
use labour::{Ask, Asked, Hand, Sent};

/// Each question is asked of as many hands; the median counts.
const TIMES: usize = 5;

fn main() {
    let path = std::env::args().nth(1).unwrap();
    let log = survey_file::read(&std::fs::read(path).unwrap()).unwrap().log;
    let (known, lines) = Sent::default().news(&log).unwrap();
    let mut taken: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for _ in 0..TIMES {
        let mut hand = Hand::default();
        let asked = [
            ("reading", Ask::Nothing),
            ("fold and figures", Ask::Figures),
            ("figures", Ask::Figures),
            ("draws", Ask::Outlook),
        ];
        for (id, (name, ask)) in (1..).zip(asked) {
            let (known, bytes) = match ask {
                Ask::Nothing => (Some(known.clone()), vec![lines.clone()]),
                _ => (None, Vec::new()),
            };
            let asked = Asked { id, known, ask };
            let start = Instant::now();
            hand.perform(asked, bytes, &mut |_, _| {}).unwrap();
            let ms = start.elapsed().as_secs_f64() * 1e3;
            taken.entry(name).or_default().push(ms);
        }
    }
    for (name, mut all) in taken {
        all.sort_by(f64::total_cmp);
        println!("{name}\t{:.3}", all[TIMES / 2]);
    }
}
