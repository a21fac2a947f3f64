//! The classes of what is to be done in plain words: why an item is in one, and why one comes before the next.

use tape::ActionClass;

use super::line::{Line, w};

/// Why an item is in a class, for a bracket behind its name.
pub(super) fn reason(class: &ActionClass) -> &'static str {
    match class.key {
        "keep_away" => "mould or animals",
        "call_now" => "wet",
        "leave_still" => "may fall apart when moved",
        "first" => "decay has begun",
        "with_care" => "small faults, or old film",
        "ordinary" => "no fault seen",
        "look_again" => "too little could be told",
        _ => "",
    }
}

/// Why a class comes before the next one.
pub(super) fn before_next(class: &ActionClass) -> &'static str {
    match class.key {
        "keep_away" => "It may harm people, and mould spreads to what lies beside it.",
        "call_now" => "Wet tape can be lost within days.",
        "leave_still" => "Whenever such a tape is moved, more of it may be lost.",
        "first" => "Its decay goes on while it waits; what comes after it keeps better.",
        "with_care" => "Its faults can grow while it lies, and old film can begin to decay.",
        "ordinary" => "Nothing was seen that makes it urgent: it can wait where it is cool and dry.",
        "look_again" => "A second look costs little, and may move it into a class that cannot wait.",
        _ => "",
    }
}

/// What is true of the items of a class that cannot wait, behind their share: `12% must be kept away from`.
pub(super) fn are(class: &ActionClass) -> &'static str {
    match class.key {
        "keep_away" => "must be kept away from people",
        "call_now" => "are wet",
        "leave_still" => "may fall apart when moved",
        "first" => "have begun to decay",
        _ => "",
    }
}

/// `“Keep away” (mould or animals)`.
pub(super) fn named(class: &ActionClass) -> Line {
    w("“").w(class.label).w("” (").w(reason(class)).w(")")
}

#[cfg(test)]
mod tests {
    use super::super::board::PRESSING;

    #[test]
    fn every_class_has_its_reason_without_a_digit() {
        for class in tape::actions() {
            let (reason, before) = (super::reason(class), super::before_next(class));
            assert!(!PRESSING.contains(&class.key) || !super::are(class).is_empty());
            assert!(!reason.is_empty() && !before.is_empty(), "{}", class.key);
            assert!(
                !reason.contains(|c: char| c.is_ascii_digit())
                    && !before.contains(|c: char| c.is_ascii_digit())
            );
        }
    }
}
