//! R's survey package 4.1-1 on the api and mu284 data: `data/r_survey_api.csv`, made by `data/api.R`.

use crate::agreement::{close, design_of};
use sampling::column::Column;
use sampling::design::Design;
use sampling::estimate::{self, Estimate, Options, Share};
use sampling::interval::{Kind, Limits};
use sampling::linear::Lonely;
use std::collections::BTreeMap;

pub(crate) struct Data {
    pub(crate) design: Design,
    pub(crate) columns: BTreeMap<&'static str, Column>,
    pub(crate) stype: Vec<String>,
}

/// Reads one of the api samples: schools as items of districts, or as boxes of one item.
fn data(text: &str, stratum: Option<&str>, cluster: &str, fpc: &str, items: Option<&str>) -> Data {
    let mut lines = text.lines();
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    let records: Vec<Vec<&str>> = lines.map(|line| line.split(',').collect()).collect();
    let at = |name: &str| header.iter().position(|h| *h == name).unwrap();
    let whole = |row: usize, name: &str| records[row][at(name)].parse::<u64>().unwrap();
    let mut boxes: BTreeMap<(String, u64), Vec<usize>> = BTreeMap::new();
    for (row, record) in records.iter().enumerate() {
        let key = stratum.map_or(String::new(), |s| record[at(s)].to_owned());
        boxes.entry((key, whole(row, cluster))).or_default().push(row);
    }
    let order: Vec<usize> = boxes.values().flatten().copied().collect();
    let sampled = boxes.iter().map(|((key, id), rows)| {
        let count = items.map_or(rows.len() as u64, |name| whole(rows[0], name));
        (
            key.clone(),
            whole(rows[0], fpc),
            format!("{id}"),
            count,
            rows.len(),
        )
    });
    let design = design_of(sampled);
    let column = |name: &str| {
        let values = order
            .iter()
            .map(|row| records[*row][at(name)].parse::<f64>().ok())
            .collect();
        Column::of_rows(&design, values).unwrap()
    };
    let columns = ["api00", "enroll", "apistu", "wide", "noell"]
        .into_iter()
        .map(|name| (name, column(name)))
        .collect();
    let stype = order
        .iter()
        .map(|row| records[*row][at("stype")].to_owned())
        .collect();
    Data {
        design,
        columns,
        stype,
    }
}

pub(crate) fn named(name: &str) -> Data {
    match name {
        "srs" => data(include_str!("data/api_srs.csv"), None, "snum", "fpc", None),
        "strat" => data(
            include_str!("data/api_strat.csv"),
            Some("stype"),
            "snum",
            "fpc",
            None,
        ),
        "clus1" => data(include_str!("data/api_clus1.csv"), None, "dnum", "fpc", None),
        "clus2" => data(
            include_str!("data/api_clus2.csv"),
            None,
            "dnum",
            "fpc1",
            Some("fpc2"),
        ),
        other => panic!("no data {other}"),
    }
}

