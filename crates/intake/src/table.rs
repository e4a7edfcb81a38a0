//! A table read line by line.
//!
//! # Source
//! Cells in quotation marks by RFC 4180 §2 (5 to 7): they may hold the separator, the end of a line and, doubled, the mark
//! itself; every line has as many cells as the headings (4).

use crate::clock::Clock;
use crate::columns::Role;
use crate::fault::Fault;
use crate::intake::{Reading, Sink};
use crate::lines::{Line, text};
use crate::names::Names;
use crate::plan::TablePlan;
use std::ops::Range;

/// A quotation mark that is not closed within so many lines was a slip.
const MOST_QUOTED: usize = 50;

/// Where the cells of a line are.
#[derive(Debug, Default)]
pub(crate) struct Cells {
    ranges: Vec<Range<usize>>,
    /// The line without its quotation marks, if it had any.
    plain: Vec<u8>,
}

impl Cells {
    /// Cuts a line into cells; nothing if a quotation mark is not closed.
    pub fn cut<'a>(&'a mut self, line: &'a [u8], separator: u8) -> Option<(&'a [u8], &'a [Range<usize>])> {
        self.ranges.clear();
        if !line.contains(&b'"') {
            let mut begin = 0;
            for (at, byte) in line.iter().enumerate() {
                if *byte == separator {
                    self.ranges.push(begin..at);
                    begin = at + 1;
                }
            }
            self.ranges.push(begin..line.len());
            return Some((line, &self.ranges));
        }
        self.plain.clear();
        let (mut begin, mut at, mut quoted, mut fresh) = (0, 0, false, true);
        while let Some(&byte) = line.get(at) {
            at += 1;
            if byte == separator && !quoted {
                self.ranges.push(begin..self.plain.len());
                (begin, fresh) = (self.plain.len(), true);
                continue;
            }
            match byte {
                b'"' if quoted && line.get(at) == Some(&b'"') => {
                    self.plain.push(b'"');
                    at += 1;
                }
                b'"' if quoted => quoted = false,
                // Elsewhere than at the beginning of a cell it is an inch, or a letter like others.
                b'"' if fresh => quoted = true,
                byte => self.plain.push(byte),
            }
            fresh = false;
        }
        if quoted {
            return None;
        }
        self.ranges.push(begin..self.plain.len());
        Some((&self.plain, &self.ranges))
    }
}

/// A table on its way.
#[derive(Debug)]
pub(crate) struct Table {
    pub plan: TablePlan,
    cells: Cells,
    /// Lines that belong to one, for a quotation mark is open; the first one's number.
    open: Vec<Vec<u8>>,
    first: u64,
    moment: Vec<u8>,
}

impl Table {
    pub fn new(plan: TablePlan) -> Table {
        Table { plan, cells: Cells::default(), open: Vec::new(), first: 0, moment: Vec::new() }
    }

    /// Takes a line.
    pub fn line(&mut self, number: u64, line: Line<'_>, clock: &mut Clock, names: &mut Names<'_>, sink: &mut dyn Sink) {
        let Some(line) = line else {
            self.give_up(clock, names, sink);
            return sink.fault(number, Fault::TooLong);
        };
        if self.open.is_empty() {
            if number > self.plan.begins && !self.whole(number, line, clock, names, sink) {
                self.first = number;
                self.open.push(line.to_vec());
            }
            return;
        }
        self.open.push(line.to_vec());
        if line.contains(&b'"') {
            let joined = self.open.join(&b'\n');
            if joined.len() <= crate::lines::LONGEST && self.whole(self.first, &joined, clock, names, sink) {
                self.open.clear();
                return;
            }
        }
        if self.open.len() > MOST_QUOTED {
            self.give_up(clock, names, sink);
        }
    }

    /// The last line has come.
    pub fn end(&mut self, clock: &mut Clock, names: &mut Names<'_>, sink: &mut dyn Sink) {
        while !self.open.is_empty() {
            self.give_up(clock, names, sink);
        }
    }

