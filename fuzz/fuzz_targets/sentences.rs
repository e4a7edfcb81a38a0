//! Any text as the inside of a sentence, with its checksum put right, so that its fields are reached.
#![no_main]
use bedplate_fuzz::Ears;
use bus::decoder::Decoder;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    let (mut decoder, mut ears) = (Decoder::new(), Ears::default());
    for body in data.split(|&byte| byte == b'\n') {
        let check = body.iter().fold(0, |sum, byte| sum ^ byte);
        let mut line = vec![b'$'];
        line.extend_from_slice(body);
        line.extend_from_slice(format!("*{check:02X}").as_bytes());
        decoder.line(&line, &mut ears);
    }
    decoder.end(&mut ears);
    ears.settle();
});
