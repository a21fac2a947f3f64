//! What passes between devices of one survey, beside the survey file: entries alone.
//!
//! Between two phones side by side, with no signal, entries pass as a picture: [`message`] packs them into bytes,
//! [`stream`] cuts the bytes into frames of which any sufficiently many are enough, and [`code`] draws a frame as a QR
//! code and finds it again in what a camera sees.
//!
//! In a folder that a team shares, entries lie as immutable parts ([`folder`]); [`listing`] reads what a `WebDAV` server
//! says is there.
//!
//! Nothing is taken from a stream before the whole of it was checked by its digest. Who shows the code is not checked:
//! what arrives is as good as the person who holds the other phone, as with a file.
//!
//! Not here: cameras, screens, requests, photographs, the clock.
#![deny(missing_docs)]

pub mod code;
pub mod folder;
pub mod known;
pub mod listing;
pub mod message;
pub mod stream;

pub use known::Known;
pub use message::{Message, MessageError};
pub use stream::{Reader, Stream, Taken};
