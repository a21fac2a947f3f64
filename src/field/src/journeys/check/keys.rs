//! The keyboard's way through a question.

use leptos::ev::keydown;
use leptos::prelude::*;

use crate::capability::document::{self, Focused};

/// A digit chooses, Backspace or the left arrow goes back, Enter accepts. Where a text is typed or something that can be
/// pressed has the focus, keys keep their own meaning. Until the screen goes.
pub fn listen() {
    let handle = window_event_listener(keydown, |event| {
        if event.default_prevented() || event.ctrl_key() || event.alt_key() || event.meta_key() {
            return;
        }
        if act(&event.key()) {
            event.prevent_default();
        }
    });
    on_cleanup(move || handle.remove());
}

/// Does what a key means; whether it means anything here.
fn act(key: &str) -> bool {
    let focused = document::focused();
    if focused == Focused::Field {
        return false;
    }
    match key {
        "Backspace" if document::press(".pad-key[data-tap$='-erase']", 0) => true,
        "." | "," if document::press(".pad-point", 0) => true,
        "Backspace" | "ArrowLeft" => document::press("[data-tap=check-back]", 0),
        "Enter" if focused == Focused::Elsewhere => {
            document::press("[data-tap=check-done]:not(:disabled)", 0)
                || document::press("[data-tap=check-quick-look]", 0)
                || document::press(".pad-done:not(:disabled)", 0)
        }
        key => {
            let Some(digit) = digit(key) else { return false };
            document::press(&format!(".pad-key[data-tap$='-{digit}']"), 0)
                || document::press(".choices > .choice", digit.checked_sub(1).unwrap_or(9))
        }
    }
}

fn digit(key: &str) -> Option<usize> {
    let mut signs = key.chars();
    let digit = signs.next()?.to_digit(10)?;
    signs.next().is_none().then_some(digit as usize)
}

#[cfg(test)]
mod tests {
    use super::digit;

    #[test]
    fn only_a_single_digit_is_one() {
        assert_eq!(digit("7"), Some(7));
        for other in ["", "a", "12", "F1", "\u{664}"] {
            assert_eq!(digit(other), None, "{other}");
        }
    }
}
