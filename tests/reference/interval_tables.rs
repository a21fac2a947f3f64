//! Tables of intervals from scipy 1.17.1 and statsmodels 0.15.0.
//!
//! `data/binomial_intervals.csv`: `statsmodels.stats.proportion.proportion_confint(x, n, 1 - level, method)`, methods
//! `wilson`, `beta` (exact) and `jeffreys`. `data/hypergeometric_limits.csv`: the numbers that neither one-sided test with
//! `scipy.stats.hypergeom` rejects, 95% two-sided, and the one-sided 95% upper limit.

use crate::agreement::close;
use sampling::interval::{binomial, hypergeometric};

#[test]
fn binomial_intervals() {
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

#[test]
fn hypergeometric_limits() {
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
#[test]
fn rule_of_three() {
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
#[test]
fn boxes_with_none_seen() {
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
