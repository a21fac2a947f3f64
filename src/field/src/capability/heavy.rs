//! The door to work that takes long: figures and files. Every function takes and gives plain, owned data and is
//! asynchronous, so that the work can move into a worker of its own without a change of callers; today it runs here,
//! after the page has painted.

use std::sync::Arc;

use analysis::figures::Figures;
use analysis::stopping::Look;
use costing::{Assumptions, Outlook, Settings, Simulation, SimulationError};
use handover::boxlist::{self, BoxList, Problems};
use handover::sealed::{self, Fresh, SealError};
use handover::survey_file::{self, Opened, Parts};
use handover::{FileError, Photos, Report};
use survey::{Log, State};

use super::{random, task};

/// Reads a list of boxes from the bytes of a CSV file or a pasted text.
///
/// # Errors
/// Everything that is wrong with the list.
pub async fn read_box_list(bytes: Vec<u8>) -> Result<BoxList, Problems> {
    task::after_paint().await;
    boxlist::read(&bytes)
}

/// Makes every figure of a survey.
pub async fn figures(state: Arc<State>) -> Figures {
    task::after_paint().await;
    analysis::figures::figures(&state)
}

/// What the rule for stopping says now; `None` where none was chosen.
pub async fn stopping_look(state: Arc<State>) -> Option<Look> {
    task::after_paint().await;
    let figures = analysis::figures::figures(&state);
    analysis::stopping::look(&state, &figures)
}

/// Draws what saving the collection takes, a part at a time so that the page stays awake.
///
/// # Errors
/// Nothing to plan from, or a set of assumptions that is not sound.
pub async fn outlook(state: Arc<State>) -> Result<(Outlook, Assumptions), SimulationError> {
    task::after_paint().await;
    let assumptions = analysis::outlook::assumptions(&state);
    let collection = analysis::outlook::collection(&state);
    let settings = Settings::default();
    let mut simulation = Simulation::new(&collection, &assumptions, &settings)?;
    while simulation.left() > 0 {
        simulation.step(500);
        task::after_paint().await;
    }
    let outlook = simulation.finish();
    Ok((outlook, assumptions))
}

/// Writes a survey file.
///
/// # Errors
/// The file would be too large.
pub async fn write_file(log: Arc<Log>, parts: Parts, photos: Photos) -> Result<Vec<u8>, FileError> {
    task::after_paint().await;
    survey_file::write_with(&log, &parts, &photos)
}

/// Reads a survey file into its log.
///
/// # Errors
/// It is no survey file, or not as it was handed over.
pub async fn read_file(bytes: Vec<u8>) -> Result<Opened, FileError> {
    task::after_paint().await;
    survey_file::read(&bytes)
}

/// Checks a survey file as a stranger would.
pub async fn verify_file(bytes: Vec<u8>) -> Report {
    task::after_paint().await;
    handover::verify(&bytes)
}

/// A new passphrase; `None` without randomness, without which nothing can be sealed either.
#[must_use]
pub fn passphrase() -> Option<String> {
    random::bits128().ok().map(sealed::passphrase)
}

/// Seals a file with a passphrase.
///
/// # Errors
/// It is empty, or the browser has no randomness.
pub async fn seal(bytes: Vec<u8>, passphrase: String) -> Result<Vec<u8>, SealError> {
    task::after_paint().await;
    let random = || random::bits128().map_err(|_| SealError::NoPassphrase);
    let fresh = Fresh {
        key: random()?,
        salt: random()?,
        nonce: random()?,
    };
    sealed::seal(&bytes, &passphrase, &fresh)
}

/// Opens a sealed file.
///
/// # Errors
/// [`SealError`].
pub async fn unseal(bytes: Arc<Vec<u8>>, passphrase: String) -> Result<Vec<u8>, SealError> {
    task::after_paint().await;
    sealed::unseal(&bytes, &passphrase, sealed::MOST_WORK_OF_A_PHONE)
}
