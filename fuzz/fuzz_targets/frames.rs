//! Any frames of fast packets, transport and single messages: eleven bytes each, the first three choosing what it is.
#![no_main]
use bedplate_fuzz::Ears;
use bus::can::Frame;
use bus::decoder::Decoder;
use bus::stamp::Stamp;
use bus::table::MESSAGES;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    let (mut decoder, mut ears) = (Decoder::new(), Ears::default());
    let mut nanos = 0;
    for piece in data.chunks_exact(11) {
        let (choice, sender, len) = (usize::from(piece[0]), u32::from(piece[1] & 3), piece[2] % 9);
        nanos += i64::from(piece[2] >> 4) * 100_000_000;
        // A fifth each for the transport's two messages, so that they meet.
        let number = match choice % 5 {
            0 => 0xECFF,
            1 => 0xEBFF,
            2 => 0xEC00 | u32::from(piece[1] >> 4),
            _ => MESSAGES[choice % MESSAGES.len()].pgn,
        };
        let mut eight = [0; 8];
        eight.copy_from_slice(&piece[3..]);
        let frame = Frame { id: 6 << 26 | number << 8 | sender, len, data: eight, bus: 0 };
        decoder.frame(if choice & 128 == 0 { Stamp::Day(nanos) } else { Stamp::None }, &frame, &mut ears);
    }
    decoder.end(&mut ears);
    ears.settle();
});
