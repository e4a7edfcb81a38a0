//! What has this vessel got, and what has its owner noticed?
//!
//! Text in (`vessel.toml`, `evidence.toml`), typed plant and evidence out, with every mistake in the text as a
//! [`finding::Finding`], all at once, each with its place and a remedy.
//!
//! Never here: files, laws, units (`measure` converts), what a kind is (`parts` says so). Start at [`reader::read`];
//! `completion.rs` holds what every plant has and few owners write down.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod aboard;
pub mod evidence;
pub mod evidence_reader;
pub mod finding;
pub mod follow;
pub mod isolate;
pub mod line_up;
pub mod names;
pub mod plant;
pub mod rates;
pub mod reader;
pub mod sends;
pub mod sisters;
pub mod told;

mod advice;
mod completion;
mod evidence_names;
mod evidence_records;
mod evidence_rows;
mod evidence_toml;
mod evidence_values;
