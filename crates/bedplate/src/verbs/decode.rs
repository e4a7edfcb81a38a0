//! `bedplate decode`: what is said on a bus, in recordings or on a wire?

mod lines;
pub(crate) mod listing;

use crate::feed::{Feed, Place, Taken};
use crate::stop::Stop;
use bus::can::Frame;
use bus::decoder::Decoder;
use bus::heard::{Fault, Heading, Listener, Reading};
use bus::listing::Listing;
use bus::stamp::Stamp;
use bus::table::Field;
use clap::Args;
use measure::quantity::Quantity;
use std::io::{self, Write};
use std::path::PathBuf;
use std::time::{Duration, Instant, SystemTime};

/// Bytes without the end of a line after which a file is no recording.
const LONGEST: usize = 16 << 20;
/// Bytes taken at once.
const CHUNK: usize = 1 << 16;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Recordings (candump with or without -L, comma-separated frames, gateway text, NMEA 0183), `-` for what comes in, or a
    /// wire: tcp:HOST:PORT, udp:PORT, serial:PATH@SPEED, can:INTERFACE
    #[arg(required = true, value_name = "LOG")]
    log: Vec<Place>,
    /// A vessel's folder or description: which of its gauges are heard, and what is of none of them yet
    #[arg(long, value_name = "PLANT")]
    vessel: Option<PathBuf>,
    /// How long a wire is listened to, such as 30s
    #[arg(long = "for", value_name = "TIME", value_parser = time)]
    long: Option<Duration>,
    /// Every value on a line of its own as it comes, before the listing
    #[arg(long)]
    each: bool,
    /// For programs: an object a line for each value and fault, the listing in the last
    #[arg(long)]
    json: bool,
}

fn time(text: &str) -> Result<Duration, String> {
    let seconds = measure::unit::parse(text, Quantity::Duration).map_err(|error| error.to_string())?;
    Duration::try_from_secs_f64(seconds).ok().filter(|time| !time.is_zero()).ok_or_else(|| "no time at all".into())
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
    if let Some(wire) = asked.log.iter().find(|place| place.is_wire() && asked.long.is_none() && form == Form::Nothing)
    {
        let advice = "Say for how long, such as --for 30s, or take every value as it comes with --each or --json.";
        return Err(Stop::BadInput(format!("{}: fault: a wire has no end\n  {advice}", wire.name())));
    }
    let plant = asked.vessel.as_deref().map(crate::files::plant).transpose()?;
    let gauges: Vec<listing::Gauge> =
        plant.iter().flat_map(|plant| &plant.gauges).filter_map(listing::Gauge::of).collect();
    let mut ears = Ears { listing: Listing::default(), form, file: String::new(), out, failed: None };
    let mut lines = 0;
    for place in &asked.log {
        ears.file = place.name();
        let mut feed = place.open().map_err(|error| unreadable(place, &error))?;
        lines += listen(&mut feed, asked.long, &mut ears, place)?;
    }
    if asked.json {
        ears.line(&listing::shape(&ears.listing, lines, &gauges))?;
    } else if ears.listing.rows().is_empty() {
        let told = listing::faults(&ears.listing);
        let advice = "Known are candump with and without -L, comma-separated frames, gateway text and NMEA 0183.";
        return Err(Stop::BadInput(format!(
            "{}: fault: nothing in its {} is understood\n{told}  {advice}",
            ears.file,
            listing::count(lines, "line"),
        )));
    } else {
        let text = listing::text(&ears.listing, lines, &gauges);
        ears.out.write_all(text.as_bytes())?;
    }
    Ok(())
}

fn unreadable(place: &Place, error: &io::Error) -> Stop {
    let (why, advice) = match place {
        Place::File(_) => (crate::files::in_words(error), "Check the name."),
        Place::Can(_) => (error.to_string(), "Look whether the interface is there and up: ip link."),
        _ => (error.to_string(), "Look whether it is there, and whether another program has it."),
    };
    Stop::BadInput(format!("{}: fault: {why}\n  {advice}", place.name()))
}

/// Takes a source from its beginning to its end, or as long as is said; how many lines or frames it had.
fn listen(feed: &mut Feed, long: Option<Duration>, ears: &mut Ears, place: &Place) -> Result<u64, Stop> {
    let mut decoder = Decoder::new();
    let mut room = vec![0; CHUNK];
    let mut without_end = 0;
    let begun = Instant::now();
    while long.is_none_or(|long| begun.elapsed() < long) {
        let taken = feed.take(&mut room).map_err(|error| unreadable(place, &error))?;
        if place.is_wire() {
            decoder.at(now());
        }
        match taken {
            Taken::Text(text) => {
                without_end = text.iter().rev().position(|&byte| byte == b'\n').unwrap_or(without_end + text.len());
                if without_end > LONGEST {
                    let said = format!("{}: fault: {} MB without the end of a line", ears.file, LONGEST >> 20);
                    let advice = "Is it the right file? A recording is text, a line a frame.";
                    return Err(Stop::BadInput(format!("{said}\n  {advice}")));
                }
                decoder.bytes(text, ears);
            }
            Taken::Lines(text) => {
                decoder.bytes(text, ears);
                if !text.ends_with(b"\n") {
                    decoder.bytes(b"\n", ears);
                }
            }
            Taken::Frame(raw) => match Frame::of_raw(raw) {
                Ok(frame) => decoder.frame(now(), &frame, ears),
                Err(fault) => decoder.passed_over(fault, ears),
            },
            // On a wire a value is wanted when it comes, not when there are many.
            Taken::Nothing => ears.out.flush()?,
            Taken::End => break,
        }
        if let Some(stop) = ears.failed.take() {
            return Err(stop);
        }
    }
    decoder.end(ears);
    ears.failed.take().map_or(Ok(decoder.lines()), Err)
}

/// By the machine's clock; before 1970 there is no time.
fn now() -> Stamp {
    let since = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH).ok();
    since.and_then(|since| i64::try_from(since.as_nanos()).ok()).map_or(Stamp::None, Stamp::Universal)
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

/// What was heard of a wire, for its tests.
#[cfg(test)]
pub struct Heard {
    /// Everything.
    pub listing: Listing,
    /// Lines or frames.
    pub lines: u64,
}

/// Listens as the verb does, and keeps what was heard.
#[cfg(test)]
pub fn hear(mut feed: Feed, long: Option<Duration>) -> Result<Heard, Stop> {
    let mut out = Vec::new();
    let (form, file) = (Form::Nothing, String::new());
    let mut ears = Ears { listing: Listing::default(), form, file, out: &mut out, failed: None };
    let lines = listen(&mut feed, long, &mut ears, &Place::Udp(String::new()))?;
    Ok(Heard { listing: ears.listing, lines })
}
