//! Starting, stopping, changing over, line-ups, starting by hand: the owner's own procedure where there is one, else what
//! holds for what this vessel has. Common practice, no source, after [Trade] 1.5 and 1.7.

use crate::document::{Block, Chapter, Step};
use crate::facts::Facts;
use crate::kinds::Role;
use crate::make::{careful, chapter, heading, say, step};
use crate::procedures::{self, Procedure};
use crate::words::{self, gauge_name, sentence, the, the_all};
use measure::quantity::Quantity;
use parts::kind::Circuit;
use plant::line_up::LineUp;
use plant::plant::PartId;

/// Names under which an owner's procedure stands in for ours.
const OURS: [&str; 3] = ["start", "stop", "change-over"];

/// The chapters: start, stop, changing over, by hand, and the owner's further procedures.
pub(crate) fn chapters(facts: &Facts) -> Vec<Chapter> {
    let mut all = vec![
        own(facts, "start").unwrap_or_else(|| chapter("Starting", "start", start(facts))),
        own(facts, "stop").unwrap_or_else(|| chapter("Stopping", "stop", stop(facts))),
    ];
    let change = own(facts, "change-over").map_or_else(|| change_over(facts), |own| own.blocks);
    let mut blocks = change;
    blocks.extend(line_ups(facts));
    if !blocks.is_empty() {
        let title = own_title(facts, "change-over").unwrap_or_else(|| "Changing over".into());
        all.push(chapter(&title, "change-over", blocks));
    }
    all.extend(by_hand(facts));
    let further = facts.asked.procedures.iter().filter(|procedure| !OURS.contains(&procedure.name.as_str()));
    all.extend(further.map(|procedure| told(facts, procedure, &format!("procedure-{}", words::slug(&procedure.name)))));
    all
}

fn find<'a>(facts: &'a Facts, name: &str) -> Option<&'a Procedure> {
    facts.asked.procedures.iter().find(|procedure| procedure.name == name)
}

fn own_title(facts: &Facts, name: &str) -> Option<String> {
    find(facts, name).map(|procedure| procedures::title(facts, procedure))
}

fn own(facts: &Facts, name: &str) -> Option<Chapter> {
    find(facts, name).map(|procedure| told(facts, procedure, name))
}

fn told(facts: &Facts, procedure: &Procedure, anchor: &str) -> Chapter {
    chapter(&procedures::title(facts, procedure), anchor, procedures::blocks(facts, procedure))
}

fn start(facts: &Facts) -> Vec<Block> {
    let mut out = Vec::new();
    if facts.several() {
        out.push(say("One engine after the other, and the next only when the first has settled."));
    }
    let mut steps: Vec<Step> = Vec::new();
    let inlets = facts.inlets_in_use();
    if !inlets.is_empty() {
        let text = format!("Open {}, and see that the handle lies as it should.", facts.found_all(&inlets));
        steps.push(careful(
            text,
            "No step is forgotten so often, and none costs so much: the pump burns within half a minute.",
        ));
    } else if facts.has_raw_water() {
        steps.push(step("See that the way for the sea water is open, from the hull to the pump."));
    }
    let switches = facts.switches();
    if !switches.is_empty() {
        steps.push(step(format!("Switch on {}.", facts.found_all(&switches))));
    }
    steps.push(step(levels(facts)));
    let fuel = facts.fuel_valves();
    if !fuel.is_empty() {
        let open: Vec<PartId> = fuel.iter().copied().filter(|valve| !facts.plant.is_shut(*valve)).collect();
        if !open.is_empty() {
            steps.push(step(format!("Fuel on: {} open.", facts.found_all(&open))));
        }
    }
    steps.push(step(if facts.has(Role::Pitch) {
        "Clutch out, pitch at nothing, throttle at idle, nobody near belts or shaft."
    } else {
        "Gear in neutral, throttle at idle, nobody near belts or shaft."
    }));
    steps.push(turn_over(facts, &inlets));
    if let Some(gauge) = facts.gauge(Circuit::Oil, Quantity::GaugePressure) {
        let name = if facts.several() { "oil pressure".into() } else { gauge_name(&facts.plant[gauge]) };
        steps.push(careful(
            format!("Watch the {name}: it rises within ten seconds."),
            "If it does not, stop at once and look for the reason before you try again.",
        ));
    } else {
        steps.push(careful(
            "See that the oil lamp goes out within ten seconds.",
            "If it does not, stop at once and look for the reason before you try again.",
        ));
    }
    if facts.has_raw_water() && facts.has(Role::Injection) {
        steps.push(careful(
            "Look overboard: water comes with the exhaust within half a minute.",
            "No water: stop. The hose behind the mixing elbow is burning.",
        ));
    } else if facts.has_raw_water() {
        steps.push(step("Look for the cooling water overboard, or for pressure after its pump, within half a minute."));
    }
    if facts.carries(Circuit::Charging) {
        steps.push(step("See that the voltage rises: she charges."));
    }
    steps.push(step("Go once round her: listen, and look for leaks."));
    let warm = match facts.gauge(Circuit::FreshWater, Quantity::Temperature) {
        Some(gauge) => {
            let name = if facts.several() { "its coolant".into() } else { gauge_name(&facts.plant[gauge]) };
            format!("Let her warm at a fast idle. Load only when {name} has passed about 55 °C.")
        }
        None => "Let her warm at a fast idle for ten minutes before she is loaded.".into(),
    };
    steps.push(step(warm));
    out.push(Block::Steps(steps));
    out
}

