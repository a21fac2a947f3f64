//! Every sentence of the app by its key: a constant, or a function where something is put in. Views hold no text
//! literals, so a second language is a second folder beside `en`.

pub mod en;

pub use en::{
    alike, check, common, device, handover, hands, home, pace, paper, photos, reading, results, sample,
    setup, shelf, takes,
};
