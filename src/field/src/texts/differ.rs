//! What does not agree once several devices have met.

use survey::{Fault, State, Subject, batch, reading};

use super::generated::differ as words;
pub(crate) use super::generated::differ::*;
use super::{check, worded};

/// Who gave an answer, where anybody is known.
pub(crate) fn who(name: &str) -> &str {
    if name.is_empty() { nobody() } else { name }
}

/// A question as it is asked, or what an answer of its own key is about.
pub(crate) fn question(key: &str) -> String {
    if let Some((name, asked)) = batch::read_key(key) {
        return check::batch_title(name, short(asked));
    }
    short(reading::first_key(key)).to_owned()
}

fn short(key: &str) -> &str {
    tape::question(key).map_or_else(|| check::own_question(key), |known| worded(known.short))
}

/// What an answer is about: a box or tape with its label, or a part of the list.
pub(crate) fn subject(subject: Subject, state: &State) -> String {
    let labelled = |title: String, serial| match state.boxes.get(&serial).map(|listed| listed.label.trim()) {
        Some(label) if !label.is_empty() => check::said(title, label),
        _ => title,
    };
    match subject {
        Subject::Survey => the_survey().to_owned(),
        Subject::Stratum(key) => state.strata.get(&key).cloned().unwrap_or_else(|| key.to_string()),
        Subject::Place(key) => {
            let place = state.places.get(&key);
            place.map_or_else(|| key.to_string(), |place| place.name.clone())
        }
        Subject::Box(serial) => labelled(check::box_title(serial), serial),
        Subject::Item(item) => labelled(check::item_title(item), item.serial),
    }
}

/// A fault that no part of the screen tells by itself.
pub(crate) fn fault(fault: &Fault) -> Option<String> {
    Some(match fault {
        Fault::Gap { missing, .. } => words::fault_gap(missing),
        Fault::NotUnderstood(_) => fault_not_understood().to_owned(),
        Fault::BadReference(_) => fault_bad_reference().to_owned(),
        Fault::SameSerial(serial) => words::fault_same_serial(serial),
        Fault::FrameDigest(_) => fault_frame_digest().to_owned(),
        Fault::Circle(_) => fault_circle().to_owned(),
        Fault::Twin(_) | Fault::SeveralDraws => return None,
    })
}
