//! Values as text and back: "35 psi" to pascal, pascal to "2.41 bar".

use crate::length;
use crate::nearest::nearest;
use crate::number;
use crate::quantity::Quantity;
use crate::table::{self, Unit};

/// Reads a value with its unit; what comes back is in the quantity's SI unit [SI].
///
/// Takes "2.4 bar", "62 °C", "1.2e3 Pa", "1-1/2 in", "6 ft 3 in", "DN 40", "60 %"; the unit must be one of this very
/// quantity, and a nominal pipe size is the bore of such a pipe.
///
/// # Errors
/// See [`UnitError`]; each says what to write instead.
pub fn parse(text: &str, quantity: Quantity) -> Result<f64, UnitError> {
    if quantity == Quantity::Length
        && let Some(length) = length::of_the_trade(text)
    {
        return Ok(length);
    }
    let (number, unit) = number::split(text)?;
    let unit = known(unit, text, quantity)?;
    let value = number * unit.factor + unit.offset;
    let text = || shown(text);
    if !value.is_finite() {
        return Err(UnitError::NotFinite { text: text() });
    }
    match quantity {
        _ if value >= 0.0 || quantity.may_be_negative() => Ok(value),
        Quantity::Temperature | Quantity::Pressure => Err(UnitError::BelowAbsoluteZero { text: text(), quantity }),
        _ => Err(UnitError::NegativeNotAllowed { text: text(), quantity }),
    }
}

/// Reads a change of a quantity, as "4 K" or "4 °C" of a temperature; any sign will do [SI of the difference].
///
/// Only for text that itself says it is a change; a plain difference is read by [`parse`], which takes no "°C".
///
/// # Errors
/// As [`parse`].
pub fn parse_change(text: &str, quantity: Quantity) -> Result<f64, UnitError> {
    let (number, unit) = number::split(text)?;
    let unit =
        known(unit, text, quantity.difference()).or_else(|wrong| known(unit, text, quantity).map_err(|_| wrong))?;
    let value = number * unit.factor;
    if value.is_finite() { Ok(value) } else { Err(UnitError::NotFinite { text: shown(text) }) }
}

/// A unit of a quantity, looked up once for many values.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Scale {
    factor: f64,
    offset: f64,
}

impl Scale {
    /// The scale of a unit of this quantity.
    ///
    /// # Errors
    /// As [`parse`], of the unit alone.
    pub fn of(unit: &str, quantity: Quantity) -> Result<Scale, UnitError> {
        known(unit.trim(), unit, quantity).map(|unit| Scale { factor: unit.factor, offset: unit.offset })
    }

    /// What a number on this scale is [SI].
    pub fn si(self, written: f64) -> f64 {
        written * self.factor + self.offset
    }

    /// What a value [SI] is on this scale.
    pub fn written(self, value: f64) -> f64 {
        (value - self.offset) / self.factor
    }

    /// One of this unit, as a difference [SI].
    pub fn one(self) -> f64 {
        self.factor
    }
}

/// The value [SI] in `unit` [that unit]; nothing if the unit is not one of this quantity.
pub fn convert_to(value: f64, quantity: Quantity, unit: &str) -> Option<f64> {
    unit_of(quantity, unit).map(|unit| (value - unit.offset) / unit.factor)
}

/// The value [SI] as text in `unit`, to three digits; nothing if the unit is not one of this quantity.
pub fn print(value: f64, quantity: Quantity, unit: &str) -> Option<String> {
    unit_of(quantity, unit).map(|unit| {
        let number = digits((value - unit.offset) / unit.factor, unit);
        if unit.symbol.is_empty() { number } else { format!("{number} {}", unit.symbol) }
    })
}

/// The value [SI] as text in the unit usual for it, to three digits: "2.41 bar", "118 mm", "14.6 m".
pub fn print_usual(value: f64, quantity: Quantity) -> String {
    let unit = match quantity {
        Quantity::Length if value.abs() >= 1.0 => "m",
        Quantity::Duration if value.abs() < 60.0 => "s",
        Quantity::Duration if value.abs() >= 2.0 * 3600.0 => "h",
        _ => usual_unit(quantity),
    };
    print(value, quantity, unit).unwrap_or_else(|| format!("{value} {}", quantity.si_unit()))
}

/// The unit that pages use for a quantity; empty for a plain number.
pub fn usual_unit(quantity: Quantity) -> &'static str {
    quantity.usual()
}

