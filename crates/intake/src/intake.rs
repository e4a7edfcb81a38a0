//! One file on its way in: planned from its first bytes, then read to its end.

use crate::clock::{Clock, ClockAsked};
use crate::columns::{Column, Renamed, Role};
use crate::fault::{Fault, Refusal};
use crate::heard::{Ears, heard, is_recording};
use crate::lines::{LONGEST, Lines, text};
use crate::names::Names;
use crate::plan::{TableAsked, TablePlan, order_and_zone, plan};
use crate::table::Table;
use crate::value::Decimal;
use crate::{objects, rounds};
use bus::decoder::Decoder;
use plant::plant::{GaugeId, Plant};

/// So much of a file's beginning is wanted to plan it [bytes].
pub const HEAD: usize = LONGEST;

/// A value of a gauge at a time.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Reading {
    /// Which.
    pub gauge: GaugeId,
    /// When [ms since 1970, UTC].
    pub time: i64,
    /// What [SI, as the gauge reads: pressure over the atmosphere].
    pub value: f64,
}

/// Takes what comes out, in the order of the lines.
pub trait Sink {
    /// A reading of this line.
    fn reading(&mut self, line: u64, reading: Reading);
    /// Something in this line could not be used.
    fn fault(&mut self, line: u64, fault: Fault);
}

/// What is asked of a file.
#[derive(Clone, Debug)]
pub struct Asked {
    /// Columns that are told.
    pub renamed: Vec<Renamed>,
    /// How decimals are set off, if the file shall not tell it.
    pub decimal: Option<Decimal>,
    /// How times are taken.
    pub clock: ClockAsked,
}

/// What sort of file it is.
#[derive(Debug)]
pub enum Form<'a> {
    /// A table.
    Table(&'a TablePlan),
    /// Lines of JSON.
    Objects,
    /// Rounds in TOML.
    Rounds,
    /// A recording of a bus.
    Recording,
}

/// A file on its way in.
pub struct Intake<'p> {
    plant: &'p Plant,
    body: Body,
    lines: Lines,
    clock: Clock,
    names: Names<'p>,
}

enum Body {
    Table(Box<Table>),
    Objects,
    Rounds(Vec<rounds::Round>),
    Recording(Box<Decoder>),
}

impl<'p> Intake<'p> {
    /// Finds out from its beginning what a file is; `whole` says that `head` is all of it. `head` is [`HEAD`] bytes or the
    /// whole file, and is handed to [`Intake::bytes`] again.
    ///
    /// # Errors
    /// [`Refusal`].
    pub fn plan(head: &[u8], whole: bool, plant: &'p Plant, asked: Asked) -> Result<Intake<'p>, Refusal> {
        let head = readable(head, whole)?;
        let Asked { renamed, decimal, clock: mut when } = asked;
        let mut names = Names::new(plant, renamed.clone());
        let first = head.iter().find(|byte| !byte.is_ascii_whitespace()).copied();
        let rounds = || head.split(|byte| *byte == b'\n').any(|line| line.trim_ascii().starts_with(b"[[round]]"));
        let body = if first == Some(b'{') {
            let mut moments = Vec::new();
            let mut zone_told = false;
            for line in head.split(|byte| *byte == b'\n').take(400) {
                if let Ok(object) = serde_json::from_slice(line) {
                    let (time, zone) = objects::when(&object, &mut names);
                    moments.extend(time);
                    zone_told |= zone.is_some();
                }
            }
            order_and_zone(&moments.iter().map(String::as_bytes), zone_told, &mut when)?;
            Body::Objects
        } else if rounds() {
            if !whole {
                return Err(Refusal::TooLarge);
            }
            let rounds = rounds::read(&text(head))?;
            let moments: Vec<(Option<String>, Option<String>)> =
                rounds.iter().map(|(_, round)| objects::when(round, &mut names)).collect();
            let zone_told = moments.iter().all(|(_, zone)| zone.is_some());
            order_and_zone(&moments.iter().flat_map(|(time, _)| time).map(String::as_bytes), zone_told, &mut when)?;
            Body::Rounds(rounds)
        } else if is_recording(head) {
            Body::Recording(Box::default())
        } else {
            let asked = TableAsked { plant, renamed: &renamed, decimal };
            Body::Table(Box::new(Table::new(plan(head, &asked, &mut when)?)))
        };
        Ok(Intake { plant, body, lines: Lines::default(), clock: Clock::new(when), names })
    }

    /// What sort of file it is.
    pub fn form(&self) -> Form<'_> {
        match &self.body {
            Body::Table(table) => Form::Table(&table.plan),
            Body::Objects => Form::Objects,
            Body::Rounds(_) => Form::Rounds,
            Body::Recording(_) => Form::Recording,
        }
    }

