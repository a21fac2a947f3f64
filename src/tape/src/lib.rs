//! What is known about magnetic tape: carriers, playing time, observations and what follows from them
#![deny(missing_docs)]
