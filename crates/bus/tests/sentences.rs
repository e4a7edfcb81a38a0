//! Sentences of our own making, read as the standard says: every one in `sentences.log`, which `./check` gives to another
//! reader too.

mod common;

use bus::decoder::Decoder;
use bus::heard::{Absent, Fault, Reading};
use bus::table::SENTENCES;
use common::{Gathered, si};

const KEPT: &str = include_str!("sentences.log");

fn gathered(text: &str) -> Gathered {
    let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
    decoder.bytes(text.as_bytes(), &mut gathered);
    decoder.end(&mut gathered);
    gathered
}

/// With the checksum it ought to have.
fn one(body: &str) -> Gathered {
    let check = body.bytes().fold(0, |sum, byte| sum ^ byte);
    gathered(&format!("${body}*{check:02X}"))
}

#[track_caller]
fn value(gathered: &Gathered, field: &str) -> f64 {
    match gathered.reads.iter().find(|read| read.field == field).map(|read| read.reading) {
        Some(Reading::Value(value)) => value,
        other => panic!("{field}: {other:?}, {:?}", gathered.faults),
    }
}

#[track_caller]
fn absent(gathered: &Gathered, field: &str) -> Absent {
    match gathered.reads.iter().find(|read| read.field == field).map(|read| read.reading) {
        Some(Reading::Absent(why)) => why,
        other => panic!("{field}: {other:?}"),
    }
}

#[track_caller]
fn near(ours: f64, expected: f64, unit: &str) {
    let (factor, offset) = si(unit);
    let expected = expected * factor + offset;
    assert!((ours - expected).abs() <= 1e-9 * expected.abs().max(1e-6), "{ours}, {expected} expected");
}

#[test]
fn every_sentence_kept_is_read_and_every_sort_is_kept() {
    let gathered = gathered(KEPT);
    assert!(gathered.faults.is_empty(), "{:?}", gathered.faults);
    for sentence in SENTENCES {
        assert!(gathered.reads.iter().any(|read| read.what == sentence.id), "{} is not among them", sentence.id);
    }
}

#[test]
fn numbers_come_in_si_with_their_sense() {
    let rpm = one("IIRPM,S,2,-210.0,,A");
    near(value(&rpm, "speed"), -210.0, "rpm");
    let read = &rpm.reads[0];
    assert_eq!((read.instance, read.kind, read.sender.as_str()), (Some(2), Some(u32::from('S')), "II"));
    assert_eq!(absent(&rpm, "pitch"), Absent::NotAvailable);
    let rmc = one("GPRMC,194101.25,A,0026.1130,S,01040.5596,W,5.2,77.3,160926,15.8,W,A");
    near(value(&rmc, "latitude"), -(26.1130 / 60.0), "deg");
    near(value(&rmc, "longitude"), -(10.0 + 40.5596 / 60.0), "deg");
    near(value(&rmc, "variation"), -15.8, "deg");
    near(value(&rmc, "time"), 19.0 * 3600.0 + 41.0 * 60.0 + 1.25, "s");
    // 16 September 2026 is 20712 days after the beginning of 1970.
    near(value(&rmc, "date"), 20712.0, "d");
    near(value(&one("GPRMC,000000,A,,,,,,,311299,,"), "date"), 10956.0, "d");
    assert_eq!(absent(&rmc, "navigational-status"), Absent::NotSent);
    // The letter says in what: 13 knots, or 6.7 metres a second.
    near(value(&one("WIMWV,57.5,R,13.0,N,A"), "speed"), 13.0, "kn");
    near(value(&one("WIMWV,57.5,T,6.7,M,A"), "speed"), 6.7, "m/s");
    near(value(&one("SDDBT,17.9,f,5.4,M,2.9,F"), "depth-fathoms"), 2.9, "fathom");
    near(value(&one("WIMDA,30.2032,I,1.0228,B,,,,,,,,,,,,,,,,"), "pressure"), 1.0228, "bar");
}

#[test]
fn what_is_void_has_no_values() {
    let rpm = one("IIRPM,E,1,1432,0,V");
    assert_eq!((absent(&rpm, "speed"), absent(&rpm, "pitch")), (Absent::Void, Absent::Void));
    let rmc = one("GPRMC,194101,V,0026.1130,N,01040.5596,E,5.2,77.3,160926,15.8,E,N");
    assert_eq!(absent(&rmc, "speed-over-ground"), Absent::Void);
    near(value(&rmc, "time"), 70861.0, "s");
    // Each rudder has a letter of its own.
    let rsa = one("IIRSA,-4.5,A,3.5,V");
    near(value(&rsa, "starboard"), -4.5, "deg");
    assert_eq!(absent(&rsa, "port"), Absent::Void);
    let rsa = one("IIRSA,-4.5,V,3.5,A");
    assert_eq!(absent(&rsa, "starboard"), Absent::Void);
    near(value(&rsa, "port"), 3.5, "deg");
}

