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
