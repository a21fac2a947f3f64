//! Does what is asked.

use std::collections::BTreeMap;

use costing::{Outlook, Settings, Simulation, SimulationError};
use handover::report::check::check;
use handover::sealed::{self, SealError};
use handover::{FileError, Photos, boxlist, survey_file};
use serde::Serialize;
use survey::{Entry, Inserted, Log, State, SurveyId, photo};

use crate::ask::{Ask, Asked, Brought, Drawn, Known, Reviewed};
use crate::look::SaidLook;

/// How many draws are made between two words on how far it is.
const DRAWS_A_STEP: usize = 250;

/// An answer as JSON, and the bytes beside it.
pub type Answer = (Vec<u8>, Vec<Vec<u8>>);

/// Who does the work: it remembers the survey it was told of, and the outlook it drew last.
#[derive(Default)]
pub struct Hand {
    open: Option<Open>,
    outlook: Option<Outlook>,
}

struct Open {
    log: Log,
    /// Folded when it is first needed.
    state: Option<State>,
}

impl Hand {
    /// Does what is asked. `told` hears how much of all is done.
    ///
    /// # Errors
    /// The question makes no sense: it is of another version, or an entry was damaged on the way.
    pub fn perform(
        &mut self,
        asked: Asked,
        bytes: Vec<Vec<u8>>,
        told: &mut dyn FnMut(usize, usize),
    ) -> Result<Answer, String> {
        let mut bytes = bytes.into_iter();
        let mut next = || bytes.next().ok_or("bytes are missing");
        if let Some(known) = &asked.known {
            self.know(known, &next()?)?;
        }
        match asked.ask {
            Ask::Nothing => said(&()),
            Ask::Figures => said(&analysis::figures::figures(self.state()?)),
            Ask::StoppingLook => {
                let state = self.state()?;
                let look = state.stopping_rule().and_then(|_| {
                    let figures = analysis::figures::figures(state);
                    analysis::stopping::look(state, &figures)
                });
                said(&look.map(SaidLook::from))
            }
            Ask::Outlook => said(&self.draw(told)?),
            Ask::Buys { budget } => {
                if self.outlook.is_none() {
                    let _ = self.draw(told)?;
                }
                let bought = self.outlook.as_ref().map(|outlook| outlook.buys(budget));
                said(&bought.unwrap_or_default())
            }
            Ask::ReadBoxList => said(&boxlist::read(&next()?)),
            Ask::WriteFile { parts, photos } => {
                let named = photos.into_iter().map(|name| Ok((name, next()?)));
                let photos: Photos = named.collect::<Result<_, &str>>()?;
                let open = self.open.as_ref().ok_or("no survey is known")?;
                with_bytes(survey_file::write_with(&open.log, &parts, &photos))
            }
            Ask::ReadFile => match survey_file::read(&next()?) {
                Ok(opened) => {
                    let (names, pictures): (Vec<String>, Vec<Vec<u8>>) = opened.photos.into_iter().unzip();
                    let parts = opened.parts;
                    let (answer, mut bytes) = said(&Ok::<_, FileError>(Brought { parts, photos: names }))?;
                    bytes.push(opened.log.to_lines());
                    bytes.extend(pictures);
                    Ok((answer, bytes))
                }
                Err(error) => said(&Err::<Brought, _>(error)),
            },
            Ask::VerifyFile => said(&handover::verify(&next()?)),
            Ask::ReviewFile => review(&next()?),
            Ask::ReviewReport => {
                let (html, lines) = (next()?, next()?);
                let log = Log::from_lines(&lines).map_err(|(_, error)| words(error))?;
                said(&check(&String::from_utf8_lossy(&html), &log))
            }
            Ask::Seal { passphrase, fresh } => with_bytes(sealed::seal(&next()?, &passphrase, &fresh)),
            Ask::Unseal { passphrase } => {
                let opened: Result<_, SealError> =
                    sealed::unseal(&next()?, &passphrase, sealed::MOST_WORK_OF_A_PHONE);
                with_bytes(opened)
            }
            Ask::BarePhoto => match photo::bare(&next()?) {
                Ok(plain) => {
                    let (answer, mut bytes) = said(&Ok::<_, photo::PhotoError>(photo::sha256(&plain)))?;
                    bytes.push(plain);
                    Ok((answer, bytes))
                }
                Err(error) => said(&Err::<String, _>(error)),
            },
        }
    }

