//! Special functions against mpmath 1.x at 60 digits (`data/special_functions.csv`; every value `float()` of its result).
//!
//! The generating calls: `betainc(a, b, 0, x, regularized=True)` and `betainc(a, b, x, 1, regularized=True)`,
//! `loggamma`, `log(beta(a, b))`, `ncdf`, and for quantiles the root of those to 25 digits, started from scipy 1.17.1's
//! `beta.ppf`, `norm.ppf` and `t.ppf`.

use sampling::math;

const TABLE: &str = include_str!("data/special_functions.csv");

fn relative(got: f64, want: f64) -> f64 {
    if got == want {
        0.0
    } else {
        (got - want).abs() / want.abs()
    }
}

/// Values of the table agree to `within`, relative; returns how many were compared.
fn agree(function: &str, within: f64, made: impl Fn(f64, f64, f64) -> (f64, Option<f64>)) -> usize {
    let mut seen = 0;
    let mut faults = String::new();
    for line in TABLE
        .lines()
        .skip(1)
        .filter(|line| line.split(',').next() == Some(function))
    {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |i: usize| cells[i].parse::<f64>().unwrap_or(f64::NAN);
        let (value, upper) = made(number(1), number(2), number(3));
        let mut compare = |got: f64, want: f64| {
            let off = relative(got, want);
            // Written so that a NaN is a fault too.
            if off > within || off.is_nan() {
                faults += &format!("{line}: {got:e}, off by {off:.1e}\n");
            }
        };
        compare(value, number(4));
        if let Some(upper) = upper {
            compare(upper, number(5));
        }
        seen += 1;
    }
    assert!(faults.is_empty(), "{faults}");
    seen
}

#[cfg_attr(test, test)]
pub(crate) fn beta_distribution() {
    let made = |a, b, x| {
        let tails = math::beta_cdf(a, b, x);
        (tails.lower, Some(tails.upper))
    };
    assert!(agree("beta_cdf", 2e-13, made) > 60);
}

#[cfg_attr(test, test)]
pub(crate) fn beta_quantiles() {
    assert!(
        agree("beta_quantile", 2e-13, |a, b, p| (
            math::beta_quantile(p, a, b),
            None
        )) > 50
    );
}

#[cfg_attr(test, test)]
pub(crate) fn a_quantile_under_the_smallest_number_is_zero() {
    assert_eq!(math::beta_quantile(0.025, 0.002, 5.0), 0.0);
}

#[cfg_attr(test, test)]
pub(crate) fn gamma_and_beta_functions() {
    assert!(agree("ln_gamma", 1e-14, |a, _, _| (math::ln_gamma(a), None)) > 10);
    assert!(agree("ln_beta", 1e-13, |a, b, _| (math::ln_beta(a, b), None)) > 10);
}

#[cfg_attr(test, test)]
pub(crate) fn normal_distribution() {
    assert!(agree("normal_cdf", 1e-13, |x, _, _| (math::normal_cdf(x), None)) > 5);
    assert!(
        agree("normal_quantile", 1e-14, |p, _, _| (
            math::normal_quantile(p),
            None
        )) > 10
    );
}

#[cfg_attr(test, test)]
pub(crate) fn student_distribution() {
    assert!(agree("t_cdf", 1e-13, |t, df, _| (math::t_cdf(t, df), None)) > 40);
    assert!(agree("t_quantile", 1e-12, |p, df, _| (math::t_quantile(p, df), None)) > 50);
}
