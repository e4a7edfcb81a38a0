//! Cards for emergencies: one page each, what to do in the first minute, then, and what not to do; with what this vessel
//! has, by name and place. Common practice, no source, after [Trade] 1.10.

use crate::document::{Block, Chapter, Document, Step};
use crate::facts::Facts;
use crate::kinds::Role;
use crate::make::{document, step, strong, text};
use crate::words::{self, gauge_name, list, the_all};
use measure::quantity::Quantity;
use parts::kind::{Circuit, When};
use plant::plant::{GaugeId, PartId};

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

fn raw_water(facts: &Facts) -> Option<Card> {
    if !facts.has_raw_water() {
        return None;
    }
    let wet = facts.has(Role::Injection);
    let inlets = facts.inlets_in_use();
    let strainers: Vec<PartId> = [facts.cast(Role::Strainer), facts.cast(Role::DuplexStrainer)].concat();
    let pumps = facts.cast(Role::RawPump);
    let mut signs = vec![
        if wet { "little or no water with the exhaust, a hollow note, steam" } else { "no water overboard" }
            .to_string(),
    ];
    signs.extend(alarm_of(facts, Circuit::Exhaust, Quantity::Temperature, When::High));
    let look = some(vec![
        (!inlets.is_empty()).then(|| format!("{} open", facts.found_all(&inlets))),
        (!strainers.is_empty()).then(|| format!("{} clear", facts.found_all(&strainers))),
        (!pumps.is_empty()).then(|| format!("{} turning", facts.found_all(&pumps))),
        (!facts.cast(Role::Belt).is_empty() && !pumps.is_empty()).then(|| "its belt there".to_string()),
    ]);
    Some(Card {
        title: "Cooling water lost",
        anchor: "card-raw-water",
        sign: or(&signs),
        first: some(vec![
            said(ease(facts)),
            said("Look overboard. No water within half a minute: stop, unless stopping puts her ashore."),
        ]),
        then: some(vec![
            (!look.is_empty()).then(|| format!("Look, in this order: {}.", list(&look))),
            wet.then(|| "Look at the exhaust hose along its whole length: scorched means burnt inside.".into()),
            (facts.has(Role::RawPump))
                .then(|| "If the impeller has lost vanes, find every piece: it lies in the next cooler.".into()),
        ]),
        not: vec![
            "start her again to see whether it comes back.".into(),
            "open a strainer or a pump with the sea on it.".into(),
        ],
    })
}

fn overheat(facts: &Facts) -> Option<Card> {
    if !facts.carries(Circuit::FreshWater) {
        return None;
    }
    let mut signs = vec!["coolant hotter than it should be, or climbing".to_string()];
    signs.extend(alarm_of(facts, Circuit::FreshWater, Quantity::Temperature, When::High));
    let headers = facts.cast(Role::Header);
    let hull = facts.has(Role::HullCooler) && !facts.has(Role::RawPump);
    let idle = if hull {
        "Ease to idle, and keep a little way on her if there is room: the cooler wants water moving past it."
    } else {
        "Ease to idle in gear if there is room, and let it circulate."
    };
    Some(Card {
        title: "Too hot",
        anchor: "card-overheat",
        sign: or(&signs),
        first: some(vec![
            said(idle),
            facts.has_raw_water().then(|| "Look at the water overboard. None: that is the other card.".into()),
            said("Still rising: stop, unless stopping puts her ashore; then the least speed that holds her."),
        ]),
        then: some(vec![
            (!headers.is_empty())
                .then(|| format!("Once she is cold, look at the level in {}.", named(facts, &headers))),
            facts.has(Role::Belt).then(|| "Look at the belts, with the engine stopped.".into()),
            said("Feel the pipes on both sides of the thermostat: one hot and one cold, and it is shut."),
            hull.then(|| "Think of growth on the cooler outside, above all after weeks in a warm harbour.".into()),
        ]),
        not: vec!["open the cap while it is hot: it scalds.".into(), "pour cold water into a hot engine.".into()],
    })
}

fn low_oil(facts: &Facts) -> Card {
    let mut signs = vec!["oil pressure falls".to_string()];
    signs.extend(alarm_of(facts, Circuit::Oil, Quantity::GaugePressure, When::Low));
    Card {
        title: "No oil pressure",
        anchor: "card-oil",
        sign: or(&signs),
        first: vec![if facts.several() {
            "Stop that engine at once. Bearings last seconds.".into()
        } else {
            "Stop at once, unless stopping puts her ashore within minutes. Bearings last seconds.".into()
        }],
        then: some(vec![
            said("Dipstick after five minutes. Too low: look for where it went. Too high: fuel or water in it."),
            said("Look at the filter, the pipes and below the engine for oil."),
            said("Oil there and no leak: hold the gauge against a second one before you believe it."),
            said("Then once, at idle, with an eye on the gauge."),
        ]),
        not: vec!["watch it for a while under load.".into()],
    }
}

