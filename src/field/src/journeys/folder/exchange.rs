//! One exchange with a team's folder: others' parts are read, then ours are put. What has gone is remembered part by part,
//! so that an exchange that breaks off goes on where it stopped.

use std::collections::BTreeSet;

use survey::Log;
use transfer::folder::{self, Part, PartName};
use transfer::listing;

use crate::capability::folder_worker::{Answer, FolderWorker, Method};
use crate::capability::preferences;
use crate::store::{Store, TakeInError};

/// Asks for names alone: the shortest answer that a server can give.
const NAMES_ONLY: &[u8] =
    b"<?xml version=\"1.0\" encoding=\"utf-8\"?><propfind xmlns=\"DAV:\"><prop><resourcetype/></prop></propfind>";

/// Where the folder is, and who asks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Door {
    /// The team's folder, checked.
    pub address: String,
    /// The name.
    pub user: String,
    /// The password.
    pub password: String,
}

/// How far it came.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Came {
    /// Entries that were new here.
    pub n_taken: usize,
    /// Entries that went, in this exchange.
    pub n_gone: usize,
    /// Entries of ours that are not in the folder yet.
    pub n_left: usize,
    /// Parts that were refused: their names, and why.
    pub refused: Vec<(PartName, String)>,
    /// Why it broke off, if it did.
    pub broke: Option<Broke>,
}

/// Why an exchange breaks off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Broke {
    /// There is no line, or the server does not answer pages of ours.
    NoLine(String),
    /// The name or password does not fit.
    Password,
    /// There is no such folder, or nothing may be written there.
    NoFolder(u16),
    /// The server has no room.
    Full,
    /// It answered something that no such server answers.
    Odd(u16),
    /// This device could not keep what it read.
    Store(String),
}

/// Reads others' parts, then puts ours. `tell` hears how many parts are to do.
pub async fn exchange(store: Store, door: &Door, tell: impl Fn(usize, usize)) -> Came {
    let mut came = Came::default();
    let done = Exchange::begin(store, door).await;
    let ended = match done {
        Ok(mut exchange) => match exchange.read(&mut came, &tell).await {
            Ok(()) => exchange.put(&mut came, &tell).await,
            Err(broke) => Err(broke),
        },
        Err(broke) => Err(broke),
    };
    came.broke = ended.err();
    let there = preferences::folder_parts(store.log().survey(), &door.address);
    // The remains of an upload that broke off are of no account once the part lies beside them.
    came.refused
        .retain(|(name, _)| !there.iter().any(|whole| whole.is_same_part(name)));
    came.n_left = folder::to_put(&store.log(), &there)
        .iter()
        .map(|part| part.n_entries)
        .sum();
    came
}

struct Exchange<'a> {
    store: Store,
    worker: FolderWorker,
    door: &'a Door,
    /// The survey's own folder, with a slash.
    address: String,
    listed: BTreeSet<PartName>,
    there: BTreeSet<PartName>,
}

impl<'a> Exchange<'a> {
    async fn begin(store: Store, door: &'a Door) -> Result<Self, Broke> {
        let survey = store.log().survey();
        let mut exchange = Self {
            store,
            worker: FolderWorker::start(&door.user, &door.password).map_err(Broke::NoLine)?,
            door,
            address: format!("{}{}/", door.address, folder::folder_of(survey)),
            listed: BTreeSet::new(),
            there: preferences::folder_parts(survey, &door.address),
        };
        let listing = match exchange.ask(Method::List, "", Some(NAMES_ONLY)).await? {
            Answer { status: 207, bytes } => listing::read(&bytes).map_err(|_| Broke::Odd(207))?,
            Answer { status: 404, .. } => {
                let made = exchange.ask(Method::MakeFolder, "", None).await?;
                match made.status {
                    // Another phone made it a moment ago.
                    201 | 405 => listing::Listing::default(),
                    status => return Err(refusal(status)),
                }
            }
            answer => return Err(refusal(answer.status)),
        };
        exchange.listed = listing.parts;
        // What somebody removed from the folder goes there again.
        exchange.there.retain(|name| exchange.listed.contains(name));
        Ok(exchange)
    }

