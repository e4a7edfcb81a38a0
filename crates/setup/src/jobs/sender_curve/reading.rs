//! What is told of a sender, as a curve and as the entry for it.

use crate::given::Given;
use crate::job::Refused;
use measure::quantity::Quantity::{self, Current, GaugePressure, Level, Resistance, Temperature, Voltage};
use measure::unit::convert_to;
use physics::constants::ZERO_CELSIUS;
use physics::sender::Thermistor;
use plant::sends::{Curve, Law};

/// Senders a measured one may be: two points of each (resistance [Ω], level [1]). Source: the check values, suppliers' pages.
pub(super) const FLOATS: [(&str, f64, f64); 3] = [
    ("240 Ω empty, 33 Ω full", 240.0, 33.0),
    ("10 Ω empty, 180 Ω full", 10.0, 180.0),
    ("0 Ω empty, 190 Ω full", 0.0, 190.0),
];
/// A sender: its curve, what it measures, and its entry.
pub(super) struct Sender {
    pub(super) curve: Curve,
    pub(super) of: Quantity,
    /// Least and most of the table [SI].
    pub(super) ends: (f64, f64),
    pub(super) entry: String,
}

/// Unit that a value is written in.
pub(super) fn unit(of: Quantity) -> &'static str {
    match of {
        Temperature => "°C",
        Level => "%",
        _ => "bar",
    }
}

/// "103 ohm", as an entry has it.
fn told(signal: f64, gives: Quantity) -> String {
    match gives {
        Current => format!("{} mA", rounded(signal * 1e3)),
        Voltage => format!("{} V", rounded(signal)),
        _ => format!("{} ohm", rounded(signal)),
    }
}

