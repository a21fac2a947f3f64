//! From hand to hand: codes on one screen, a camera on the other phone.

use transfer::MessageError;
use transfer::code::Grain;

use crate::capability::camera::NoCamera;
use crate::store::news::News;

use super::generated::beside as words;
pub(crate) use super::generated::beside::*;

pub(crate) fn advice() -> [&'static str; 4] {
    [advice_bright(), advice_near(), advice_blind(), advice_flicker()]
}

/// How much is shown, and about how long that takes at so many milliseconds a code.
pub(crate) fn shown(n_entries: usize, n_codes: usize, a_code_ms: i32) -> String {
    let ms = usize::try_from(a_code_ms).unwrap_or(0);
    // With a fifth of the codes missed, and a second to find the beginning.
    let seconds = (n_codes * ms * 5 / 4) / 1_000 + 1;
    if seconds <= 120 {
        shown_seconds(n_entries, n_codes, seconds)
    } else {
        shown_minutes(n_entries, n_codes, seconds.div_ceil(60))
    }
}

pub(crate) fn why_too_much(bytes: usize) -> String {
    too_much_text(bytes.div_ceil(1_000))
}

/// The key of a grain, for taps.
pub(crate) fn grain_key(grain: Grain) -> &'static str {
    match grain {
        Grain::Coarse => "coarse",
        Grain::Middle => "middle",
        Grain::Fine => "fine",
    }
}

pub(crate) fn of_grain(grain: Grain) -> &'static str {
    match grain {
        Grain::Coarse => grain_coarse(),
        Grain::Middle => grain_middle(),
        Grain::Fine => grain_fine(),
    }
}

pub(crate) fn why_no_camera(none: &NoCamera) -> String {
    match none {
        NoCamera::Refused => no_camera_refused().to_owned(),
        NoCamera::None => no_camera_none().to_owned(),
        NoCamera::Busy => no_camera_busy().to_owned(),
        NoCamera::NotGiven => no_camera_not_given().to_owned(),
        NoCamera::Other(why) => no_camera_other(why),
    }
}

pub(crate) fn news(news: &News) -> String {
    let title = if news.title.is_empty() {
        untitled()
    } else {
        &news.title
    };
    if news.n_new == 0 {
        nothing_new(title, news.n_known)
    } else if news.is_new_survey {
        all_new(title, news.n_new)
    } else {
        some_new(title, news.n_new, news.n_known)
    }
}

pub(crate) fn by(who: &str, n: usize) -> String {
    words::by(n, if who.trim().is_empty() { nobody() } else { who })
}

pub(crate) fn message_error(error: &MessageError) -> String {
    match error {
        MessageError::Newer => newer().to_owned(),
        MessageError::TooLarge => too_large().to_owned(),
        MessageError::Damaged | MessageError::BadEntry { .. } => not_understood(error),
    }
}
