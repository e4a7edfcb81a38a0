//! Memory under a flood; alone in its program, so that nothing else takes any meanwhile.

mod common;

use bus::decoder::Decoder;
use bus::stamp::Stamp;
use common::{Count, frame};

/// Resident memory of this process [kB].
fn resident() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    line.and_then(|line| line.trim().trim_end_matches(" kB").trim().parse().ok()).unwrap_or(0)
}

#[test]
fn one_device_flooding_the_bus_fills_no_memory() {
    let (mut decoder, mut count) = (Decoder::new(), Count::default());
    let flood = |decoder: &mut Decoder, count: &mut Count, frames: u32| {
        for number in 0..frames {
            // The beginnings of messages that never end, from ever new sequences.
            let bytes = [(number << 5) as u8, 223, 1, 2, 3, 4, 5, 6];
            decoder.frame(Stamp::None, &frame(number >> 3 & 255, 127489, &bytes), count);
            decoder.frame(Stamp::None, &frame(7, 127488, &[0, 1, 2, 3, 4, 5, 6, 7]), count);
        }
    };
    flood(&mut decoder, &mut count, 10_000);
    let before = resident();
    flood(&mut decoder, &mut count, 500_000);
    let after = resident();
    assert!(after <= before + 1024, "from {before} to {after} kB");
    // Every beginning but those still open was told as lost, and every other frame read.
    assert_eq!(count.values, 510_000 * 4);
    let mut open = Count::default();
    decoder.end(&mut open);
    assert_eq!(count.faults + open.faults, 510_000);
    assert!(open.faults <= 512);
}