fn rounded(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

/// "60 C", as an entry has it.
fn value_told(value: f64, of: Quantity) -> String {
    let written = rounded(convert_to(value, of, unit(of)).unwrap_or(value));
    format!("{written} {}", if of == Temperature { "C" } else { unit(of) })
}

/// A list: its key, what it is of, its values [SI].
type List = (&'static str, Quantity, Vec<f64>);
/// What the signals are, what the values are, and both [SI].
type Pairs = (Quantity, Quantity, Vec<(f64, f64)>);

/// The one of several lists that is told, and what it is of.
fn one_list(given: &Given, keys: [(&'static str, Quantity); 3], what: &str) -> Result<Option<List>, Refused> {
    let all: Vec<_> =
        keys.into_iter().map(|(key, of)| (key, of, given.list(key))).filter(|(.., list)| !list.is_empty()).collect();
    match &all[..] {
        [] => Ok(None),
        [one] => Ok(Some(one.clone())),
        [_, (key, ..), ..] => Err(Refused::of(key, format!("{what} is told in two ways"), "Tell one of them.")),
    }
}

/// Pairs of signal and value, in rising order of signals.
fn pairs(given: &Given) -> Result<Pairs, Refused> {
    let signals = one_list(
        given,
        [("given-ohms", Resistance), ("given-milliamps", Current), ("given-volts", Voltage)],
        "what it gave",
    )?
    .ok_or_else(|| {
        Refused::of("given-ohms", "what it gave is not told", "Tell given-ohms, given-milliamps or given-volts.")
    })?;
    let meant = one_list(
        given,
        [("meant-temperatures", Temperature), ("meant-pressures", GaugePressure), ("meant-levels", Level)],
        "what that means",
    )?
    .ok_or_else(|| {
        Refused::of(
            "meant-temperatures",
            "what that means is not told",
            "Tell meant-temperatures, meant-pressures or meant-levels.",
        )
    })?;
    if signals.2.len() != meant.2.len() || meant.2.len() < 2 {
        return Err(Refused::of(
            meant.0,
            format!("{} values at {} signals", meant.2.len(), signals.2.len()),
            "Two or more of each, in the same order.",
        ));
    }
    let mut points: Vec<(f64, f64)> = signals.2.into_iter().zip(meant.2).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let apart = points.windows(2).all(|pair| pair[0].0 < pair[1].0);
    let one_way =
        points.windows(2).all(|pair| pair[0].1 < pair[1].1) || points.windows(2).all(|pair| pair[0].1 > pair[1].1);
    if !apart || !one_way {
        return Err(Refused::of(
            meant.0,
            "the curve does not rise or fall all the way",
            "Each signal must mean one thing: leave out or measure again what does not fit.",
        ));
    }
    Ok((signals.1, meant.1, points))
}

pub(super) fn sender(given: &Given) -> Result<Sender, Refused> {
    let thermal = |law: Law, gives: Quantity, ends: (f64, f64), entry: String| Sender {
        curve: Curve { gives, law },
        of: Temperature,
        ends: (ZERO_CELSIUS + ends.0, ZERO_CELSIUS + ends.1),
        entry,
    };
    let float = |(_, empty, full): (&str, f64, f64)| {
        let mut points = vec![(empty, 0.0), (full, 1.0)];
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let entry = format!("points = [[\"{empty} ohm\", \"0 %\"], [\"{full} ohm\", \"100 %\"]]");
        Sender { curve: Curve { gives: Resistance, law: Law::Points(points) }, of: Level, ends: (0.0, 1.0), entry }
    };
    let ohms = given.maybe("sender-ohms");
    Ok(match given.word("sender-sort") {
        "platinum" => {
            let ohms = ohms.unwrap_or(100.0);
            thermal(Law::Platinum(ohms), Resistance, (-20.0, 180.0), format!("platinum = \"{ohms} ohm\""))
        }
        "type-k" => {
            let terminals = given.value("terminals")?;
            let entry = format!("thermocouple = \"K\", terminals = \"{} C\"", rounded(terminals - ZERO_CELSIUS));
            thermal(Law::TypeK(terminals), Voltage, (0.0, 700.0), entry)
        }
        "thermistor" => thermistor(given, ohms)?,
        "level-240-33" => float(FLOATS[0]),
        "level-10-180" => float(FLOATS[1]),
        _ => {
            let (gives, of, points) = pairs(given)?;
            let each: Vec<String> = points
                .iter()
                .map(|(signal, value)| format!("[\"{}\", \"{}\"]", told(*signal, gives), value_told(*value, of)))
                .collect();
            let entry = format!("points = [{}]", each.join(", "));
            let values = points.iter().map(|point| point.1);
            let ends = (values.clone().fold(f64::INFINITY, f64::min), values.fold(f64::NEG_INFINITY, f64::max));
            Sender { curve: Curve { gives, law: Law::Points(points) }, of, ends, entry }
        }
    })
}

fn thermistor(given: &Given, ohms: Option<f64>) -> Result<Sender, Refused> {
    let ends = (ZERO_CELSIUS, ZERO_CELSIUS + 120.0);
    let of = |law: Thermistor, entry: String| Sender {
        curve: Curve { gives: Resistance, law: Law::Thermistor(law) },
        of: Temperature,
        ends,
        entry,
    };
    if let (Some(ohms), Some(beta)) = (ohms, given.maybe("beta")) {
        let entry = format!("thermistor = \"{ohms} ohm\", beta = \"{beta} K\"");
        return Ok(of(Thermistor::of_beta(ohms, ZERO_CELSIUS + 25.0, beta), entry));
    }
    let (gives, meant, points) = pairs(given).map_err(|_| {
        Refused::of(
            "sender-ohms",
            "a thermistor needs its resistance and beta, or three points",
            "Tell sender-ohms=\"10 kohm\" and beta=\"3950 K\", or given-ohms and meant-temperatures of three points.",
        )
    })?;
    let three = <[(f64, f64); 3]>::try_from(points)
        .ok()
        .filter(|points| gives == Resistance && meant == Temperature && points[0].0 > 0.0);
    let law = three.and_then(Thermistor::through);
    match (law, three) {
        (Some(law), Some(points)) => {
            let each: Vec<String> = points
                .iter()
                .map(|(ohms, at)| format!("[\"{}\", \"{}\"]", told(*ohms, Resistance), value_told(*at, Temperature)))
                .collect();
            Ok(of(law, format!("thermistor = [{}]", each.join(", "))))
        }
        _ => Err(Refused::of(
            "given-ohms",
            "no falling curve of a thermistor goes through these",
            "Three points, such as ice, warm and boiling water; its resistance falls as it warms. With more points or two, take sender-sort=points.",
        )),
    }
}
