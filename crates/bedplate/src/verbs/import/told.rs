//! What a file is taken for, and what came of it: in words, and for programs.

use super::taken::Taken;
use crate::json::import as json;
use crate::keeping::step_on_dial;
use crate::page::{Side, columns, wrapped};
use intake::columns::Role;
use intake::fault::{Fault, Refusal};
use intake::intake::{Asked, Form, Intake, Reading, Sink};
use intake::value::{Decimal, Told};
use plant::plant::{GaugeId, Plant};
use std::fmt::Write as _;
use watch::dial;

/// First readings that are shown of each gauge.
const FIRST: usize = 3;
/// Changes of a clock that are noted: an event has room for no more.
const CHANGES: usize = 500;
/// Names that are no gauge, shown at most.
const SHOWN: usize = 12;

/// The first readings of each gauge, and what is in none.
pub struct Seen {
    first: Vec<(GaugeId, Vec<Reading>)>,
    left_out: Vec<(String, Option<String>)>,
}

impl Seen {
    /// Of the beginning of a file.
    ///
    /// # Errors
    /// As [`Intake::plan`].
    pub fn of(head: &[u8], plant: &Plant, how: &Asked) -> Result<Seen, Refusal> {
        // It ends somewhere in a line; what cannot be read of that one does not matter here.
        let whole = head.len() < intake::intake::HEAD;
        let mut intake = Intake::plan(head, whole, plant, how.clone())?;
        let mut first = First(Vec::new());
        intake.bytes(head, &mut first);
        if whole {
            intake.end(&mut first);
        }
        let left_out = intake.left_out().map(|(name, near, _)| (name.into(), near.map(Into::into))).collect();
        Ok(Seen { first: first.0, left_out })
    }

    fn of_gauge(&self, gauge: GaugeId) -> &[Reading] {
        self.first.iter().find(|(other, _)| *other == gauge).map_or(&[], |(_, readings)| readings.as_slice())
    }
}

struct First(Vec<(GaugeId, Vec<Reading>)>);

impl Sink for First {
    fn reading(&mut self, _: u64, reading: Reading) {
        match self.0.iter_mut().find(|(gauge, _)| *gauge == reading.gauge) {
            Some((_, readings)) if readings.len() < FIRST => readings.push(reading),
            Some(_) => {}
            None => self.0.push((reading.gauge, vec![reading])),
        }
    }

    fn fault(&mut self, _: u64, _: Fault) {}
}

/// A time as it is kept: universal, to a thousandth of a second.
pub fn at(time: i64) -> String {
    let time = jiff::Timestamp::from_millisecond(time);
    time.map_or_else(|_| "no time".into(), |time| format!("{time:.3}"))
}

/// A large number, its thousands set apart.
pub fn counted(count: u64) -> String {
    let digits = count.to_string();
    let groups: Vec<&str> =
        digits.as_bytes().rchunks(3).rev().filter_map(|group| std::str::from_utf8(group).ok()).collect();
    groups.join(",")
}

/// Readings of a gauge on its dial, as they are kept.
fn on_dial(plant: &Plant, readings: &[Reading]) -> Vec<f64> {
    let value = |reading: &Reading| {
        let gauge = &plant[reading.gauge];
        let step = step_on_dial(gauge);
        let kept = (dial::on_dial(gauge, reading.value) / step).round() * step;
        // As many decimals as the step has.
        let decimals = (-step.log10() - 1e-9).ceil().clamp(0.0, 12.0) as usize;
        format!("{kept:.decimals$}").parse::<f64>().unwrap_or(kept)
    };
    readings.iter().map(value).collect()
}

fn values(plant: &Plant, gauge: GaugeId, readings: &[Reading]) -> String {
    if readings.is_empty() {
        return "none in its beginning".into();
    }
    let numbers: Vec<String> = on_dial(plant, readings).iter().map(ToString::to_string).collect();
    format!("{} {}", numbers.join(", "), dial::unit(&plant[gauge])).trim_end().to_string()
}

