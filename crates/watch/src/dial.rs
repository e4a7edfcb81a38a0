//! Values as they stand on a gauge's dial: its unit, its sign, no more digits than the band is worth.

use measure::unit::{convert_to, usual_unit};
use plant::plant::Gauge;

/// A band is told in about this many steps: more digits would say more than is known.
const STEPS_IN_A_BAND: f64 = 4.0;
/// Digits kept for programs.
const DIGITS: i32 = 5;

/// A value [SI] on the dial [the gauge's unit].
pub fn on_dial(gauge: &Gauge, value: f64) -> f64 {
    let value = if gauge.vacuum { -value } else { value };
    convert_to(value, gauge.quantity, unit(gauge)).unwrap_or(value)
}

/// A number as it stands on the dial, or in another unit that is told, or as its sender gives it, as a value [SI]; nothing if
/// that is no unit of either, or no such thing is sent.
pub fn of_dial(gauge: &Gauge, number: f64, told: Option<&str>) -> Option<f64> {
    let text = format!("{number} {}", told.unwrap_or(unit(gauge)));
    gauge.given(text.trim()).ok().filter(|value| value.is_finite())
}

/// The unit of the dial; the usual one if the dial's own is none of its quantity.
pub fn unit(gauge: &Gauge) -> &str {
    match convert_to(0.0, gauge.quantity, &gauge.unit) {
        Some(_) => &gauge.unit,
        None => usual_unit(gauge.quantity),
    }
}

/// A band [SI] on the dial, lower end first [the gauge's unit].
pub fn band(gauge: &Gauge, low: f64, high: f64) -> (f64, f64) {
    let (a, b) = (on_dial(gauge, low), on_dial(gauge, high));
    (a.min(b), a.max(b))
}

/// A change of the reading [SI] in the dial's unit of differences, and that unit.
pub fn change(gauge: &Gauge, difference: f64) -> (f64, &str) {
    let difference = if gauge.vacuum { -difference } else { difference };
    let quantity = gauge.quantity.difference();
    let in_unit = |unit| convert_to(difference, quantity, unit);
    // A change of a temperature is told in the degrees of its dial.
    let degrees = if unit(gauge).contains('F') { "F_diff" } else { "K" };
    if let Some(value) = in_unit(degrees) {
        return (value, unit(gauge));
    }
    let usual = usual_unit(quantity);
    in_unit(&gauge.unit)
        .map_or_else(|| (in_unit(usual).unwrap_or(difference), usual), |value| (value, gauge.unit.as_str()))
}

/// The step that values in a band of this width are told in [same unit].
pub fn step(width: f64) -> f64 {
    let width = if width.is_finite() { width.abs().max(1e-9) } else { 1.0 };
    10f64.powf((width / STEPS_IN_A_BAND).log10().floor())
}

/// The step that readings of a gauge are told in: no finer than it flickers [its unit].
pub fn reading_step(gauge: &Gauge) -> f64 {
    step(8.0 * change(gauge, gauge.noise).0.abs())
}

/// A number in whole steps; "unknown" if it is none.
pub fn number(value: f64, step: f64) -> String {
    if !value.is_finite() {
        return "unknown".into();
    }
    let decimals = (-step.log10().round()).clamp(0.0, 6.0) as usize;
    let text = format!("{:.decimals$}", (value / step).round() * step);
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        text.trim_start_matches('-').into()
    } else {
        text
    }
}

/// A number that somebody told, a limit above all: all its digits, and none that come of turning its unit to and fro.
pub fn as_told(value: f64) -> String {
    let value = sensible(value);
    if value.is_finite() { format!("{value}") } else { "unknown".into() }
}

/// A number in whole steps with its sign in front, for differences.
pub fn signed(value: f64, step: f64) -> String {
    let text = number(value, step);
    let nothing = text.chars().all(|c| c == '0' || c == '.');
    if value > 0.0 && !nothing { format!("+{text}") } else { text.replacen('-', "−", 1) }
}

/// A number with its unit.
pub fn with_unit(number: &str, unit: &str) -> String {
    if unit.is_empty() { number.into() } else { format!("{number} {unit}") }
}

/// A number for programs: five digits, and nothing that is no number.
pub fn sensible(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return 0.0;
    }
    let decimals = DIGITS - 1 - value.abs().log10().floor() as i32;
    let scale = 10f64.powi(decimals.abs());
    if decimals >= 0 { (value * scale).round() / scale } else { (value / scale).round() * scale }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_follow_the_band() {
        assert_eq!(number(81.734, step(8.0)), "82");
        assert_eq!(number(3.5678, step(0.6)), "3.6");
        assert_eq!(number(1503.2, step(120.0)), "1500");
        assert_eq!(number(-0.004, step(0.6)), "0.0");
        assert_eq!(number(f64::NAN, 1.0), "unknown");
        assert_eq!(signed(-3.2, 1.0), "−3");
        assert_eq!(signed(3.2, 1.0), "+3");
        assert_eq!(signed(0.2, 1.0), "0");
    }

    #[test]
    fn what_was_told_is_never_rounded() {
        for (value, told) in [(96.0, "96"), (75.000_000_3, "75"), (0.7, "0.7"), (12.25, "12.25"), (-0.34, "-0.34")] {
            assert_eq!(as_told(value), told);
        }
    }

    #[test]
    fn five_digits_are_enough_for_programs() {
        assert_eq!(sensible(81.734_56), 81.735);
        assert_eq!(sensible(1_234_567.0), 1_234_600.0);
        assert_eq!(sensible(-0.001_234_567), -0.001_234_6);
        assert_eq!(sensible(f64::NAN), 0.0);
    }
}
