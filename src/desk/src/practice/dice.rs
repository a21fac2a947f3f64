//! Chance from a recorded seed: SHA-256 of a key and a counter, in whole numbers only, so that the same seed gives
//! the same collection on every machine and for ever.

use sha2::{Digest, Sha256};

/// A stream of chance that belongs to one thing (a box, an item, a question), whatever is drawn elsewhere.
pub(super) struct Dice {
    key: [u8; 32],
    block: [u8; 32],
    blocks: u64,
    used: usize,
}

impl Dice {
    /// The stream of the thing that `name` and `numbers` name, under a collection's seed.
    pub(super) fn of(seed: u64, name: &str, numbers: [u64; 2]) -> Self {
        let mut hash = Sha256::new();
        hash.update(b"quarterlight-practice-1\n");
        hash.update(name.as_bytes());
        hash.update(b"\n");
        for number in [seed, numbers[0], numbers[1]] {
            hash.update(number.to_be_bytes());
        }
        Self {
            key: hash.finalize().into(),
            block: [0; 32],
            blocks: 0,
            used: 4,
        }
    }

    fn next(&mut self) -> u64 {
        if self.used == 4 {
            let mut hash = Sha256::new();
            hash.update(self.key);
            hash.update(self.blocks.to_be_bytes());
            self.block = hash.finalize().into();
            self.blocks += 1;
            self.used = 0;
        }
        let at = self.used * 8;
        self.used += 1;
        self.block[at..at + 8]
            .iter()
            .fold(0, |number, byte| number << 8 | u64::from(*byte))
    }

    /// Eight bytes.
    pub(super) fn eight(&mut self) -> [u8; 8] {
        self.next().to_be_bytes()
    }

    /// A whole number from 0 to `n` - 1; 0 if `n` is 0. (The bias of the multiplication is below n / 2^64.)
    pub(super) fn below(&mut self, n: u64) -> u64 {
        let wide = u128::from(self.next()) * u128::from(n);
        u64::try_from(wide >> 64).unwrap_or(0)
    }

    /// A whole number from `low` to `high`, both included.
    pub(super) fn between(&mut self, low: u64, high: u64) -> u64 {
        low + self.below(high.saturating_sub(low) + 1)
    }

    /// True so many times in a thousand.
    pub(super) fn per_mille(&mut self, rate: u64) -> bool {
        self.below(1000) < rate
    }

    /// One of several, by weight; the last if all weights are 0.
    pub(super) fn pick<T: Copy>(&mut self, weighted: &[(T, u64)], otherwise: T) -> T {
        let total = weighted.iter().map(|(_, weight)| weight).sum();
        let mut at = self.below(total);
        for (thing, weight) in weighted {
            if at < *weight {
                return *thing;
            }
            at -= weight;
        }
        otherwise
    }
}

#[cfg(test)]
mod tests {
    use super::Dice;

    // From Python: hashlib.sha256(hashlib.sha256(b"quarterlight-practice-1\nbox\n" + struct.pack(">QQQ", 7, 1, 0))
    // .digest() + struct.pack(">Q", 0)).digest(), first 8 bytes big-endian.
    #[test]
    fn the_stream_is_the_documented_hash() {
        assert_eq!(Dice::of(7, "box", [1, 0]).next(), GOLDEN);
    }

    const GOLDEN: u64 = 12_932_532_139_265_151_009;

    #[test]
    fn every_number_comes_up_about_equally_often() {
        let mut dice = Dice::of(1, "test", [0, 0]);
        let mut seen = [0u32; 6];
        for _ in 0..6000 {
            seen[usize::try_from(dice.below(6)).unwrap()] += 1;
        }
        // Six standard deviations of a count of 1000 are 173.
        assert!(seen.iter().all(|n| n.abs_diff(1000) < 173), "{seen:?}");
        assert!((0..100).all(|_| dice.between(3, 3) == 3 && !dice.per_mille(0) && dice.per_mille(1000)));
    }
}
