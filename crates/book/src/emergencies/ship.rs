//! What befalls the vessel: fire, water, control, current, and people.

use super::{Card, named, said, some};
use crate::facts::Facts;
use crate::kinds::Role;
use plant::plant::PartId;

pub(super) fn fire(facts: &Facts) -> Card {
    let fuel = facts.fuel_valves();
    let fire: Vec<PartId> = facts
        .walk
        .iter()
        .copied()
        .filter(|part| {
            let it = &facts.plant[*part];
            it.name.contains("fire") || it.notes.iter().any(|(_, text)| text.to_lowercase().contains("fire "))
        })
        .collect();
    Card {
        title: "Fire in the engine space",
        anchor: "card-fire",
        sign: "smoke, heat on the door, smell of burning.".into(),
        first: some(vec![
            said("Everyone out, and counted. Do not open the door."),
            said(format!("Stop {}, and the fans.", if facts.several() { "all engines" } else { "the engine" })),
            said(if fuel.is_empty() {
                "Shut the fuel from outside, if it can be.".to_string()
            } else {
                format!("Shut the fuel if it can be reached from outside: {}.", facts.found_all(&fuel))
            }),
            said("Close vents and dampers, then let the extinguishing agent in, all of it at once."),
            (!fire.is_empty()).then(|| format!("Fire gear: {}.", facts.found_all(&fire))),
        ]),
        then: some(vec![
            said("Call for help while there is time: position, people, fire."),
            said("Leave it shut. Cool the bulkheads and the deck above with water, and feel how far the heat goes."),
            facts
                .has(Role::Battery)
                .then(|| "Switch off the batteries, if what you need for calling does not hang on them.".into()),
        ]),
        not: vec!["look in early: fresh air lights it again.".into()],
    }
}

pub(super) fn flooding(facts: &Facts) -> Card {
    let seacocks = facts.seacocks();
    let pumps: Vec<PartId> =
        [facts.cast(Role::BilgePump), facts.cast(Role::EngineBilgePump), facts.cast(Role::HandBilgePump)].concat();
    Card {
        title: "Water comes in",
        anchor: "card-flooding",
        sign: "the bilge rises, the pump does not stop, belts squeal in spray.".into(),
        first: some(vec![
            said(if pumps.is_empty() {
                "Every pump on.".into()
            } else {
                format!("Every pump on: {}.", facts.found_all(&pumps))
            }),
            said("Slow down, and taste it: salt comes from outside."),
            (!seacocks.is_empty()).then(|| {
                let stop = if facts.inlets_in_use().is_empty() {
                    ""
                } else {
                    " Stop the engine before its water is shut off."
                };
                format!(
                    "If it is salt, shut what the sea stands at, in this order: {}.{stop}",
                    facts.found_all(&seacocks)
                )
            }),
        ]),
        then: some(vec![
            facts.has_raw_water().then(|| {
                "Look at the cooling hoses first: one that has burst or slipped is the commonest way in.".into()
            }),
            facts.has(Role::Gland).then(|| format!("Then at {}.", named(facts, &facts.cast(Role::Gland)))),
            said("Bung, cushion, sheet of rubber: half a hole lets in half the water."),
            said("Call for help early. It can be called off."),
        ]),
        not: vec!["let the engine run until water reaches its air intake or its starter.".into()],
    }
}

pub(super) fn controls(facts: &Facts) -> Option<Card> {
    let pitch = facts.has(Role::Pitch);
    let gear = facts.cast(Role::Gearbox);
    if gear.is_empty() && !pitch {
        return None;
    }
    let at = facts.found_all(&gear);
    let first = if pitch {
        format!("Slow the engine down. Somebody to {at}: clutch and pitch are worked there by hand.")
    } else {
        format!(
            "Throttle to idle, by hand at the engine if need be. Somebody to {at}: ahead and astern are shifted there by hand."
        )
    };
    Some(Card {
        title: "Controls lost",
        anchor: "card-controls",
        sign: "lever moves and nothing follows: throttle, gear or pitch.".into(),
        first: vec![first, "Agree on signals between helm and engine before she moves again.".into()],
        then: some(vec![
            said("Go slowly, with room for twice the stopping distance."),
            said("Look for a cable off its end, a rod without its pin, air or oil that leaked away."),
            pitch.then(|| "If pitch cannot be set, it may be locked where it is: then she goes one way only, and stops by the clutch.".into()),
        ]),
        not: vec!["shift from ahead to astern without waiting at idle.".into()],
    })
}

pub(super) fn steering(facts: &Facts) -> Option<Card> {
    let gear = facts.cast(Role::Steering);
    if gear.is_empty() {
        return None;
    }
    let twin = facts
        .engines
        .iter()
        .filter(|engine| {
            facts.plant.parts.iter().any(|part| {
                part.engine == Some(**engine) && part.kind.unknowns.iter().any(|unknown| unknown.name == "boat_speed")
            })
        })
        .count()
        > 1;
    Some(Card {
        title: "Steering lost",
        anchor: "card-steering",
        sign: "the wheel turns and she does not, or it will not turn at all.".into(),
        first: some(vec![
            said("Take the way off her if there is traffic or shore."),
            twin.then(|| "Steer with the engines: one ahead, the other astern.".into()),
            said("Ship the emergency tiller."),
        ]),
        then: vec![
            format!("Look at {}: oil, air, a hose, a pin.", facts.found_all(&gear)),
            "A drogue over the stern steers a little, and slows her.".into(),
        ],
        not: vec!["use full power while the tiller is being shipped: it breaks arms.".into()],
    })
}

pub(super) fn blackout(facts: &Facts) -> Option<Card> {
    let banks = facts.cast(Role::Battery);
    if banks.is_empty() && !facts.has(Role::HandStart) && !facts.has(Role::AirStart) {
        return None;
    }
    let switches = facts.switches();
    Some(Card {
        title: "No current",
        anchor: "card-blackout",
        sign: "everything goes dark, or she will not crank.".into(),
        first: some(vec![
            said("If she runs, let her run: do not stop an engine that you cannot start."),
            said("Switch off all that is not needed."),
            facts.has(Role::HandStart).then(|| "Start her by hand, as told there.".into()),
            facts.has(Role::AirStart).then(|| {
                let receivers = facts.cast(Role::AirReceiver);
                if receivers.is_empty() {
                    "Start her with air, as long as there is any.".into()
                } else {
                    format!("Start her with air from {}, as long as there is any.", facts.found_all(&receivers))
                }
            }),
        ]),
        then: some(vec![
            (!switches.is_empty()).then(|| format!("Look at {}.", facts.found_all(&switches))),
            (banks.len() > 1).then(|| {
                format!("One bank can help the other: she has {}. Find the short first.", named(facts, &banks))
            }),
            said("Feel the lugs: a warm one is loose."),
        ]),
        not: vec!["join a bank to one that is hot or swollen.".into()],
    })
}

pub(super) fn hurt(facts: &Facts) -> Card {
    Card {
        title: "Somebody is hurt, or faint from gas",
        anchor: "card-hurt",
        sign: "somebody is down in the engine space; or headaches aboard, which mean exhaust gas.".into(),
        first: vec![
            "Air first: doors and hatches open, and do not breathe in there yourself.".into(),
            format!("Stop {}.", if facts.several() { "all engines" } else { "the engine" }),
            "Get them out into the open.".into(),
        ],
        then: vec![
            "Call for medical advice by radio; it costs nothing.".into(),
            "Burns: cool with water, a long time. Oil or fuel under the skin from a jet: hospital at once, however small the hole.".into(),
        ],
        not: vec!["send a second person in without air of their own.".into()],
    }
}