/// The levels that are looked at before she is started.
fn levels(facts: &Facts) -> String {
    let mut all = Vec::new();
    if facts.has(Role::Sump) {
        all.push(
            if facts.several() { "engine oil on each dipstick" } else { "engine oil on the dipstick" }.to_string(),
        );
    }
    let headers = facts.cast(Role::Header);
    if !headers.is_empty() {
        all.push(format!("coolant in {}", the_all(facts.plant, &headers)));
    }
    if facts.has(Role::Gearbox) {
        all.push("gear oil".into());
    }
    let tanks = facts.cast(Role::Tank);
    if !tanks.is_empty() {
        all.push(format!("fuel in {}", the_all(facts.plant, &tanks)));
    }
    all.push("the bilge".into());
    let cold = if headers.is_empty() { "" } else { " The cap is opened on a cold engine only." };
    format!("Look at the levels: {}.{cold}", words::list(&all))
}

/// The step that turns her.
fn turn_over(facts: &Facts, inlets: &[PartId]) -> Step {
    let flood = if facts.has(Role::Injection) && !inlets.is_empty() {
        let them = the_all(facts.plant, inlets);
        format!(
            " If she does not fire after a few tries, shut {them} before the next: what the pump draws in meanwhile fills the exhaust."
        )
    } else {
        String::new()
    };
    if facts.has(Role::AirStart) {
        let receivers = facts.cast(Role::AirReceiver);
        let air = if receivers.is_empty() {
            String::new()
        } else {
            format!(" There has to be air in {}.", the_all(facts.plant, &receivers))
        };
        return step(format!("Start her with air, a short pull and no longer than she needs.{air}{flood}"));
    }
    let batteries = facts.has(Role::Battery) && !facts.has(Role::HandStart);
    if facts.has(Role::HandStart) {
        return Step {
            text: vec![
                crate::make::text("Start her by hand, as told under "),
                crate::make::link("starting by hand", "hand-start"),
                crate::make::text(format!(".{flood}")),
            ],
            caution: None,
        };
    }
    let rest = if batteries {
        "no more than fifteen seconds at a time, with half a minute's rest between"
    } else {
        "short tries, with rests between"
    };
    step(format!("Start: {rest}.{flood}"))
}

fn stop(facts: &Facts) -> Vec<Block> {
    let mut steps = Vec::new();
    let minutes = if facts.has(Role::Turbo) {
        "ten minutes, for the turbocharger spins on without oil"
    } else {
        "three to five minutes"
    };
    steps.push(step(format!(
        "{}, idle for {minutes}.",
        if facts.has(Role::Pitch) { "Clutch out" } else { "Out of gear" }
    )));
    let mut read = Vec::new();
    for (circuit, quantity) in [(Circuit::Oil, Quantity::GaugePressure), (Circuit::FreshWater, Quantity::Temperature)] {
        for gauge in facts.gauges(circuit, quantity).take(facts.engines.len()) {
            if let Some(band) = facts.should_read(gauge, "idle") {
                read.push(format!("{} ({band})", gauge_name(&facts.plant[gauge])));
            }
        }
    }
    if !read.is_empty() {
        let text = format!(
            "Read and write down, hot and idling: {}. Oil pressure at a hot idle tells more of the bearings than any other reading.",
            words::list(&read)
        );
        steps.push(step(text));
    }
    steps.push(step(format!("Stop {}. See that all gauges fall to where they stand at rest.", facts.engine())));
    let mut shut = facts.inlets_in_use();
    shut.extend(facts.fuel_valves().into_iter().filter(|valve| !facts.plant.is_shut(*valve)));
    if !shut.is_empty() {
        let text = format!("If she is left: shut {}, and hang a tag on the start.", facts.found_all(&shut));
        steps.push(step(text));
    }
    steps.push(step("Write down the hours, fuel and oil that were added, and what you saw."));
    steps.push(step("Wipe her down: on a clean engine a leak is seen the next day."));
    vec![Block::Steps(steps)]
}

