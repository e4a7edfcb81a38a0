//! What the targets share: somebody who hears everything, and holds it to what must be so whatever is sent.

use bus::heard::{Fault, Heading, Listener, Reading};
use bus::listing::Listing;
use bus::table::Field;

/// Hears everything, and counts it.
#[derive(Default)]
pub struct Ears {
    pub listing: Listing,
    pub values: u64,
    pub faults: u64,
    line: u64,
}

impl Listener for Ears {
    fn value(&mut self, heading: &Heading, field: &Field<'_>, reading: Reading) {
        assert!(heading.line >= self.line, "lines go on");
        self.line = heading.line;
        if let Reading::Value(value) = reading {
            assert!(value.is_finite(), "{} is {value}", field.name);
        }
        self.values += 1;
        self.listing.value(heading, field, reading);
    }

    fn fault(&mut self, line: u64, fault: Fault) {
        assert!(line >= self.line, "lines go on");
        self.faults += 1;
        assert!(!fault.to_string().is_empty());
        self.listing.fault(line, fault);
    }
}

impl Ears {
    /// What must be so at the end.
    pub fn settle(&self) {
        let listed: u64 = self.listing.rows().iter().map(|row| row.count).sum();
        assert_eq!(listed + self.listing.crowded_out(), self.values, "every value is listed");
        assert_eq!(self.listing.counts().iter().sum::<u64>(), self.faults, "every fault is counted");
    }
}
