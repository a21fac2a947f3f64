//! Replicate weights: the same estimate many times over, with boxes left out or drawn again.
//!
//! Used where linearisation is not to be trusted (few boxes, curved statistics) and as a check of it. Both methods resample
//! boxes as drawn at random (of a systematic draw too) and carry the finite population correction of the first stage; what items vary inside boxes is in the boxes' totals.

use crate::design::{DesignBox, Part};
use crate::linear::{BoxTotal, VarianceError};
use crate::math::sum;
use crate::random::Stream;

/// Sets of factors by which the boxes' weights are multiplied, one factor a box of the part.
///
/// ```
/// # let sampling::example::Shelf { design, .. } = sampling::example::shelf();
/// # let part = design.whole();
/// let made = sampling::replicate::jackknife(&part)?;
/// // Box after box left out, the others raised by 4/3.
/// assert_eq!(made.factors[1], [4.0 / 3.0, 0.0, 4.0 / 3.0, 4.0 / 3.0]);
/// assert!((made.scales[1] - 0.9 * 3.0 / 4.0).abs() < 1e-15);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Replicates {
    /// One set a replicate; boxes that were not reached have 0 throughout.
    pub factors: Vec<Vec<f64>>,
    /// What a replicate's squared deviation counts for in the variance.
    pub scales: Vec<f64>,
    /// The method's name, with its seed where it has one.
    pub method: String,
}

/// The stratified jackknife: each box in turn left out, the others of its stratum raised by `n_h / (n_h - 1)`; a replicate of
/// stratum h counts for `(1 - f_h) (n_h - 1) / n_h` (Rust and Rao 1996, from memory). Strata taken whole have none.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// # use sampling::linear::box_totals;
/// # use sampling::replicate::{jackknife, rescaling_bootstrap};
/// # let totals = box_totals(&part, |_| false, |b, row| hours.cell(&design, b, row).value());
/// let made = jackknife(&part)?;
/// assert_eq!(made.factors.len(), 4);
/// // Of a total it is the linearised variance.
/// let se = estimate::total(&part, &hours, &options)?.se;
/// assert!((made.variance_of_total(&part, &totals).sqrt() - se).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`VarianceError::LonelyBox`] for a stratum with one box in n that is not taken whole.
pub fn jackknife(part: &Part<'_>) -> Result<Replicates, VarianceError> {
    let boxes = &part.design.boxes()[part.box_indices()];
    let base: Vec<f64> = boxes.iter().map(|b| f64::from(u8::from(b.reached()))).collect();
    let mut made = Replicates {
        factors: Vec::new(),
        scales: Vec::new(),
        method: "stratified jackknife".to_owned(),
    };
    for stratum in part.strata() {
        if stratum.census() {
            continue;
        }
        if stratum.lonely() {
            return Err(VarianceError::LonelyBox(stratum.key.clone()));
        }
        let n = stratum.reached_f64();
        let first = part.box_indices().start;
        let own = stratum.boxes.start - first..stratum.boxes.end - first;
        for left_out in own.clone().filter(|i| boxes[*i].reached()) {
            let mut factors = base.clone();
            for i in own.clone() {
                factors[i] *= if i == left_out { 0.0 } else { n / (n - 1.0) };
            }
            made.factors.push(factors);
            made.scales.push((1.0 - stratum.fraction()) * (n - 1.0) / n);
        }
    }
    Ok(made)
}

