//! What a broken, lying or crowded bus sends: no panic, nothing made up, everything counted, memory bounded.

mod common;
#[path = "common/encoder.rs"]
mod encoder;

use bus::decoder::Decoder;
use bus::heard::{Fault, Lost, Reading};
use bus::listing::Listing;
use bus::stamp::Stamp;
use common::{Count, Gathered, frame};

/// J1939's announcement to all, and the data that follow it.
const TO_ALL: u32 = 0xECFF;
const DATA_TO_ALL: u32 = 0xEBFF;

/// Numbers that look like chance, the same on every run.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % limit
    }
}

/// A message of engine data whose every field tells which one it is: coolant [0.01 K] and seconds run are `number`.
fn engine(number: u32) -> Vec<u8> {
    let mut payload = vec![0; 26];
    payload[5..7].copy_from_slice(&(number as u16).to_le_bytes());
    payload[11..15].copy_from_slice(&number.to_le_bytes());
    payload
}

/// What was read of the coolant and of the seconds, message by message.
fn engines(gathered: &Gathered) -> Vec<(u32, u32)> {
    let of = |name: &str| {
        let values = gathered.reads.iter().filter(|read| read.field == name);
        values
            .map(|read| match read.reading {
                Reading::Value(value) => value,
                _ => f64::NAN,
            })
            .collect::<Vec<_>>()
    };
    let (coolant, seconds) = (of("temperature"), of("total-engine-hours"));
    assert_eq!(coolant.len(), seconds.len());
    coolant.iter().zip(seconds).map(|(kelvin, seconds)| ((kelvin * 100.0).round() as u32, seconds as u32)).collect()
}

#[test]
fn interleaved_and_missing_frames_never_make_up_a_message() {
    let mut dice = Dice(7);
    for lost_in_a_hundred in [0, 1, 10, 50] {
        let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
        let mut waiting: Vec<(u32, Vec<Vec<u8>>)> = Vec::new();
        let (mut sent, mut whole, mut sequences, mut millis) = (0_u32, 0, [0_u8; 256], 0);
        let mut damaged = vec![false; 3000];
        while sent < 3000 || !waiting.is_empty() {
            // Sixty senders at once, each with its own sequence.
            if waiting.len() < 60 && sent < 3000 {
                let source = (0..250).find(|source| waiting.iter().all(|(of, _)| of >> 16 != *source)).unwrap();
                let sequence = &mut sequences[source as usize];
                waiting.push((source << 16 | sent, encoder::fast(&engine(sent), *sequence & 7)));
                *sequence = sequence.wrapping_add(1);
                sent += 1;
            }
            let at = dice.below(waiting.len());
            let (of, frames) = &mut waiting[at];
            let bytes = frames.remove(0);
            millis += 1;
            if dice.below(100) < lost_in_a_hundred {
                damaged[(*of & 0xFFFF) as usize] = true;
            } else {
                decoder.frame(Stamp::Day(millis * 1_000_000), &frame(*of >> 16, 127489, &bytes), &mut gathered);
            }
            if frames.is_empty() {
                whole += u32::from(!damaged[(*of & 0xFFFF) as usize]);
                waiting.swap_remove(at);
            }
        }
        let read = engines(&gathered);
        assert_eq!(read.len() as u32, whole, "{lost_in_a_hundred} in a hundred lost");
        assert!(read.iter().all(|(coolant, seconds)| coolant == seconds), "pieces of two messages in one");
        let told = gathered.faults.iter().all(|(_, fault)| matches!(fault, Fault::Lost { .. }));
        assert!(told && gathered.faults.is_empty() == (lost_in_a_hundred == 0), "{lost_in_a_hundred}");
    }
}

#[test]
fn a_frame_twice_or_late_is_no_part_of_a_message() {
    let frames = encoder::fast(&engine(9), 3);
    let twice: Vec<(i64, usize)> = vec![(0, 0), (0, 1), (0, 1), (0, 2), (0, 3)];
    let late = vec![(0, 0), (1_000_000, 1), (900_000_000, 2), (900_000_000, 3)];
    for (order, why) in [(twice, Lost::Gap), (late, Lost::Late)] {
        let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
        for (nanos, index) in order {
            decoder.frame(Stamp::Day(nanos), &frame(1, 127489, &frames[index]), &mut gathered);
        }
        assert!(gathered.reads.is_empty());
        assert_eq!(gathered.faults[0].1, Fault::Lost { pgn: 127489, source: 1, why });
        let after = gathered.faults[1..].iter();
        assert!(
            after.clone().count() > 0
                && after.clone().all(|(_, f)| matches!(f, Fault::Lost { why: Lost::NoBeginning, .. }))
        );
    }
}

