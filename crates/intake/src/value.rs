//! From a cell to a value [SI].

use crate::fault::Fault;
use crate::lines::{shown, text};
use measure::quantity::Quantity;
use measure::unit::{Scale, UnitError};
use physics::constants::ATMOSPHERE;
use plant::plant::{Gauge, GaugeId};
use plant::sends::Curve;
use std::borrow::Cow;

/// A reading this many scales past the end of its scale is a wrong unit or column, not a reading [1], as in evidence.
const ABSURD: f64 = 2.0;
/// Rounding of units [share of the scale].
const ROUNDING: f64 = 1e-6;

/// How decimals are set off.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Default)]
pub enum Decimal {
    /// 78.3
    #[default]
    Point,
    /// 78,3
    Comma,
}

/// Where a column's unit is told.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Told {
    /// By whoever imports it.
    Asked,
    /// In the file: with the heading, under it or beside the value.
    File,
    /// Nowhere: it is taken as on the dial.
    Dial,
}

/// A column that is a gauge.
#[derive(Clone, Debug)]
pub struct Measured {
    /// Which.
    pub gauge: GaugeId,
    /// The unit its numbers are in.
    pub unit: String,
    /// Where that is told.
    pub told: Told,
    scale: Scale,
    /// What its sender gives, where that is told.
    sends: Option<Curve>,
    /// Its numbers are what its sender gives.
    by_sender: bool,
    /// Lowest and highest value that can be meant [SI].
    low: f64,
    high: f64,
    /// Its dial shows suction as positive.
    vacuum: bool,
    quantity: Quantity,
}

impl Measured {
    /// A gauge whose numbers are in this unit, or as on the dial.
    ///
    /// # Errors
    /// If it is none of the gauge's.
    pub fn new(id: GaugeId, gauge: &Gauge, unit: Option<&str>, told: Told) -> Result<Measured, UnitError> {
        let (unit, told) = unit.map_or((gauge.unit.as_str(), Told::Dial), |unit| (unit, told));
        let (scale, by_sender) = scale_of(unit, gauge.quantity, gauge.sends.as_ref())?;
        let (low, high) = gauge.scale;
        let room = (ABSURD + ROUNDING) * (high - low);
        let pressure = gauge.quantity == Quantity::GaugePressure;
        let least = match gauge.quantity.may_be_negative() {
            true if pressure => -ATMOSPHERE * (1.0 + ROUNDING),
            true => f64::NEG_INFINITY,
            false => 0.0,
        };
        Ok(Measured {
            gauge: id,
            unit: unit.to_string(),
            told,
            scale,
            sends: gauge.sends.clone(),
            by_sender,
            low: (low - room).max(least),
            high: high + room,
            vacuum: gauge.vacuum,
            quantity: gauge.quantity,
        })
    }

    /// What stands in a cell [SI]; nothing if it stands for no value.
    pub fn value(&self, cell: &[u8], decimal: Decimal, column: &str) -> Result<Option<f64>, Fault> {
        let cell = cell.trim_ascii();
        let written = match number(cell, decimal) {
            Number::Value(written) => self.meant(self.scale.si(written), self.by_sender, column)?,
            Number::Thousands => return Err(Fault::Thousands { column: column.into(), text: shown(cell) }),
            Number::None if is_nothing(cell) => return Ok(None),
            Number::None => self.with_unit(cell, decimal, column)?,
        };
        self.plausible(written, || shown(cell), column).map(Some)
    }

    /// A number that is one already [its unit].
    pub fn of_number(&self, written: f64, column: &str) -> Result<f64, Fault> {
        let value = self.meant(self.scale.si(written), self.by_sender, column)?;
        self.plausible(value, || written.to_string(), column)
    }

    /// What a signal of its sender means, where it is one [SI].
    fn meant(&self, value: f64, by_sender: bool, column: &str) -> Result<f64, Fault> {
        let Some(curve) = self.sends.as_ref().filter(|_| by_sender) else { return Ok(value) };
        curve.reads(value).map_err(|_| Fault::NotSent { column: column.into(), signal: curve.shown(value) })
    }