/// The rescaling bootstrap (Rao, Wu and Yue 1992) with finite population corrections: in each stratum `n_h - 1` boxes are drawn
/// with replacement, and a box drawn `k` times has the factor `1 - l + l k n_h / (n_h - 1)` with `l = sqrt(1 - f_h)`.
///
/// ```
/// # use sampling::estimate;
/// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
/// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
/// # use sampling::linear::box_totals;
/// # use sampling::replicate::{jackknife, rescaling_bootstrap};
/// # let totals = box_totals(&part, |_| false, |b, row| hours.cell(&design, b, row).value());
/// let made = rescaling_bootstrap(&part, "a seed", 500)?;
/// let se = estimate::total(&part, &hours, &options)?.se;
/// assert!((made.variance_of_total(&part, &totals).sqrt() / se - 1.0).abs() < 0.2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`VarianceError::LonelyBox`] for a stratum with one box in n that is not taken whole.
pub fn rescaling_bootstrap(
    part: &Part<'_>,
    seed: &str,
    replicates: usize,
) -> Result<Replicates, VarianceError> {
    if let Some(stratum) = part.strata().iter().find(|s| s.lonely()) {
        return Err(VarianceError::LonelyBox(stratum.key.clone()));
    }
    let boxes = &part.design.boxes()[part.box_indices()];
    let first = part.box_indices().start;
    let mut stream = Stream::new(seed, "rescaling bootstrap");
    let mut all = Vec::with_capacity(replicates);
    let reached: Vec<Vec<usize>> = part
        .strata()
        .iter()
        .map(|s| {
            (s.boxes.start - first..s.boxes.end - first)
                .filter(|i| boxes[*i].reached())
                .collect()
        })
        .collect();
    for _ in 0..replicates {
        let mut factors = vec![0.0; boxes.len()];
        for (stratum, own) in part.strata().iter().zip(&reached) {
            let n = own.len() as f64;
            let by = (1.0 - stratum.fraction()).max(0.0).sqrt();
            for i in own {
                factors[*i] = 1.0 - by;
            }
            if stratum.census() {
                continue;
            }
            for _ in 1..own.len() {
                let drawn = own[index(stream.below(own.len() as u64))];
                factors[drawn] += by * n / (n - 1.0);
            }
        }
        all.push(factors);
    }
    let method = format!("rescaling bootstrap, {replicates} replicates, seed {seed:?}");
    Ok(Replicates {
        scales: vec![1.0 / replicates as f64; replicates],
        factors: all,
        method,
    })
}

#[allow(clippy::cast_possible_truncation, reason = "below the length of a slice")]
fn index(drawn: u64) -> usize {
    drawn as usize
}

