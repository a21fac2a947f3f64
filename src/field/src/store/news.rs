//! What a log from elsewhere would add, before it is taken in.

use std::collections::BTreeMap;

use survey::Log;
use survey::snapshot::Folded;
use survey::store::StoreError;

use super::Store;

/// What a log from elsewhere would add.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct News {
    /// The survey's title with it; empty if nobody gave one.
    pub title: String,
    /// Whether the survey is not on this device yet.
    pub is_new_survey: bool,
    /// Entries that are not here yet.
    pub n_new: usize,
    /// Entries that are here already.
    pub n_known: usize,
    /// Entries whose number is known here with other bytes.
    pub n_twins: usize,
    /// How many new entries by whom: a person, or a device where no person is named.
    pub by: BTreeMap<String, usize>,
}

impl Store {
    /// Says what a log would add; changes nothing.
    ///
    /// # Errors
    /// The storage refuses.
    pub async fn news_of(&self, other: &Log) -> Result<News, StoreError> {
        self.pump().await;
        let survey = other.survey();
        let here = self.read(survey).await?;
        let mut news = News {
            is_new_survey: here.is_none(),
            ..News::default()
        };
        let mut union = here.unwrap_or_else(|| Folded::of(Log::new(survey)));
        let n_twins = union.log.twins().len();
        let mut of_writer = BTreeMap::new();
        for entry in other.entries() {
            if union.log.entry(entry.id).is_none() {
                news.n_new += 1;
                *of_writer.entry(entry.id.writer).or_insert(0) += 1;
            } else {
                news.n_known += 1;
            }
        }
        // Both are of one survey.
        let _ = union.merge(other);
        let Folded { log, state } = union;
        news.n_twins = log.twins().len() - n_twins;
        for (writer, n) in of_writer {
            let who = state.writers.get(&writer).map(|writer| {
                let is_named = !writer.person.trim().is_empty();
                if is_named {
                    &writer.person
                } else {
                    &writer.device_name
                }
            });
            *news.by.entry(who.cloned().unwrap_or_default()).or_insert(0) += n;
        }
        news.title = state.title;
        Ok(news)
    }
}
