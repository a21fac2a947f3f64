//! Photographs: kept beside the log before the log names them.

use std::collections::{BTreeMap, BTreeSet};

use handover::photos::Lying;
use handover::{Elsewhere, FileError};
use leptos::prelude::{GetUntracked, UpdateValue, WithUntracked, WithValue};
use survey::photo::{self, Photo, PhotoError, Shows};
use survey::store::StoreError;
use survey::{Command, Content, EntryId, Refusal, Subject, SurveyId};

use super::Store;
use crate::capability::disk::{Pile, Place};
use crate::capability::heavy::{self, Fault, Unread};
use crate::capability::held::Held;
use crate::capability::pick_file::PickError;
use crate::capability::{digest, lock, photo_store, second, task};

/// How many photographs' files are looked at before it is told how many are done.
const FILES_AT_ONCE: usize = 10;
/// When it is looked again whether a photograph's file is on the disk for good, milliseconds: longer than the worker takes it to be.
const SETTLES_AFTER_MS: i32 = 70_000;

/// Why a photograph was not kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotKept {
    /// It is no picture that is kept.
    Picture(PhotoError),
    /// The device did not keep it.
    Store(StoreError),
    /// The log did not take it.
    Refused(Refusal),
    /// Another survey was opened meanwhile.
    Elsewhere,
}

/// Why the photographs of a file were not kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotTakenIn {
    /// One of them is not what the file says it is, or the browser did not give its bytes.
    Unread(Unread),
    /// The device did not keep it.
    Store(StoreError),
    /// The person stopped it.
    Stopped,
}

async fn take_in_photo(survey: SurveyId, file: &Held, lying: &Lying) -> Result<(), NotTakenIn> {
    let (sha256, n_bytes) = (&lying.photo.sha256, u64::from(lying.photo.n_bytes));
    let bytes = file.read(lying.start, lying.start + n_bytes).await;
    let bytes = bytes.map_err(|why| NotTakenIn::Unread(Unread::Picked(PickError::Unreadable(why))))?;
    let bad = |error: PhotoError| {
        let (name, why) = (sha256.clone(), error.to_string());
        NotTakenIn::Unread(Unread::File(FileError::BadPhoto { name, why }))
    };
    photo::check_picture(&bytes).map_err(bad)?;
    if digest::sha256(&bytes).await != *sha256 {
        return Err(bad(PhotoError::OtherBytes));
    }
    let kept = photo_store::put_from_elsewhere(survey, sha256, bytes).await;
    kept.map_err(NotTakenIn::Store)
}

/// Has the browser hold photographs, one after the other: those that are files of their own as they are, the others put down
/// somewhere. Those that are damaged stay behind.
async fn held_ones(
    survey: SurveyId,
    named: &[String],
    place: Place,
    hear: &impl Fn(usize, usize),
) -> Result<Vec<(Elsewhere, Held)>, Fault<String>> {
    let stops = heavy::stops();
    let unless_stopped = |ended: Result<(), String>| match ended {
        _ if heavy::stops() != stops => Err(Fault::Stopped),
        ended => ended.map_err(Fault::Said),
    };
    let (mut pile, mut said) = (None, Vec::with_capacity(named.len()));
    for some in named.chunks(FILES_AT_ONCE) {
        let files = photo_store::plain_files(survey, some).await;
        for (sha256, file) in some.iter().zip(files) {
            hear(said.len(), named.len());
            unless_stopped(Ok(()))?;
            if let Some((file, crc32, found)) = file
                && found == *sha256
            {
                let n_bytes = u32::try_from(file.n_bytes()).unwrap_or(u32::MAX);
                let sha256 = found;
                let of = Elsewhere {
                    sha256,
                    n_bytes,
                    crc32,
                };
                said.push((of, Some(file)));
            } else if let Ok(Some(bytes)) = photo_store::get(survey, sha256).await {
                said.push((Elsewhere::of(sha256.clone(), &bytes), None));
                let pile = match &mut pile {
                    Some(begun) => begun,
                    none => none.insert(Pile::begin(place).await),
                };
                unless_stopped(pile.put(bytes, sha256.clone()).await)?;
            }
        }
    }
    let put_down = match pile {
        Some(pile) => pile.end().await,
        None => Ok(Vec::new()),
    };
    unless_stopped(put_down.as_ref().map(|_| ()).map_err(Clone::clone))?;
    let mut put_down = put_down.map_err(Fault::Said)?.into_iter();
    let both = said
        .into_iter()
        .filter_map(|(of, file)| Some((of, file.or_else(|| put_down.next()?)?)));
    Ok(both.collect())
}

/// A picture without its metadata, and its SHA-256. A picture must not be lost for want of a worker: then it is done here.
pub async fn bare(jpeg: &[u8]) -> Result<(String, Vec<u8>), PhotoError> {
    match heavy::bare_photo(jpeg.to_vec()).await {
        Ok(bare) => Ok(bare),
        Err(Fault::Said(error)) => Err(error),
        Err(Fault::Stopped | Fault::NoWorker(_)) => {
            let bytes = photo::bare(jpeg)?;
            Ok((photo::sha256(&bytes), bytes))
        }
    }
}

impl Store {
    /// Keeps a JPEG as a photograph of a subject of the open survey: the picture first, then the entry that names it.
    ///
    /// # Errors
    /// [`NotKept`]; whatever was answered before stays answered.
    pub async fn add_photo(
        &self,
        subject: Subject,
        shows: Shows,
        jpeg: &[u8],
    ) -> Result<Vec<EntryId>, NotKept> {
        let survey = self.survey();
        let (sha256, bytes) = bare(jpeg).await.map_err(NotKept::Picture)?;
        let photo = Photo {
            sha256,
            n_bytes: u32::try_from(bytes.len()).unwrap_or(u32::MAX),
            shows,
        };
        let kept = BTreeMap::from([(photo.sha256.clone(), bytes)]);
        photo_store::put(survey, &kept).await.map_err(NotKept::Store)?;
        self.settle_photos(survey);
        if self.survey() != survey {
            return Err(NotKept::Elsewhere);
        }
        self.try_send(Command::AddPhoto { subject, photo })
            .map_err(NotKept::Refused)
    }

