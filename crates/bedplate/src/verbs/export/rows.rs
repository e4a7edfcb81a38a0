//! Readings of a span, piece by piece and in order of time, however long it is.

use crate::stop::Stop;
use crate::verbs::import::told::{at, counted};
use measure::unit::Scale;
use plant::plant::Gauge;
use std::fmt::Write as _;
use std::io;
use std::ops::Range;
use std::path::Path;
use store::{Clock, Reader, StoreError};
use watch::dial;

/// So many readings are held at once, or an hour's.
const PIECE: u64 = 300_000;
/// Readings are packed by the hour [ms]: no piece is shorter.
const HOUR: i64 = 3_600_000;
/// What cannot be read is told so often.
const TOLD: usize = 12;

/// A gauge as it is shown.
pub struct Shown {
    name: String,
    /// Its name and unit, over a column of its own or beside its values.
    pub heading: (String, String),
    /// What it is in the unit shown, of a value [SI].
    scale: Option<Scale>,
    negative: bool,
    decimals: usize,
}

impl Shown {
    /// A gauge of the log, as it is kept, in SI or as on its dial.
    pub fn new(kept: &store::Gauge, gauge: Option<&Gauge>, si: bool) -> Shown {
        // What a gauge read that the vessel no longer has is not known.
        let unit = gauge.map_or("SI", |gauge| if si { gauge.quantity.si_unit() } else { dial::unit(gauge) });
        let scale = gauge.and_then(|gauge| Scale::of(unit, gauge.quantity).ok());
        let (step, zero) =
            scale.map_or((kept.step, kept.zero), |scale| (kept.step / scale.one(), scale.written(kept.zero)));
        let heading = (kept.name.clone(), if unit == "1" { String::new() } else { unit.to_string() });
        let negative = gauge.is_some_and(|gauge| gauge.vacuum) && !si;
        Shown { name: kept.name.clone(), heading, scale, negative, decimals: decimals(step, zero) }
    }

    fn value(&self, value: f64) -> f64 {
        let value = if self.negative { -value } else { value };
        // Rounding of units leaves digits that nobody read.
        let factor = 10_f64.powi(i32::try_from(self.decimals).unwrap_or(12));
        let written = self.scale.map_or(value, |scale| scale.written(value));
        (written * factor).round() / factor + 0.0
    }
}

/// How many decimals tell every step apart, and none more: two more than its size where a step is no decimal in this unit.
fn decimals(step: f64, zero: f64) -> usize {
    let even = |value: f64, factor: f64| (value * factor - (value * factor).round()).abs() < 1e-6;
    let fine = |decimals: &usize| {
        let factor = 10_f64.powi(i32::try_from(*decimals).unwrap_or(0));
        step * factor > 0.999 && even(step, factor) && even(zero, factor)
    };
    let least = (-step.log10()).ceil().clamp(0.0, 10.0) as usize;
    (least.saturating_sub(1)..=least + 2).find(fine).unwrap_or(least + 2)
}

/// Where rows go.
pub trait Out {
    /// One reading: when [ms since 1970, UTC], of which gauge, what [the unit shown], by what clock. They come in order of
    /// time, of one time in the order of the gauges.
    fn row(&mut self, time: i64, gauge: usize, value: f64, clock: Clock) -> io::Result<()>;
    /// That was all.
    fn end(&mut self) -> io::Result<()>;
}

/// What was written.
#[derive(Default)]
pub struct Done {
    readings: u64,
    span: Option<(i64, i64)>,
    damaged: Vec<String>,
}

impl Done {
    /// In words.
    pub fn words(&self, gauges: usize) -> String {
        let Some((from, to)) = self.span else { return "There are no readings in this time.".into() };
        let many = |count: u64, one: &str| format!("{} {one}{}", counted(count), if count == 1 { "" } else { "s" });
        let (readings, gauges) = (many(self.readings, "reading"), many(gauges as u64, "gauge"));
        let mut text = format!("{readings} of {gauges}, from {} to {}.", at(from), at(to));
        for damaged in self.damaged.iter().take(TOLD) {
            let _ = write!(text, "\n  not readable: {damaged}");
        }
        text
    }
}

/// Why it ended early.
#[derive(Debug)]
pub enum Failed {
    /// The log could not be read.
    Reading(StoreError),
    /// The answer could not be written.
    Writing(io::Error),
}

impl Failed {
    /// As the program tells it.
    pub fn at(self, log: &Path, file: Option<&Path>) -> Stop {
        match (self, file) {
            (Failed::Reading(error), _) => super::fault(log, &error),
            (Failed::Writing(error), None) => Stop::Output(error),
            (Failed::Writing(error), Some(file)) => {
                let why = super::in_words(&error);
                Stop::BadInput(format!("{}: fault: {why}\n  Give another name, on a disk with room.", file.display()))
            }
        }
    }
}

/// Hands over every reading of these gauges in a span of time [ms since 1970].
///
/// # Errors
/// [`Failed`]. An hour that is damaged is left out and told.
pub fn export(reader: &Reader, gauges: &[Shown], span: Range<i64>, out: &mut dyn Out) -> Result<Done, Failed> {
    let mut done = Done::default();
    piece(reader, gauges, span, out, &mut done)?;
    out.end().map_err(Failed::Writing)?;
    Ok(done)
}

fn piece(
    reader: &Reader,
    gauges: &[Shown],
    span: Range<i64>,
    out: &mut dyn Out,
    done: &mut Done,
) -> Result<(), Failed> {
    let middle = (span.start + (span.end - span.start) / 2).div_euclid(HOUR) * HOUR;
    let long = middle > span.start;
    if long {
        let mut count = 0;
        for gauge in gauges {
            // Summaries tell how many there are, and are soon read.
            let plot = reader.query(&gauge.name, span.clone(), 1).map_err(Failed::Reading)?;
            count += plot.points.iter().map(|point| point.count).sum::<u64>();
        }
        if count == 0 {
            return Ok(());
        }
        if count > PIECE {
            piece(reader, gauges, span.start..middle, out, done)?;
            return piece(reader, gauges, middle..span.end, out, done);
        }
    }
    let mut rows = Vec::new();
    for (place, gauge) in gauges.iter().enumerate() {
        match reader.readings(&gauge.name, span.clone()) {
            Ok(kept) => {
                rows.extend(kept.into_iter().map(|kept| (kept.time, place, gauge.value(kept.value), kept.clock)));
            }
            // A damaged byte costs its hour: the rest of the piece is read by itself.
            Err(StoreError::Damaged { .. }) if long => {
                piece(reader, gauges, span.start..middle, out, done)?;
                return piece(reader, gauges, middle..span.end, out, done);
            }
            Err(StoreError::Damaged { what }) => done.damaged.push(format!("{}: {what}", gauge.name)),
            Err(other) => return Err(Failed::Reading(other)),
        }
    }
    rows.sort_by_key(|(time, place, _, _)| (*time, *place));
    for (time, place, value, clock) in rows {
        done.readings += 1;
        let from = done.span.map_or(time, |(from, _)| from.min(time));
        done.span = Some((from, time));
        out.row(time, place, value, clock).map_err(Failed::Writing)?;
    }
    Ok(())
}

/// A clock in plain words.
pub fn clock_in_words(clock: Clock) -> &'static str {
    match clock {
        Clock::Sound => "sound",
        Clock::Unset => "not set",
        Clock::PutBack => "put back",
    }
}
