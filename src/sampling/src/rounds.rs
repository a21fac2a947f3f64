//! Rounds: the drawn order cut into small portions, each of which leaves a valid stratified sample behind it.
//!
//! The first round takes at least two boxes of every stratum, so that a variance exists from the start. Every later box
//! goes to the stratum that lags most behind proportional allocation. Within a stratum boxes come in rank order, so after
//! any whole number of rounds - indeed after any box - the boxes of a stratum are a simple random sample of it.

/// One box of a round.
///
/// ```
/// use sampling::rounds::{Drawn, rounds};
/// let cut = rounds(&[("A".to_owned(), vec!["A1".to_owned(), "A2".to_owned()])], 1);
/// assert_eq!(cut[0][0], Drawn { stratum: "A".into(), id: "A1".into() });
/// ```
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Drawn {
    /// The stratum's key.
    pub stratum: String,
    /// The box's identifier.
    pub id: String,
}

/// A stratum lags behind proportional allocation by `(drawn + 1) * N_h / N - n_h` boxes; times N, to stay in integers.
fn most_behind(sizes: &[usize], taken: &[usize], drawn: usize, total: usize, keys: &[&str]) -> Option<usize> {
    let lag = |h: usize| (drawn as i128 + 1) * sizes[h] as i128 - taken[h] as i128 * total as i128;
    let mut best: Option<usize> = None;
    for h in 0..sizes.len() {
        if taken[h] == sizes[h] {
            continue;
        }
        best = match best {
            Some(b) if lag(b) > lag(h) || (lag(b) == lag(h) && keys[b] <= keys[h]) => Some(b),
            _ => Some(h),
        };
    }
    best
}

/// Cuts the drawn order of all strata into rounds, until every box is in one.
///
/// `strata` holds each stratum's key and its box identifiers in rank order (see [`crate::rank::order`]); `round_size`
/// counts boxes (0 is read as 1). The first round has at least `round_size` boxes and at least two of each stratum
/// (one, of a stratum of one); the last may have fewer than `round_size`. Which stratum comes next depends on the numbers
/// of boxes only; ties go to the key that sorts first.
///
/// ```
/// use sampling::rounds::rounds;
/// let strata = [("A".to_owned(), (1..=8).map(|i| format!("A{i}")).collect()), ("B".to_owned(), vec!["B1".to_owned()])];
/// let cut = rounds(&strata, 4);
/// assert_eq!(cut.iter().map(Vec::len).collect::<Vec<_>>(), [4, 4, 1]);
/// assert_eq!(cut[0].iter().filter(|d| d.stratum == "A").count(), 3);
/// ```
#[must_use]
pub fn rounds(strata: &[(String, Vec<String>)], round_size: usize) -> Vec<Vec<Drawn>> {
    let sizes: Vec<(&str, usize)> = strata
        .iter()
        .map(|(key, ids)| (key.as_str(), ids.len()))
        .collect();
    let mut rest: Vec<_> = strata.iter().map(|(key, ids)| (key, ids.iter())).collect();
    let mut next = |h: usize| {
        let (key, ids) = &mut rest[h];
        ids.next().map(|id| Drawn {
            stratum: key.clone(),
            id: id.clone(),
        })
    };
    turns(&sizes, round_size)
        .into_iter()
        .map(|round| round.into_iter().filter_map(&mut next).collect())
        .collect()
}

/// Which stratum each box of each round is of, by its place among `strata`, which holds each one's key and its number of boxes:
/// what [`rounds`] cuts by, for those who keep boxes in another form than text.
///
/// ```
/// use sampling::rounds::turns;
/// assert_eq!(turns(&[("A", 3), ("B", 1)], 2), [vec![0, 0, 1], vec![0]]);
/// ```
#[must_use]
pub fn turns(strata: &[(&str, usize)], round_size: usize) -> Vec<Vec<usize>> {
    let round_size = round_size.max(1);
    let (keys, sizes): (Vec<&str>, Vec<usize>) = strata.iter().copied().unzip();
    let total: usize = sizes.iter().sum();
    let mut taken = vec![0usize; strata.len()];
    let mut drawn = 0usize;
    let mut rounds: Vec<Vec<usize>> = Vec::new();
    let mut current = Vec::new();
    for (h, size) in sizes.iter().enumerate() {
        for _ in 0..2.min(*size) {
            current.push(h);
            taken[h] += 1;
            drawn += 1;
        }
    }
    loop {
        if current.len() >= round_size {
            rounds.push(core::mem::take(&mut current));
        }
        let Some(h) = most_behind(&sizes, &taken, drawn, total, &keys) else {
            break;
        };
        current.push(h);
        taken[h] += 1;
        drawn += 1;
    }
    if !current.is_empty() {
        rounds.push(current);
    }
    rounds
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strata(sizes: &[(&str, usize)]) -> Vec<(String, Vec<String>)> {
        sizes
            .iter()
            .map(|(key, n)| ((*key).to_owned(), (0..*n).map(|i| format!("{key}{i}")).collect()))
            .collect()
    }

    #[test]
    fn the_first_round_gives_every_stratum_two() {
        let cut = rounds(&strata(&[("A", 300), ("B", 3), ("C", 1), ("D", 0), ("E", 60)]), 5);
        let of = |key: &str| cut[0].iter().filter(|d| d.stratum == key).count();
        assert_eq!((of("A"), of("B"), of("C"), of("D"), of("E")), (2, 2, 1, 0, 2));
        assert_eq!(cut.iter().map(Vec::len).sum::<usize>(), 364);
        assert!(cut[1..cut.len() - 1].iter().all(|round| round.len() == 5));
    }

    #[test]
    fn every_stratum_is_read_in_its_own_order() {
        let given = strata(&[("A", 31), ("B", 17), ("C", 9)]);
        let flat: Vec<Drawn> = rounds(&given, 6).concat();
        for (key, ids) in &given {
            let seen: Vec<&String> = flat.iter().filter(|d| &d.stratum == key).map(|d| &d.id).collect();
            assert_eq!(seen, ids.iter().collect::<Vec<_>>());
        }
    }

    #[test]
    fn shares_stay_within_a_box_of_proportional_once_the_start_is_absorbed() {
        let flat = rounds(&strata(&[("A", 60), ("B", 30), ("C", 10)]), 4).concat();
        for n in 20..=100usize {
            for (key, size) in [("A", 60), ("B", 30), ("C", 10)] {
                let got = flat[..n].iter().filter(|d| d.stratum == key).count();
                assert!((got * 100).abs_diff(n * size) <= 100, "{key} has {got} of {n}");
            }
        }
    }

    #[test]
    fn the_order_of_strata_decides_only_the_first_round() {
        let mut given = strata(&[("A", 12), ("B", 12), ("C", 7)]);
        let one = rounds(&given, 6);
        given.reverse();
        let two = rounds(&given, 6);
        assert_eq!(one[1..], two[1..]);
    }

    #[test]
    fn nothing_to_draw_is_no_round() {
        assert!(rounds(&[], 5).is_empty());
        assert!(rounds(&strata(&[("A", 0)]), 5).is_empty());
        assert_eq!(rounds(&strata(&[("A", 1)]), 0).len(), 1);
    }
}