    /// A photograph of the open survey; `None` if it is not on this device.
    ///
    /// # Errors
    /// The storage refuses.
    pub async fn photo(&self, sha256: String) -> Result<Option<Vec<u8>>, StoreError> {
        photo_store::get(self.survey(), &sha256).await
    }

    /// The photographs that the log names and nobody has taken back, in the order of their SHA-256: each as the browser holds
    /// it, read back and found right, with what a survey file says of it. One or two at a time are in memory. Some may not be
    /// on this device, or be damaged: they stay behind. `hear` is told how many of all are done.
    ///
    /// # Errors
    /// The person stopped it, or the browser refuses.
    pub async fn photos_for_a_file(
        &self,
        hear: impl Fn(usize, usize),
    ) -> Result<Vec<(Elsewhere, Held)>, Fault<String>> {
        let (survey, named) = self.state.with_untracked(|state| {
            let named = handover::photos::named(state).into_iter();
            (state.survey, named.map(str::to_owned).collect::<Vec<_>>())
        });
        // Of a locked survey nothing readable is written.
        if !named.is_empty() && lock::key(survey).is_none() {
            match held_ones(survey, &named, Place::Disk, &hear).await {
                // A disk that does not give back what it took is no place for them.
                Err(Fault::Said(_)) => {}
                ended => return ended,
            }
        }
        held_ones(survey, &named, Place::Hand, &hear).await
    }

    /// Keeps the photographs that came in a file, one after the other: each a plain picture under its own SHA-256. `hear` is
    /// told how many of all are done.
    ///
    /// # Errors
    /// [`NotTakenIn`]; none of those that were not here before is here then.
    pub async fn take_in_photos(
        &self,
        survey: SurveyId,
        (file, photos): (&Held, &[Lying]),
        hear: impl Fn(usize, usize),
    ) -> Result<(), NotTakenIn> {
        if photos.is_empty() {
            return Ok(());
        }
        let here = photo_store::names(survey).await.map_err(NotTakenIn::Store)?;
        let stops = heavy::stops();
        let (mut new, mut ended) = (Vec::new(), Ok(()));
        for (done, lying) in photos.iter().enumerate() {
            hear(done, photos.len());
            let sha256 = &lying.photo.sha256;
            if here.contains(sha256) {
                continue;
            }
            new.push(sha256.clone());
            ended = take_in_photo(survey, file, lying).await;
            if heavy::stops() != stops {
                ended = Err(NotTakenIn::Stopped);
            }
            if ended.is_err() {
                // What cannot be removed is named by no log, and takes up room only.
                let _ = photo_store::remove(survey, &new).await;
                break;
            }
        }
        ended
    }

    /// Removes the pictures of photographs that were taken back, of the survey as it was opened: what was taken back
    /// in this sitting, or in the window that writes, can still be brought back.
    pub(super) async fn sweep_photos(&self) {
        let (survey, gone) = self.taken_back_photos();
        if gone.is_empty() {
            return;
        }
        // What cannot be removed now is removed at the next opening.
        let _ = photo_store::remove(survey, &gone).await;
    }

    /// Moves the photographs of the open survey out of the database, when nothing else is to be done; by the window that writes.
    pub(super) fn settle_photos(&self, survey: SurveyId) {
        let store = *self;
        let begun = self.inner.try_update_value(|inner| {
            inner.settle_again = true;
            let (settled, n) = inner.settles;
            (settled != Some(survey)).then(|| {
                inner.settles = (Some(survey), n.wrapping_add(1));
                inner.settles
            })
        });
        let Some(Some(begun)) = begun else {
            return;
        };
        // Another survey may be opened meanwhile, and then this one again.
        let is_still_wanted = move || {
            let is_latest = store.inner.with_value(|inner| inner.settles == begun);
            is_latest && store.is_open(survey) && !store.follows.get_untracked()
        };
        task::spawn(async move {
            task::settled().await;
            while is_still_wanted() {
                store.inner.update_value(|inner| inner.settle_again = false);
                // Where it fails they stay where they are, and it is tried at the next opening.
                let left = match photo_store::are_to_be_moved(survey).await {
                    Ok(true) => second::settle_pictures(survey).await.unwrap_or(0),
                    _ => 0,
                };
                if left == 0 && !store.inner.with_value(|inner| inner.settle_again) {
                    break;
                }
                task::wait_ms(SETTLES_AFTER_MS).await;
            }
            store.inner.update_value(|inner| {
                if inner.settles == begun {
                    inner.settles.0 = None;
                }
            });
        });
    }

    fn taken_back_photos(&self) -> (SurveyId, Vec<String>) {
        let (state, log) = (self.state.get_untracked(), self.log());
        let standing: BTreeSet<&str> = handover::photos::named(&state);
        let gone: BTreeSet<String> = state
            .undone()
            .filter_map(|id| match log.entry(id)?.content() {
                Content::Photo { photo, .. } => Some(photo.sha256.clone()),
                _ => None,
            })
            .filter(|sha256| !standing.contains(sha256.as_str()))
            .collect();
        (state.survey, gone.into_iter().collect())
    }

    fn survey(&self) -> SurveyId {
        self.state.with_untracked(|state| state.survey)
    }
}
