//! Any bytes as a file to be imported, whole and cut in two: the same comes of it, and nothing that cannot be.
#![no_main]
use intake::clock::ClockAsked;
use intake::columns::Renamed;
use intake::fault::Fault;
use intake::intake::{Asked, HEAD, Intake, Reading, Sink};
use intake::moment::Order;
use jiff::tz::TimeZone;
use libfuzzer_sys::fuzz_target;
use plant::plant::Plant;
use std::sync::OnceLock;

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
[gauge.d]
at = "sea"
reads = "temperature"
"#;

fn plant() -> &'static Plant {
    static PLANT: OnceLock<Plant> = OnceLock::new();
    PLANT.get_or_init(|| plant::reader::read(VESSEL).0.expect("a plant"))
}

/// Counts, and holds each reading to what must be so.
#[derive(Default, PartialEq, Debug)]
struct Kept {
    readings: u64,
    faults: u64,
    sum: u64,
}

impl Sink for Kept {
    fn reading(&mut self, line: u64, reading: Reading) {
        let gauge = &plant()[reading.gauge];
        assert!(reading.value.is_finite() && line > 0);
        // 2000 to 2201, but for recordings of a bus and counts since 1970, which go further.
        assert!(reading.time >= 946_684_800_000, "{}", reading.time);
        assert!(gauge.trips.is_none());
        self.readings += 1;
        self.sum = self.sum.wrapping_mul(31).wrapping_add(line ^ reading.value.to_bits() ^ reading.time as u64);
    }

    fn fault(&mut self, line: u64, fault: Fault) {
        assert!(line > 0 && !fault.name().is_empty() && !fault.to_string().is_empty());
        self.faults += 1;
        self.sum = self.sum.wrapping_mul(31).wrapping_add(line);
    }
}

fn take(file: &[u8], cut: usize, asked: &Asked) -> Option<Kept> {
    let head = &file[..file.len().min(HEAD)];
    let mut intake = match Intake::plan(head, file.len() < HEAD, plant(), asked.clone()) {
        Ok(intake) => intake,
        Err(why) => {
            assert!(!why.to_string().is_empty() && !why.advice().is_empty());
            return None;
        }
    };
    let mut kept = Kept::default();
    intake.bytes(&file[..cut], &mut kept);
    intake.bytes(&file[cut..], &mut kept);
    intake.end(&mut kept);
    assert!(intake.offsets().len() <= 1000);
    Some(kept)
}

fuzz_target!(|file: &[u8]| {
    let Some((how, file)) = file.split_first() else { return };
    let order = match how & 3 {
        0 => None,
        1 => Some(Order::DayFirst),
        _ => Some(Order::MonthFirst),
    };
    let zone = (how & 4 != 0).then(|| TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").expect("a rule"));
    let renamed = if how & 8 == 0 { Vec::new() } else { vec![Renamed::parse("2=c", plant()).expect("well written")] };
    let day = (how & 16 != 0).then_some(1_782_950_400_000);
    let clock = ClockAsked { zone, order, day, zones: |_| None };
    let asked = Asked { renamed, decimal: None, clock };
    let cut = file.len() * usize::from(how >> 5) / 8;
    let kept = take(file, cut, &asked);
    // Half of them, for it takes twice as long.
    if file.len() % 2 == 0 {
        assert_eq!(take(file, file.len(), &asked), kept);
    }
});
