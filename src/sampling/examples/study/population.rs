//! Made-up collections: what their boxes hold, and samples drawn of them.

use crate::cells::{BySize, Cell, Likeness, Sizes, Stops, WithSize};
use sampling::column::Column;
use sampling::design::{BoxSample, Design, Status, StratumSample};
use sampling::math::{exp, normal_quantile};
use sampling::random::Stream;

/// The chance that a box with the condition is stopped before its count, in cells about stops.
const STOPPED: f64 = 0.8;
/// One in so many of the boxes drawn is one of the biggest, where those are taken for certain.
const CERTAIN: usize = 4;

/// What a box holds.
#[derive(Clone, Copy)]
struct Content {
    items: u32,
    yes: u32,
    /// Whether whoever opens it stops at once, for the condition that the cell is about.
    stopped: bool,
}

/// A collection, stratum by stratum.
pub(crate) struct Population {
    strata: Vec<Vec<Content>>,
    /// Boxes to draw of each.
    draw: Vec<usize>,
    /// The true share.
    pub(crate) share: f64,
}

impl Population {
    pub(crate) fn new(cell: &Cell, stream: &mut Stream) -> Self {
        let mut sizes: Vec<u32> = (0..cell.boxes).map(|_| size(cell.sizes, stream)).collect();
        if cell.by_size != BySize::No {
            sizes.sort_unstable();
        }
        let mean = sizes.iter().map(|m| f64::from(*m)).sum::<f64>() / sizes.len() as f64;
        let mut strata = Vec::new();
        let mut start = 0;
        for h in 0..cell.strata {
            let end = boundary(cell, &sizes, h + 1);
            let share = share_of_stratum(cell, h);
            let boxes = sizes[start..end]
                .iter()
                .map(|items| content(cell, *items, share, mean, stream))
                .collect::<Vec<_>>();
            strata.push(boxes);
            start = end;
        }
        let all = |f: fn(&Content) -> u32| strata.iter().flatten().map(|b| f64::from(f(b))).sum::<f64>();
        let share = all(|b| b.yes) / all(|b| b.items);
        let draw = strata
            .iter()
            .enumerate()
            .map(|(h, boxes)| boxes_to_draw(cell, h, boxes))
            .collect();
        Self { strata, draw, share }
    }

    /// The boxes of one sample in the order of the draw, stratum by stratum.
    pub(crate) fn draw(&self, cell: &Cell, stream: &mut Stream) -> Vec<Vec<Drawn>> {
        let of_stratum = |(h, boxes): (usize, &Vec<Content>)| {
            let mut order: Vec<usize> = (0..boxes.len()).collect();
            (0..self.draw[h])
                .map(|i| {
                    let other = i + below(stream, order.len() - i);
                    order.swap(i, other);
                    let content = boxes[order[i]];
                    let (read, yes) = read(cell, content, stream);
                    Drawn {
                        place: order[i],
                        content,
                        read,
                        yes,
                    }
                })
                .collect()
        };
        self.strata.iter().enumerate().map(of_stratum).collect()
    }

    /// The first boxes of a sample (all, or `first` of each stratum), as the estimators are told of them.
    pub(crate) fn told(
        &self,
        cell: &Cell,
        drawn: &[Vec<Drawn>],
        first: Option<usize>,
    ) -> Result<(Design, Column), String> {
        let (mut strata, mut rows, mut whole) = (Vec::new(), Vec::new(), Vec::new());
        for (h, (boxes, own)) in self.strata.iter().zip(drawn).enumerate() {
            let mut sample = Vec::with_capacity(own.len());
            for box_of in own.iter().take(first.unwrap_or(own.len())) {
                let mut made = BoxSample {
                    id: box_of.place.to_string(),
                    ..BoxSample::default()
                };
                let mut answer = None;
                if box_of.content.stopped && cell.stops == Stops::Rightly {
                    made.status = Status::Stopped;
                    answer = Some(1.0);
                } else if box_of.content.stopped && cell.stops == Stops::Wrongly {
                    made.status = Status::NotReached;
                } else {
                    made.items = Some(u64::from(box_of.content.items));
                    made.rows = box_of.read as usize;
                    rows.extend((0..box_of.read).map(|j| Some(f64::from(u8::from(j < box_of.yes)))));
                }
                whole.push(answer);
                sample.push(made);
            }
            strata.push(StratumSample {
                key: h.to_string(),
                frame_boxes: boxes.len() as u64,
                sample,
                ..StratumSample::default()
            });
        }
        let design = Design::new(strata).map_err(|why| why.to_string())?;
        let column = Column::new(&design, rows, whole).map_err(|why| why.to_string())?;
        Ok((design, column))
    }
}

/// A drawn box, and what was read of it.
pub(crate) struct Drawn {
    place: usize,
    content: Content,
    read: u32,
    yes: u32,
}

