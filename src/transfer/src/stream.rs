//! Bytes as a stream of frames, of which any sufficiently many give the whole.
//!
//! The bytes are cut into `k` blocks. The first `k` frames are the blocks themselves; every later frame is the sum
//! (exclusive or) of a random half of them, chosen by the SHA-256 of the stream's id and the frame's number. Frames may
//! be missed, come twice, in any order or from the middle on: whoever has `k` independent ones solves for the blocks.
//! Of `k + e` random frames, all are enough with a chance of more than `1 - 2^-e` (random linear fountain; `MacKay` 2005,
//! "Fountain codes", IEE Proceedings Communications 152, section 3), so that a reader waits for one or two frames too
//! many at the end, where repeating the blocks would make it wait for the one that it missed.
//!
//! A frame is `QLS`, a version, the stream's id (16 bytes: the beginning of the SHA-256 of the whole), the whole's
//! length and the frame's number (4 bytes each, big-endian), the block, and a CRC-32 (4 bytes) of all before it.

use sha2::{Digest, Sha256};

/// The first bytes of every frame.
const MAGIC: [u8; 3] = *b"QLS";
/// The version written here, and the only one read.
const VERSION: u8 = 1;
/// Bytes of a frame beside its block.
pub const OVERHEAD: usize = 32;
/// The most bytes that a stream carries: some 100,000 entries.
pub const MOST_BYTES: usize = 1 << 20;
/// The most blocks of a stream, so that a forged frame cannot ask for memory without end.
pub const MOST_BLOCKS: usize = 8_192;
/// The shortest block that is read, bytes.
const LEAST_BLOCK: usize = 16;
/// The most streams that are read at once: more than two phones are never in one picture.
const MOST_STREAMS: usize = 4;

/// A stream's id: the beginning of the SHA-256 of what it carries.
pub type StreamId = [u8; 16];

/// Bytes that are shown as frames.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stream {
    id: StreamId,
    bytes: Vec<u8>,
    block: usize,
}

/// More than [`MOST_BYTES`], or than [`MOST_BLOCKS`] of the blocks: pass a file instead.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{bytes} bytes are too many for a camera")]
pub struct TooLong {
    /// How many there are.
    pub bytes: usize,
}

impl Stream {
    /// Cuts bytes into blocks of `block` bytes.
    ///
    /// # Errors
    /// [`TooLong`], also of nothing at all.
    pub fn new(bytes: Vec<u8>, block: usize) -> Result<Self, TooLong> {
        let n = bytes.len();
        if !is_shape(n, block) {
            return Err(TooLong { bytes: n });
        }
        Ok(Self {
            id: id_of(&bytes),
            bytes,
            block,
        })
    }

    /// Its id.
    #[must_use]
    pub fn id(&self) -> StreamId {
        self.id
    }

    /// How many blocks it has: the fewest frames that can be enough.
    #[must_use]
    pub fn n_blocks(&self) -> usize {
        self.bytes.len().div_ceil(self.block)
    }

    /// A frame. Show them from 0 upwards, for as long as it takes.
    #[must_use]
    pub fn frame(&self, number: u32) -> Vec<u8> {
        let mut frame = Vec::with_capacity(self.block + OVERHEAD);
        frame.extend_from_slice(&MAGIC);
        frame.push(VERSION);
        frame.extend_from_slice(&self.id);
        // Checked when the stream was made.
        let length = u32::try_from(self.bytes.len()).unwrap_or(u32::MAX);
        frame.extend_from_slice(&length.to_be_bytes());
        frame.extend_from_slice(&number.to_be_bytes());
        let mut sum = vec![0; self.block];
        let parts = Parts::of(&self.id, number, self.n_blocks());
        for (index, block) in self.bytes.chunks(self.block).enumerate() {
            if parts.has(index) {
                add(&mut sum, block);
            }
        }
        frame.extend(sum);
        let crc = crc32fast::hash(&frame);
        frame.extend_from_slice(&crc.to_be_bytes());
        frame
    }
}

