//! The device: who holds it, how it looks, whether it is ready for no signal.

use crate::capability::preferences::{Hand, Lengths, Scheme};
use crate::capability::service_worker::Offline;
use crate::capability::storage_state::{Promise, Risk, Room};

use super::generated::device as words;
pub(crate) use super::generated::device::*;

pub(crate) fn camera_works(bytes: usize) -> String {
    words::camera_works(bytes.div_ceil(1_000))
}

pub(crate) fn scheme(scheme: Scheme) -> (&'static str, &'static str) {
    match scheme {
        Scheme::Device => (scheme_device(), ""),
        Scheme::Light => (scheme_light(), scheme_light_hint()),
        Scheme::Dark => (scheme_dark(), scheme_dark_hint()),
        Scheme::Cellar => (scheme_cellar(), scheme_cellar_hint()),
    }
}

pub(crate) fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => hand_right(),
        Hand::Left => hand_left(),
    }
}

pub(crate) fn lengths(lengths: Lengths) -> &'static str {
    match lengths {
        Lengths::Millimetres => lengths_mm(),
        Lengths::Inches => lengths_in(),
    }
}

pub(crate) fn offline(state: &Offline) -> String {
    match state {
        Offline::Unsupported => offline_unsupported().to_owned(),
        Offline::Preparing => offline_preparing().to_owned(),
        Offline::Ready => offline_ready().to_owned(),
        Offline::NewVersion => offline_new_version().to_owned(),
        Offline::Failed(why) => offline_failed(why),
    }
}

pub(crate) fn promise(promise: Promise) -> &'static str {
    match promise {
        Promise::Kept => promise_kept(),
        Promise::WhileRoom => promise_while_room(),
        Promise::NotSaid => promise_not_said(),
    }
}

pub(crate) fn room(room: Room) -> String {
    let mega = |bytes: f64| (bytes / 1_000_000.0).ceil();
    words::room(mega(room.used), mega(room.all))
}

/// What may become of the answers in this browser; nothing where there is nothing to fear.
pub(crate) fn risk(risk: Risk) -> Option<(&'static str, &'static str)> {
    match risk {
        Risk::Low => None,
        Risk::SevenDays => Some((risk_seven_days(), risk_seven_days_text())),
        Risk::WhenFull => Some((risk_when_full(), risk_when_full_text())),
        Risk::NothingKept => Some((risk_nothing_kept(), risk_nothing_kept_text())),
    }
}
