//! The device: who holds it, how it looks, whether it is ready for no signal.

use crate::capability::preferences::{Hand, Scheme};
use crate::capability::service_worker::Offline;
use crate::capability::storage_state::{Promise, Risk, Room};

pub const TITLE: &str = "This device";
pub const LEAD: &str = "Look here at home, before you go where there is no signal.";
pub const READY: &str = "Ready for no signal?";
pub const WHO: &str = "Who holds it";
pub const PERSON: &str = "Your name or initials";
pub const PERSON_HINT: &str = "Written beside every answer you give, and into the file you hand over.";
pub const DEVICE_NAME: &str = "A name for this device";
pub const DEVICE_NAME_HINT: &str = "So that two phones of one survey can be told apart.";
pub const SCHEME: &str = "Light and colour";
pub const HAND: &str = "The thumb that taps";
pub const KEEP: &str = "Ask the browser to keep the data";
pub const DONE: &str = "Done";

pub const ON_HOME_SCREEN: &str = "The app runs from the home screen.";
pub const NOT_ON_HOME_SCREEN: &str = "The app runs in the browser. Put it on the home screen (the browser\u{2019}s menu): it is found sooner, and some browsers keep its data longer.";
pub const ENOUGH_ROOM: &str = "There is room for a day with photographs.";
pub const LITTLE_ROOM: &str =
    "There is little room: a hundred photographs may not fit. Make room before you go.";
pub const TRY_CAMERA: &str = "Try the camera";
pub const TRY_CAMERA_HINT: &str = "Take one trial picture now: it is looked at and thrown away.";

pub fn clock(now: &str) -> String {
    format!("The clock says {now}. If that is wrong, set it: times are kept beside answers.")
}

pub fn clock_wrong(now: &str) -> String {
    format!("The clock says {now}, which cannot be. Set it before you go.")
}

pub fn camera_works(bytes: usize) -> String {
    format!(
        "The camera works: a picture of {} kB was made and thrown away.",
        bytes.div_ceil(1_000)
    )
}

pub fn camera_fails(why: &str) -> String {
    format!("No photograph can be made of it: {why}. Try another browser, or bring a camera.")
}

pub fn scheme(scheme: Scheme) -> (&'static str, &'static str) {
    match scheme {
        Scheme::Device => ("As the device is set", ""),
        Scheme::Light => ("Light", "For a bright room."),
        Scheme::Dark => ("Dark", "For the evening."),
        Scheme::Cellar => (
            "Cellar",
            "Red and amber on black: your eyes stay used to the dark.",
        ),
    }
}

pub fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "The right one",
        Hand::Left => "The left one",
    }
}

pub fn offline(state: &Offline) -> String {
    match state {
        Offline::Unsupported => {
            "This browser, at this address, cannot start the app without a network.".to_owned()
        }
        Offline::Preparing => "The app is being stored for use without a network\u{2026}".to_owned(),
        Offline::Ready => "The app is stored: it starts without a network.".to_owned(),
        Offline::NewVersion => "The app is stored, and a newer version waits to be taken.".to_owned(),
        Offline::Failed(why) => format!("The app could not be stored for use without a network: {why}"),
    }
}

pub fn promise(promise: Promise) -> &'static str {
    match promise {
        Promise::Kept => "What you enter is kept until you delete it.",
        Promise::WhileRoom => {
            "What you enter is kept while there is room: a full device may clear it. Carry away a file each day."
        }
        Promise::NotSaid => "This browser does not say how long it keeps data. Carry away a file each day.",
    }
}

pub fn room(room: Room) -> String {
    let mega = |bytes: f64| (bytes / 1_000_000.0).ceil();
    format!("{} MB used of {} MB.", mega(room.used), mega(room.all))
}

/// What may become of the answers in this browser; nothing where there is nothing to fear.
pub fn risk(risk: Risk) -> Option<(&'static str, &'static str)> {
    match risk {
        Risk::Low => None,
        Risk::SevenDays => Some((
            "This browser forgets after seven days",
            "It clears what a page has stored when the page was not opened for seven days of use. Put this app on the home screen before you begin, or carry away a file each day.",
        )),
        Risk::WhenFull => Some((
            "This browser may forget",
            "It may clear what is stored here when the device runs full. Put this app on the home screen, or carry away a file each day.",
        )),
        Risk::NothingKept => Some((
            "Nothing is kept in this window",
            "It is a private window, or storage is refused: what you enter is gone when the window is closed. Use an ordinary window, or carry away a file before you close it.",
        )),
    }
}
