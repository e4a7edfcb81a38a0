//! Pieces, litres, kilograms, metres: what an item is counted in.

use measure::quantity::Quantity;
use measure::unit;
use serde::{Deserialize, Serialize};

/// What an item is counted in; amounts of it are pieces, or SI.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Counted {
    /// Pieces [1].
    Pieces,
    /// By volume [m³].
    Volume,
    /// By mass [kg].
    Mass,
    /// By length [m].
    Length,
}

impl Counted {
    /// The quantity of an amount; none of pieces.
    pub fn quantity(self) -> Option<Quantity> {
        Some(match self {
            Counted::Pieces => return None,
            Counted::Volume => Quantity::Volume,
            Counted::Mass => Quantity::Mass,
            Counted::Length => Quantity::Length,
        })
    }

    /// What it is called: "pieces", "a volume".
    pub fn word(self) -> &'static str {
        match self {
            Counted::Pieces => "pieces",
            Counted::Volume => "a volume",
            Counted::Mass => "a mass",
            Counted::Length => "a length",
        }
    }

    /// One of the unit that it is bought by where no pack is told: a piece, a litre, a kilogram, a metre.
    pub fn one(self) -> f64 {
        if self == Counted::Volume { 1e-3 } else { 1.0 }
    }

    /// An amount in words: "3", "14 L".
    pub fn print(self, amount: f64) -> String {
        match self {
            Counted::Pieces => format!("{}", (amount * 100.0).round() / 100.0),
            Counted::Volume => unit::print(amount, Quantity::Volume, "L").unwrap_or_default(),
            Counted::Mass => unit::print(amount, Quantity::Mass, "kg").unwrap_or_default(),
            Counted::Length => unit::print(amount, Quantity::Length, "m").unwrap_or_default(),
        }
    }
}

/// "3" or "14 L": how much, and what it is counted in.
pub fn parse(text: &str) -> Option<(f64, Counted)> {
    if let Ok(pieces) = text.trim().parse::<f64>() {
        return pieces.is_finite().then_some((pieces, Counted::Pieces));
    }
    [Counted::Volume, Counted::Mass, Counted::Length].into_iter().find_map(|counted| {
        let amount = unit::parse(text, counted.quantity()?).ok()?;
        Some((amount, counted))
    })
}

/// Amounts within a billionth of each other are one: sums of litres in m³ do not come out even.
pub(crate) const SAME: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_and_amounts_are_read_and_printed() {
        assert_eq!(parse("3"), Some((3.0, Counted::Pieces)));
        let (oil, counted) = parse("14 L").expect("a volume");
        assert_eq!((counted, counted.print(oil)), (Counted::Volume, "14 L".into()));
        assert_eq!(parse("0.5 m").map(|(a, c)| c.print(a)), Some("0.5 m".into()));
        assert_eq!((parse("many"), parse("14 bar"), parse("inf")), (None, None, None));
    }
}
