//! From lines, frames and bytes to values.

use crate::can::{EVERYBODY, Frame, Identifier};
use crate::fast_packet::FastPackets;
use crate::heard::{Fault, Heading, Listener, Lost, Sender, What};
use crate::layout::{self, LONGEST, Line};
use crate::sentence::{self, Fields};
use crate::stamp::Stamp;
use crate::table::{self, Message, message};
use crate::text::{bytes, hex};
use crate::transport::{self, Transport};
use crate::{transducer, trouble};

/// The longest line that is read: what the transport's longest message takes in the comma-separated layout.
const LONGEST_LINE: usize = 8192;

/// Reads one recording, or one wire; its memory does not grow.
#[derive(Debug)]
pub struct Decoder {
    line: u64,
    /// What is taken for the time of a line that tells none.
    now: Stamp,
    fast: FastPackets,
    transport: Transport,
    /// Bytes of a message that came in one line.
    payload: Box<[u8; LONGEST]>,
    /// Whether the comma-separated lines hold whole messages: known from the first that is longer than a frame.
    whole: bool,
    /// Above zero where `MXPGN` turns its payload round.
    turned: i32,
    /// Beginning of a line whose end has not come.
    begun: Vec<u8>,
    /// Whether the rest of the line is passed over.
    skipping: bool,
}

impl Default for Decoder {
    fn default() -> Decoder {
        Decoder::new()
    }
}

impl Decoder {
    /// Nothing heard so far.
    pub fn new() -> Decoder {
        Decoder {
            line: 0,
            now: Stamp::None,
            fast: FastPackets::new(),
            transport: Transport::new(),
            payload: Box::new([0; LONGEST]),
            whole: false,
            turned: 0,
            begun: Vec::new(),
            skipping: false,
        }
    }

    /// Lines, and frames that came by themselves, so far.
    pub fn lines(&self) -> u64 {
        self.line
    }

    /// From here on a line that tells no time was heard at this one: for what comes in by itself.
    pub fn at(&mut self, now: Stamp) {
        self.now = now;
    }

    /// Takes bytes as they come from a file or a wire, cut anywhere.
    pub fn bytes(&mut self, mut chunk: &[u8], listener: &mut impl Listener) {
        while let Some(end) = chunk.iter().position(|&byte| byte == b'\n') {
            let (line, rest) = (&chunk[..end], &chunk[end + 1..]);
            chunk = rest;
            if std::mem::take(&mut self.skipping) {
                continue;
            }
            if self.begun.is_empty() && line.len() <= LONGEST_LINE {
                self.line(line, listener);
            } else if self.begin(line, listener) {
                let mut begun = std::mem::take(&mut self.begun);
                self.line(&begun, listener);
                begun.clear();
                self.begun = begun;
            } else {
                self.skipping = false;
            }
        }
        if !self.skipping {
            self.begin(chunk, listener);
        }
    }

    /// Takes what stands after the last line break, and tells what was not whole by then.
    pub fn end(&mut self, listener: &mut impl Listener) {
        if !self.begun.is_empty() {
            self.bytes(b"\n", listener);
        }
        self.skipping = false;
        for key in self.fast.end().into_iter().chain(self.transport.end()) {
            listener.fault(self.line, Fault::Lost { pgn: key.pgn, source: key.source, why: Lost::Ended });
        }
    }

    /// Keeps part of a line; false, and told, if it becomes too long.
    fn begin(&mut self, part: &[u8], listener: &mut impl Listener) -> bool {
        if self.begun.len() + part.len() > LONGEST_LINE {
            self.begun.clear();
            self.skipping = true;
            self.line += 1;
            listener.fault(self.line, Fault::TooLong);
            return false;
        }
        self.begun.extend_from_slice(part);
        true
    }

    /// Takes a line, without its break.
    pub fn line(&mut self, line: &[u8], listener: &mut impl Listener) {
        self.line += 1;
        if line.len() > LONGEST_LINE {
            return listener.fault(self.line, Fault::TooLong);
        }
        match layout::read(line, &mut self.payload) {
            Ok(Line::Nothing) => {}
            Ok(Line::Frame(stamp, frame)) => self.heard(stamp.or(self.now), &frame, listener),
            Ok(Line::Message(stamp, id, len)) => self.told(stamp.or(self.now), id, len, listener),
            Ok(Line::Sentence(stamp, text)) => self.sentence(stamp.or(self.now), text, listener),
            Err(fault) => listener.fault(self.line, fault),
        }
    }

    /// Takes a frame as it comes from a bus.
    #[inline]
    pub fn frame(&mut self, stamp: Stamp, frame: &Frame, listener: &mut impl Listener) {
        self.line += 1;
        self.heard(stamp, frame, listener);
    }

    /// Counts a frame that cannot be used.
    pub fn passed_over(&mut self, fault: Fault, listener: &mut impl Listener) {
        self.line += 1;
        listener.fault(self.line, fault);
    }

    #[inline]
    fn heard(&mut self, stamp: Stamp, frame: &Frame, listener: &mut impl Listener) {
        let id = Identifier::of(frame.id);
        let line = self.line;
        let of = |source| Context { line, stamp, source };
        match message(id.pgn) {
            Some(message) if !message.fast => of(id.source).values(message, frame.payload(), listener),
            Some(message) => {
                let mut tell = |fault| listener.fault(line, fault);
                if let Some(payload) = self.fast.take(frame, id, stamp, &mut tell) {
                    of(id.source).values(message, payload, listener);
                }
            }
            None if id.pgn == transport::CONTROL => {
                self.transport.control(frame, id, stamp, &mut |fault| listener.fault(line, fault));
            }
            None if id.pgn == transport::DATA => {
                let mut tell = |fault| listener.fault(line, fault);
                if let Some(whole) = self.transport.data(frame, id, stamp, &mut tell) {
                    of(id.source).numbered(whole.pgn, whole.payload, listener);
                }
            }
            None => listener.fault(line, Fault::UnknownMessage { pgn: id.pgn, source: id.source }),
        }
    }

