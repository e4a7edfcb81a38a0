//! What an answer rests on without anybody having told it: parts assumed, typical figures, and which of them weigh most.

use crate::dial;
use measure::figure::{Figure, Origin, Spread};
use measure::quantity::Quantity;
use measure::unit::{print, print_usual};
use model::expect::Expected;
use model::layout::Layout;
use parts::kind::{Circuit, Parameter};
use plant::plant::{Part, PartId, Plant, metered_density, metered_passage};

/// One figure of one part.
pub struct Told<'a> {
    /// Whose.
    pub part: &'a str,
    /// Which.
    pub parameter: &'static Parameter,
    /// Value, spread, origin.
    pub figure: &'a Figure,
    /// Density of the liquid whose flow it tells, if it tells one [kg/m³].
    pub density: Option<f64>,
}

/// Density of the liquid whose flow a parameter of a part tells, as it is told in a vessel file [kg/m³]; none of a gas.
fn density(plant: &Plant, part: &Part, parameter: &Parameter) -> Option<f64> {
    if parameter.quantity != Quantity::MassFlow {
        return None;
    }
    let flow = part.flows.get(metered_passage(part.kind, parameter)).copied().flatten()?;
    metered_density(&plant.flows[flow.0].contents)
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
        let uncertain = figures.filter(|(_, figure)| figure.spread != Spread::Exact);
        uncertain.map(|(parameter, figure)| Told::of(plant, part, parameter, figure))
    })
}

/// Those that are typical of the sort, for want of better.
pub fn typical(plant: &Plant) -> impl Iterator<Item = Told<'_>> {
    uncertain(plant).filter(|told| told.figure.origin == Origin::Typical)
}

/// The figures that make the bands wide, widest first.
pub fn widest<'a>(plant: &'a Plant, expected: &Expected) -> Vec<Wide<'a>> {
    let layout = Layout::of(plant);
    let wide = |&(place, share): &(usize, f64)| {
        let told = at_place(plant, &layout, place)?;
        share.is_finite().then_some(Wide { told, share })
    };
    expected.widest.iter().filter_map(wide).collect()
}

/// The figure at a place of the plant's list of parameters.
pub fn at_place<'a>(plant: &'a Plant, layout: &Layout, place: usize) -> Option<Told<'a>> {
    let id = (0..plant.parts.len()).rev().map(PartId).find(|id| layout.first_parameter(*id) <= place)?;
    let (part, k) = (&plant[id], place - layout.first_parameter(id));
    Some(Told::of(plant, part, part.kind.parameters.get(k)?, part.figures.get(k)?))
}

impl<'a> Told<'a> {
    /// A figure of a part.
    pub fn of(plant: &Plant, part: &'a Part, parameter: &'static Parameter, figure: &'a Figure) -> Told<'a> {
        Told { part: &part.name, parameter, figure, density: density(plant, part, parameter) }
    }

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
        let (low, high) = self.figure.spread.band(self.figure.value);
        let print = |value| in_owners_unit(value, self.parameter.quantity, self.density);
        let (value, unit) = print(self.figure.value);
        let whole = dial::with_unit(&value, unit);
        if low == high { whole } else { format!("{whole}, {} to {}", print(low).0, print(high).0) }
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

/// A value in the unit an owner would use, and that unit: litres a minute of a liquid whose density is known, degrees
/// instead of kelvins.
pub fn in_owners_unit(value: f64, quantity: Quantity, density: Option<f64>) -> (String, &'static str) {
    let told = |value, quantity, unit: &'static str, words: &'static str| {
        let printed = print(value, quantity, unit).unwrap_or_default();
        (printed.strip_suffix(unit).unwrap_or(&printed).trim_end().to_string(), words)
    };
    match (quantity, density) {
        (Quantity::MassFlow, Some(density)) => told(value / density, Quantity::VolumeFlow, "L/min", "L/min"),
        (Quantity::MassFlow, None) => told(value, quantity, "kg/h", "kg/h"),
        (Quantity::TemperatureDifference, _) => told(value, quantity, "K", "°C"),
        (Quantity::FoulingResistance, _) => told(value, quantity, "K/kW", "°C for each kW"),
        (Quantity::ThermalConductance, _) => told(value, quantity, "kW/K", "kW for each °C"),
        (Quantity::HeatCapacity, _) => told(value, quantity, "kJ/K", "kJ for each °C"),
        _ => {
            let usual = print_usual(value, quantity);
            let unit = quantity.units().find(|unit| usual.ends_with(&format!(" {unit}"))).unwrap_or("");
            (usual.strip_suffix(unit).unwrap_or(&usual).trim_end().to_string(), unit)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_stand_in_an_owners_units() {
        let said = |value, quantity, density| {
            let (value, unit) = in_owners_unit(value, quantity, density);
            dial::with_unit(&value, unit)
        };
        assert_eq!(said(1.025, Quantity::MassFlow, Some(1025.0)), "60 L/min");
        assert_eq!(said(0.1, Quantity::MassFlow, None), "360 kg/h");
        assert_eq!(said(8.0, Quantity::TemperatureDifference, None), "8 °C");
        assert_eq!(said(2e-5, Quantity::FoulingResistance, None), "0.02 °C for each kW");
        assert_eq!(said(2000.0, Quantity::ThermalConductance, None), "2 kW for each °C");
        assert_eq!(said(0.051, Quantity::Length, None), "51 mm");
        assert_eq!(said(14.6, Quantity::Length, None), "14.6 m");
        assert_eq!(said(0.6, Quantity::Ratio, None), "0.6");
    }

    #[test]
    fn a_flow_is_told_back_as_it_stands_in_the_vessel_file() {
        let text = include_str!("../../../vessels/marram/vessel.toml");
        let plant = plant::reader::read(text).0.expect("it loads");
        let told = |part: &str, parameter: &str| {
            let part = &plant[plant.part(part).expect("it is there")];
            let place = part.kind.parameters.iter().position(|p| p.name == parameter).expect("it has one");
            Told::of(&plant, part, &part.kind.parameters[place], &part.figures[place]).value()
        };
        assert!(text.contains("cold-flow = \"85 L/min\"") && text.contains("hot-flow = \"160 L/min\""));
        for (parameter, wanted) in [("rated_cold_flow", "85 L/min"), ("rated_hot_flow", "160 L/min")] {
            let value = told("exchanger", parameter);
            assert!(value.starts_with(wanted), "{parameter}: {value}");
        }
        assert!(told("strainer-port", "rated_flow").starts_with("180 L/min"));
    }
}
