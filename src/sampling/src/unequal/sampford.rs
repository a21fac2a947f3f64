//! Sampford's scheme (1967): a sample without replacement whose inclusion probabilities are exactly proportional to size, and
//! whose joint inclusion probabilities are known and above 0, so that the Sen-Yates-Grundy variance is unbiased.
//!
//! With inclusion probabilities `p` and `l = p / (1 - p)`: one unit is drawn with probabilities `p / n`, then `n - 1` with
//! probabilities in proportion to `l`, all with replacement; a draw in which a unit comes twice is thrown away and made anew.
//! Then, `L(m)` being the sum over all sets of `m` units of the product of their `l`, and `L(m; k, j)` that without units k, j,
//!
//! ```text
//! p(k, j) = K l_k l_j sum_{t = 2..n} (t - p_k - p_j) L(n - t; k, j),   1 / K = sum_{t = 1..n} t L(n - t)
//! ```
//!
//! Units that a size in proportion would give more than one draw are taken for certain, outside of all this.

use super::inclusion_probabilities;
use crate::random::Stream;

/// Draws thrown away before one gives up: a sample of so large a part of its frame wants another scheme.
const PATIENCE: usize = 1_000_000;

/// Units drawn for certain, the others with their inclusion probabilities, and how many of those are drawn.
struct Frame {
    certain: Vec<usize>,
    others: Vec<usize>,
    p: Vec<f64>,
    n: usize,
}

fn frame(sizes: &[f64], n: usize) -> Option<Frame> {
    let p = inclusion_probabilities(sizes, n)?;
    let certain: Vec<usize> = (0..p.len()).filter(|k| p[*k] >= 1.0).collect();
    let others: Vec<usize> = (0..p.len()).filter(|k| p[*k] > 0.0 && p[*k] < 1.0).collect();
    let n = n.saturating_sub(certain.len());
    Some(Frame {
        p: others.iter().map(|k| p[*k]).collect(),
        certain,
        others,
        n,
    })
}

/// Draws `n` units with probability in proportion to `sizes`: their indices, ascending.
///
/// `None` unless there are `n` positive sizes, or where a million draws all had a unit twice (`n` near the number of units).
///
/// ```
/// use sampling::random::Stream;
/// use sampling::unequal::sampford::draw;
/// let mut stream = Stream::new("7", "a shelf run");
/// let drawn = draw(&[1.0, 2.0, 3.0, 50.0], 2, &mut stream).ok_or("too few")?;
/// // The long run is taken for certain, and one of the others.
/// assert!(drawn.len() == 2 && drawn[1] == 3);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn draw(sizes: &[f64], n: usize, stream: &mut Stream) -> Option<Vec<usize>> {
    let frame = frame(sizes, n)?;
    let running = |weight: &dyn Fn(f64) -> f64| -> Vec<f64> {
        let add = |sum: &mut f64, p: &f64| {
            *sum += weight(*p);
            Some(*sum)
        };
        frame.p.iter().scan(0.0, add).collect()
    };
    let (first, further) = (running(&|p| p), running(&|p| p / (1.0 - p)));
    for _ in 0..PATIENCE {
        let mut drawn = frame.certain.clone();
        for i in 0..frame.n {
            let line = if i == 0 { &first } else { &further };
            let mark = stream.unit() * line.last().copied().unwrap_or(0.0);
            drawn.push(frame.others[line.partition_point(|sum| *sum <= mark).min(line.len() - 1)]);
        }
        drawn.sort_unstable();
        if drawn.windows(2).all(|pair| pair[0] != pair[1]) {
            return Some(drawn);
        }
    }
    None
}

/// `L(0..=n)` of the given `l`, two units left out.
fn symmetric_sums(l: &[f64], n: usize, without: [usize; 2]) -> Vec<f64> {
    let mut sums = vec![0.0; n + 1];
    sums[0] = 1.0;
    for (_, l) in l.iter().enumerate().filter(|(k, _)| !without.contains(k)) {
        for m in (1..=n).rev() {
            sums[m] += l * sums[m - 1];
        }
    }
    sums
}

/// The joint inclusion probabilities of all units: `[k][j]`, with the inclusion probabilities on the diagonal; in time of the
/// order of `N^3 n`. `None` unless there are `n` positive sizes.
///
/// ```
/// use sampling::unequal::sampford::joint_probabilities;
/// let joint = joint_probabilities(&[1.0, 2.0, 3.0, 4.0], 2).ok_or("too few")?;
/// assert!((joint[3][3] - 0.8).abs() < 1e-12); // 2 * 4 / 10
/// // Each unit is drawn with one other.
/// assert!((0..4).all(|i| ((0..4).filter(|j| *j != i).map(|j| joint[i][j]).sum::<f64>() - joint[i][i]).abs() < 1e-12));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn joint_probabilities(sizes: &[f64], n: usize) -> Option<Vec<Vec<f64>>> {
    let frame = frame(sizes, n)?;
    let l: Vec<f64> = frame.p.iter().map(|p| p / (1.0 - p)).collect();
    let all = symmetric_sums(&l, frame.n, [usize::MAX; 2]);
    let inverse: f64 = (1..=frame.n).map(|t| t as f64 * all[frame.n - t]).sum();
    let mut joint = vec![vec![0.0; sizes.len()]; sizes.len()];
    for k in &frame.certain {
        for j in &frame.certain {
            joint[*k][*j] = 1.0;
        }
        for (j, p) in frame.others.iter().zip(&frame.p) {
            joint[*k][*j] = *p;
            joint[*j][*k] = *p;
        }
    }
    for (a, k) in frame.others.iter().enumerate() {
        joint[*k][*k] = frame.p[a];
        for (b, j) in frame.others.iter().enumerate().take(a) {
            let sums = symmetric_sums(&l, frame.n, [a, b]);
            let term = |t: usize| (t as f64 - frame.p[a] - frame.p[b]) * sums[frame.n - t];
            // A sum over nothing is -0.0 in Rust; adding 0.0 makes it 0.
            let both = l[a] * l[b] * (2..=frame.n).map(term).sum::<f64>() / inverse + 0.0;
            joint[*k][*j] = both;
            joint[*j][*k] = both;
        }
    }
    Some(joint)
}