    /// Takes a line of the comma-separated layout: a message, or a frame of one.
    fn told(&mut self, stamp: Stamp, id: Identifier, len: usize, listener: &mut impl Listener) {
        self.whole |= len > 8;
        let payload = &self.payload[..len];
        let carried = id.pgn == transport::CONTROL || id.pgn == transport::DATA;
        let framed = carried || !self.whole && message(id.pgn).is_some_and(|message| message.fast);
        if let Ok(data) = <[u8; 8]>::try_from(payload)
            && framed
        {
            let specific = if id.destination == EVERYBODY && !carried { 0 } else { u32::from(id.destination) << 8 };
            let number = id.pgn << 8 | specific | u32::from(id.source);
            return self.heard(stamp, &Frame { id: number, len: 8, data, bus: 0 }, listener);
        }
        Context { line: self.line, stamp, source: id.source }.numbered(id.pgn, payload, listener);
    }

    fn sentence(&mut self, stamp: Stamp, text: &[u8], listener: &mut impl Listener) {
        let line = self.line;
        let body = match sentence::checked(text) {
            Ok(body) => body,
            Err(fault) => return listener.fault(line, fault),
        };
        let fields = Fields::of(body);
        let name = fields.get(0).unwrap_or_default();
        if name == b"PCDIN" {
            return self.wrapped(stamp, [1, 3, 4].map(|place| fields.get(place)), false, listener);
        }
        let (Some((&talker, letters)), true) = (name.split_first_chunk::<2>(), name.len() == 5 && name[0] != b'P')
        else {
            let mut letters = [b' '; 3];
            letters.iter_mut().zip(name.get(1..).unwrap_or_default()).for_each(|(place, &letter)| *place = letter);
            return listener.fault(line, Fault::UnknownSentence { letters: printable(letters) });
        };
        if letters == b"PGN" {
            return self.wrapped(stamp, [1, 2, 3].map(|place| fields.get(place)), true, listener);
        }
        let Some(sentence) = table::sentence(letters) else {
            let letters = [letters[0], letters[1], letters[2]];
            return listener.fault(line, Fault::UnknownSentence { letters: printable(letters) });
        };
        let heading = Heading {
            line,
            stamp,
            sender: Sender::Talker(printable(talker)),
            what: What::Sentence(sentence),
            instance: None,
            kind: None,
        };
        if sentence.columns.is_empty() {
            transducer::read(heading, &fields, listener);
        } else {
            sentence::read(heading, sentence, &fields, listener);
        }
    }

    /// A message of the CAN bus in a sentence: its number, who sent it, its bytes.
    ///
    /// `MXPGN` has the sender in the lowest byte of its second field, and some that write it turn the bytes round. Which,
    /// shows where a message says its instance only when read one way; it is kept count of.
    fn wrapped(&mut self, stamp: Stamp, fields: [Option<&[u8]>; 3], may_turn: bool, listener: &mut impl Listener) {
        let line = self.line;
        let [Some(number), Some(source), Some(payload)] = fields else {
            return listener.fault(line, Fault::UnknownSentence { letters: *b"PGN" });
        };
        let (Some(pgn), Some(source)) = (hex(number).filter(|&pgn| pgn <= 0x3_FFFF), hex(source)) else {
            return listener.fault(line, Fault::Number);
        };
        let Some(len) = bytes(payload, &mut self.payload[..]) else {
            return listener.fault(line, Fault::Number);
        };
        let payload = &mut self.payload[..len];
        if may_turn {
            if let Some(message) = message(pgn) {
                let straight = message.says_instance(payload);
                payload.reverse();
                match (straight, message.says_instance(payload)) {
                    (Some(true), Some(false)) => self.turned = (self.turned - 1).max(-8),
                    (Some(false), Some(true)) => self.turned = (self.turned + 1).min(8),
                    _ => {}
                }
                payload.reverse();
            }
            if self.turned > 0 {
                payload.reverse();
            }
        }
        Context { line, stamp, source: source as u8 }.numbered(pgn, payload, listener);
    }
}

/// Only letters that can be shown.
fn printable<const N: usize>(letters: [u8; N]) -> [u8; N] {
    letters.map(|letter| if letter.is_ascii_graphic() { letter } else { b'?' })
}

/// Where and when a message of the CAN bus was completed, and who sent it.
#[derive(Copy, Clone)]
struct Context {
    line: u64,
    stamp: Stamp,
    source: u8,
}

impl Context {
    /// Tells what a whole message says, if there is a layout for its number.
    fn numbered(self, pgn: u32, payload: &[u8], listener: &mut impl Listener) {
        match message(pgn) {
            Some(message) => self.values(message, payload, listener),
            None => listener.fault(self.line, Fault::UnknownMessage { pgn, source: self.source }),
        }
    }

    #[inline]
    fn values(self, message: &'static Message, payload: &[u8], listener: &mut impl Listener) {
        let mut heading = Heading {
            line: self.line,
            stamp: self.stamp,
            sender: Sender::Address(self.source),
            what: What::Message(message),
            instance: None,
            kind: None,
        };
        message.read(payload, &mut |instance, kind, field, reading| {
            (heading.instance, heading.kind) = (instance, kind);
            listener.value(&heading, field, reading);
        });
        if message.pgn == trouble::ACTIVE {
            trouble::read(payload, &mut |kind, field, reading| {
                heading.kind = kind;
                listener.value(&heading, field, reading);
            });
        }
    }
}
