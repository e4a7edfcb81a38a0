//! What shows whether a diesel engine and what is hung on it are sized right.

use crate::diesel::P;
use crate::kind::*;
use crate::laws::{Site, is_charged};
use measure::quantity::Quantity;

/// From this speed on the margins ask for oil pressure at speed, and under this for that at idle [share of rated].
const AT_SPEED: f64 = 0.6;
const AT_IDLE: f64 = 0.45;
/// From this speed on it counts as full [share of rated].
const FULL: f64 = 0.9;

/// Does the helm ask for full speed, which nobody keeps up for days?
fn at_full_speed(at: &Site<f64>) -> bool {
    at.point.speed > FULL * P::of(at.parameters).rated_speed
}

/// The questions.
pub(crate) const MARGINS: &[Margin] = &[
    Margin {
        name: "coolant out",
        asks: "Does the coolant stay below its alarm?",
        of: |at| Some(at.outlet_temperature[0]),
        quantity: Quantity::Temperature,
        least: f64::NEG_INFINITY,
        most: 367.15,
        remedy: "a larger cooler, or more water through it",
        source: "[Trade] 2.14 coolant out",
    },
    Margin {
        name: "clear of boiling",
        asks: "Is the coolant clear of boiling?",
        of: |at| Some(at.boils_at(0) - at.outlet_temperature[0]),
        quantity: Quantity::TemperatureDifference,
        least: 10.0,
        most: f64::INFINITY,
        remedy: "a cap of higher pressure, more antifreeze, a larger cooler",
        source: "common practice, no source",
    },
    Margin {
        name: "jacket rise",
        asks: "Does enough coolant run through the block?",
        of: |at| Some(at.outlet_temperature[0] - at.inlet_temperature[0]),
        quantity: Quantity::TemperatureDifference,
        least: f64::NEG_INFINITY,
        most: 12.0,
        remedy: "a larger pump, less resistance in hoses and coolers",
        source: "[Trade] 2.2 rise",
    },
    Margin {
        name: "oil at speed",
        asks: "Is there oil pressure enough at speed?",
        of: |at| (at.unknowns[0] > P::of(at.parameters).rated_speed * AT_SPEED).then(|| over(at, 1)),
        quantity: Quantity::GaugePressure,
        least: 250000.0,
        most: f64::INFINITY,
        remedy: "relief valve set higher, cooler oil, a larger pump",
        source: "[Trade] 2.3 pressure",
    },
    Margin {
        name: "oil at idle",
        asks: "Is there oil pressure enough at idle?",
        of: |at| (at.unknowns[0] < P::of(at.parameters).rated_speed * AT_IDLE).then(|| over(at, 1)),
        quantity: Quantity::GaugePressure,
        least: 100000.0,
        most: f64::INFINITY,
        remedy: "a higher idle, cooler oil, thicker oil as the maker allows",
        source: "[Trade] 2.3 pressure",
    },
    Margin {
        name: "gas",
        asks: "Is the exhaust cool enough to go on for days?",
        of: |at| (!is_charged(at.links[3]) && !at_full_speed(at)).then_some(at.outlet_temperature[2]),
        quantity: Quantity::Temperature,
        least: f64::NEG_INFINITY,
        most: 813.15,
        remedy: "less load: less pitch or a smaller propeller; air and back pressure",
        source: "[Trade] 2.5 sustained",
    },
    Margin {
        name: "back pressure",
        asks: "Does the exhaust let the engine breathe?",
        of: |at| (!is_charged(at.links[3])).then(|| at.outlet_pressure[2] - at.point.atmosphere),
        quantity: Quantity::PressureDifference,
        least: f64::NEG_INFINITY,
        most: 9700.0,
        remedy: "a wider exhaust, fewer and rounder bends",
        source: "[Trade] 1.3 back pressure",
    },
    Margin {
        name: "rated speed",
        asks: "Has the engine power in hand at its rated speed?",
        of: |at| at_full_speed(at).then_some(at.unknowns[5]),
        quantity: Quantity::Ratio,
        least: 0.0,
        most: f64::INFINITY,
        remedy: "less pitch or diameter, a clean hull and propeller",
        source: "[Trade] 1.3 the engine just reaches rated speed",
    },
];
