//! Every message of the table, encoded apart from the decoder, is read as what was put in; and the same frames stand in
//! `frames.log`, which `./check` gives to the decoders of others too.

mod common;
#[path = "common/encoder.rs"]
mod encoder;

use bus::can::Frame;
use bus::decoder::Decoder;
use bus::heard::{Absent, Reading};
use bus::stamp::Stamp;
use common::{Gathered, si};
use encoder::{FILLS, Fill, Sent};
use std::fmt::Write as _;

/// A code of trouble that is sent: number of what, how, how often.
const CODES: [(u32, u8, u8); 4] = [(100, 1, 3), (110, 0, 1), (190, 16, 126), (520_192, 31, 127)];

fn codes() -> Vec<u8> {
    let mut payload = vec![0b0001_0100, 0xFF];
    for (spn, fmi, count) in CODES {
        let [low, middle, ..] = spn.to_le_bytes();
        payload.extend([low, middle, (spn >> 16 << 5) as u8 | fmi, count]);
    }
    payload
}

/// The frames as `candump -L` writes them.
fn log(fills: &[Fill]) -> String {
    let mut text = String::new();
    let mut millis = 0;
    let mut line = |id: u32, data: &[u8]| {
        millis += 1;
        write!(text, "({:010}.{:03}000) can0 {id:08X}#", 1_700_000_000 + millis / 1000, millis % 1000).unwrap();
        for byte in data {
            write!(text, "{byte:02X}").unwrap();
        }
        text.push('\n');
    };
    for (number, sent) in encoder::every_message(fills).iter().enumerate() {
        for frame in encoder::frames(sent, number as u8 & 7) {
            line(encoder::identifier(sent.pgn), &frame);
        }
    }
    let (head, packets) = encoder::transport(65226, &codes(), 32);
    line(7 << 26 | 0xECFF << 8 | encoder::SOURCE, &head);
    for packet in packets {
        line(7 << 26 | 0xEBFF << 8 | encoder::SOURCE, &packet);
    }
    text
}

#[test]
fn the_frames_kept_are_those_of_the_table() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/frames.log");
    let now = log(&[Fill::Ordinary, Fill::Lowest, Fill::NotAvailable]);
    if std::env::var_os("RENEW").is_some() {
        std::fs::write(path, &now).unwrap();
    }
    let kept = std::fs::read_to_string(path).unwrap_or_default();
    assert!(kept == now, "tests/frames.log is not what the table says; run with RENEW=1 and look at the difference");
}

fn heard(sent: &Sent, sequence: u8) -> Gathered {
    let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
    for bytes in encoder::frames(sent, sequence) {
        let mut data = [0; 8];
        data[..bytes.len()].copy_from_slice(&bytes);
        let frame = Frame { id: encoder::identifier(sent.pgn), len: bytes.len() as u8, data, bus: 0 };
        decoder.frame(Stamp::None, &frame, &mut gathered);
    }
    gathered
}

#[test]
fn every_message_is_read_as_it_was_put_together() {
    let mut values = 0;
    for fill in FILLS {
        for (number, sent) in encoder::every_message(&[fill]).iter().enumerate() {
            let gathered = heard(sent, number as u8 & 7);
            assert!(gathered.faults.is_empty(), "{}: {:?}", sent.pgn, gathered.faults);
            for (field, raw) in &sent.fields {
                let name = field["id"].as_str().unwrap();
                let ours = gathered.reads.iter().find(|read| read.field == name);
                let ours = ours.unwrap_or_else(|| panic!("{} {name} is not read", sent.pgn));
                assert_eq!((ours.what.clone(), ours.sender.as_str()), (sent.pgn.to_string(), "35"));
                check(fill, sent.pgn, field, *raw, ours.reading);
                values += 1;
            }
            let instance = sent
                .fields
                .iter()
                .find(|(field, _)| field.get("role").and_then(toml::Value::as_str) == Some("instance"));
            if let (Some((_, raw)), Fill::Ordinary | Fill::Lowest) = (instance, fill) {
                assert!(gathered.reads.iter().all(|read| read.instance.map(i64::from) == Some(*raw)), "{}", sent.pgn);
            }
        }
    }
    assert!(values > 1500, "only {values} values were compared");
}

