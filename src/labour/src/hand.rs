//! Does what is asked.

use std::collections::BTreeMap;

use analysis::change::change;
use analysis::plan::Plan;
use handover::papers::Papers;
use handover::report::Options;
use handover::report::check::check_since;
use handover::sealed::{self, SealError};
use handover::survey_file::{self, Begun};
use handover::{Elsewhere, FileError, Parts, Photos, boxlist};
use serde::Serialize;
use survey::{Entry, Inserted, Log, State, SurveyId, photo};
use transfer::code;

use crate::ask::{Ask, Asked, Brought, Drawn, Known, Reviewed};
use crate::look::SaidLook;

/// An answer as JSON, and the bytes beside it.
pub type Answer = (Vec<u8>, Vec<Vec<u8>>);

/// Draws a plan of a state, after the one from before; hears how much of all is done.
type Draw = fn(&State, Option<Plan>, &mut dyn FnMut(usize, usize)) -> Plan;

/// Who does the work: it remembers the survey it was told of, and what it drew last, as long as that rests on the same.
#[derive(Default)]
pub struct Hand {
    open: Option<Open>,
    plan: Option<Plan>,
    /// A survey file that waits for its photographs.
    begun: Option<Begun>,
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
            self.begun = None;
        }
        match asked.ask {
            Ask::Nothing => said(&()),
            Ask::Figures => said(&analysis::figures::figures(self.open()?.state())),
            Ask::StoppingLook => {
                let state = self.open()?.state();
                let look = state.stopping_rule().and_then(|_| {
                    let figures = analysis::figures::figures(state);
                    analysis::stopping::look(state, &figures)
                });
                said(&look.map(SaidLook::from))
            }
            Ask::Outlook => {
                let plan = self.plan(Plan::of, told)?;
                said(&plan.summary().map(|summary| Drawn {
                    summary,
                    assumptions: plan.assumptions.clone(),
                }))
            }
            Ask::Buys { budget } => {
                let outlook = &self.plan(Plan::of, told)?.outlook;
                said(
                    &outlook
                        .as_ref()
                        .map(|outlook| outlook.buys(budget))
                        .unwrap_or_default(),
                )
            }
            Ask::Scenarios => {
                let plan = self.plan(Plan::whole, told)?;
                said(&plan.outlook.as_ref().map(|_| plan.side_by_side()))
            }
            Ask::Changed => {
                let earlier = State::fold(&log_of(&next()?)?);
                said(&change(&earlier, self.open()?.state()))
            }
            Ask::Paper { what, parts, since } => {
                let earlier = if since { Some(log_of(&next()?)?) } else { None };
                let before = self.plan.take();
                let open = self.open()?;
                let options = Options::of(open.state());
                let (log, state) = open.both();
                let papers = Papers::new(log, state, before, told);
                let made = papers.paper(&parts, &options, what, earlier.as_ref());
                self.plan = Some(papers.into_plan());
                with_bytes(made.map_err(words))
            }
            Ask::ReadBoxList => said(&boxlist::read(&next()?)),
            Ask::BeginFile { parts } => {
                self.begun = Some(self.begin(&parts)?);
                said(&())
            }
            Ask::WriteFile { parts, photos } => {
                let begun = match self.begun.take().filter(|begun| *begun.parts() == parts) {
                    Some(begun) => begun,
                    None => self.begin(&parts)?,
                };
                with_pieces(begun.around(&photos))
            }
            Ask::ReadFile { photos } => match read_pieces(bytes, &photos) {
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
                let earlier = bytes.next().map(|lines| log_of(&lines)).transpose()?;
                let html = String::from_utf8_lossy(&html);
                said(&check_since(&html, &log_of(&lines)?, earlier.as_ref()))
            }
            Ask::SealHead { passphrase, fresh } => with_bytes(sealed::head(&passphrase, &fresh)),
            Ask::SealPart {
                number,
                is_last,
                fresh,
            } => with_bytes(sealed::seal_part(&next()?, number, is_last, &fresh)),
            Ask::Unseal { passphrase } => {
                let opened: Result<_, SealError> =
                    sealed::unseal(&next()?, &passphrase, sealed::MOST_WORK_OF_A_PHONE);
                with_bytes(opened)
            }
            Ask::FindCodes { side } => Ok((said(&())?.0, code::find(&next()?, side, side))),
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

    fn open(&mut self) -> Result<&mut Open, String> {
        self.open.as_mut().ok_or_else(|| "no survey is known".to_owned())
    }

    fn begin(&mut self, parts: &Parts) -> Result<Begun, String> {
        let (log, state) = self.open()?.both();
        Ok(Begun::of(log, state, parts))
    }

    /// What was drawn of the survey, drawn anew where it rests on something else now.
    fn plan(&mut self, draw: Draw, told: &mut dyn FnMut(usize, usize)) -> Result<&Plan, String> {
        let before = self.plan.take();
        let made = draw(self.open()?.state(), before, told);
        Ok(self.plan.insert(made))
    }
}

impl Open {
    fn state(&mut self) -> &State {
        self.both().1
    }

    fn both(&mut self) -> (&Log, &State) {
        let state = self.state.get_or_insert_with(|| State::fold(&self.log));
        (&self.log, state)
    }
}

/// A log from its lines.
fn log_of(lines: &[u8]) -> Result<Log, String> {
    Log::from_lines(lines).map_err(|(_, error)| words(error))
}

fn read_pieces(
    pieces: impl Iterator<Item = Vec<u8>>,
    photos: &[Elsewhere],
) -> Result<survey_file::Opened, FileError> {
    let pieces: Vec<Vec<u8>> = pieces.collect();
    let pieces: Vec<&[u8]> = pieces.iter().map(Vec::as_slice).collect();
    survey_file::read_around(&pieces, photos)
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
    with_pieces(made.map(|bytes| vec![bytes]))
}

/// The same of one that was made in pieces.
fn with_pieces<E: Serialize>(made: Result<Vec<Vec<u8>>, E>) -> Result<Answer, String> {
    match made {
        Ok(pieces) => Ok((said(&Ok::<(), E>(()))?.0, pieces)),
        Err(error) => said(&Err::<(), E>(error)),
    }
}

/// Photographs from their two lists.
#[must_use]
pub fn zipped(names: Vec<String>, pictures: impl IntoIterator<Item = Vec<u8>>) -> Photos {
    BTreeMap::from_iter(names.into_iter().zip(pictures))
}
