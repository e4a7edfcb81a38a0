//! `bedplate import`: what tables, rounds and recordings hold, into a vessel's log.

mod lists;
mod source;
mod taken;
pub(crate) mod told;

use crate::keeping::{self, Keeping};
use crate::stop::Stop;
use crate::{files, json};
use clap::{Args, ValueEnum};
use intake::clock::{ClockAsked, zone};
use intake::columns::Renamed;
use intake::fault::Refusal;
use intake::intake::{Form, Intake};
use intake::moment::{Moment, Order, read};
use intake::value::Decimal;
use jiff::tz::TimeZone;
use plant::plant::Plant;
use source::{Source, Wish};
use std::io::Write;
use std::path::{Path, PathBuf};
use store::StoreError;
use taken::Keeper;
use told::Seen;

/// Gauges that stand in columns of one table have one time a line.
const TABLE: &str = "table";

/// What was asked.
#[derive(Args)]
#[command(after_help = "\
It first shows which column is which gauge, in which unit, and the first readings as they would be kept; --preview stops there. \
What is in the log already is only counted, so a file may be imported again, and an import that was stopped begun again. Lines \
that cannot be used are told with their number, and the others kept.

  bedplate import vessels/marram day.csv --zone Europe/Lisbon --as \"ECT=coolant:°F\"

Rounds written by hand:

  zone = \"+02:00\"                     # ship's time, unless a round says its own
  [[round]]
  time = \"2026-07-02 08:00\"
  readings = { coolant = \"78 °C\", oil-pressure = \"2.4 bar\" }")]
pub struct Asked {
    /// The vessel's folder
    #[arg(value_name = "DIR")]
    vessel: PathBuf,
    /// Tables (CSV with comma, semicolon, tab or bar), JSON lines, rounds (TOML), recordings of a bus; `-` for what comes in
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Show what would be kept, and keep nothing
    #[arg(long)]
    preview: bool,
    /// COLUMN=GAUGE or COLUMN=GAUGE:UNIT; or COLUMN= and time, date, zone, gauge, value, unit or ignore. Any number of them
    #[arg(long = "as", value_name = "COLUMN=GAUGE[:UNIT]")]
    renamed: Vec<String>,
    /// Which clock times without a zone are of: UTC, +02:00, Europe/Lisbon
    #[arg(long)]
    zone: Option<String>,
    /// Which comes first in a date such as 03/04/2026
    #[arg(long, value_enum)]
    dates: Option<Dates>,
    /// What sets off decimals
    #[arg(long, value_enum)]
    decimal: Option<DecimalSign>,
    /// The day on which times of day begin, such as 2026-07-02
    #[arg(long, value_name = "DATE")]
    day: Option<String>,
    /// The files are tables of work that was done, of service tasks or of stores, and not of readings; COLUMN= in --as then
    /// takes their fields
    #[arg(long, value_enum, conflicts_with_all = ["zone", "decimal", "day", "json"])]
    list: Option<lists::Of>,
    /// For programs: one object
    #[arg(long)]
    json: bool,
}

#[derive(Copy, Clone, ValueEnum)]
enum Dates {
    DayFirst,
    MonthFirst,
}

#[derive(Copy, Clone, ValueEnum)]
enum DecimalSign {
    Point,
    Comma,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    if let Some(of) = asked.list {
        return lists::run(asked, of, out);
    }
    let plant = files::plant(&asked.vessel)?;
    let how = how(asked, &plant)?;
    let mut sources = Vec::new();
    let mut shapes = Vec::new();
    for path in &asked.files {
        let source = Source::open(path)?;
        let fault = |why: &Refusal| Stop::BadInput(format!("{}: fault: {why}\n  {}", source.name, why.advice()));
        let intake = Intake::plan(source.head(), source.whole(), &plant, how.clone()).map_err(|why| fault(&why))?;
        let seen = Seen::of(source.head(), &plant, &how).map_err(|why| fault(&why))?;
        if !asked.json {
            out.write_all(told::plan(&source.name, &intake, &seen, &plant).as_bytes())?;
        }
        if !intake.has_gauges() {
            out.flush()?;
            return Err(fault(&Refusal::NoGauge));
        }
        shapes.push(told::shape(&source.name, &intake, &seen, &plant));
        sources.push((source, intake));
    }
    out.flush()?;
    let mut answer = json::import::Import {
        version: json::VERSION,
        vessel: plant.name.clone(),
        preview: asked.preview,
        stopped: false,
        files: shapes,
    };
    if !asked.preview {
        answer.stopped = keep(asked, &plant, sources, &mut answer.files, out)?;
    }
    if asked.json {
        serde_json::to_writer(&mut *out, &answer).map_err(|error| Stop::Output(error.into()))?;
        out.write_all(b"\n")?;
    } else if asked.preview {
        writeln!(out, "Nothing is kept yet: leave --preview out to import it.")?;
    }
    if answer.stopped {
        let how = "Run it again to go on: what is kept already is only counted.";
        return Err(Stop::Stopped(format!("Stopped. All that is counted above is kept.\n  {how}")));
    }
    Ok(())
}

