//! Tables of intervals from scipy 1.17.1 and statsmodels 0.15.0.
//!
//! `data/binomial_intervals.csv`: `statsmodels.stats.proportion.proportion_confint(x, n, 1 - level, method)`, methods
//! `wilson`, `beta` (exact) and `jeffreys`. `data/hypergeometric_limits.csv`: the numbers that neither one-sided test with
//! `scipy.stats.hypergeom` rejects, 95% two-sided, and the one-sided 95% upper limit.

use crate::agreement::close;
use sampling::interval::{binomial, hypergeometric};

#[cfg_attr(test, test)]
pub(crate) fn binomial_intervals() {
    let mut compared = 0;
    for line in include_str!("data/binomial_intervals.csv").lines().skip(1) {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        let (x, n, level) = (cells[0], cells[1], cells[2]);
        let made = [
            binomial::wilson(x, n, level),
            binomial::clopper_pearson(x, n, level),
            binomial::jeffreys(x, n, level),
        ];
        for (limits, wanted) in made.into_iter().zip(cells[3..].chunks(2)) {
            // Where none or all were seen, statsmodels leaves the Jeffreys limit inside; it belongs at 0 or 1.
            let low = if x == 0.0 { 0.0 } else { wanted[0] };
            let high = if x == n { 1.0 } else { wanted[1] };
            close(limits.low, low, 1e-12, 1e-15, line);
            close(limits.high, high, 1e-12, 1e-15, line);
            compared += 2;
        }
    }
    assert_eq!(compared, 150);
}

#[cfg_attr(test, test)]
pub(crate) fn hypergeometric_limits() {
    let mut compared = 0;
    for line in include_str!("data/hypergeometric_limits.csv").lines().skip(1) {
        let cells: Vec<u64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        let limits = hypergeometric::limits(cells[2], cells[1], cells[0], 0.95).unwrap();
        assert_eq!((limits.least, limits.most), (cells[3], cells[4]), "{line}");
        assert_eq!(
            hypergeometric::upper_limit(cells[2], cells[1], cells[0], 0.95),
            Some(cells[5]),
            "{line}"
        );
        compared += 1;
    }
    assert_eq!(compared, 18);
}

/// Hanley and Lippman-Hand 1983: nothing seen in n leaves at most about 3 / n, one-sided 95%.
#[cfg_attr(test, test)]
pub(crate) fn rule_of_three() {
    for (n, one_sided) in [
        (5.0, 0.450719728346941),
        (30.0, 0.0950338528553042),
        (3000.0, 0.000998079011996555),
    ] {
        let level = sampling::interval::two_sided_level(0.95);
        close(
            binomial::clopper_pearson(0.0, n, level).high,
            one_sided,
            1e-12,
            0.0,
            "none seen",
        );
    }
}

/// No box with the condition among those opened: at most so many in the frame, one-sided and two-sided 95%.
#[cfg_attr(test, test)]
pub(crate) fn boxes_with_none_seen() {
    let table = [
        (10, 3, 5, 6),
        (40, 10, 9, 10),
        (100, 20, 12, 15),
        (250, 30, 22, 27),
        (500, 59, 23, 28),
    ];
    for (frame, opened, one_sided, two_sided) in
        table.into_iter().chain([(1000, 59, 48, 58), (4000, 300, 38, 47)])
    {
        assert_eq!(
            hypergeometric::upper_limit(0, opened, frame, 0.95),
            Some(one_sided)
        );
        assert_eq!(
            hypergeometric::limits(0, opened, frame, 0.95).unwrap().most,
            two_sided
        );
    }
}

/// The same through a design: 59 of 4,000 boxes, whole; then some read in part, and two strata.
#[cfg_attr(test, test)]
pub(crate) fn boxes_of_a_design() {
    use crate::agreement::design_of;
    use sampling::column::Column;
    use sampling::estimate::{Options, boxes_at_most, boxes_with};

    let of = |rows: usize, yes: usize, frame: u64| {
        let named = (0..59u64).map(|i| (String::new(), frame, format!("{i}"), 3, rows));
        let design = design_of(named);
        let answer = |row| Some(f64::from(u8::from(row % rows == 0 && row / rows < yes)));
        let column = Column::of_rows(&design, (0..59 * rows).map(answer).collect()).unwrap();
        (design, column)
    };
    let options = Options::default();
    let (design, none) = of(3, 0, 4000);
    assert_eq!(boxes_at_most(&design.whole(), &none, &options), Ok(196));
    assert_eq!(boxes_with(&design.whole(), &none, &options).unwrap().most, 240);
    let (design, two) = of(3, 2, 4000);
    let made = boxes_with(&design.whole(), &two, &options).unwrap();
    let exact = hypergeometric::limits(2, 59, 4000, 0.95).unwrap();
    assert_eq!(
        (made.with, made.undetermined, made.least, made.most),
        (2, 0, exact.least, exact.most)
    );
    // Two of three items read: a box without a yes among them may still have it in the third.
    let (design, two) = of(2, 2, 4000);
    let made = boxes_with(&design.whole(), &two, &options).unwrap();
    assert_eq!((made.sampled, made.with, made.undetermined), (59, 2, 57));
    assert_eq!((made.least, made.most), (exact.least, 4000));
    let census = of(3, 5, 59);
    let made = boxes_with(&census.0.whole(), &census.1, &options).unwrap();
    assert_eq!((made.least, made.most), (5, 5));
    // Two strata share what may lie outside: each has limits at 97.5%.
    let strata = ["a", "b"]
        .into_iter()
        .flat_map(|key| (0..20u64).map(move |i| (key.to_owned(), 100, format!("{i}"), 1, 1)));
    let design = design_of(strata);
    let column = Column::of_rows(&design, vec![Some(0.0); 40]).unwrap();
    let each = hypergeometric::limits(0, 20, 100, 0.975).unwrap().most;
    assert_eq!(
        boxes_with(&design.whole(), &column, &options).unwrap().most,
        2 * each
    );
}
