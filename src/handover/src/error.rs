//! Why a file is no survey file that can be trusted. The user's sentences are made from these elsewhere.

/// What is wrong with a survey file. Names are those inside the file, without the base folder.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize, thiserror::Error)]
pub enum FileError {
    /// Larger than [`crate::MAX_FILE_BYTES`].
    #[error("the file has {bytes} bytes, more than a survey file may have")]
    TooLarge {
        /// Its size.
        bytes: usize,
    },
    /// The bytes do not begin like a zip file: another file was picked.
    #[error("this is no zip file")]
    NotAZip,
    /// A zip file without its end: the transfer broke off, so transfer it again.
    #[error("the file is cut short")]
    Truncated,
    /// A zip file, but not byte for byte as it was written: packed anew by another program, or changed. The file as it
    /// was first handed over is needed.
    #[error("not packed as a survey file is: {what}")]
    NotCanonical {
        /// What differs.
        what: String,
    },
    /// Written by a later version of this program, which is needed to read it.
    #[error("format {found} is newer than {known}, the newest known here")]
    NewerFormat {
        /// The format of the file.
        found: u32,
        /// The newest format known here.
        known: u32,
    },
    /// A file that must be there, or that the file's own list names, is missing.
    #[error("{name} is missing")]
    Missing {
        /// The missing file.
        name: String,
    },
    /// A file inside is not what was handed over: its checksum differs.
    #[error("{name} was changed: its checksum differs")]
    Changed {
        /// The changed file.
        name: String,
    },
    /// A file inside that the file's own list does not name: somebody added it.
    #[error("{name} was added: no list names it")]
    Unlisted {
        /// The added file.
        name: String,
    },
    /// A tag file that cannot be read, though its checksum holds.
    #[error("{name} cannot be read: {why}")]
    BadTagFile {
        /// The file.
        name: String,
        /// What is wrong.
        why: String,
    },
    /// A photograph that is no plain picture of an allowed size, is not the one its name says, or belongs to nothing.
    #[error("{name} is no photograph of this survey: {why}")]
    BadPhoto {
        /// The file.
        name: String,
        /// What is wrong with it.
        why: String,
    },
    /// A line of the log that is no entry, or an entry of another survey.
    #[error("line {line} of the log is no entry: {why}")]
    BadLog {
        /// The line, from 1.
        line: usize,
        /// What is wrong with it.
        why: String,
    },
    /// A figure in the file does not follow from the log in it.
    #[error("figure {id} says {said}; the log gives {recomputed}")]
    WrongFigure {
        /// The figure.
        id: String,
        /// What the file says, as JSON; `nothing` if the figure is not in the file.
        said: String,
        /// What follows from the log, as JSON; `nothing` if it is no figure of this log.
        recomputed: String,
    },
    /// Two logs that are to be merged are of two surveys.
    #[error("belongs to survey {found}, not {expected}")]
    OtherSurvey {
        /// The survey of the first log.
        expected: String,
        /// The survey of this one.
        found: String,
    },
}

impl FileError {
    pub(crate) fn not_canonical(what: impl Into<String>) -> Self {
        Self::NotCanonical { what: what.into() }
    }
}
