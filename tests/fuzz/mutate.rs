//! Spoils an input: bits, bytes, pieces, numbers, nesting, pieces of other inputs. The same seed gives the same bytes.

/// `SplitMix64` (Steele, Lea and Flood 2014): small, and the same everywhere.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `n`; 0 where there is none.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.roll() % (n.max(1) as u64)).unwrap_or(0)
    }

    fn byte(&mut self) -> u8 {
        self.roll().to_le_bytes()[0]
    }
}

/// What numbers, texts and structures break on.
const TOKENS: [&[u8]; 30] = [
    b"0",
    b"-1",
    b"18446744073709551615",
    b"18446744073709551616",
    b"4294967295",
    b"1e999",
    b"-1e-999",
    b"NaN",
    b"null",
    b"true",
    b"\"\"",
    b"{}",
    b"[]",
    b"\\u0000",
    b"\\ud800",
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    b"\0",
    b"\r\n",
    b"\n\n",
    b"\"",
    b",",
    b";",
    b"\t",
    b"../",
    b"=1+1",
    b"<script>",
    b"PK\x03\x04",
    b"PK\x05\x06",
    b"\xf0\x9f\x93\xbc",
];

/// The longest input that is made, bytes.
const MOST: usize = 4 << 20;

/// An input made of one or two others.
pub(crate) fn mutated(seed: &[u8], other: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut bytes = seed.to_vec();
    for _ in 0..1 + dice.below(4) {
        once(&mut bytes, other, dice);
        bytes.truncate(MOST);
    }
    bytes
}

fn once(bytes: &mut Vec<u8>, other: &[u8], dice: &mut Dice) {
    let at = dice.below(bytes.len());
    let span = at..bytes.len().min(at + 1 + dice.below(64));
    match dice.below(12) {
        0 if !bytes.is_empty() => bytes[at] ^= 1 << dice.below(8),
        1 if !bytes.is_empty() => bytes[at] = dice.byte(),
        2 => drop(bytes.drain(span)),
        3 => {
            let piece = bytes[span].to_vec();
            let to = dice.below(bytes.len() + 1);
            bytes.splice(to..to, piece);
        }
        4 => {
            let token = TOKENS[dice.below(TOKENS.len())];
            bytes.splice(at..at, token.iter().copied());
        }
        5 => {
            let token = TOKENS[dice.below(TOKENS.len())];
            bytes.splice(number_at(bytes, at), token.iter().copied());
        }
        6 => bytes.truncate(at),
        7 => {
            let piece = bytes[span].to_vec();
            let many = piece.repeat(1 + dice.below(2_000));
            bytes.splice(at..at, many);
        }
        8 => {
            let bracket = *b"[{\"(".get(dice.below(4)).unwrap_or(&b'[');
            let many = vec![bracket; 1 + dice.below(100_000)];
            bytes.splice(at..at, many);
        }
        9 => {
            let from = dice.below(other.len());
            let piece = &other[from..other.len().min(from + 1 + dice.below(512))];
            bytes.splice(at..at, piece.iter().copied());
        }
        10 => {
            // A whole line twice, or away.
            let start = bytes[..at]
                .iter()
                .rposition(|byte| *byte == b'\n')
                .map_or(0, |end| end + 1);
            let end = bytes[at..]
                .iter()
                .position(|byte| *byte == b'\n')
                .map_or(bytes.len(), |end| at + end + 1);
            let line = bytes[start..end].to_vec();
            let to = if dice.below(2) == 0 {
                start..start
            } else {
                start..end
            };
            let with = if to.is_empty() { line } else { Vec::new() };
            bytes.splice(to, with);
        }
        _ => {
            let length = 1 + dice.below(16);
            let noise: Vec<u8> = (0..length).map(|_| dice.byte()).collect();
            bytes.splice(at..at, noise);
        }
    }
}

/// The digits around a place, or the place itself.
fn number_at(bytes: &[u8], at: usize) -> std::ops::Range<usize> {
    let is_number = |byte: &u8| byte.is_ascii_digit() || matches!(byte, b'.' | b'-' | b'e');
    let start = at
        - bytes[..at]
            .iter()
            .rev()
            .take_while(|byte| is_number(byte))
            .count();
    let end = at + bytes[at..].iter().take_while(|byte| is_number(byte)).count();
    start..end
}