    fn know(&mut self, known: &Known, lines: &[u8]) -> Result<(), String> {
        let survey: SurveyId = known.survey.parse().map_err(words)?;
        if known.anew {
            self.outlook = None;
            self.open = None;
        }
        let open = self.open.get_or_insert_with(|| Open {
            log: Log::new(survey),
            state: None,
        });
        let mut new = Vec::new();
        for line in lines.split(|byte| *byte == b'\n').filter(|line| !line.is_empty()) {
            let entry = Entry::read(line).map_err(words)?;
            let id = entry.id;
            match open.log.insert(entry).map_err(words)? {
                Inserted::New => new.push(id),
                Inserted::Known => {}
                Inserted::Twin => open.state = None,
            }
        }
        if let Some(state) = &mut open.state {
            state.take_up(&open.log, &new);
        }
        Ok(())
    }

    fn state(&mut self) -> Result<&State, String> {
        let open = self.open.as_mut().ok_or("no survey is known")?;
        Ok(open.state.get_or_insert_with(|| State::fold(&open.log)))
    }

    /// Draws an outlook a part at a time, and keeps it for the questions about sums.
    fn draw(&mut self, told: &mut dyn FnMut(usize, usize)) -> Result<Result<Drawn, SimulationError>, String> {
        self.outlook = None;
        let state = self.state()?;
        let assumptions = analysis::outlook::assumptions(state);
        let collection = analysis::outlook::collection(state);
        let settings = Settings::default();
        let mut simulation = match Simulation::new(&collection, &assumptions, &settings) {
            Ok(simulation) => simulation,
            Err(error) => return Ok(Err(error)),
        };
        let all = simulation.left();
        while simulation.left() > 0 {
            told(all - simulation.left(), all);
            simulation.step(DRAWS_A_STEP);
        }
        let outlook = simulation.finish();
        let summary = analysis::outlook::summary(&outlook, &assumptions);
        self.outlook = Some(outlook);
        Ok(Ok(Drawn { summary, assumptions }))
    }
}

/// Checks a file as a stranger would, and makes its figures anew.
fn review(file: &[u8]) -> Result<Answer, String> {
    let report = handover::verify(file);
    let log = survey_file::read(file).ok().map(|opened| opened.log);
    let figures = log
        .as_ref()
        .map(|log| analysis::figures::figures(&State::fold(log)).headline);
    let (answer, mut bytes) = said(&Reviewed {
        report,
        sha256: photo::sha256(file),
        figures: figures.into_iter().flatten().collect(),
    })?;
    bytes.extend(log.map(|log| log.to_lines()));
    Ok((answer, bytes))
}

/// The words of an error.
fn words(error: impl std::fmt::Display) -> String {
    error.to_string()
}

fn said(answer: &impl Serialize) -> Result<Answer, String> {
    Ok((serde_json::to_vec(answer).map_err(words)?, Vec::new()))
}

/// A file that was made, or why it was not.
fn with_bytes<E: Serialize>(made: Result<Vec<u8>, E>) -> Result<Answer, String> {
    match made {
        Ok(bytes) => Ok((said(&Ok::<(), E>(()))?.0, vec![bytes])),
        Err(error) => said(&Err::<(), E>(error)),
    }
}

/// Photographs in two lists, as they go over.
#[must_use]
pub fn unzipped(photos: Photos) -> (Vec<String>, Vec<Vec<u8>>) {
    photos.into_iter().unzip()
}

/// Photographs from their two lists.
#[must_use]
pub fn zipped(names: Vec<String>, pictures: impl IntoIterator<Item = Vec<u8>>) -> Photos {
    BTreeMap::from_iter(names.into_iter().zip(pictures))
}
