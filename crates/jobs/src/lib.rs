//! What else does an owner work out? Turning valves, taking a part out, whether everything is sized right.
//!
//! Each answer joins what is joined to what (`plant`) with what it does (`model`). Nothing here knows a kind by name,
//! reads a file or tells the time; words are for `watch`.
//!
//! Start in `turning.rs` (what a turn of valves does), then `take_out.rs` (a plan to take a part out) and `margins.rs`.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod margins;
pub mod take_out;
pub mod turning;
