//! How many boxes of each stratum: proportional, Neyman (1934), or for the least error at a given cost; whole numbers, none
//! over the stratum's boxes and none under a minimum.

/// A stratum, as far as allocation is concerned.
///
/// ```
/// use sampling::plan::allocation::{Rule, Stratum, shares};
/// let cellar = Stratum { boxes: 100, spread: 2.0, cost: 4.0 };
/// let office = Stratum { boxes: 100, spread: 1.0, cost: 1.0 };
/// // Twice the spread at four times the cost is worth as many boxes.
/// assert_eq!(shares(&[cellar, office], 20.0, Rule::Cost), [10.0, 10.0]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stratum {
    /// Boxes in it.
    pub boxes: u64,
    /// Standard deviation of what is to be estimated, between its boxes.
    pub spread: f64,
    /// Cost of a box, in any unit.
    pub cost: f64,
}

/// By what the boxes are shared out.
///
/// ```
/// use sampling::plan::allocation::{Rule, Stratum, shares};
/// let strata = [(300, 1.0), (100, 3.0)].map(|(boxes, spread)| Stratum { boxes, spread, cost: 1.0 });
/// assert_eq!(shares(&strata, 40.0, Rule::Proportional), [30.0, 10.0]);
/// assert_eq!(shares(&strata, 40.0, Rule::Neyman), [20.0, 20.0]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// In proportion to the stratum's boxes.
    Proportional,
    /// In proportion to boxes times spread.
    Neyman,
    /// In proportion to boxes times spread over the square root of cost.
    Cost,
}

/// The unrounded shares of `n` by a rule, without minimum or cap.
///
/// ```
/// use sampling::plan::allocation::{Rule, Stratum, shares};
/// let strata = [1, 2].map(|boxes| Stratum { boxes, spread: 1.0, cost: 1.0 });
/// let made = shares(&strata, 10.0, Rule::Proportional);
/// assert!((made[0] - 10.0 / 3.0).abs() < 1e-12, "not rounded, and not held to the boxes that there are");
/// ```
#[must_use]
pub fn shares(strata: &[Stratum], n: f64, rule: Rule) -> Vec<f64> {
    let claims: Vec<f64> = strata.iter().map(|s| claim(s, rule)).collect();
    let whole: f64 = claims.iter().sum();
    claims
        .iter()
        .map(|claim| if whole > 0.0 { n * claim / whole } else { 0.0 })
        .collect()
}

fn claim(stratum: &Stratum, rule: Rule) -> f64 {
    let boxes = stratum.boxes as f64;
    match rule {
        Rule::Proportional => boxes,
        Rule::Neyman => boxes * stratum.spread,
        Rule::Cost => boxes * stratum.spread / stratum.cost.sqrt(),
    }
}

/// Shares out `n` boxes: every stratum gets at least `minimum` (all it has, if that is fewer) and at most all it has; the rest
/// goes by the rule, what a full stratum cannot take going to the others, and fractions to the largest remainders (ties to
/// the stratum that comes first).
///
/// The minimum comes before `n`: with few boxes the sum is that of the minima.
///
/// ```
/// use sampling::plan::allocation::{Rule, Stratum, allocate};
/// let strata = [(1000, 0.1), (50, 2.0)].map(|(boxes, spread)| Stratum { boxes, spread, cost: 1.0 });
/// assert_eq!(allocate(&strata, 200, Rule::Neyman, 2), [150, 50]);
/// ```
#[must_use]
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "shares lie between 0 and the stratum's boxes"
)]
pub fn allocate(strata: &[Stratum], n: u64, rule: Rule, minimum: u64) -> Vec<u64> {
    let least: Vec<u64> = strata.iter().map(|s| minimum.min(s.boxes)).collect();
    let all: u64 = strata.iter().map(|s| s.boxes).sum();
    let n = n.clamp(least.iter().sum(), all);
    // Strata held at their minimum or their cap leave the sharing, one at a time, until none is out of bounds.
    let mut held: Vec<Option<u64>> = vec![None; strata.len()];
    let free_shares = loop {
        let taken: u64 = held.iter().flatten().sum();
        let free: Vec<usize> = (0..strata.len()).filter(|h| held[*h].is_none()).collect();
        let claims: Vec<Stratum> = free.iter().map(|h| strata[*h]).collect();
        let mut by_rule = shares(&claims, n.saturating_sub(taken) as f64, rule);
        if by_rule.iter().sum::<f64>() <= 0.0 {
            by_rule = shares(&claims, n.saturating_sub(taken) as f64, Rule::Proportional);
        }
        // Caps first: what they give back may lift another stratum over its minimum.
        let over = free
            .iter()
            .zip(&by_rule)
            .find(|(h, share)| **share > strata[**h].boxes as f64)
            .map(|(h, _)| *h);
        let under = free
            .iter()
            .zip(&by_rule)
            .find(|(h, share)| **share < least[**h] as f64)
            .map(|(h, _)| *h);
        match (over, under) {
            (Some(h), _) => held[h] = Some(strata[h].boxes),
            (None, Some(h)) => held[h] = Some(least[h]),
            (None, None) => break free.into_iter().zip(by_rule).collect::<Vec<_>>(),
        }
    };
    let mut made: Vec<u64> = held.iter().map(|h| h.unwrap_or(0)).collect();
    for (h, share) in &free_shares {
        made[*h] = share.floor() as u64;
    }
    let mut remainders: Vec<(f64, usize)> = free_shares
        .iter()
        .map(|(h, share)| (share - share.floor(), *h))
        .collect();
    remainders.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut left = n.saturating_sub(made.iter().sum());
    for (_, h) in remainders.into_iter().chain((0..strata.len()).map(|h| (0.0, h))) {
        if left == 0 {
            break;
        }
        if made[h] < strata[h].boxes {
            made[h] += 1;
            left -= 1;
        }
    }
    made
}

/// The variance of the stratified mean over all boxes, with the finite population corrections.
///
/// ```
/// use sampling::plan::allocation::{Stratum, variance_of_mean};
/// let strata = [Stratum { boxes: 100, spread: 2.0, cost: 1.0 }];
/// assert!((variance_of_mean(&strata, &[25.0]) - 4.0 * 0.75 / 25.0).abs() < 1e-12);
/// assert_eq!(variance_of_mean(&strata, &[100.0]), 0.0);
/// ```
#[must_use]
pub fn variance_of_mean(strata: &[Stratum], sampled: &[f64]) -> f64 {
    let all: f64 = strata.iter().map(|s| s.boxes as f64).sum();
    strata
        .iter()
        .zip(sampled)
        .map(|(s, n)| {
            let weight = s.boxes as f64 / all;
            weight * weight * s.spread * s.spread * (1.0 / n - 1.0 / s.boxes as f64)
        })
        .sum()
}
