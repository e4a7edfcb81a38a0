//! What a message holds, as the build made it of `messages.toml`, and how its fields are taken out of a payload.

use crate::heard::{Absent, Reading};
use measure::quantity::Quantity;

include!(concat!(env!("OUT_DIR"), "/tables.rs"));

/// One thing a message or sentence says.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Field<'a> {
    /// Its name, in small letters with hyphens; as the sender wrote it where it names its own.
    pub name: &'a str,
    /// What it is of; nothing for counts, choices and what `measure` has no quantity for.
    pub quantity: Option<Quantity>,
    /// The unit of its value: SI where there is a quantity, else that of the bus.
    pub unit: &'a str,
    /// What its numbers mean, where it is a choice.
    pub list: Option<&'static List>,
}

/// What the numbers of a choice mean.
#[derive(Debug, PartialEq)]
pub struct List {
    /// Each bit for itself, so that several may hold.
    pub flags: bool,
    /// Number, or bit, and its words, by number.
    pub entries: &'static [(u32, &'static str)],
}

impl List {
    /// The words for what was sent: none for no flag, the number where the list does not know it.
    pub fn words(&self, sent: u32) -> String {
        let known = |number| self.entries.iter().find(|(of, _)| *of == number).map(|(_, word)| word.to_lowercase());
        if !self.flags {
            return known(sent).unwrap_or_else(|| format!("code {sent}"));
        }
        let set = (0..32).filter(|bit| sent >> bit & 1 == 1);
        let words: Vec<String> = set.map(|bit| known(bit).unwrap_or_else(|| format!("bit {bit}"))).collect();
        if words.is_empty() { "none".into() } else { words.join(", ") }
    }
}

/// A message on a CAN bus.
#[derive(Debug)]
pub struct Message {
    /// Its number (parameter group).
    pub pgn: u32,
    /// Its name.
    pub name: &'static str,
    /// Whether it comes in a fast packet.
    pub fast: bool,
    /// Its fields, by place.
    pub slots: &'static [Slot],
    /// How many of them come once; the others once for each set.
    once: usize,
    /// From one set to the next [bytes], 0 where there are none.
    stride: usize,
    pub(crate) instance: Option<usize>,
    pub(crate) kind: Option<usize>,
}

/// Where a field lies in a payload, and what its raw number means.
#[derive(Debug)]
pub struct Slot {
    /// What people see of it.
    pub field: Field<'static>,
    /// Whether it is a number of a list.
    pub choice: bool,
    /// Its first bit, and the first behind it.
    bit: u16,
    end: u16,
    mask: u32,
    /// The bit of the sign, 0 where there is none.
    sign: u32,
    scale: f64,
    offset: f64,
    /// Raw numbers that are values.
    low: i64,
    high: i64,
    /// From which raw number on it is reserved, in error, not available.
    reserved: i64,
    error: i64,
    absent: i64,
    all_ones: bool,
}

impl PartialEq for Message {
    fn eq(&self, other: &Message) -> bool {
        self.pgn == other.pgn
    }
}

/// The message of that number.
#[inline]
pub fn message(pgn: u32) -> Option<&'static Message> {
    let place = PLACES[(pgn.wrapping_mul(MIX) >> 24) as usize & 255];
    MESSAGES.get(usize::from(place)).filter(|message| message.pgn == pgn)
}

