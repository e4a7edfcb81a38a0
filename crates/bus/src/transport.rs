//! J1939's transport of messages of 9 to 1785 bytes, as overheard: announced to all (BAM), or asked for and granted
//! (RTS and CTS) between two.
//!
//! # Source
//! Control bytes and layout of J1939-21 from memory; a recorded message of trouble codes, read the same by another
//! decoder (`messages.toml`, source A), agrees.

use crate::can::{Frame, Identifier};
use crate::heard::{Fault, Lost};
use crate::parcels::{Key, Parcels};
use crate::stamp::Stamp;

/// The message that announces, grants, ends.
pub const CONTROL: u32 = 60416;
/// The message that carries.
pub const DATA: u32 = 60160;

/// What 255 packets carry.
pub const LONGEST: usize = 1785;
const SHORTEST: usize = 9;
/// Bytes of a packet.
const PACKET: usize = 7;
/// Longest pause between two packets [ns]; from memory.
const PAUSE: i64 = 1_250_000_000;
/// Rows of open messages: eight times as many are open at most.
const ROWS: usize = 16;

const REQUEST: u8 = 16;
const GRANT: u8 = 17;
const END: u8 = 19;
const ANNOUNCE: u8 = 32;
const ABORT: u8 = 255;

/// The messages of which not all packets have come, and which number each has.
#[derive(Debug)]
pub struct Transport(Parcels<{ LONGEST + 3 }>);

/// What was put together.
pub struct Whole<'a> {
    pub pgn: u32,
    pub payload: &'a [u8],
}

/// One at a time from one to one other, so that the number of the message is no part of its key: it stands in the first
/// three bytes of the parcel.
fn key(bus: u32, source: u8, destination: u8) -> Key {
    Key { bus, pgn: DATA, source, destination, sequence: 0 }
}

impl Transport {
    pub fn new() -> Transport {
        Transport(Parcels::new(ROWS))
    }

    /// Closes all, and tells whose.
    pub fn end(&mut self) -> Vec<Key> {
        self.0.end()
    }

    /// Takes a message [`CONTROL`].
    pub fn control(&mut self, frame: &Frame, id: Identifier, stamp: Stamp, tell: &mut impl FnMut(Fault)) {
        let Ok([control, low, high, packets, _, number @ ..]) = <[u8; 8]>::try_from(frame.payload()) else {
            tell(Fault::Length { said: 8, are: u32::from(frame.len) });
            return;
        };
        let (here, back) = (key(frame.bus, id.source, id.destination), key(frame.bus, id.destination, id.source));
        let lost = |pgn, source, why| Fault::Lost { pgn, source, why };
        match control {
            REQUEST | ANNOUNCE => {
                let said = usize::from(u16::from_le_bytes([low, high]));
                if !(SHORTEST..=LONGEST).contains(&said) || usize::from(packets) != said.div_ceil(PACKET) {
                    tell(Fault::Length { said: said as u32, are: u32::from(packets) * PACKET as u32 });
                    return;
                }
                let mut gone = |gone: Key, why| tell(lost(DATA, gone.source, why));
                let parcel = self.0.open(here, said + number.len(), stamp, &mut gone);
                // The number goes first; it is far shorter than what is announced.
                parcel.add(&number, number.len());
                parcel.next = 1;
            }
            // From who receives: how many packets, and from which on; it may ask for some again.
            GRANT => {
                if let Some(parcel) = self.0.find(back)
                    && low > 0
                    && high > 0
                {
                    let before = number.len() + PACKET * (usize::from(high) - 1);
                    if before <= parcel.have() {
                        parcel.back_to(before);
                        parcel.next = high;
                    }
                    parcel.stamp = stamp;
                }
            }
            END => {
                if let Some(parcel) = self.0.find(back) {
                    parcel.close();
                    tell(lost(DATA, id.destination, Lost::Gap));
                }
            }
            ABORT => {
                for (key, source) in [(here, id.source), (back, id.destination)] {
                    if let Some(parcel) = self.0.find(key) {
                        parcel.close();
                        tell(lost(DATA, source, Lost::Aborted));
                    }
                }
            }
            _ => {}
        }
    }

    /// Takes a message [`DATA`]; what it completes, if it does.
    pub fn data(
        &mut self,
        frame: &Frame,
        id: Identifier,
        stamp: Stamp,
        tell: &mut impl FnMut(Fault),
    ) -> Option<Whole<'_>> {
        let mut lost = |why| tell(Fault::Lost { pgn: DATA, source: id.source, why });
        let Some((&number, rest)) = frame.payload().split_first() else {
            tell(Fault::Length { said: 8, are: 0 });
            return None;
        };
        let Some(parcel) = self.0.find(key(frame.bus, id.source, id.destination)) else {
            lost(Lost::NoBeginning);
            return None;
        };
        if let Some(why) = parcel.broken(number, stamp, PAUSE) {
            parcel.close();
            lost(why);
            return None;
        }
        if !parcel.add(rest, PACKET) {
            parcel.close();
            tell(Fault::Length { said: 8, are: u32::from(frame.len) });
            return None;
        }
        (parcel.next, parcel.stamp) = (number.wrapping_add(1), stamp);
        if !parcel.is_whole() {
            return None;
        }
        let (number, payload) = parcel.close().split_first_chunk::<3>()?;
        let pgn = u32::from_le_bytes([number[0], number[1], number[2], 0]) & 0x3_FFFF;
        Some(Whole { pgn, payload })
    }
}
