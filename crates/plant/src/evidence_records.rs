//! From the text of a table, or of JSON lines, to rows of values.

use crate::evidence_names as names;
use crate::evidence_rows::{Cell, Row, Rows};
use crate::finding::{Finding, Problem};
use crate::names::folded;
use crate::plant::Plant;
use csv::{ReaderBuilder, StringRecord, Trim};
use serde_json::error::Category;
use serde_json::{Map, Value};
use std::ops::Range;

/// More lines than this that cannot be read are not listed one by one.
const MOST_BROKEN: usize = 20;

/// The rows of a table, its cells separated by commas, semicolons or tabs.
pub(crate) fn of_table(text: &str, plant: &Plant) -> Rows {
    let separator = separator(text);
    let mut reader = ReaderBuilder::new();
    reader.has_headers(false).flexible(true).delimiter(separator).trim(Trim::All).comment(Some(b'#'));
    let mut rows = Rows::default();
    let mut heading: Option<Heading> = None;
    for record in reader.from_reader(text.as_bytes()).records().filter_map(Result::ok) {
        let cells = placed(&record, text);
        let Some(heading) = &heading else {
            let (read, is_heading) = Heading::of(cells.clone(), plant);
            if !is_heading {
                rows.rows.extend(read.row(cells, separator, 0));
            }
            heading = Some(read);
            continue;
        };
        if cells.len() > heading.columns.len() {
            let message = format!("it has {} cells, the heading has {}", cells.len(), heading.columns.len());
            let advice = "Write a point before decimals, and put cells that hold the separator in quotes.";
            broken(&mut rows, message, advice, whole(&cells));
            continue;
        }
        let row = heading.row(cells, separator, rows.rows.len());
        rows.rows.extend(row);
    }
    rows
}

/// A cell of a table with its place.
type Placed = (String, Range<usize>);

/// What the columns hold.
struct Heading {
    columns: Vec<Column>,
    /// One value a row, the gauge in a column of its own.
    listed: bool,
}

struct Column {
    name: String,
    unit: String,
    place: Range<usize>,
}

impl Heading {
    /// The heading, and whether the first line was one; a list of gauges and values needs none.
    fn of(cells: Vec<Placed>, plant: &Plant) -> (Heading, bool) {
        let is =
            |place: usize, words: &[&str]| cells.get(place).is_some_and(|(name, _)| words.contains(&&*folded(name)));
        let value = cells.get(1).and_then(|(value, _)| value.chars().next());
        let bare = (2..=3).contains(&cells.len())
            && names::gauge(plant, &cells[0].0).is_ok()
            && value.is_some_and(|first| first.is_ascii_digit() || matches!(first, '+' | '-' | '.'));
        if bare {
            let names = ["gauge", "value", "unit"].into_iter().zip(&cells);
            let column = |(name, (_, place)): (&str, &Placed)| Column {
                name: name.to_string(),
                unit: String::new(),
                place: place.clone(),
            };
            return (Heading { columns: names.map(column).collect(), listed: true }, false);
        }
        let listed =
            (0..cells.len()).any(|place| is(place, &["gauge"])) && (0..cells.len()).any(|place| is(place, &["value"]));
        let column = |(text, place): Placed| {
            let (name, unit) = with_unit(&text);
            Column { name, unit, place }
        };
        (Heading { columns: cells.into_iter().map(column).collect(), listed }, true)
    }

    fn row(&self, cells: Vec<Placed>, separator: u8, number: usize) -> Option<Row> {
        let told = |name: &str| self.columns.iter().zip(&cells).find(|(column, _)| folded(&column.name) == name);
        let time = told("time").map(|(_, (text, _))| text.clone());
        if self.listed {
            let (_, (name, name_place)) = told("gauge")?;
            let value = told("value").map_or_else(|| (String::new(), name_place.clone()), |(_, cell)| cell.clone());
            let unit = told("unit").map_or("", |(_, (unit, _))| unit);
            let cell = Cell {
                name: name.clone(),
                text: joined(&value.0, unit, separator),
                place: value.1,
                name_place: name_place.clone(),
                column: false,
            };
            return Some(Row { group: time.unwrap_or_default(), cells: vec![cell] });
        }
        let filled = self.columns.iter().zip(cells).filter(|(column, (text, _))| !text.is_empty() && !column.is_time());
        let cells = filled.map(|(column, (text, place))| Cell {
            name: column.name.clone(),
            text: joined(&text, &column.unit, separator),
            place,
            name_place: column.place.clone(),
            column: true,
        });
        Some(Row { group: time.unwrap_or_else(|| format!("row {number}")), cells: cells.collect() })
    }
}

