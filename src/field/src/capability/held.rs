//! Bytes that the browser holds, on its disk where they are many: what is made of several hundred photographs need not be
//! in the app's own memory at once.

use js_sys::{Array, Uint8Array};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File};

use super::words;

/// Bytes that the browser holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Held(Blob);

impl Held {
    /// Hands bytes over.
    ///
    /// # Errors
    /// What the browser says when it refuses.
    pub fn of(bytes: &[u8]) -> Result<Self, String> {
        let parts = Array::of1(&Uint8Array::from(bytes));
        let blob = Blob::new_with_u8_array_sequence(&parts).map_err(|thrown| words(&thrown))?;
        Ok(Self(blob))
    }

    /// Puts pieces together; none of them is read.
    ///
    /// # Errors
    /// What the browser says when it refuses.
    pub fn joined<'a>(pieces: impl IntoIterator<Item = &'a Self>, media_type: &str) -> Result<Self, String> {
        let parts: Array = pieces.into_iter().map(|piece| &piece.0).collect();
        let options = BlobPropertyBag::new();
        options.set_type(media_type);
        let blob =
            Blob::new_with_blob_sequence_and_options(&parts, &options).map_err(|thrown| words(&thrown))?;
        Ok(Self(blob))
    }

    /// How many bytes.
    #[must_use]
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "sizes are whole and below 2^53"
    )]
    pub fn n_bytes(&self) -> u64 {
        self.0.size().max(0.0) as u64
    }

    /// The bytes from one place to before another.
    ///
    /// # Errors
    /// What the browser says when it cannot read them.
    #[allow(clippy::cast_precision_loss, reason = "no file here has 2^53 bytes")]
    pub async fn read(&self, from: u64, to: u64) -> Result<Vec<u8>, String> {
        let part = self.0.slice_with_f64_and_f64(from as f64, to as f64);
        let part = part.map_err(|thrown| words(&thrown))?;
        let buffer = JsFuture::from(part.array_buffer()).await;
        Ok(Uint8Array::new(&buffer.map_err(|thrown| words(&thrown))?).to_vec())
    }

    /// All of it.
    ///
    /// # Errors
    /// What the browser says when it cannot read them.
    pub async fn read_all(&self) -> Result<Vec<u8>, String> {
        self.read(0, self.n_bytes()).await
    }

    /// For the capabilities that hand a file on.
    pub(super) fn blob(&self) -> &Blob {
        &self.0
    }
}

impl From<File> for Held {
    fn from(file: File) -> Self {
        Self(file.into())
    }
}
