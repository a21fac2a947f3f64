//! What the reference checks share: how near is near, and a design from a list of boxes.

use sampling::design::{BoxSample, Design, StratumSample};

/// Asserts agreement to a relative tolerance, or to an absolute one near zero; a NaN never agrees.
#[track_caller]
pub(crate) fn close(ours: f64, theirs: f64, relative: f64, absolute: f64, what: &str) {
    crate::record::compared(what, ours);
    let off = (ours - theirs).abs();
    let near = off <= relative * theirs.abs() || off <= absolute;
    assert!(
        near,
        "{what}: {ours:?} here, {theirs:?} there, {:.1e} relative",
        off / theirs.abs()
    );
}

/// A design of checked boxes: stratum, boxes in its frame, box, its items, its rows. Strata come in the order given.
pub(crate) fn design_of(boxes: impl IntoIterator<Item = (String, u64, String, u64, usize)>) -> Design {
    let mut strata: Vec<StratumSample> = Vec::new();
    for (key, frame_boxes, id, items, rows) in boxes {
        if strata.last().is_none_or(|s| s.key != key) {
            strata.push(StratumSample {
                key,
                frame_boxes,
                ..StratumSample::default()
            });
        }
        let sampled = BoxSample {
            id,
            items: Some(items),
            rows,
            ..BoxSample::default()
        };
        strata.last_mut().unwrap().sample.push(sampled);
    }
    Design::new(strata).unwrap()
}