    fn plausible(&self, value: f64, text: impl Fn() -> String, column: &str) -> Result<f64, Fault> {
        // A minus written on a dial that shows suction says the same again.
        let value = if self.vacuum { -value.abs() } else { value };
        if value >= self.low && value <= self.high {
            return Ok(value);
        }
        let (column, text) = (column.to_string(), text());
        let bare = text.bytes().last().is_some_and(|byte| byte.is_ascii_digit());
        let text = if bare { format!("{text} {}", self.unit) } else { text };
        Err(Fault::OffScale { column, text: text.trim_end().to_string() })
    }

    /// "78.3 °C"
    fn with_unit(&self, cell: &[u8], decimal: Decimal, column: &str) -> Result<f64, Fault> {
        let cell = text(cell);
        let bad = || Fault::BadValue { column: column.into(), text: shown(cell.as_bytes()) };
        let sign = cell.strip_prefix(['-', '+', '−']).map_or(0, |rest| cell.len() - rest.len());
        let digits = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '\'');
        let end = sign + cell[sign..].find(|letter| !digits(letter)).unwrap_or(cell.len() - sign);
        let unit = cell[end..].trim();
        let mantissa = cell[..end].replace('−', "-");
        let Number::Value(number) = number(mantissa.as_bytes(), decimal) else { return Err(bad()) };
        if unit.is_empty() {
            return self.meant(self.scale.si(number), self.by_sender, column);
        }
        let (scale, by_sender) =
            scale_of(unit, self.quantity, self.sends.as_ref()).map_err(|error| match unit.chars().next() {
                Some(letter) if letter.is_alphabetic() || letter == '°' => {
                    Fault::BadUnit { column: column.into(), why: error.to_string() }
                }
                _ => bad(),
            })?;
        self.meant(scale.si(number), by_sender, column)
    }
}

/// The scale of a unit of what a gauge reads, or of what its sender gives; and which of them it is.
fn scale_of(unit: &str, quantity: Quantity, sends: Option<&Curve>) -> Result<(Scale, bool), UnitError> {
    let own = Scale::of(unit, quantity).map(|scale| (scale, false));
    own.or_else(|error| {
        let signal = sends.and_then(|curve| Scale::of(unit, curve.gives).ok());
        signal.map(|scale| (scale, true)).ok_or(error)
    })
}

/// Ways to write that there is no value.
fn is_nothing(cell: &[u8]) -> bool {
    const NOTHING: [&[u8]; 9] = [b"", b"na", b"n/a", b"nan", b"null", b"none", b"nil", b"#n/a", b"missing"];
    NOTHING.iter().any(|nothing| cell.eq_ignore_ascii_case(nothing)) || cell.iter().all(|byte| b"-?*".contains(byte))
}

enum Number {
    Value(f64),
    Thousands,
    None,
}

/// A number as this table writes it.
fn number(cell: &[u8], decimal: Decimal) -> Number {
    // What begins otherwise is a word; "nan" and "inf" are words here.
    if !cell.first().is_some_and(|byte| byte.is_ascii_digit() || b"+-.,".contains(byte)) || cell.len() > 40 {
        return Number::None;
    }
    let (point, other) = if decimal == Decimal::Point { (b'.', b',') } else { (b',', b'.') };
    let plain = match cell.contains(&other) {
        false if point == b'.' => Cow::Borrowed(cell),
        false => Cow::Owned(cell.iter().map(|byte| if *byte == b',' { b'.' } else { *byte }).collect()),
        // 1,234.5 can only be thousands; 1,234 alone could be either.
        true if !grouped(cell, point, other) => {
            let digits = cell.iter().all(|byte| byte.is_ascii_digit() || b"+-.,eE".contains(byte));
            return if digits { Number::Thousands } else { Number::None };
        }
        true => {
            let kept = cell.iter().filter(|byte| **byte != other);
            Cow::Owned(kept.map(|byte| if *byte == b',' { b'.' } else { *byte }).collect())
        }
    };
    let text = std::str::from_utf8(&plain).ok();
    let value = text.and_then(|text| text.parse::<f64>().ok()).filter(|value| value.is_finite());
    value.map_or(Number::None, Number::Value)
}

