//! What is due, what was done, and what comes of it? Service tasks, records of work, the hours she runs.
//!
//! Tasks come from the documented starting set (`reference/service-tasks.toml`) for every part she has, and from the
//! owner's text, which goes before it. Records are entries of the diary. From both, and from how the hour meter went on, it
//! is worked out when each task falls due and how sure that is.
//!
//! Never here: files, the clock (the time is handed in), readings of a bus. Start with [`tasks`] and [`due::list`];
//! `usage.rs` foresees the hours, `trend.rs` follows what was measured, `effect.rs` says what work done changes elsewhere.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod brought;
mod chance;
pub mod date;
pub mod due;
pub mod effect;
mod fields;
pub mod lists;
mod measure_told;
pub mod passage;
mod reader;
pub mod record;
pub mod risk;
pub mod setting;
pub mod sheet;
mod starting;
pub mod stores;
pub mod task;
pub mod trend;
pub mod usage;
pub mod words;
pub mod written;

pub use reader::tasks;
