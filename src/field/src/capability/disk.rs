//! Bytes put down piece by piece: on the disk, in the place there that is this origin's own (the origin private file
//! system), through the worker `disk.js`; in the browser's hand where it has no such place, or that is full or refused.
//!
//! What lies there can be read by whoever reads the disk. It goes when nothing of it is held any more; what a window that
//! died left behind goes at the next start.

use std::ops::Range;
use std::sync::Arc;

use js_sys::{Array, ArrayBuffer, Object, Promise, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{File, Worker};

use super::held::Held;
use super::{digest, field, heavy, task, words};

const SCRIPT: &str = "disk.js";
/// How long the worker may take to begin a file, milliseconds; after that the browser holds the pieces.
const BEGIN_MS: i32 = 10_000;
/// How long the browser is given a rest before it is asked again to hold something, milliseconds, and how often it is.
const REST_MS: i32 = 2_000;
const RESTS: usize = 35;
/// Buffers are as long as a multiple of this, so that one serves for many pieces, bytes.
const ROUND: u32 = 1 << 20;

/// Where pieces may be put down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// On the disk, and in the browser's hand what the disk does not take.
    Disk,
    /// In the browser's hand alone.
    Hand,
}

/// A file on the disk, and the worker that keeps it; it goes when this is dropped.
#[derive(Debug, PartialEq)]
pub struct DiskFile(Worker);

/// Pieces that are put down one after the other.
#[derive(Debug)]
pub struct Pile {
    file: Option<Arc<DiskFile>>,
    takes_more: bool,
    n_on_disk: u64,
    pieces: Vec<Piece>,
    under_way: Option<UnderWay>,
    /// One buffer goes to and fro: what is thrown away a megabyte at a time stays in memory until somebody clears up.
    spare: Option<ArrayBuffer>,
}

#[derive(Debug)]
enum Piece {
    OnDisk(Range<u64>),
    InHand(Held),
    Damaged,
}

/// A piece that the disk is taking, kept until it has.
#[derive(Debug)]
struct UnderWay {
    answer: Promise,
    bytes: Vec<u8>,
    sha256: String,
}

impl Pile {
    /// Begins one.
    pub async fn begin(place: Place) -> Self {
        let file = match place {
            Place::Disk => DiskFile::begin().await.map(Arc::new),
            Place::Hand => None,
        };
        Self {
            takes_more: file.is_some(),
            file,
            n_on_disk: 0,
            pieces: Vec::new(),
            under_way: None,
            spare: None,
        }
    }

    /// Puts a piece down that is to have this SHA-256. One piece at a time is on its way to the disk while the next is made.
    ///
    /// # Errors
    /// Nothing here takes the piece before it, in the browser's words.
    pub async fn put(&mut self, bytes: Vec<u8>, sha256: String) -> Result<(), String> {
        self.settle().await?;
        let file = self.file.as_ref().filter(|_| self.takes_more);
        let begun = file.and_then(|file| file.put(&bytes, self.n_on_disk, self.spare.take()).ok());
        match begun {
            Some(answer) => {
                self.under_way = Some(UnderWay {
                    answer,
                    bytes,
                    sha256,
                });
            }
            None => self.hold(&bytes, &sha256).await?,
        }
        Ok(())
    }

    /// The pieces in the order they were put down, each read back and found right; nothing for one that had another SHA-256
    /// than it was to have.
    ///
    /// # Errors
    /// Nothing here takes the last piece, or the disk does not give its file, in the browser's words.
    pub async fn end(mut self) -> Result<Vec<Option<Held>>, String> {
        self.settle().await?;
        let file = match &self.file {
            Some(file) if self.n_on_disk > 0 => Some((file, file.end().await?)),
            _ => None,
        };
        let mut pieces = Vec::with_capacity(self.pieces.len());
        for piece in self.pieces {
            pieces.push(match (piece, &file) {
                (Piece::Damaged, _) => None,
                (Piece::InHand(held), _) => Some(held),
                (Piece::OnDisk(range), Some((keeper, file))) => {
                    let held = Held::in_file(file, &range, keeper)?;
                    // The worker read all of it; this is that the browser gives the page the same file.
                    if range.end == self.n_on_disk {
                        held.check().await?;
                    }
                    Some(held)
                }
                (Piece::OnDisk(_), None) => return Err("the file on the disk is gone".to_owned()),
            });
        }
        Ok(pieces)
    }

    /// Waits for the piece that is under way.
    async fn settle(&mut self) -> Result<(), String> {
        let Some(UnderWay {
            answer,
            bytes,
            sha256,
        }) = self.under_way.take()
        else {
            return Ok(());
        };
        if let Ok(done) = heard(answer).await {
            self.spare = field(&done, "buffer").dyn_into().ok();
            let came_back = digest::hex(&Uint8Array::new(&field(&done, "sha256")).to_vec());
            if came_back == sha256 {
                let end = self.n_on_disk + bytes.len() as u64;
                self.pieces.push(Piece::OnDisk(self.n_on_disk..end));
                self.n_on_disk = end;
                return Ok(());
            }
        } else {
            // What lies on the disk stays there; no more is put beside it.
            self.takes_more = false;
        }
        self.hold(&bytes, &sha256).await
    }