fn form(intake: &Intake<'_>) -> &'static str {
    match intake.form() {
        Form::Table(_) => "table",
        Form::Objects => "lines of JSON",
        Form::Rounds => "rounds",
        Form::Recording => "recording",
    }
}

/// What a file is taken for, in words.
pub fn plan(name: &str, intake: &Intake<'_>, seen: &Seen, plant: &Plant) -> String {
    let mut text = match intake.form() {
        Form::Table(table) => {
            let between = match table.separator {
                b'\t' => "tabs",
                b';' => "semicolons",
                b'|' => "bars",
                _ => "commas",
            };
            let decimal = if table.decimal == Decimal::Comma { "decimal comma" } else { "decimal point" };
            let what = if table.is_wide() { "a column a gauge" } else { "a value a line" };
            format!("{name}: a table, {what}, {between} between cells, {decimal}\n")
        }
        Form::Objects => format!("{name}: lines of JSON\n"),
        Form::Rounds => format!("{name}: rounds\n"),
        Form::Recording => format!("{name}: a recording of a bus\n"),
    };
    let mut rows = vec![["column", "is", "in", "first, as kept"].map(String::from).to_vec()];
    let mut left_out: Vec<(String, Option<String>, bool)> = Vec::new();
    let mut unfit = Vec::new();
    let mut shown = Vec::new();
    if let Form::Table(table) = intake.form() {
        for column in &table.columns {
            let (is, unit, first) = match &column.role {
                Role::Gauge(measured) => {
                    shown.push(measured.gauge);
                    let dial = if measured.told == Told::Dial { " (not told: as on the dial)" } else { "" };
                    let first = values(plant, measured.gauge, seen.of_gauge(measured.gauge));
                    (plant[measured.gauge].name.clone(), format!("{}{dial}", measured.unit), first)
                }
                Role::Unknown { nearest } => {
                    left_out.push((column.name.clone(), nearest.clone(), column.unit.is_some()));
                    ("no gauge".into(), String::new(), String::new())
                }
                Role::Unfit { why } => {
                    unfit.push(format!("{}: {why}", column.name));
                    ("not usable".into(), column.unit.clone().unwrap_or_default(), String::new())
                }
                Role::Time => {
                    let first = seen.first.iter().filter_map(|(_, readings)| readings.first()).map(|r| r.time).min();
                    ("time".into(), String::new(), first.map_or_else(String::new, at))
                }
                other => (named(other).into(), String::new(), String::new()),
            };
            rows.push(vec![column.name.clone(), is, unit, first]);
        }
    }
    for (gauge, readings) in seen.first.iter().filter(|(gauge, _)| !shown.contains(gauge)) {
        let first = values(plant, *gauge, readings);
        rows.push(vec![String::new(), plant[*gauge].name.clone(), String::new(), first]);
    }
    text += &columns(&rows, &[Side::Left; 4], "  ");
    let by_name = match intake.form() {
        Form::Table(table) => !table.is_wide(),
        Form::Objects | Form::Rounds => true,
        Form::Recording => false,
    };
    if by_name {
        text += "  A value without a unit is taken as on the dial.\n";
    }
    for why in unfit {
        text += &wrapped(&why, "  ", "    ");
    }
    left_out.extend(seen.left_out.iter().map(|(name, nearest)| (name.clone(), nearest.clone(), false)));
    text + &pasted(&left_out)
}

/// What is no gauge, with what to paste if it is one.
fn pasted(left_out: &[(String, Option<String>, bool)]) -> String {
    if left_out.is_empty() {
        return String::new();
    }
    let mut text = String::from(
        "  No gauge of this vessel, and left out. To read one, say which it is, and its unit where none stands:\n",
    );
    for (name, nearest, unit_told) in left_out.iter().take(SHOWN) {
        let gauge = nearest.as_deref().unwrap_or("GAUGE");
        let unit = if *unit_told { "" } else { ":UNIT" };
        let name = crate::page::plain(name);
        let _ = writeln!(text, "    --as \"{name}={gauge}{unit}\"");
    }
    if let Some(more) = left_out.len().checked_sub(SHOWN).filter(|more| *more > 0) {
        let _ = writeln!(text, "    and {more} more");
    }
    text
}

fn named(role: &Role) -> &'static str {
    match role {
        Role::Time => "time",
        Role::Date => "date",
        Role::Zone => "zone",
        Role::Name => "gauge",
        Role::Value => "value",
        Role::Unit => "unit",
        _ => "left out",
    }
}

