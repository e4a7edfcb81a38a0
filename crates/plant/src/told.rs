//! What a table of the file says: keys, values and their places.

use crate::finding::{Finding, Problem};
use crate::names::folded;
use measure::nearest::nearest;
use measure::quantity::Quantity;
use measure::unit;
use std::ops::Range;
use toml_edit::{Document, Item, TableLike, Value};

/// Largest file that is read [bytes].
pub const LARGEST: usize = 5_000_000;
/// Sections of service, stores, ledger and set-up: in `vessel.toml`, or in `work.toml` beside it.
pub const SERVICE: &[&str] = &["task", "item", "kit", "tank", "burn", "limit", "setup"];

/// One key of a table with its value.
#[derive(Clone, Debug)]
pub struct Entry<'a> {
    /// The key with hyphens, in small letters.
    pub key: String,
    /// Place of the key [byte offsets].
    pub key_place: Range<usize>,
    /// The value.
    pub value: &'a Item,
    /// Place of the value [byte offsets].
    pub place: Range<usize>,
}

/// The entries of a table, in the order of the file; a key told twice in two spellings is a finding.
pub fn entries<'a>(table: &'a dyn TableLike, findings: &mut Vec<Finding>) -> Vec<Entry<'a>> {
    let mut all: Vec<Entry> = Vec::new();
    let mut seen = std::collections::HashSet::new();
    for (written, value) in table.iter() {
        let key_place = line_of(table.key(written).and_then(toml_edit::Key::span).or_else(|| value.span()));
        let key = folded(written);
        if !seen.insert(key.clone()) {
            findings.push(Finding::at(Problem::Duplicate { what: format!("`{key}`") }, key_place));
            continue;
        }
        let place = value.span().unwrap_or_else(|| key_place.clone());
        all.push(Entry { key, key_place, value, place });
    }
    all
}

/// A place, or the beginning of the file if none is known.
pub fn line_of(place: Option<Range<usize>>) -> Range<usize> {
    place.unwrap_or(0..0)
}

impl<'a> Entry<'a> {
    /// A finding that this key is not one of `of`.
    pub fn unknown(&self, of: &str, known: &[&str]) -> Finding {
        let problem = Problem::UnknownKey {
            key: self.key.clone(),
            of: of.to_string(),
            nearest: nearest(&self.key, known.iter().copied()).map(str::to_string),
            known: known.iter().map(ToString::to_string).collect(),
        };
        Finding::at(problem, self.key_place.clone())
    }

    /// A finding that this value should have been `expected`.
    pub fn wrong(&self, expected: &'static str) -> Finding {
        let problem = Problem::WrongType { key: self.key.clone(), expected, given: given(self.value) };
        Finding::at(problem, self.place.clone())
    }

