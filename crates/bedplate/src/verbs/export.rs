//! `bedplate export`: readings out of a vessel's log, for spreadsheets and for engines that analyse.

mod columns;
mod lists;
mod rows;
mod table;

use crate::stop::{Stop, tell};
use crate::{files, keeping};
use clap::Args;
use columns::Parquet;
use intake::clock::zone;
use intake::moment::{Moment, Order, read};
use jiff::Timestamp;
use jiff::tz::{Offset, TimeZone};
use plant::plant::Plant;
use rows::Shown;
use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
use store::{Reader, StoreError};
use table::Table;

/// Bytes gathered before they are written.
const ROOM: usize = 1 << 18;
/// Where an export without bounds begins and ends: the log has no others.
const EVER: (i64, i64) = (0, 4_133_980_800_000);

/// What was asked.
#[derive(Args)]
#[command(group = clap::ArgGroup::new("into").required(true), after_help = "\
One reading a line: time, gauge, value, unit, clock. Gauges are read at moments of their own, and a gauge may show two values in \
one thousandth of a second; so nothing is lost or made up, it can be written while it is read, and `bedplate import` reads it \
again. --wide has a column a gauge instead, with empty cells where a gauge was not read at that moment.

Times are UTC. The clock is sound, put back (its times overlap earlier ones) or not set, as it was when the reading came in.

  bedplate export vessels/marram --from 2026-07-01 --to 2026-08-01 --gauge coolant --csv july.csv")]
pub struct Asked {
    /// The vessel's folder
    #[arg(value_name = "DIR")]
    vessel: PathBuf,
    /// A table into this file, `-` for what goes out
    #[arg(long, value_name = "FILE", group = "into")]
    csv: Option<PathBuf>,
    /// Parquet into this file
    #[arg(long, value_name = "FILE", group = "into")]
    parquet: Option<PathBuf>,
    /// Not readings, but work that was done, her tasks, or everything that people wrote down (a line of JSON each)
    #[arg(long, value_enum, conflicts_with_all = ["parquet", "from", "to", "zone", "gauges"])]
    list: Option<lists::Of>,
    /// From this time on, such as 2026-07-01 or "2026-07-01 08:00"
    #[arg(long, value_name = "TIME")]
    from: Option<String>,
    /// Up to this time, which is not among them
    #[arg(long, value_name = "TIME")]
    to: Option<String>,
    /// Which clock --from and --to are of: UTC (if nothing is said), +02:00, Europe/Lisbon
    #[arg(long)]
    zone: Option<String>,
    /// A gauge; any number of them, all if none is named
    #[arg(long = "gauge", value_name = "NAME")]
    gauges: Vec<String>,
    /// A column a gauge
    #[arg(long)]
    wide: bool,
    /// Values in SI units (K, Pa, rad/s, …), not as on the dial
    #[arg(long)]
    si: bool,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let plant = files::plant(&asked.vessel)?;
    if let Some(of) = asked.list {
        return lists::run(asked, of, &plant, out);
    }
    let log = keeping::file(&asked.vessel);
    let failed = |error: StoreError| fault(&log, &error);
    let reader = Reader::open(&log).map_err(failed)?;
    let shown = gauges(asked, &plant, &reader).map_err(|why| why.unwrap_or_else(failed))?;
    let zone = asked.zone.as_deref().map_or(Some(TimeZone::UTC), |text| zone(text, |name| TimeZone::get(name).ok()));
    let zone =
        zone.ok_or_else(|| Stop::BadInput("--zone: fault: this is no zone known here\n  Write +02:00.".into()))?;
    let from = asked.from.as_deref().map_or(Ok(EVER.0), |text| moment(text, "--from", &zone))?;
    let to = asked.to.as_deref().map_or(Ok(EVER.1), |text| moment(text, "--to", &zone))?;
    if from >= to {
        return Err(Stop::BadInput("--to: fault: it is not after --from\n  Write the earlier one as --from.".into()));
    }
    let names = shown.iter().map(|gauge| gauge.heading.clone()).collect::<Vec<_>>();
    let to_out = asked.csv.as_deref() == Some(Path::new("-"));
    let done = match (&asked.csv, &asked.parquet) {
        (Some(_), _) if to_out => rows::export(&reader, &shown, from..to, &mut Table::new(out, &names, asked.wide)?)
            .map_err(|why| why.at(&log, None)),
        (Some(path), _) => into_file(path, |file| {
            let mut table = Table::new(file, &names, asked.wide).map_err(rows::Failed::Writing)?;
            rows::export(&reader, &shown, from..to, &mut table)
        })
        .map_err(|why| why.at(&log, Some(path))),
        (None, Some(path)) => into_file(path, |file| {
            let mut columns = Parquet::new(file, &names, asked.wide).map_err(rows::Failed::Writing)?;
            rows::export(&reader, &shown, from..to, &mut columns)
        })
        .map_err(|why| why.at(&log, Some(path))),
        (None, None) => return Ok(()),
    }?;
    let told = done.words(shown.len());
    if to_out {
        tell(&told);
    } else {
        writeln!(out, "{told}")?;
    }
    Ok(())
}

