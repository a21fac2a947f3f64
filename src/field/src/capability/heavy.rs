//! The door to work that takes long: figures and files. A job and its outcome are plain data, so that the work can
//! move into a worker of its own without a change of callers; today it runs here, after the page has painted.

use handover::boxlist::{self, BoxList, Problems};

use super::task;

/// Work that takes long.
#[derive(Debug, Clone)]
pub enum Job {
    /// Reads a list of boxes from the bytes of a CSV file or a pasted text.
    ReadBoxList(Vec<u8>),
}

/// What came of a [`Job`], by the same name.
#[derive(Debug, Clone)]
pub enum Outcome {
    /// Of [`Job::ReadBoxList`].
    BoxList(Result<BoxList, Problems>),
}

/// Does a job.
pub async fn run(job: Job) -> Outcome {
    task::after_paint().await;
    match job {
        Job::ReadBoxList(bytes) => Outcome::BoxList(boxlist::read(&bytes)),
    }
}
