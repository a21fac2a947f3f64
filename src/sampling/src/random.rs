//! Random numbers from a recorded seed, the same everywhere.
//!
//! The generator is xoshiro256** (Blackman and Vigna 2021), its state the SHA-256 of
//! `"quarterlight-stream-1\n" + seed + "\n" + purpose` read as four little-endian words. It serves replicate weights and
//! simulation; the draw of boxes and items does not use it, but [`crate::rank`].

use sha2::{Digest, Sha256};

/// A stream of random numbers.
///
/// ```
/// use sampling::random::Stream;
/// let (mut one, mut other) = (Stream::new("7", "a study"), Stream::new("7", "a study"));
/// assert!((0..100).all(|_| one.next_u64() == other.next_u64()));
/// ```
#[derive(Clone, Debug)]
pub struct Stream {
    state: [u64; 4],
}

impl Stream {
    /// The stream of a seed for a purpose; other purposes have streams that know nothing of this one.
    ///
    /// ```
    /// use sampling::random::Stream;
    /// assert_eq!(Stream::new("7", "bootstrap").next_u64(), Stream::new("7", "bootstrap").next_u64());
    /// assert_ne!(Stream::new("7", "bootstrap").next_u64(), Stream::new("8", "bootstrap").next_u64());
    /// ```
    #[must_use]
    pub fn new(seed: &str, purpose: &str) -> Self {
        let mut hash = Sha256::new();
        for field in ["quarterlight-stream-1", seed] {
            hash.update(field.as_bytes());
            hash.update(b"\n");
        }
        hash.update(purpose.as_bytes());
        let bytes: [u8; 32] = hash.finalize().into();
        let mut state = [0u64; 4];
        for (word, chunk) in state.iter_mut().zip(bytes.chunks_exact(8)) {
            *word = chunk
                .iter()
                .rev()
                .fold(0, |word, byte| word << 8 | u64::from(*byte));
        }
        // The one state that the generator cannot leave; a hash of 256 zero bits has never been seen.
        if state == [0; 4] {
            state[0] = 1;
        }
        Self { state }
    }

    /// 64 random bits.
    ///
    /// ```
    /// let mut stream = sampling::random::Stream::new("7", "a study");
    /// assert_ne!(stream.next_u64(), stream.next_u64());
    /// ```
    pub fn next_u64(&mut self) -> u64 {
        let s = &mut self.state;
        let result = s[1].wrapping_mul(5).rotate_left(7).wrapping_mul(9);
        let t = s[1] << 17;
        s[2] ^= s[0];
        s[3] ^= s[1];
        s[1] ^= s[2];
        s[0] ^= s[3];
        s[2] ^= t;
        s[3] = s[3].rotate_left(45);
        result
    }

    /// Uniform in (0, 1): never 0, never 1.
    ///
    /// ```
    /// let mut stream = sampling::random::Stream::new("7", "a study");
    /// assert!((0..1000).map(|_| stream.unit()).all(|u| 0.0 < u && u < 1.0));
    /// ```
    pub fn unit(&mut self) -> f64 {
        ((self.next_u64() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0
    }

    /// Uniform among 0 to `below - 1`, without bias; 0 where `below` is 0.
    ///
    /// ```
    /// let mut stream = sampling::random::Stream::new("7", "a study");
    /// assert!((0..1000).all(|_| stream.below(6) < 6));
    /// assert_eq!(stream.below(0), 0);
    /// ```
    #[allow(
        clippy::cast_possible_truncation,
        reason = "the upper half of a 128-bit product is below `below`"
    )]
    pub fn below(&mut self, below: u64) -> u64 {
        if below == 0 {
            return 0;
        }
        // Products that would favour some numbers are drawn again (Lemire 2019).
        let threshold = below.wrapping_neg() % below;
        loop {
            let product = u128::from(self.next_u64()) * u128::from(below);
            if product as u64 >= threshold {
                return (product >> 64) as u64;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Stream;

    #[test]
    fn numbers_are_even() {
        let mut stream = Stream::new("1", "test");
        let mut counts = [0u32; 7];
        let mut sum = 0.0;
        for _ in 0..70_000 {
            counts[usize::try_from(stream.below(7)).unwrap()] += 1;
            sum += stream.unit();
        }
        // Four standard deviations of a count of 10,000: 370.
        assert!(
            counts.iter().all(|count| count.abs_diff(10_000) < 370),
            "{counts:?}"
        );
        assert!((sum / 70_000.0 - 0.5).abs() < 0.005, "{sum}");
        assert_eq!(stream.below(0), 0);
        assert_eq!(stream.below(1), 0);
    }
}
