//! The same work on many things: at once on every processor of a desk, one after the other in a browser.
//!
//! What is made stands in the order of the things it was made of, so nothing that rests on it depends on the machine.

/// What `work` makes of each. It must not wait for what its caller is about to make (a cell that is filled when first asked for):
/// it may run on another thread, and both would wait for ever.
pub fn map<T: Sync, R: Send>(all: &[T], work: impl Fn(&T) -> R + Send + Sync) -> Vec<R> {
    #[cfg(not(target_family = "wasm"))]
    {
        use rayon::prelude::*;
        all.par_iter().map(work).collect()
    }
    #[cfg(target_family = "wasm")]
    all.iter().map(work).collect()
}

/// Two pieces of work at the same time; in a browser one after the other. As with [`map`], neither must wait for what its caller is
/// about to make.
pub(crate) fn both<A: Send, B: Send>(
    one: impl FnOnce() -> A + Send,
    other: impl FnOnce() -> B + Send,
) -> (A, B) {
    #[cfg(not(target_family = "wasm"))]
    {
        rayon::join(one, other)
    }
    #[cfg(target_family = "wasm")]
    (one(), other())
}

/// Sorts by a key that no two share.
pub(crate) fn sort<T: Send, K: Ord>(all: &mut [T], key: impl Fn(&T) -> K + Sync) {
    #[cfg(not(target_family = "wasm"))]
    {
        use rayon::prelude::*;
        all.par_sort_unstable_by_key(key);
    }
    #[cfg(target_family = "wasm")]
    all.sort_unstable_by_key(key);
}

#[cfg(test)]
mod tests {
    #[test]
    fn what_is_made_stands_in_order() {
        let all: Vec<u32> = (0..10_000).collect();
        assert_eq!(
            super::map(&all, |n| n * 2),
            (0..10_000).map(|n| n * 2).collect::<Vec<_>>()
        );
    }
}
