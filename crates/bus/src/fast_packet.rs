//! Fast packets of NMEA 2000: messages of up to 223 bytes in frames of one sender.
//!
//! # Source
//! Layout as read from recordings by two other decoders (`messages.toml`, source A): byte 0 has the sequence in its three
//! upper bits and the number of the frame in the five lower; frame 0 tells the length in byte 1 and carries 6 bytes, each
//! other frame 7.

use crate::can::{Frame, Identifier};
use crate::heard::{Fault, Lost};
use crate::parcels::{Key, Parcels};
use crate::stamp::Stamp;

/// What 32 frames carry: 6 bytes and 31 times 7.
pub const LONGEST: usize = 223;
const FIRST: usize = 6;
const OTHER: usize = 7;
/// Longest pause between two frames of one message [ns]; from memory.
const PAUSE: i64 = 750_000_000;
/// Rows of open messages: eight times as many are open at most.
const ROWS: usize = 64;

/// The messages of which not all frames have come.
#[derive(Debug)]
pub struct FastPackets(Parcels<LONGEST>);

impl FastPackets {
    pub fn new() -> FastPackets {
        FastPackets(Parcels::new(ROWS))
    }

    /// Closes all, and tells whose.
    pub fn end(&mut self) -> Vec<Key> {
        self.0.end()
    }

    /// Takes a frame; the payload, if it completes a message. What is lost on the way is told.
    ///
    /// Frames of one message come in order, since one sender sends them with one identifier; so a frame out of order means
    /// that one is missing, and no message is ever put together from two.
    pub fn take(&mut self, frame: &Frame, id: Identifier, stamp: Stamp, tell: &mut impl FnMut(Fault)) -> Option<&[u8]> {
        let Identifier { pgn, source, destination, .. } = id;
        let payload = frame.payload();
        let Some((&head, rest)) = payload.split_first() else {
            tell(Fault::Length { said: 8, are: 0 });
            return None;
        };
        let (sequence, number) = (head >> 5, head & 31);
        let key = Key { bus: frame.bus, pgn, source, destination, sequence };
        let mut lost = |pgn, source, why| tell(Fault::Lost { pgn, source, why });
        if number == 0 {
            let Some((&said, rest)) = rest.split_first() else {
                tell(Fault::Length { said: 8, are: 1 });
                return None;
            };
            if said == 0 || usize::from(said) > LONGEST {
                tell(Fault::Length { said: said.into(), are: rest.len() as u32 });
                return None;
            }
            let parcel = self.0.open(key, said.into(), stamp, &mut |gone, why| lost(gone.pgn, gone.source, why));
            if !parcel.add(rest, FIRST) {
                parcel.close();
                tell(Fault::Length { said: said.into(), are: rest.len() as u32 });
                return None;
            }
            parcel.next = 1;
            return parcel.is_whole().then(|| parcel.close());
        }
        let Some(parcel) = self.0.find(key) else {
            lost(pgn, source, Lost::NoBeginning);
            return None;
        };
        if let Some(why) = parcel.broken(number, stamp, PAUSE) {
            parcel.close();
            lost(pgn, source, why);
            return None;
        }
        if !parcel.add(rest, OTHER) {
            parcel.close();
            tell(Fault::Length { said: 8, are: payload.len() as u32 });
            return None;
        }
        (parcel.next, parcel.stamp) = (number + 1, stamp);
        parcel.is_whole().then(|| parcel.close())
    }
}
