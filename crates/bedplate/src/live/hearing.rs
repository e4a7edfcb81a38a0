//! One wire, as it is heard: which value of a bus is which gauge, and what is nobody's yet.

use crate::inbox::{Inbox, Moment};
use bus::channel::Channel;
use bus::heard::{Fault, Heading, Listener, Reading};
use bus::listing::Listing;
use bus::table::Field;
use plant::names::folded;
use plant::plant::{GaugeId, Plant};
use std::sync::Arc;
use watch::dial::of_dial;

/// Hears one wire: gauges of the vessel go on to the inbox, and everything into a listing of a fixed size.
pub struct Hearing {
    inbox: Arc<Inbox>,
    gauges: Vec<Named>,
    /// Gauges that have a topic of their own.
    topics: Vec<Topic>,
    plant: Arc<Plant>,
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
    channel: Channel,
    /// What it read last [SI], and when.
    last: Option<(f64, Moment)>,
}

/// A gauge and its topic.
struct Topic {
    gauge: GaugeId,
    topic: String,
    last: Option<(f64, Moment)>,
}

impl Hearing {
    /// On a wire that these gauges are heard on; all that say which value they are, where none are named.
    pub fn new(plant: &Arc<Plant>, only: &[GaugeId], inbox: Arc<Inbox>, keep: bool) -> Hearing {
        let here = |gauge: &GaugeId| only.is_empty() || only.contains(gauge);
        let named = plant.gauge_ids().filter(here).filter_map(|gauge| {
            let channel = plant[gauge].heard.clone()?;
            Some(Named { gauge, channel, last: None })
        });
        Hearing {
            inbox,
            gauges: named.collect(),
            topics: Vec::new(),
            plant: plant.clone(),
            listing: Listing::default(),
            now: Moment { since: 0.0, time: 0 },
            told_at: None,
            keep,
            values: 0,
            unfit: 0,
        }
    }

    /// The same on a broker, where gauges have topics and no gauge is a value of a bus.
    #[must_use]
    pub fn by_topics(self, topics: Vec<(GaugeId, String)>) -> Hearing {
        let topics = topics.into_iter().map(|(gauge, topic)| Topic { gauge, topic, last: None }).collect();
        Hearing { gauges: Vec::new(), topics, ..self }
    }

    /// Each gauge heard here: which value it is, what it read last [SI] and when.
    pub fn gauges(&self) -> impl Iterator<Item = (GaugeId, String, Option<(f64, Moment)>)> {
        let named = self.gauges.iter().map(|named| (named.gauge, named.channel.to_string(), named.last));
        named.chain(self.topics.iter().map(|topic| (topic.gauge, topic.topic.clone(), topic.last)))
    }

    /// A message of a broker: a number, with its unit or without, under the topic of a gauge; or an object that tells `value`
    /// and perhaps `unit`, and under no gauge's topic `gauge`.
    pub fn message(&mut self, topic: &str, payload: &[u8]) {
        match self.read(topic, payload) {
            Some((gauge, value)) => {
                self.values += 1;
                if let Some(own) = self.topics.iter_mut().find(|own| own.gauge == gauge) {
                    own.last = Some((value, self.now));
                }
                self.inbox.take(gauge, value, self.now, self.keep);
            }
            None => self.unfit += 1,
        }
    }

    fn read(&self, topic: &str, payload: &[u8]) -> Option<(GaugeId, f64)> {
        let text = std::str::from_utf8(payload).ok()?.trim();
        let own = self.topics.iter().find(|own| own.topic == topic).map(|own| own.gauge);
        let with_unit = || {
            let (number, unit) = text.split_once(char::is_whitespace)?;
            Some(serde_json::json!({ "value": number.parse::<f64>().ok()?, "unit": unit.trim() }))
        };
        let told: serde_json::Value = serde_json::from_str(text).ok().or_else(with_unit)?;
        let named = || self.plant.gauge(&folded(told.get("gauge")?.as_str()?));
        let gauge = own.or_else(named)?;
        let number = told.as_f64().or_else(|| told.get("value")?.as_f64())?;
        if self.plant[gauge].trips.is_some() {
            return None;
        }
        Some((gauge, of_dial(&self.plant[gauge], number, told.get("unit").and_then(serde_json::Value::as_str))?))
    }
}

impl Listener for Hearing {
    fn value(&mut self, heading: &Heading, field: &Field<'_>, reading: Reading) {
        self.listing.value(heading, field, reading);
        self.told_at = heading.stamp.seconds();
        let Reading::Value(value) = reading else { return };
        for named in self.gauges.iter_mut().filter(|named| named.channel.is(heading, field)) {
            let meant = field.quantity.and_then(|quantity| self.plant[named.gauge].reads_as(value, quantity));
            let Some(value) = meant else {
                self.unfit += 1;
                continue;
            };
            self.values += 1;
            named.last = Some((value, self.now));
            self.inbox.take(named.gauge, value, self.now, self.keep);
        }
    }

    fn fault(&mut self, line: u64, fault: Fault) {
        self.listing.fault(line, fault);
    }
}
