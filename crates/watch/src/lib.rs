//! What is to be said of it? The answer in words, and values as they stand on a dial: said once, for every place that
//! tells them.
//!
//! Nothing here opens a file or a socket, prints, or tells the time.
//!
//! Start in `verdict.rs` (the answer in a sentence, the causes worth telling) and `why.rs` (the reasons for each).

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod dial;
pub mod saying;
pub mod verdict;
pub mod why;
