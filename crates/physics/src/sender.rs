//! What senders of gauges give: platinum elements, thermistors, thermocouples, and tables. Plain numbers: no model is solved
//! through a sender.

use crate::constants::ZERO_CELSIUS;
use crate::halving::inverse;

/// Coefficients of the resistance of industrial platinum [1/K, 1/K², 1/K⁴], `[IEC60751]`.
const PLATINUM: (f64, f64, f64) = (3.9083e-3, -5.775e-7, -4.183e-12);
/// Temperatures for which they hold [K].
pub const PLATINUM_RANGE: (f64, f64) = (ZERO_CELSIUS - 200.0, ZERO_CELSIUS + 850.0);

/// Resistance of a platinum element over its resistance at 0 °C [1], at a temperature [K] from −200 to 850 °C.
///
/// # Source
/// `[IEC60751]`, the equations of Callendar and Van Dusen.
pub fn platinum_ratio(temperature: f64) -> f64 {
    let t = temperature - ZERO_CELSIUS;
    let (a, b, c) = PLATINUM;
    1.0 + t * (a + t * (b + if t < 0.0 { c * (t - 100.0) * t } else { 0.0 }))
}

/// The temperature [K] at which it has that resistance; nothing outside the range of the equations.
pub fn platinum_temperature(ratio: f64) -> Option<f64> {
    inverse(platinum_ratio, ratio, PLATINUM_RANGE)
}

/// How far a platinum element of class B may be off at a temperature [K], `[IEC60751]`.
pub fn platinum_class_b(temperature: f64) -> f64 {
    0.3 + 0.005 * (temperature - ZERO_CELSIUS).abs()
}

/// A thermistor: 1/T = a + b ln R + c (ln R)³, R in Ω and T in K, `[SteinhartHart1968]`.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Thermistor {
    a: f64,
    b: f64,
    c: f64,
}

impl Thermistor {
    /// From its resistance [Ω] at one temperature [K] and its beta [K]: the same law without the cubic term.
    pub fn of_beta(resistance: f64, temperature: f64, beta: f64) -> Thermistor {
        Thermistor { a: temperature.recip() - resistance.ln() / beta, b: beta.recip(), c: 0.0 }
    }

    /// Through three points (resistance [Ω], temperature [K]); nothing if no falling curve goes through them.
    pub fn through(points: [(f64, f64); 3]) -> Option<Thermistor> {
        let [l1, l2, l3] = points.map(|p| p.0.ln());
        let [y1, y2, y3] = points.map(|p| p.1.recip());
        let (g2, g3) = ((y2 - y1) / (l2 - l1), (y3 - y1) / (l3 - l1));
        let c = (g3 - g2) / (l3 - l2) / (l1 + l2 + l3);
        let b = g2 - c * (l1 * l1 + l1 * l2 + l2 * l2);
        let a = y1 - (b + l1 * l1 * c) * l1;
        let falls = points.iter().all(|p| b + 3.0 * c * p.0.ln().powi(2) > 0.0);
        (falls && [a, b, c].iter().all(|x| x.is_finite())).then_some(Thermistor { a, b, c })
    }

    /// Temperature [K] at a resistance [Ω].
    pub fn temperature(self, resistance: f64) -> f64 {
        self.inverse_temperature(resistance.ln()).recip()
    }

    /// 1/T at a logarithm of the resistance.
    fn inverse_temperature(self, l: f64) -> f64 {
        self.a + l * (self.b + self.c * l * l)
    }

    /// Resistance [Ω] at a temperature [K]; nothing beyond 10 mΩ and 10 MΩ.
    pub fn resistance(self, temperature: f64) -> Option<f64> {
        let range = (1e-2_f64.ln(), 1e7_f64.ln());
        inverse(|l| self.inverse_temperature(l), temperature.recip(), range).map(f64::exp)
    }
}