    /// A quotation mark stays open: its line is told, and the lines after it stand for themselves.
    fn give_up(&mut self, clock: &mut Clock, names: &mut Names<'_>, sink: &mut dyn Sink) {
        let mut lines = std::mem::take(&mut self.open).into_iter();
        let Some(_) = lines.next() else { return };
        sink.fault(self.first, Fault::Quote);
        let after = self.first + 1;
        for (number, line) in (after..).zip(lines) {
            self.line(number, Some(&line), clock, names, sink);
        }
    }

    /// Reads a whole line; whether it was one.
    fn whole(
        &mut self,
        number: u64,
        line: &[u8],
        clock: &mut Clock,
        names: &mut Names<'_>,
        sink: &mut dyn Sink,
    ) -> bool {
        let plan = &self.plan;
        let line = if number == 1 { line.strip_prefix(b"\xef\xbb\xbf").unwrap_or(line) } else { line };
        if line.trim_ascii().is_empty() || line.starts_with(b"#") || line == plan.headings {
            return true;
        }
        let Some((line, cells)) = self.cells.cut(line, plan.separator) else { return false };
        let headings = plan.columns.len();
        let spare = cells.len() == headings + 1 && cells[headings].is_empty();
        if cells.len() != headings && !spare {
            sink.fault(number, Fault::Cells { has: cells.len(), headings });
            return true;
        }
        let cell = |place: usize| &line[cells[place].clone()];
        let zone = plan.zone.map(cell);
        let time = match (plan.date, plan.time) {
            (Some(date), Some(time)) => {
                self.moment.clear();
                self.moment.extend_from_slice(cell(date).trim_ascii());
                self.moment.push(b' ');
                self.moment.extend_from_slice(cell(time).trim_ascii());
                clock.time(&self.moment, zone)
            }
            (None, Some(time)) => clock.time(cell(time), zone),
            _ => Err(Fault::NoTime),
        };
        let time = match time {
            Ok(time) => time,
            Err(fault) => {
                sink.fault(number, fault);
                return true;
            }
        };
        if let (Some(name), Some(value)) = (plan.name, plan.value) {
            let (name, unit) = (text(cell(name)), plan.unit.map(|unit| text(cell(unit))).unwrap_or_default());
            names.text(number, time, &name, &unit, cell(value), plan.decimal, sink);
            return true;
        }
        for (column, range) in plan.columns.iter().zip(cells) {
            let Role::Gauge(measured) = &column.role else { continue };
            match measured.value(&line[range.clone()], plan.decimal, &column.name) {
                Ok(Some(value)) => sink.reading(number, Reading { gauge: measured.gauge, time, value }),
                Ok(None) => {}
                Err(fault) => sink.fault(number, fault),
            }
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(line: &str) -> Option<Vec<String>> {
        let mut cells = Cells::default();
        let (line, cells) = cells.cut(line.as_bytes(), b',')?;
        Some(cells.iter().map(|range| text(&line[range.clone()])).collect())
    }

    #[test]
    fn lines_are_cut_as_rfc_4180_says() {
        // The examples of its section 2.
        assert_eq!(cut("aaa,bbb,ccc").unwrap(), ["aaa", "bbb", "ccc"]);
        assert_eq!(cut("\"aaa\",\"bbb\",\"ccc\"").unwrap(), ["aaa", "bbb", "ccc"]);
        assert_eq!(cut("\"aaa\",\"b\nbb\",\"ccc\"").unwrap(), ["aaa", "b\nbb", "ccc"]);
        assert_eq!(cut("\"aaa\",\"b\"\"bb\",\"ccc\"").unwrap(), ["aaa", "b\"bb", "ccc"]);
        assert_eq!(cut("\"a,b\",,\"\"").unwrap(), ["a,b", "", ""]);
        assert_eq!(cut("").unwrap(), [""]);
        assert_eq!(cut("a,\"b"), None);
        assert_eq!(cut("5\" pipe,\"6\"\"\"").unwrap(), ["5\" pipe", "6\""]);
    }
}
