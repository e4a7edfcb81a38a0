//! Cards for emergencies: one page each, what to do in the first minute, then, and what not to do; with what this vessel
//! has, by name and place. Common practice, no source, after [Trade] 1.10.

use crate::document::{Block, Chapter, Document, Step};
use crate::facts::Facts;
use crate::kinds::Role;
use crate::make::{document, step, strong, text};
use crate::words::{self, gauge_name, the_all};
use measure::quantity::Quantity;
use parts::kind::{Circuit, When};
use plant::plant::{GaugeId, PartId};

mod engine;
mod ship;

use engine::{fuel, low_oil, overheat, raw_water, runaway, strainer};
use ship::{blackout, controls, fire, flooding, hurt, steering};

/// A card before it is set.
struct Card {
    title: &'static str,
    anchor: &'static str,
    /// How one knows that this is it.
    sign: String,
    first: Vec<String>,
    then: Vec<String>,
    not: Vec<String>,
}

/// Every card as a document of its own.
pub fn cards(facts: &Facts) -> Document {
    let chapters =
        vec![Chapter { title: String::new(), anchor: "emergencies".into(), new_sheet: false, blocks: blocks(facts) }];
    document(facts, "Emergency cards", "First actions. Read them aloud before she leaves.", chapters)
}

/// The cards of this vessel.
pub(crate) fn blocks(facts: &Facts) -> Vec<Block> {
    let all = [
        raw_water(facts),
        overheat(facts),
        Some(low_oil(facts)),
        Some(runaway(facts)),
        Some(fire(facts)),
        Some(flooding(facts)),
        strainer(facts),
        fuel(facts),
        controls(facts),
        steering(facts),
        blackout(facts),
        Some(hurt(facts)),
    ];
    all.into_iter().flatten().map(set).collect()
}

fn set(card: Card) -> Block {
    let steps = |all: Vec<String>| Block::Steps(all.into_iter().map(step).collect::<Vec<Step>>());
    let mut blocks = vec![Block::Paragraph(vec![strong("You see: "), text(card.sign)])];
    blocks.push(Block::Heading { level: 2, text: "The first minute".into(), anchor: String::new() });
    blocks.push(steps(card.first));
    blocks.push(Block::Heading { level: 2, text: "Then".into(), anchor: String::new() });
    blocks.push(steps(card.then));
    blocks.extend(card.not.into_iter().map(|not| Block::Caution(format!("Do not {not}"))));
    Block::Card { title: card.title.into(), anchor: card.anchor.into(), blocks }
}

fn some(all: Vec<Option<String>>) -> Vec<String> {
    all.into_iter().flatten().collect()
}

/// A line of every vessel's card, among those that only some have.
#[expect(clippy::unnecessary_wraps)]
fn said(words: impl Into<String>) -> Option<String> {
    Some(words.into())
}

/// What the alarms of this circuit say.
fn alarm_of(facts: &Facts, circuit: Circuit, quantity: Quantity, side: When) -> Option<String> {
    let plant = facts.plant;
    let those: Vec<GaugeId> = plant
        .gauge_ids()
        .filter(|gauge| {
            let it = &plant[*gauge];
            let here = watch::place::circuit_of(plant, *gauge) == circuit;
            here && it.quantity == quantity && it.trips.is_some_and(|(_, when)| when == side)
        })
        .collect();
    let first = *those.first()?;
    let (trip, _) = plant[first].trips?;
    let word = if side == When::High { "above" } else { "below" };
    let which = if those.len() == 1 { format!("the {}", gauge_name(&plant[first])) } else { "an alarm of it".into() };
    Some(format!("{which} speaks ({word} {})", words::told(&plant[first], trip)))
}

/// Signs of which one is enough.
fn or(signs: &[String]) -> String {
    match signs {
        [most @ .., last] if !most.is_empty() => format!("{}; or {last}.", most.join(", ")),
        _ => format!("{}.", signs.join("")),
    }
}

fn named(facts: &Facts, parts: &[PartId]) -> String {
    the_all(facts.plant, parts)
}

/// Throttle and gear, as this vessel has them.
fn ease(facts: &Facts) -> String {
    let out = if facts.has(Role::Pitch) { "take the pitch off" } else { "out of gear" };
    format!("Throttle to idle, {out}.")
}
