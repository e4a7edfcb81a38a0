//! The table of units, one row each, and the search in it.
//!
//! # Source
//! Factors follow from the definitions in `[SP811]` (appendix B), built here from a handful of exact ones.

use crate::quantity::Quantity::{self, *};

/// A unit: value inside [SI] = written value * factor + offset.
pub(crate) struct Unit {
    /// As it is printed.
    pub symbol: &'static str,
    /// Other ways to write it.
    pub also: &'static [&'static str],
    /// What it measures.
    pub of: &'static [Quantity],
    pub factor: f64,
    pub offset: f64,
}

impl Unit {
    /// Every way to write it, as printed first.
    pub fn spellings(&'static self) -> impl Iterator<Item = &'static str> {
        [self.symbol].into_iter().chain(self.also.iter().copied())
    }
}

const fn unit(of: &'static [Quantity], symbol: &'static str, also: &'static [&'static str], factor: f64) -> Unit {
    Unit { symbol, also, of, factor, offset: 0.0 }
}

/// The units of a quantity, in the order of the table.
pub(crate) fn units_of(quantity: Quantity) -> impl Iterator<Item = &'static Unit> {
    UNITS.iter().filter(move |unit| unit.of.contains(&quantity))
}

/// The unit of `quantity` so written; or else the unit of something else so written.
///
/// Spaces, underscores, brackets, `^` and the different micro, degree and power signs do not count. Capitals
/// count, unless nothing else fits.
pub(crate) fn find(text: &str, quantity: Quantity) -> Option<&'static Unit> {
    let fits =
        |unit: &'static Unit, same: fn(&str, &str) -> bool| unit.spellings().any(|spelling| same(text, spelling));
    [same as fn(&str, &str) -> bool, same_but_for_capitals].into_iter().find_map(|same| {
        let here = units_of(quantity).find(|unit| fits(unit, same));
        here.or_else(|| UNITS.iter().find(|unit| fits(unit, same)))
    })
}

/// The letters of a unit that count.
pub(crate) fn letters(text: &str) -> impl Iterator<Item = char> {
    text.chars().filter_map(|letter| match letter {
        ' ' | '_' | '(' | ')' | '^' | '·' | '⋅' | '*' => None,
        'µ' | 'μ' => Some('u'),
        'º' | '˚' => Some('°'),
        '²' => Some('2'),
        '³' => Some('3'),
        other if other.is_whitespace() => None,
        other => Some(other),
    })
}

fn same(a: &str, b: &str) -> bool {
    letters(a).eq(letters(b))
}

/// Milli and mega differ by their capital alone, and a single letter means different things (`K`, `k`): there
/// capitals count.
fn same_but_for_capitals(a: &str, b: &str) -> bool {
    let fold = |text| letters(text).flat_map(char::to_lowercase);
    let first = |text| letters(text).next();
    let prefix_differs = first(a) != first(b) && matches!(first(a), Some('m' | 'M'));
    !prefix_differs && fold(a).take(2).count() == 2 && fold(a).eq(fold(b))
}

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const NAUTICAL_MILE: f64 = 1852.0;
const POUND: f64 = 0.45359237;
const OUNCE: f64 = POUND / 16.0;
/// Standard acceleration of free fall [m/s²].
const GRAVITY: f64 = 9.80665;
const POUND_FORCE: f64 = POUND * GRAVITY;
const PSI: f64 = POUND_FORCE / (INCH * INCH);
/// Conventional mercury has 13 595.1 kg/m³, conventional water 1000.
const MERCURY: f64 = 13595.1 * GRAVITY;
const WATER: f64 = 1000.0 * GRAVITY;
const LITRE: f64 = 1e-3;
const GALLON_US: f64 = 231.0 * INCH * INCH * INCH;
const GALLON_IMPERIAL: f64 = 4.54609e-3;
const MINUTE: f64 = 60.0;
const HOUR: f64 = 3600.0;
const HORSEPOWER: f64 = 550.0 * FOOT * POUND_FORCE;
const HORSEPOWER_METRIC: f64 = 75.0 * GRAVITY;
/// British thermal unit of the International Table [J].
const BTU: f64 = 4186.8 * POUND * 5.0 / 9.0;
const TURN: f64 = std::f64::consts::TAU;

const OVER: &[Quantity] = &[GaugePressure, PressureDifference];

