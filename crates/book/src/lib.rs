//! What is printed? Documents made of the description: plain data, set as pages or on paper by others.
//!
//! `document.rs` says what a document is made of.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod document;
