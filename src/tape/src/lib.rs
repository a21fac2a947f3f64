//! What is known about magnetic tape: what to ask of a carrier, what it probably is, what ails it, what follows from
//! that, and how much is on it.
//!
//! The knowledge itself is plain data in the folder `knowledge`, readable by a conservator; it is checked and turned
//! into statics when this crate is built. The code here only weighs answers against it.
#![deny(missing_docs)]

mod action;
mod amounts;
mod answer;
mod card;
mod carrier;
mod caution;
pub mod climate;
mod coded;
mod condition;
mod finding;
pub mod geometry;
pub mod handbook;
mod knowledge;
mod laid;
mod playing;
mod question;
mod rule;
pub mod storage;
mod translation;
mod watch;

pub use action::{ActionClass, LOOK_AGAIN, Work, action, actions};
pub use amounts::{Class, Layout, Reel, Shell, Speed, classes, layouts, reels, shells, speeds};
pub use answer::{Answer, Answers, CANT_TELL, PHOTOGRAPHED};
pub use card::{Card, answer_in_words, card};
pub use carrier::{Carrier, Family, carrier, carriers, is_checked};
pub use caution::{Caution, caution, cautions, cautions_for_box, cautions_for_item};
pub use coded::{Coded, Form, Told, question_number};
pub use condition::{Condition, condition_values, conditions};
pub use finding::{Contradiction, Finding, Strength, contradictions, findings, findings_watching};
pub use knowledge::{Source, sources};
pub use laid::{Hours, Laid};
pub use playing::{Amount, Playing, playing};
pub use question::{
    Choice, Kind, Path, Question, Subject, batch_asks, batch_fits, box_path, choices, item_path,
    item_path_in, one_look, question, questions, quick_look, read_together, same_as,
};
pub use translation::{Language, told, told_static};
pub use watch::{Stock, WATCH_COLUMNS, WatchError, WatchList};
