//! Gauges that are named line by line: in a column of a long table, in lines of JSON, in rounds.

use crate::columns::{Column, Renamed, Role, column};
use crate::fault::Fault;
use crate::intake::{Reading, Sink};
use crate::value::Decimal;
use plant::plant::Plant;
use std::collections::{BTreeMap, HashMap};

/// Most names that are kept apart.
const MOST: usize = 10_000;

/// What each name means, looked up once.
#[derive(Debug)]
pub(crate) struct Names<'p> {
    plant: &'p Plant,
    renamed: Vec<Renamed>,
    /// By name and unit.
    known: HashMap<String, HashMap<String, Column>>,
    count: usize,
    /// Names that are no gauge, and how many values they had.
    pub left_out: BTreeMap<String, (Option<String>, u64)>,
}

impl<'p> Names<'p> {
    pub fn new(plant: &'p Plant, renamed: Vec<Renamed>) -> Names<'p> {
        Names { plant, renamed, known: HashMap::new(), count: 0, left_out: BTreeMap::new() }
    }

    /// What a name with this unit beside it means.
    pub fn of(&mut self, name: &str, unit: &str) -> &Column {
        if self.known.get(name).is_none_or(|units| !units.contains_key(unit)) {
            if self.count >= MOST {
                self.known.clear();
                self.count = 0;
            }
            self.count += 1;
            let under = Some(unit).filter(|unit| !unit.trim().is_empty());
            let found = column(name, under, 0, self.plant, &self.renamed);
            self.known.entry(name.to_string()).or_default().insert(unit.to_string(), found);
        }
        // It was put there just now, if it was not there before.
        &self.known[name][unit]
    }

    /// Takes what is written of a gauge.
    #[expect(clippy::too_many_arguments, reason = "a line's number, time, name, unit and value, and how it is written")]
    pub fn text(
        &mut self,
        line: u64,
        time: i64,
        name: &str,
        unit: &str,
        cell: &[u8],
        decimal: Decimal,
        sink: &mut dyn Sink,
    ) {
        let found = self.of(name, unit);
        let value = match &found.role {
            Role::Gauge(measured) => measured
                .value(cell, decimal, &found.name)
                .map(|value| value.map(|value| Reading { gauge: measured.gauge, time, value })),
            other => {
                let other = other.clone();
                return self.no_gauge(line, name, other, sink);
            }
        };
        tell(line, value, sink);
    }

    /// Takes a number told of a gauge.
    pub fn number(&mut self, line: u64, time: i64, name: &str, unit: &str, number: f64, sink: &mut dyn Sink) {
        let found = self.of(name, unit);
        let value = match &found.role {
            Role::Gauge(measured) => {
                let value = measured.of_number(number, &found.name);
                value.map(|value| Some(Reading { gauge: measured.gauge, time, value }))
            }
            other => {
                let other = other.clone();
                return self.no_gauge(line, name, other, sink);
            }
        };
        tell(line, value, sink);
    }

    fn no_gauge(&mut self, line: u64, name: &str, role: Role, sink: &mut dyn Sink) {
        let nearest = match role {
            Role::Unknown { nearest } => nearest,
            Role::Unfit { why } => return sink.fault(line, Fault::BadUnit { column: name.to_string(), why }),
            _ => return,
        };
        if self.left_out.len() < MOST || self.left_out.contains_key(name) {
            self.left_out.entry(name.to_string()).or_insert((nearest, 0)).1 += 1;
        }
    }
}

fn tell(line: u64, value: Result<Option<Reading>, Fault>, sink: &mut dyn Sink) {
    match value {
        Ok(Some(reading)) => sink.reading(line, reading),
        Ok(None) => {}
        Err(fault) => sink.fault(line, fault),
    }
}
