//! Where a plant and its store meet: gauges as the store keeps them, and values as whole steps.
//!
//! The store knows no vessel, and the plant keeps nothing; this is the one place that joins them. It opens `log.db` in
//! the vessel's folder, tells the store of every gauge, and turns values [SI] into steps and back.
//!
//! **Step.** 1 or 5 times a power of ten of the dial's unit, the greatest such that is not above a tenth of the gauge's
//! flicker, or of its lasting error where that is less: rounding to it adds less than a thousandth to the variance of the
//! flicker, and a number read off the dial comes back as it was written.
//! **Zero.** The zero of the dial: 0 °C of a gauge in °C.
//! **Feed.** Gauges that are heard in one message share a feed, and so one column of times. Others are kept alone, or
//! together in a feed that whoever opens the store names, if it hands them over at the same moments.
//!
//! What a gauge was first kept as it stays: a file imported again then finds its readings, even if the description has
//! since said more of the gauge. Only one that has become finer than its steps gets new ones.

use bus::channel::{Channel, kind_word};
use measure::unit::Scale;
use plant::plant::{Gauge, GaugeId, Plant};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use store::{Arrival, Event, Kept, Pending, Reader, Reading, Series, Store, StoreError};

/// The store in a vessel's folder.
pub const FILE: &str = "log.db";
/// Steps go so far from zero, as the store takes them.
const MOST_STEPS: f64 = (1_i64 << 40) as f64;
/// Times go so far from 1970 either way [ms]: to the end of the year 9999.
const FURTHEST: u64 = 253_402_300_800_000;
/// A step is at most this share of the flicker [1].
const FINER: f64 = 0.1;

/// The store of one vessel, open for writing, with her gauges.
pub struct Keeping {
    store: Store,
    /// One for each gauge of the plant.
    scales: Vec<Steps>,
}

/// A gauge as it is kept.
struct Steps {
    name: String,
    series: Series,
    step: f64,
    zero: f64,
}

/// The file that keeps the readings of the vessel in this folder, or of the description in this file.
pub fn file(vessel: &Path) -> PathBuf {
    let folder = if vessel.is_dir() { vessel } else { vessel.parent().unwrap_or(Path::new("")) };
    folder.join(FILE)
}

/// Where to read a vessel's log; nothing if there is none yet, or it cannot be read.
pub fn reader(vessel: &Path) -> Option<Reader> {
    let file = file(vessel);
    if file.exists() { Reader::open(&file).ok() } else { None }
}

impl Keeping {
    /// Opens a vessel's store for writing, and makes it if there is none. Gauges that are on no bus share the feed `together`
    /// if one is named.
    ///
    /// # Errors
    /// [`StoreError`]: in use by another program, read-only, of a later version, no store.
    pub fn open(vessel: &Path, plant: &Plant, together: Option<&str>) -> Result<Keeping, StoreError> {
        let store = Store::open(&file(vessel))?;
        let known = store.reader().gauges()?;
        let mut scales = Vec::with_capacity(plant.gauges.len());
        for gauge in &plant.gauges {
            let wanted = as_kept(gauge, together);
            // The latest is the last of its name.
            let before = known.iter().rfind(|known| known.name == gauge.name);
            let kept = before.filter(|before| stands_for(before, &wanted)).unwrap_or(&wanted);
            let series = store.register(kept)?;
            scales.push(Steps { name: kept.name.clone(), series, step: kept.step, zero: kept.zero });
        }
        Ok(Keeping { store, scales })
    }

    /// A value of a gauge [SI, as the gauge reads: pressure over the atmosphere] at a time [ms since 1970, UTC], as the
    /// store takes it; nothing for what no gauge can show and no clock can tell.
    pub fn reading(&self, gauge: GaugeId, time: i64, value: f64) -> Option<Reading> {
        let scale = &self.scales[gauge.0];
        let steps = ((value - scale.zero) / scale.step).round();
        // A value that is no number is within no bounds.
        (steps.abs() <= MOST_STEPS && time.unsigned_abs() < FURTHEST).then_some(Reading {
            series: scale.series,
            time,
            steps: steps as i64,
        })
    }

    /// What is kept of a value [SI of the gauge's quantity].
    pub fn rounded(&self, gauge: GaugeId, value: f64) -> f64 {
        let scale = &self.scales[gauge.0];
        scale.zero + ((value - scale.zero) / scale.step).round() * scale.step
    }

