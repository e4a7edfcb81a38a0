//! What was written into a folder.

use serde::Serialize;

/// What was written into a folder.
#[derive(Serialize)]
pub struct Written {
    /// Version of this shape.
    pub version: u32,
    /// The vessel's name; empty where it is left out.
    pub vessel: String,
    /// The folder.
    pub folder: String,
    /// Names of the files in it, the first to be opened first.
    pub files: Vec<String>,
}

/// What was set on paper.
#[derive(Serialize)]
pub struct Printed {
    /// Version of this shape.
    pub version: u32,
    /// The vessel's name; empty where it is left out.
    pub vessel: String,
    /// Each document.
    pub documents: Vec<PrintedDocument>,
}

/// A document on paper.
#[derive(Serialize)]
pub struct PrintedDocument {
    /// Its word on the command line.
    pub what: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// Where it is.
    pub file: String,
    /// How many pages it has.
    pub pages: usize,
    /// How large the file is.
    pub bytes: usize,
}
