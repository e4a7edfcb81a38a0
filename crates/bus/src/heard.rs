//! What comes out: values with where they come from, and faults.

use crate::stamp::Stamp;
use crate::table::{Field, Message, Sentence};
use crate::trouble::Trouble;

/// Takes what a [`crate::decoder::Decoder`] hears, in the order of the lines.
pub trait Listener {
    /// One field of one message was read.
    fn value(&mut self, heading: &Heading, field: &Field<'_>, reading: Reading);

    /// Something in line `line` could not be used.
    fn fault(&mut self, line: u64, fault: Fault);
}

/// What all values of one message share.
#[derive(Copy, Clone, Debug)]
pub struct Heading {
    /// Line that completes the message, from 1; frames that come by themselves count as lines.
    pub line: u64,
    /// When, as the recording says.
    pub stamp: Stamp,
    /// Who.
    pub sender: Sender,
    /// What.
    pub what: What,
    /// Which engine, tank or battery, where the message says so.
    pub instance: Option<u32>,
    /// Which sort of several that share an instance (what a temperature is of, what a tank holds); a letter as its code.
    pub kind: Option<u32>,
}

/// Who said something.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Sender {
    /// An address on a CAN bus.
    Address(u8),
    /// Two letters before a sentence.
    Talker([u8; 2]),
}

impl std::fmt::Display for Sender {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Sender::Address(address) => write!(f, "{address}"),
            Sender::Talker(letters) => letters.iter().try_for_each(|&letter| write!(f, "{}", char::from(letter))),
        }
    }
}

/// A message or a sentence.
#[derive(Copy, Clone, Debug)]
pub enum What {
    /// A message on a CAN bus.
    Message(&'static Message),
    /// A sentence of NMEA 0183.
    Sentence(&'static Sentence),
}

impl What {
    /// Place of the field that tells the instance.
    pub(crate) fn instance(self) -> Option<usize> {
        match self {
            What::Message(message) => message.instance,
            What::Sentence(sentence) => sentence.instance,
        }
    }

    /// Place of the field that tells the kind.
    pub(crate) fn kind(self) -> Option<usize> {
        match self {
            What::Message(message) => message.kind,
            What::Sentence(sentence) => sentence.kind,
        }
    }

    /// Its name in words.
    pub fn name(self) -> &'static str {
        match self {
            What::Message(message) => message.name,
            What::Sentence(sentence) => sentence.name,
        }
    }
}

impl std::fmt::Display for What {
    /// The number, or the letters.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            What::Message(message) => write!(f, "{}", message.pgn),
            What::Sentence(sentence) => f.write_str(sentence.id),
        }
    }
}

/// What a field says.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Reading {
    /// A value [SI of the field's quantity; the unit of the bus where it has none].
    Value(f64),
    /// One of a list, or flags, as the number that was sent, also where the list does not know it.
    Choice(u32),
    /// One letter, as sent.
    Letter(char),
    /// One trouble code of an engine.
    Trouble(Trouble),
    /// No value, and why.
    Absent(Absent),
}

/// Why a field has no value.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Absent {
    /// The sender does not know it.
    NotAvailable,
    /// The sender says that its sensor is in error, or out of range.
    Error,
    /// A code without a meaning.
    Reserved,
    /// A number no such value can have.
    OutOfRange,
    /// The message ends before it.
    NotSent,
    /// The sender says that the sentence does not hold.
    Void,
}

impl Absent {
    /// In plain words.
    pub fn name(self) -> &'static str {
        match self {
            Absent::NotAvailable => "not available",
            Absent::Error => "sensor in error",
            Absent::Reserved => "reserved code",
            Absent::OutOfRange => "out of range",
            Absent::NotSent => "not sent",
            Absent::Void => "said to be void",
        }
    }
}

