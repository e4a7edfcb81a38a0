//! What is on the pages? Routes, typed pages, the event stream, and the drawings on them.
//!
//! Pages are made from pictures and from nothing else; nothing is computed here that `watch` does not hand over. No
//! request leaves the machine, and nothing here opens a file.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]
