//! The door to work that takes long: figures, files, pictures. It is done in a worker with a module of its own, so that
//! the page stays awake and a first visit loads less. Every function is asynchronous; where the worker does not start,
//! each says so ([`Fault::NoWorker`]) instead of waiting for ever.

use std::cell::Cell;
use std::rc::Rc;
use std::sync::Arc;

use analysis::change::{Change, ChangeError};
use analysis::figures::Figures;
use analysis::stopping::Look;
use costing::{Bought, SideBySide, SimulationError};
use handover::boxlist::{BoxList, Problems};
use handover::papers::Paper;
use handover::photos::{self, Lying};
use handover::report::check::{ReportCheck, ReportError};
use handover::sealed::{self, Fresh, SealError};
use handover::survey_file::Parts;
use handover::{Elsewhere, FileError, Report};
use labour::{Ask, Brought, Drawn, Reviewed, SaidLook};
use serde::de::DeserializeOwned;
use survey::Log;
use survey::photo::PhotoError;

use super::disk::{Pile, Place};
use super::held::Held;
use super::pick_file::PickError;
use super::worker::{self, NoAnswer};
use super::{digest, random};

/// Why a piece of work has no result.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault<E = Never> {
    /// What the work itself says.
    Said(E),
    /// The person stopped it.
    Stopped,
    /// The worker did not start, or broke: what the browser says. Trying again starts another.
    NoWorker(String),
}

impl<E> Fault<E> {
    /// What the work says, apart from why it was not done.
    ///
    /// # Errors
    /// It was not done.
    pub fn apart(self) -> Result<E, Fault> {
        match self {
            Self::Said(error) => Ok(error),
            Self::Stopped => Err(Fault::Stopped),
            Self::NoWorker(why) => Err(Fault::NoWorker(why)),
        }
    }
}

/// The error of work that has none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Never {}

/// A survey file that was read, but for its photographs.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// The record.
    pub log: Log,
    /// What the file said beside its log.
    pub parts: Parts,
    /// The photographs in it, and where: their bytes are still to be checked.
    pub photos: Vec<Lying>,
}

/// Why a survey file was not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unread {
    /// It is no survey file, or not as it was handed over.
    File(FileError),
    /// Too much of it were in memory at once, or the browser did not give its bytes.
    Picked(PickError),
}

/// Reads a list of boxes from the bytes of a CSV file or a pasted text.
///
/// # Errors
/// Everything that is wrong with the list.
pub async fn read_box_list(bytes: Vec<u8>) -> Result<BoxList, Fault<Problems>> {
    let (read, _) = ask(None, Ask::ReadBoxList, vec![bytes]).await?;
    said(read)
}

/// Makes every figure of a survey.
///
/// # Errors
/// No worker, or stopped.
pub async fn figures(log: Arc<Log>) -> Result<Figures, Fault> {
    Ok(ask(Some(log), Ask::Figures, Vec::new()).await?.0)
}

/// What the rule for stopping says now; `None` where none was chosen.
///
/// # Errors
/// No worker, or stopped.
pub async fn stopping_look(log: Arc<Log>) -> Result<Option<Look>, Fault> {
    let (look, _) = ask::<Option<SaidLook>, _>(Some(log), Ask::StoppingLook, Vec::new()).await?;
    Ok(look.map(Look::from))
}

/// Draws what saving the collection takes; `hear` is told how many of all draws are made.
///
/// # Errors
/// Nothing to plan from, or a set of assumptions that is not sound.
pub async fn outlook(
    log: Arc<Log>,
    hear: impl Fn(usize, usize) + 'static,
) -> Result<Drawn, Fault<SimulationError>> {
    let answer = worker::ask(Some(&log), Ask::Outlook, Vec::new(), Some(Rc::new(hear)));
    drop(log);
    let (drawn, _) = read(answer.await)?;
    said(drawn)
}

/// What a sum buys, by the outlook that was drawn last.
///
/// # Errors
/// No worker, or stopped.
pub async fn buys(log: Arc<Log>, budget: f64) -> Result<Vec<Bought>, Fault> {
    Ok(ask(Some(log), Ask::Buys { budget }, Vec::new()).await?.0)
}

