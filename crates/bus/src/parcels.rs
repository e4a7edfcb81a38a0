//! Room for messages that come in pieces: a fixed number of them, whatever is sent.

use crate::heard::Lost;
use crate::stamp::Stamp;

/// How many share a row; the oldest of a full row makes way.
const WAYS: usize = 8;

/// Messages of which not all pieces have come, at most `BYTES` long.
#[derive(Debug)]
pub struct Parcels<const BYTES: usize> {
    /// Rows of at most [`WAYS`], that grow as far as they are needed.
    rows: Box<[Vec<Parcel<BYTES>>]>,
    opened: u64,
}

/// A message of which not all pieces have come.
#[derive(Clone, Debug)]
pub struct Parcel<const BYTES: usize> {
    key: Option<Key>,
    /// Number among all that were opened.
    order: u64,
    /// When the last piece came.
    pub stamp: Stamp,
    /// Number of the piece that must come next.
    pub next: u8,
    said: usize,
    have: usize,
    bytes: [u8; BYTES],
}

/// Which message.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Key {
    /// Which bus of the recording.
    pub bus: u32,
    /// Which message.
    pub pgn: u32,
    pub source: u8,
    pub destination: u8,
    /// What else tells it from others of the same.
    pub sequence: u8,
}

impl Key {
    /// All sequences of one message of one sender share a row.
    fn row(self, rows: usize) -> usize {
        let mixed = u64::from(self.pgn) << 16 | u64::from(self.source) << 8 | u64::from(self.destination);
        let mixed = (mixed ^ u64::from(self.bus) << 20).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        (mixed >> 40) as usize % rows
    }

    /// Whether this is left over from the last round of sequences, now that `begun` begins: they count up to seven and begin
    /// anew, and a sender has finished one before it begins another.
    fn is_stale(self, begun: Key) -> bool {
        let ahead = self.sequence.wrapping_sub(begun.sequence) & 7;
        Key { sequence: begun.sequence, ..self } == begun && (1..=4).contains(&ahead)
    }
}

impl<const BYTES: usize> Parcels<BYTES> {
    /// Room for `rows` times eight.
    pub fn new(rows: usize) -> Parcels<BYTES> {
        Parcels { rows: vec![Vec::new(); rows].into_boxed_slice(), opened: 0 }
    }

    fn row(&mut self, key: Key) -> &mut Vec<Parcel<BYTES>> {
        let place = key.row(self.rows.len());
        &mut self.rows[place]
    }

    /// The open one of that key.
    pub fn find(&mut self, key: Key) -> Option<&mut Parcel<BYTES>> {
        self.row(key).iter_mut().find(|parcel| parcel.key == Some(key))
    }

    /// Closes all, and tells which were open, the oldest first.
    pub fn end(&mut self) -> Vec<Key> {
        let mut open: Vec<(u64, Key)> = Vec::new();
        for parcel in self.rows.iter_mut().flatten() {
            open.extend(parcel.key.take().map(|key| (parcel.order, key)));
        }
        open.sort_unstable_by_key(|(order, _)| *order);
        open.into_iter().map(|(_, key)| key).collect()
    }

    /// Opens one of `said` bytes, of which none has come; whatever has to make way for it, and whatever it shows to be stale,
    /// is told.
    pub fn open(
        &mut self,
        key: Key,
        said: usize,
        stamp: Stamp,
        gone: &mut impl FnMut(Key, Lost),
    ) -> &mut Parcel<BYTES> {
        self.opened += 1;
        let order = self.opened;
        let row = self.row(key);
        let mut best = (u64::MAX, row.len());
        for (place, parcel) in row.iter_mut().enumerate() {
            if let Some(stale) = parcel.key.take_if(|open| open.is_stale(key)) {
                gone(stale, Lost::Replaced);
            }
            // The same one, else a free one, else the oldest.
            let rank = match parcel.key {
                Some(open) if open == key => 0,
                None => 1,
                Some(_) => 2 + parcel.order,
            };
            best = best.min((rank, place));
        }
        // A new one where all are taken, and there is room.
        if best.0 > 1 && row.len() < WAYS {
            best.1 = row.len();
            let parcel = Parcel { key: None, order, stamp, next: 0, said, have: 0, bytes: [0; BYTES] };
            row.push(parcel);
        }
        let parcel = &mut row[best.1];
        if let Some(before) = parcel.key.replace(key) {
            gone(before, if before == key { Lost::Replaced } else { Lost::Crowded });
        }
        (parcel.order, parcel.stamp, parcel.next) = (order, stamp, 0);
        (parcel.said, parcel.have) = (said, 0);
        parcel
    }
}

impl<const BYTES: usize> Parcel<BYTES> {
    /// Adds a piece, of which no more counts than is missing; false if it is shorter than that and than `most`.
    pub fn add(&mut self, piece: &[u8], most: usize) -> bool {
        let wanted = (self.said - self.have).min(most);
        let (Some(piece), Some(place)) = (piece.get(..wanted), self.bytes.get_mut(self.have..self.have + wanted))
        else {
            return false;
        };
        place.copy_from_slice(piece);
        self.have += wanted;
        true
    }

    /// Why a piece of this number is not the next: it came longer than `pause` [ns] after the last, or one is missing.
    pub fn broken(&self, number: u8, stamp: Stamp, pause: i64) -> Option<Lost> {
        let late = self.stamp.until(stamp).is_some_and(|since| since > pause);
        let gap = (number != self.next).then_some(Lost::Gap);
        if late { Some(Lost::Late) } else { gap }
    }

    /// Forgets what came after so many bytes.
    pub fn back_to(&mut self, have: usize) {
        self.have = have.min(self.have);
    }

    /// Bytes that have come.
    pub fn have(&self) -> usize {
        self.have
    }

    /// Whether all has come.
    pub fn is_whole(&self) -> bool {
        self.have == self.said
    }

    /// Makes room, and gives the bytes that came.
    pub fn close(&mut self) -> &[u8] {
        self.key = None;
        &self.bytes[..self.have]
    }
}
