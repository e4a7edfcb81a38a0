//! How a description names one value of a bus: `127489 oil-pressure instance 0 from 3`, `XDR Engine instance 1 kind C`.
//!
//! The message by its number, or the sentence by its letters; the field; then, as far as it is needed to tell it from
//! others: the instance, the kind (a number, or a letter in a sentence), and from whom.

use crate::heard::{Heading, Sender, What};
use crate::table::{self, Field};
use measure::nearest::nearest;
use measure::quantity::Quantity;

/// One value of a bus.
#[derive(Clone, Debug)]
pub struct Channel {
    /// Of which message or sentence.
    pub what: What,
    /// Which field.
    pub field: String,
    /// Which instance; any, where it is not said.
    pub instance: Option<u32>,
    /// Which kind; any, where it is not said.
    pub kind: Option<u32>,
    /// From whom; from anybody, where it is not said.
    pub sender: Option<Sender>,
}

/// Why a text names no value of a bus.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // see what each says
pub enum ChannelError {
    NoField,
    UnknownMessage { word: String },
    UnknownField { word: String, of: &'static str, nearest: Option<&'static str>, known: Vec<&'static str> },
    NotMeasured { field: &'static str },
    UnknownWord { word: String },
    BadNumber { of: &'static str, word: String },
    Twice { of: &'static str },
    HasNone { of: &'static str, message: &'static str },
}

impl std::fmt::Display for ChannelError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        use ChannelError::*;
        match self {
            NoField => f.write_str("this names no field of a message"),
            UnknownMessage { word } => write!(f, "`{word}` is no message or sentence that is understood here"),
            UnknownField { word, of, .. } => write!(f, "`{word}` is no field of `{of}`"),
            NotMeasured { field } => write!(f, "`{field}` is a choice or a letter, and nothing a gauge can read"),
            UnknownWord { word } => write!(f, "`{word}` is none of `instance`, `kind` and `from`"),
            BadNumber { of, word } => write!(f, "`{of} {word}` names none"),
            Twice { of } => write!(f, "`{of}` stands here twice"),
            HasNone { of, message } => write!(f, "`{message}` has no {of}"),
        }
    }
}

impl ChannelError {
    /// What to do about it, in one sentence.
    pub fn advice(&self) -> &'static str {
        use ChannelError::*;
        match self {
            UnknownMessage { .. } => "`bedplate decode` lists what is heard, ready to be pasted.",
            HasNone { .. } | Twice { .. } => "Leave it out.",
            BadNumber { of: "from", .. } => "Write the sender's address, 0 to 255, or its two letters.",
            BadNumber { .. } => "Write a number; of a sentence's kind, its letter.",
            NotMeasured { .. } => "Take a field that is measured.",
            _ => "Write it such as \"127489 oil-pressure instance 0 from 3\".",
        }
    }
}

impl Channel {
    /// Reads `127489 oil-pressure instance 0 from 3`.
    ///
    /// # Errors
    /// [`ChannelError`].
    pub fn parse(text: &str) -> Result<Channel, ChannelError> {
        let mut words = text.split_whitespace().peekable();
        let first = words.next().ok_or(ChannelError::NoField)?;
        let what = what(first).ok_or_else(|| ChannelError::UnknownMessage { word: short(first) })?;
        let mut field = Vec::new();
        while let Some(word) = words.next_if(|word| !["instance", "kind", "from"].contains(word)) {
            field.push(word);
        }
        if field.is_empty() {
            return Err(ChannelError::NoField);
        }
        let mut channel = Channel { what, field: field.join(" "), instance: None, kind: None, sender: None };
        channel.known_field()?;
        while let Some(word) = words.next() {
            let value = words.next().unwrap_or("");
            match word {
                "instance" => {
                    let number = value.parse().map_err(|_| bad("instance", value))?;
                    once("instance", channel.instance.replace(number))?;
                    channel.has("instance", what.instance())?;
                }
                "kind" => {
                    once("kind", channel.kind.replace(channel.kind_of(value).ok_or_else(|| bad("kind", value))?))?;
                    channel.has("kind", what.kind())?;
                }
                "from" => {
                    let sender = channel.sender_of(value).ok_or_else(|| bad("from", value))?;
                    once("from", channel.sender.replace(sender))?;
                }
                other => return Err(ChannelError::UnknownWord { word: short(other) }),
            }
        }
        Ok(channel)
    }

    /// Whether this is what it names.
    pub fn is(&self, heading: &Heading, field: &Field<'_>) -> bool {
        let same = match (self.what, heading.what) {
            (What::Message(ours), What::Message(theirs)) => ours == theirs,
            (What::Sentence(ours), What::Sentence(theirs)) => ours.id == theirs.id,
            _ => false,
        };
        same && self.field == field.name
            && self.instance.is_none_or(|instance| heading.instance == Some(instance))
            && self.kind.is_none_or(|kind| heading.kind == Some(kind))
            && self.sender.is_none_or(|sender| heading.sender == sender)
    }

    /// What it is of, where that is known before it is heard.
    pub fn quantity(&self) -> Option<Quantity> {
        self.fields().find(|field| field.name == self.field).and_then(|field| field.quantity)
    }

    fn fields(&self) -> impl Iterator<Item = &'static Field<'static>> {
        let (slots, columns) = match self.what {
            What::Message(message) => (message.slots, &[][..]),
            What::Sentence(sentence) => (&[][..], sentence.columns),
        };
        slots.iter().map(|slot| &slot.field).chain(columns.iter().map(|column| &column.field))
    }

