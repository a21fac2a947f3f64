//! The records of one survey: entries, their fold into state, merging, the storage port
#![deny(missing_docs)]