#[test]
fn lying_lengths_are_told() {
    let lying = [
        // A fast packet of nothing, of more than fits, and one cut short.
        (127489, vec![0x20, 0, 1, 2, 3, 4, 5, 6]),
        (127489, vec![0x20, 224, 1, 2, 3, 4, 5, 6]),
        (127489, vec![0x20, 26, 1]),
        (127489, vec![]),
        (127489, vec![0x20]),
        // Transport of too little, of too much, and of more than its packets carry.
        (TO_ALL, vec![32, 8, 0, 2, 255, 0xCA, 0xFE, 0]),
        (TO_ALL, vec![32, 0xFA, 6, 255, 255, 0xCA, 0xFE, 0]),
        (TO_ALL, vec![32, 20, 0, 2, 255, 0xCA, 0xFE, 0]),
        (TO_ALL, vec![32, 20, 0]),
        (DATA_TO_ALL, vec![]),
    ];
    for (pgn, bytes) in lying {
        let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
        decoder.frame(Stamp::None, &frame(4, pgn, &bytes), &mut gathered);
        assert!(gathered.reads.is_empty() && gathered.faults.len() == 1, "{bytes:02X?}: {:?}", gathered.faults);
        assert!(matches!(gathered.faults[0].1, Fault::Length { .. }), "{bytes:02X?}: {:?}", gathered.faults);
    }
    // A message that ends early says what it holds, and that the rest was not sent.
    let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
    decoder.line(b"2016-02-28T19:57:02Z,6,127506,114,255,9,ff,01,00,64,5f,10,00,20,00", &mut gathered);
    assert_eq!(gathered.reads.len(), 8);
    assert_eq!(gathered.reads[7].reading, Reading::Absent(bus::heard::Absent::NotSent));
}

#[test]
fn transport_between_many_is_kept_apart_and_given_up_when_told() {
    let payload: Vec<u8> = vec![0x14, 0xFF, 100, 0, 1, 3, 110, 0, 2, 4, 0xFF, 0xFF, 0xFF, 0xFF];
    let (head, packets) = encoder::transport(65226, &payload, 32);
    let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
    for source in 0..100 {
        decoder.frame(Stamp::None, &frame(source, TO_ALL, &head), &mut gathered);
    }
    for packet in &packets {
        for source in 0..100 {
            decoder.frame(Stamp::None, &frame(source, DATA_TO_ALL, packet), &mut gathered);
        }
    }
    let whole =
        gathered.reads.iter().filter(|read| read.field == "code-count" && read.reading == Reading::Value(2.0)).count();
    let crowded = gathered.faults.iter().filter(|(_, f)| matches!(f, Fault::Lost { why: Lost::Crowded, .. })).count();
    assert_eq!(whole + crowded, 100, "{crowded} made way");
    assert!(whole > 80);
    // Given up half way: told once, and what still comes has no beginning.
    let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
    decoder.frame(Stamp::None, &frame(4, TO_ALL, &head), &mut gathered);
    decoder.frame(Stamp::None, &frame(4, TO_ALL, &[255, 1, 255, 255, 255, 0xCA, 0xFE, 0]), &mut gathered);
    decoder.frame(Stamp::None, &frame(4, DATA_TO_ALL, &packets[0]), &mut gathered);
    let why: Vec<Lost> = gathered
        .faults
        .iter()
        .filter_map(|(_, f)| match f {
            Fault::Lost { why, .. } => Some(*why),
            _ => None,
        })
        .collect();
    assert_eq!(why, [Lost::Aborted, Lost::NoBeginning]);
}

#[test]
fn every_changed_letter_of_a_sentence_is_told() {
    let sentence = b"$IIRPM,E,1,1432.5,10.5,A*53";
    let mut right = Gathered::default();
    Decoder::new().line(sentence, &mut right);
    assert!(right.faults.is_empty() && right.reads.len() == 5, "{:?}", right.faults);
    for place in 1..sentence.len() {
        for letter in 0..=255_u8 {
            if letter == sentence[place] || letter == b'*' || sentence[place] == b'*' || letter == b'\n' {
                continue;
            }
            let mut changed = sentence.to_vec();
            changed[place] = letter;
            let mut gathered = Gathered::default();
            Decoder::new().line(&changed, &mut gathered);
            // White space at its end belongs to no checksum, and a hexadecimal digit may be small.
            let same_check = place >= 25 && letter.eq_ignore_ascii_case(&sentence[place]);
            assert!(same_check || gathered.reads.is_empty() && gathered.faults.len() == 1, "{changed:?}");
        }
    }
}

