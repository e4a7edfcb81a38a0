//! Lists that an owner brings along: work that was done, service tasks, stores, out of a table of his own.
//!
//! First it is planned which column is which field ([`plan`]), by its heading or as the owner says; a column that is nothing we
//! know is not lost: what stands in it goes into the note. Then every row becomes a record, or a piece of text for
//! `work.toml`; a row that cannot is told with its line.

use crate::record::Record;
use crate::task::Task;
use crate::written::{self, Meant, Written};
use csv::{ReaderBuilder, StringRecord};
use plant::names::folded;
use plant::plant::Plant;

/// What a table is a list of.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum List {
    /// Work that was done.
    Work,
    /// Service tasks.
    Tasks,
    /// Stores.
    Stores,
}

/// A field, and words that head its column.
struct Field {
    name: &'static str,
    heads: &'static [&'static str],
}

const fn field(name: &'static str, heads: &'static [&'static str]) -> Field {
    Field { name, heads }
}

const WORK: &[Field] = &[
    field("date", &["day", "when", "done", "done-on", "completed"]),
    field("task", &["job", "work", "what", "item", "service", "title"]),
    field("part", &["component", "equipment", "machine", "on", "unit"]),
    field("hours", &["engine-hours", "hour-meter", "meter", "hrs", "running-hours", "h"]),
    field("who", &["by", "done-by", "person"]),
    field("note", &["notes", "remarks", "remark", "comment", "comments", "description", "text"]),
];
const TASKS: &[Field] = &[
    field("name", &["task", "job", "service", "title", "what", "work"]),
    field("part", &["component", "equipment", "machine", "on", "of"]),
    field("hours", &["every-hours", "interval-hours", "interval-h", "hrs", "running-hours", "interval"]),
    field("months", &["every-months", "interval-months", "calendar"]),
    field("last-date", &["last-done", "last", "done-on"]),
    field("last-hours", &["last-done-hours", "last-at-hours", "done-at"]),
    field("minutes", &["time", "duration", "min"]),
    field("note", &["notes", "remarks", "comment", "description", "procedure"]),
];
const STORES: &[Field] = &[
    field("name", &["item", "spare", "part", "description", "article"]),
    field("number", &["part-number", "part-no", "part-no.", "p/n", "pn", "ref", "reference"]),
    field("supplier", &["vendor", "from", "shop"]),
    field("stowed", &["location", "where", "locker", "stowage", "bin"]),
    field("aboard", &["quantity", "qty", "count", "stock", "on-board", "onboard", "have"]),
    field("keep", &["minimum", "min", "keep-at-least", "reorder-at"]),
    field("cost", &["price", "unit-price"]),
    field("fits", &["used-on", "for", "equipment", "component"]),
    field("note", &["notes", "remarks", "comment"]),
];

impl List {
    fn fields(self) -> &'static [Field] {
        match self {
            List::Work => WORK,
            List::Tasks => TASKS,
            List::Stores => STORES,
        }
    }

    /// The names of its fields.
    pub fn names(self) -> impl Iterator<Item = &'static str> {
        self.fields().iter().map(|field| field.name)
    }

    /// Fields without which there is no row.
    fn needed(self) -> &'static [&'static str] {
        match self {
            List::Work => &["date"],
            List::Tasks | List::Stores => &["name"],
        }
    }
}

/// Which column is what.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What it is a list of.
    pub list: List,
    /// Each column: its heading, and its field; nothing where it goes into the note.
    pub columns: Vec<(String, Option<&'static str>)>,
    rows: Vec<(u64, Vec<String>)>,
}

/// Why a table cannot be brought, and what to do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{why}")]
pub struct NoTable {
    /// What is wrong.
    pub why: String,
    /// What to do.
    pub advice: String,
}

/// Most rows of one table.
const MOST: usize = 100_000;

