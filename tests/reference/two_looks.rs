//! Agreement (statsmodels 0.15.0 `cohens_kappa`; AC1 by Gwet's 2008 formula, irrCAC 0.4.4) and Rogan-Gladen.

use crate::agreement::{close, design_of};
use sampling::agreement::{of_counts, of_sample};
use sampling::interval::{Limits, binomial};
use sampling::linear::Lonely;
use sampling::misclassification::{Accuracy, corrected};

/// Tables with kappa, its standard error, AC1 and its standard error.
#[cfg_attr(test, test)]
pub(crate) fn kappa_and_ac1() {
    type Row = (Vec<Vec<f64>>, f64, f64, f64, f64);
    let table: [Row; 6] = [
        (
            vec![vec![20., 5.], vec![10., 15.]],
            0.4,
            0.1269960629311,
            0.405940594059406,
            0.130151717647886,
        ),
        (
            vec![vec![50., 26., 24.], vec![24., 4., 32.], vec![6., 30., 4.]],
            -0.0923076923076924,
            0.0400515441157755,
            -0.047970479704797,
            0.0526061016551117,
        ),
        (
            vec![vec![75., 1., 4.], vec![5., 4., 1.], vec![0., 0., 10.]],
            0.676470588235294,
            0.0877029534752125,
            0.867569601203913,
            0.039230233604192,
        ),
        (
            vec![vec![40., 9.], vec![6., 45.]],
            0.699519230769231,
            0.0713936026999882,
            0.700748129675811,
            0.0713518033597446,
        ),
        (
            vec![vec![80., 10.], vec![5., 5.]],
            0.318181818181818,
            0.133456521223836,
            0.808,
            0.0521294202384795,
        ),
        (
            vec![vec![118., 5.], vec![2., 0.]],
            -0.0233918128654961,
            0.0122867566728453,
            0.940776337608718,
            0.0229645512479329,
        ),
    ];
    for (counts, kappa, kappa_se, ac1, ac1_se) in table {
        let made = of_counts(&counts).unwrap();
        let what = format!("{counts:?}");
        close(made.kappa.unwrap(), kappa, 1e-12, 0.0, &what);
        // statsmodels takes a difference of large terms: its own last digits are gone where kappa's error is small.
        close(made.kappa_se.unwrap(), kappa_se, 1e-10, 0.0, &what);
        close(made.ac1, ac1, 1e-12, 0.0, &what);
        close(made.ac1_se, ac1_se, 1e-12, 0.0, &what);
    }
}

#[cfg_attr(test, test)]
pub(crate) fn one_answer_only_leaves_kappa_undefined() {
    let made = of_counts(&[vec![50., 0.], vec![0., 0.]]).unwrap();
    assert_eq!(
        (made.kappa, made.kappa_se, made.ac1, made.ac1_se),
        (None, None, 1.0, 0.0)
    );
    assert!(of_counts(&[]).is_none());
    assert!(of_counts(&[vec![1.0, 2.0]]).is_none());
    assert!(of_counts(&[vec![0.0; 2], vec![0.0; 2]]).is_none());
}