fn fault(log: &Path, error: &StoreError) -> Stop {
    let advice = match error {
        StoreError::CannotOpen { .. } => "Nothing was kept of this vessel yet: bedplate import brings readings in.",
        _ => "The log itself is left as it is.",
    };
    Stop::BadInput(format!("{}: fault: {error}\n  {advice}", log.display()))
}

/// Writes a file beside its place and puts it there once it is whole.
fn into_file<T>(
    path: &Path,
    write: impl FnOnce(&mut BufWriter<File>) -> Result<T, rows::Failed>,
) -> Result<T, rows::Failed> {
    let mut part = path.as_os_str().to_os_string();
    part.push(".part");
    let part = PathBuf::from(part);
    let done = File::create(&part).map_err(rows::Failed::Writing).and_then(|file| {
        let mut file = BufWriter::with_capacity(ROOM, file);
        let done = write(&mut file)?;
        let file = file.into_inner().map_err(|error| rows::Failed::Writing(error.into_error()))?;
        file.sync_all().and_then(|()| std::fs::rename(&part, path)).map_err(rows::Failed::Writing)?;
        Ok(done)
    });
    if done.is_err() {
        // Half a file helps nobody; if it cannot be taken away, there is nobody to tell either.
        let _ = std::fs::remove_file(&part);
    }
    done
}

/// The gauges that are asked for, or all the log has: those of the plant in its order, then those it no longer has.
fn gauges(asked: &Asked, plant: &Plant, reader: &Reader) -> Result<Vec<Shown>, Result<Stop, StoreError>> {
    let kept = reader.gauges().map_err(Err)?;
    let mut names: Vec<&str> = kept.iter().map(|gauge| gauge.name.as_str()).collect();
    names.dedup();
    // Known to the log, and never read: no column for it.
    let mut read = Vec::with_capacity(names.len());
    for name in names {
        if reader.latest(name).map_err(Err)?.is_some() {
            read.push(name);
        }
    }
    let mut names = read;
    names.sort_by_key(|name| plant.gauge(name).map_or(usize::MAX, |id| id.0));
    let mut shown = Vec::new();
    let all: Vec<String> = names.iter().map(ToString::to_string).collect();
    for asked_for in if asked.gauges.is_empty() { &all } else { &asked.gauges } {
        let folded = plant::names::folded(asked_for);
        let Some(name) = names.iter().find(|name| plant::names::folded(name) == folded) else {
            let near = measure::nearest::nearest(&folded, names.iter().copied());
            let advice = match near {
                Some(near) => format!("Did you mean `{near}`?"),
                None => format!("It has {}.", names.join(", ")),
            };
            let why = format!("--gauge: fault: the log has nothing of `{asked_for}`\n  {advice}");
            return Err(Ok(Stop::BadInput(why)));
        };
        // The finest of those it was kept as.
        let kept = kept.iter().filter(|gauge| gauge.name == *name).min_by(|a, b| a.step.total_cmp(&b.step));
        shown.extend(kept.map(|kept| Shown::new(kept, plant.gauge(name).map(|id| &plant[id]), asked.si)));
    }
    Ok(shown)
}

/// A bound in time [ms since 1970, UTC].
pub(crate) fn moment(text: &str, option: &str, zone: &TimeZone) -> Result<i64, Stop> {
    let wrong = |why: &str| {
        Stop::BadInput(format!(
            "{option}: fault: `{text}` {why}\n  Write it such as 2026-07-02 or \"2026-07-02 08:00\"."
        ))
    };
    let local = match read(text.as_bytes(), Some(Order::DayFirst)) {
        Ok(Moment::Universal(time) | Moment::Offset(time, _)) => return Ok(time),
        Ok(Moment::Local(local) | Moment::Date(local)) => local,
        _ => return Err(wrong("is no time")),
    };
    let shows = Timestamp::from_millisecond(local).map(|time| Offset::UTC.to_datetime(time));
    let time = shows.and_then(|shows| zone.to_ambiguous_timestamp(shows).compatible());
    time.map(Timestamp::as_millisecond).map_err(|_| wrong("is no time of that clock"))
}

/// The system's word for what it could not do.
fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such folder".into(),
        io::ErrorKind::PermissionDenied => "it may not be written".into(),
        io::ErrorKind::IsADirectory => "this is a folder, not a file".into(),
        io::ErrorKind::StorageFull => "the disk is full".into(),
        _ => format!("it cannot be written: {error}"),
    }
}
