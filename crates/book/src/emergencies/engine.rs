//! What befalls the engine: water, heat, oil, fuel, and one that cannot be stopped.

use super::{Card, alarm_of, ease, named, or, said, some};
use crate::facts::Facts;
use crate::kinds::Role;
use crate::words::list;
use measure::quantity::Quantity;
use parts::kind::{Circuit, When};
use plant::plant::PartId;

pub(super) fn raw_water(facts: &Facts) -> Option<Card> {
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

pub(super) fn overheat(facts: &Facts) -> Option<Card> {
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

pub(super) fn low_oil(facts: &Facts) -> Card {
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

pub(super) fn runaway(facts: &Facts) -> Card {
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

pub(super) fn strainer(facts: &Facts) -> Option<Card> {
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

pub(super) fn fuel(facts: &Facts) -> Option<Card> {
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
