//! From what a gauge shows or its sender gives to what that means, and what a gauge was found to be off.

use crate::plant::Gauge;
use measure::quantity::Quantity;
use measure::unit::{UnitError, convert_to, parse};
use physics::sender::{Thermistor, between, platinum_ratio, platinum_temperature, type_k_temperature, type_k_voltage};

/// A transmitter of 4 to 20 mA means what it says between these [A]; beyond the next pair it tells of its own fault, or its
/// wire is broken, `[NE43]`.
const LOOP: (f64, f64) = (3.8e-3, 20.5e-3);

/// A thermistor means what it says between deep frost and boiling oil [K].
const THERMISTOR: (f64, f64) = (223.15, 523.15);

/// How a sender's signal goes with what it measures.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// What it gives: `Resistance`, `Current` or `Voltage`.
    pub gives: Quantity,
    /// How.
    pub law: Law,
}

/// The laws of senders; signals in SI, and so is what they mean.
#[derive(Clone, Debug, PartialEq)]
pub enum Law {
    /// A platinum element of so many ohms at 0 °C.
    Platinum(f64),
    /// A thermistor.
    Thermistor(Thermistor),
    /// A thermocouple of type K whose terminals are this warm [K].
    TypeK(f64),
    /// Straight lines between points (signal, value), in rising order of signals.
    Points(Vec<(f64, f64)>),
}

/// A signal that the curve says nothing of.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Beyond {
    /// Lowest and highest signal that means something [SI].
    pub ends: (f64, f64),
}

impl Curve {
    /// What a signal means [SI].
    ///
    /// # Errors
    /// [`Beyond`] where the curve ends: a wire that is open or shorted, or another sender than is described.
    pub fn reads(&self, signal: f64) -> Result<f64, Beyond> {
        let value = match &self.law {
            Law::Platinum(nominal) => platinum_temperature(signal / nominal),
            Law::Thermistor(thermistor) => {
                Some(thermistor.temperature(signal)).filter(|kelvin| (THERMISTOR.0..=THERMISTOR.1).contains(kelvin))
            }
            Law::TypeK(terminals) => type_k_temperature(signal, *terminals),
            Law::Points(points) => between(points, self.brought_in(signal)),
        };
        value.ok_or(Beyond { ends: self.ends() })
    }

    /// What it gives for a value [SI]; nothing where it gives no such thing.
    pub fn sends(&self, value: f64) -> Option<f64> {
        match &self.law {
            Law::Platinum(nominal) => Some(nominal * platinum_ratio(value)),
            Law::Thermistor(thermistor) => thermistor.resistance(value),
            Law::TypeK(terminals) => Some(type_k_voltage(value) - type_k_voltage(*terminals)),
            Law::Points(points) => {
                let mut turned: Vec<(f64, f64)> = points.iter().map(|&(signal, value)| (value, signal)).collect();
                turned.sort_by(|a, b| a.0.total_cmp(&b.0));
                between(&turned, value)
            }
        }
    }

    /// Lowest and highest signal that means something [SI].
    pub fn ends(&self) -> (f64, f64) {
        match &self.law {
            Law::Platinum(nominal) => {
                let (low, high) = physics::sender::PLATINUM_RANGE;
                (nominal * platinum_ratio(low), nominal * platinum_ratio(high))
            }
            Law::Thermistor(thermistor) => {
                let at = |kelvin| thermistor.resistance(kelvin).unwrap_or(f64::NAN);
                (at(THERMISTOR.1), at(THERMISTOR.0))
            }
            Law::TypeK(terminals) => {
                let (low, high) = physics::sender::TYPE_K_RANGE;
                (type_k_voltage(low) - type_k_voltage(*terminals), type_k_voltage(high) - type_k_voltage(*terminals))
            }
            Law::Points(points) => (points[0].0, points[points.len() - 1].0),
        }
    }

    /// A signal [SI] as a meter shows it.
    pub fn shown(&self, signal: f64) -> String {
        let unit = match self.gives {
            Quantity::Current => "mA",
            Quantity::Voltage if self.ends().1 < 0.2 => "mV",
            Quantity::Voltage => "V",
            _ => "Ω",
        };
        let value = convert_to(signal, self.gives, unit).unwrap_or(signal);
        // Four digits are as many as such a meter has.
        let decimals = (3 - value.abs().max(1e-3).log10().floor() as i32).max(0) as usize;
        format!("{value:.decimals$} {unit}")
    }

    /// A little beyond the ends of a current loop is its end.
    fn brought_in(&self, signal: f64) -> f64 {
        let (low, high) = self.ends();
        let is_loop = self.gives == Quantity::Current && low == 4e-3 && high == 20e-3;
        if is_loop && (LOOP.0..=LOOP.1).contains(&signal) { signal.clamp(low, high) } else { signal }
    }
}

impl Gauge {
    /// What is so where it shows this [SI], by the last time it was tried.
    pub fn corrected(&self, shown: f64) -> f64 {
        self.calibrated.last().map_or(shown, |last| last.corrected(shown))
    }

