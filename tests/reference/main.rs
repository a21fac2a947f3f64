//! Reference checks, one module a source.
