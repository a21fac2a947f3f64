//! A file that somebody chose: its name and bytes, up to a size.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Event, File, HtmlInputElement};

use super::held::Held;

/// A file as it was chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PickedFile {
    /// Its name, without a folder.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// Why there is no file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PickError {
    /// Nothing was chosen.
    Nothing,
    /// Longer than allowed.
    TooLarge {
        /// Its length, bytes.
        bytes: u64,
        /// The most that is read, bytes.
        most: u64,
    },
    /// The device could not read it, in the browser's words.
    Unreadable(String),
}

/// A file that was chosen and not yet read.
#[derive(Debug)]
pub struct Chosen(Option<File>);

/// What the `change` event of a file input chose. Choosing the same file again raises a new event.
#[must_use]
pub fn chosen(event: &Event) -> Chosen {
    let input = event
        .target()
        .and_then(|target| target.dyn_into::<HtmlInputElement>().ok());
    let file = input
        .as_ref()
        .and_then(HtmlInputElement::files)
        .and_then(|files| files.get(0));
    if let Some(input) = input {
        input.set_value("");
    }
    Chosen(file)
}

impl Chosen {
    /// It as the browser holds it, none of it read; nothing if nothing was chosen.
    #[must_use]
    pub fn held(self) -> Option<Held> {
        self.0.map(Held::from)
    }

    /// Reads it.
    ///
    /// # Errors
    /// [`PickError`]; nothing is read of a file longer than `most` bytes.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "file sizes are whole and below 2^53"
    )]
    pub async fn read(self, most: u64) -> Result<PickedFile, PickError> {
        let file = self.0.ok_or(PickError::Nothing)?;
        let bytes = file.size().max(0.0) as u64;
        if bytes > most {
            return Err(PickError::TooLarge { bytes, most });
        }
        let unreadable = |thrown: JsValue| PickError::Unreadable(super::words(&thrown));
        let buffer = wasm_bindgen_futures::JsFuture::from(file.array_buffer())
            .await
            .map_err(unreadable)?;
        Ok(PickedFile {
            name: file.name(),
            bytes: js_sys::Uint8Array::new(&buffer).to_vec(),
        })
    }
}
