//! Frames of our own making: every message of the table, put together from the table's text by an encoder that shares
//! nothing with the decoder.

#![allow(dead_code)] // each test uses a part of it

use toml::Table;

/// One message to be sent, and what must be read of it.
pub struct Sent {
    pub pgn: u32,
    pub payload: Vec<u8>,
    pub fast: bool,
    /// Field, raw number.
    pub fields: Vec<(Table, i64)>,
}

/// Which raw numbers are put in.
#[derive(Copy, Clone, PartialEq, Eq, Debug)]
pub enum Fill {
    Ordinary,
    Lowest,
    Highest,
    NotAvailable,
    InError,
}

pub const FILLS: [Fill; 5] = [Fill::Ordinary, Fill::Lowest, Fill::Highest, Fill::NotAvailable, Fill::InError];
/// Who sends them.
pub const SOURCE: u32 = 35;

pub fn table() -> Table {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/messages.toml")).expect("it is there");
    text.parse().expect("it is TOML")
}

fn integer(row: &Table, key: &str) -> Option<i64> {
    row.get(key).and_then(toml::Value::as_integer)
}

pub fn number(row: &Table, key: &str) -> Option<f64> {
    row.get(key).and_then(|value| value.as_float().or(value.as_integer().map(|i| i as f64)))
}

pub fn rows<'a>(table: &'a Table, key: &str) -> Vec<&'a Table> {
    table.get(key).and_then(toml::Value::as_array).into_iter().flatten().filter_map(toml::Value::as_table).collect()
}

/// Spreads a number over all bits, so that what is put in looks like nothing.
fn scattered(seed: u64) -> u64 {
    let mut z = seed.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ z >> 30).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ z >> 27).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ z >> 31
}

/// Every message once for each way to fill it.
pub fn every_message(fills: &[Fill]) -> Vec<Sent> {
    let table = table();
    let mut sent = Vec::new();
    for row in rows(&table, "message") {
        for &fill in fills {
            sent.push(message(&table, row, fill));
        }
    }
    sent
}

fn message(table: &Table, row: &Table, fill: Fill) -> Sent {
    let pgn = integer(row, "pgn").expect("a number");
    let fast = row["type"].as_str() == Some("fast");
    let fields = rows(row, "fields");
    let end =
        fields.iter().map(|field| integer(field, "bit").unwrap() + integer(field, "bits").unwrap()).max().unwrap();
    let bytes = if fast { (end + 7) / 8 } else { 8 };
    // What no field takes is filled with ones, as senders do.
    let mut payload = vec![0xFF_u8; bytes as usize];
    let mut told = Vec::new();
    for (index, field) in fields.into_iter().enumerate() {
        let (bit, bits) = (integer(field, "bit").unwrap(), integer(field, "bits").unwrap());
        let raw = raw(table, row, field, fill, scattered(pgn as u64 * 100 + index as u64));
        for place in 0..bits {
            let (byte, mask) = (((bit + place) / 8) as usize, 1 << ((bit + place) % 8));
            payload[byte] = if raw >> place & 1 == 1 { payload[byte] | mask } else { payload[byte] & !mask };
        }
        told.push((field.clone(), raw));
    }
    Sent { pgn: pgn as u32, payload, fast, fields: told }
}

/// The raw number of a field.
fn raw(table: &Table, message: &Table, field: &Table, fill: Fill, chance: u64) -> i64 {
    let bits = integer(field, "bits").unwrap();
    let ones = (1_i64 << bits) - 1;
    if let Some(list) = field.get("list") {
        let list = table["list"][list.as_str().unwrap()].as_table().unwrap();
        let mut known: Vec<i64> = list.keys().filter_map(|key| key.parse().ok()).collect();
        known.sort_unstable();
        let flags = list.get("bits").is_some();
        return match fill {
            Fill::NotAvailable | Fill::InError => ones,
            Fill::Lowest => 0,
            Fill::Highest => {
                if flags {
                    ones
                } else {
                    known[known.len() - 1]
                }
            }
            Fill::Ordinary if flags => 1 << known[chance as usize % known.len()],
            Fill::Ordinary => known[chance as usize % known.len()],
        };
    }
    let j1939 = message["bus"].as_str() == Some("j1939");
    let (absent, error) = match (j1939, bits) {
        (true, 8..) => (ones, 0xFE << (bits - 8)),
        (true, _) => (ones, ones),
        (false, _) => {
            let absent = integer(field, "na").unwrap_or(ones);
            (absent, integer(field, "err").unwrap_or(absent))
        }
    };
    let (res, offset) = (number(field, "res").unwrap_or(1.0), number(field, "offset").unwrap_or(0.0));
    let range = field.get("range").and_then(toml::Value::as_array);
    let end = |index: usize| {
        let end = range.and_then(|range| range[index].as_float().or(range[index].as_integer().map(|i| i as f64)));
        end.map(|end| ((end - offset) / res).round() as i64)
    };
    let signed = field.get("signed").is_some();
    let low = if field.get("all_ones").is_some() { 0 } else { end(0).unwrap_or(0) };
    let high = end(1).unwrap_or(absent - 3).min(if signed { ones >> 1 } else { ones } - 1);
    match fill {
        Fill::NotAvailable => absent,
        Fill::InError => error,
        Fill::Lowest => low,
        Fill::Highest => high,
        // Well within, and a small number where it says how many.
        Fill::Ordinary if field["id"].as_str() == Some("number-of-lines") => 1,
        Fill::Ordinary if field.get("role").is_some() => (chance % 4).cast_signed(),
        Fill::Ordinary => {
            let (low, high) = (low.max(-1_000_000), high.min(2_000_000_000));
            low + ((high - low) as f64 * (0.1 + 0.5 * (chance % 1000) as f64 / 1000.0)) as i64
        }
    }
}

/// The identifier of a message from [`SOURCE`].
pub fn identifier(pgn: u32) -> u32 {
    6 << 26 | pgn << 8 | SOURCE
}

/// The frames of a message: one, or a fast packet with that sequence.
pub fn frames(sent: &Sent, sequence: u8) -> Vec<Vec<u8>> {
    if sent.fast { fast(&sent.payload, sequence) } else { vec![sent.payload.clone()] }
}

/// A fast packet.
pub fn fast(payload: &[u8], sequence: u8) -> Vec<Vec<u8>> {
    let mut padded = vec![payload.len() as u8];
    padded.extend(payload);
    while padded.len() % 7 != 0 {
        padded.push(0xFF);
    }
    let numbered = |(number, piece): (usize, &[u8])| [&[sequence << 5 | number as u8], piece].concat();
    padded.chunks(7).enumerate().map(numbered).collect()
}

/// J1939's transport: the announcement and what follows it; control byte 32 to all, 16 to one.
pub fn transport(pgn: u32, payload: &[u8], control: u8) -> (Vec<u8>, Vec<Vec<u8>>) {
    let packets = payload.len().div_ceil(7);
    let (length, number) = ((payload.len() as u16).to_le_bytes(), pgn.to_le_bytes());
    let head = vec![control, length[0], length[1], packets as u8, 0xFF, number[0], number[1], number[2]];
    let piece = |(number, piece): (usize, &[u8])| {
        let mut packet = vec![number as u8 + 1];
        packet.extend(piece);
        packet.resize(8, 0xFF);
        packet
    };
    (head, payload.chunks(7).enumerate().map(piece).collect())
}