    /// Whether any gauge can come of it, as far as that is known before it is read.
    pub fn has_gauges(&self) -> bool {
        match &self.body {
            Body::Table(table) if table.plan.is_wide() => {
                table.plan.columns.iter().any(|column| matches!(column.role, Role::Gauge(_)))
            }
            Body::Recording(_) => heard(self.plant).next().is_some(),
            _ => true,
        }
    }

    /// Takes the next bytes.
    pub fn bytes(&mut self, bytes: &[u8], sink: &mut dyn Sink) {
        let (clock, names) = (&mut self.clock, &mut self.names);
        match &mut self.body {
            Body::Table(table) => self.lines.bytes(bytes, |number, line| table.line(number, line, clock, names, sink)),
            Body::Objects => self.lines.bytes(bytes, |number, line| match line {
                Some(line) => objects::line(number, line, clock, names, sink),
                None => sink.fault(number, Fault::TooLong),
            }),
            Body::Rounds(_) => {}
            Body::Recording(decoder) => decoder.bytes(bytes, &mut Ears::new(self.plant, clock, sink)),
        }
    }

    /// The file is at its end.
    pub fn end(&mut self, sink: &mut dyn Sink) {
        let (clock, names) = (&mut self.clock, &mut self.names);
        match &mut self.body {
            Body::Table(table) => {
                self.lines.end(|number, line| table.line(number, line, clock, names, sink));
                table.end(clock, names, sink);
            }
            Body::Objects => self.lines.end(|number, line| match line {
                Some(line) => objects::line(number, line, clock, names, sink),
                None => sink.fault(number, Fault::TooLong),
            }),
            Body::Rounds(rounds) => rounds::take(rounds, clock, names, sink),
            Body::Recording(decoder) => decoder.end(&mut Ears::new(self.plant, clock, sink)),
        }
    }

    /// Lines read so far; of rounds, how many there are.
    pub fn lines(&self) -> u64 {
        match &self.body {
            Body::Recording(decoder) => decoder.lines(),
            Body::Rounds(rounds) => rounds.len() as u64,
            _ => self.lines.number(),
        }
    }

    /// How far ahead of universal time its clock was [s], and from when on [ms since 1970], where its times were told in
    /// a zone of their own or of the ship.
    pub fn offsets(&self) -> &[(i64, i32)] {
        &self.clock.changes
    }

    /// Names in its lines that are no gauge of this vessel: the gauge that may be meant, and how many values they had.
    pub fn left_out(&self) -> impl Iterator<Item = (&str, Option<&str>, u64)> {
        self.names.left_out.iter().map(|(name, (nearest, count))| (name.as_str(), nearest.as_deref(), *count))
    }

    /// What a name in its lines, with this unit beside it, means.
    pub fn meaning(&mut self, name: &str, unit: &str) -> &Column {
        self.names.of(name, unit)
    }
}

/// The beginning of a text, as far as its lines are whole.
fn readable(head: &[u8], whole: bool) -> Result<&[u8], Refusal> {
    if head.starts_with(b"\xff\xfe") || head.starts_with(b"\xfe\xff") {
        return Err(Refusal::Wide);
    }
    let head = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(head);
    if head.iter().all(u8::is_ascii_whitespace) {
        return Err(if whole { Refusal::Empty } else { Refusal::NotText });
    }
    let control = |byte: &u8| *byte < 32 && !byte.is_ascii_whitespace() && *byte != 0x1b;
    if head.contains(&0) || head.iter().filter(|byte| control(byte)).count() > head.len() / 20 {
        return Err(Refusal::NotText);
    }
    if whole {
        return Ok(head);
    }
    let end = head.iter().rposition(|byte| *byte == b'\n').ok_or(Refusal::Endless)?;
    Ok(&head[..end])
}
