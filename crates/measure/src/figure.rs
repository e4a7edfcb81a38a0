//! A value that says how sure it is and where it came from.

use std::fmt;

/// Standard deviations from the middle to the edge of a band that holds 95 % of a normal distribution [1].
pub const SIGMAS_TO_95: f64 = 1.959964;

/// Share of a unit normal below z [1], by the complementary error function.
pub fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// How far the truth may lie from the value.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Spread {
    /// Taken as true.
    Exact,
    /// 95 % within this factor either way [1]; above 1.
    Factor(f64),
    /// 95 % within this much either way [SI unit of the value]; not negative.
    Plus(f64),
}

impl Spread {
    /// The standard deviation: of ln(value) for `Factor` [1], of the value for `Plus` [SI], else zero.
    pub fn sigma(self) -> f64 {
        match self {
            Spread::Exact => 0.0,
            Spread::Factor(factor) => factor.ln().abs() / SIGMAS_TO_95,
            Spread::Plus(amount) => amount.abs() / SIGMAS_TO_95,
        }
    }

    /// Whether it multiplies.
    pub fn is_factor(self) -> bool {
        matches!(self, Spread::Factor(_))
    }

    /// The band around `value` that holds 95 %, lower end first [SI unit of the value].
    pub fn band(self, value: f64) -> (f64, f64) {
        let (a, b) = match self {
            Spread::Exact => (value, value),
            Spread::Factor(factor) => (value / factor, value * factor),
            Spread::Plus(amount) => (value - amount, value + amount),
        };
        (a.min(b), a.max(b))
    }
}

/// Where a value came from.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Origin {
    /// Plate or data sheet.
    Maker,
    /// The owner measured it.
    Measured,
    /// Learnt from the log.
    Learned,
    /// A documented textbook or trade value, used when nothing better is known.
    Typical,
}

impl Origin {
    /// The word that pages use.
    pub fn word(self) -> &'static str {
        match self {
            Origin::Maker => "maker",
            Origin::Measured => "measured",
            Origin::Learned => "from the log",
            Origin::Typical => "typical",
        }
    }
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// A value with its spread and origin.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The value [SI unit of its quantity].
    pub value: f64,
    /// How far the truth may lie from it.
    pub spread: Spread,
    /// Where it came from.
    pub origin: Origin,
    /// The book, sheet or trial, if one is named.
    pub source: Option<String>,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Share of a normal distribution within `z` standard deviations, by Simpson's rule.
    fn share_within(z: f64) -> f64 {
        let density = |x: f64| (-0.5 * x * x).exp() / (2.0 * std::f64::consts::PI).sqrt();
        let steps = 1000;
        let h = 2.0 * z / f64::from(steps);
        let weight = |i: i32| if i == 0 || i == steps { 1.0 } else { f64::from(2 + 2 * (i % 2)) };
        (0..=steps).map(|i| weight(i) * density(-z + f64::from(i) * h)).sum::<f64>() * h / 3.0
    }

    #[test]
    fn the_band_holds_95_percent() {
        for spread in [Spread::Factor(1.5), Spread::Factor(4.0)] {
            let (low, high) = spread.band(2.0);
            assert!((share_within((high / low).ln() / 2.0 / spread.sigma()) - 0.95).abs() < 1e-6);
            assert!(spread.is_factor());
        }
        let (low, high) = Spread::Plus(3.0).band(300.0);
        assert!((share_within((high - low) / 2.0 / Spread::Plus(3.0).sigma()) - 0.95).abs() < 1e-6);
        assert_eq!((low, high), (297.0, 303.0));
    }

    #[test]
    fn half_of_a_normal_is_below_its_middle() {
        for z in [0.0, 0.5, 1.0, SIGMAS_TO_95, 4.0] {
            assert!((normal_below(z) - normal_below(-z) - share_within(z)).abs() < 1e-9, "{z}");
        }
        // [AbramowitzStegun] table 26.2: Q(6) = 9.8659e-10.
        assert!((normal_below(-6.0) / 9.865_876e-10 - 1.0).abs() < 1e-5);
    }

    #[test]
    fn an_exact_value_has_no_spread() {
        assert_eq!(Spread::Exact.sigma(), 0.0);
        assert_eq!(Spread::Exact.band(7.0), (7.0, 7.0));
        assert!(!Spread::Exact.is_factor() && !Spread::Plus(1.0).is_factor());
    }

    #[test]
    fn the_lower_end_comes_first_for_negative_values_too() {
        assert_eq!(Spread::Factor(2.0).band(-4.0), (-8.0, -2.0));
    }

    #[test]
    fn origins_read_as_words() {
        let words: Vec<_> =
            [Origin::Maker, Origin::Measured, Origin::Learned, Origin::Typical].map(|o| o.to_string()).into();
        assert_eq!(words, ["maker", "measured", "from the log", "typical"]);
    }
}
