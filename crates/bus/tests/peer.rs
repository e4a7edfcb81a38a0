//! Messages of J1939 as another crate reads them, `voltage_j1939`: what both know must be the same.

mod common;
#[path = "common/encoder.rs"]
mod encoder;

use bus::can::Frame;
use bus::decoder::Decoder;
use bus::heard::Reading;
use bus::stamp::Stamp;
use common::{Gathered, si};
use encoder::{FILLS, Fill};

/// Where the other crate is wrong by the layout of J1939-71: it makes currents 16 bits wide (114, 115), and reads the
/// fraction of torque from the second byte (4154). Two other decoders agree with us on each.
const ARGUED: [i64; 3] = [114, 115, 4154];

#[test]
fn both_read_the_same() {
    let mut compared = 0;
    for fill in FILLS {
        for sent in encoder::every_message(&[fill]).iter().filter(|sent| sent.pgn < 126_000) {
            let data: [u8; 8] = sent.payload[..].try_into().expect("a single frame");
            let id = encoder::identifier(sent.pgn);
            let theirs = voltage_j1939::decode_frame(id, &data);
            let mut ours = Gathered::default();
            Decoder::new().frame(Stamp::None, &Frame { id, len: 8, data, bus: 0 }, &mut ours);
            for (field, _) in &sent.fields {
                let Some(spn) = field.get("spn").and_then(toml::Value::as_integer).filter(|spn| !ARGUED.contains(spn))
                else {
                    continue;
                };
                let Some(known) = voltage_j1939::get_spn_def(spn as u32).filter(|known| known.pgn == sent.pgn) else {
                    continue;
                };
                let name = field["id"].as_str().unwrap();
                let read = ours.reads.iter().find(|read| read.field == name).unwrap().reading;
                let told = theirs.iter().find(|told| i64::from(told.spn) == spn).map(|told| told.value);
                compared += 1;
                match (read, told) {
                    (Reading::Value(ours), Some(theirs)) => {
                        let (factor, offset) = si(field.get("unit").and_then(toml::Value::as_str).unwrap_or(""));
                        let ours = (ours - offset) / factor;
                        assert!(
                            (ours - theirs).abs() <= 1e-6 * theirs.abs().max(1.0),
                            "{name}: {ours}, {theirs} there"
                        );
                    }
                    (Reading::Absent(_), None) => {}
                    // It takes codes of error and what is reserved for values, and only the uppermost two for none.
                    (Reading::Absent(_), Some(_)) => assert_eq!(fill, Fill::InError, "{name}"),
                    // And it takes the uppermost two of a value without such codes for none: 4 bits, an address.
                    (Reading::Value(_), None) => assert!(known.bit_length < 8 || spn == 1483, "{name}"),
                    (ours, theirs) => panic!("{name}: {ours:?}, {theirs:?} there"),
                }
            }
        }
    }
    assert!(compared > 180, "only {compared}");
}