/// The planned set and the saved scenarios side by side, `None` where none was saved; `hear` is told how many of all draws
/// are made.
///
/// # Errors
/// Nothing to plan from, or a set of assumptions that is not sound.
pub async fn scenarios(
    log: Arc<Log>,
    hear: impl Fn(usize, usize) + 'static,
) -> Result<Option<SideBySide>, Fault<SimulationError>> {
    let answer = worker::ask(Some(&log), Ask::Scenarios, Vec::new(), Some(Rc::new(hear)));
    let (told, _) = read(answer.await)?;
    said(told)
}

/// What changed since an earlier visit, whose log's lines are given.
///
/// # Errors
/// Why the two cannot be compared.
pub async fn changed(log: Arc<Log>, earlier: Arc<Vec<u8>>) -> Result<Change, Fault<ChangeError>> {
    let (made, _) = ask(Some(log), Ask::Changed, vec![earlier.to_vec()]).await?;
    said(made)
}

/// Makes a paper, which compares with the earlier visit whose log's lines are given; `hear` is told how many of all draws are
/// made.
///
/// # Errors
/// What a sheet cannot hold, in words.
pub async fn paper(
    log: Arc<Log>,
    (what, parts): (Paper, Parts),
    earlier: Option<Arc<Vec<u8>>>,
    hear: impl Fn(usize, usize) + 'static,
) -> Result<Vec<u8>, Fault<String>> {
    let since = earlier.is_some();
    let bytes = earlier.iter().map(|lines| lines.to_vec()).collect();
    let ask = Ask::Paper { what, parts, since };
    made(read(
        worker::ask(Some(&log), ask, bytes, Some(Rc::new(hear))).await,
    )?)
}

/// Begins a survey file, at once, while its photographs are still being looked at; [`write_file`] goes on from there.
pub fn begin_file(log: &Log, parts: &Parts) {
    let parts = parts.clone();
    // Whatever becomes of it is heard when the file is written.
    drop(worker::ask(Some(log), Ask::BeginFile { parts }, Vec::new(), None));
}

/// Writes a survey file around its photographs: the piece before the first, those between, the piece behind the last.
///
/// # Errors
/// The file would be too large.
pub async fn write_file(
    log: Arc<Log>,
    parts: Parts,
    photos: Vec<Elsewhere>,
) -> Result<Vec<Vec<u8>>, Fault<FileError>> {
    let (done, pieces) =
        ask::<Result<(), _>, _>(Some(log), Ask::WriteFile { parts, photos }, Vec::new()).await?;
    said(done)?;
    Ok(pieces)
}

/// Reads a survey file into its log; its photographs stay where they lie. At most `most` bytes are in memory at once.
///
/// # Errors
/// [`Unread`].
pub async fn read_file(file: &Held, most: u64) -> Result<Opened, Fault<Unread>> {
    let picked = |error| Fault::Said(Unread::Picked(error));
    let unreadable = |why| picked(PickError::Unreadable(why));
    let photos = lying(file).await.map_err(unreadable)?;
    let here = photos.iter().fold(file.n_bytes(), |left, lying| {
        left.saturating_sub(lying.photo.n_bytes.into())
    });
    if here > most {
        return Err(picked(PickError::TooLarge { bytes: here, most }));
    }
    let (mut pieces, mut at) = (Vec::with_capacity(photos.len() + 1), 0);
    for lying in &photos {
        pieces.push(file.read(at, lying.start).await.map_err(unreadable)?);
        at = lying.start + u64::from(lying.photo.n_bytes);
    }
    pieces.push(file.read(at, file.n_bytes()).await.map_err(unreadable)?);
    let said = photos.iter().map(|lying| lying.photo.clone()).collect();
    let asked = ask::<Result<Brought, FileError>, _>(None, Ask::ReadFile { photos: said }, pieces);
    let (brought, bytes) = asked.await?;
    let brought = brought.map_err(|error| Fault::Said(Unread::File(error)))?;
    let lines = bytes.into_iter().next().unwrap_or_default();
    let log = Log::from_lines(&lines).map_err(|(line, error)| {
        let why = error.to_string();
        Fault::Said(Unread::File(FileError::BadLog { line, why }))
    })?;
    Ok(Opened {
        log,
        parts: brought.parts,
        photos,
    })
}