/// Boxes of one item from a frame without end are independent items; boxes of ten the same items are a tenth of them.
#[cfg_attr(test, test)]
pub(crate) fn errors_respect_boxes() {
    let counts = [vec![20., 5.], vec![10., 15.]];
    let plain = of_counts(&counts).unwrap();
    let pairs = |times: usize| -> Vec<Option<(usize, usize)>> {
        let cells = [((0, 0), 20), ((0, 1), 5), ((1, 0), 10), ((1, 1), 15)];
        cells
            .iter()
            .flat_map(|(cell, n)| vec![Some(*cell); n * times])
            .collect()
    };
    let design = |items: u64| {
        design_of((0..50u64).map(|i| {
            (
                String::new(),
                1 << 50,
                format!("{i}"),
                items,
                usize::try_from(items).unwrap(),
            )
        }))
    };
    // Over n - 1 boxes, not n items.
    let by_boxes = (50.0f64 / 49.0).sqrt();
    for items in [1, 10] {
        let design = design(items);
        let looks = pairs(usize::try_from(items).unwrap());
        let made = of_sample(&design.whole(), &looks, 2, Lonely::Fail)
            .unwrap()
            .unwrap();
        close(made.kappa.unwrap(), plain.kappa.unwrap(), 1e-12, 0.0, "kappa");
        close(
            made.kappa_se.unwrap(),
            plain.kappa_se.unwrap() * by_boxes,
            1e-9,
            0.0,
            "its error",
        );
        close(made.ac1_se, plain.ac1_se * by_boxes, 1e-9, 0.0, "error of AC1");
        close(
            made.observed_se,
            plain.observed_se * by_boxes,
            1e-9,
            0.0,
            "error of agreement",
        );
    }
    let design = design(1);
    assert_eq!(of_sample(&design.whole(), &[None; 50], 2, Lonely::Fail), Ok(None));
}

/// Rogan and Gladen 1978; inputs of the first from the documentation of the R package epiR, the others computed in Python.
#[cfg_attr(test, test)]
pub(crate) fn rogan_gladen() {
    let known = f64::INFINITY;
    let table: [[f64; 8]; 4] = [
        [
            23.0,
            150.0,
            0.96,
            0.89,
            0.0509803921568629,
            0.0346106666255509,
            -0.00658877917035208,
            0.128917449086274,
        ],
        [
            5.0,
            200.0,
            0.8,
            0.99,
            0.0189873417721518,
            0.0139743051682403,
            0.000917366647799039,
            0.0597194182362556,
        ],
        [
            1.0,
            200.0,
            0.9,
            0.97,
            -0.0287356321839081,
            0.00573274061587931,
            -0.0334676221659759,
            -0.00255896046219204,
        ],
        [
            58.0,
            150.0,
            0.93,
            0.975,
            0.39963167587477,
            0.0439361949590572,
            0.317669798665112,
            0.487847610605714,
        ],
    ];
    for [x, n, sensitivity, specificity, p, se, low, high] in table {
        let share: f64 = x / n;
        let accuracy = Accuracy {
            sensitivity,
            specificity,
            sensitivity_items: known,
            specificity_items: known,
        };
        let apparent_se = (share * (1.0 - share) / n).sqrt();
        let made = corrected(share, apparent_se, binomial::wilson(x, n, 0.95), &accuracy, 0.95).unwrap();
        close(made.raw, p, 1e-12, 0.0, "share");
        close(made.estimate, p.max(0.0), 1e-12, 0.0, "share, held");
        close(made.se, se, 1e-12, 0.0, "its error");
        close(made.limits.low, low.max(0.0), 1e-11, 0.0, "lower");
        close(made.limits.high, high.max(0.0), 1e-11, 0.0, "upper");
    }
    let uncertain = Accuracy {
        sensitivity: 0.93,
        sensitivity_items: 60.0,
        specificity: 0.975,
        specificity_items: 200.0,
    };
    let share: f64 = 58.0 / 150.0;
    let se = (share * (1.0 - share) / 150.0).sqrt();
    let apparent = binomial::wilson(58.0, 150.0, 0.95);
    let made = corrected(share, se, apparent, &uncertain, 0.95).unwrap();
    close(
        made.se,
        0.0468571657710966,
        1e-12,
        0.0,
        "error with uncertain rates",
    );
    let certain = corrected(
        share,
        se,
        apparent,
        &Accuracy {
            sensitivity_items: known,
            specificity_items: known,
            ..uncertain
        },
        0.95,
    );
    assert!(made.limits.high - made.limits.low > certain.unwrap().limits.high - certain.unwrap().limits.low);
    let useless = Accuracy {
        sensitivity: 0.4,
        specificity: 0.5,
        ..uncertain
    };
    assert!(corrected(share, se, Limits { low: 0.3, high: 0.5 }, &useless, 0.95).is_none());
}
