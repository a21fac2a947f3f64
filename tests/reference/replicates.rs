//! Replicate weights: the jackknife against R's survey package (`as.svrepdesign`, types `JKn` and `JK1`, 4.1-1), the rescaling
//! bootstrap against the linearised variance that it stands for.

use crate::agreement::close;
use crate::r_survey_api::{Data, named};
use sampling::linear::{BoxTotal, Lonely, box_totals, expand, variance};
use sampling::replicate::{jackknife, rescaling_bootstrap};

fn of(data: &Data, column: &str) -> Vec<BoxTotal> {
    let (design, column) = (&data.design, &data.columns[column]);
    box_totals(
        &design.whole(),
        |_| false,
        |b, row| column.cell(design, b, row).value(),
    )
}

fn ones(data: &Data) -> Vec<BoxTotal> {
    box_totals(&data.design.whole(), |_| true, |_, _| 1.0)
}

#[cfg_attr(test, test)]
pub(crate) fn jackknife_of_r_survey() {
    for (name, mean, ratio, total) in [
        (
            "strat",
            9.4089408794340255,
            0.0077725089311114449,
            114641.71519039416,
        ),
        (
            "clus1",
            26.329360589527646,
            0.0095170851756147708,
            1389984.3264506038,
        ),
    ] {
        let data = named(name);
        let part = data.design.whole();
        let replicates = jackknife(&part).unwrap();
        let of_mean = replicates.variance_of_ratio(&part, &of(&data, "api00"), &ones(&data));
        close(of_mean.sqrt(), mean, 1e-10, 0.0, "mean");
        let of_ratio = replicates.variance_of_ratio(&part, &of(&data, "apistu"), &of(&data, "enroll"));
        close(of_ratio.sqrt(), ratio, 1e-10, 0.0, "ratio");
        close(
            replicates.variance_of_total(&part, &of(&data, "enroll")).sqrt(),
            total,
            1e-10,
            0.0,
            "total",
        );
    }
}

/// The mean of the bootstrap's variances of a total is the linearised variance; with 4,000 replicates of 15 and more boxes it is
/// within 10% (the relative standard error of a variance of 4,000 normal values is 2.2%; these are heavier-tailed).
#[cfg_attr(test, test)]
pub(crate) fn bootstrap_stands_for_the_first_stage() {
    for name in ["strat", "clus1", "clus2"] {
        let data = named(name);
        let part = data.design.whole();
        let replicates = rescaling_bootstrap(&part, "17", 4000).unwrap();
        let totals = of(&data, "api00");
        let linear = variance(&part, &totals, Lonely::Fail).unwrap().boxes;
        close(
            replicates.variance_of_total(&part, &totals),
            linear,
            0.1,
            0.0,
            name,
        );
        // The same seed gives the same bits, another one other weights.
        assert_eq!(replicates, rescaling_bootstrap(&part, "17", 4000).unwrap());
        assert_ne!(
            replicates.factors,
            rescaling_bootstrap(&part, "18", 4000).unwrap().factors
        );
        let mean_factor: f64 = replicates
            .factors
            .iter()
            .map(|f| f.iter().sum::<f64>() / f.len() as f64)
            .sum::<f64>()
            / 4000.0;
        close(mean_factor, 1.0, 0.01, 0.0, "factors average to one");
        assert!(replicates.factors.iter().flatten().all(|factor| *factor >= 0.0));
        assert!(expand(&part, &totals) > 0.0);
    }
}
