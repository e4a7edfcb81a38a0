//! Everything heard: who says what, how often, and what it said last.

use crate::channel::Channel;
use crate::heard::{Fault, Heading, Listener, Reading, Sender, What};
use crate::stamp::Stamp;
use crate::table::{Field, List};
use measure::quantity::Quantity;
use std::collections::{BTreeMap, HashMap};

/// Most fields that are kept apart: more than any vessel has, and a bound for what a broken device makes up.
const MOST: usize = 20_000;
/// Most messages without a layout that are kept apart.
const MOST_UNKNOWN: usize = 4_000;
/// Faults of a sort that are kept with their line.
const EXAMPLES: usize = 3;

/// Everything heard.
#[derive(Debug, Default)]
pub struct Listing {
    rows: Vec<Row>,
    /// The rows of one message of one sender.
    of: HashMap<Key, Vec<usize>>,
    /// Whose rows were looked up last, and which of them: the fields of a message come one after the other.
    last: Option<(Key, Vec<usize>, usize)>,
    counts: [u64; Fault::SORTS],
    examples: Vec<(u64, Fault)>,
    unknown: BTreeMap<Unknown, u64>,
    crowded_out: u64,
}

/// One field of one message of one sender.
#[derive(Clone, Debug)]
pub struct Row {
    /// Of the last message: line, time, sender, message, instance, kind.
    pub heading: Heading,
    /// The field's name.
    pub field: String,
    /// What it is of.
    pub quantity: Option<Quantity>,
    /// Unit of its value.
    pub unit: String,
    /// What its numbers mean.
    pub list: Option<&'static List>,
    /// The last that was no "not available"; the last if there was none.
    pub last: Reading,
    /// How often it came.
    pub count: u64,
    /// How often it had a value.
    pub values: u64,
    /// When it came first.
    pub first: Stamp,
}

/// A message without a layout, and who sends it.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unknown {
    /// Number and sender's address.
    Message(u32, u8),
    /// Letters.
    Sentence([u8; 3]),
}

#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
struct Key {
    sender: Sender,
    what: &'static str,
    number: u32,
    instance: Option<u32>,
    kind: Option<u32>,
}

impl Key {
    fn of(heading: &Heading) -> Key {
        let (what, number) = match heading.what {
            What::Message(message) => ("", message.pgn),
            What::Sentence(sentence) => (sentence.id, 0),
        };
        Key { sender: heading.sender, what, number, instance: heading.instance, kind: heading.kind }
    }
}

impl Row {
    /// How a description names it.
    pub fn channel(&self) -> Channel {
        let Heading { what, instance, kind, sender, .. } = self.heading;
        Channel { what, field: self.field.clone(), instance, kind, sender: Some(sender) }
    }

    /// Whether that is the name of it.
    pub fn is_named(&self, channel: &Channel) -> bool {
        let field = Field { name: &self.field, quantity: self.quantity, unit: &self.unit, list: self.list };
        channel.is(&self.heading, &field)
    }

    /// Whether a gauge could read it.
    pub fn is_measured(&self) -> bool {
        self.quantity.is_some() && matches!(self.last, Reading::Value(_))
    }

    /// From one to the next on average [s]; nothing where the recording has no times, or it came once.
    pub fn period(&self) -> Option<f64> {
        let nanos = self.first.until(self.heading.stamp)?;
        (self.count > 1 && nanos > 0).then(|| nanos as f64 * 1e-9 / (self.count - 1) as f64)
    }
}

impl Listing {
    /// Every field heard: by message, then sender, instance, kind, place.
    pub fn rows(&self) -> Vec<&Row> {
        let mut rows: Vec<&Row> = self.rows.iter().collect();
        // Sorting keeps the order of what is equal, and fields come by their place.
        rows.sort_by_cached_key(|row| {
            let key = Key::of(&row.heading);
            (key.number, key.what, key.sender, key.instance, key.kind)
        });
        rows
    }

    /// How many faults of each sort, by [`Fault::sort`].
    pub fn counts(&self) -> &[u64; Fault::SORTS] {
        &self.counts
    }

    /// The first few faults of each sort, with their lines.
    pub fn examples(&self) -> &[(u64, Fault)] {
        &self.examples
    }

    /// Messages without a layout, and how often each came.
    pub fn unknown(&self) -> &BTreeMap<Unknown, u64> {
        &self.unknown
    }

    /// Values that found no room here.
    pub fn crowded_out(&self) -> u64 {
        self.crowded_out
    }

    /// The row of a field; a new one if there is room.
    fn row(&mut self, heading: &Heading, field: &Field<'_>) -> Option<&mut Row> {
        let key = Key::of(heading);
        if self.last.as_ref().is_none_or(|(of, ..)| *of != key) {
            let places = self.of.get(&key).cloned().unwrap_or_default();
            self.last = Some((key, places, 0));
        }
        let (_, places, at) = self.last.as_mut()?;
        let fits = |rows: &[Row], place: usize| rows[place].field == field.name && rows[place].unit == field.unit;
        // The next one most likely, for it was so the last time.
        if !places.get(*at).is_some_and(|&place| fits(&self.rows, place)) {
            *at = places.iter().position(|&place| fits(&self.rows, place)).unwrap_or(places.len());
        }
        if *at == places.len() {
            if self.rows.len() >= MOST {
                return None;
            }
            places.push(self.rows.len());
            self.of.entry(key).or_default().push(self.rows.len());
            self.rows.push(Row {
                heading: *heading,
                field: field.name.into(),
                quantity: field.quantity,
                unit: field.unit.into(),
                list: field.list,
                last: Reading::Absent(crate::heard::Absent::NotAvailable),
                count: 0,
                values: 0,
                first: heading.stamp,
            });
        }
        let place = places[*at];
        *at += 1;
        self.rows.get_mut(place)
    }
}

impl Listener for Listing {
    fn value(&mut self, heading: &Heading, field: &Field<'_>, reading: Reading) {
        let Some(row) = self.row(heading, field) else {
            self.crowded_out += 1;
            return;
        };
        row.heading = *heading;
        row.count += 1;
        if !matches!(reading, Reading::Absent(_)) {
            row.values += 1;
        }
        if row.values == 0 || !matches!(reading, Reading::Absent(_)) {
            row.last = reading;
        }
    }

    fn fault(&mut self, line: u64, fault: Fault) {
        self.counts[fault.sort()] += 1;
        let unknown = match fault {
            Fault::UnknownMessage { pgn, source } => Some(Unknown::Message(pgn, source)),
            Fault::UnknownSentence { letters } => Some(Unknown::Sentence(letters)),
            _ => None,
        };
        if let Some(unknown) = unknown {
            if self.unknown.len() < MOST_UNKNOWN || self.unknown.contains_key(&unknown) {
                *self.unknown.entry(unknown).or_default() += 1;
            }
        } else if self.counts[fault.sort()] <= EXAMPLES as u64 {
            self.examples.push((line, fault));
        }
    }
}