/// What could not be used.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A line in none of the layouts.
    Layout,
    /// A line longer than any that a bus sends; the rest of it is passed over.
    TooLong,
    /// A number in a line that is none.
    Number,
    /// A frame that NMEA 2000 and J1939 do not use: 11-bit identifier, remote, error, more than 8 bytes.
    OtherFrame,
    /// Fewer or more bytes than are announced.
    Length {
        /// Bytes announced.
        said: u32,
        /// Bytes there.
        are: u32,
    },
    /// A sentence whose checksum is not that of its letters.
    Checksum {
        /// As written.
        said: u8,
        /// Of the letters.
        is: u8,
    },
    /// Part of a longer message was thrown away.
    Lost {
        /// Message.
        pgn: u32,
        /// Sender's address.
        source: u8,
        /// Why.
        why: Lost,
    },
    /// A message without a layout here.
    UnknownMessage {
        /// Message.
        pgn: u32,
        /// Sender's address.
        source: u8,
    },
    /// A sentence without a layout here.
    UnknownSentence {
        /// Its letters after the talker's, or the maker's own.
        letters: [u8; 3],
    },
    /// A field of a sentence that is not what belongs there.
    Field {
        /// Which, from 1.
        place: u8,
    },
}

/// Why part of a longer message was thrown away.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Lost {
    /// Its beginning was not heard.
    NoBeginning,
    /// A piece in the middle is missing, or came twice.
    Gap,
    /// A new one began before it was whole.
    Replaced,
    /// The rest did not come in time.
    Late,
    /// Too many are open at once.
    Crowded,
    /// The sender gave it up.
    Aborted,
    /// The recording ended before it was whole.
    Ended,
}

impl Fault {
    /// How many sorts there are.
    pub const SORTS: usize = 10;

    /// Which sort, below [`Fault::SORTS`].
    pub fn sort(self) -> usize {
        match self {
            Fault::Layout => 0,
            Fault::TooLong => 1,
            Fault::Number => 2,
            Fault::OtherFrame => 3,
            Fault::Length { .. } => 4,
            Fault::Checksum { .. } => 5,
            Fault::Lost { .. } => 6,
            Fault::UnknownMessage { .. } => 7,
            Fault::UnknownSentence { .. } => 8,
            Fault::Field { .. } => 9,
        }
    }

    /// The sorts in plain words, by [`Fault::sort`].
    pub const NAMES: [&str; Fault::SORTS] = [
        "line in no known layout",
        "line too long",
        "line with a number that is none",
        "frame of another sort (11-bit, remote, error, more than 8 bytes)",
        "announced length is not the length sent",
        "wrong checksum",
        "part of a longer message lost",
        "message not in the table",
        "sentence not in the table",
        "field of a sentence that cannot be read",
    ];
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let name = Fault::NAMES[self.sort()];
        match self {
            Fault::Length { said, are } => write!(f, "{name}: {said} bytes announced, {are} sent"),
            Fault::Checksum { said, is } => write!(f, "{name}: {said:02X} written, {is:02X} computed"),
            Fault::Lost { pgn, source, why } => write!(f, "{name}: {pgn} from {source}, {}", why.name()),
            Fault::UnknownMessage { pgn, source } => write!(f, "{name}: {pgn} from {source}"),
            Fault::UnknownSentence { letters } => {
                let letters: String = letters.iter().map(|&letter| char::from(letter)).collect();
                write!(f, "{name}: {letters}")
            }
            Fault::Field { place } => write!(f, "{name}: field {place}"),
            _ => f.write_str(name),
        }
    }
}

impl Lost {
    /// In plain words.
    pub fn name(self) -> &'static str {
        match self {
            Lost::NoBeginning => "its beginning was not heard",
            Lost::Gap => "a piece is missing",
            Lost::Replaced => "a new one began before it was whole",
            Lost::Late => "the rest did not come in time",
            Lost::Crowded => "too many were open at once",
            Lost::Aborted => "the sender gave it up",
            Lost::Ended => "the recording ended before it was whole",
        }
    }
}
