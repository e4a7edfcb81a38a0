//! Readings as Parquet.

use super::rows::{Out, clock_in_words};
use super::table::heading;
use parquet::basic::{Encoding, LogicalType, Repetition, TimeUnit, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::{ColumnPath, Type, TypePtr};
use std::io::{self, Write};
use std::sync::Arc;
use store::Clock;

/// Rows of a group: those who read the file read it group by group.
const GROUP: usize = 500_000;
/// Values of a group with a column a gauge, which has many columns.
const VALUES: usize = 4_000_000;

/// A file of columns as it is written.
pub struct Parquet<'a, W: Write + Send> {
    writer: Option<SerializedFileWriter<&'a mut W>>,
    /// Names and units, as every row holds them.
    names: Vec<(ByteArray, ByteArray)>,
    wide: bool,
    times: Vec<i64>,
    /// One reading a row: gauge, value, clock.
    readings: Vec<(usize, f64, Clock)>,
    /// A column a gauge: its values, and where there are some.
    columns: Vec<(Vec<f64>, Vec<i16>)>,
}

impl<'a, W: Write + Send> Parquet<'a, W> {
    /// Begins a file of gauges, each with its name and unit.
    pub fn new(out: &'a mut W, names: &[(String, String)], wide: bool) -> io::Result<Parquet<'a, W>> {
        let begun = schema(names, wide).and_then(|schema| SerializedFileWriter::new(out, schema, properties()));
        let names = names.iter().map(|(name, unit)| (name.as_str().into(), unit.as_str().into())).collect::<Vec<_>>();
        let columns = if wide { vec![(Vec::new(), Vec::new()); names.len()] } else { Vec::new() };
        let writer = Some(begun.map_err(told)?);
        Ok(Parquet { writer, names, wide, times: Vec::new(), readings: Vec::new(), columns })
    }

    fn group(&mut self) -> Result<(), ParquetError> {
        let Some(writer) = self.writer.as_mut().filter(|_| !self.times.is_empty()) else { return Ok(()) };
        let mut group = writer.next_row_group()?;
        let mut time = next(&mut group)?;
        time.typed::<Int64Type>().write_batch(&self.times, None, None)?;
        time.close()?;
        if self.wide {
            for (values, there) in &mut self.columns {
                there.resize(self.times.len(), 0);
                let mut column = next(&mut group)?;
                column.typed::<DoubleType>().write_batch(values, Some(there), None)?;
                column.close()?;
                values.clear();
                there.clear();
            }
        } else {
            let gauges: Vec<ByteArray> = self.readings.iter().map(|(gauge, ..)| self.names[*gauge].0.clone()).collect();
            let values: Vec<f64> = self.readings.iter().map(|(_, value, _)| *value).collect();
            let units: Vec<ByteArray> = self.readings.iter().map(|(gauge, ..)| self.names[*gauge].1.clone()).collect();
            let clocks: Vec<ByteArray> =
                self.readings.iter().map(|(_, _, clock)| clock_in_words(*clock).into()).collect();
            let words = |group: &mut SerializedRowGroupWriter<'_, &'a mut W>, words: &[ByteArray]| {
                let mut column = next(group)?;
                column.typed::<ByteArrayType>().write_batch(words, None, None)?;
                column.close()
            };
            words(&mut group, &gauges)?;
            let mut column = next(&mut group)?;
            column.typed::<DoubleType>().write_batch(&values, None, None)?;
            column.close()?;
            words(&mut group, &units)?;
            words(&mut group, &clocks)?;
            self.readings.clear();
        }
        self.times.clear();
        group.close()?;
        Ok(())
    }
}

fn next<'g, W: Write + Send>(
    group: &'g mut SerializedRowGroupWriter<'_, W>,
) -> Result<parquet::file::writer::SerializedColumnWriter<'g>, ParquetError> {
    group.next_column()?.ok_or_else(|| ParquetError::General("a column more than the file has".into()))
}

impl<W: Write + Send> Out for Parquet<'_, W> {
    fn row(&mut self, time: i64, gauge: usize, value: f64, clock: Clock) -> io::Result<()> {
        let full =
            if self.wide { self.times.len() * (self.names.len() + 1) >= VALUES } else { self.times.len() >= GROUP };
        if !self.wide {
            if full {
                self.group().map_err(told)?;
            }
            self.times.push(time);
            self.readings.push((gauge, value, clock));
            return Ok(());
        }
        // A gauge that shows two values in one moment has two rows.
        let same = self.times.last() == Some(&time) && self.columns[gauge].1.len() < self.times.len();
        if !same {
            if full {
                self.group().map_err(told)?;
            }
            self.times.push(time);
        }
        let rows = self.times.len();
        let (values, there) = &mut self.columns[gauge];
        there.resize(rows - 1, 0);
        there.push(1);
        values.push(value);
        Ok(())
    }

    fn end(&mut self) -> io::Result<()> {
        self.group().map_err(told)?;
        self.writer.take().map_or(Ok(()), |writer| writer.close().map(drop).map_err(told))
    }
}

fn told(error: ParquetError) -> io::Error {
    match error {
        // The disk's own word, where there is one.
        ParquetError::External(why) => match why.downcast::<io::Error>() {
            Ok(why) => *why,
            Err(why) => io::Error::other(why),
        },
        other => io::Error::other(other),
    }
}

fn properties() -> Arc<WriterProperties> {
    // Times go on by like steps: kept as differences they take next to nothing.
    let time = ColumnPath::from("time");
    let properties = WriterProperties::builder()
        .set_created_by("bedplate".into())
        .set_column_dictionary_enabled(time.clone(), false)
        .set_column_encoding(time, Encoding::DELTA_BINARY_PACKED);
    Arc::new(properties.build())
}

fn schema(names: &[(String, String)], wide: bool) -> Result<TypePtr, ParquetError> {
    let column = |name: &str, physical, logical: Option<LogicalType>, may_lack| {
        let repetition = if may_lack { Repetition::OPTIONAL } else { Repetition::REQUIRED };
        let column = Type::primitive_type_builder(name, physical).with_repetition(repetition);
        column.with_logical_type(logical).build().map(Arc::new)
    };
    let utc = LogicalType::timestamp(true, TimeUnit::MILLIS);
    let mut columns = vec![column("time", Physical::INT64, Some(utc), false)?];
    if wide {
        for (name, unit) in names {
            columns.push(column(&heading(name, unit), Physical::DOUBLE, None, true)?);
        }
    } else {
        columns.push(column("gauge", Physical::BYTE_ARRAY, Some(LogicalType::String), false)?);
        columns.push(column("value", Physical::DOUBLE, None, false)?);
        columns.push(column("unit", Physical::BYTE_ARRAY, Some(LogicalType::String), false)?);
        columns.push(column("clock", Physical::BYTE_ARRAY, Some(LogicalType::String), false)?);
    }
    Type::group_type_builder("readings").with_fields(columns).build().map(Arc::new)
}
