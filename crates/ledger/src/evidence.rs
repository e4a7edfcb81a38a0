//! What the ledger says of causes: checks as it were made by reading it.

use crate::balance::Amount;
use crate::books::{Ledger, holds_coolant, holds_oil};
use measure::quantity::Quantity;
use measure::unit::print;
use plant::evidence::{CheckMade, Found, Named};
use plant::plant::{PartId, Plant};

/// Oil as a share of the fuel burnt above which an engine is looked into [1]. Source: [Trade] 2.3, healthy 0.2 to 0.6 %, looked into
/// above 1 to 1.5 %.
pub const OIL_FOR_FUEL: f64 = 0.01;
/// Coolant lost in a hundred hours that a sound closed circuit does not lose [m³/h]. From memory.
pub const COOLANT_LOST: f64 = 0.5e-3 / 100.0;
/// Share of the fuel drawn [1] below which what is unaccounted for is within what instruments do. From memory.
pub const FUEL_LOST: f64 = 0.03;

/// Books that find nothing say nothing of what came after their last entry; they stand for so long [ms]: 120 days. From memory.
const STANDS: i64 = 120 * 86_400_000;

/// A check that the ledger made, and what it rests on, in words.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// As evidence.
    pub made: CheckMade,
    /// What was found in the ledger: "3.1 L of oil in 212 h, 0.16 % of the fuel burnt".
    pub because: String,
}

impl Ledger {
    /// What it says of causes: nothing where it cannot tell.
    pub fn evidence(&self, plant: &Plant) -> Vec<CheckMade> {
        self.told(plant).into_iter().map(|told| told.made).collect()
    }

    /// The same with what it rests on.
    pub fn told(&self, plant: &Plant) -> Vec<Told> {
        let oil = self.topping.iter().filter(|topping| holds_oil(plant, &topping.part)).filter_map(|topping| {
            let share = self.oil_for_fuel(topping)?;
            let part = plant.part(&topping.part)?;
            let found = self.lately(decided(share, OIL_FOR_FUEL)?, topping.span.1)?;
            let because = format!(
                "{} of oil in {:.0} h, {:.2} % of the fuel burnt ({:.2} to {:.2})",
                litres(topping.added),
                topping.hours,
                share.value * 100.0,
                share.low().max(0.0) * 100.0,
                share.high() * 100.0
            );
            told(plant, plant[part].engine, "oil_for_fuel", found, because)
        });
        let coolant = self.topping.iter().filter(|topping| holds_coolant(plant, &topping.part)).filter_map(|topping| {
            let found = self.lately(decided(topping.rate, COOLANT_LOST)?, topping.span.1)?;
            let because = format!("{} of coolant in {:.0} h", litres(topping.added), topping.hours);
            told(plant, plant.part(&topping.part), "coolant_added", found, because)
        });
        oil.chain(coolant).chain(self.fuel(plant)).collect()
    }

    /// What was found, if it still says something: the last entry it rests on was made at `time`.
    fn lately(&self, found: Found, time: i64) -> Option<Found> {
        (found != Found::Clean || self.now - time < STANDS).then_some(found)
    }

    /// Fuel unaccounted for, of the last stretch.
    fn fuel(&self, plant: &Plant) -> Option<Told> {
        let last = self.balance.all.last()?;
        let missing = last.unaccounted()?;
        if last.drawn.value <= 0.0 {
            return None;
        }
        let found = self.lately(decided(missing.times(1.0 / last.drawn.value), FUEL_LOST)?, last.to)?;
        let because = format!(
            "{} of {} drawn from the tanks unaccounted for ({} to {})",
            litres(missing.value),
            litres(last.drawn.value),
            litres(missing.low()),
            litres(missing.high())
        );
        told(plant, None, "fuel_balance", found, because)
    }
}

/// Something if it is over the limit for certain, clean if it is below it for certain, nothing if neither.
fn decided(amount: Amount, limit: f64) -> Option<Found> {
    if amount.low() > limit { Some(Found::Something) } else { (amount.high() < limit).then_some(Found::Clean) }
}

/// The check of this name, on this part or the first that has it.
fn told(plant: &Plant, on: Option<PartId>, check: &str, found: Found, because: String) -> Option<Told> {
    let place = |part: PartId| plant[part].kind.checks.iter().position(|known| known.name == check);
    let mut parts = on.into_iter().chain((0..plant.parts.len()).map(PartId));
    let (part, check) = parts.find_map(|part| Some((part, place(part)?)))?;
    Some(Told { made: CheckMade { of: Named::Part(part), check, found }, because })
}

/// A volume as it is said.
pub(crate) fn litres(volume: f64) -> String {
    let text = if volume.abs() < 10e-3 { None } else { Some(format!("{:.0} L", volume * 1e3)) };
    text.or_else(|| print(volume, Quantity::Volume, "L")).unwrap_or_default()
}
