//! The papers that are made of a survey for its readers: the same bytes at a desk and in the browser.

use survey::{Log, State};

use crate::report::{self, Options};
use crate::survey_file::Parts;
use crate::{WorkbookError, pbcore, workbook};

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

/// Makes one, with the options that are handed in ([`Options::of`] gives the log's own); the report says what changed since
/// `earlier`, the log of an earlier visit. The same in gives the same bytes out, on any device.
///
/// # Errors
/// [`WorkbookError`] for what a sheet cannot hold; no other paper fails.
pub fn paper(
    log: &Log,
    parts: &Parts,
    options: &Options,
    what: Paper,
    earlier: Option<&Log>,
) -> Result<Vec<u8>, WorkbookError> {
    Ok(match what {
        Paper::Report => report::html_since(log, parts, options, earlier).into_bytes(),
        Paper::Paragraph => report::paragraph(log, parts, options).into_bytes(),
        Paper::Workbook => workbook(log, parts, options)?,
        Paper::Records => pbcore::pbcore(&State::fold(log), parts, options).into_bytes(),
    })
}