/// Whether a number has its thousands set off in threes, and a decimal or two of them to prove it.
fn grouped(cell: &[u8], point: u8, other: u8) -> bool {
    let digits = cell.strip_prefix(b"-").or(cell.strip_prefix(b"+")).unwrap_or(cell);
    let mut halves = digits.splitn(2, |byte| *byte == point);
    let (whole, decimals) = (halves.next().unwrap_or_default(), halves.next());
    let groups: Vec<&[u8]> = whole.split(|byte| *byte == other).collect();
    let sure = decimals.is_some_and(|decimals| decimals.iter().all(u8::is_ascii_digit)) || groups.len() > 2;
    let threes = groups.iter().skip(1).all(|group| group.len() == 3);
    let first = groups.first().is_some_and(|group| (1..=3).contains(&group.len()));
    sure && threes && first && groups.iter().all(|group| group.iter().all(u8::is_ascii_digit))
}

/// How a cell sets off its decimals, if it is a number that tells.
pub(crate) fn decimal_of(cell: &[u8]) -> Option<Decimal> {
    let cell = cell.trim_ascii();
    let digits = cell.strip_prefix(b"-").unwrap_or(cell);
    let at = digits.iter().position(|byte| !byte.is_ascii_digit())?;
    let rest = &digits[at + 1..];
    let alone = at > 0 && !rest.is_empty() && rest.iter().all(u8::is_ascii_digit);
    match digits[at] {
        b'.' if alone => Some(Decimal::Point),
        b',' if alone => Some(Decimal::Comma),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, decimal: Decimal) -> Option<f64> {
        if let Number::Value(value) = number(text.as_bytes(), decimal) { Some(value) } else { None }
    }

    #[test]
    fn numbers_are_read_in_both_conventions() {
        for (text, value) in
            [("78.3", 78.3), ("-0.5", -0.5), ("1e3", 1000.0), ("1,234.5", 1234.5), ("1,234,567", 1_234_567.0)]
        {
            assert_eq!(read(text, Decimal::Point), Some(value), "{text}");
        }
        for (text, value) in [("78,3", 78.3), ("78", 78.0), ("1.234,5", 1234.5), (",5", 0.5)] {
            assert_eq!(read(text, Decimal::Comma), Some(value), "{text}");
        }
        for (text, decimal) in [("1,234", Decimal::Point), ("1.234", Decimal::Comma), ("12,34.5", Decimal::Point)] {
            assert!(matches!(number(text.as_bytes(), decimal), Number::Thousands), "{text}");
        }
        for text in ["", "x", "nan", "inf", "-", "1..2", "1e999", "0x10", "--1"] {
            assert_eq!(read(text, Decimal::Point), None, "{text}");
        }
    }

    #[test]
    fn what_stands_for_nothing_is_nothing() {
        for text in ["", "-", "---", "NaN", "n/a", "NULL", "???"] {
            assert!(is_nothing(text.as_bytes()), "{text}");
        }
        assert!(!is_nothing(b"off") && !is_nothing(b"0"));
    }

    #[test]
    fn decimals_tell_themselves() {
        assert_eq!(decimal_of(b"78,3"), Some(Decimal::Comma));
        assert_eq!(decimal_of(b" -78.3 "), Some(Decimal::Point));
        for text in ["78", "02.07.2026", "1.234,5", "a,b", ",", "8:15"] {
            assert_eq!(decimal_of(text.as_bytes()), None, "{text}");
        }
    }
}
