//! Stores in words: the same on a page, on a terminal and in print.

use crate::item::{Fit, ItemId, Stores};
use crate::need::{Goal, Line, Need};
use crate::stock::{Stock, day_of};
use parts::kind::Cause;
use plant::evidence::Named;
use plant::plant::Plant;
use std::fmt::Write as _;

/// What goes off within so many days is told [d].
const SOON: i64 = 90;
/// Names that a sentence holds.
const NAMES: usize = 5;

/// How the stores stand, in a sentence or two.
///
/// * `today`: days since 1970
pub fn verdict(stores: &Stores, stock: &Stock, today: i64) -> String {
    if stores.items.is_empty() {
        return "nothing is described as kept aboard; write it under [item.…] in work.toml".into();
    }
    let below: Vec<&str> = below(stores, stock, today).map(|id| stores[id].name.as_str()).collect();
    let kept = stores.items.iter().filter(|item| item.keep > 0.0).count();
    let mut text = match (below.len(), kept) {
        (_, 0) => format!("{}, none with what is to be kept at least", items(stores.items.len())),
        (0, _) => "what is to be kept is all aboard".into(),
        (1, 1) => format!("{} is below what is to be kept", below[0]),
        (1, _) => format!("one of {} is below what is to be kept: {}", items(kept), below[0]),
        (some, _) => format!("{some} of {} are below what is to be kept: {}", items(kept), listed(&below)),
    };
    let off = |until: &dyn Fn(i64) -> bool| -> Vec<&str> {
        let has = |id: &ItemId| stock.held[id.0].lots.iter().any(|lot| lot.good_until.is_some_and(until));
        stores.ids().filter(has).map(|id| stores[id].name.as_str()).collect()
    };
    let past = off(&|day| day < today);
    if !past.is_empty() {
        let _ = write!(text, "; past its day: {}", listed(&past));
    }
    let soon = off(&|day| day >= today && day < today + SOON);
    if !soon.is_empty() {
        let _ = write!(text, "; to be used within {SOON} days: {}", listed(&soon));
    }
    text
}

/// Items of which less is aboard and good than is to be kept; what serves as well counts.
pub fn below<'a>(stores: &'a Stores, stock: &'a Stock, today: i64) -> impl Iterator<Item = ItemId> + 'a {
    stores.ids().filter(move |&id| crate::order::good(stores, stock, id, today) + crate::amount::SAME < stores[id].keep)
}

/// How a passage stands, in a sentence or two.
pub fn on_passage(stores: &Stores, need: &Need) -> String {
    if need.lines.iter().all(|line| line.needed() <= 0.0 && line.failures <= 0.0) {
        return "nothing that is described as kept aboard is used on it".into();
    }
    let name = |line: &Line| stores[line.items[0]].name.as_str();
    let lacking: Vec<&str> = need.lines.iter().filter(|line| line.planned > line.aboard).map(name).collect();
    let bought = need.lines.iter().any(|line| line.packs > 0.0);
    let allowed = odds(need.allowed);
    let now = odds(need.short_now);
    let text = if lacking.is_empty() {
        format!("with what is aboard the chance of lacking a spare that is needed is {now}")
    } else {
        format!("the work that falls due on it wants more than is aboard of {}", listed(&lacking))
    };
    let bought = match (bought, need.short_now <= need.allowed) {
        (false, true) => format!(", and {allowed} was allowed: nothing is to be bought"),
        (false, false) => String::new(),
        (true, _) => {
            let then = odds(need.short_then);
            format!("; with what stands to be bought the chance of lacking any is {then} ({allowed} was allowed)")
        }
    };
    text + &bought
}

/// What a list comes to, and how sure it is that there is no lesser one.
pub fn price(need: &Need, goal: Goal) -> String {
    let print = |value: f64| match goal {
        Goal::Weight => format!("{value:.1} kg"),
        Goal::Cost => format!("{value:.0} EUR"),
        Goal::Volume => format!("{:.1} L", value * 1e3),
    };
    let proof = if need.price - need.at_least <= 1e-9 * need.price.max(1.0) {
        "and no other list that keeps the chance comes to less".to_string()
    } else {
        format!("and no other list that keeps the chance comes to less than {}", print(need.at_least))
    };
    format!("What is to be bought comes to {}, {proof}.", print(need.price))
}

/// What fits as an owner writes it: "raw-pump.impeller".
pub fn fit(plant: &Plant, (of, what): &Fit) -> String {
    if what.is_empty() { of.name(plant).to_string() } else { format!("{}.{what}", of.name(plant)) }
}

/// What uses an item: what it fits itself, and what the kits fit that it is in.
pub fn used_by(plant: &Plant, stores: &Stores, id: ItemId) -> Vec<String> {
    let kits = stores.kits.iter().filter(|kit| kit.contents.iter().any(|(item, _)| *item == id));
    let mut all: Vec<String> = Vec::new();
    for used in stores[id].fits.iter().chain(kits.flat_map(|kit| &kit.fits)).map(|of| fit(plant, of)) {
        if !all.contains(&used) {
            all.push(used);
        }
    }
    all
}

/// A way to fail with its part: "raw-pump.worn".
pub fn way(plant: &Plant, of: Named, cause: &Cause) -> String {
    format!("{}.{}", of.name(plant), cause.name)
}

/// A day [days since 1970] as 2026-05-03.
pub fn day(days: i64) -> String {
    day_of(days.saturating_mul(86_400_000))
}

fn items(count: usize) -> String {
    if count == 1 { "1 item".into() } else { format!("{count} items") }
}

fn listed(names: &[&str]) -> String {
    let more = names.len().saturating_sub(NAMES);
    let first = names[..names.len() - more].join(", ");
    if more > 0 { format!("{first} and {more} more") } else { first }
}

/// A chance as it is said aboard: "1 in 40", "9 in 10", "for sure".
pub fn odds(chance: f64) -> String {
    match chance {
        c if c >= 0.995 => "for sure".into(),
        c if c > 0.95 => "more than 19 in 20".into(),
        c if c > 0.45 => format!("{} in 10", (c * 10.0).round().clamp(5.0, 9.0)),
        c if c < 1e-5 => "less than 1 in 100000".into(),
        c => {
            let one_in = 1.0 / c;
            // Two digits of it.
            let size = 10f64.powi(one_in.log10().floor() as i32 - 1).max(1.0);
            format!("1 in {}", (one_in / size).round() * size)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_said_by_whole_numbers() {
        for (chance, said) in [
            (1.0, "for sure"),
            (0.97, "more than 19 in 20"),
            (0.71, "7 in 10"),
            (0.46, "5 in 10"),
            (0.3, "1 in 3"),
            (0.025, "1 in 40"),
            (0.00333, "1 in 300"),
            (1.4e-4, "1 in 7100"),
            (1e-9, "less than 1 in 100000"),
        ] {
            assert_eq!(odds(chance), said, "{chance}");
        }
    }
}