impl Replicates {
    /// The variance of a statistic of the factors, about the mean of its replicates.
    ///
    /// Replicates whose statistic is no number (a domain that no box of them has) are left out; their part is given to the rest. Without a
    /// replicate (every stratum taken whole) it is 0, and NaN where no replicate has a number.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
    /// # let part = design.whole();
    /// use sampling::linear::box_totals;
    /// use sampling::replicate::jackknife;
    /// let totals = box_totals(&part, |_| false, |b, row| hours.cell(&design, b, row).value());
    /// let items = box_totals(&part, |_| true, |_, _| 1.0);
    /// let made = jackknife(&part)?;
    /// // Of the greatest box that is left, say: no formula has its variance.
    /// let greatest = |factors: &[f64]| factors.iter().zip(&totals).map(|(f, t)| if *f > 0.0 { t.total } else { 0.0 }).fold(0.0, f64::max);
    /// assert!(made.variance(greatest) > 0.0);
    /// assert_eq!(made.variance(|_| 7.0), 0.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn variance(&self, statistic: impl Fn(&[f64]) -> f64) -> f64 {
        self.variance_of_values(self.factors.iter().map(|factors| statistic(factors)))
    }

    /// The variance of the values that a statistic has in each replicate.
    fn variance_of_values(&self, values: impl Iterator<Item = f64>) -> f64 {
        let made: Vec<(f64, f64)> = values
            .zip(self.scales.iter().copied())
            .filter(|(value, _)| value.is_finite())
            .collect();
        if self.factors.is_empty() {
            return 0.0;
        }
        if made.is_empty() {
            return f64::NAN;
        }
        let mean = sum(made.iter().map(|(value, _)| *value)) / made.len() as f64;
        let squares = sum(made
            .iter()
            .map(|(value, scale)| scale * (value - mean) * (value - mean)));
        squares * self.factors.len() as f64 / made.len() as f64
    }

    /// The variance of an expansion total, from its box totals.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
    /// # let part = design.whole();
    /// use sampling::linear::box_totals;
    /// use sampling::replicate::jackknife;
    /// let totals = box_totals(&part, |_| false, |b, row| hours.cell(&design, b, row).value());
    /// let items = box_totals(&part, |_| true, |_, _| 1.0);
    /// let made = jackknife(&part)?;
    /// // 40^2 (1 - 4 / 40) / 4 times the variance of 3, 2, 5 and 2.
    /// assert!((made.variance_of_total(&part, &totals) - 720.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn variance_of_total(&self, part: &Part<'_>, totals: &[BoxTotal]) -> f64 {
        let weighted = weighted(part, totals);
        self.variance(|factors| dot(factors, &weighted))
    }

    /// The variance of a ratio of two expansion totals.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
    /// # let (part, options) = (design.whole(), sampling::estimate::Options::default());
    /// use sampling::linear::box_totals;
    /// use sampling::replicate::jackknife;
    /// let totals = box_totals(&part, |_| false, |b, row| hours.cell(&design, b, row).value());
    /// let items = box_totals(&part, |_| true, |_, _| 1.0);
    /// let made = jackknife(&part)?;
    /// let linearised = sampling::estimate::mean(&part, &hours, &options)?.se;
    /// // Boxes are equal here, so that both ways agree.
    /// assert!((made.variance_of_ratio(&part, &totals, &items).sqrt() - linearised).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn variance_of_ratio(&self, part: &Part<'_>, above: &[BoxTotal], below: &[BoxTotal]) -> f64 {
        let (above, below) = (weighted(part, above), weighted(part, below));
        self.variance(|factors| dot(factors, &above) / dot(factors, &below))
    }

    /// The variances of several ratios to the same total: as [`Replicates::variance_of_ratio`], the total below being made once.
    ///
    /// ```
    /// # let sampling::example::Shelf { design, hours, .. } = sampling::example::shelf();
    /// # let part = design.whole();
    /// use sampling::linear::box_totals;
    /// use sampling::replicate::jackknife;
    /// let totals = box_totals(&part, |_| false, |b, row| hours.cell(&design, b, row).value());
    /// let items = box_totals(&part, |_| true, |_, _| 1.0);
    /// let made = jackknife(&part)?;
    /// let both = made.variances_of_ratios(&part, &[totals.clone(), items.clone()], &items);
    /// assert_eq!(both[0], made.variance_of_ratio(&part, &totals, &items));
    /// assert!(both[1] < 1e-30); // Items an item do not vary.
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn variances_of_ratios(
        &self,
        part: &Part<'_>,
        above: &[Vec<BoxTotal>],
        below: &[BoxTotal],
    ) -> Vec<f64> {
        let below = weighted(part, below);
        let below: Vec<f64> = self.factors.iter().map(|factors| dot(factors, &below)).collect();
        let of = |above: &Vec<BoxTotal>| {
            let above = weighted(part, above);
            let ratios = self
                .factors
                .iter()
                .zip(&below)
                .map(|(factors, below)| dot(factors, &above) / below);
            self.variance_of_values(ratios)
        };
        above.iter().map(of).collect()
    }
}

fn weighted(part: &Part<'_>, totals: &[BoxTotal]) -> Vec<f64> {
    let boxes = &part.design.boxes()[part.box_indices()];
    let weight = |b: &DesignBox| part.design.strata()[b.stratum].weight();
    boxes
        .iter()
        .zip(totals)
        .map(|(b, t)| weight(b) * t.total)
        .collect()
}

/// The sum of products, in eight lanes: as many at once as a processor likes, added up in an order that none of them decides.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    const LANES: usize = 8;
    let mut lanes = [0.0; LANES];
    let (many, few) = (a.chunks_exact(LANES), b.chunks_exact(LANES));
    let rest = many.remainder().iter().zip(few.remainder()).map(|(a, b)| a * b);
    let rest = sum(rest);
    for (a, b) in many.zip(few) {
        for (lane, (a, b)) in lanes.iter_mut().zip(a.iter().zip(b)) {
            *lane += a * b;
        }
    }
    sum(lanes) + rest
}