/// Keeps what the files hold; whether it was told to stop.
fn keep(
    asked: &Asked,
    plant: &Plant,
    sources: Vec<(Source, Intake<'_>)>,
    shapes: &mut [json::import::File],
    out: &mut dyn Write,
) -> Result<bool, Stop> {
    let log = keeping::file(&asked.vessel);
    let failed = |error: StoreError| fault(&log, &error);
    let wide = |intake: &Intake<'_>| matches!(intake.form(), Form::Table(table) if table.is_wide());
    let together = sources.iter().any(|(_, intake)| wide(intake)).then_some(TABLE);
    let keeping = Keeping::open(&asked.vessel, plant, together).map_err(failed)?;
    let wish = Wish::listen();
    for ((mut source, mut intake), shape) in sources.into_iter().zip(shapes) {
        let mut keeper = Keeper::new(&keeping);
        let read = source.read(&wish, |bytes, progress| {
            intake.bytes(bytes, &mut keeper);
            progress.tell(keeper.taken());
            keeper.flow()
        });
        let whole = match read {
            Ok(whole) => whole,
            Err(source::Failed::Reading(why)) => {
                let kept = keeper.done().map_err(failed)?;
                let so_far = format!("{} readings before it are kept.", told::counted(kept.stored));
                return Err(Stop::BadInput(format!("{}: fault: {why}\n  {so_far}", source.name)));
            }
            Err(source::Failed::Keeping(error)) => return Err(failed(error)),
        };
        if whole {
            intake.end(&mut keeper);
        }
        let taken = keeper.done().map_err(failed)?;
        // Once the readings are there, and not when it is only done again.
        if taken.stored > 0 {
            let noted = told::noted(&source.name, &taken, &intake, jiff::Timestamp::now().as_millisecond());
            keeping.note(vec![noted]).and_then(store::Pending::wait).map_err(failed)?;
        }
        if asked.json {
            shape.taken = Some(told::taken_shape(&taken, &intake));
        } else {
            out.write_all(told::taken(&source.name, &taken, &intake).as_bytes())?;
            out.flush()?;
        }
        if !whole {
            return Ok(true);
        }
    }
    Ok(false)
}

fn fault(log: &Path, error: &StoreError) -> Stop {
    let advice = match error {
        StoreError::InUse { .. } => "If `bedplate serve` runs on this vessel, stop it first, and import then.",
        StoreError::ReadOnly { .. } | StoreError::CannotOpen { .. } => "Look at the folder: who may write there?",
        _ => "What was counted before is kept; run it again once that is put right.",
    };
    Stop::BadInput(format!("{}: fault: {error}\n  {advice}", log.display()))
}

/// How files are to be read.
fn how(asked: &Asked, plant: &Plant) -> Result<intake::intake::Asked, Stop> {
    let refused = |why: &Refusal| Stop::BadInput(format!("--as: fault: {why}\n  {}", why.advice()));
    let renamed = asked.renamed.iter().map(|text| Renamed::parse(text, plant).map_err(|why| refused(&why)));
    let renamed = renamed.collect::<Result<Vec<_>, _>>()?;
    let told = asked.zone.as_deref().map(|text| {
        zone(text, named).ok_or_else(|| {
            let advice = "Write UTC, an offset such as +02:00, or a name such as Europe/Lisbon.";
            Stop::BadInput(format!("--zone: fault: `{text}` is no zone known here\n  {advice}"))
        })
    });
    let day = asked.day.as_deref().map(|text| match read(text.as_bytes(), None) {
        Ok(Moment::Date(day)) => Ok(day),
        _ => Err(Stop::BadInput(format!("--day: fault: `{text}` is no date\n  Write it such as 2026-07-02."))),
    });
    let order = asked.dates.map(|dates| match dates {
        Dates::DayFirst => Order::DayFirst,
        Dates::MonthFirst => Order::MonthFirst,
    });
    let decimal = asked.decimal.map(|decimal| match decimal {
        DecimalSign::Point => Decimal::Point,
        DecimalSign::Comma => Decimal::Comma,
    });
    let clock = ClockAsked { zone: told.transpose()?, order, day: day.transpose()?, zones: named };
    Ok(intake::intake::Asked { renamed, decimal, clock })
}

/// A zone by its name in the tables of this machine.
fn named(name: &str) -> Option<TimeZone> {
    TimeZone::get(name).ok()
}
