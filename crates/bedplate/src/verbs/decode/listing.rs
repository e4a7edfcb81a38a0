//! Everything heard: who says what, how often, what it said last, and how a gauge of a description names it.

use super::lines;
use crate::json::{VERSION, decode as json};
use crate::page::{Side, columns, wrapped};
use bus::channel::{Channel, kind_word};
use bus::heard::Fault;
use bus::listing::{Listing, Row, Unknown};
use measure::quantity::Quantity::{self, *};
use std::fmt::Write as _;

/// What a gauge of a description can read.
const GAUGES: [Quantity; 10] = [
    Temperature,
    GaugePressure,
    PressureDifference,
    RotationalSpeed,
    Velocity,
    VolumeFlow,
    Voltage,
    Current,
    Level,
    Ratio,
];
/// Messages without a layout that are shown.
const SHOWN: usize = 12;

/// A gauge of a vessel that says which value it is.
pub struct Gauge<'a> {
    name: &'a str,
    heard: &'a Channel,
}

impl<'a> Gauge<'a> {
    /// That gauge, if it says so.
    pub fn of(gauge: &'a plant::plant::Gauge) -> Option<Gauge<'a>> {
        gauge.heard.as_ref().map(|heard| Gauge { name: &gauge.name, heard })
    }
}

/// The listing in words.
pub fn text(listing: &Listing, lines: u64, gauges: &[Gauge<'_>]) -> String {
    let rows = listing.rows();
    let values: u64 = rows.iter().map(|row| row.count).sum();
    let mut text = format!("{}, {}.\n", count(lines, "line"), count(values, "value"));
    for group in rows.chunk_by(|a, b| lines::of(&a.heading) == lines::of(&b.heading)) {
        let first = group[0];
        let often = group.iter().map(|row| row.count).max().unwrap_or(0);
        let every = first.period().map_or_else(String::new, |seconds| format!(", every {}", spoken(seconds)));
        let times = if often == 1 { "once".into() } else { count(often, "time") };
        let _ = writeln!(text, "\n{} ({}): {times}{every}", lines::of(&first.heading), first.heading.what.name());
        let cells: Vec<Vec<String>> = group.iter().map(|row| vec![row.field.clone(), last(row)]).collect();
        text += &columns(&cells, &[Side::Left, Side::Left], "  ");
    }
    let told = faults(listing);
    if !told.is_empty() {
        let _ = write!(text, "\nWhat could not be used:\n{told}");
    }
    text + &of_gauges(&rows, gauges) + &pasted(&rows, gauges)
}

/// What a field said last.
fn last(row: &Row) -> String {
    lines::said(&row.field, row.quantity, &row.unit, row.list, row.last)
}

/// Each gauge of the vessel that says which value it is, with what was heard of it last.
fn of_gauges(rows: &[&Row], gauges: &[Gauge<'_>]) -> String {
    let told = |gauge: &Gauge<'_>| {
        let row = rows.iter().find(|row| row.is_named(gauge.heard));
        vec![gauge.name.into(), gauge.heard.to_string(), row.map_or_else(|| "not heard".into(), |row| last(row))]
    };
    let cells: Vec<Vec<String>> = gauges.iter().map(told).collect();
    if cells.is_empty() {
        return String::new();
    }
    format!("\nHer gauges:\n{}", columns(&cells, &[Side::Left, Side::Left, Side::Left], "  "))
}

/// Of all that a gauge can read and none does yet, a line each; no more than so many.
pub fn free(rows: &[&Row], gauges: &[Gauge<'_>], most: usize) -> String {
    let free = rows.iter().filter(|row| row.is_measured() && row.quantity.is_some_and(|q| GAUGES.contains(&q)));
    let free = free.filter(|row| !gauges.iter().any(|gauge| row.is_named(gauge.heard)));
    let mut lines: Vec<Vec<String>> = free
        .clone()
        .take(most)
        .map(|row| vec![format!("heard = \"{}\"", row.channel()), format!("# {}", last(row))])
        .collect();
    let more = free.count() - lines.len();
    if more > 0 {
        lines.push(vec![format!("# and {more} more"), String::new()]);
    }
    columns(&lines, &[Side::Left, Side::Left], "  ")
}

/// The lines for a description, of all that a gauge can read and none does yet.
fn pasted(rows: &[&Row], gauges: &[Gauge<'_>]) -> String {
    let lines = free(rows, gauges, usize::MAX);
    if lines.is_empty() {
        return String::new();
    }
    let how = "To be pasted into [gauge.…] of vessel.toml, one for each gauge; after it what it read last. Compare with the \
               dial before you trust it: senders are set up wrongly.";
    format!("\n{}{lines}", wrapped(how, "", ""))
}

/// Every sort of fault met, with how often, and lines to look at.
pub fn faults(listing: &Listing) -> String {
    let mut text = String::new();
    for (sort, &times) in listing.counts().iter().enumerate().filter(|(_, times)| **times > 0) {
        let _ = writeln!(text, "  {times} × {}", Fault::NAMES[sort]);
        for (line, fault) in listing.examples().iter().filter(|(_, fault)| fault.sort() == sort) {
            let told = fault.to_string();
            let more = told.strip_prefix(Fault::NAMES[sort]).unwrap_or("").trim_start_matches(": ");
            let colon = if more.is_empty() { "" } else { ": " };
            let _ = writeln!(text, "      line {line}{colon}{more}");
        }
    }
    let mut unknown: Vec<(&Unknown, &u64)> = listing.unknown().iter().collect();
    unknown.sort_by_key(|(_, times)| std::cmp::Reverse(**times));
    for (unknown, times) in unknown.iter().take(SHOWN) {
        let _ = match unknown {
            Unknown::Message(pgn, source) => writeln!(text, "      {pgn} from {source}: {}", count(**times, "time")),
            Unknown::Sentence(letters) => writeln!(text, "      {}: {}", spelt(*letters), count(**times, "time")),
        };
    }
    if unknown.len() > SHOWN {
        let _ = writeln!(text, "      and {} more", unknown.len() - SHOWN);
    }
    if listing.crowded_out() > 0 {
        let _ = writeln!(text, "  {} × value without room in this listing", listing.crowded_out());
    }
    text
}

fn spelt(letters: [u8; 3]) -> String {
    letters.iter().map(|&letter| char::from(letter)).collect()
}

/// "one line", "20 lines".
pub fn count(number: u64, what: &str) -> String {
    if number == 1 { format!("one {what}") } else { format!("{number} {what}s") }
}

/// A time between two messages, to two digits.
fn spoken(seconds: f64) -> String {
    if seconds < 1.0 { format!("{:.0} ms", seconds * 1e3) } else { format!("{seconds:.1} s") }
}

/// The listing for programs.
pub fn shape(listing: &Listing, lines: u64, gauges: &[Gauge<'_>]) -> json::Decoded {
    let gauge = |row: &Row| gauges.iter().find(|gauge| row.is_named(gauge.heard)).map(|gauge| gauge.name.to_string());
    let rows = listing.rows();
    let silent = gauges.iter().filter(|gauge| !rows.iter().any(|row| row.is_named(gauge.heard)));
    let heard = |row: &&Row| json::Heard {
        what: lines::what(&row.heading),
        name: row.heading.what.name(),
        instance: row.heading.instance,
        kind: row.heading.kind.map(|kind| kind_word(row.heading.what, kind)),
        field: row.field.clone(),
        heard: row.is_measured().then(|| row.channel().to_string()),
        gauge: gauge(row),
        times: row.count,
        told: row.values,
        every_s: row.period(),
        last: lines::read(&row.unit, row.list, row.last),
    };
    let counted = |(sort, times): (usize, &u64)| json::Counted { fault: Fault::NAMES[sort], times: *times };
    let unknown = |(unknown, times): (&Unknown, &u64)| match *unknown {
        Unknown::Message(pgn, source) => {
            json::Unknown { pgn: Some(pgn), source: Some(source), sentence: None, times: *times }
        }
        Unknown::Sentence(letters) => {
            json::Unknown { pgn: None, source: None, sentence: Some(spelt(letters)), times: *times }
        }
    };
    json::Decoded {
        version: VERSION,
        lines,
        heard: rows.iter().map(heard).collect(),
        faults: listing.counts().iter().enumerate().filter(|(_, times)| **times > 0).map(counted).collect(),
        unknown: listing.unknown().iter().map(unknown).collect(),
        not_heard: silent.map(|gauge| gauge.name.to_string()).collect(),
    }
}