/// What became of bytes that a camera saw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Taken {
    /// No frame: another code, or a damaged one.
    NoFrame,
    /// A frame of a later version of this program.
    Newer,
    /// A frame of a stream, new or not: so many of so many.
    Part {
        /// The stream.
        id: StreamId,
        /// Independent frames so far.
        have: usize,
        /// How many are wanted.
        want: usize,
    },
    /// A stream is whole, and its digest holds.
    Whole(Vec<u8>),
    /// A stream's frames contradict each other or its digest: it is forgotten, and begins anew.
    Wrong,
}

/// Puts streams together from frames. What it has of one is kept while the camera is off.
#[derive(Debug, Clone, Default)]
pub struct Reader {
    /// The stream last seen is the last.
    streams: Vec<Collector>,
}

impl Reader {
    /// Takes what a camera saw.
    pub fn take(&mut self, frame: &[u8]) -> Taken {
        let frame = match Frame::read(frame) {
            Ok(frame) => frame,
            Err(taken) => return taken,
        };
        let shape = (frame.id, frame.length, frame.block.len());
        let mut collector = match self.streams.iter().position(|known| known.shape() == shape) {
            Some(at) => self.streams.remove(at),
            None => Collector::new(&frame),
        };
        if !collector.add(&frame) {
            return Taken::Wrong;
        }
        if collector.have == collector.rows.len() {
            return collector.finish().map_or(Taken::Wrong, Taken::Whole);
        }
        let (have, want) = (collector.have, collector.rows.len());
        if self.streams.len() == MOST_STREAMS {
            self.streams.remove(0);
        }
        self.streams.push(collector);
        Taken::Part {
            id: frame.id,
            have,
            want,
        }
    }
}

fn id_of(bytes: &[u8]) -> StreamId {
    let digest: [u8; 32] = Sha256::digest(bytes).into();
    let mut id = [0; 16];
    id.copy_from_slice(&digest[..16]);
    id
}

fn is_shape(length: usize, block: usize) -> bool {
    (1..=MOST_BYTES).contains(&length)
        && (LEAST_BLOCK..=MOST_BYTES).contains(&block)
        && length.div_ceil(block) <= MOST_BLOCKS
}

/// Adds without carry; a shorter block is as if filled with zeros.
fn add(sum: &mut [u8], block: &[u8]) {
    for (sum, byte) in sum.iter_mut().zip(block) {
        *sum ^= byte;
    }
}

/// A frame that was read.
struct Frame<'a> {
    id: StreamId,
    length: usize,
    number: u32,
    block: &'a [u8],
}

impl<'a> Frame<'a> {
    fn read(bytes: &'a [u8]) -> Result<Self, Taken> {
        let (magic, rest) = bytes.split_first_chunk::<3>().ok_or(Taken::NoFrame)?;
        let (body, crc) = bytes.split_last_chunk::<4>().ok_or(Taken::NoFrame)?;
        if *magic != MAGIC || crc32fast::hash(body) != u32::from_be_bytes(*crc) {
            return Err(Taken::NoFrame);
        }
        let (version, rest) = rest.split_first().ok_or(Taken::NoFrame)?;
        if *version != VERSION {
            return Err(Taken::Newer);
        }
        let (id, rest) = rest.split_first_chunk::<16>().ok_or(Taken::NoFrame)?;
        let (length, rest) = rest.split_first_chunk::<4>().ok_or(Taken::NoFrame)?;
        let (number, rest) = rest.split_first_chunk::<4>().ok_or(Taken::NoFrame)?;
        let (block, _) = rest.split_last_chunk::<4>().ok_or(Taken::NoFrame)?;
        let length = u32::from_be_bytes(*length) as usize;
        if !is_shape(length, block.len()) {
            return Err(Taken::NoFrame);
        }
        Ok(Self {
            id: *id,
            length,
            number: u32::from_be_bytes(*number),
            block,
        })
    }
}

/// Which blocks a frame is the sum of, a bit a block.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Parts(Vec<u64>);

