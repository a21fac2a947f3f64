//! What a device has: for each writer how many entries without a gap, and checksums that show they are the same ones.

use std::collections::BTreeMap;

use survey::{EntryId, Log, SurveyId, WriterId};

/// Entries from one checksum to the next: what is sent twice at most, for each writer.
const STEP: u64 = 64;
/// The most checksums of one device: more than a million entries.
const MOST_MARKS: usize = 20_000;

/// What a device has of a survey.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    survey: SurveyId,
    writers: BTreeMap<WriterId, Marks>,
}

/// The entries `0..upto` of a writer.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Marks {
    upto: u64,
    /// CRC-32 of the first 64, 128, ... entries and of all `upto`, each entry followed by a line feed.
    sums: Vec<u32>,
}

impl Marks {
    fn ends(&self) -> impl Iterator<Item = (u64, u32)> + '_ {
        let ends = (1..).map(|n| (n * STEP).min(self.upto));
        ends.zip(self.sums.iter().copied())
    }
}

impl Known {
    /// What a log has. Entries behind a gap, or with a twin, count as not had: they are sent again, which does no harm.
    #[must_use]
    pub fn of(log: &Log) -> Self {
        let mut writers: BTreeMap<WriterId, (Marks, crc32fast::Hasher)> = BTreeMap::new();
        let twins: std::collections::BTreeSet<EntryId> = log.twins().map(|(id, _)| *id).collect();
        for entry in log.entries() {
            let (marks, sum) = writers.entry(entry.id.writer).or_default();
            if entry.id.n != marks.upto || twins.contains(&entry.id) {
                continue;
            }
            sum.update(&entry.bytes);
            sum.update(b"\n");
            marks.upto += 1;
            if marks.upto % STEP == 0 {
                marks.sums.push(sum.clone().finalize());
            }
        }
        let finished = |(writer, (mut marks, sum)): (WriterId, (Marks, crc32fast::Hasher))| {
            if marks.upto % STEP != 0 {
                marks.sums.push(sum.finalize());
            }
            (writer, marks)
        };
        Self {
            survey: log.survey(),
            writers: writers
                .into_iter()
                .map(finished)
                .filter(|(_, marks)| marks.upto > 0)
                .collect(),
        }
    }

    /// The survey it speaks of.
    #[must_use]
    pub fn survey(&self) -> SurveyId {
        self.survey
    }

    /// How many entries it speaks of.
    #[must_use]
    pub fn n_entries(&self) -> u64 {
        self.writers.values().map(|marks| marks.upto).sum()
    }

    /// The entries of `log` that whoever knows this may lack: all but those that the checksums show to be had.
    #[must_use]
    pub fn lacking(&self, log: &Log) -> Log {
        let had = self.had(log);
        let is_had = |id: EntryId| had.get(&id.writer).is_some_and(|upto| id.n < *upto);
        let mut lacking = Log::new(log.survey());
        let entries = log.entries().filter(|entry| !is_had(entry.id)).cloned();
        let twins = log
            .twins()
            .filter_map(|(_, bytes)| survey::Entry::read(bytes).ok());
        for entry in entries.chain(twins) {
            // Every entry is of the log's own survey.
            let _ = lacking.insert(entry);
        }
        lacking
    }

    /// For each writer, how many of its first entries both have.
    fn had(&self, log: &Log) -> BTreeMap<WriterId, u64> {
        if log.survey() != self.survey {
            return BTreeMap::new();
        }
        let mut had = BTreeMap::new();
        let mut sums: BTreeMap<WriterId, (u64, crc32fast::Hasher)> = BTreeMap::new();
        for entry in log.entries() {
            let Some(marks) = self.writers.get(&entry.id.writer) else {
                continue;
            };
            let (next, sum) = sums.entry(entry.id.writer).or_default();
            if entry.id.n != *next || *next >= marks.upto {
                continue;
            }
            sum.update(&entry.bytes);
            sum.update(b"\n");
            *next += 1;
            if *next % STEP == 0 || *next == marks.upto {
                let sum = sum.clone().finalize();
                if marks.ends().any(|mark| mark == (*next, sum)) {
                    had.insert(entry.id.writer, *next);
                }
            }
        }
        had
    }

    /// Its bytes.
    pub(crate) fn to_bytes(&self) -> Vec<u8> {
        let mut bytes = self.survey.0.to_vec();
        for (writer, marks) in &self.writers {
            bytes.extend_from_slice(&writer.0);
            bytes.extend_from_slice(&marks.upto.to_be_bytes());
            for sum in &marks.sums {
                bytes.extend_from_slice(&sum.to_be_bytes());
            }
        }
        bytes
    }

    /// Reads [`Known::to_bytes`]; `None` if it is nothing of the kind.
    pub(crate) fn from_bytes(mut bytes: &[u8]) -> Option<Self> {
        fn take<const N: usize>(bytes: &mut &[u8]) -> Option<[u8; N]> {
            let (head, rest) = bytes.split_first_chunk::<N>()?;
            *bytes = rest;
            Some(*head)
        }
        let survey = SurveyId(take(&mut bytes)?);
        let mut writers = BTreeMap::new();
        while !bytes.is_empty() {
            let writer = WriterId(take(&mut bytes)?);
            let upto = u64::from_be_bytes(take(&mut bytes)?);
            let n_sums = usize::try_from(upto.div_ceil(STEP))
                .ok()
                .filter(|n| (1..=MOST_MARKS).contains(n))?;
            let mut sums = Vec::new();
            for _ in 0..n_sums {
                sums.push(u32::from_be_bytes(take(&mut bytes)?));
            }
            if writers.insert(writer, Marks { upto, sums }).is_some() {
                return None;
            }
        }
        Some(Self { survey, writers })
    }
}
