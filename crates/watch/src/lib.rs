//! What is the picture now? Takes readings and entries in, judges them, and hands out pictures.
//!
//! A picture is immutable plain data; how it is worded is said once, here, for pages and terminal alike. Nothing here
//! opens a file or a socket or tells the time: the time of every reading comes in with it.
//!
//! Start in `picture.rs` (what is handed out), then `verdict.rs` and `why.rs` (the answer in words).

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod dial;
pub mod picture;
pub mod saying;
pub mod verdict;
pub mod why;