impl Parts {
    fn of(id: &StreamId, number: u32, n_blocks: usize) -> Self {
        let mut words = vec![0_u64; n_blocks.div_ceil(64)];
        let one = |words: &mut Vec<u64>, index: usize| words[index / 64] |= 1 << (index % 64);
        if let Some(index) = usize::try_from(number).ok().filter(|index| *index < n_blocks) {
            one(&mut words, index);
            return Self(words);
        }
        for (round, four) in (0_u32..).zip(words.chunks_mut(4)) {
            let mut hash = Sha256::new();
            hash.update(id);
            hash.update(number.to_be_bytes());
            hash.update(round.to_be_bytes());
            let digest: [u8; 32] = hash.finalize().into();
            let (bytes, _) = digest.as_chunks::<8>();
            for (word, bytes) in four.iter_mut().zip(bytes) {
                *word = u64::from_be_bytes(*bytes);
            }
        }
        let spare = words.len() * 64 - n_blocks;
        if let Some(last) = words.last_mut() {
            *last &= u64::MAX >> spare;
        }
        if words.iter().all(|word| *word == 0) {
            // A sum of nothing would say nothing.
            one(&mut words, number as usize % n_blocks);
        }
        Self(words)
    }

    fn has(&self, index: usize) -> bool {
        self.0[index / 64] >> (index % 64) & 1 == 1
    }

    fn lowest(&self) -> Option<usize> {
        let (at, word) = self.0.iter().enumerate().find(|(_, word)| **word != 0)?;
        Some(at * 64 + word.trailing_zeros() as usize)
    }

    fn add(&mut self, other: &Self) {
        for (word, other) in self.0.iter_mut().zip(&other.0) {
            *word ^= other;
        }
    }
}

/// What is known of one stream: equations in triangular form (Gaussian elimination as they come).
#[derive(Debug, Clone)]
struct Collector {
    id: StreamId,
    length: usize,
    block: usize,
    /// The row at `i` has its lowest block at `i`.
    rows: Vec<Option<(Parts, Vec<u8>)>>,
    have: usize,
}

impl Collector {
    fn new(frame: &Frame<'_>) -> Self {
        Self {
            id: frame.id,
            length: frame.length,
            block: frame.block.len(),
            rows: vec![None; frame.length.div_ceil(frame.block.len())],
            have: 0,
        }
    }

    fn shape(&self) -> (StreamId, usize, usize) {
        (self.id, self.length, self.block)
    }

    /// Adds a frame; `false` if it contradicts what is known.
    fn add(&mut self, frame: &Frame<'_>) -> bool {
        let mut parts = Parts::of(&self.id, frame.number, self.rows.len());
        let mut sum = frame.block.to_vec();
        while let Some(lowest) = parts.lowest() {
            match &self.rows[lowest] {
                Some((known, known_sum)) => {
                    parts.add(known);
                    add(&mut sum, known_sum);
                }
                None => {
                    self.rows[lowest] = Some((parts, sum));
                    self.have += 1;
                    return true;
                }
            }
        }
        sum.iter().all(|byte| *byte == 0)
    }

    /// The whole, if its digest is the stream's id. Every row must be there.
    fn finish(self) -> Option<Vec<u8>> {
        let rows: Option<Vec<(Parts, Vec<u8>)>> = self.rows.into_iter().collect();
        let mut rows = rows?;
        for at in (0..rows.len()).rev() {
            let (above, below) = rows.split_at_mut(at + 1);
            let (parts, sum) = &mut above[at];
            for (further, (_, solved)) in below.iter().enumerate() {
                if parts.has(at + 1 + further) {
                    add(sum, solved);
                }
            }
        }
        let mut bytes: Vec<u8> = rows.into_iter().flat_map(|(_, sum)| sum).collect();
        let is_filled = bytes.drain(self.length..).all(|byte| byte == 0);
        (is_filled && id_of(&bytes) == self.id).then_some(bytes)
    }
}