    /// Gives readings to be kept: live ones as they come, imported ones in any order. They are safe once
    /// [`Pending::wait`] has returned, a quarter of a second later or so; until then more may be given.
    ///
    /// # Errors
    /// If the store is closed.
    pub fn append(&self, readings: Vec<Reading>, arrival: Arrival) -> Result<Pending, StoreError> {
        self.store.append(readings, arrival)
    }

    /// Gives events to be kept as they happen. They are safe once [`Pending::wait`] has returned.
    ///
    /// # Errors
    /// If the store is closed, or an event is out of range.
    pub fn note(&self, events: Vec<Event>) -> Result<Pending, StoreError> {
        self.store.note(events, Arrival::Live)
    }

    /// The last reading of a gauge, if it ever had one.
    ///
    /// # Errors
    /// If the file cannot be read, or is damaged there.
    pub fn latest(&self, gauge: GaugeId) -> Result<Option<Kept>, StoreError> {
        self.store.reader().latest(&self.scales[gauge.0].name)
    }

    /// Where to read more: plots and single readings, by the gauge's name.
    pub fn reader(&self) -> &Reader {
        self.store.reader()
    }
}

/// A gauge as a new store would keep it.
fn as_kept(gauge: &Gauge, together: Option<&str>) -> store::Gauge {
    let feed = gauge.heard.as_ref().map(message).or_else(|| together.map(str::to_string));
    // An alarm is on or off.
    let (step, zero) = if gauge.trips.is_some() { (1.0, 0.0) } else { scale(gauge) };
    store::Gauge { name: gauge.name.clone(), feed: feed.unwrap_or_else(|| gauge.name.clone()), step, zero }
}

/// Step and zero of a gauge [SI of its quantity].
fn scale(gauge: &Gauge) -> (f64, f64) {
    // The dial's own unit is one of its quantity, or it is none at all.
    let dial = Scale::of(&gauge.unit, gauge.quantity);
    let (one, zero) = dial.map_or((1.0, 0.0), |dial| (dial.one(), dial.si(0.0)));
    let flicker = if gauge.noise > 0.0 { gauge.noise.min(gauge.accuracy) } else { gauge.accuracy };
    let bound = (flicker * FINER / one).clamp(1e-12, 1e12);
    // A bound that is a power of ten itself must not slip below it by a rounding.
    let power = (bound.log10() + 1e-9).floor();
    let decade = 10_f64.powf(power);
    let step = if bound * (1.0 + 1e-9) >= 5.0 * decade { 5.0 * decade } else { decade };
    (step * one, zero)
}

/// Whether readings of a gauge may go on as they were kept before: from the same zero, in steps no coarser than are wanted.
fn stands_for(before: &store::Gauge, wanted: &store::Gauge) -> bool {
    let same_zero = (before.zero - wanted.zero).abs() <= 1e-6 * wanted.step.max(before.step);
    same_zero && before.step <= wanted.step * (1.0 + 1e-9)
}

/// The step in which a gauge is kept, on its dial [the gauge's unit].
pub fn step_on_dial(gauge: &Gauge) -> f64 {
    let (step, _) = scale(gauge);
    Scale::of(&gauge.unit, gauge.quantity).map_or(step, |dial| step / dial.one())
}

/// What a gauge is heard in, without the field that it is of.
fn message(channel: &Channel) -> String {
    let mut feed = channel.what.to_string();
    if let Some(instance) = channel.instance {
        let _ = write!(feed, " instance {instance}");
    }
    if let Some(kind) = channel.kind {
        let _ = write!(feed, " kind {}", kind_word(channel.what, kind));
    }
    if let Some(sender) = channel.sender {
        let _ = write!(feed, " from {sender}");
    }
    feed
}

#[cfg(test)]
mod tests {
    use super::*;

    const VESSEL: &str = r#"
[vessel]
name = "Kept"
[engine.main]
kind = "diesel"
rated = { power = "60 kW", speed = "1800 rpm" }
[circuit]
raw-water = ["seacock", "strainer", "raw-pump", "exchanger", "elbow"]
[gauge.coolant]
at = "engine.coolant-out"
reads = "temperature"
accuracy = "2 °C"
[gauge.hot]
at = "engine.coolant-out"
reads = "temperature"
unit = "°F"
accuracy = "2 °C"
noise = "0 °C"
[gauge.oil]
at = "engine.oil-in"
reads = "pressure"
heard = "127489 oil-pressure instance 0 from 16"
[gauge.bath]
at = "engine.coolant-out"
reads = "temperature"
heard = "127489 temperature instance 0 from 16"
"#;