    /// Has the browser hold a piece, and makes sure that it does.
    ///
    /// Chromium that was just started has not looked yet how much it can hold, and takes 500 MiB at most until it has: it
    /// looks when the page rests for some seconds, or after a minute. What is too much it takes without a word and cannot give
    /// back.
    async fn hold(&mut self, bytes: &[u8], sha256: &str) -> Result<(), String> {
        if digest::sha256(bytes).await != sha256 {
            self.pieces.push(Piece::Damaged);
            return Ok(());
        }
        let (stops, mut rests) = (heavy::stops(), 0);
        loop {
            let held = Held::of(bytes)?;
            match held.check().await {
                Ok(()) => {
                    self.pieces.push(Piece::InHand(held));
                    return Ok(());
                }
                Err(why) if rests == RESTS || heavy::stops() != stops => return Err(why),
                Err(_) => rests += 1,
            }
            task::wait_ms(REST_MS).await;
        }
    }
}

impl DiskFile {
    /// Begins a file; nothing where the browser has no such place or refuses it.
    async fn begin() -> Option<Self> {
        let file = Self(worker(SCRIPT)?);
        let begun = heard(file.ask("begin", &[], &Array::new()).ok()?);
        task::within(BEGIN_MS, begun).await?.ok()?;
        Some(file)
    }

    fn put(&self, bytes: &[u8], at: u64, spare: Option<ArrayBuffer>) -> Result<Promise, String> {
        let length = u32::try_from(bytes.len()).map_err(|error| error.to_string())?;
        let buffer = spare.filter(|spare| spare.byte_length() >= length);
        let buffer = buffer.unwrap_or_else(|| ArrayBuffer::new(length.next_multiple_of(ROUND)));
        Uint8Array::new_with_byte_offset_and_length(&buffer, 0, length).copy_from(bytes);
        #[allow(clippy::cast_precision_loss, reason = "no file here has 2^53 bytes")]
        let at = JsValue::from_f64(at as f64);
        let with = [
            ("buffer", buffer.clone().into()),
            ("length", length.into()),
            ("at", at),
        ];
        self.ask("put", &with, &Array::of1(&buffer))
    }

    /// Ends the writing.
    async fn end(&self) -> Result<File, String> {
        let file = heard(self.ask("end", &[], &Array::new())?).await?;
        file.dyn_into()
            .map_err(|_| "the disk gave no file back".to_owned())
    }

    fn ask(&self, act: &str, with: &[(&str, JsValue)], buffers: &Array) -> Result<Promise, String> {
        let message = Object::new();
        for (name, value) in std::iter::once(&("act", JsValue::from_str(act))).chain(with) {
            // Setting a property of a fresh object cannot fail.
            let _ = Reflect::set(&message, &JsValue::from_str(name), value);
        }
        let answer = Promise::new(&mut |resolve, reject| {
            self.0.set_onmessage(Some(&resolve));
            self.0.set_onerror(Some(&reject));
        });
        let posted = self.0.post_message_with_transfer(&message, buffers);
        posted.map(|()| answer).map_err(|thrown| words(&thrown))
    }
}

impl Drop for DiskFile {
    fn drop(&mut self) {
        // What cannot be removed now is removed at the next start. The worker ends itself afterwards.
        let _ = self.ask("remove", &[], &Array::new());
    }
}

/// Removes, when the start is over, what windows that died left on the disk.
pub fn sweep() {
    task::spawn(async {
        task::settled().await;
        let Some(worker) = worker(SCRIPT) else { return };
        let message = Object::new();
        // Setting a property of a fresh object cannot fail, and what is not swept now is swept at the next start.
        let _ = Reflect::set(&message, &JsValue::from_str("act"), &JsValue::from_str("sweep"));
        let _ = worker.post_message(&message);
    });
}

/// A worker by its script, where the browser has such a place at all.
pub(super) fn worker(script: &str) -> Option<Worker> {
    let navigator = web_sys::window()?.navigator();
    let storage = field(&navigator, "storage");
    if !storage.is_object() || !field(&storage, "getDirectory").is_function() {
        return None;
    }
    Worker::new(script).ok()
}

/// What the worker gave, or what went wrong there.
async fn heard(answer: Promise) -> Result<JsValue, String> {
    let event = JsFuture::from(answer).await;
    let event = event.map_err(|_| "the worker of the disk did not start".to_owned())?;
    let data = field(&event, "data");
    match field(&data, "fault").as_string() {
        Some(fault) => Err(fault),
        None => Ok(field(&data, "done")),
    }
}