    /// Transducers name their own.
    fn names_its_own(&self) -> bool {
        matches!(self.what, What::Sentence(sentence) if sentence.columns.is_empty())
    }

    fn known_field(&self) -> Result<(), ChannelError> {
        if self.names_its_own() {
            return Ok(());
        }
        match self.fields().find(|field| field.name == self.field) {
            Some(field) if field.quantity.is_none() => Err(ChannelError::NotMeasured { field: field.name }),
            Some(_) => Ok(()),
            None => {
                let known: Vec<&'static str> =
                    self.fields().filter(|field| field.quantity.is_some()).map(|field| field.name).collect();
                Err(ChannelError::UnknownField {
                    word: short(&self.field),
                    of: self.what.name(),
                    nearest: nearest(&self.field, known.iter().copied()),
                    known,
                })
            }
        }
    }

    fn has(&self, of: &'static str, place: Option<usize>) -> Result<(), ChannelError> {
        let has = place.is_some() || self.names_its_own();
        if has { Ok(()) } else { Err(ChannelError::HasNone { of, message: self.what.name() }) }
    }

    fn kind_of(&self, word: &str) -> Option<u32> {
        match self.what {
            What::Message(_) => word.parse().ok(),
            What::Sentence(_) => {
                let mut letters = word.chars();
                letters.next().filter(|_| letters.next().is_none()).map(u32::from)
            }
        }
    }

    fn sender_of(&self, word: &str) -> Option<Sender> {
        match self.what {
            What::Message(_) => word.parse().ok().map(Sender::Address),
            What::Sentence(_) => {
                let letters = <[u8; 2]>::try_from(word.as_bytes()).ok();
                letters.filter(|letters| letters.iter().all(u8::is_ascii_graphic)).map(Sender::Talker)
            }
        }
    }
}

impl std::fmt::Display for Channel {
    /// As [`Channel::parse`] reads it.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.what, self.field)?;
        if let Some(instance) = self.instance {
            write!(f, " instance {instance}")?;
        }
        if let Some(kind) = self.kind {
            write!(f, " kind {}", kind_word(self.what, kind))?;
        }
        self.sender.map_or(Ok(()), |sender| write!(f, " from {sender}"))
    }
}

/// A kind as it is written: a number, or the letter of a sentence.
pub fn kind_word(what: What, kind: u32) -> String {
    match (what, char::from_u32(kind)) {
        (What::Sentence(_), Some(letter)) => letter.to_string(),
        _ => kind.to_string(),
    }
}

fn what(word: &str) -> Option<What> {
    match word.parse() {
        Ok(number) => table::message(number).map(What::Message),
        Err(_) => table::sentence(word.to_ascii_uppercase().as_bytes()).map(What::Sentence),
    }
}

fn once<T: Copy>(of: &'static str, before: Option<T>) -> Result<(), ChannelError> {
    if before.is_some() { Err(ChannelError::Twice { of }) } else { Ok(()) }
}

fn bad(of: &'static str, word: &str) -> ChannelError {
    ChannelError::BadNumber { of, word: short(word) }
}

/// As much of the owner's word as a message shows.
fn short(word: &str) -> String {
    word.chars().take(40).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_written_again() {
        for text in [
            "127489 oil-pressure",
            "127489 oil-pressure instance 0 from 3",
            "130312 actual-temperature instance 1 kind 143 from 52",
            "XDR Engine instance 1 kind C from YD",
            "RPM speed instance 1 kind E",
            "MTW temperature",
            "65263 oil-pressure from 0",
        ] {
            assert_eq!(Channel::parse(text).unwrap().to_string(), text);
        }
        assert_eq!(Channel::parse("65263 oil-pressure").unwrap().quantity(), Some(Quantity::GaugePressure));
        assert_eq!(Channel::parse("mtw temperature").unwrap().to_string(), "MTW temperature");
    }

    #[test]
    fn what_is_wrong_is_said() {
        let wrong = |text: &str| Channel::parse(text).unwrap_err();
        assert_eq!(wrong(""), ChannelError::NoField);
        assert_eq!(wrong("127489 instance 0"), ChannelError::NoField);
        assert!(matches!(wrong("12 oil-pressure"), ChannelError::UnknownMessage { .. }));
        let field = wrong("127489 oil-presure");
        assert!(matches!(field, ChannelError::UnknownField { nearest: Some("oil-pressure"), .. }));
        assert_eq!(wrong("127489 discrete-status1"), ChannelError::NotMeasured { field: "discrete-status1" });
        assert!(matches!(wrong("127489 oil-pressure instance 0 3"), ChannelError::UnknownWord { .. }));
        assert!(matches!(wrong("127489 oil-pressure instance x"), ChannelError::BadNumber { of: "instance", .. }));
        assert!(matches!(wrong("127489 oil-pressure from 300"), ChannelError::BadNumber { of: "from", .. }));
        assert!(matches!(wrong("MTW temperature from \u{dc}"), ChannelError::BadNumber { of: "from", .. }));
        assert!(matches!(wrong("127489 oil-pressure from"), ChannelError::BadNumber { of: "from", .. }));
        assert_eq!(wrong("127489 oil-pressure from 1 from 2"), ChannelError::Twice { of: "from" });
        assert!(matches!(wrong("65263 oil-pressure instance 0"), ChannelError::HasNone { of: "instance", .. }));
    }
}