/// Plans a table (CSV with commas, semicolons or tabs); `told` says of a heading which field it is, "" for the note.
///
/// # Errors
/// [`NoTable`].
pub fn plan(list: List, text: &str, told: &[(String, String)]) -> Result<Plan, NoTable> {
    let no = |why: String, advice: String| Err(NoTable { why, advice });
    let text = text.trim_start_matches('\u{feff}');
    let first = text.lines().next().unwrap_or_default();
    let count = |separator: char| first.matches(separator).count();
    let separator = [';', '\t', ','].into_iter().max_by_key(|separator| count(*separator)).unwrap_or(',');
    let mut reader = ReaderBuilder::new().delimiter(separator as u8).flexible(true).from_reader(text.as_bytes());
    let head = reader.headers().cloned().unwrap_or_default();
    if head.iter().all(|cell| cell.trim().is_empty()) {
        return no(
            "the first line names no columns".into(),
            format!("Head them, such as {}.", list.names().collect::<Vec<_>>().join(", ")),
        );
    }
    let mut columns: Vec<(String, Option<&'static str>)> = Vec::new();
    for cell in &head {
        let taken = |name: &str| columns.iter().any(|(_, field)| *field == Some(name));
        let word = folded(cell);
        let by_owner = told.iter().find(|(heading, _)| folded(heading) == word);
        let field = match by_owner {
            Some((_, name)) if name.is_empty() => None,
            Some((_, name)) => match list.names().find(|known| *known == folded(name)) {
                Some(known) => Some(known),
                None => {
                    return no(
                        format!("`{name}` is no field of this list"),
                        format!("Its fields are {}.", list.names().collect::<Vec<_>>().join(", ")),
                    );
                }
            },
            None => list
                .fields()
                .iter()
                .find(|field| !taken(field.name) && (field.name == word || field.heads.contains(&word.as_str())))
                .map(|field| field.name),
        };
        columns.push((cell.trim().to_string(), field));
    }
    if let Some((heading, _)) =
        told.iter().find(|(heading, _)| !columns.iter().any(|(cell, _)| folded(cell) == folded(heading)))
    {
        return no(
            format!("there is no column `{heading}`"),
            format!("There are {}.", columns.iter().map(|(cell, _)| cell.as_str()).collect::<Vec<_>>().join(", ")),
        );
    }
    for needed in list.needed() {
        if !columns.iter().any(|(_, field)| field == &Some(*needed)) {
            return no(format!("no column is the {needed}"), format!("Say which, as `--as \"HEADING={needed}\"`."));
        }
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let record: StringRecord = match record {
            Ok(record) => record,
            Err(why) => return no(format!("it cannot be read: {why}"), "Save it as CSV in UTF-8.".into()),
        };
        if rows.len() >= MOST {
            return no(format!("it has more than {MOST} rows"), "Cut it in pieces.".into());
        }
        let line = record.position().map_or(0, csv::Position::line);
        if record.iter().any(|cell| !cell.trim().is_empty()) {
            rows.push((line, record.iter().map(|cell| cell.trim().to_string()).collect()));
        }
    }
    Ok(Plan { list, columns, rows })
}

/// A row that is work done: when [ms since 1970, UTC], who, and what.
pub type Done = (i64, Option<String>, Record);

impl Plan {
    /// How many rows there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    fn cell<'a>(&self, row: &'a [String], field: &str) -> &'a str {
        let place = self.columns.iter().position(|(_, of)| *of == Some(field));
        place.and_then(|place| row.get(place)).map_or("", String::as_str)
    }

    /// What stands in columns that are no field, for the note.
    fn rest(&self, row: &[String]) -> Vec<String> {
        let columns = self.columns.iter().zip(row).filter(|((_, field), cell)| field.is_none() && !cell.is_empty());
        columns.map(|((heading, _), cell)| format!("{heading}: {cell}")).collect()
    }

    fn note(&self, row: &[String], before: Option<String>) -> String {
        let told = before.into_iter().chain(Some(self.cell(row, "note").to_string()));
        told.chain(self.rest(row)).filter(|text| !text.is_empty()).collect::<Vec<_>>().join("; ")
    }

    /// The rows as work done, each with its line, or why it is none. What names no task or part of this vessel is kept in words.
    ///
    /// * `day`: reads a day or a time [ms since 1970, UTC]
    pub fn work(
        &self,
        plant: &Plant,
        tasks: &[Task],
        day: &dyn Fn(&str) -> Result<i64, String>,
    ) -> Vec<(u64, Result<Done, String>)> {
        self.rows.iter().map(|(line, row)| (*line, self.done(plant, tasks, day, row))).collect()
    }

    fn done(
        &self,
        plant: &Plant,
        tasks: &[Task],
        day: &dyn Fn(&str) -> Result<i64, String>,
        row: &[String],
    ) -> Result<Done, String> {
        let time = day(self.cell(row, "date"))?;
        let (task, part) = (self.cell(row, "task"), self.cell(row, "part"));
        let both = format!("{}.{}", folded(part), folded(task));
        let words: [&str; 3] = [&both, task, part];
        let known =
            words.iter().filter(|word| !word.is_empty()).find(|word| written::meant(plant, tasks, word).is_ok());
        // What the words name beyond it is not lost.
        let beyond = |used: &str| {
            let said = [part, task].into_iter().filter(|word| !word.is_empty() && *word != used && used != both);
            Some(said.collect::<Vec<_>>().join(", ")).filter(|text| !text.is_empty())
        };
        let hours = self.cell(row, "hours").replace(['\u{a0}', ' '], "").replace(',', ".");
        let hours = Some(hours).filter(|text| !text.is_empty());
        let who = Some(self.cell(row, "who").to_string()).filter(|who| !who.is_empty());
        let Some(word) = known else {
            let hours = hours
                .map(|text| {
                    text.trim_end_matches('h').parse::<f64>().map_err(|_| format!("`{text}` are no running hours"))
                })
                .transpose()?;
            let text = self.note(row, beyond(""));
            if text.is_empty() {
                return Err("nothing says what was done".into());
            }
            return Ok((time, who, Record { hours, text, ..Record::default() }));
        };
        let written =
            Written { what: (*word).to_string(), hours, text: self.note(row, beyond(word)), ..Written::default() };
        let record = written::record(plant, tasks, &written)
            .map_err(|refused| format!("{}; {}", refused.why, refused.advice))?;
        Ok((time, who, record))
    }

    /// The rows as text for `work.toml`: the section of each, with its line, or why it is none.
    ///
    /// * `day`: as for [`Plan::work`], of a task's last time
    pub fn text(
        &self,
        plant: &Plant,
        tasks: &[Task],
        day: &dyn Fn(&str) -> Result<i64, String>,
    ) -> Vec<(u64, Result<String, String>)> {
        let one = |(line, row): &(u64, Vec<String>)| {
            let told = match self.list {
                List::Stores => self.store(row),
                _ => self.task(plant, tasks, day, row),
            };
            (*line, told)
        };
        self.rows.iter().map(one).collect()
    }

    fn task(
        &self,
        plant: &Plant,
        tasks: &[Task],
        day: &dyn Fn(&str) -> Result<i64, String>,
        row: &[String],
    ) -> Result<String, String> {
        let title = self.cell(row, "name");
        let part = self.cell(row, "part");
        let name = key(&if part.is_empty() { title.to_string() } else { format!("{part} {title}") })
            .ok_or("it has no name")?;
        let mut text = format!("[task.{name}]\n");
        let known = if part.is_empty() { None } else { written::meant(plant, tasks, part).ok() };
        if let Some(Meant::Part(of)) = &known {
            line(&mut text, "of", of.name(plant));
        }
        line(&mut text, "title", title);
        let mut due = false;
        for field in ["hours", "months", "minutes"] {
            let cell = self.cell(row, field);
            let bare = cell.trim_end_matches(|letter: char| letter.is_alphabetic() || letter == ' ').replace(',', ".");
            match bare.parse::<f64>() {
                Ok(number) if number > 0.0 && number <= 1e6 => {
                    raw(&mut text, field, &number.to_string());
                    due |= field != "minutes";
                }
                _ if cell.is_empty() => {}
                _ => return Err(format!("`{cell}` are no {field}")),
            }
        }
        if !due {
            return Err("neither hours nor months say when it is due".into());
        }
        let (date, hours) = (self.cell(row, "last-date"), self.cell(row, "last-hours"));
        let mut last = Vec::new();
        if !date.is_empty() {
            last.push(format!("date = \"{}\"", crate::date::iso(day(date)?)));
        }
        if !hours.is_empty() {
            let number: f64 = hours
                .trim_end_matches('h')
                .trim()
                .replace(',', ".")
                .parse()
                .map_err(|_| format!("`{hours}` are no running hours"))?;
            last.push(format!("hours = {number}"));
        }
        if !last.is_empty() {
            raw(&mut text, "last", &format!("{{ {} }}", last.join(", ")));
        }
        let beyond = Some(part.to_string())
            .filter(|part| !part.is_empty() && !matches!(known, Some(Meant::Part(_))))
            .map(|part| format!("on {part}"));
        let note = self.note(row, beyond);
        if !note.is_empty() {
            raw(&mut text, "steps", &format!("[{}]", quoted(&note)));
        }
        Ok(text)
    }

    fn store(&self, row: &[String]) -> Result<String, String> {
        let what = self.cell(row, "name");
        let name = key(what).ok_or("it has no name")?;
        let mut text = format!("[item.{name}]\n");
        line(&mut text, "what", what);
        for field in ["number", "supplier", "stowed"] {
            line(&mut text, field, self.cell(row, field));
        }
        for field in ["aboard", "keep"] {
            let cell = self.cell(row, field).replace(',', ".");
            match cell.parse::<f64>() {
                Ok(number) if (0.0..=1e6).contains(&number) => raw(&mut text, field, &number.to_string()),
                _ if cell.is_empty() => {}
                // "14 L" is read by its unit; what is no amount is told when the file is read.
                _ => line(&mut text, field, &cell),
            }
        }
        line(&mut text, "cost", self.cell(row, "cost"));
        let fits = self.cell(row, "fits");
        if !fits.is_empty() {
            let parts = fits.split([',', ';', '/']).map(|part| quoted(&folded(part))).collect::<Vec<_>>();
            raw(&mut text, "fits", &format!("[{}]", parts.join(", ")));
        }
        let note = self.note(row, None);
        if !note.is_empty() {
            text.extend(["# ", &note.replace(['\n', '\r'], " "), "\n"]);
        }
        Ok(text)
    }
}

/// A name for a section: letters, digits and hyphens.
fn key(words: &str) -> Option<String> {
    let letters: String =
        folded(words).chars().map(|letter| if letter.is_ascii_alphanumeric() { letter } else { '-' }).collect();
    let name = letters.split('-').filter(|piece| !piece.is_empty()).collect::<Vec<_>>().join("-");
    (!name.is_empty()).then(|| name.chars().take(60).collect())
}

fn line(text: &mut String, key: &str, value: &str) {
    if !value.is_empty() {
        raw(text, key, &quoted(value));
    }
}

/// A key with a value that is TOML already.
fn raw(text: &mut String, key: &str, value: &str) {
    text.extend([key, " = ", value, "\n"]);
}

/// Text as TOML writes it.
fn quoted(text: &str) -> String {
    toml_edit::Value::from(text.replace(['\n', '\r'], " ")).to_string().trim().to_string()
}