    fn vessel(text: &str) -> Plant {
        let (plant, findings) = plant::reader::read(text);
        assert!(!findings.iter().any(plant::finding::Finding::is_fatal), "{findings:?}");
        plant.expect("a plant")
    }

    #[test]
    fn steps_are_decimal_on_the_dial_and_finer_than_the_flicker() {
        let plant = vessel(VESSEL);
        let of = |name: &str| scale(&plant[plant.gauge(name).expect("it is there")]);
        // 2 °C of accuracy flicker by 0.5 °C: a tenth of that is 0.05 °C.
        let (step, zero) = of("coolant");
        assert!((step - 0.05).abs() < 1e-12 && (zero - 273.15).abs() < 1e-9, "{step} {zero}");
        // Nothing told of flicker: 3.6 °F of accuracy, so a tenth of a degree Fahrenheit.
        let (step, zero) = of("hot");
        assert!((step - 0.1 * 5.0 / 9.0).abs() < 1e-12 && (zero - 255.372_222).abs() < 1e-5, "{step} {zero}");
        for gauge in &plant.gauges {
            let (step, _) = scale(gauge);
            let flicker = if gauge.noise > 0.0 { gauge.noise } else { gauge.accuracy };
            assert!(step <= 0.1 * flicker * 1.000_001 && step > 0.01 * flicker, "{}: {step}", gauge.name);
        }
    }

    #[test]
    fn what_was_given_is_read_back_and_once_is_once() {
        let folder = tempfile::tempdir().expect("a folder");
        let plant = vessel(VESSEL);
        let coolant = plant.gauge("coolant").expect("it is there");
        let given = |keeping: &Keeping| {
            let value = measure::unit::parse("78.3 °C", measure::quantity::Quantity::Temperature).expect("a value");
            let reading = keeping.reading(coolant, 1_717_200_000_000, value).expect("it fits");
            keeping.append(vec![reading], Arrival::Import).expect("open").wait().expect("written")
        };
        let keeping = Keeping::open(folder.path(), &plant, None).expect("a new store");
        assert_eq!(given(&keeping).stored, 1);
        assert!((keeping.latest(coolant).expect("readable").expect("one").value - (273.15 + 78.3)).abs() < 1e-9);
        assert!(keeping.reading(coolant, 0, f64::NAN).is_none() && keeping.reading(coolant, i64::MIN, 300.0).is_none());
        assert!(matches!(Keeping::open(folder.path(), &plant, None), Err(StoreError::InUse { .. })));
        drop(keeping);
        // Heard on a bus by now, and said to be coarser: it is the same gauge, and the same reading.
        let more =
            VESSEL.replacen("accuracy = \"2 °C\"", "accuracy = \"5 °C\"\nheard = \"127489 temperature instance 1\"", 1);
        let keeping = Keeping::open(folder.path(), &vessel(&more), None).expect("the same store");
        assert_eq!(given(&keeping).repeated, 1);
        drop(keeping);
        // Finer than its steps: it goes on in finer ones, and both are read back.
        let finer = VESSEL.replacen("accuracy = \"2 °C\"", "accuracy = \"0.2 °C\"", 1);
        let keeping = Keeping::open(folder.path(), &vessel(&finer), None).expect("the same store");
        assert_eq!(given(&keeping).stored, 1);
        let all = keeping.reader().readings("coolant", 0..i64::MAX).expect("readable");
        assert_eq!(all.len(), 2);
    }

    #[test]
    fn gauges_of_one_message_share_their_times() {
        let plant = vessel(VESSEL);
        let feed = |name: &str, together| as_kept(&plant[plant.gauge(name).expect("it is there")], together).feed;
        assert_eq!(feed("oil", None), "127489 instance 0 from 16");
        assert_eq!(feed("bath", Some("table")), feed("oil", None));
        assert_eq!((feed("coolant", None), feed("coolant", Some("table"))), ("coolant".into(), "table".into()));
    }
}
