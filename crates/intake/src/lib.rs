//! What is in that file? Tables, lines of JSON, rounds written by hand and recordings of a bus become readings.
//!
//! A file is planned from its beginning (which separator, which column is which gauge, in which unit, what the times
//! are in) and then read to its end, in bounded memory. What cannot be used is told line by line, and nothing is guessed
//! at: where day and month, zone or unit could be two things, the file is refused with the question.
//!
//! Never here: files, clocks, the store. Bytes come in, [`intake::Reading`]s and [`fault::Fault`]s go out.
//!
//! Start with [`intake::Intake`], then `plan.rs` (what a table is like), `moment.rs` and `clock.rs` (times), `columns.rs`
//! and `value.rs` (gauges and units).

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod clock;
pub mod columns;
pub mod fault;
mod heard;
pub mod intake;
mod lines;
pub mod moment;
mod names;
mod objects;
pub mod plan;
mod rounds;
mod table;
pub mod value;