impl Message {
    /// Takes every field out of a payload: instance and kind of the set it belongs to, field, reading.
    #[inline]
    pub fn read(&self, payload: &[u8], tell: &mut impl FnMut(Option<u32>, Option<u32>, &Field<'static>, Reading)) {
        if let Ok(eight) = <[u8; 8]>::try_from(payload) {
            // Most messages by far: all in one word.
            let word = u64::from_le_bytes(eight);
            self.take(64, |slot, _| (word >> slot.bit) as u32 & slot.mask, tell);
        } else {
            self.take(payload.len() * 8, |slot, ahead| slot.raw(payload, ahead), tell);
        }
    }

    /// * `there`: bits there are
    /// * `raw`: takes the raw number of a slot out, with the bytes to go ahead for a later set
    #[inline]
    fn take(
        &self,
        there: usize,
        raw: impl Fn(&Slot, usize) -> u32,
        tell: &mut impl FnMut(Option<u32>, Option<u32>, &Field<'static>, Reading),
    ) {
        let number = |index: Option<usize>, ahead: usize| {
            let slot = &self.slots[index?];
            let ahead = if index? < self.once { 0 } else { ahead };
            match slot.fits(there, ahead).then(|| slot.reading(raw(slot, ahead)))? {
                Reading::Value(value) => Some(value as u32),
                Reading::Choice(choice) if (i64::from(choice)) < slot.reserved => Some(choice),
                _ => None,
            }
        };
        let instance = number(self.instance, 0);
        let mut tell_all = |slots: &[Slot], ahead: usize, kind: Option<u32>| {
            for slot in slots {
                let reading = if slot.fits(there, ahead) {
                    slot.reading(raw(slot, ahead))
                } else {
                    Reading::Absent(Absent::NotSent)
                };
                tell(instance, kind, &slot.field, reading);
            }
        };
        tell_all(&self.slots[..self.once], 0, number(self.kind.filter(|&kind| kind < self.once), 0));
        let sets = &self.slots[self.once..];
        let Some(first) = sets.first() else { return };
        let mut ahead = 0;
        while first.fits(there, ahead) {
            tell_all(sets, ahead, number(self.kind, ahead));
            ahead += self.stride;
        }
    }

    /// Whether the payload says which one it is of; nothing where the message has no instance.
    pub(crate) fn says_instance(&self, payload: &[u8]) -> Option<bool> {
        let slot = &self.slots[self.instance?];
        Some(slot.fits(payload.len() * 8, 0) && i64::from(slot.raw(payload, 0)) < slot.reserved)
    }
}

impl Slot {
    #[inline]
    fn fits(&self, there: usize, ahead: usize) -> bool {
        usize::from(self.end) + ahead * 8 <= there
    }

    #[inline]
    fn raw(&self, payload: &[u8], ahead: usize) -> u32 {
        let rest = payload.get(usize::from(self.bit / 8) + ahead..).unwrap_or_default();
        let eight = rest.first_chunk().copied().unwrap_or_else(|| {
            let mut eight = [0; 8];
            eight.iter_mut().zip(rest).for_each(|(place, &byte)| *place = byte);
            eight
        });
        (u64::from_le_bytes(eight) >> (self.bit % 8)) as u32 & self.mask
    }

    /// What a raw number means.
    #[inline]
    fn reading(&self, raw: u32) -> Reading {
        if self.choice {
            return Reading::Choice(raw);
        }
        let sign = i64::from(self.sign);
        let number = (i64::from(raw) ^ sign) - sign;
        if number >= self.low && number <= self.high {
            return Reading::Value(number as f64 * self.scale + self.offset);
        }
        Reading::Absent(self.absent(number))
    }

    /// Why a raw number is no value.
    #[inline]
    fn absent(&self, number: i64) -> Absent {
        match number {
            -1 if self.all_ones => Absent::NotAvailable,
            _ if number >= self.absent => Absent::NotAvailable,
            _ if number >= self.error => Absent::Error,
            _ if number >= self.reserved => Absent::Reserved,
            _ => Absent::OutOfRange,
        }
    }
}

/// A sentence of NMEA 0183.
#[derive(Debug)]
pub struct Sentence {
    /// The letters after the talker's.
    pub id: &'static str,
    /// Its name.
    pub name: &'static str,
    /// What stands between its commas.
    pub columns: &'static [Column],
    pub(crate) instance: Option<usize>,
    pub(crate) kind: Option<usize>,
}

/// What stands between two commas, or three where a letter belongs to it.
#[derive(Debug)]
pub struct Column {
    /// What people see of it.
    pub field: Field<'static>,
    pub(crate) form: Form,
    pub(crate) scale: f64,
    pub(crate) offset: f64,
}

/// How it is written.
#[derive(Debug)]
pub(crate) enum Form {
    Number,
    /// With a letter of its own after it.
    Lettered(char),
    /// With one of two letters after it, of which the second turns it round.
    Signed {
        plus: char,
        minus: char,
    },
    /// With the letter of its unit after it: letter, factor, offset.
    Units(&'static [(char, f64, f64)]),
    /// hhmmss.ss.
    Time,
    /// ddmmyy.
    Date,
    /// dddmm.mmm, then a letter.
    Position {
        plus: char,
        minus: char,
    },
    Letter,
    /// A letter that says whether the numbers hold: of the sentence, or since the last such letter.
    Valid {
        each: bool,
    },
}

/// The sentence of those letters.
pub fn sentence(letters: &[u8]) -> Option<&'static Sentence> {
    SENTENCES.iter().find(|sentence| sentence.id.as_bytes() == letters)
}

/// What the two letters of a transducer mean.
pub(crate) struct Transducer {
    pub sort: &'static str,
    pub letter: &'static str,
    pub quantity: Option<Quantity>,
    pub unit: &'static str,
    pub scale: f64,
    pub offset: f64,
}