    /// What a value of a quantity [SI] means on it: one that it reads, or that its sender gives; nothing of another, and nothing
    /// where its sender's curve ends.
    pub fn reads_as(&self, value: f64, quantity: Quantity) -> Option<f64> {
        if quantity == self.quantity {
            return Some(value);
        }
        self.sends.as_ref().filter(|curve| curve.gives == quantity)?.reads(value).ok()
    }

    /// What a reading of what it or its sender gives means, uncorrected: `text` in the unit of the gauge, or of its sender [SI].
    ///
    /// # Errors
    /// As [`parse`] in the gauge's own quantity, if it is neither; [`NoReading::Beyond`] where the sender's curve ends.
    pub fn given(&self, text: &str) -> Result<f64, NoReading> {
        let own = parse(text, self.quantity).map(|value| if self.vacuum { -value.abs() } else { value });
        let error = match own {
            Ok(value) => return Ok(value),
            Err(error) => NoReading::Unit(error),
        };
        let Some(curve) = &self.sends else { return Err(error) };
        let signal = parse(text, curve.gives).map_err(|_| error)?;
        curve
            .reads(signal)
            .map_err(|beyond| NoReading::Beyond { low: curve.shown(beyond.ends.0), high: curve.shown(beyond.ends.1) })
    }
}

/// Why what was given is no reading of a gauge.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoReading {
    /// It is no value of it.
    #[error(transparent)]
    Unit(#[from] UnitError),
    /// Its sender gives no such thing: a wire that is open or shorted, or another sender than is described.
    #[error("its sender gives {low} to {high}; beyond that a wire is open or shorted, or it is another sender")]
    Beyond {
        /// Least that means anything.
        low: String,
        /// Most.
        high: String,
    },
}

/// What a gauge was found to be off, once.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// When [days since 1970].
    pub on: i64,
    /// What it showed and what was so [SI], in rising order of what it showed.
    pub found: Vec<(f64, f64)>,
    /// How good that is: 95 % within [SI].
    pub within: Option<f64>,
    /// By what.
    pub by: Option<String>,
}

impl Calibration {
    /// What is so where it shows this [SI]: by how much it was off at one point, else straight through the points and on.
    pub fn corrected(&self, shown: f64) -> f64 {
        match self.found.as_slice() {
            [] => shown,
            [(reads, so)] => shown + so - reads,
            points => {
                let after = points.iter().position(|p| p.0 >= shown).unwrap_or(points.len()).clamp(1, points.len() - 1);
                let ((x0, y0), (x1, y1)) = (points[after - 1], points[after]);
                y0 + (y1 - y0) * (shown - x0) / (x1 - x0)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(gives: Quantity, list: &[(f64, f64)]) -> Curve {
        Curve { gives, law: Law::Points(list.to_vec()) }
    }

    #[test]
    fn a_loop_tells_of_its_own_faults() {
        let bar = points(Quantity::Current, &[(4e-3, 0.0), (20e-3, 10e5)]);
        assert!((bar.reads(12e-3).expect("half way") - 5e5).abs() < 1e-6);
        assert_eq!((bar.reads(3.9e-3), bar.reads(20.4e-3)), (Ok(0.0), Ok(10e5)));
        for fault in [0.0, 3.5e-3, 21.5e-3] {
            assert_eq!(bar.reads(fault), Err(Beyond { ends: (4e-3, 20e-3) }));
        }
        assert_eq!((bar.shown(4e-3), bar.shown(12.346e-3)), ("4.000 mA".into(), "12.35 mA".into()));
        assert!((bar.sends(5e5).expect("it gives that") - 12e-3).abs() < 1e-9);
    }

    #[test]
    fn what_is_sent_is_read_back() {
        let curves = [
            Curve { gives: Quantity::Resistance, law: Law::Platinum(1000.0) },
            Curve { gives: Quantity::Resistance, law: Law::Thermistor(Thermistor::of_beta(10_000.0, 298.15, 3435.0)) },
            Curve { gives: Quantity::Voltage, law: Law::TypeK(310.0) },
            points(Quantity::Resistance, &[(33.0, 400.0), (100.0, 330.0), (240.0, 280.0)]),
        ];
        for curve in curves {
            for value in [290.0, 345.0, 390.0] {
                let signal = curve.sends(value).expect("it gives that");
                assert!((curve.reads(signal).expect("it means that") - value).abs() < 1e-6, "{curve:?} at {value}");
            }
            let (low, high) = curve.ends();
            assert!(
                low < high && curve.reads(low - 0.1 * low.abs() - 1e-3).is_err() && curve.reads(1.1 * high).is_err()
            );
        }
    }

    #[test]
    fn a_correction_goes_through_what_was_found() {
        let found = |list: &[(f64, f64)]| Calibration { on: 0, found: list.to_vec(), within: None, by: None };
        assert_eq!(found(&[(83.0, 80.0)]).corrected(95.0), 92.0);
        let two = found(&[(1.5, 0.0), (101.5, 100.0)]);
        assert_eq!((two.corrected(1.5), two.corrected(51.5), two.corrected(121.5)), (0.0, 50.0, 120.0));
        let three = found(&[(0.0, 0.0), (50.0, 52.0), (100.0, 100.0)]);
        assert_eq!((three.corrected(25.0), three.corrected(75.0), three.corrected(-25.0)), (26.0, 76.0, -26.0));
    }
}
