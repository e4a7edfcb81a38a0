//! What could not be used, line by line; and why a file is not read at all.

/// What could not be used of a line; the rest of it is, where that is sure.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// Longer than any table's.
    TooLong,
    /// A quotation mark that is not closed within the next lines.
    Quote,
    /// More or fewer cells than there are headings.
    Cells {
        /// Cells in the line.
        has: usize,
        /// Headings.
        headings: usize,
    },
    /// No object, in lines of JSON.
    Object {
        /// What its reader says.
        why: String,
    },
    /// It tells no time.
    NoTime,
    /// What stands for a time is none.
    BadTime {
        /// As written.
        text: String,
    },
    /// Day and month could be either way round.
    Ambiguous {
        /// As written.
        text: String,
    },
    /// A time that the clock of this zone never showed: it was put forward over it.
    Skipped {
        /// As written.
        text: String,
    },
    /// A zone that is none.
    BadZone {
        /// As written.
        text: String,
    },
    /// Before the year 2000: a clock that was not set.
    NotSet,
    /// The recording, or the line, does not say which day, or has no time at all.
    NoDay,
    /// What stands for a value is none.
    BadValue {
        /// The column, or the gauge as it is named.
        column: String,
        /// As written.
        text: String,
    },
    /// A number that could be thousands or decimals.
    Thousands {
        /// The column.
        column: String,
        /// As written.
        text: String,
    },
    /// A unit that is none of this gauge's.
    BadUnit {
        /// The column.
        column: String,
        /// What is wrong with it, and what to write.
        why: String,
    },
    /// So far off the dial's scale that unit or column must be wrong.
    OffScale {
        /// The column.
        column: String,
        /// As written, with its unit.
        text: String,
    },
    /// What no sender of that sort gives: a wire is open or shorted.
    NotSent {
        /// The column.
        column: String,
        /// The signal.
        signal: String,
    },
    /// Something in a recording of a bus.
    Bus(bus::heard::Fault),
}

impl Fault {
    /// How many sorts there are.
    pub const SORTS: usize = 16;

    /// The sorts in plain words, by [`Fault::sort`].
    pub const NAMES: [&str; Fault::SORTS] = [
        "line too long",
        "quotation mark not closed",
        "more or fewer cells than headings",
        "no object of JSON",
        "no time",
        "a time that is none",
        "day and month could be either way round",
        "a time that the clock of this zone never showed",
        "a zone that is none",
        "before the year 2000: the clock was not set",
        "no day told",
        "a value that is no number",
        "thousands or decimals",
        "a unit that is none of the gauge's",
        "far off the scale",
        "nothing its sender gives: a wire open or shorted",
    ];

    /// Which sort, below [`Fault::SORTS`]; none of a bus's, which have sorts of their own.
    pub fn sort(&self) -> Option<usize> {
        Some(match self {
            Fault::TooLong => 0,
            Fault::Quote => 1,
            Fault::Cells { .. } => 2,
            Fault::Object { .. } => 3,
            Fault::NoTime => 4,
            Fault::BadTime { .. } => 5,
            Fault::Ambiguous { .. } => 6,
            Fault::Skipped { .. } => 7,
            Fault::BadZone { .. } => 8,
            Fault::NotSet => 9,
            Fault::NoDay => 10,
            Fault::BadValue { .. } => 11,
            Fault::Thousands { .. } => 12,
            Fault::BadUnit { .. } => 13,
            Fault::OffScale { .. } => 14,
            Fault::NotSent { .. } => 15,
            Fault::Bus(_) => return None,
        })
    }

    /// The sort in plain words.
    pub fn name(&self) -> &'static str {
        match self {
            Fault::Bus(fault) => bus::heard::Fault::NAMES[fault.sort()],
            other => other.sort().map_or("", |sort| Fault::NAMES[sort]),
        }
    }
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Fault::Cells { has, headings } => {
                let more = if has > headings { "; a decimal comma in a table with commas?" } else { "" };
                write!(f, "{has} cells under {headings} headings{more}")
            }
            Fault::Object { why } => write!(f, "{}: {why}", self.name()),
            Fault::BadTime { text } => write!(f, "`{text}` is no time"),
            Fault::Ambiguous { text } => write!(f, "`{text}`: {}", self.name()),
            Fault::Skipped { text } => {
                write!(f, "`{text}` is {}: it was put forward over it", self.name())
            }
            Fault::BadZone { text } => write!(f, "`{text}` is no zone, such as +02:00"),
            Fault::BadValue { column, text } => write!(f, "{column}: `{text}` is no number"),
            Fault::Thousands { column, text } => {
                write!(f, "{column}: `{text}` could be thousands or decimals; see --decimal")
            }
            Fault::BadUnit { column, why } => write!(f, "{column}: {why}"),
            Fault::NotSent { column, signal } => write!(f, "{column}: {signal} is {}", self.name()),
            Fault::OffScale { column, text } => write!(f, "{column}: {text} is {}; the unit?", self.name()),
            Fault::Bus(fault) => write!(f, "{fault}"),
            other => f.write_str(other.name()),
        }
    }
}

