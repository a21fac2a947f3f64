//! From hand to hand: one phone shows its entries as moving codes, another reads them with its camera.

mod read;
mod show;

use std::cell::RefCell;
use std::rc::Rc;

use leptos::prelude::*;
use transfer::{Known, Reader};

pub use self::read::Read;
pub use self::show::{ShowCodes, What};

/// What passes between the screens, from context: half-read streams, and what the other phone said it has.
#[derive(Clone, Copy)]
pub struct Beside {
    reader: StoredValue<Rc<RefCell<Reader>>, LocalStorage>,
    known: RwSignal<Option<Known>>,
}

impl Beside {
    /// Nothing was read yet.
    #[must_use]
    pub fn new() -> Self {
        Self {
            reader: StoredValue::new_local(Rc::default()),
            known: RwSignal::new(None),
        }
    }
}

impl Default for Beside {
    fn default() -> Self {
        Self::new()
    }
}