/// Every unit, the commonest of a quantity first.
#[rustfmt::skip]
pub(crate) static UNITS: &[Unit] = &[
    unit(&[Pressure], "bar_abs", &["bara"], 1e5),
    unit(&[Pressure], "kPa_abs", &["kPa_a"], 1e3),
    unit(&[Pressure], "mbar_abs", &["mbara"], 100.0),
    unit(&[Pressure], "hPa_abs", &[], 100.0),
    unit(&[Pressure], "psi_abs", &["psia"], PSI),
    unit(&[Pressure], "Pa_abs", &["Pa_a"], 1.0),
    unit(&[Pressure], "inHg_abs", &[], INCH * MERCURY),
    unit(&[Pressure], "mmHg_abs", &[], 1e-3 * MERCURY),
    unit(&[Pressure], "atm_abs", &[], 101325.0),

    unit(OVER, "bar", &[], 1e5),
    unit(OVER, "kPa", &[], 1e3),
    unit(OVER, "psi", &["lbf/in²"], PSI),
    unit(OVER, "mbar", &[], 100.0),
    unit(OVER, "Pa", &[], 1.0),
    unit(OVER, "hPa", &[], 100.0),
    unit(OVER, "MPa", &[], 1e6),
    unit(OVER, "inHg", &[], INCH * MERCURY),
    unit(OVER, "inH2O", &["inWC", "inWG"], INCH * WATER),
    unit(OVER, "mmHg", &[], 1e-3 * MERCURY),
    unit(OVER, "mmH2O", &["mmWC"], 1e-3 * WATER),
    unit(OVER, "mH2O", &["mWC"], WATER),
    unit(OVER, "ftH2O", &["ftWC"], FOOT * WATER),
    unit(OVER, "kgf/cm²", &["kp/cm²"], GRAVITY * 1e4),
    unit(&[GaugePressure], "bar_g", &[], 1e5),
    unit(&[GaugePressure], "kPa_g", &[], 1e3),
    unit(&[GaugePressure], "psi_g", &[], PSI),

    Unit { symbol: "°C", also: &["C", "degC", "℃", "celsius"], of: &[Temperature], factor: 1.0, offset: 273.15 },
    Unit { symbol: "°F", also: &["F", "degF", "℉", "fahrenheit"], of: &[Temperature], factor: 5.0 / 9.0, offset: 459.67 * 5.0 / 9.0 },
    unit(&[Temperature, TemperatureDifference], "K", &[], 1.0),
    unit(&[TemperatureDifference], "C_diff", &["°C_diff", "degC_diff"], 1.0),
    unit(&[TemperatureDifference], "F_diff", &["°F_diff", "degF_diff"], 5.0 / 9.0),

    unit(&[MassFlow], "kg/s", &[], 1.0),
    unit(&[MassFlow], "kg/min", &[], 1.0 / MINUTE),
    unit(&[MassFlow], "kg/h", &["kg/hr"], 1.0 / HOUR),
    unit(&[MassFlow], "g/s", &[], 1e-3),
    unit(&[MassFlow], "t/h", &[], 1e3 / HOUR),
    unit(&[MassFlow], "lb/min", &["lbs/min"], POUND / MINUTE),
    unit(&[MassFlow], "lb/h", &["lbs/h", "lb/hr", "lbs/hr"], POUND / HOUR),

    unit(&[VolumeFlow], "L/min", &["l/min", "lpm"], LITRE / MINUTE),
    unit(&[VolumeFlow], "L/h", &["l/h", "L/hr", "lph"], LITRE / HOUR),
    unit(&[VolumeFlow], "L/s", &["l/s"], LITRE),
    unit(&[VolumeFlow], "m³/h", &["m³/hr"], 1.0 / HOUR),
    unit(&[VolumeFlow], "m³/min", &[], 1.0 / MINUTE),
    unit(&[VolumeFlow], "m³/s", &[], 1.0),
    unit(&[VolumeFlow], "mL/min", &["ml/min", "cm³/min"], LITRE / 1e3 / MINUTE),
    unit(&[VolumeFlow], "gal_us/min", &["gpm_us", "us gal/min", "us gpm"], GALLON_US / MINUTE),
    unit(&[VolumeFlow], "gal_us/h", &["gph_us", "us gal/h", "us gph"], GALLON_US / HOUR),
    unit(&[VolumeFlow], "gal_imp/min", &["gpm_imp", "imp gal/min", "imp gpm"], GALLON_IMPERIAL / MINUTE),
    unit(&[VolumeFlow], "gal_imp/h", &["gph_imp", "imp gal/h", "imp gph"], GALLON_IMPERIAL / HOUR),
    unit(&[VolumeFlow], "ft³/min", &["cfm"], FOOT * FOOT * FOOT / MINUTE),

    unit(&[RotationalSpeed], "rpm", &["rev/min", "r/min", "1/min"], TURN / MINUTE),
    unit(&[RotationalSpeed], "rad/s", &[], 1.0),
    // As on a maker's sheet: turns a second. An angular speed says `rad/s`.
    unit(&[RotationalSpeed], "1/s", &["rev/s", "r/s", "rps"], TURN),

    unit(&[Power], "kW", &[], 1e3),
    unit(&[Power], "W", &[], 1.0),
    unit(&[Power], "MW", &[], 1e6),
    unit(&[Power], "hp", &["bhp", "shp"], HORSEPOWER),
    unit(&[Power], "hp_metric", &["PS", "pk", "cv"], HORSEPOWER_METRIC),
    unit(&[Power], "BTU/h", &["BTU/hr"], BTU / HOUR),

    unit(&[Length], "mm", &[], 1e-3),
    unit(&[Length], "m", &[], 1.0),
    unit(&[Length], "cm", &[], 1e-2),
    unit(&[Length], "in", &["inch", "inches", "\""], INCH),
    unit(&[Length], "ft", &["foot", "feet", "'"], FOOT),
    unit(&[Length], "nm", &["nmi", "NM"], NAUTICAL_MILE),
    unit(&[Length], "km", &[], 1e3),
    unit(&[Length], "fathom", &["fathoms"], 6.0 * FOOT),
    unit(&[Length], "µm", &["micron", "microns"], 1e-6),

    unit(&[Area], "cm²", &[], 1e-4),
    unit(&[Area], "m²", &[], 1.0),
    unit(&[Area], "mm²", &[], 1e-6),
    unit(&[Area], "in²", &["sq in"], INCH * INCH),
    unit(&[Area], "ft²", &["sq ft"], FOOT * FOOT),

    unit(&[Volume], "L", &["l", "litre", "litres", "liter", "liters", "dm³"], LITRE),
    unit(&[Volume], "mL", &["ml"], LITRE / 1e3),
    unit(&[Volume], "m³", &[], 1.0),
    unit(&[Volume], "cm³", &["cc", "ccm"], 1e-6),
    unit(&[Volume], "in³", &["cu in"], INCH * INCH * INCH),
    unit(&[Volume], "ft³", &["cu ft"], FOOT * FOOT * FOOT),
    unit(&[Volume], "gal_us", &["us gal", "US gallon", "US gallons", "gallons_us"], GALLON_US),
    unit(&[Volume], "gal_imp", &["imp gal", "imperial gallon", "imperial gallons", "gallons_imp"], GALLON_IMPERIAL),

    unit(&[Mass], "kg", &[], 1.0),
    unit(&[Mass], "g", &[], 1e-3),
    unit(&[Mass], "t", &["tonne", "tonnes"], 1e3),
    unit(&[Mass], "lb", &["lbs"], POUND),
    unit(&[Mass], "oz", &[], OUNCE),

    unit(&[Velocity], "kn", &["kt", "kts", "knot", "knots"], NAUTICAL_MILE / HOUR),
    unit(&[Velocity], "m/s", &[], 1.0),
    unit(&[Velocity], "km/h", &[], 1e3 / HOUR),
    unit(&[Velocity], "mph", &["MPH"], 5280.0 * FOOT / HOUR),
    unit(&[Velocity], "ft/s", &[], FOOT),

    unit(&[Torque], "Nm", &[], 1.0),
    unit(&[Torque], "kNm", &[], 1e3),
    unit(&[Torque], "lbf ft", &["lb ft", "ft lb", "ft lbf", "ft lbs"], POUND_FORCE * FOOT),
    unit(&[Torque], "lbf in", &["lb in", "in lb", "in lbf", "in lbs"], POUND_FORCE * INCH),

    unit(&[Ratio, Level], "", &["1"], 1.0),
    unit(&[Ratio, Level], "%", &["percent"], 1e-2),
    unit(&[Ratio], "ppm", &["mg/kg"], 1e-6),

    unit(&[ThermalConductance], "kW/K", &["kW/°C"], 1e3),
    unit(&[ThermalConductance], "W/K", &["W/°C"], 1.0),
    unit(&[FoulingResistance], "K/W", &["°C/W"], 1.0),
    unit(&[FoulingResistance], "K/kW", &["°C/kW"], 1e-3),
    unit(&[HeatCapacity], "kJ/K", &["kJ/°C"], 1e3),
    unit(&[HeatCapacity], "J/K", &["J/°C"], 1.0),
    unit(&[HydraulicResistance], "Pa/(kg/s)²", &[], 1.0),
    unit(&[HydraulicResistance], "kPa/(kg/s)²", &[], 1e3),
    unit(&[HydraulicResistance], "bar/(kg/s)²", &[], 1e5),

    unit(&[Force], "N", &[], 1.0),
    unit(&[Force], "kN", &[], 1e3),
    unit(&[Force], "kgf", &["kp"], GRAVITY),
    unit(&[Force], "lbf", &[], POUND_FORCE),
    unit(&[Frequency], "Hz", &["1/s"], 1.0),

    unit(&[SpringRate], "N/mm", &[], 1e3),
    unit(&[SpringRate], "N/m", &[], 1.0),
    unit(&[SpringRate], "kN/m", &[], 1e3),
    unit(&[SpringRate], "lbf/in", &["lb/in", "lbs/in"], POUND_FORCE / INCH),

    unit(&[Duration], "min", &["minute", "minutes"], MINUTE),
    unit(&[Duration], "s", &["sec", "second", "seconds"], 1.0),
    unit(&[Duration], "h", &["hr", "hrs", "hour", "hours"], HOUR),
    unit(&[Duration], "d", &["day", "days"], 24.0 * HOUR),
    unit(&[Duration], "week", &["weeks"], 7.0 * 24.0 * HOUR),
    unit(&[Duration], "ms", &[], 1e-3),

    unit(&[Voltage], "V", &["volt", "volts"], 1.0),
    unit(&[Voltage], "mV", &[], 1e-3),
    unit(&[Current], "A", &["amp", "amps"], 1.0),
    unit(&[Current], "mA", &[], 1e-3),
    unit(&[Resistance], "mΩ", &["mohm"], 1e-3),
    unit(&[Resistance], "Ω", &["ohm", "ohms"], 1.0),
    unit(&[Resistance], "kΩ", &["kohm"], 1e3),
    unit(&[Charge], "A·h", &[], HOUR),
    unit(&[Charge], "A s", &[], 1.0),

    unit(&[KinematicViscosity], "mm²/s", &[], 1e-6),
    unit(&[KinematicViscosity], "cSt", &[], 1e-6),
    unit(&[KinematicViscosity], "m²/s", &[], 1.0),
    unit(&[DynamicViscosity], "mPa s", &[], 1e-3),
    unit(&[DynamicViscosity], "cP", &[], 1e-3),
    unit(&[DynamicViscosity], "Pa s", &[], 1.0),
    unit(&[Density], "kg/m³", &[], 1.0),
    unit(&[Density], "kg/L", &["kg/l", "g/cm³", "g/mL", "g/ml"], 1e3),
    unit(&[Density], "lb/ft³", &[], POUND / (FOOT * FOOT * FOOT)),
    unit(&[Angle], "°", &["deg", "degree", "degrees"], TURN / 360.0),
    unit(&[Angle], "rad", &[], 1.0),

    unit(&[VolumePerRevolution], "cm³/rev", &["cc/rev", "ccm/rev", "cm³/r"], 1e-6),
    unit(&[VolumePerRevolution], "mL/rev", &["ml/rev"], 1e-6),
    unit(&[VolumePerRevolution], "L/rev", &["l/rev"], LITRE),
    unit(&[VolumePerRevolution], "in³/rev", &[], INCH * INCH * INCH),
    unit(&[VolumePerRevolution], "m³/rev", &[], 1.0),
    unit(&[SpecificConsumption], "g/kWh", &[], 1e-3 / (1e3 * HOUR)),
    unit(&[SpecificConsumption], "kg/kWh", &[], 1.0 / (1e3 * HOUR)),
    unit(&[SpecificConsumption], "g/hp_metric h", &["g/PSh"], 1e-3 / (HORSEPOWER_METRIC * HOUR)),
    unit(&[SpecificConsumption], "lb/hp h", &["lbs/hp h"], POUND / (HORSEPOWER * HOUR)),
    unit(&[SpecificConsumption], "kg/J", &[], 1.0),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_units_of_a_quantity_share_a_spelling() {
        for &quantity in Quantity::ALL {
            let mut seen = Vec::new();
            for spelling in units_of(quantity).flat_map(Unit::spellings) {
                let plain: String = letters(spelling).collect();
                assert!(!seen.contains(&plain), "{quantity:?}: {spelling}");
                seen.push(plain);
            }
        }
    }

    #[test]
    fn every_spelling_finds_its_own_unit() {
        for unit in UNITS {
            for &quantity in unit.of {
                for spelling in unit.spellings() {
                    assert!(find(spelling, quantity).is_some_and(|found| std::ptr::eq(found, unit)), "{spelling}");
                }
            }
        }
    }
}