/// Where stratum `h` begins in a list of all boxes: strata of unequal length, the last the longest, or as their sizes say.
fn boundary(cell: &Cell, sizes: &[u32], h: usize) -> usize {
    let boxes = sizes.len();
    match cell.by_size {
        BySize::No => boxes * h * (h + 1) / (cell.strata * (cell.strata + 1)),
        BySize::Boxes => boxes * h / cell.strata,
        BySize::Items => alike(sizes, h, cell.strata),
        BySize::Certain => {
            let rest = boxes - cell.drawn / CERTAIN;
            if h == cell.strata {
                boxes
            } else {
                alike(&sizes[..rest], h, cell.strata - 1)
            }
        }
    }
}

/// Where stratum `h` of `strata` begins in a list of sizes, all to hold as many items, and four boxes at least.
fn alike(sizes: &[u32], h: usize, strata: usize) -> usize {
    let all: u64 = sizes.iter().map(|m| u64::from(*m)).sum();
    let mut before = 0;
    let start = sizes.iter().take_while(|m| {
        let takes = before * (strata as u64) < all * h as u64;
        before += u64::from(**m);
        takes
    });
    start.count().clamp(4 * h, sizes.len() - 4 * (strata - h))
}

/// Strata differ: from half to one and a half times the share, or, of a share over one half, of what lacks it.
fn share_of_stratum(cell: &Cell, h: usize) -> f64 {
    if cell.strata < 2 || cell.by_size != BySize::No {
        return cell.share;
    }
    let factor = 0.5 + h as f64 / (cell.strata - 1) as f64;
    if cell.share <= 0.5 {
        factor * cell.share
    } else {
        1.0 - factor * (1.0 - cell.share)
    }
}

/// Boxes in proportion to the stratum's, or of strata by size as many of each, at least two.
fn boxes_to_draw(cell: &Cell, h: usize, boxes: &[Content]) -> usize {
    let wanted = match cell.by_size {
        BySize::No => (2 * cell.drawn * boxes.len() + cell.boxes) / (2 * cell.boxes),
        BySize::Boxes | BySize::Items => cell.drawn / cell.strata,
        // The last stratum is that of the biggest boxes.
        BySize::Certain if h + 1 == cell.strata => boxes.len(),
        BySize::Certain => (cell.drawn - cell.drawn / CERTAIN) / (cell.strata - 1),
    };
    // A stratum of one box is taken whole.
    wanted.max(2).min(boxes.len())
}

fn size(sizes: Sizes, stream: &mut Stream) -> u32 {
    match sizes {
        Sizes::Equal => 12,
        Sizes::Uniform => 1 + whole(stream.below(24) as f64),
        Sizes::Skewed => whole(
            exp(2.2 + 0.8 * normal_quantile(stream.unit()))
                .round()
                .clamp(1.0, 60.0),
        ),
    }
}

fn content(cell: &Cell, items: u32, share: f64, mean: f64, stream: &mut Stream) -> Content {
    let share = match cell.with_size {
        WithSize::Alike => share,
        WithSize::Rises => (share * f64::from(items) / mean).min(0.98),
        WithSize::Falls => (share * mean / f64::from(items)).min(0.98),
    };
    let mut yes = 0;
    match cell.likeness {
        Likeness::Correlation(r) if r > 0.0 => {
            // Pólya's urn: beta-binomial answers.
            let size = (1.0 - r) / r;
            for j in 0..items {
                let chance = (share * size + f64::from(yes)) / (size + f64::from(j));
                yes += u32::from(stream.unit() < chance);
            }
        }
        Likeness::Correlation(_) => {
            for _ in 0..items {
                yes += u32::from(stream.unit() < share);
            }
        }
        Likeness::AllOrNothing => yes = if stream.unit() < share { items } else { 0 },
        Likeness::SomeBoxes(inside) => {
            if stream.unit() < share / inside {
                for _ in 0..items {
                    yes += u32::from(stream.unit() < inside);
                }
            }
        }
    }
    let stopped = cell.stops != Stops::None && yes > 0 && stream.unit() < STOPPED;
    Content { items, yes, stopped }
}

/// How many items of a box are read, and how many of those have the condition.
fn read(cell: &Cell, drawn: Content, stream: &mut Stream) -> (u32, u32) {
    let Some(most) = cell.read.filter(|most| *most < drawn.items) else {
        return (drawn.items, drawn.yes);
    };
    let (mut left, mut marked, mut yes) = (drawn.items, drawn.yes, 0);
    for _ in 0..most {
        if stream.below(u64::from(left)) < u64::from(marked) {
            marked -= 1;
            yes += 1;
        }
        left -= 1;
    }
    (most, yes)
}

fn below(stream: &mut Stream, n: usize) -> usize {
    usize::try_from(stream.below(n as u64)).unwrap_or(0)
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "given whole numbers from 0 to 60"
)]
fn whole(x: f64) -> u32 {
    x as u32
}
