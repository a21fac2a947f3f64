//! The screens, a folder a part of the day.

pub mod beside;
pub mod check;
pub mod device;
mod differs;
pub mod earlier;
pub mod folder;
pub mod handover;
pub mod home;
pub mod keeping;
pub mod locking;
pub mod results;
pub mod review;
pub mod sample;
pub mod setup;
pub mod shared;
mod survey_file;
mod take_in;
mod unable;
mod unseal;

pub use shared::{Undo, UndoOf, answer_text, said_number};