fn runaway(facts: &Facts) -> Card {
    let filters = facts.cast(Role::AirFilter);
    let air = if filters.is_empty() { "the air intake".to_string() } else { facts.found_all(&filters) };
    let fuel = facts.fuel_valves();
    Card {
        title: "She runs away",
        anchor: "card-runaway",
        sign: "the engine races, and the throttle does nothing.".into(),
        first: some(vec![
            said(format!("Shut off her air: a flat board or a plate over {air}, fingers clear of the edge.")),
            said("Stop control pulled, fuel off."),
            facts.has(Role::HandStart).then(|| "Lift the decompression, if it can be reached from the side.".into()),
        ]),
        then: some(vec![
            (!fuel.is_empty()).then(|| format!("Shut {}.", facts.found_all(&fuel))),
            said(if facts.has(Role::Turbo) {
                "Out of the room until she stands. Find out what she was burning: oil from the turbocharger or the sump, or fuel by a stuck rack."
            } else {
                "Out of the room until she stands. Find out what she was burning: oil from the sump, or fuel by a stuck rack."
            }),
        ]),
        not: vec![
            "stand beside the flywheel, or where what flies off it would go.".into(),
            "open a fuel pipe under pressure: it goes through skin.".into(),
        ],
    }
}

fn fire(facts: &Facts) -> Card {
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

fn flooding(facts: &Facts) -> Card {
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

fn strainer(facts: &Facts) -> Option<Card> {
    let duplex = facts.cast(Role::DuplexStrainer);
    let single = facts.cast(Role::Strainer);
    if duplex.is_empty() && single.is_empty() {
        return None;
    }
    let inlets = facts.inlets_in_use();
    let other = facts.plant.line_ups.len() > 1;
    let shut =
        if inlets.is_empty() { "shut the seacock".to_string() } else { format!("shut {}", facts.found_all(&inlets)) };
    Some(Card {
        title: "Strainer blocked",
        anchor: "card-strainer",
        sign: "less water overboard, more vacuum before the pump, everything slowly warmer.".into(),
        first: some(vec![
            said("Ease down."),
            (!duplex.is_empty())
                .then(|| format!("Change over {}: lever right to its other stop.", facts.found_all(&duplex))),
            (duplex.is_empty() && other).then(|| {
                "Change over to the other side, as told under changing over: open that one before this one is shut."
                    .into()
            }),
            (duplex.is_empty() && !other).then(|| format!("Stop, and {shut}.")),
        ]),
        then: some(vec![
            duplex.is_empty().then(|| "Only with its seacock shut: lid off, basket out, clean it.".into()),
            said("Fill the bowl, grease and close the lid, open, and let the air out until solid water comes."),
            said("Write down where and when: where there was weed once, there is more."),
        ]),
        not: vec!["put the lid back on a dry gasket: it draws air.".into()],
    })
}

fn fuel(facts: &Facts) -> Option<Card> {
    if !facts.carries(Circuit::Fuel) {
        return None;
    }
    let (duplex, tanks) = (facts.cast(Role::DuplexFuelFilter), facts.cast(Role::Tank));
    let valves = facts.fuel_valves();
    let pumps = facts.cast(Role::FuelPump);
    Some(Card {
        title: "She starves of fuel",
        anchor: "card-fuel",
        sign: "she surges, loses speed under load, or stops as if switched off.".into(),
        first: some(vec![
            said("Ease down: less load may keep her going."),
            (!duplex.is_empty()).then(|| format!("Change over {}.", facts.found_all(&duplex))),
            said(if tanks.is_empty() {
                "Is there fuel in the tank?".to_string()
            } else {
                format!("Is there fuel in {}?", named(facts, &tanks))
            }),
        ]),
        then: some(vec![
            (!valves.is_empty())
                .then(|| format!("See that it can come: {}; and that the tank can breathe.", facts.found_all(&valves))),
            said("Look into the bowl: water or dirt. Drain it into a can."),
            said("New element, filled before it is closed."),
            (!pumps.is_empty()).then(|| format!("Bleed, with {}, until no bubbles come.", named(facts, &pumps))),
            said("Find the cause before the second filter goes the same way."),
        ]),
        not: vec!["drain fuel onto hot metal, or overboard.".into()],
    })
}

fn controls(facts: &Facts) -> Option<Card> {
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

fn steering(facts: &Facts) -> Option<Card> {
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

fn blackout(facts: &Facts) -> Option<Card> {
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

fn hurt(facts: &Facts) -> Card {
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
