//! Any bytes as a recording, in one piece and cut in two.
#![no_main]
use bedplate_fuzz::Ears;
use bus::decoder::Decoder;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    // One in sixteen with the listing, which takes ten times as long as the rest.
    let listed = data.last().is_some_and(|&byte| byte & 15 == 1);
    let (mut decoder, mut ears) = (Decoder::new(), if listed { Ears::listing() } else { Ears::default() });
    decoder.bytes(data, &mut ears);
    decoder.end(&mut ears);
    ears.settle();
    let at = data.first().map_or(0, |&byte| usize::from(byte) % (data.len() + 1));
    let (mut again, mut other) = (Decoder::new(), Ears::default());
    again.bytes(&data[..at], &mut other);
    again.bytes(&data[at..], &mut other);
    again.end(&mut other);
    assert_eq!((ears.values, ears.faults, decoder.lines()), (other.values, other.faults, again.lines()));
});