#[test]
fn transducers_tell_what_they_are_of() {
    let xdr = one("IIXDR,C,88.5,C,Engine#0,P,241000,P,Oil#0,P,2.41,B,Oil#1,C,361.65,K,Wall,C,,C,Engine#2,Z,7,q,Own");
    let told: Vec<_> =
        xdr.reads.iter().map(|read| (read.field.as_str(), read.instance, read.unit.as_str(), read.reading)).collect();
    assert_eq!(
        told,
        [
            ("Engine", Some(0), "K", Reading::Value(88.5 + 273.15)),
            ("Oil", Some(0), "Pa", Reading::Value(241_000.0)),
            ("Oil", Some(1), "Pa", Reading::Value(2.41 * 1e5)),
            ("Wall", None, "K", Reading::Value(361.65)),
            ("Engine", Some(2), "K", Reading::Absent(Absent::NotAvailable)),
            // Neither type nor unit is known: the number is kept as it is.
            ("Own", None, "q", Reading::Value(7.0)),
        ]
    );
}

#[test]
fn a_wrong_field_is_a_fault_of_that_field_alone() {
    for (body, place, right) in [
        ("IIVHW,231.3,T,229.9,T,6.6,N,12.2,K", 3, "speed"),
        ("IIVHW,231.3,T,22x,M,6.6,N,12.2,K", 3, "speed"),
        ("GPRMC,194161,A,0026.1130,N,01040.5596,E,5.2,77.3,160926,,", 1, "latitude"),
        ("GPRMC,194101,A,0060.1130,N,01040.5596,E,5.2,77.3,160926,,", 3, "longitude"),
        ("GPRMC,194101,A,9026.1130,N,01040.5596,E,5.2,77.3,160926,,", 3, "longitude"),
        ("GPRMC,194101,A,0026.1130,,01040.5596,E,5.2,77.3,160926,,", 3, "longitude"),
        ("GPRMC,194101,A,0026.1130,N,01040.5596,E,5.2,77.3,310226,,", 9, "longitude"),
        ("WIMWV,57.5,R,13.0,X,A", 3, "angle"),
        ("IIRPM,E,1,1e9,0,A", 3, "pitch"),
        ("IIRPM,E,1,inf,0,A", 3, "pitch"),
    ] {
        let gathered = one(body);
        assert_eq!(gathered.faults, [(1, Fault::Field { place })], "{body}");
        value(&gathered, right);
    }
    let xdr = one("IIXDR,C,88.5,C,Engine#0,C,hot,C,Engine#1");
    assert_eq!((xdr.reads.len(), xdr.faults[0].1), (1, Fault::Field { place: 6 }));
}

#[test]
fn a_message_wrapped_in_a_sentence_is_read_either_way_round() {
    // Engine 1 at 3000 rpm, as the bus has it, and with its bytes turned round.
    let straight = "01E02EFFFF7FFFFF";
    let turned = "FFFF7FFFFF2EE001";
    let speed = |text: &str| {
        let gathered = gathered(text);
        assert!(gathered.faults.is_empty(), "{:?}", gathered.faults);
        let read = gathered.reads.iter().find(|read| read.field == "speed").unwrap();
        assert_eq!((read.instance, read.sender.as_str(), read.what.as_str()), (Some(1), "15", "127488"));
        near(value(&gathered, "speed"), 3000.0, "rpm");
    };
    speed(&format!("$PCDIN,01F200,00000000,0F,{straight}\n"));
    speed(&format!("$MXPGN,01F200,680F,{straight}\n"));
    speed(&format!("$MXPGN,01F200,680F,{turned}\n"));
}

#[test]
fn what_is_not_understood_is_counted_and_nothing_else() {
    for text in [
        "$PXYZ,1,2",
        "$GPABC,1",
        "!AIVDM,1,1,,A,x,0",
        "$GP",
        "$",
        "$PCDIN,01F200,0",
        "$PCDIN,99F200,0,0F,00",
        "$MXPGN,01F200,680F,0",
    ] {
        let gathered = gathered(text);
        assert!(gathered.reads.is_empty() && gathered.faults.len() == 1, "{text}: {:?}", gathered.faults);
    }
}