impl Column {
    fn is_time(&self) -> bool {
        folded(&self.name) == "time"
    }
}

/// "coolant [°C]" or "coolant (°C)": name and unit.
fn with_unit(text: &str) -> (String, String) {
    let split = [('[', ']'), ('(', ')')].into_iter().find_map(|(open, close)| {
        let (name, unit) = text.strip_suffix(close)?.split_once(open)?;
        Some((name.trim().to_string(), unit.trim().to_string()))
    });
    split.unwrap_or_else(|| (text.trim().to_string(), String::new()))
}

/// A value with its unit, where the value is a number alone; words such as "usual" need none.
fn joined(value: &str, unit: &str, separator: u8) -> String {
    let value = if separator == b',' { value.to_string() } else { with_point(value) };
    if unit.is_empty() || value.parse::<f64>().is_err() { value } else { format!("{value} {unit}") }
}

/// "82,5" as "82.5". Three digits after the comma could be thousands: those stay, to be asked about.
fn with_point(value: &str) -> String {
    match value.split_once(',') {
        Some((before, after)) if after.len() != 3 && after.bytes().all(|byte| byte.is_ascii_digit()) => {
            format!("{before}.{after}")
        }
        _ => value.to_string(),
    }
}

/// The separator that the first line has most of.
fn separator(text: &str) -> u8 {
    let mut lines = text.trim_start_matches('\u{feff}').lines();
    let first = lines.find(|line| !line.trim().is_empty() && !line.starts_with('#')).unwrap_or_default();
    let count = |separator: u8| first.bytes().filter(|byte| *byte == separator).count();
    [b'\t', b';']
        .into_iter()
        .find(|separator| count(*separator) > 0 && count(*separator) >= count(b','))
        .unwrap_or(b',')
}

/// The cells with their places; a cell with quotes inside is placed at its line.
fn placed(record: &StringRecord, text: &str) -> Vec<Placed> {
    let mut from = record.position().map_or(0, |position| position.byte() as usize);
    // A record is said to begin where the last one ended, before lines that are empty or a comment.
    for line in text.get(from..).unwrap_or_default().split_inclusive('\n') {
        if !line.trim().is_empty() && !line.trim_start_matches('\u{feff}').starts_with('#') {
            break;
        }
        from += line.len();
    }
    let mut cells = Vec::new();
    for cell in record {
        let found = text.get(from..).and_then(|rest| rest.find(cell)).map(|offset| from + offset);
        let place = found.map_or(from..from, |begin| begin..begin + cell.len());
        from = place.end;
        cells.push((cell.trim_start_matches('\u{feff}').to_string(), place));
    }
    cells
}

fn whole(cells: &[Placed]) -> Range<usize> {
    let start = cells.first().map_or(0, |(_, place)| place.start);
    start..cells.last().map_or(start, |(_, place)| place.end)
}

fn broken(rows: &mut Rows, message: String, advice: &'static str, place: Range<usize>) {
    if rows.findings.len() < MOST_BROKEN {
        rows.findings.push(Finding::at(Problem::BadLine { message, advice }, place));
    }
}