/// What came of a file, in words.
pub fn taken(name: &str, taken: &Taken, intake: &Intake<'_>) -> String {
    let count = |count: u64, one: &str| format!("{} {one}{}", counted(count), if count == 1 { "" } else { "s" });
    let mut text = format!(
        "{name}: {}, {}: {} stored, {} in the log already",
        count(intake.lines(), if matches!(intake.form(), Form::Rounds) { "round" } else { "line" }),
        count(taken.readings, "reading"),
        counted(taken.stored),
        counted(taken.repeated)
    );
    if taken.too_old > 0 {
        let _ = write!(text, ", {} of hours of which only summaries are kept", counted(taken.too_old));
    }
    text += ".\n";
    if let Some((from, to)) = taken.span {
        let _ = writeln!(text, "  From {} to {}.", at(from), at(to));
    }
    for (from, ahead) in intake.offsets().iter().take(SHOWN) {
        let _ = writeln!(text, "  Its clock was {} from {} on; times are kept as UTC.", offset(*ahead), at(*from));
    }
    let faulty = taken.faulty();
    if faulty > 0 {
        let _ = writeln!(text, "  {} could not be used:", count(faulty, "thing"));
        for (reason, often) in &taken.faults {
            let _ = writeln!(text, "    {} {reason}", counted(*often));
        }
        for (line, fault) in &taken.examples {
            let _ = writeln!(text, "  {name}:{line}: {fault}");
        }
        if faulty > taken.examples.len() as u64 {
            let _ = writeln!(text, "  and {} more", counted(faulty - taken.examples.len() as u64));
        }
    }
    let names: Vec<String> =
        intake.left_out().take(SHOWN).map(|(name, _, often)| format!("{name} ({})", count(often, "value"))).collect();
    if !names.is_empty() {
        text += &wrapped(&format!("No gauge of this vessel: {}.", names.join(", ")), "  ", "    ");
    }
    text
}

/// An offset as ISO 8601 writes it.
fn offset(seconds: i32) -> String {
    let (sign, size) = if seconds < 0 { ('-', -seconds) } else { ('+', seconds) };
    format!("{sign}{:02}:{:02}", size / 3600, size / 60 % 60)
}

/// What a file is taken for.
pub fn shape(name: &str, intake: &Intake<'_>, seen: &Seen, plant: &Plant) -> json::File {
    let columns = match intake.form() {
        Form::Table(table) => table.columns.iter().map(|column| column_shape(column, plant)).collect(),
        _ => Vec::new(),
    };
    let first = seen.first.iter().map(|(gauge, readings)| json::First {
        gauge: plant[*gauge].name.clone(),
        unit: dial::unit(&plant[*gauge]).to_string(),
        readings: readings.iter().map(|reading| at(reading.time)).zip(on_dial(plant, readings)).collect(),
    });
    json::File { file: name.to_string(), form: form(intake), columns, first: first.collect(), taken: None }
}

fn column_shape(column: &intake::columns::Column, plant: &Plant) -> json::Column {
    let mut shape = json::Column {
        column: column.name.clone(),
        is: None,
        unit: column.unit.clone(),
        as_on_the_dial: false,
        why: None,
        nearest: None,
    };
    match &column.role {
        Role::Gauge(measured) => {
            shape.is = Some(plant[measured.gauge].name.clone());
            shape.unit = Some(measured.unit.clone());
            shape.as_on_the_dial = measured.told == Told::Dial;
        }
        Role::Unknown { nearest } => shape.nearest.clone_from(nearest),
        Role::Unfit { why } => shape.why = Some(why.clone()),
        Role::Ignored => shape.is = Some("ignored".into()),
        other => shape.is = Some(named(other).into()),
    }
    shape
}

/// What the log notes of a file: its readings, and its clock with them.
pub fn noted(name: &str, taken: &Taken, intake: &Intake<'_>, now: i64) -> store::Event {
    let body = json::Noted {
        file: name.rsplit(['/', '\\']).next().unwrap_or(name).chars().take(200).collect(),
        stored: taken.stored,
        from: taken.span.map(|(from, _)| at(from)),
        to: taken.span.map(|(_, to)| at(to)),
        clock: clock(intake).take(CHANGES).collect(),
    };
    let body = serde_json::to_string(&body).unwrap_or_default();
    store::Event { time: now, kind: "import".into(), version: 1, body }
}

fn clock<'a>(intake: &'a Intake<'_>) -> impl Iterator<Item = json::Ahead> + use<'a> {
    intake.offsets().iter().map(|(from, ahead)| json::Ahead { from: at(*from), ahead_s: *ahead })
}

/// What came of a file.
pub fn taken_shape(taken: &Taken, intake: &Intake<'_>) -> json::Taken {
    json::Taken {
        lines: intake.lines(),
        readings: taken.readings,
        stored: taken.stored,
        repeated: taken.repeated,
        too_old: taken.too_old,
        from: taken.span.map(|(from, _)| at(from)),
        to: taken.span.map(|(_, to)| at(to)),
        clock: clock(intake).collect(),
        left_out: intake
            .left_out()
            .map(|(name, nearest, values)| json::LeftOut {
                name: name.into(),
                nearest: nearest.map(Into::into),
                values,
            })
            .collect(),
        faults: taken.faulty(),
        faults_by_reason: taken.faults.iter().map(|(reason, count)| json::Reason { reason, count: *count }).collect(),
        examples: taken
            .examples
            .iter()
            .map(|(line, fault)| json::Fault { line: *line, fault: fault.to_string() })
            .collect(),
    }
}