    async fn ask(&self, method: Method, name: &str, body: Option<&[u8]>) -> Result<Answer, Broke> {
        let address = format!("{}{name}", self.address);
        let answer = self
            .worker
            .ask(method, &address, body)
            .await
            .map_err(Broke::NoLine)?;
        match answer.status {
            401 => Err(Broke::Password),
            _ => Ok(answer),
        }
    }

    /// Others' parts: each is checked by itself, and what is refused changes nothing.
    async fn read(&mut self, came: &mut Came, tell: &impl Fn(usize, usize)) -> Result<(), Broke> {
        let survey = self.store.log().survey();
        let wanted = folder::to_get(&self.listed, &self.there);
        let mut incoming = Log::new(survey);
        let mut read = BTreeSet::new();
        let mut broke = None;
        for (number, name) in wanted.iter().enumerate() {
            tell(number, wanted.len());
            let answer = match self.ask(Method::Get, &name.to_string(), None).await {
                Ok(answer) if answer.status == 200 => answer,
                Ok(answer) => {
                    came.refused.push((*name, format!("HTTP {}", answer.status)));
                    continue;
                }
                // What arrived before is taken in all the same.
                Err(why) => {
                    broke = Some(why);
                    break;
                }
            };
            match folder::read_part(survey, name, &answer.bytes) {
                Ok(log) => {
                    // The part was read for this survey.
                    let _ = incoming.merge(&log);
                    read.insert(*name);
                }
                Err(error) => came.refused.push((*name, error.to_string())),
            }
        }
        let here = self.store.log();
        came.n_taken = incoming
            .entries()
            .filter(|entry| here.entry(entry.id).is_none())
            .count();
        if !read.is_empty() {
            self.store.take_in(incoming).await.map_err(|error| {
                Broke::Store(match error {
                    TakeInError::Store(error) => error.to_string(),
                    TakeInError::Entry(error) => error.to_string(),
                })
            })?;
            self.there.extend(read);
            self.remember();
        }
        broke.map_or(Ok(()), Err)
    }

    /// Our parts, one after the other.
    async fn put(&mut self, came: &mut Came, tell: &impl Fn(usize, usize)) -> Result<(), Broke> {
        let log = self.store.log();
        let parts = folder::to_put(&log, &self.there);
        let n_parts = parts.len();
        for (number, part) in parts.into_iter().enumerate() {
            tell(number, n_parts);
            let name = self.put_part(&part).await?;
            self.there.insert(name);
            came.n_gone += part.n_entries;
            self.remember();
        }
        // All of this log lies elsewhere now.
        self.store.note_handed_over(&log);
        Ok(())
    }

    /// Puts a part under the first name that is free; what lies there already is looked at.
    async fn put_part(&self, part: &Part) -> Result<PartName, Broke> {
        let mut name = part.name;
        loop {
            let answer = self
                .ask(Method::PutNew, &name.to_string(), Some(&part.bytes))
                .await?;
            match answer.status {
                200 | 201 | 204 => return Ok(name),
                412 => {
                    let there = self.ask(Method::Get, &name.to_string(), None).await?;
                    if there.status == 200 && name.promises(&there.bytes) {
                        return Ok(name);
                    }
                    // A cut upload's remains: they stay, and the part goes beside them.
                    name = name.next_attempt().ok_or(Broke::Odd(412))?;
                }
                status => return Err(refusal(status)),
            }
        }
    }

    fn remember(&self) {
        preferences::set_folder_parts(self.store.log().survey(), &self.door.address, &self.there);
    }
}

fn refusal(status: u16) -> Broke {
    match status {
        403 | 404 | 405 | 409 => Broke::NoFolder(status),
        413 | 507 => Broke::Full,
        status => Broke::Odd(status),
    }
}
