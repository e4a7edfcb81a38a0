//! A frame of the bus, and what its identifier says.

use crate::heard::Fault;

/// One frame with a 29-bit identifier, as NMEA 2000 and J1939 use it.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Frame {
    /// The 29-bit identifier.
    pub id: u32,
    /// How many of the bytes count, at most 8.
    pub len: u8,
    /// The payload, zeros behind what counts.
    pub data: [u8; 8],
    /// Which bus it was on, where a recording holds several: a number of the interface's name.
    pub bus: u32,
}

/// Size of a frame as Linux hands it over [bytes].
pub const RAW: usize = 16;

impl Frame {
    /// A frame as Linux hands it over: identifier with flags in the machine's order, length, three bytes of nothing, payload.
    ///
    /// # Errors
    /// [`Fault::OtherFrame`] for 11-bit identifiers, remote and error frames, and whatever is no such frame.
    ///
    /// # Source
    /// `struct can_frame` and its flags as documented with the kernel (networking, SocketCAN); from memory.
    pub fn of_raw(raw: &[u8]) -> Result<Frame, Fault> {
        const EXTENDED: u32 = 1 << 31;
        const REMOTE: u32 = 1 << 30;
        const ERROR: u32 = 1 << 29;
        let raw: &[u8; RAW] = raw.try_into().map_err(|_| Fault::OtherFrame)?;
        let [a, b, c, d, len, _, _, _, data @ ..] = *raw;
        let id = u32::from_ne_bytes([a, b, c, d]);
        if id & (EXTENDED | REMOTE | ERROR) != EXTENDED || len > 8 {
            return Err(Fault::OtherFrame);
        }
        let mut frame = Frame { id: id & 0x1FFF_FFFF, len, data: [0; 8], bus: 0 };
        frame.data[..usize::from(len)].copy_from_slice(&data[..usize::from(len)]);
        Ok(frame)
    }

    /// The payload.
    pub fn payload(&self) -> &[u8] {
        &self.data[..usize::from(self.len).min(8)]
    }
}

/// The address that means everybody.
pub const EVERYBODY: u8 = 255;

/// What an identifier says.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Identifier {
    /// 0 goes first, 7 last.
    pub priority: u8,
    /// The number of the message (parameter group).
    pub pgn: u32,
    /// The sender's address.
    pub source: u8,
    /// Whom it is for, [`EVERYBODY`] where the message has no such field.
    pub destination: u8,
}

impl Identifier {
    /// Takes an identifier apart.
    ///
    /// # Source
    /// Layout of ISO 11783-3 and J1939-21, from memory: priority in bits 26 to 28, then two bits of page, 8 of format, 8
    /// specific to it, 8 of source. Below format 240 the specific byte is the destination and no part of the number.
    #[inline]
    pub fn of(id: u32) -> Identifier {
        let (source, specific) = (id as u8, (id >> 8) as u8);
        let number = (id >> 8) & 0x3_FFFF;
        let to_all = (id >> 16) as u8 >= 240;
        let (pgn, destination) = if to_all { (number, EVERYBODY) } else { (number & 0x3_FF00, specific) };
        Identifier { priority: (id >> 26) as u8 & 7, pgn, source, destination }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_identifier_is_taken_apart() {
        let rapid = Identifier::of(0x09F2_0110);
        assert_eq!(rapid, Identifier { priority: 2, pgn: 127489, source: 0x10, destination: EVERYBODY });
        // A transport announcement from 3 to 0x21: format 236 is addressed.
        let announced = Identifier::of(0x1CEC_2103);
        assert_eq!(announced, Identifier { priority: 7, pgn: 60416, source: 3, destination: 0x21 });
        assert_eq!(Identifier::of(0x0CF0_0400).pgn, 61444);
    }

    #[test]
    fn a_frame_of_linux_is_taken_apart() {
        let raw = |id: u32, len: u8| {
            let mut raw = [0; RAW];
            raw[..4].copy_from_slice(&id.to_ne_bytes());
            raw[4] = len;
            raw[8..].copy_from_slice(&[1, 2, 3, 4, 5, 6, 7, 8]);
            raw
        };
        let frame = Frame::of_raw(&raw(0x89F2_0110, 3)).unwrap();
        assert_eq!((frame.id, frame.payload()), (0x09F2_0110, &[1, 2, 3][..]));
        for (id, len) in [(0x123, 8), (0xC9F2_0110, 8), (0xA9F2_0110, 8), (0x89F2_0110, 9)] {
            assert_eq!(Frame::of_raw(&raw(id, len)), Err(Fault::OtherFrame));
        }
        assert_eq!(Frame::of_raw(&[0; 72]), Err(Fault::OtherFrame));
    }
}
