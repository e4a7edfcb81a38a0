//! What is wrong? From what was read, seen, heard and tried to causes with their odds and the next check.
//!
//! Each cause is fitted at its own best point, at several severities, and weighed by how often it happens; words,
//! checks and renewals enter the same odds. Nothing here knows a kind by name, reads a file or tells the time.
//!
//! Start in `explain.rs` (the answer and the order of things), then `hypothesis.rs` (what could be wrong),
//! `weigh.rs`, `look.rs`, `curve.rs` and `severity.rs` (one cause against all that is known), `misread.rs` and `pairs.rs` (what one cause
//! leaves), `odds.rs`, `reasons.rs` (why), `alike.rs` and `unexplained.rs` (what the answer cannot tell), `next_check.rs`,
//! `next_step.rs`, `act.rs`.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod act;
pub mod alike;
mod curve;
pub mod deviation;
pub mod explain;
pub mod gather;
pub mod hypothesis;
pub mod lies;
mod look;
mod misread;
pub mod next_check;
pub mod next_step;
mod odds;
mod pairs;
mod parallel;
mod pattern;
pub mod reasons;
pub mod said;
pub mod setting;
mod severity;
pub mod stands;
pub mod tried;
pub mod unexplained;
mod weigh;