#[test]
fn ten_thousand_devices_are_listed_within_bounds() {
    let (mut decoder, mut listing) = (Decoder::new(), Listing::default());
    for device in 0..10_000_u32 {
        let text = format!("IIXDR,C,{}.5,C,Sender{device}#0", device % 100);
        let check = text.bytes().fold(0, |sum, byte| sum ^ byte);
        decoder.line(format!("${text}*{check:02X}").as_bytes(), &mut listing);
        decoder.frame(Stamp::None, &frame(device & 255, 130_816 + (device >> 8), &[0; 8]), &mut listing);
    }
    assert_eq!(listing.rows().len(), 10_000);
    assert_eq!(listing.crowded_out(), 0);
    let unknown: u64 = listing.unknown().values().sum();
    assert!(listing.unknown().len() == 4_000 && unknown == 4_000, "{} {unknown}", listing.unknown().len());
    assert_eq!(listing.counts()[Fault::UnknownMessage { pgn: 0, source: 0 }.sort()], 10_000);
    // Ever more of them find no room, and that is counted.
    for device in 10_000..40_000_u32 {
        decoder.line(format!("$IIXDR,C,1,C,S{device}").as_bytes(), &mut listing);
    }
    assert_eq!((listing.rows().len() as u64, listing.crowded_out()), (20_000, 20_000));
}

#[test]
fn two_devices_with_one_address_are_no_panic_and_no_silence() {
    let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
    let mut dice = Dice(3);
    let mut frames = 0;
    for number in 0..500 {
        let (mut one, mut other) = (encoder::fast(&engine(number), 0), encoder::fast(&engine(number + 1000), 0));
        while !(one.is_empty() && other.is_empty()) {
            let from = if dice.below(2) == 0 && !one.is_empty() || other.is_empty() { &mut one } else { &mut other };
            decoder.frame(Stamp::None, &frame(9, 127489, &from.remove(0)), &mut gathered);
            frames += 1;
        }
    }
    let read = engines(&gathered).len();
    assert!(frames == 4000 && read < 1000 && gathered.faults.len() >= 1000 - read, "{read} read of 1000");
}

#[test]
fn any_bytes_are_taken_cut_anywhere() {
    let mut dice = Dice(11);
    let pieces: [&[u8]; 9] = [
        b"(1635188455.030900) can0 0CFEF100#F7000004000000FF\n",
        b"2016-02-28T19:57:02.364Z,6,127505,114,255,8,50,ff,7f,be,11,00,00,ff\r\n",
        b"21:55:35.425 R 15FD0723 FF C0 D9 6F FF 7F FF FF\n",
        b"$IIRPM,E,1,1432.5,10.5,A*53\r\n",
        b"$PCDIN,01F200,00000000,0F,000000FFFF7FFFFF*2A\n",
        b"  can0  18EEFF00   [8]  01 00 C0 E8 00 96 64 40\n",
        b"\\c:1120959341*5D\\$IIMTW,12,C\n",
        b"$MXPGN,01F201,28FF,00112233445566778899\n",
        b"\n",
    ];
    let mut text = Vec::new();
    for _ in 0..200_000 {
        let piece = pieces[dice.below(pieces.len())];
        let at = text.len();
        text.extend_from_slice(piece);
        for _ in 0..dice.below(3) {
            let place = at + dice.below(piece.len());
            text[place] = dice.below(256) as u8;
        }
    }
    text.extend(std::iter::repeat_n(b'x', 100_000));
    text.extend_from_slice(b"\n$IIMTW,12,C");
    let (mut decoder, mut count) = (Decoder::new(), Count::default());
    let mut rest = &text[..];
    while !rest.is_empty() {
        let (chunk, after) = rest.split_at(dice.below(5000).min(rest.len()));
        decoder.bytes(chunk, &mut count);
        rest = after;
    }
    decoder.end(&mut count);
    assert_eq!(decoder.lines(), text.split(|&byte| byte == b'\n').count() as u64);
    assert!(count.values > 100_000 && count.faults > 50_000, "{} {}", count.values, count.faults);
    // In one piece or in many, it is the same.
    let (mut decoder, mut whole) = (Decoder::new(), Count::default());
    decoder.bytes(&text, &mut whole);
    decoder.end(&mut whole);
    assert_eq!((whole.values, whole.faults), (count.values, count.faults));
}
