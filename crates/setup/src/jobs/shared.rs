//! What the sizing jobs share: sizes on sale, short ways to write a value, tables, graphs, and where a line is crossed.

use crate::chart::Chart;
use crate::given::Given;
use crate::job::Refused;
use crate::sketch::{Hold, Look, Sketch};
use crate::worked::{self, Table};
use measure::quantity::Quantity;
use physics::halving::zero;

/// Bores of exhaust pipe on sale [m]: inches by halves. Common practice, no source.
pub(super) const PIPES: [f64; 10] =
    [38.1e-3, 50.8e-3, 63.5e-3, 76.2e-3, 88.9e-3, 101.6e-3, 127.0e-3, 152.4e-3, 203.2e-3, 254.0e-3];
/// Bores of hose on sale [m]. Common practice, no source.
pub(super) const HOSES: [f64; 17] = [
    10e-3, 13e-3, 16e-3, 19e-3, 22e-3, 25e-3, 32e-3, 38e-3, 45e-3, 51e-3, 57e-3, 63e-3, 76e-3, 89e-3, 102e-3, 127e-3,
    152e-3,
];
/// Cross-sections of cable on sale [m²]. Source: the series of [IEC60228].
pub(super) const SECTIONS: [f64; 18] = [
    0.5e-6, 0.75e-6, 1e-6, 1.5e-6, 2.5e-6, 4e-6, 6e-6, 10e-6, 16e-6, 25e-6, 35e-6, 50e-6, 70e-6, 95e-6, 120e-6, 150e-6,
    185e-6, 240e-6,
];

/// The least size on sale that is as large as this.
pub(super) fn next_up(sizes: &[f64], least: f64) -> Option<f64> {
    // A hair of rounding is no reason for the next size.
    sizes.iter().copied().find(|size| *size >= least * (1.0 - 1e-9))
}

/// A value in a unit, three figures.
pub(super) fn show(value: f64, quantity: Quantity, unit: &str) -> String {
    worked::shown(value, quantity, unit, None)
}

/// A length to the tenth of a millimetre: "101.6 mm", "51 mm".
pub(super) fn mm(length: f64) -> String {
    let text = format!("{:.1}", length * 1e3);
    format!("{} mm", text.strip_suffix(".0").unwrap_or(&text))
}

/// A share: "85 %", "66.7 %".
pub(super) fn percent(share: f64) -> String {
    show(share, Quantity::Ratio, "%").replace(".0 %", " %").replace(".00 %", " %")
}

/// A temperature: "62 °C".
pub(super) fn celsius(temperature: f64) -> String {
    format!("{:.0} °C", temperature - physics::constants::ZERO_CELSIUS).replace("-0 °C", "0 °C")
}

/// A table.
pub(super) fn table(title: impl Into<String>, heads: &[&str], rows: Vec<Vec<String>>) -> Table {
    Table { title: title.into(), heads: heads.iter().map(|head| (*head).to_string()).collect(), rows }
}

/// Where a function that rises from below nothing to above it crosses, between two ends; nothing if it does not.
pub(super) fn crossing(ends: (f64, f64), rising: impl Fn(f64) -> f64) -> Option<f64> {
    // What cannot be worked (NaN) crosses nothing.
    (rising(ends.0) <= 0.0 && rising(ends.1) >= 0.0).then(|| zero(ends, rising))
}

/// A value, or what is taken in its place.
pub(super) fn or(given: &Given, key: &str, otherwise: f64) -> f64 {
    given.maybe(key).unwrap_or(otherwise)
}

/// Two that must be told together, or neither.
pub(super) fn pair(
    given: &Given,
    one: &'static str,
    other: &'static str,
    what: &str,
) -> Result<Option<(f64, f64)>, Refused> {
    match (given.maybe(one), given.maybe(other)) {
        (Some(a), Some(b)) => Ok(Some((a, b))),
        (None, None) => Ok(None),
        (None, _) => Err(Refused::of(one, format!("{what} needs it beside {other}"), "Tell both, or neither.")),
        (_, None) => Err(Refused::of(other, format!("{what} needs it beside {one}"), "Tell both, or neither.")),
    }
}

/// An axis of a graph: what it is of and its unit, and its ends in that unit.
pub(super) type Axis<'a> = (&'a str, (f64, f64));
/// A line of a graph in the units of its axes, and what is written at its end.
pub(super) type Curve = (Look, Vec<(f64, f64)>, String);

/// A graph: axes with marks at round numbers, and lines left out where the frame ends.
pub(super) fn graph(title: &str, x: Axis, y: Axis, lines: &[Curve]) -> Sketch {
    let mut chart = Chart::new(title, x.1, y.1);
    chart.level(x.0);
    chart.upright(y.0);
    let inside = |(low, high): (f64, f64), value: f64| {
        let hair = 1e-9 * (high - low);
        (low - hair..=high + hair).contains(&value)
    };
    let mut ends = Vec::new();
    for (look, points, says) in lines {
        let points: Vec<(f64, f64)> =
            points.iter().copied().filter(|(a, b)| inside(x.1, *a) && inside(y.1, *b)).collect();
        if let (Some(last), true) = (points.last(), points.len() > 1) {
            ends.push((chart.at(last.0, last.1), says));
            chart.line(*look, &points);
        }
    }
    // Letters stand over every line.
    for ((x, y), says) in ends {
        chart.sketch.letters((x + 1.0, y - 0.8), Hold::Start, says.clone());
    }
    chart.sketch
}
