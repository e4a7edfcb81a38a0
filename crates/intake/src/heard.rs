//! Recordings of a bus: what is said there of the vessel's gauges.

use crate::clock::Clock;
use crate::fault::Fault;
use crate::intake::{Reading, Sink};
use crate::moment::Moment;
use bus::channel::Channel;
use bus::decoder::Decoder;
use bus::heard::{Fault as BusFault, Heading, Listener, Reading as Said};
use bus::stamp::Stamp;
use bus::table::Field;
use plant::plant::{GaugeId, Plant};

/// Hears the gauges that say which value of a bus they are.
pub(crate) struct Ears<'a> {
    plant: &'a Plant,
    clock: &'a mut Clock,
    sink: &'a mut dyn Sink,
}

impl<'a> Ears<'a> {
    pub fn new(plant: &'a Plant, clock: &'a mut Clock, sink: &'a mut dyn Sink) -> Ears<'a> {
        Ears { plant, clock, sink }
    }
}

/// The gauges of a plant that are heard on a bus.
pub(crate) fn heard(plant: &Plant) -> impl Iterator<Item = (GaugeId, &Channel)> {
    plant.gauge_ids().filter_map(|id| plant[id].heard.as_ref().map(|channel| (id, channel)))
}

impl Listener for Ears<'_> {
    fn value(&mut self, heading: &Heading, field: &Field<'_>, reading: Said) {
        let Said::Value(value) = reading else { return };
        for (gauge, channel) in heard(self.plant) {
            if !channel.is(heading, field) {
                continue;
            }
            // A transducer tells only as it speaks what it is of.
            let meant = field.quantity.and_then(|quantity| self.plant[gauge].reads_as(value, quantity));
            let Some(value) = meant else { continue };
            let moment = match heading.stamp {
                Stamp::Universal(nanos) => Moment::Universal(nanos.div_euclid(1_000_000)),
                Stamp::Day(nanos) => Moment::Day(nanos.div_euclid(1_000_000)),
                Stamp::None => {
                    self.sink.fault(heading.line, Fault::NoDay);
                    continue;
                }
            };
            match self.clock.universal(moment, None, b"") {
                Ok(time) => self.sink.reading(heading.line, Reading { gauge, time, value }),
                Err(fault) => self.sink.fault(heading.line, fault),
            }
        }
    }

    fn fault(&mut self, line: u64, fault: BusFault) {
        self.sink.fault(line, Fault::Bus(fault));
    }
}

/// Whether the lines of a text are a recording: more than half of them are in one of its layouts.
pub(crate) fn is_recording(head: &[u8]) -> bool {
    #[derive(Default)]
    struct Count {
        strange: u64,
    }
    impl Listener for Count {
        fn value(&mut self, _: &Heading, _: &Field<'_>, _: Said) {}
        fn fault(&mut self, _: u64, fault: BusFault) {
            self.strange += u64::from(matches!(fault, BusFault::Layout | BusFault::TooLong | BusFault::Number));
        }
    }
    let (mut decoder, mut count) = (Decoder::new(), Count::default());
    decoder.bytes(head, &mut count);
    let lines = decoder.lines();
    lines > 0 && count.strange * 2 < lines
}