/// Why a file is not read at all.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// Nothing is in it.
    #[error("there is nothing in it")]
    Empty,
    /// Not text.
    #[error("this is no text")]
    NotText,
    /// Two bytes a letter.
    #[error("this text has two bytes for each letter (UTF-16)")]
    Wide,
    /// A line that does not end.
    #[error("its first line does not end within {} kB", crate::lines::LONGEST >> 10)]
    Endless,
    /// Neither table, nor lines of JSON, nor rounds, nor a recording.
    #[error("this is no table, no lines of JSON, no rounds and no recording of a bus")]
    NoForm,
    /// Only headings.
    #[error("there is no line of readings under its headings")]
    NoRows,
    /// No column tells the time.
    #[error("no column tells the time; the headings are {}", headings.join(", "))]
    NoTime {
        /// The headings.
        headings: Vec<String>,
    },
    /// Times without a zone, and none is told.
    #[error("its times, such as `{example}`, do not say of which zone")]
    NoZone {
        /// One of them.
        example: String,
    },
    /// Day and month could be either way round in all lines looked at.
    #[error("`{example}` could be {day_first} or {month_first}")]
    Ambiguous {
        /// One of them.
        example: String,
        /// With the day first.
        day_first: String,
        /// With the month first.
        month_first: String,
    },
    /// Times of day, and no date.
    #[error("its times, such as `{example}`, do not say which day")]
    NoDay {
        /// One of them.
        example: String,
    },
    /// Nothing in it is of a gauge of this vessel.
    #[error("no gauge of this vessel is in it")]
    NoGauge,
    /// A mapping that fits no column.
    #[error("it has no column `{column}`; its columns are {}", headings.join(", "))]
    NoColumn {
        /// As asked.
        column: String,
        /// What there is.
        headings: Vec<String>,
    },
    /// A mapping that cannot be.
    #[error("`{asked}`: {why}")]
    BadMapping {
        /// As asked.
        asked: String,
        /// What is wrong with it.
        why: String,
    },
    /// Rounds that cannot be read.
    #[error("line {line}: {why}")]
    Rounds {
        /// Where, from 1.
        line: usize,
        /// What.
        why: String,
    },
    /// Too large to be rounds.
    #[error("rounds of more than {} kB are none", crate::rounds::LARGEST >> 10)]
    TooLarge,
}

impl Refusal {
    /// What to do about it.
    pub fn advice(&self) -> &'static str {
        match self {
            Refusal::Empty | Refusal::NoRows => "Is it the right file, and was it written to the end?",
            Refusal::NotText => "Export it as CSV first: a spreadsheet or a recorder's own file cannot be read.",
            Refusal::Wide => "Save it as UTF-8: most programs call that \"CSV UTF-8\".",
            Refusal::Endless => "Is it the right file? A table is text, a line for each time.",
            Refusal::NoForm => {
                "A table has headings in its first line, cells separated by comma, semicolon, tab or bar, and a time in each line."
            }
            Refusal::NoTime { .. } => "Say which it is, such as --as \"COLUMN=time\".",
            Refusal::NoZone { .. } => {
                "Say which clock it was, such as --zone UTC, --zone +02:00 or --zone Europe/Lisbon."
            }
            Refusal::Ambiguous { .. } => "Say which: --dates day-first or --dates month-first.",
            Refusal::NoDay { .. } => "Say which day it begins on, such as --day 2026-07-02.",
            Refusal::NoGauge => {
                "Say which column is which gauge, such as --as \"COLUMN=GAUGE:UNIT\"; of a recording, give its gauges `heard = \"…\"` (bedplate decode writes the lines)."
            }
            Refusal::NoColumn { .. } => {
                "Write the column's heading as it stands, without its unit, or its number from 1."
            }
            Refusal::BadMapping { .. } => {
                "Write COLUMN=GAUGE, COLUMN=GAUGE:UNIT, or COLUMN= and one of time, date, zone, gauge, value, unit, ignore."
            }
            Refusal::Rounds { .. } => {
                "Write [[round]], time = \"2026-07-02 08:00\", readings = { coolant = \"78 °C\" }."
            }
            Refusal::TooLarge => "Write long records as a table.",
        }
    }
}