/// The rows of JSON lines: one object a line.
pub(crate) fn of_lines(text: &str) -> Rows {
    let mut rows = Rows::default();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let place = start..start + line.trim_end().len();
        start += line.len();
        let line = line.trim().trim_start_matches('\u{feff}');
        if line.is_empty() {
            continue;
        }
        match serde_json::from_str::<Map<String, Value>>(line) {
            Ok(object) => {
                for (key, at) in repeated(text, &place) {
                    rows.findings
                        .push(Finding::at(Problem::Repeated { what: format!("`{}`", names::short(&key)) }, at));
                }
                let number = rows.rows.len();
                let row = object_row(&object, text, &place, number);
                rows.rows.push(row);
            }
            Err(error) => {
                let at = (place.start + error.column().saturating_sub(1)).min(place.end);
                let advice = "Each line is one object, such as {\"gauge\":\"coolant\",\"value\":82,\"unit\":\"C\"}.";
                broken(&mut rows, json_message(&error), advice, at..at);
            }
        }
    }
    rows
}

/// What is wrong with a line, without the line and column of the error, which count within the line alone.
fn json_message(error: &serde_json::Error) -> String {
    match error.classify() {
        Category::Eof => "it ends too early".into(),
        Category::Data => "it is not one object in { }".into(),
        Category::Syntax | Category::Io => {
            let message = error.to_string();
            message.split(" at line ").next().unwrap_or_default().to_string()
        }
    }
}

fn object_row(object: &Map<String, Value>, text: &str, line: &Range<usize>, number: usize) -> Row {
    let get = |wanted: &str| object.iter().find(|(key, _)| folded(key) == wanted);
    let time = get("time").map(|(_, value)| words(value));
    if let Some((_, gauge)) = get("gauge") {
        let (name, unit) = (words(gauge), get("unit").map(|(_, unit)| words(unit)).unwrap_or_default());
        let value = get("value").map(|(_, value)| words(value)).unwrap_or_default();
        let cell = Cell {
            text: joined(&value, &unit, b','),
            place: place_of(text, line, &value),
            name_place: place_of(text, line, &name),
            name,
            column: false,
        };
        return Row { group: time.unwrap_or_default(), cells: vec![cell] };
    }
    let told = object.iter().filter(|(key, value)| folded(key) != "time" && !value.is_null());
    let cells = told.map(|(key, value)| {
        let ((name, unit), value) = (with_unit(key), words(value));
        let name_place = place_of(text, line, key);
        let after = name_place.end..line.end;
        Cell {
            name,
            text: joined(&value, &unit, b','),
            place: place_of(text, &after, &value),
            name_place,
            column: true,
        }
    });
    Row { group: time.unwrap_or_else(|| format!("row {number}")), cells: cells.collect() }
}

/// A value as it is written, a text without its quotes.
fn words(value: &Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_string)
}

/// Where a word stands in a line; the whole line if it is written with escapes.
fn place_of(text: &str, line: &Range<usize>, word: &str) -> Range<usize> {
    let found = text.get(line.clone()).and_then(|line| line.find(word));
    found.map_or(line.clone(), |offset| line.start + offset..line.start + offset + word.len())
}

/// Keys that a line's object has more than once, where they come again; the reader of JSON keeps the last of them.
fn repeated(text: &str, line: &Range<usize>) -> Vec<(String, Range<usize>)> {
    let (mut depth, mut keys, mut twice) = (0_usize, Vec::new(), Vec::new());
    let mut at = line.start;
    while let Some(byte) = text.as_bytes().get(at).filter(|_| at < line.end) {
        match byte {
            b'{' | b'[' => depth += 1,
            b'}' | b']' => depth = depth.saturating_sub(1),
            b'"' => {
                let end = end_of_string(text, at + 1, line.end);
                let word = text.get(at + 1..end).unwrap_or_default();
                let is_key = text.get(end + 1..line.end).is_some_and(|rest| rest.trim_start().starts_with(':'));
                if is_key && depth == 1 {
                    let key = folded(word);
                    if keys.contains(&key) {
                        twice.push((word.to_string(), at + 1..end));
                    }
                    keys.push(key);
                }
                at = end;
            }
            _ => {}
        }
        at += 1;
    }
    twice
}

/// Where the closing quotes of a string stand that begins here.
fn end_of_string(text: &str, from: usize, end: usize) -> usize {
    let mut escaped = false;
    for (offset, byte) in text.bytes().enumerate().take(end).skip(from) {
        match byte {
            _ if escaped => escaped = false,
            b'\\' => escaped = true,
            b'"' => return offset,
            _ => {}
        }
    }
    end
}