fn check(fill: Fill, pgn: u32, field: &toml::Table, raw: i64, ours: Reading) {
    let name = field["id"].as_str().unwrap();
    if field.get("list").is_some() {
        assert_eq!(ours, Reading::Choice(raw as u32), "{pgn} {name}");
        return;
    }
    let told =
        raw as f64 * encoder::number(field, "res").unwrap_or(1.0) + encoder::number(field, "offset").unwrap_or(0.0);
    let unit = field.get("unit").and_then(toml::Value::as_str).unwrap_or("");
    let (factor, offset) = si(unit);
    match (fill, ours) {
        (Fill::NotAvailable | Fill::InError, Reading::Absent(why)) => {
            let right =
                [if fill == Fill::InError { Absent::Error } else { Absent::NotAvailable }, Absent::NotAvailable];
            // Fields too narrow for a code of their own for an error have the same for both; one that has none is out of range.
            assert!(right.contains(&why) || field.get("na").is_none(), "{pgn} {name}: {why:?}");
        }
        (Fill::Ordinary | Fill::Lowest | Fill::Highest, Reading::Value(ours)) => {
            let ours = (ours - offset) / factor;
            assert!((ours - told).abs() <= 1e-9 * told.abs().max(1.0), "{pgn} {name} {fill:?}: {ours}, {told} sent");
        }
        (_, ours) => panic!("{pgn} {name}, {raw} as {fill:?}: {ours:?}"),
    }
}

#[test]
fn codes_of_trouble_are_read_from_one_frame_and_from_many() {
    let single = Sent {
        pgn: 65226,
        payload: codes()[..6].iter().copied().chain([0xFF; 2]).collect(),
        fast: false,
        fields: vec![],
    };
    for (gathered, expected) in
        [(heard(&single, 0), &CODES[..1]), (through(32, 0xFF), &CODES[..]), (through(16, 0x21), &CODES[..])]
    {
        let codes: Vec<(u32, u8, u8)> = gathered
            .reads
            .iter()
            .filter_map(|read| match read.reading {
                Reading::Trouble(trouble) => Some((trouble.spn, trouble.fmi, trouble.occurrences.unwrap_or(127))),
                _ => None,
            })
            .collect();
        assert_eq!(codes, expected);
        let lamp = |name: &str| gathered.reads.iter().find(|read| read.field == name).unwrap().reading;
        assert_eq!((lamp("amber-lamp"), lamp("red-lamp")), (Reading::Choice(1), Reading::Choice(1)));
        assert_eq!(lamp("code-count"), Reading::Value(expected.len() as f64));
        assert!(gathered.faults.is_empty(), "{:?}", gathered.faults);
    }
}

/// The codes by transport, to all or to one who grants two packets at a time, and one of them again.
fn through(control: u8, destination: u32) -> Gathered {
    let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
    let mut frame = |format: u32, from: u32, to: u32, bytes: &[u8]| {
        let id = 7 << 26 | format << 16 | to << 8 | from;
        let data = bytes.try_into().unwrap();
        decoder.frame(Stamp::None, &Frame { id, len: 8, data, bus: 0 }, &mut gathered);
    };
    let (head, packets) = encoder::transport(65226, &codes(), control);
    frame(0xEC, 35, destination, &head);
    for (index, packet) in packets.iter().enumerate() {
        if control == 16 {
            frame(0xEC, destination, 35, &[17, 2, index as u8 + 1, 0xFF, 0xFF, 0xCA, 0xFE, 0]);
        }
        frame(0xEB, 35, destination, packet);
        if control == 16 && index == 1 {
            // The second did not arrive there, and is asked for again.
            frame(0xEC, destination, 35, &[17, 1, 2, 0xFF, 0xFF, 0xCA, 0xFE, 0]);
            frame(0xEB, 35, destination, packet);
        }
    }
    if control == 16 {
        frame(0xEC, destination, 35, &[19, 18, 0, 3, 0xFF, 0xCA, 0xFE, 0]);
    }
    gathered
}

#[test]
fn lines_of_an_ac_supply_are_told_apart() {
    let sent = encoder::every_message(&[Fill::Ordinary]).into_iter().find(|sent| sent.pgn == 127503).unwrap();
    let mut twice = sent.payload.clone();
    twice.extend_from_slice(&sent.payload[2..]);
    twice[20] = twice[20] & !3 | 2;
    twice[21..23].copy_from_slice(&23_012_u16.to_le_bytes());
    let gathered = heard(&Sent { payload: twice, ..sent }, 3);
    let voltages: Vec<(Option<u32>, Reading)> =
        gathered.reads.iter().filter(|read| read.field == "voltage").map(|read| (read.kind, read.reading)).collect();
    assert_eq!(voltages.len(), 2);
    assert_eq!(voltages[1], (Some(2), Reading::Value(23_012.0 * 0.01)));
}
