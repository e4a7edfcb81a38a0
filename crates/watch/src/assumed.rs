//! What an answer rests on without anybody having told it: parts assumed, typical figures, and which of them weigh most.

use measure::figure::{Figure, Origin, Spread};
use measure::unit::{print_usual, usual_unit};
use model::expect::Expected;
use model::layout::Layout;
use parts::kind::{Circuit, Parameter};
use plant::plant::{Part, PartId, Plant};

/// One figure of one part.
pub struct Told<'a> {
    /// Whose.
    pub part: &'a str,
    /// Which.
    pub parameter: &'static Parameter,
    /// Value, spread, origin.
    pub figure: &'a Figure,
}

/// A figure and how much of the width of the bands it makes.
pub struct Wide<'a> {
    /// The figure.
    pub told: Told<'a>,
    /// Mean share over the gauges [1].
    pub share: f64,
}

/// Parts that nobody described.
pub fn parts(plant: &Plant) -> Vec<String> {
    plant.parts.iter().filter(|part| part.assumed).map(|part| part.name.clone()).collect()
}

/// The same, each with what cools it where that is an assumption too.
pub fn parts_in_words(plant: &Plant) -> Vec<String> {
    let in_coolant = |part: &Part| {
        let ways = part.kind.passages.iter().zip(&part.flows);
        let either = ways.filter(|(way, _)| way.carries == [Circuit::RawWater, Circuit::FreshWater]);
        either.filter_map(|(_, flow)| *flow).any(|flow| plant.flows[flow.0].circuit == Circuit::FreshWater)
    };
    let word = |part: &Part| if in_coolant(part) { " (cooled by coolant)" } else { "" };
    plant.parts.iter().filter(|part| part.assumed).map(|part| part.name.clone() + word(part)).collect()
}

/// Every uncertain figure of the plant.
pub fn uncertain(plant: &Plant) -> impl Iterator<Item = Told<'_>> {
    (0..plant.parts.len()).flat_map(|p| {
        let part = &plant.parts[p];
        let figures = part.kind.parameters.iter().zip(&part.figures);
        figures.filter(|(_, figure)| figure.spread != Spread::Exact).map(|(parameter, figure)| Told {
            part: &part.name,
            parameter,
            figure,
        })
    })
}

/// Those that are typical of the sort, for want of better.
pub fn typical(plant: &Plant) -> impl Iterator<Item = Told<'_>> {
    uncertain(plant).filter(|told| told.figure.origin == Origin::Typical)
}

/// The figures that make the bands wide, widest first.
pub fn widest<'a>(plant: &'a Plant, expected: &Expected) -> Vec<Wide<'a>> {
    let layout = Layout::of(plant);
    let last_before =
        |place: usize| (0..plant.parts.len()).rev().map(PartId).find(|id| layout.first_parameter(*id) <= place);
    expected
        .widest
        .iter()
        .filter_map(|&(place, share)| {
            let id = last_before(place)?;
            let (part, k) = (&plant[id], place - layout.first_parameter(id));
            let told = Told { part: &part.name, parameter: part.kind.parameters.get(k)?, figure: part.figures.get(k)? };
            share.is_finite().then_some(Wide { told, share })
        })
        .collect()
}

impl Told<'_> {
    /// What it is, without its unit: "Rated power at the flywheel".
    pub fn title(&self) -> String {
        let title = self.parameter.title.trim().trim_end_matches('.');
        match title.rfind(" [") {
            Some(unit) => title[..unit].to_string(),
            None => title.to_string(),
        }
    }

    /// Value and band: "12.4 kPa, 8 to 18".
    pub fn value(&self) -> String {
        let quantity = self.parameter.quantity;
        let (low, high) = self.figure.spread.band(self.figure.value);
        if low == high {
            return print_usual(self.figure.value, quantity);
        }
        let unit = usual_unit(quantity);
        let bare =
            |value| measure::unit::print(value, quantity, unit).unwrap_or_default().replace(&format!(" {unit}"), "");
        format!("{}, {} to {}", print_usual(self.figure.value, quantity), bare(low), bare(high))
    }

    /// Where it comes from.
    pub fn source(&self) -> &str {
        match (&self.figure.source, self.figure.origin) {
            (Some(source), _) => source,
            (None, Origin::Typical) => self.parameter.source,
            (None, _) => "vessel file",
        }
    }
}
