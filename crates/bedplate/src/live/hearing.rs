//! One wire, as it is heard: which value of a bus is which gauge, and what is nobody's yet.

use crate::intake::{Intake, Moment};
use bus::channel::Channel;
use bus::heard::{Fault, Heading, Listener, Reading};
use bus::listing::Listing;
use bus::table::Field;
use measure::quantity::Quantity;
use plant::plant::{GaugeId, Plant};
use std::sync::Arc;

/// Hears one wire: gauges of the vessel go on to the intake, and everything into a listing of a fixed size.
pub struct Hearing {
    intake: Arc<Intake>,
    gauges: Vec<Named>,
    /// What was heard, whoever's it is.
    pub listing: Listing,
    /// At this moment.
    pub now: Moment,
    /// When the last value was heard, as a recording tells it [s].
    pub told_at: Option<f64>,
    /// Whether what is heard is kept.
    keep: bool,
    /// Values of gauges of the vessel.
    pub values: u64,
    /// Values named as a gauge, but of another quantity than it reads.
    pub unfit: u64,
}

/// A gauge that says which value it is.
struct Named {
    gauge: GaugeId,
    quantity: Quantity,
    channel: Channel,
    /// What it read last [SI], and when.
    last: Option<(f64, Moment)>,
}

impl Hearing {
    /// On a wire that these gauges are heard on; all that say which value they are, where none are named.
    pub fn new(plant: &Plant, only: &[GaugeId], intake: Arc<Intake>, keep: bool) -> Hearing {
        let here = |gauge: &GaugeId| only.is_empty() || only.contains(gauge);
        let named = plant.gauge_ids().filter(here).filter_map(|gauge| {
            let channel = plant[gauge].heard.clone()?;
            Some(Named { gauge, quantity: plant[gauge].quantity, channel, last: None })
        });
        Hearing {
            intake,
            gauges: named.collect(),
            listing: Listing::default(),
            now: Moment { since: 0.0, time: 0 },
            told_at: None,
            keep,
            values: 0,
            unfit: 0,
        }
    }

    /// Each gauge heard here: which value it is, what it read last [SI] and when.
    pub fn gauges(&self) -> impl Iterator<Item = (GaugeId, &Channel, Option<(f64, Moment)>)> {
        self.gauges.iter().map(|named| (named.gauge, &named.channel, named.last))
    }

    /// A value that tells for itself which gauge it is.
    pub fn told(&mut self, gauge: GaugeId, value: f64) {
        self.values += 1;
        self.intake.take(gauge, value, self.now, self.keep);
    }
}

impl Listener for Hearing {
    fn value(&mut self, heading: &Heading, field: &Field<'_>, reading: Reading) {
        self.listing.value(heading, field, reading);
        self.told_at = heading.stamp.seconds();
        let Reading::Value(value) = reading else { return };
        for named in self.gauges.iter_mut().filter(|named| named.channel.is(heading, field)) {
            if field.quantity != Some(named.quantity) {
                self.unfit += 1;
                continue;
            }
            self.values += 1;
            named.last = Some((value, self.now));
            self.intake.take(named.gauge, value, self.now, self.keep);
        }
    }

    fn fault(&mut self, line: u64, fault: Fault) {
        self.listing.fault(line, fault);
    }
}
