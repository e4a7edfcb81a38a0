//! What is the picture now? Takes readings and entries in, judges them, and hands out pictures.
//!
//! A picture is immutable plain data; how it is worded is said once, here, for pages and terminal alike. Nothing here
//! opens a file or a socket or tells the time: the time of every reading comes in with it.
//!
//! Start in `watch.rs` (what happens to a reading), `attention.rs` (what becomes an alert), `picture.rs` (what is handed out), `verdict.rs` (the answer in a
//! sentence), `why.rs` and `because.rs` (the reasons for each cause) and `trust.rs` (how far the answer can be trusted).

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod assumed;
mod attention;
pub mod because;
pub mod dial;
pub mod escape;
mod gathered;
pub mod headline;
mod helm;
pub mod job;
mod lookalike;
pub mod next;
pub mod picture;
pub mod place;
pub mod recent;
pub mod saying;
pub mod sender;
pub mod sizing;
mod snapshot;
pub mod standby;
mod story;
pub mod tale;
pub mod trust;
pub mod valves;
pub mod verdict;
pub mod watch;
pub mod why;
