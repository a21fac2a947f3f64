//! Colleagues' work put together.

use survey::Log;

use crate::FileError;

/// The union of logs of one survey: any order, any number of times, the same log. `None` of no logs.
///
/// # Errors
/// [`FileError::OtherSurvey`] if they are of different surveys.
pub fn merge(logs: &[Log]) -> Result<Option<Log>, FileError> {
    let Some((first, others)) = logs.split_first() else {
        return Ok(None);
    };
    let mut merged = first.clone();
    for log in others {
        merged.merge(log).map_err(|_| FileError::OtherSurvey {
            expected: merged.survey().to_string(),
            found: log.survey().to_string(),
        })?;
    }
    Ok(Some(merged))
}
