//! The rates that are reckoned with, as they can be read and changed.

use crate::uses::curable;
use parts::kind::Cause;
use parts::rates::{Basis, HOURS_A_YEAR, Rate};
use plant::evidence::Named;
use plant::plant::Plant;

/// The rate of one way to fail that wants a spare.
#[derive(Clone, Debug)]
pub struct Line {
    /// The part or gauge.
    pub of: Named,
    /// The way to fail.
    pub cause: &'static Cause,
    /// How often.
    pub rate: Rate,
    /// The owner's own words for it, if he tells it.
    pub told: Option<String>,
}

/// Every rate that spares are reckoned by, in the order of the parts.
pub fn rates(plant: &Plant) -> Vec<Line> {
    let line = |(of, cause)| {
        let told = plant.own_rate(of, cause).map(|own| own.told.clone());
        Some(Line { of, cause, rate: plant.rate(of, cause)?, told })
    };
    curable(plant).filter_map(line).collect()
}

/// 5, 50 and 95 % of belief of a rate by what drives it, and the unit as `[rates]` takes it.
pub fn belief(rate: &Rate) -> ([f64; 3], &'static str) {
    let (belief, unit) = match rate.basis {
        Basis::RunningHour => (rate.per_1000_h, "per 1000 h"),
        Basis::Calendar if rate.native_unit == "per year" => (rate.native, "per year"),
        Basis::Calendar => (rate.per_1000_h.map(|per| per * HOURS_A_YEAR / 1000.0), "per year"),
        Basis::Event => (rate.native, rate.native_unit),
        Basis::Prevalence => (rate.native, "of plants"),
    };
    (belief.map(|bound| bound * rate.use_factor), unit)
}

/// A rate in words, as `[rates]` takes its middle: "0.8 per 1000 h", and from where to where it may lie.
pub fn in_words(rate: &Rate) -> (String, String) {
    let ([low, middle, high], unit) = belief(rate);
    (format!("{} {unit}", two_digits(middle)), format!("{} to {}", two_digits(low), two_digits(high)))
}

/// A number to two digits, without a power of ten.
fn two_digits(value: f64) -> String {
    if value <= 0.0 {
        return "0".into();
    }
    let places = (1.0 - value.log10().floor()).clamp(0.0, 8.0) as usize;
    let text = format!("{value:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').into() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_two_digits() {
        for (value, said) in [(0.8, "0.8"), (0.0123, "0.012"), (12.34, "12"), (250.0, "250"), (0.0, "0"), (1.0, "1")] {
            assert_eq!(two_digits(value), said);
        }
    }
}