/// The photographs of a file, by its directory alone. A file without one is read whole: then it is told what is wrong.
async fn lying(file: &Held) -> Result<Vec<Lying>, String> {
    let n_bytes = file.n_bytes();
    let end = file
        .read(n_bytes.saturating_sub(photos::END_BYTES), n_bytes)
        .await?;
    let Some(directory) = photos::directory(&end, n_bytes) else {
        return Ok(Vec::new());
    };
    if directory.end - directory.start > MOST_DIRECTORY {
        return Ok(Vec::new());
    }
    let directory = file.read(directory.start, directory.end).await?;
    Ok(photos::lying(&directory).unwrap_or_default())
}

/// The longest directory that is looked at: that of more files than any survey file has.
const MOST_DIRECTORY: u64 = 8 << 20;

/// The lines of a survey file's log, of which nothing else is wanted.
///
/// # Errors
/// It is no survey file, or not as it was handed over.
pub async fn read_lines(bytes: Vec<u8>) -> Result<Vec<u8>, Fault<FileError>> {
    let (brought, bytes) =
        ask::<Result<Brought, _>, _>(None, Ask::ReadFile { photos: Vec::new() }, vec![bytes]).await?;
    said(brought)?;
    Ok(bytes.into_iter().next().unwrap_or_default())
}

/// Checks a survey file as a stranger would.
///
/// # Errors
/// No worker, or stopped.
pub async fn verify_file(bytes: Vec<u8>) -> Result<Report, Fault> {
    Ok(ask(None, Ask::VerifyFile, vec![bytes]).await?.0)
}

/// Checks a survey file as a stranger would and makes its figures anew; with the lines of its log, if it can be read.
///
/// # Errors
/// No worker, or stopped.
pub async fn review_file(bytes: Vec<u8>) -> Result<(Reviewed, Option<Vec<u8>>), Fault> {
    let (reviewed, bytes) = ask(None, Ask::ReviewFile, vec![bytes]).await?;
    Ok((reviewed, bytes.into_iter().next()))
}

/// Checks every number of a report against the lines of a log, and of the log of the earlier visit that it compares with.
///
/// # Errors
/// [`ReportError`].
pub async fn review_report(
    report: &[u8],
    lines: &[u8],
    earlier: Option<Vec<u8>>,
) -> Result<ReportCheck, Fault<ReportError>> {
    let mut bytes = vec![report.to_vec(), lines.to_vec()];
    bytes.extend(earlier);
    let (checked, _) = ask(None, Ask::ReviewReport, bytes).await?;
    said(checked)
}

/// A photograph without its metadata, and its SHA-256.
///
/// # Errors
/// It is no picture that is kept.
pub async fn bare_photo(jpeg: Vec<u8>) -> Result<(String, Vec<u8>), Fault<PhotoError>> {
    let (sha256, bytes) = ask::<Result<String, _>, _>(None, Ask::BarePhoto, vec![jpeg]).await?;
    Ok((said(sha256)?, bytes.into_iter().next().unwrap_or_default()))
}

/// The bytes of every code in a camera's picture: `side` grey values a line, as many lines.
///
/// # Errors
/// No worker, or stopped.
pub async fn find_codes(grey: Vec<u8>, side: usize) -> Result<Vec<Vec<u8>>, Fault> {
    Ok(ask::<(), _>(None, Ask::FindCodes { side }, vec![grey]).await?.1)
}

/// A new passphrase; `None` without randomness, without which nothing can be sealed either.
#[must_use]
pub fn passphrase() -> Option<String> {
    random::bits128().ok().map(sealed::passphrase)
}

