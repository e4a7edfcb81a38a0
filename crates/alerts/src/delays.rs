//! How long before it counts, by what is measured.

use crate::category::Category;
use crate::condition::Delays;
use measure::quantity::Quantity;

/// An emergency alarm waits no longer than this before it counts [s]: a dropped bit is not told, a lost oil pressure is
/// within seconds. Common practice, no source.
const EMERGENCY: f64 = 3.0;
/// An alarm waits no longer than this [s]. Common practice, no source.
const ALARM: f64 = 10.0;

/// Where nothing else is told for a gauge: delays and deadband for a quantity, on a scale from one mark to another [SI],
/// where passing the limit is of this category.
///
/// # Source
/// Places to begin from that are usual in process plants, from memory (`[ISA18-2]` informative table; the same in the
/// engineering users' guide on alarm systems): flow 15 s and 5 % of the scale, level 60 s and 5 %, pressure 15 s and 2 %,
/// temperature 60 s and 1 %; both ways. What that table does not have is treated as pressure is. That grave ones wait
/// less before they count is ours.
pub fn delays(quantity: Quantity, scale: (f64, f64), category: Category) -> Delays {
    let (seconds, share) = match quantity {
        Quantity::Temperature | Quantity::TemperatureDifference => (60.0, 0.01),
        Quantity::Level | Quantity::Volume | Quantity::Mass => (60.0, 0.05),
        Quantity::MassFlow | Quantity::VolumeFlow => (15.0, 0.05),
        _ => (15.0, 0.02),
    };
    let on = match category {
        Category::EmergencyAlarm => EMERGENCY.min(seconds),
        Category::Alarm => ALARM.min(seconds),
        Category::Warning | Category::Caution => seconds,
    };
    let width = (scale.1 - scale.0).abs();
    Delays { on, off: seconds, deadband: if width.is_finite() { share * width } else { 0.0 } }
}
