//! Work that takes long, asked for and answered as plain data, so that it can be done in a worker.
//!
//! The page asks with an [`Asked`] and bytes beside it; the [`Hand`] in the worker does the work and answers. A survey
//! goes over as the bytes of its entries: all of them once, then only the new ones ([`Sent`]). What is large (files,
//! photographs) goes over as bytes, never inside the question.
//!
//! Reading order: [`ask`] (what can be asked, and what each question is answered with), [`sent`], [`hand`]. The program
//! beside this library is the worker's own half; the page's is `capability/worker.rs` of the app.
#![deny(missing_docs)]

pub mod ask;
pub mod hand;
mod look;
pub mod sent;

pub use ask::{Ask, Asked, Brought, Drawn, Known, Reviewed, Told, What};
pub use hand::Hand;
pub use look::SaidLook;
pub use sent::Sent;
