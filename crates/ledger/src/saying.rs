//! The ledger in words.

use crate::balance::{By, Stretch};
use crate::books::{Ledger, Odd, What, holds_coolant, holds_oil};
use crate::evidence::{COOLANT_LOST, OIL_FOR_FUEL, litres};
use crate::hours::Wrong;
use crate::posting::Posting;
use crate::topping::Topping;
use measure::quantity::Quantity;
use measure::unit::print_usual;
use plant::plant::Plant;
use std::fmt::Write as _;

/// The answer in a few sentences, the first one first.
pub fn first(ledger: &Ledger, plant: &Plant) -> String {
    if ledger.diary.entries.is_empty() {
        return "Nothing stands in the ledger yet.".into();
    }
    let mut said = Vec::new();
    match ledger.balance.all.last() {
        Some(last) => said.push(accounted(last)),
        None => said.push(
            "The tanks cannot be balanced yet: that takes two rounds in which every tank was sounded.".to_string(),
        ),
    }
    let hours = ledger.hours.keys().filter_map(|engine| Some((engine, ledger.hours_of(engine)?)));
    let hours: Vec<String> = hours.map(|(engine, hours)| format!("{engine} has run {hours:.0} h")).collect();
    if !hours.is_empty() {
        let burn = ledger.burn.map_or_else(String::new, |burn| {
            format!(
                ", and burns {:.1} L an hour ({:.1} to {:.1})",
                1e3 * burn.value,
                1e3 * burn.low(),
                1e3 * burn.high()
            )
        });
        said.push(format!("{}{burn}.", sentence(&hours.join(", "))));
    }
    said.extend(ledger.topping.iter().map(|topping| topped(ledger, topping, plant)));
    said.join(" ")
}

/// Whether the fuel of a stretch is accounted for.
pub fn accounted(stretch: &Stretch) -> String {
    let drawn = litres(stretch.drawn.value);
    let Some(missing) = stretch.unaccounted() else {
        return format!(
            "{drawn} left the tanks between the last two soundings; what was burnt is told by no meter and no rate, so whether \
             any is missing cannot be said."
        );
    };
    let by = match stretch.burnt {
        Some((_, By::Meter)) => "by the meter",
        Some((_, By::Rate)) => "by the hours run and the rate told",
        _ => "by the hours run and what is usual",
    };
    let band = format!("{} to {}", litres(missing.low()), litres(missing.high()));
    if missing.low() > 0.0 {
        format!("{} of the {drawn} that left the tanks are unaccounted for ({band}), {by}.", litres(missing.value))
    } else if missing.high() < 0.0 {
        format!(
            "{} more were burnt, {by}, than left the tanks ({} to {}): a sounding, the meter or an entry is off.",
            litres(-missing.value),
            litres(-missing.high()),
            litres(-missing.low())
        )
    } else {
        format!("All the fuel is accounted for, within {}: {drawn} left the tanks, {by}.", litres(missing.band()))
    }
}

/// What a part takes in a hundred hours, and as a share of the fuel.
pub fn topped(ledger: &Ledger, topping: &Topping, plant: &Plant) -> String {
    let oil = holds_oil(plant, &topping.part);
    let hundred = topping.rate.times(100.0);
    let mut said = format!(
        "{} takes {} in 100 h ({} to {})",
        sentence(&topping.part.replace('-', " ")),
        litres(hundred.value),
        litres(hundred.low().max(0.0)),
        litres(hundred.high())
    );
    if let Some(share) = ledger.oil_for_fuel(topping).filter(|_| oil) {
        let stands = if share.low() > OIL_FOR_FUEL {
            ": more than a sound engine"
        } else if share.high() < OIL_FOR_FUEL {
            ": as a sound engine does"
        } else {
            ""
        };
        let _ = write!(said, ", {:.2} % of the fuel burnt{stands}", 100.0 * share.value);
    }
    if holds_coolant(plant, &topping.part) && topping.rate.low() > COOLANT_LOST {
        said += ": a closed circuit that is sound loses next to none";
    }
    match topping.trend {
        Some(trend) if trend.goes() && trend.slope > 0.0 => said += ", and more and more",
        Some(trend) if trend.goes() => said += ", and less and less",
        _ => {}
    }
    said + "."
}

/// What is odd about an entry, and what to do.
pub fn odd(odd: &Odd) -> String {
    match &odd.what {
        What::Hours(absurd, engine) => {
            let shown = format!("The hour-meter of {engine} at {:.1} h", absurd.hours);
            match absurd.why {
                Wrong::Backwards => format!(
                    "{shown} would have run backwards; it is not counted with. If the meter was changed, enter that; if not, correct it."
                ),
                Wrong::FasterThanTime => {
                    format!("{shown} would have run more hours than have passed; it is not counted with. Correct it.")
                }
            }
        }
        What::Overfull { tank, volume, holds } => {
            format!("{} in {tank}, which holds {}: look at the unit and the tank.", litres(*volume), litres(*holds))
        }
        What::Below => "Less than nothing, or no number: correct it or take it back.".into(),
        What::Nameless(name) => format!("The description has no “{name}” any more."),
        What::Ahead => "It lies in the time to come: look at the date.".into(),
    }
}

/// An entry in a line.
pub fn entry(what: &Posting) -> String {
    let about = |within: &Option<f64>| within.map_or_else(String::new, |within| format!(" ± {}", litres(within)));
    match what {
        Posting::Taken { tank, volume, within, density, place, price } => {
            let mut said = format!("{}{} taken into {tank}", litres(*volume), about(within));
            said += &place.as_ref().map_or_else(String::new, |place| format!(", {place}"));
            said +=
                &density.map_or_else(String::new, |density| format!(", {}", print_usual(density, Quantity::Density)));
            said + &price.as_ref().map_or_else(String::new, |price| format!(", {price}"))
        }
        Posting::Moved { from, to, volume, within } => {
            format!("{}{} moved from {from} to {to}", litres(*volume), about(within))
        }
        Posting::Sounded { tank, volume, within } => format!("{tank} sounded: {}{}", litres(*volume), about(within)),
        Posting::Burnt { tank, volume, within } => {
            let out = tank.as_ref().map_or_else(String::new, |tank| format!(" out of {tank}"));
            format!("{}{} burnt{out} by the meter", litres(*volume), about(within))
        }
        Posting::Added { part, volume } => format!("{} topped up in {part}", litres(*volume)),
        Posting::Drained { part, volume } => format!("{} drained from {part}", litres(*volume)),
        Posting::Renewed { part, volume } => format!("{part} drained and filled anew with {}", litres(*volume)),
        Posting::Hours { engine, hours } => format!("hour-meter of {engine}: {hours:.1} h"),
        Posting::MeterChanged { engine, old, new } => {
            format!("hour-meter of {engine} changed: {old:.1} h on the old one, {new:.1} h on the new one")
        }
    }
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