/// Why a text is no value of the wanted quantity, and what to write instead.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum UnitError {
    /// Nothing is written.
    #[error("nothing is written here")]
    Empty,
    /// It does not begin with a number.
    #[error("`{text}` does not begin with a number")]
    NoNumber {
        /// What was written.
        text: String,
    },
    /// Not a number, endless, or divided by zero.
    #[error("`{text}` is not a number one can measure")]
    NotFinite {
        /// What was written.
        text: String,
    },
    /// A number alone.
    #[error("`{text}` has no unit; {} is written such as `{}` (units: {expected})", quantity.name(), quantity.example())]
    NoUnit {
        /// What was written.
        text: String,
        /// What is wanted.
        quantity: Quantity,
        /// Some units of it.
        expected: String,
    },
    /// No such unit.
    #[error("`{unit}` is not a unit of {}: {}", quantity.name(), instead(*nearest, *quantity))]
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// What is wanted.
        quantity: Quantity,
        /// The unit that may be meant.
        nearest: Option<&'static str>,
    },
    /// A unit of something else.
    #[error("`{unit}` is a unit of {}, but {} is wanted: {}", is.name(), wanted.name(), remedy(*is, *wanted))]
    WrongQuantity {
        /// The unit as written.
        unit: String,
        /// What that unit measures.
        is: Quantity,
        /// What is wanted.
        wanted: Quantity,
    },
    /// A comma in the number.
    #[error("`{text}` has a comma: write a point before decimals (14.6), and nothing between thousands (1500)")]
    DecimalComma {
        /// What was written.
        text: String,
    },
    /// A gallon of unknown size.
    #[error("`{text}` does not say which gallon: write `gal_us` or `gal_imp`, also in flows (`gal_us/h`)")]
    BareGallon {
        /// What was written.
        text: String,
    },
    /// Colder than absolute zero, or less pressure than none.
    #[error("`{text}` is below absolute zero, which no {} can be", quantity.name())]
    BelowAbsoluteZero {
        /// What was written.
        text: String,
        /// What is wanted.
        quantity: Quantity,
    },
    /// Negative where that has no meaning.
    #[error("`{text}` is negative, which no {} can be", quantity.name())]
    NegativeNotAllowed {
        /// What was written.
        text: String,
        /// What is wanted.
        quantity: Quantity,
    },
    /// The sign says less and the words say more.
    #[error("`{text}` says both less and more: drop the minus, or write `under usual`")]
    Contradiction {
        /// What was written.
        text: String,
    },
}

fn instead(nearest: Option<&str>, quantity: Quantity) -> String {
    match nearest {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("write it such as `{}`", quantity.example()),
    }
}

/// What to write when the unit is one of something else.
fn remedy(is: Quantity, wanted: Quantity) -> String {
    use Quantity::*;
    match (is, wanted) {
        (Temperature, TemperatureDifference) => "write `K` (a difference), `C_diff` or `F_diff`".into(),
        (Pressure, GaugePressure) => "a gauge reads over the atmosphere, write `bar`, `bar_g` or `psi`".into(),
        (Pressure | GaugePressure, PressureDifference) => "write plain `bar`, `kPa` or `psi`".into(),
        (GaugePressure | PressureDifference, Pressure) => "say that it is absolute, `bar_abs` or `psia`".into(),
        _ => format!("write it such as `{}`", wanted.example()),
    }
}

fn unit_of(quantity: Quantity, unit: &str) -> Option<&'static Unit> {
    table::find(unit, quantity).filter(|unit| unit.of.contains(&quantity))
}

/// The unit of the quantity so written, or what is wrong with it.
fn known(unit: &str, text: &str, quantity: Quantity) -> Result<&'static Unit, UnitError> {
    let plain_number = unit_of(quantity, "").is_some();
    if unit.is_empty() && !plain_number {
        let expected = quantity.units().take(4).collect::<Vec<_>>().join(", ");
        return Err(UnitError::NoUnit { text: shown(text), quantity, expected });
    }
    // The unit of a plain number is to write none; a stray "1" or "_" is a slip of the pen.
    let stray = !unit.is_empty() && table::letters(unit).all(|letter| letter == '1');
    match table::find(unit, quantity).filter(|_| !stray) {
        Some(found) if found.of.contains(&quantity) => Ok(found),
        Some(found) => Err(UnitError::WrongQuantity { unit: shown(unit), is: found.of[0], wanted: quantity }),
        None if is_bare_gallon(unit) => Err(UnitError::BareGallon { text: shown(text) }),
        None => Err(UnitError::UnknownUnit { unit: shown(unit), quantity, nearest: nearest_unit(unit, quantity) }),
    }
}

fn is_bare_gallon(unit: &str) -> bool {
    let start: String = table::letters(unit).take(3).flat_map(char::to_lowercase).collect();
    matches!(start.as_str(), "gal" | "gpm" | "gph")
}

fn nearest_unit(unit: &str, quantity: Quantity) -> Option<&'static str> {
    let spellings = table::units_of(quantity).flat_map(Unit::spellings);
    nearest(unit, spellings.filter(|spelling| *spelling != "1"))
}

/// Three digits, whole numbers in full, no idle zeros.
fn digits(value: f64, unit: &Unit) -> String {
    let size = value.abs();
    if size != 0.0 && size.is_finite() && !(1e-4..1e7).contains(&size) {
        let text = format!("{value:.2e}");
        let (mantissa, power) = text.split_once('e').unwrap_or((&text, "0"));
        return format!("{}e{power}", without_idle_zeros(mantissa));
    }
    let leading = if size == 0.0 { 0 } else { size.log10().floor() as i32 };
    // A scale with a shifted zero has no small values, only values near its zero.
    let most = if unit.offset == 0.0 { 6 } else { 1 };
    let decimals = (2 - leading).clamp(0, most) as usize;
    let text = format!("{value:.decimals$}");
    match without_idle_zeros(&text) {
        "-0" => "0".into(),
        text => text.into(),
    }
}

fn without_idle_zeros(number: &str) -> &str {
    if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number }
}

/// The owner's text as a message may show it: short, and on one line.
pub(crate) fn shown(text: &str) -> String {
    const MOST: usize = 40;
    let mut short: String =
        text.trim().chars().take(MOST).map(|c| if c.is_control() { '\u{FFFD}' } else { c }).collect();
    if text.trim().chars().nth(MOST).is_some() {
        short.push('…');
    }
    short
}
