//! `bedplate decode`: what do recordings of a bus say?

mod lines;
mod listing;

use crate::stop::Stop;
use bus::decoder::Decoder;
use bus::heard::{Fault, Heading, Listener, Reading};
use bus::listing::Listing;
use bus::table::Field;
use clap::Args;
use std::fs::File;
use std::io::{Read, Write};
use std::path::PathBuf;

/// Bytes without the end of a line after which a file is no recording.
const LONGEST: usize = 16 << 20;
/// Bytes taken at once.
const CHUNK: usize = 1 << 16;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Recordings, `-` for what comes in: candump (with or without -L), comma-separated frames, gateway text, NMEA 0183
    #[arg(required = true)]
    log: Vec<PathBuf>,
    /// Every value on a line of its own as it comes, before the listing
    #[arg(long)]
    each: bool,
    /// For programs: an object a line for each value and fault, the listing in the last
    #[arg(long)]
    json: bool,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let form = match (asked.json, asked.each) {
        (true, _) => Form::Json,
        (false, true) => Form::Text,
        (false, false) => Form::Nothing,
    };
    let mut ears = Ears { listing: Listing::default(), form, file: String::new(), out, failed: None };
    let mut lines = 0;
    for path in &asked.log {
        let stdin = path.as_os_str() == "-";
        ears.file = if stdin { "what came in".into() } else { path.display().to_string() };
        let fault = |error: &std::io::Error| {
            Stop::BadInput(format!("{}: fault: {}\n  Check the name.", path.display(), crate::files::in_words(error)))
        };
        let mut source: Box<dyn Read> = if stdin {
            Box::new(std::io::stdin().lock())
        } else {
            Box::new(File::open(path).map_err(|error| fault(&error))?)
        };
        lines += heard(&mut *source, &mut ears, &fault)?;
    }
    if asked.json {
        ears.line(&listing::shape(&ears.listing, lines))?;
    } else if ears.listing.rows().is_empty() {
        let told = listing::faults(&ears.listing);
        let advice = "Known are candump with and without -L, comma-separated frames, gateway text and NMEA 0183.";
        return Err(Stop::BadInput(format!(
            "{}: fault: nothing in its {} is understood\n{told}  {advice}",
            ears.file,
            listing::count(lines, "line"),
        )));
    } else {
        let text = listing::text(&ears.listing, lines);
        ears.out.write_all(text.as_bytes())?;
    }
    Ok(())
}

/// Takes a recording from its beginning to its end; how many lines it had.
fn heard(source: &mut dyn Read, ears: &mut Ears, fault: &dyn Fn(&std::io::Error) -> Stop) -> Result<u64, Stop> {
    let mut decoder = Decoder::new();
    let mut chunk = vec![0; CHUNK];
    let mut without_end = 0;
    loop {
        let read = match source.read(&mut chunk) {
            Ok(0) => break,
            Ok(read) => read,
            Err(error) if error.kind() == std::io::ErrorKind::Interrupted => continue,
            Err(error) => return Err(fault(&error)),
        };
        let bytes = &chunk[..read];
        without_end = bytes.iter().rev().position(|&byte| byte == b'\n').unwrap_or(without_end + read);
        if without_end > LONGEST {
            let said = format!("{}: fault: {} MB without the end of a line", ears.file, LONGEST >> 20);
            return Err(Stop::BadInput(format!(
                "{said}\n  Is it the right file? A recording is text, a line a frame."
            )));
        }
        decoder.bytes(bytes, ears);
        if let Some(stop) = ears.failed.take() {
            return Err(stop);
        }
    }
    decoder.end(ears);
    ears.failed.take().map_or(Ok(decoder.lines()), Err)
}

/// What is written of each value as it comes.
#[derive(Copy, Clone, PartialEq, Eq)]
enum Form {
    Nothing,
    Text,
    Json,
}

/// Hears everything: keeps the listing, and writes each value where that is asked for.
struct Ears<'a> {
    listing: Listing,
    form: Form,
    file: String,
    out: &'a mut dyn Write,
    /// The answer could not be written.
    failed: Option<Stop>,
}

impl Ears<'_> {
    fn line(&mut self, shape: &impl serde::Serialize) -> Result<(), Stop> {
        serde_json::to_writer(&mut self.out, shape).map_err(|error| Stop::Output(error.into()))?;
        self.out.write_all(b"\n").map_err(Stop::from)
    }

    /// Keeps the first failure; whoever reads on is asked once a chunk.
    fn keep(&mut self, done: Result<(), Stop>) {
        if let Err(stop) = done {
            self.failed.get_or_insert(stop);
        }
    }
}

impl Listener for Ears<'_> {
    fn value(&mut self, heading: &Heading, field: &Field<'_>, reading: Reading) {
        self.listing.value(heading, field, reading);
        let done = match self.form {
            Form::Nothing => Ok(()),
            _ if self.failed.is_some() => Ok(()),
            Form::Text => self.out.write_all(lines::value(heading, field, reading).as_bytes()).map_err(Stop::from),
            Form::Json => {
                let file = std::mem::take(&mut self.file);
                let done = self.line(&lines::shape(&file, heading, field, reading));
                self.file = file;
                done
            }
        };
        self.keep(done);
    }

    fn fault(&mut self, line: u64, fault: Fault) {
        self.listing.fault(line, fault);
        let done = match self.form {
            Form::Nothing => Ok(()),
            _ if self.failed.is_some() => Ok(()),
            Form::Text => writeln!(self.out, "line {line}: {fault}").map_err(Stop::from),
            Form::Json => {
                let file = std::mem::take(&mut self.file);
                let done = self.line(&crate::json::decode::Fault { file: &file, line, fault: fault.to_string() });
                self.file = file;
                done
            }
        };
        self.keep(done);
    }
}
