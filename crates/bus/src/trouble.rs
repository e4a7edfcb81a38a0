//! Trouble codes of an engine, as J1939's message of active codes (65226) holds them.
//!
//! # Source
//! Layout from memory; a recorded message of four codes, read the same by another decoder (`messages.toml`, source A),
//! agrees.

use crate::heard::Reading;
use crate::table::Field;

/// The message of active codes.
pub const ACTIVE: u32 = 65226;
/// Lamps come first.
const LAMPS: usize = 2;

/// One trouble code.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// What is in trouble (suspect parameter number).
    pub spn: u32,
    /// How (failure mode identifier).
    pub fmi: u8,
    /// How often so far.
    pub occurrences: Option<u8>,
    /// Whether the sender uses an older layout, in which the number may mean another.
    pub old_layout: bool,
}

/// One code; its place, from 1, is the kind of the heading.
pub static CODE: Field<'static> = Field { name: "code", quantity: None, unit: "", list: None };
/// How many codes there are.
pub static COUNT: Field<'static> = Field { name: "code-count", quantity: None, unit: "", list: None };

/// Takes every code out of a payload, then how many they are.
pub fn read(payload: &[u8], tell: &mut impl FnMut(Option<u32>, &Field<'static>, Reading)) {
    let mut count = 0;
    for code in payload.get(LAMPS..).unwrap_or_default().as_chunks::<4>().0 {
        // Nothing is told by zeros or ones.
        if [[0; 4], [0xFF; 4]].contains(code) {
            continue;
        }
        count += 1;
        let [low, middle, high, last] = code.map(u32::from);
        let trouble = Trouble {
            spn: low | middle << 8 | high >> 5 << 16,
            fmi: (high & 31) as u8,
            occurrences: Some((last & 127) as u8).filter(|&occurrences| occurrences != 127),
            old_layout: last & 128 != 0,
        };
        tell(Some(count), &CODE, Reading::Trouble(trouble));
    }
    tell(None, &COUNT, Reading::Value(f64::from(count)));
}
