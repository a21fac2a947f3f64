//! A frame as a QR code (ISO/IEC 18004, byte mode), and codes in a grey picture.

use qrcodegen::{Mask, QrCode, QrCodeEcc, QrSegment, Version};

use crate::stream::OVERHEAD;

/// How fine the squares of a code are: what is coarse is read from further away, what is fine is through sooner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Grain {
    /// 49 squares a side.
    Coarse,
    /// 57 squares a side.
    #[default]
    Middle,
    /// 69 squares a side; finer ones are found too seldom when a hand holds the phone at a slant.
    Fine,
}

impl Grain {
    /// From the coarsest.
    pub const ALL: [Self; 3] = [Self::Coarse, Self::Middle, Self::Fine];

    /// Bytes of a block, so that its frame fills the code: version 8, 10 or 13 at level L (table 7 of the standard).
    #[must_use]
    pub fn block(self) -> usize {
        let of_a_code = match self {
            Self::Coarse => 192,
            Self::Middle => 271,
            Self::Fine => 425,
        };
        of_a_code - OVERHEAD
    }
}

/// The sides of the square pictures to search in turn, pixels: where the corners of a code are found a little wrongly in
/// one, another of the same scene has better luck.
pub const SIDES: [usize; 3] = [640, 720, 800];
/// Squares left white around a code, as the standard asks.
pub const QUIET: usize = 4;
/// The longest side of a picture that is searched, pixels: more costs time and finds nothing more.
pub const MOST_SIDE: usize = 1_600;

/// A drawn code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Squares {
    /// Squares a side, with the white around it.
    pub side: usize,
    /// Line by line from the top left; `true` is black.
    pub black: Vec<bool>,
}

/// Draws bytes; `None` if they are more than one code holds (2,953).
#[must_use]
pub fn draw(bytes: &[u8]) -> Option<Squares> {
    let (least, most) = (Version::MIN, Version::MAX);
    // What is packed looks like chance, for which any mask is as good as another; choosing takes eight times as long.
    let mask = Some(Mask::new(0));
    let segments = [QrSegment::make_bytes(bytes)];
    let code = QrCode::encode_segments_advanced(&segments, QrCodeEcc::Low, least, most, mask, false).ok()?;
    let inner = usize::try_from(code.size()).ok()?;
    let side = inner + 2 * QUIET;
    let inside = |at: usize| {
        let at = at.checked_sub(QUIET).filter(|at| *at < inner)?;
        i32::try_from(at).ok()
    };
    let is_black = |index: usize| {
        let place = inside(index % side).zip(inside(index / side));
        place.is_some_and(|(x, y)| code.get_module(x, y))
    };
    Some(Squares {
        side,
        black: (0..side * side).map(is_black).collect(),
    })
}

/// The bytes of every code found in a picture of grey values (0 is black), line by line. Nothing in a picture whose size
/// does not fit its values, or is larger than [`MOST_SIDE`].
#[must_use]
pub fn find(grey: &[u8], width: usize, height: usize) -> Vec<Vec<u8>> {
    let is_picture = |side: usize| (21..=MOST_SIDE).contains(&side);
    if !is_picture(width) || !is_picture(height) || grey.len() != width * height {
        return Vec::new();
    }
    let mut picture = rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| grey[y * width + x]);
    let codes = picture.detect_grids();
    let bytes = |code: &rqrr::Grid<_>| {
        let mut bytes = Vec::new();
        code.decode_to(&mut bytes).ok().map(|_| bytes)
    };
    codes.iter().filter_map(bytes).collect()
}