/// Estimate, standard error, design effect and limits of one quantity, as far as it has them.
fn made(data: &Data, quantity: &str) -> [Option<f64>; 5] {
    let part = data.design.whole();
    let plain = Options {
        lonely: Lonely::Fail,
        ..Options::default()
    };
    let of_total = |e: Estimate| {
        [
            Some(e.estimate),
            Some(e.se),
            None,
            e.limits.map(|l| l.low),
            e.limits.map(|l| l.high),
        ]
    };
    let of_share = |s: Share, limits: Option<Limits>| {
        [
            Some(s.estimate),
            Some(s.se),
            Some(s.deff),
            limits.map(|l| l.low),
            limits.map(|l| l.high),
        ]
    };
    let words: Vec<&str> = quantity.split(' ').collect();
    let column = |i: usize| &data.columns[words[i]];
    let with = |interval| {
        let share = estimate::share(&part, column(1), &Options { interval, ..plain }).unwrap();
        let limits = share.limits;
        of_share(share, limits)
    };
    let own = |kind: &str| {
        let inside = data
            .stype
            .iter()
            .map(|s| Some(f64::from(u8::from(s == kind))))
            .collect();
        Column::of_rows(&data.design, inside).unwrap()
    };
    match words[..] {
        ["df"] => [Some(data.design.degrees_of_freedom()), None, None, None, None],
        ["items"] => of_total(estimate::items(&part, &plain).unwrap()),
        ["mean", _] => {
            let mean = estimate::mean(&part, column(1), &plain).unwrap();
            let limits = mean.limits;
            of_share(mean, limits)
        }
        ["total", _] => of_total(estimate::total(&part, column(1), &plain).unwrap()),
        ["count", _] => of_total(estimate::count(&part, column(1), &plain).unwrap()),
        ["share", _] => of_share(estimate::share(&part, column(1), &plain).unwrap(), None),
        ["beta", _] => with(Kind::Beta),
        ["logit", _] => with(Kind::Logit),
        ["wilson", _] => with(Kind::Wilson),
        ["mean", _, "of", kind] => of_share(
            estimate::domain_mean(&part, column(1), &own(kind), &plain).unwrap(),
            None,
        ),
        ["total", _, "of", kind] => {
            of_total(estimate::domain_total(&part, column(1), &own(kind), &plain).unwrap())
        }
        _ => panic!("no quantity {quantity}"),
    }
}

#[cfg_attr(test, test)]
pub(crate) fn api_samples() {
    let mut compared = 0;
    let mut loaded: BTreeMap<&str, Data> = BTreeMap::new();
    for line in include_str!("data/r_survey_api.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        if cells[0] == "mu284" {
            continue;
        }
        let data = loaded.entry(cells[0]).or_insert_with(|| named(cells[0]));
        for (ours, theirs) in made(data, cells[1]).into_iter().zip(&cells[2..]) {
            let Ok(theirs) = theirs.parse::<f64>() else {
                continue;
            };
            // A variance that is 0 here may be rounding there: R's stype totals of a stratified sample, say.
            close(ours.unwrap(), theirs, 1e-9, 1e-9, line);
            compared += 1;
        }
    }
    assert!(compared > 230, "{compared} values compared");
}

#[cfg_attr(test, test)]
pub(crate) fn mu284() {
    let y = [
        [41, 49, 49],
        [49, 49, 45],
        [31, 31, 35],
        [39, 41, 61],
        [49, 51, 33],
    ];
    let sizes = [(19, 5), (45, 8), (47, 5), (50, 9), (31, 7)];
    let design = design_of(
        sizes
            .iter()
            .map(|(id, items)| (String::new(), 50, id.to_string(), *items, 3)),
    );
    let column = Column::of_rows(&design, y.iter().flatten().map(|v| Some(f64::from(*v))).collect()).unwrap();
    let total = estimate::total(&design.whole(), &column, &Options::default()).unwrap();
    close(total.estimate, 15080.0, 1e-12, 0.0, "total");
    close(total.se, 2274.25470087333, 1e-12, 0.0, "se of total");
    close(total.limits.unwrap().low, 8765.65666778717, 1e-12, 0.0, "low");
    close(total.limits.unwrap().high, 21394.3433322128, 1e-12, 0.0, "high");
    let mean = estimate::mean(&design.whole(), &column, &Options::default()).unwrap();
    close(mean.estimate, 44.3529411764706, 1e-12, 0.0, "mean");
    close(mean.se, 2.27365272781592, 1e-12, 0.0, "se of mean");
    let over = Column::of_rows(
        &design,
        y.iter()
            .flatten()
            .map(|v| Some(f64::from(u8::from(*v > 44))))
            .collect(),
    )
    .unwrap();
    let beta = Options {
        interval: Kind::Beta,
        ..Options::default()
    };
    let share = estimate::share(&design.whole(), &over, &beta).unwrap();
    close(share.se, 0.159531587872343, 1e-12, 0.0, "se of share");
    close(
        share.limits.unwrap().low,
        0.145982340238979,
        1e-12,
        0.0,
        "low of share",
    );
    close(
        share.limits.unwrap().high,
        0.915964105615736,
        1e-12,
        0.0,
        "high of share",
    );
}
