//! Why a verb ends without an answer, and the exit code that goes with it.

use std::fmt;
use std::io::{self, Write as _};

/// Why a verb ends without an answer.
#[derive(Debug)]
pub enum Stop {
    /// What was given cannot be used; the text says what and where, ready to print.
    BadInput(String),
    /// The plant has no state that could be solved for; the text says why.
    NoAnswer(String),
    /// It was told to stop before it was done; the text says how far it came.
    Stopped(String),
    /// The answer could not be written.
    Output(io::Error),
}

impl Stop {
    /// Exit code. Nobody reading on (`| head`) is no failure.
    pub fn code(&self) -> u8 {
        match self {
            Stop::BadInput(_) => 2,
            Stop::NoAnswer(_) => 1,
            // As a shell tells of a program that was interrupted.
            Stop::Stopped(_) => 130,
            Stop::Output(error) => u8::from(error.kind() != io::ErrorKind::BrokenPipe),
        }
    }
}

impl fmt::Display for Stop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stop::BadInput(text) | Stop::NoAnswer(text) | Stop::Stopped(text) => f.write_str(text.trim_end()),
            Stop::Output(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            Stop::Output(error) => write!(f, "the answer could not be written: {error}"),
        }
    }
}

impl From<io::Error> for Stop {
    fn from(error: io::Error) -> Self {
        Stop::Output(error)
    }
}

/// Writes to the error stream; if nobody reads that either, there is nobody to tell.
pub fn tell(text: &str) {
    if !text.is_empty() {
        let _ = writeln!(io::stderr(), "{text}");
    }
}
