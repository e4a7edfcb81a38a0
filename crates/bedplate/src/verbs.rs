//! One file per verb; each takes what was asked and writes the answer.

pub mod demo;
pub mod draw;
pub mod expect;
pub mod explain;
pub mod words;
