//! Readings as a table (CSV, RFC 4180).

use super::rows::{Out, clock_in_words};
use crate::verbs::import::told::at;
use std::io::{self, Write};
use store::Clock;

/// A table as it is written.
pub struct Table<'a, W: Write + ?Sized> {
    out: &'a mut W,
    names: Vec<(String, String)>,
    wide: bool,
    /// The row that is gathered, of a table with a column a gauge.
    row: Option<(i64, Vec<Option<f64>>)>,
    /// The last time, as it is written: many rows share it.
    time: (i64, String),
}

impl<'a, W: Write + ?Sized> Table<'a, W> {
    /// Begins a table of gauges, each with its name and unit.
    pub fn new(out: &'a mut W, names: &[(String, String)], wide: bool) -> io::Result<Table<'a, W>> {
        let cells: Vec<(String, String)> = names.iter().map(|(name, unit)| (cell(name), cell(unit))).collect();
        if wide {
            write!(out, "time")?;
            for (name, unit) in names {
                write!(out, ",{}", cell(&heading(name, unit)))?;
            }
            out.write_all(b"\r\n")?;
        } else {
            out.write_all(b"time,gauge,value,unit,clock\r\n")?;
        }
        Ok(Table { out, names: cells, wide, row: None, time: (i64::MIN, String::new()) })
    }

    fn time(&mut self, time: i64) -> &str {
        if self.time.0 != time {
            self.time = (time, at(time));
        }
        &self.time.1
    }

    fn finish_row(&mut self) -> io::Result<()> {
        let Some((time, cells)) = self.row.take() else { return Ok(()) };
        let mut line = self.time(time).to_string();
        for cell in cells {
            line.push(',');
            if let Some(value) = cell {
                line += &value.to_string();
            }
        }
        line += "\r\n";
        self.out.write_all(line.as_bytes())
    }
}

impl<W: Write + ?Sized> Out for Table<'_, W> {
    fn row(&mut self, time: i64, gauge: usize, value: f64, clock: Clock) -> io::Result<()> {
        if !self.wide {
            self.time(time);
            let (name, unit) = &self.names[gauge];
            return write!(self.out, "{},{name},{value},{unit},{}\r\n", self.time.1, clock_in_words(clock));
        }
        // A gauge that shows two values in one moment has two rows.
        let same = self.row.as_ref().is_some_and(|(at, cells)| *at == time && cells[gauge].is_none());
        if !same {
            self.finish_row()?;
        }
        let columns = self.names.len();
        let (_, cells) = self.row.get_or_insert_with(|| (time, vec![None; columns]));
        cells[gauge] = Some(value);
        Ok(())
    }

    fn end(&mut self) -> io::Result<()> {
        self.finish_row()?;
        self.out.flush()
    }
}

/// A gauge's name with its unit, over a column of its own.
pub fn heading(name: &str, unit: &str) -> String {
    if unit.is_empty() { name.to_string() } else { format!("{name} [{unit}]") }
}

fn cell(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_string() }
}