    /// Its entries, if it is a table.
    pub fn table(&self, findings: &mut Vec<Finding>) -> Vec<Entry<'a>> {
        if let Some(table) = self.value.as_table_like() {
            return entries(table, findings);
        }
        findings.push(self.wrong("values in braces: { … = … }"));
        Vec::new()
    }

    /// Its entries by keys such as "part.check"; written without quotes, that is a table within the table.
    pub fn dotted(&self, findings: &mut Vec<Finding>) -> Vec<(String, Entry<'a>)> {
        let mut all = Vec::new();
        for told in self.table(findings) {
            let inner = told.value.as_table_like().map(|_| told.table(findings)).unwrap_or_default();
            if inner.is_empty() {
                all.push((told.key.clone(), told));
            } else {
                all.extend(inner.into_iter().map(|each| (format!("{}.{}", told.key, each.key), each)));
            }
        }
        all
    }

    /// Its text.
    pub fn text(&self, findings: &mut Vec<Finding>) -> Option<&'a str> {
        let text = self.value.as_str();
        if text.is_none() {
            findings.push(self.wrong("text in quotes"));
        }
        text
    }

    /// One of a few words.
    pub fn choice(&self, known: &[&'static str], findings: &mut Vec<Finding>) -> Option<&'static str> {
        let word = folded(self.text(findings)?);
        let found = known.iter().copied().find(|choice| *choice == word);
        if found.is_none() {
            let problem = Problem::UnknownChoice {
                key: self.key.clone(),
                nearest: nearest(&word, known.iter().copied()).map(str::to_string),
                word,
                known: known.iter().map(ToString::to_string).collect(),
            };
            findings.push(Finding::at(problem, self.place.clone()));
        }
        found
    }

    /// What one of a few words stands for.
    pub fn one_of<T: Copy>(&self, known: &[(&'static str, T)], findings: &mut Vec<Finding>) -> Option<T> {
        let words: Vec<&'static str> = known.iter().map(|(word, _)| *word).collect();
        let word = self.choice(&words, findings)?;
        known.iter().find(|(known, _)| *known == word).map(|(_, value)| *value)
    }

    /// A list of texts with their places; a single text is a list of one.
    pub fn list(&self, findings: &mut Vec<Finding>) -> Vec<(&'a str, Range<usize>)> {
        if let Item::Value(value) = self.value {
            return list(self, value, findings);
        }
        findings.push(self.wrong("a list of names"));
        Vec::new()
    }

    /// A value with its unit [SI].
    pub fn value_of(&self, quantity: Quantity, findings: &mut Vec<Finding>) -> Option<f64> {
        self.read_by(quantity, findings, |text| unit::parse(text, quantity))
    }

    /// A change with its unit, "2 K" of a temperature, never below zero [SI].
    pub fn change_of(&self, quantity: Quantity, findings: &mut Vec<Finding>) -> Option<f64> {
        self.read_by(quantity.difference(), findings, |text| unit::parse_change(text, quantity)).map(f64::abs)
    }

    /// A day [days since 1970]: a date as it stands, or one in quotes.
    pub fn day(&self, findings: &mut Vec<Finding>) -> Option<i64> {
        let date = match self.value.as_value() {
            Some(Value::Datetime(date)) => date.value().date,
            Some(Value::String(text)) => text.value().parse::<toml_edit::Datetime>().ok().and_then(|date| date.date),
            _ => None,
        };
        let days = date.and_then(|date| {
            let date = jiff::civil::Date::new(
                i16::try_from(date.year).ok()?,
                date.month.cast_signed(),
                date.day.cast_signed(),
            );
            // Days on a calendar, so every one of them is as long.
            date.ok()?.since(jiff::civil::date(1970, 1, 1)).ok().map(|span| i64::from(span.get_days()))
        });
        if days.is_none() {
            findings.push(self.wrong("a day, as 2026-05-03"));
        }
        days
    }

    /// Reads the value by `parse`; a number without quotes is its digits.
    pub fn read_by(
        &self,
        quantity: Quantity,
        findings: &mut Vec<Finding>,
        parse: impl Fn(&str) -> Result<f64, unit::UnitError>,
    ) -> Option<f64> {
        let Some(text) = self.digits() else {
            findings.push(self.wrong("a value with its unit, in quotes"));
            return None;
        };
        match parse(&text) {
            Ok(value) => Some(value),
            Err(error) => {
                let problem = Problem::BadUnit { key: self.key.clone(), quantity, error };
                findings.push(Finding::at(problem, self.place.clone()));
                None
            }
        }
    }

    /// The text of a value, or the digits of a number.
    pub fn digits(&self) -> Option<String> {
        match self.value.as_value()? {
            Value::String(text) => Some(text.value().clone()),
            Value::Integer(number) => Some(number.value().to_string()),
            Value::Float(number) => Some(number.value().to_string()),
            _ => None,
        }
    }
}

fn list<'a>(entry: &Entry<'a>, value: &'a Value, findings: &mut Vec<Finding>) -> Vec<(&'a str, Range<usize>)> {
    if let Some(text) = value.as_str() {
        return vec![(text, entry.place.clone())];
    }
    let Some(array) = value.as_array() else {
        findings.push(entry.wrong("a list of names"));
        return Vec::new();
    };
    let mut names = Vec::new();
    for item in array {
        match item.as_str() {
            Some(text) => names.push((text, item.span().unwrap_or_else(|| entry.place.clone()))),
            None => findings.push(Finding {
                places: vec![(item.span().unwrap_or_else(|| entry.place.clone()), String::new())],
                ..entry.wrong("a list of names")
            }),
        }
    }
    names
}

/// What a value is, in plain words.
fn given(item: &Item) -> &'static str {
    match item {
        Item::None => "nothing",
        Item::Table(_) | Item::Value(Value::InlineTable(_)) => "a group of values",
        Item::ArrayOfTables(_) => "a list of sections",
        Item::Value(Value::String(_)) => "text",
        Item::Value(Value::Integer(_) | Value::Float(_)) => "a number without a unit",
        Item::Value(Value::Boolean(_)) => "true or false",
        Item::Value(Value::Datetime(_)) => "a date",
        Item::Value(Value::Array(_)) => "a list",
    }
}

/// The text as TOML, or why it is none.
pub fn document(text: &str) -> Result<Document<&str>, Vec<Finding>> {
    if let Some(problem) = unreadable(text) {
        return Err(vec![Finding::whole(problem)]);
    }
    Document::parse(text).map_err(|error| {
        let message = error.message().trim_end_matches('\n').replace('\n', ", ");
        vec![Finding::at(Problem::NotToml { message }, error.span().unwrap_or(0..0))]
    })
}

fn unreadable(text: &str) -> Option<Problem> {
    if text.len() > LARGEST {
        let megabytes = text.len().div_ceil(1_000_000);
        return Some(Problem::TooLarge { megabytes, limit: LARGEST / 1_000_000 });
    }
    if text.contains('\0') {
        return Some(Problem::NotText);
    }
    let blank = text.lines().all(|line| line.trim().is_empty() || line.trim_start().starts_with('#'));
    blank.then_some(Problem::Empty)
}

/// The lines of a table of tables, or of one table.
pub fn tables<'a>(section: &Entry<'a>, findings: &mut Vec<Finding>) -> Vec<(Vec<Entry<'a>>, Range<usize>)> {
    match section.value {
        Item::ArrayOfTables(tables) => {
            tables.iter().map(|table| (entries(table, findings), line_of(table.span()))).collect()
        }
        Item::Value(Value::Array(array)) => array
            .iter()
            .filter_map(|value| value.as_inline_table().map(|table| (entries(table, findings), line_of(value.span()))))
            .collect(),
        _ => vec![(section.table(findings), section.key_place.clone())],
    }
}