/// Seals a file with a passphrase, part by part: what is not in hand stays with the browser.
///
/// # Errors
/// The passphrase is empty, or the browser has no randomness or does not give the file's bytes.
pub async fn seal(file: &Held, passphrase: String) -> Result<Held, Fault<SealError>> {
    let random = || random::bits128().map_err(|_| Fault::Said(SealError::NoPassphrase));
    let fresh = Fresh {
        key: random()?,
        salt: random()?,
        nonce: random()?,
    };
    let head = Ask::SealHead {
        passphrase,
        fresh: fresh.clone(),
    };
    let (all, most) = (file.n_bytes(), sealed::PART as u64);
    let mut sealed = Pile::begin(if all > most { Place::Disk } else { Place::Hand }).await;
    let head = made(ask(None, head, Vec::new()).await?)?;
    put(&mut sealed, head).await?;
    for number in 0..all.div_ceil(most).max(1) {
        let (from, to) = (number * most, all.min((number + 1) * most));
        let part = file.read(from, to).await.map_err(Fault::NoWorker)?;
        let ask_part = Ask::SealPart {
            number,
            is_last: to == all,
            fresh: fresh.clone(),
        };
        let part = made(ask(None, ask_part, vec![part]).await?)?;
        put(&mut sealed, part).await?;
    }
    let sealed = sealed.end().await.map_err(Fault::NoWorker)?;
    let sealed: Option<Vec<Held>> = sealed.into_iter().collect();
    let sealed = sealed.ok_or_else(|| Fault::NoWorker("a part came back changed".to_owned()))?;
    Held::joined(&sealed, "application/octet-stream").map_err(Fault::NoWorker)
}

async fn put(pile: &mut Pile, part: Vec<u8>) -> Result<(), Fault<SealError>> {
    let sha256 = digest::sha256(&part).await;
    pile.put(part, sha256).await.map_err(Fault::NoWorker)
}

/// Opens a sealed file.
///
/// # Errors
/// [`SealError`].
pub async fn unseal(bytes: Arc<Vec<u8>>, passphrase: String) -> Result<Vec<u8>, Fault<SealError>> {
    made(ask(None, Ask::Unseal { passphrase }, vec![bytes.to_vec()]).await?)
}

thread_local! {
    static STOPS: Cell<u32> = const { Cell::new(0) };
}

/// Stops whatever is being done: everything asked so far ends with [`Fault::Stopped`].
pub fn stop() {
    STOPS.set(STOPS.get().wrapping_add(1));
    worker::stop();
}

/// How often something was stopped: long work that is done beside the worker ends where this changes.
#[must_use]
pub fn stops() -> u32 {
    STOPS.get()
}

/// Forgets what the worker was told of a survey: another log takes its place.
pub fn forget() {
    worker::forget();
}

async fn ask<T: DeserializeOwned, E>(
    log: Option<Arc<Log>>,
    ask: Ask,
    bytes: Vec<Vec<u8>>,
) -> Result<(T, Vec<Vec<u8>>), Fault<E>> {
    let answer = worker::ask(log.as_deref(), ask, bytes, None);
    drop(log);
    read(answer.await)
}

fn read<T: DeserializeOwned, E>(
    answer: Result<worker::Answer, NoAnswer>,
) -> Result<(T, Vec<Vec<u8>>), Fault<E>> {
    let (answer, bytes) = answer.map_err(|why| match why {
        NoAnswer::Stopped => Fault::Stopped,
        NoAnswer::Broken(why) => Fault::NoWorker(why),
    })?;
    match serde_json::from_slice(&answer) {
        Ok(answer) => Ok((answer, bytes)),
        Err(error) => Err(Fault::NoWorker(error.to_string())),
    }
}

fn said<T, E>(answer: Result<T, E>) -> Result<T, Fault<E>> {
    answer.map_err(Fault::Said)
}

fn made<E>((answer, bytes): (Result<(), E>, Vec<Vec<u8>>)) -> Result<Vec<u8>, Fault<E>> {
    said(answer)?;
    Ok(bytes.into_iter().next().unwrap_or_default())
}