/// Changing over strainers, filters and tanks under way.
fn change_over(facts: &Facts) -> Vec<Block> {
    let mut out = Vec::new();
    for strainer in facts.cast(Role::DuplexStrainer) {
        out.push(heading(format!("From one basket of {} to the other", the(facts.plant, strainer)), ""));
        out.push(Block::Steps(vec![
            step("Look into the basket that stands by: clean, and its lid tight."),
            careful(
                "Move the lever right over to its other stop, without a halt.",
                "Between its stops it feeds both sides badly, and the lid you are about to open is not shut off.",
            ),
            step("Watch the water overboard and the vacuum for a minute."),
            careful(
                "Ease the lid of the other basket, and clean it.",
                "No water may keep coming: if it does, tighten the lid again.",
            ),
            step("Fill it, close it, vent it. It now stands by."),
        ]));
    }
    for filter in facts.cast(Role::DuplexFuelFilter) {
        out.push(heading(format!("From one element of {} to the other", the(facts.plant, filter)), ""));
        out.push(Block::Steps(vec![
            step("Ease her to half speed if there is room: a bubble matters less then."),
            careful("Move the lever over to the other element.", "Fuel on hot metal burns: a rag under it, and no drop left."),
            step("Watch the vacuum, and listen for a minute."),
            step("Renew the element that is off, fill it with clean fuel, close it and bleed it. Find out why it clogged before the second does."),
        ]));
    }
    let tanks = facts.cast(Role::Tank);
    if tanks.len() > 1 {
        let names = the_all(facts.plant, &tanks);
        out.push(heading("From one tank to another", ""));
        out.push(say(format!("She has {}: {names}.", words::count(tanks.len(), "tank", "tanks"))));
        out.push(Block::Steps(vec![
            step("Sound both, and drain water from the one you go to."),
            step("Open it before the other is shut. See where the return goes: what is not burnt must not overfill a tank."),
            step("Stay by for five minutes. An engine that stumbles now has air or water: go back."),
        ]));
    }
    out
}

/// The line-ups that the description names, each with what to turn.
fn line_ups(facts: &Facts) -> Vec<Block> {
    let plant = facts.plant;
    if plant.line_ups.is_empty() {
        return Vec::new();
    }
    let mut out = vec![heading("Line-ups", "line-ups")];
    out.push(say(match plant.line_up() {
        Some(now) => format!("The valves, as she is described, stand for {}.", now.name.replace('-', " ")),
        None => "The valves, as she is described, stand for none of these.".into(),
    }));
    for line_up in &plant.line_ups {
        out.push(say(format!("For {}, in this order:", line_up.name.replace('-', " "))));
        out.push(Block::Steps(turns(facts, line_up)));
    }
    out
}

/// What to turn: what is opened first, then what is shut, so that a pump never runs dry on the way.
fn turns(facts: &Facts, line_up: &LineUp) -> Vec<Step> {
    let plant = facts.plant;
    let (open, shut): (Vec<_>, Vec<_>) = line_up.stands.iter().partition(|(_, to)| *to > 0.005);
    let mut steps: Vec<Step> = Vec::new();
    for (valve, to) in &open {
        let how = if *to > 0.995 { plant[*valve].kind.turned(true).to_string() } else { "set".into() };
        let to = if *to > 0.995 { String::new() } else { format!(" to {}", plant[*valve].kind.stands(*to)) };
        steps.push(step(format!("{} the {}{to}.", sentence(&how), words::found(plant, *valve))));
    }
    if !open.is_empty() && !shut.is_empty() {
        steps.push(step("See that it flows there, before the other is touched."));
    }
    for (valve, _) in &shut {
        steps.push(step(format!(
            "{} the {}.",
            sentence(plant[*valve].kind.turned(false)),
            words::found(plant, *valve)
        )));
    }
    steps.push(step("Write down who turned what, and when."));
    steps
}

/// How she is started by hand, where that is fitted. Common practice, no source.
fn by_hand(facts: &Facts) -> Option<Chapter> {
    let starts = facts.cast(Role::HandStart);
    let first = *starts.first()?;
    let plant = facts.plant;
    let place =
        words::place(plant, first).map_or(String::new(), |place| format!(" It is here: {}", words::stopped(&place)));
    let kick = plant[first].kind.words.iter().find_map(|word| word.danger).unwrap_or("She kicks back.");
    let neutral = if facts.has(Role::Pitch) { "Clutch out and pitch at nothing." } else { "Gear in neutral." };
    let blocks = vec![
        say(format!("She can be started without a battery, by {}.{place}", the(plant, first))),
        Block::Caution(plant.worded(kick).into_owned()),
        Block::Steps(vec![
            step(format!("{neutral} Fuel on, and the throttle at a fast idle.")),
            step("In the cold, warm the intake and let the oil thin; she has to be swung fast, not long."),
            step(
                "Lift the decompression on every cylinder, and turn her over twice by hand: she moves freely, and nothing comes out of her but air.",
            ),
            careful(
                "Put the crank in, and try that it lets go when it is pushed the wrong way.",
                "A crank that stays in when she fires throws whoever holds it. Do not use a worn one.",
            ),
            careful(
                "Swing her up to speed, one person and everyone else away.",
                "Thumb on the same side as the fingers; pull up, never push down.",
            ),
            step("When she spins, let in one cylinder. When it fires, let in the others one after the other."),
            step("Take the crank out and put it away before you do anything else."),
            step("Then as after any start: oil pressure first."),
        ]),
        say("Somebody who has never done it learns it on a warm engine in harbour, with somebody who has."),
    ];
    Some(chapter("Starting by hand", "hand-start", blocks))
}
