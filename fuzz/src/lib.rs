//! What the targets share: somebody who hears everything, and holds it to what must be so whatever is sent.

use bus::heard::{Fault, Heading, Listener, Reading};
use bus::listing::Listing;
use bus::table::Field;

/// Hears everything, and counts it.
#[derive(Default)]
pub struct Ears {
    /// Keeps it as well, where that is wanted: it takes most of the time.
    pub listing: Option<Listing>,
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
        if let Some(listing) = &mut self.listing {
            listing.value(heading, field, reading);
        }
    }

    fn fault(&mut self, line: u64, fault: Fault) {
        assert!(line >= self.line, "lines go on");
        self.faults += 1;
        if let Some(listing) = &mut self.listing {
            assert!(!fault.to_string().is_empty());
            listing.fault(line, fault);
        }
    }
}

impl Ears {
    /// Somebody who keeps the listing too.
    pub fn listing() -> Ears {
        Ears { listing: Some(Listing::default()), ..Ears::default() }
    }

    /// What must be so at the end.
    pub fn settle(&self) {
        let Some(listing) = &self.listing else { return };
        let listed: u64 = listing.rows().iter().map(|row| row.count).sum();
        assert_eq!(listed + listing.crowded_out(), self.values, "every value is listed");
        assert_eq!(listing.counts().iter().sum::<u64>(), self.faults, "every fault is counted");
    }
}