/// Thermocouple of type K: voltage [mV] over a junction at 0 °C by powers of the temperature [°C], below and above 0 °C,
/// `[ITS90-K]`.
const TYPE_K_BELOW: [f64; 11] = [
    0.0,
    0.394501280250e-1,
    0.236223735980e-4,
    -0.328589067840e-6,
    -0.499048287770e-8,
    -0.675090591730e-10,
    -0.574103274280e-12,
    -0.310888728940e-14,
    -0.104516093650e-16,
    -0.198892668780e-19,
    -0.163226974860e-22,
];
const TYPE_K_ABOVE: [f64; 10] = [
    -0.176004136860e-1,
    0.389212049750e-1,
    0.185587700320e-4,
    -0.994575928740e-7,
    0.318409457190e-9,
    -0.560728448890e-12,
    0.560750590590e-15,
    -0.320207200030e-18,
    0.971511471520e-22,
    -0.121047212750e-25,
];
/// The bell that is added above 0 °C [mV, 1/K², °C].
const TYPE_K_BELL: (f64, f64, f64) = (0.118597600000, -0.118343200000e-3, 0.126968600000e3);
/// Temperatures for which they are used here [K]; nearer to absolute zero they go on, and no engine does.
pub const TYPE_K_RANGE: (f64, f64) = (ZERO_CELSIUS - 200.0, ZERO_CELSIUS + 1372.0);

/// Voltage of a thermocouple of type K over a junction at 0 °C [V], at a temperature [K] from −200 to 1372 °C.
///
/// # Source
/// `[ITS90-K]`.
pub fn type_k_voltage(temperature: f64) -> f64 {
    let t = temperature - ZERO_CELSIUS;
    let powers = |list: &[f64]| list.iter().rev().fold(0.0, |sum, c| sum * t + c);
    let (height, width, at) = TYPE_K_BELL;
    1e-3 * if t < 0.0 {
        powers(&TYPE_K_BELOW)
    } else {
        powers(&TYPE_K_ABOVE) + height * (width * (t - at).powi(2)).exp()
    }
}

/// Temperature of the hot end [K] from what is measured [V] at terminals that are this warm [K]: their own voltage is added
/// first, for volts add up and kelvins do not. Nothing outside the range.
pub fn type_k_temperature(voltage: f64, terminals: f64) -> Option<f64> {
    inverse(type_k_voltage, voltage + type_k_voltage(terminals), TYPE_K_RANGE)
}

/// Straight lines through points (given, meant), which lie in the order of what is given; nothing beyond the ends.
pub fn between(points: &[(f64, f64)], given: f64) -> Option<f64> {
    let after = points.iter().position(|p| p.0 >= given)?;
    if after == 0 {
        return (points[0].0 == given).then_some(points[0].1);
    }
    let ((x0, y0), (x1, y1)) = (points[after - 1], points[after]);
    Some(y0 + (y1 - y0) * (given - x0) / (x1 - x0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn senders_are_read_back_as_they_send() {
        for t in [-180.0, -40.0, 0.0, 62.0, 420.0, 840.0] {
            let t = t + ZERO_CELSIUS;
            assert!((platinum_temperature(platinum_ratio(t)).expect("in range") - t).abs() < 1e-9);
            assert!((type_k_temperature(type_k_voltage(t), ZERO_CELSIUS).expect("in range") - t).abs() < 1e-6);
        }
        assert!(platinum_temperature(0.1).is_none() && platinum_temperature(5.0).is_none());
        assert!(type_k_temperature(1.0, 300.0).is_none());
    }

    #[test]
    fn a_thermistor_goes_through_its_points_and_back() {
        let beta = Thermistor::of_beta(10_000.0, 298.15, 3950.0);
        let points = [273.15, 323.15, 373.15].map(|t| (beta.resistance(t).expect("in range"), t));
        let through = Thermistor::through(points).expect("a curve");
        for t in [260.0, 298.15, 350.0, 400.0] {
            let r = beta.resistance(t).expect("in range");
            assert!((beta.temperature(r) - t).abs() < 1e-9 && (through.temperature(r) - t).abs() < 1e-6);
        }
        // A rising "thermistor", and one point twice.
        assert!(Thermistor::through([(100.0, 273.15), (200.0, 323.15), (400.0, 373.15)]).is_none());
        assert!(Thermistor::through([(100.0, 273.15), (100.0, 273.15), (400.0, 373.15)]).is_none());
    }

    #[test]
    fn lines_end_where_the_table_does() {
        let table = [(33.0, 7.0), (100.0, 3.0), (240.0, 0.0)];
        assert_eq!(between(&table, 33.0), Some(7.0));
        assert_eq!(between(&table, 66.5), Some(5.0));
        assert_eq!(between(&table, 240.0), Some(0.0));
        assert_eq!((between(&table, 20.0), between(&table, 300.0), between(&table, f64::NAN)), (None, None, None));
    }
}
