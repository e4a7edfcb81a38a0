//! What a gauge is when only its place and what it reads are told: kind, unit, scale, accuracy.
//!
//! Accuracies follow the table of instruments beside the failure rates; the class taken is named in each row.

use measure::quantity::Quantity::{self, *};
use parts::kind::Circuit;

/// What gauges read, by the vessel file's word.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) enum Reads {
    Temperature,
    Pressure,
    Vacuum,
    Speed,
    Flow,
    Voltage,
    Current,
    Level,
    Pitch,
    Drop,
}

/// The words for them.
pub(crate) const READS: &[(&str, Reads)] = &[
    ("temperature", Reads::Temperature),
    ("pressure", Reads::Pressure),
    ("vacuum", Reads::Vacuum),
    ("speed", Reads::Speed),
    ("flow", Reads::Flow),
    ("voltage", Reads::Voltage),
    ("current", Reads::Current),
    ("level", Reads::Level),
    ("pitch", Reads::Pitch),
    ("drop", Reads::Drop),
];

impl Reads {
    /// The kind of gauge, and the one that stands in for it.
    pub fn kind(self) -> &'static str {
        match self {
            Reads::Temperature => "temperature-gauge",
            Reads::Pressure | Reads::Vacuum | Reads::Drop => "pressure-gauge",
            Reads::Speed => "speed-gauge",
            Reads::Flow => "flow-gauge",
            Reads::Voltage => "voltage-gauge",
            Reads::Current => "current-gauge",
            Reads::Level => "level-gauge",
            Reads::Pitch => "pitch-gauge",
        }
    }

    /// The word in a vessel file.
    pub fn word(self) -> &'static str {
        READS.iter().find(|(_, reads)| *reads == self).map_or("", |(word, _)| word)
    }
}

/// A usual instrument.
#[derive(Copy, Clone, Debug)]
pub(crate) struct Instrument {
    reads: Reads,
    quantity: Quantity,
    /// Where: none is anywhere else.
    circuit: Option<Circuit>,
    pub unit: &'static str,
    /// Lowest and highest mark [that unit].
    pub scale: (f64, f64),
    /// Error that a sound one stays inside 19 times in 20 [that unit].
    pub accuracy: f64,
}

const fn row(
    reads: Reads,
    quantity: Quantity,
    circuit: Option<Circuit>,
    unit: &'static str,
    scale: (f64, f64),
    accuracy: f64,
) -> Instrument {
    Instrument { reads, quantity, circuit, unit, scale, accuracy }
}

/// Usual instruments; of several that fit, the first. Scales are common practice, no source.
#[rustfmt::skip]
const INSTRUMENTS: &[Instrument] = &[
    // panel-temp-sender: sender, wire and instrument together.
    row(Reads::Temperature, Temperature, Some(Circuit::FreshWater), "°C", (40.0, 120.0), 9.0),
    row(Reads::Temperature, Temperature, Some(Circuit::Oil), "°C", (50.0, 150.0), 9.0),
    row(Reads::Temperature, Temperature, Some(Circuit::GearOil), "°C", (30.0, 120.0), 9.0),
    // thermocouple-k2: 2.5 K or 0.75 %, at the 450 °C where it is read; and exhaust-hose-sensor 5 K.
    row(Reads::Temperature, Temperature, Some(Circuit::Exhaust), "°C", (0.0, 700.0), 5.0),
    // ntc-engine: whoever fits a gauge to raw water, sea or air fits an electronic one.
    row(Reads::Temperature, Temperature, None, "°C", (0.0, 100.0), 2.0),
    // panel-pressure-sender.
    row(Reads::Pressure, GaugePressure, Some(Circuit::Oil), "bar", (0.0, 7.0), 0.34),
    // bourdon-2.5, of its span.
    row(Reads::Pressure, GaugePressure, Some(Circuit::GearOil), "bar", (0.0, 25.0), 0.63),
    row(Reads::Pressure, GaugePressure, Some(Circuit::Exhaust), "kPa", (0.0, 25.0), 0.63),
    row(Reads::Pressure, GaugePressure, Some(Circuit::Fuel), "bar", (0.0, 1.0), 0.025),
    row(Reads::Pressure, GaugePressure, None, "bar", (0.0, 2.5), 0.063),
    // vacuum-gauge.
    row(Reads::Vacuum, GaugePressure, None, "kPa", (0.0, 100.0), 3.0),
    // bourdon-2.5, of its span.
    row(Reads::Drop, PressureDifference, None, "kPa", (0.0, 100.0), 2.5),
    // tach-alternator: 3 % of cruising speed, since most small engines have that sort.
    row(Reads::Speed, RotationalSpeed, None, "rpm", (0.0, 3000.0), 45.0),
    // From memory: a paddle wheel log.
    row(Reads::Speed, Velocity, None, "kn", (0.0, 15.0), 0.3),
    // paddle-flow.
    row(Reads::Flow, VolumeFlow, Some(Circuit::RawWater), "L/min", (0.0, 300.0), 9.0),
    row(Reads::Flow, VolumeFlow, None, "L/min", (0.0, 600.0), 18.0),
    row(Reads::Flow, MassFlow, None, "kg/h", (0.0, 60.0), 2.0),
    // voltmeter-panel.
    row(Reads::Voltage, Voltage, None, "V", (8.0, 16.0), 0.3),
    // ammeter-shunt, of its span.
    row(Reads::Current, Current, None, "A", (-100.0, 100.0), 2.0),
    // float-level.
    row(Reads::Level, Level, None, "%", (0.0, 100.0), 10.0),
    // pitch-indicator, of its travel ahead.
    row(Reads::Pitch, Ratio, None, "%", (-100.0, 130.0), 3.0),
];

/// The usual instrument for what is read there.
pub(crate) fn usual(reads: Reads, quantity: Quantity, circuit: Option<Circuit>) -> Option<Instrument> {
    let fits = |row: &&Instrument| row.reads == reads && row.quantity == quantity;
    let here = INSTRUMENTS.iter().filter(fits).find(|row| row.circuit.is_some() && row.circuit == circuit);
    here.or_else(|| INSTRUMENTS.iter().filter(fits).find(|row| row.circuit.is_none())).copied()
}

/// Error of a lamp switch that it stays inside 19 times in 20, in the unit named: oil-pressure-switch, temp-switch.
pub(crate) fn switch(reads: Reads) -> Option<(f64, &'static str)> {
    match reads {
        Reads::Temperature => Some((4.0, "K")),
        Reads::Pressure => Some((0.15, "bar")),
        _ => None,
    }
}
