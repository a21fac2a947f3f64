//! Bytes that the browser holds, in its own hand or in a file of ours on the disk: what is made of several hundred
//! photographs need not be in the app's own memory at once.

use std::ops::Range;
use std::sync::Arc;

use js_sys::{Array, ArrayBuffer, Uint8Array};
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File};

use super::disk::DiskFile;
use super::words;

/// Bytes that the browser holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    blob: Blob,
    /// The files of ours that some of it lies in: each stays as long as it is needed.
    files: Vec<Arc<DiskFile>>,
}

impl Held {
    /// Hands bytes over.
    ///
    /// # Errors
    /// What the browser says when it refuses.
    pub fn of(bytes: &[u8]) -> Result<Self, String> {
        let parts = Array::of1(&Uint8Array::from(bytes));
        let blob = Blob::new_with_u8_array_sequence(&parts).map_err(|thrown| words(&thrown))?;
        Ok(Self::in_hand(blob))
    }

    fn in_hand(blob: Blob) -> Self {
        let files = Vec::new();
        Self { blob, files }
    }

    /// A part of a file of ours, which stays while this is held.
    ///
    /// # Errors
    /// The file is shorter than that, or what the browser says.
    #[allow(clippy::cast_precision_loss, reason = "no file here has 2^53 bytes")]
    pub(super) fn in_file(file: &File, range: &Range<u64>, keeper: &Arc<DiskFile>) -> Result<Self, String> {
        let part = file.slice_with_f64_and_f64(range.start as f64, range.end as f64);
        let held = Self {
            blob: part.map_err(|thrown| words(&thrown))?,
            files: vec![Arc::clone(keeper)],
        };
        if held.n_bytes() == range.end - range.start {
            Ok(held)
        } else {
            Err("the file on the disk is cut short".to_owned())
        }
    }

    /// Puts pieces together; none of them is read.
    ///
    /// # Errors
    /// What the browser says when it refuses.
    pub fn joined<'a>(pieces: impl IntoIterator<Item = &'a Self>, media_type: &str) -> Result<Self, String> {
        let (parts, mut files) = (Array::new(), Vec::<Arc<DiskFile>>::new());
        for piece in pieces {
            parts.push(&piece.blob);
            for file in &piece.files {
                if !files.iter().any(|known| Arc::ptr_eq(known, file)) {
                    files.push(Arc::clone(file));
                }
            }
        }
        let options = BlobPropertyBag::new();
        options.set_type(media_type);
        let blob =
            Blob::new_with_blob_sequence_and_options(&parts, &options).map_err(|thrown| words(&thrown))?;
        Ok(Self { blob, files })
    }

    /// Makes sure that the browser can give it back, by its last byte.
    ///
    /// # Errors
    /// What the browser says when it cannot.
    pub async fn check(&self) -> Result<(), String> {
        let n_bytes = self.n_bytes();
        let last = self.read(n_bytes.saturating_sub(1), n_bytes).await?;
        if last.len() as u64 == n_bytes.min(1) {
            Ok(())
        } else {
            Err("not all of it can be read".to_owned())
        }
    }

    /// Whether some of it lies in a file of ours.
    pub(super) fn is_on_disk(&self) -> bool {
        !self.files.is_empty()
    }

    /// How many bytes.
    #[must_use]
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "sizes are whole and below 2^53"
    )]
    pub fn n_bytes(&self) -> u64 {
        self.blob.size().max(0.0) as u64
    }

    /// The bytes from one place to before another.
    ///
    /// # Errors
    /// What the browser says when it cannot read them.
    #[allow(clippy::cast_precision_loss, reason = "no file here has 2^53 bytes")]
    pub async fn read(&self, from: u64, to: u64) -> Result<Vec<u8>, String> {
        let part = self.blob.slice_with_f64_and_f64(from as f64, to as f64);
        let part = part.map_err(|thrown| words(&thrown))?;
        let buffer = JsFuture::from(part.array_buffer()).await;
        let buffer: ArrayBuffer = buffer.map_err(|thrown| words(&thrown))?.unchecked_into();
        // Not let go as others are: the engine behind would keep what the language's own clearing up no longer counts.
        Ok(Uint8Array::new(&buffer).to_vec())
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
        &self.blob
    }
}

impl From<File> for Held {
    fn from(file: File) -> Self {
        Self::in_hand(file.into())
    }
}
