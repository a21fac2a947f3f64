//! What can be asked, and what it is answered with.

use analysis::figures::Figure;
use analysis::outlook::Summary;
use costing::Assumptions;
use handover::papers::Paper;
use handover::sealed::Fresh;
use handover::{Elsewhere, Parts, Report};
use serde::{Deserialize, Serialize};
use survey::SurveyId;

/// A question. Its answer is the JSON of the type named beside it, with bytes where that is said.
#[derive(Clone, Serialize, Deserialize)]
pub enum Ask {
    /// `()`: nothing but the entries that come with it.
    Nothing,
    /// `analysis::figures::Figures` of the survey.
    Figures,
    /// `Option<SaidLook>`: what the rule for stopping says; none where none was chosen.
    StoppingLook,
    /// `Result<Drawn, SimulationError>`: ten thousand draws of what the survey's collection takes.
    Outlook,
    /// `Vec<costing::Bought>`: what a sum buys.
    Buys {
        /// The sum, in the assumptions' currency.
        budget: f64,
    },
    /// `Result<Option<SideBySide>, SimulationError>`: the planned set and the saved scenarios; none where none was saved.
    Scenarios,
    /// `Result<Change, ChangeError>`: what changed since an earlier visit. Bytes: the lines of that visit's log.
    Changed,
    /// `Result<(), String>`, and the bytes of a paper, made with the options in the log. Bytes: the lines of the log of the
    /// earlier visit that the report compares with, if `since`.
    Paper {
        /// Which.
        what: Paper,
        /// What it says beside the log.
        parts: Parts,
        /// Whether it compares.
        since: bool,
    },
    /// `Result<BoxList, Problems>` of a table. Bytes: the table.
    ReadBoxList,
    /// `()`: the survey file but for its photographs, which is kept for `WriteFile` as long as nothing new is known.
    BeginFile {
        /// What the file says beside its log.
        parts: Parts,
    },
    /// `Result<(), FileError>`, and the pieces of the survey file around its photographs (`survey_file::write_around`).
    WriteFile {
        /// What the file says beside its log.
        parts: Parts,
        /// The photographs, which do not come along.
        photos: Vec<Elsewhere>,
    },
    /// `Result<Brought, FileError>`, and bytes: the log's lines, then each photograph that came along. Bytes: the file; or the
    /// pieces of it around the photographs that did not come along (`survey_file::read_around`).
    ReadFile {
        /// Those photographs.
        photos: Vec<Elsewhere>,
    },
    /// `handover::Report` of a file. Bytes: the file.
    VerifyFile,
    /// `Reviewed` of a file, and the log's lines if there is one. Bytes: the file.
    ReviewFile,
    /// `Result<ReportCheck, ReportError>` of a report. Bytes: the report, the lines of the log it is to follow from, and
    /// those of the earlier visit it compares with, if there is one.
    ReviewReport,
    /// `Result<(), SealError>`, and what stands before the contents of a sealed file.
    SealHead {
        /// The passphrase.
        passphrase: String,
        /// Randomness, since a worker's own has no door here.
        fresh: Fresh,
    },
    /// `Result<(), SealError>`, and a part of the contents, sealed (`sealed::seal_part`). Bytes: the part.
    SealPart {
        /// Which, counted from 0.
        number: u64,
        /// Whether it is the last.
        is_last: bool,
        /// The randomness of its head.
        fresh: Fresh,
    },
    /// `Result<(), SealError>`, and what was inside. Bytes: what was sealed.
    Unseal {
        /// The passphrase.
        passphrase: String,
    },
    /// `Result<String, PhotoError>`: the SHA-256 of the picture without its metadata, and that picture. Bytes: a JPEG.
    BarePhoto,
    /// `()`, and the bytes of every code found in a camera's picture (`transfer::code::find`). Bytes: its grey values.
    FindCodes {
        /// How many pixels a side it has.
        side: usize,
    },
}

/// Entries that come with a question; their lines are the first of its bytes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Known {
    /// The survey, as 32 hexadecimal digits.
    pub survey: String,
    /// Whether all that was known is to be forgotten first.
    pub anew: bool,
}

impl Known {
    pub(crate) fn of(survey: SurveyId, anew: bool) -> Self {
        let survey = survey.to_string();
        Self { survey, anew }
    }
}

/// A question with its number.
#[derive(Clone, Serialize, Deserialize)]
pub struct Asked {
    /// Its number: what is told of it bears the same.
    pub id: u32,
    /// Whether entries come with it.
    pub known: Option<Known>,
    /// The question.
    pub ask: Ask,
}

/// What is told of a question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Told {
    /// The question's number.
    pub id: u32,
    /// What.
    pub what: What,
}

/// How far a question is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum What {
    /// So much of all is done.
    Progress {
        /// Steps done.
        done: usize,
        /// All steps.
        all: usize,
    },
    /// The answer comes with this.
    Done,
    /// It was not understood: the two halves are not of one version, or an entry was damaged on the way.
    Refused(String),
}

/// An outlook as it is shown.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Drawn {
    /// The outlook, summed up.
    pub summary: Summary,
    /// What it rests on.
    pub assumptions: Assumptions,
}

/// A survey file that was read; the log and the photographs are bytes beside it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Brought {
    /// What the file said beside its log.
    pub parts: Parts,
    /// SHA-256 of each photograph.
    pub photos: Vec<String>,
}

/// What a reviewer is told of a file; the lines of its log are bytes beside it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reviewed {
    /// The checks.
    pub report: Report,
    /// SHA-256 of the file, 64 hexadecimal digits.
    pub sha256: String,
    /// The headline's figures by id, computed again; empty if the log cannot be read.
    pub figures: Vec<(String, Figure)>,
}
