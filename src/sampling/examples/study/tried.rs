//! Other constants of the default rule, on the very samples of the study: what narrower limits would cost.

use crate::cells::{Cell, Set};
use crate::population::Population;
use sampling::estimate::{self, Options};
use sampling::interval::joint::{Rule, limits_by};
use sampling::random::Stream;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

const LEVEL: f64 = 0.95;
/// The sets in range: one to choose by, three to judge by.
const SETS: [Set; 4] = [Set::Tuning, Set::Judging, Set::JudgingAgain, Set::JudgingThird];

/// The rules, the default first.
fn rules() -> Vec<(&'static str, Rule)> {
    let with = |change: fn(&mut Rule)| {
        let mut rule = Rule::DEFAULT;
        change(&mut rule);
        rule
    };
    vec![
        ("default", Rule::DEFAULT),
        (
            "items less alike: prior (0.8, 5)",
            with(|rule| rule.prior = (0.8, 5.0)),
        ),
        (
            "items hardly alike: prior (0.5, 5)",
            with(|rule| rule.prior = (0.5, 5.0)),
        ),
        (
            "none seen: correlation 0.25",
            with(|rule| rule.nothing_seen = 0.25),
        ),
        (
            "few boxes widened less: 20 of them",
            with(|rule| rule.few_boxes = 20.0),
        ),
    ]
}

/// Coverage in per cent and mean width of one rule in one cell.
type Cellful = (f64, f64);

/// Prints of each set what each rule comes to.
pub(crate) fn print(cells: &[Cell], draws: usize, threads: usize) -> Result<(), String> {
    let cells: Vec<&Cell> = cells.iter().filter(|cell| SETS.contains(&cell.set)).collect();
    let rules = rules();
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<Option<Vec<Cellful>>>> = Mutex::new(vec![None; cells.len()]);
    let work = || {
        loop {
            let i = next.fetch_add(1, Ordering::Relaxed);
            let Some(cell) = cells.get(i) else { return };
            let made = of_cell(cell, draws, &rules);
            let Ok(mut all) = done.lock() else { return };
            all[i] = Some(made);
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(work);
        }
    });
    let all = done
        .into_inner()
        .map_err(|_| "a thread ended in a panic.".to_owned())?;
    println!("{draws} samples a cell, the same for every rule\n");
    println!(
        "| cells | rule | mean coverage | worst cell | under goal | mean width |\n|---|---|---|---|---|---|"
    );
    for set in SETS {
        for (r, (name, _)) in rules.iter().enumerate() {
            let own: Vec<(&Cell, Cellful)> = cells
                .iter()
                .zip(&all)
                .filter(|(cell, _)| cell.set == set)
                .filter_map(|(cell, made)| Some((*cell, *made.as_ref()?.get(r)?)))
                .collect();
            let mean =
                |of: fn(&Cellful) -> f64| own.iter().map(|(_, c)| of(c)).sum::<f64>() / own.len() as f64;
            let under = own.iter().filter(|(cell, c)| c.0 < cell.goal()).count();
            let worst = own.iter().min_by(|a, b| a.1.0.total_cmp(&b.1.0));
            let worst = worst.map_or_else(String::new, |(cell, c)| format!("{:.1} ({})", c.0, cell.name()));
            println!(
                "| {} | {name} | {:.1} | {worst} | {under} | {:.3} |",
                if r == 0 { set.title() } else { "" },
                mean(|c| c.0),
                mean(|c| c.1)
            );
        }
    }
    Ok(())
}

fn of_cell(cell: &Cell, draws: usize, rules: &[(&str, Rule)]) -> Vec<Cellful> {
    let mut made = vec![(0.0, 0.0); rules.len()];
    let mut answered = 0.0;
    for k in 0..draws.div_ceil(crate::DRAWS) {
        let mut stream = Stream::new(crate::SEED, &format!("{}, collection {k}", cell.name()));
        let population = Population::new(cell, &mut stream);
        for _ in 0..crate::DRAWS {
            let drawn = population.draw(cell, &mut stream);
            let Ok((design, column)) = population.told(cell, &drawn, None) else {
                continue;
            };
            let part = design.whole();
            let Ok(share) = estimate::mean(&part, &column, &Options::default()) else {
                continue;
            };
            let boxes = estimate::box_answers(&part, &column);
            answered += 1.0;
            for ((covered, width), (_, rule)) in made.iter_mut().zip(rules) {
                let variance = share.se * share.se;
                if let Some(found) = limits_by(rule, share.estimate, variance, share.df, &boxes, LEVEL) {
                    let (low, high) = (found.limits.low - 1e-12, found.limits.high + 1e-12);
                    *covered += f64::from(u8::from(low <= population.share && population.share <= high));
                    *width += high - low;
                }
            }
        }
    }
    made.iter()
        .map(|(covered, width)| (100.0 * covered / answered, width / answered))
        .collect()
}
