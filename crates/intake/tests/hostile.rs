//! Files that are broken in every way: nothing panics, and the same comes of them in pieces as whole.

use intake::clock::ClockAsked;
use intake::fault::Fault;
use intake::intake::{Asked, Intake, Reading, Sink};
use intake::moment::Order;
use jiff::tz::TimeZone;
use plant::plant::Plant;

const VESSEL: &str = r#"
[vessel]
name = "Any"
[engine.main]
kind = "diesel"
rated = { power = "60 kW", speed = "1800 rpm" }
[gauge.a]
at = "engine.coolant-out"
reads = "temperature"
heard = "127489 temperature instance 0"
[gauge.b]
at = "engine.oil-in"
reads = "pressure"
heard = "XDR b"
[gauge.c]
at = "engine"
reads = "speed"
"#;

/// One file in every form; the first byte of each is for the fuzzer.
const FILES: [&[u8]; 9] = [
    include_bytes!("../../../fuzz/seeds/tables/bare"),
    include_bytes!("../../../fuzz/seeds/tables/bus"),
    include_bytes!("../../../fuzz/seeds/tables/comma"),
    include_bytes!("../../../fuzz/seeds/tables/day"),
    include_bytes!("../../../fuzz/seeds/tables/iso"),
    include_bytes!("../../../fuzz/seeds/tables/json"),
    include_bytes!("../../../fuzz/seeds/tables/long"),
    include_bytes!("../../../fuzz/seeds/tables/rounds"),
    include_bytes!("../../../fuzz/seeds/tables/units"),
];

#[derive(Default, PartialEq, Debug)]
struct Kept {
    readings: Vec<(u64, Reading)>,
    faults: Vec<(u64, String)>,
}

impl Sink for Kept {
    fn reading(&mut self, line: u64, reading: Reading) {
        assert!(reading.value.is_finite() && reading.time >= 946_684_800_000, "{reading:?}");
        self.readings.push((line, reading));
    }
    fn fault(&mut self, line: u64, fault: Fault) {
        self.faults.push((line, fault.to_string()));
    }
}

fn take(file: &[u8], cut: usize, plant: &Plant) -> Option<Kept> {
    let zone = TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").expect("a rule");
    let day = Some(1_782_950_400_000);
    let clock = ClockAsked { zone: Some(zone), order: Some(Order::MonthFirst), day, zones: |_| None };
    let asked = Asked { renamed: Vec::new(), decimal: None, clock };
    let mut intake = Intake::plan(file, true, plant, asked).ok()?;
    let mut kept = Kept::default();
    intake.bytes(&file[..cut], &mut kept);
    intake.bytes(&file[cut..], &mut kept);
    intake.end(&mut kept);
    Some(kept)
}

/// Splitmix64.
fn draw(seed: u64) -> u64 {
    let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

#[test]
fn files_with_letters_changed_are_the_same_in_pieces_as_whole() {
    let plant = plant::reader::read(VESSEL).0.expect("a plant");
    let letters = b"\"\n\r,;|\t#={[}].:-+Ze\xff\xb0\0 09";
    let (mut planned, mut readings) = (0, 0);
    for round in 0..12_000_u64 {
        let file = FILES[(round % FILES.len() as u64) as usize];
        let mut file = file[1..].to_vec();
        for change in 0..=draw(round) % 6 {
            let how = draw(round * 31 + change);
            let at = (how >> 8) as usize % file.len();
            let letter = letters[(how >> 40) as usize % letters.len()];
            match how % 4 {
                0 => file[at] = letter,
                1 => file.insert(at, letter),
                2 if file.len() > 1 => drop(file.remove(at)),
                _ => file.extend_from_within(at..),
            }
        }
        let cut = draw(round + 7) as usize % file.len();
        let whole = take(&file, file.len(), &plant);
        assert_eq!(whole, take(&file, cut, &plant), "{}", String::from_utf8_lossy(&file));
        planned += u32::from(whole.is_some());
        readings += whole.map_or(0, |kept| kept.readings.len());
    }
    // Broken, and yet a third of them read: a test of files that are all refused would show nothing.
    assert!(planned > 4000 && readings > 4000, "{planned} {readings}");
}
