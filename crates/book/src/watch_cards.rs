//! The watch hand-over and the card that says when to call.

use crate::document::{Block, Chapter, Document};
use crate::facts::Facts;
use crate::kinds::Role;
use crate::make::{document, say, text};
use crate::valves;
use crate::words::{self, gauge_name, sentence};
use measure::quantity::Quantity;
use parts::kind::{Circuit, When};

/// Both, as a document of their own.
pub fn cards(facts: &Facts) -> Document {
    let chapters =
        vec![Chapter { title: String::new(), anchor: "watch".into(), new_sheet: false, blocks: blocks(facts) }];
    document(facts, "Watch cards", "Handing over, and when to call.", chapters)
}

/// The two cards.
pub(crate) fn blocks(facts: &Facts) -> Vec<Block> {
    let card = |title: &str, anchor: &str, blocks| Block::Card { title: title.into(), anchor: anchor.into(), blocks };
    vec![
        card("Call me", "card-call-me", call_me(facts)),
        card("Handing over the watch", "card-hand-over", hand_over(facts)),
    ]
}

/// When whoever is in charge wants to be called. Common practice, no source, with this vessel's own figures.
fn call_me(facts: &Facts) -> Vec<Block> {
    let plant = facts.plant;
    let mut lines: Vec<String> = vec![
        "An alarm speaks, even if it falls silent again by itself.".into(),
        "You smell fuel, hot rubber, hot paint or exhaust, or hear anything new.".into(),
        "The bilge is higher than at the last round, or its pump runs more often.".into(),
    ];
    let wanted = [
        (Circuit::FreshWater, Quantity::Temperature),
        (Circuit::Oil, Quantity::GaugePressure),
        (Circuit::Exhaust, Quantity::Temperature),
    ];
    for (circuit, quantity) in wanted {
        let Some(gauge) = facts.gauge(circuit, quantity) else { continue };
        let Some(band) = facts.should_read(gauge, "cruise") else { continue };
        lines.push(format!("{} leaves what is normal at cruise: {band}.", sentence(&gauge_name(&plant[gauge]))));
    }
    let points: Vec<String> = plant
        .gauge_ids()
        .filter_map(|gauge| {
            let (trip, when) = plant[gauge].trips?;
            let side = if when == When::High { "above" } else { "below" };
            Some(format!("{} {side} {}", gauge_name(&plant[gauge]), words::told(&plant[gauge], trip)))
        })
        .collect();
    if !points.is_empty() {
        lines.push(format!(
            "A gauge comes near where an alarm speaks, and the alarm is silent: {}.",
            words::list(&points)
        ));
    }
    if facts.has_raw_water() {
        lines.push("The water overboard is less than it was, or steams.".into());
    }
    if facts.has(Role::Tank) {
        lines.push("There is fuel left for four hours or less in the tank she draws from.".into());
    }
    lines.push("You have turned a valve, or are about to.".into());
    lines.push("You are not sure. Nobody was ever blamed for calling.".into());
    vec![
        say("Wake me if any of this is so. Do first what the emergency card says; then call."),
        Block::List(lines.into_iter().map(|line| vec![text(line)]).collect()),
    ]
}

/// What one watch tells the next.
fn hand_over(facts: &Facts) -> Vec<Block> {
    let plant = facts.plant;
    let shut = valves::not_open(facts);
    let mut lines = vec![
        "Speed, load, and what was changed in the last hour.".to_string(),
        "Every reading that has moved, and which way, with the time.".into(),
        "Alarms, seen or held, and why.".into(),
        "Fuel in the tank she draws from, and transfers that are going on.".into(),
        "Bilge: level, and how often the pump ran.".into(),
        "Work in hand, tools lying about, anything opened or tied up.".into(),
    ];
    if facts.plant.valves().next().is_some() {
        let usual = if shut.is_empty() {
            "they usually all stand open or on".to_string()
        } else {
            let them: Vec<String> =
                shut.iter().map(|v| format!("the {} {}", words::name(plant, *v), plant[*v].kind.stands(0.0))).collect();
            format!("usual is {}, and the rest open or on", words::list(&them))
        };
        lines.push(format!("Valves and switches that do not stand as usual ({usual})."));
    }
    lines.push("Orders: course of action if something turns up, and when to call.".into());
    vec![
        say("Walk the round together. Then tell, and let it be told back:"),
        Block::List(lines.into_iter().map(|line| vec![text(line)]).collect()),
        Block::Lines { text: "What is not as usual".into(), count: 5 },
        Block::Lines { text: "Given and taken by, and when".into(), count: 1 },
    ]
}
