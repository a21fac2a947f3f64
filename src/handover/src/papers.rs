//! The papers that are made of a survey for its readers: the same bytes at a desk and in the browser.

use analysis::figures::{Figures, figures};
use analysis::plan::Plan;
use survey::{Log, State};

use crate::WorkbookError;
use crate::pbcore;
use crate::report::{self, Ground, Options};
use crate::survey_file::Parts;
use crate::workbook::workbook;

/// One of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paper {
    /// The report, a page that needs nothing else.
    Report,
    /// A paragraph to paste into an application.
    Paragraph,
    /// The workbook.
    Workbook,
    /// Catalogue records of the checked carriers.
    Records,
}

impl Paper {
    /// Every one, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::Report, Self::Paragraph, Self::Workbook, Self::Records];

    /// The name of its file.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Report => "report.html",
            Self::Paragraph => "paragraph.txt",
            Self::Workbook => "workbook.xlsx",
            Self::Records => "pbcore.xml",
        }
    }

    /// What kind of file it is.
    #[must_use]
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Report => "text/html",
            Self::Paragraph => "text/plain",
            Self::Workbook => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            Self::Records => "application/xml",
        }
    }
}

/// What a log's papers are made from: worked out once, whoever makes how many.
#[derive(Debug, Clone)]
pub struct Papers<'a> {
    log: &'a Log,
    state: &'a State,
    figures: Figures,
    plan: Plan,
}

impl<'a> Papers<'a> {
    /// Works it out of a log and its state. What a plan from before rests on alike is not drawn again; `told` hears how many
    /// of all draws are made.
    #[must_use]
    pub fn new(
        log: &'a Log,
        state: &'a State,
        before: Option<Plan>,
        told: &mut dyn FnMut(usize, usize),
    ) -> Self {
        Self {
            log,
            state,
            figures: figures(state),
            plan: Plan::whole(state, before, told),
        }
    }

    /// Makes a paper, with the options that are handed in ([`Options::of`] gives the log's own); the report says what changed
    /// since `earlier`, the log of an earlier visit. The same in gives the same bytes out, on any device.
    ///
    /// # Errors
    /// [`WorkbookError`] for what a sheet cannot hold; no other paper fails.
    pub fn paper(
        &self,
        parts: &Parts,
        options: &Options,
        what: Paper,
        earlier: Option<&Log>,
    ) -> Result<Vec<u8>, WorkbookError> {
        let ground = Ground {
            log: self.log,
            state: self.state,
            figures: &self.figures,
            plan: &self.plan,
        };
        Ok(match what {
            Paper::Report => report::page_of(ground, parts, options, earlier).into_bytes(),
            Paper::Paragraph => report::paragraph_of(ground, parts, options).into_bytes(),
            Paper::Workbook => workbook(ground, parts, options)?,
            Paper::Records => pbcore::pbcore(self.state, parts, options).into_bytes(),
        })
    }

    /// The plan, for the next time.
    #[must_use]
    pub fn into_plan(self) -> Plan {
        self.plan
    }
}

/// One paper of a log, with nothing worked out before.
///
/// # Errors
/// See [`Papers::paper`].
pub fn paper(
    log: &Log,
    parts: &Parts,
    options: &Options,
    what: Paper,
    earlier: Option<&Log>,
) -> Result<Vec<u8>, WorkbookError> {
    let state = State::fold(log);
    Papers::new(log, &state, None, &mut |_, _| {}).paper(parts, options, what, earlier)
}
